// flatten_cgal.cpp: lays a mesh of flat_mesh out with a general-purpose library's as-rigid-as-possible
// parameterisation, and prints u v of each node; `flatten_cgal --time MESH` reads it from a file and prints
//     arap NODES MS RIM_MM
// with the median time of three layouts and the rim's mean distance from its middle. A program of its
// own: that library's licence would bind ours.
#include "mesh_cgal.h"

#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Surface_mesh_parameterization/ARAP_parameterizer_3.h>
#include <CGAL/Surface_mesh_parameterization/parameterize.h>

#include <cmath>
#include <string>

namespace SMP = CGAL::Surface_mesh_parameterization;

typedef Mesh::Property_map<Mesh::Vertex_index, Kernel::Point_2> Flat;

// The node highest over the bench is the cap's middle.
static double mean_radius(const Mesh &mesh, const Flat &uv)
{
    Mesh::Vertex_index middle(0);
    double sum = 0;
    std::size_t count = 0;

    for (const auto v : mesh.vertices())
        if (mesh.point(v).z() > mesh.point(middle).z())
            middle = v;
    for (const auto v : mesh.vertices())
        if (mesh.is_border(v, true)) {
            sum += std::sqrt(CGAL::squared_distance(uv[v], uv[middle]));
            count++;
        }
    return sum / (double)count;
}

int main(int argc, char **argv)
{
    const bool timing = argc > 2 && std::string(argv[1]) == "--time";
    std::vector<double> took;
    std::size_t nodes, triangles;
    Mesh mesh;
    std::vector<Mesh::Vertex_index> vertex;

    if (timing && !std::freopen(argv[2], "r", stdin)) {
        std::perror(argv[2]);
        return 1;
    }
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
    Flat uv = mesh.add_property_map<Mesh::Vertex_index, Kernel::Point_2>("v:uv").first;
    for (int run = 0; run < (timing ? 3 : 1); run++) {
        const double start = now_ms();
        const auto border = CGAL::Polygon_mesh_processing::longest_border(mesh).first;
        const auto code = SMP::parameterize(mesh, SMP::ARAP_parameterizer_3<Mesh>(), border, uv);
        if (code != SMP::OK) {
            std::fprintf(stderr, "flatten_cgal: %s\n", SMP::get_error_message(code));
            return 1;
        }
        took.push_back(now_ms() - start);
    }
    if (timing) {
        std::printf("arap %zu %.3f %.4f\n", nodes, median(took), mean_radius(mesh, uv));
        return 0;
    }
    for (const auto &v : vertex)
        std::printf("%.17g %.17g\n", uv[v].x(), uv[v].y());
    return 0;
}
