// flatten_cgal.cpp: lays a mesh of flat_mesh out with a general-purpose library's as-rigid-as-possible
// parameterisation, and prints u v of each node. A program of its own: that library's licence would bind
// ours.
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Simple_cartesian.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/Surface_mesh_parameterization/ARAP_parameterizer_3.h>
#include <CGAL/Surface_mesh_parameterization/parameterize.h>

#include <cstdio>
#include <vector>

typedef CGAL::Simple_cartesian<double> Kernel;
typedef CGAL::Surface_mesh<Kernel::Point_3> Mesh;
namespace SMP = CGAL::Surface_mesh_parameterization;

int main()
{
    std::size_t nodes, triangles;
    Mesh mesh;
    std::vector<Mesh::Vertex_index> vertex;

    if (std::scanf("%zu %zu", &nodes, &triangles) != 2)
        return 1;
    for (std::size_t n = 0; n < nodes; n++) {
        double x, y, z, u, v;
        if (std::scanf("%lf %lf %lf %lf %lf", &x, &y, &z, &u, &v) != 5)
            return 1;
        vertex.push_back(mesh.add_vertex(Kernel::Point_3(x, y, z)));
    }
    for (std::size_t k = 0; k < triangles; k++) {
        std::size_t a, b, c;
        if (std::scanf("%zu %zu %zu", &a, &b, &c) != 3)
            return 1;
        mesh.add_face(vertex[a], vertex[b], vertex[c]);
    }
    const auto border = CGAL::Polygon_mesh_processing::longest_border(mesh).first;
    auto uv = mesh.add_property_map<Mesh::Vertex_index, Kernel::Point_2>("v:uv").first;
    const auto code =
        SMP::parameterize(mesh, SMP::ARAP_parameterizer_3<Mesh>(), border, uv);
    if (code != SMP::OK) {
        std::fprintf(stderr, "flatten_cgal: %s\n", SMP::get_error_message(code));
        return 1;
    }
    for (const auto &v : vertex)
        std::printf("%.17g %.17g\n", uv[v].x(), uv[v].y());
    return 0;
}
