// distance_cgal.cpp: distance over the hemisphere of bench_distance.c by a general-purpose library's
// heat method, on intrinsic Delaunay triangles or on the mesh's own.
// `distance_cgal MESH intrinsic|direct` prints
//     distance-cgal FROM NODES SETUP_MS MS RMS_MM WORST_MM INNER_RMS_MM
// for two sources, as the method knows vertices only: FROM `disc`, the nodes within half a cell of the
// disc's border (all nodes inside would cost it more time); FROM `point`, the node nearest its middle,
// against the distance from that node, judged outside the disc. SETUP makes the triangles and factors
// the matrices; MS is one distance field; INNER leaves out the 30 deg nearest the rim, as the method
// lets no heat through the rim, which bends its fronts there.
// Source: K. Crane, C. Weischedel, M. Wardetzky, Geodesics in heat, ACM Trans. Graph. 32 (2013) 152.
#include "mesh_cgal.h"

#include <CGAL/Heat_method_3/Surface_mesh_geodesic_distances_3.h>

#include <cmath>
#include <string>

namespace HM = CGAL::Heat_method_3;
typedef Mesh::Property_map<Mesh::Vertex_index, double> Distance;
static const double radius = 150;

// From vertex v over the ball; the angle by atan2, exact when small.
static double over_ball(const Mesh &mesh, Mesh::Vertex_index v, Mesh::Vertex_index w)
{
    const Kernel::Vector_3 p = mesh.point(v) - CGAL::ORIGIN, q = mesh.point(w) - CGAL::ORIGIN;
    return radius * std::atan2(std::sqrt(CGAL::cross_product(p, q).squared_length()), p * q);
}

static void judge(const char *name, double setup, double took, const Mesh &mesh,
                  const Distance &distance, const std::vector<double> &truth,
                  const std::vector<double> &from_disc)
{
    double square[2] = {0, 0}, worst = 0;
    std::size_t used[2] = {0, 0};

    for (const auto v : mesh.vertices()) {
        if (from_disc[v] <= 0)
            continue;
        const double off = distance[v] - truth[v];
        const bool inner = mesh.point(v).z() > 0.5 * radius;
        for (int k = 0; k <= inner; k++) {
            square[k] += off * off;
            used[k]++;
        }
        worst = std::max(worst, std::fabs(off));
    }
    std::printf("distance-cgal %s %zu %.3f %.3f %.5f %.5f %.5f\n", name, truth.size(), setup, took,
                std::sqrt(square[0] / (double)used[0]), worst,
                std::sqrt(square[1] / (double)used[1]));
}

// Sources set anew, as otherwise the library keeps its last field.
template <class Heat>
static double field(Heat &heat, const std::vector<Mesh::Vertex_index> &from, Distance &distance)
{
    const double start = now_ms();

    heat.clear_sources();
    for (const auto v : from)
        heat.add_source(v);
    heat.estimate_geodesic_distances(distance);
    return now_ms() - start;
}

template <class Heat> static void run(Mesh &mesh, const std::vector<double> &from_disc)
{
    const double cell = std::sqrt(2 * CGAL_PI * radius * radius / (double)from_disc.size());
    Distance distance = mesh.add_property_map<Mesh::Vertex_index, double>("v:distance", 0).first;
    std::vector<Mesh::Vertex_index> border, middle(1, Mesh::Vertex_index(0));

    for (const auto v : mesh.vertices()) {
        if (from_disc[v] < from_disc[middle[0]])
            middle[0] = v;
        if (std::fabs(from_disc[v]) < 0.5 * cell)
            border.push_back(v);
    }
    double start = now_ms();
    Heat heat(mesh);
    heat.add_source(middle[0]);
    heat.estimate_geodesic_distances(distance); // factors on its first call
    const double first = now_ms() - start;
    double took = field(heat, border, distance);
    judge("disc", first - took, took, mesh, distance, from_disc, from_disc);

    std::vector<double> truth(from_disc.size());
    for (const auto v : mesh.vertices())
        truth[v] = over_ball(mesh, middle[0], v);
    took = field(heat, middle, distance);
    judge("point", first - took, took, mesh, distance, truth, from_disc);
}

int main(int argc, char **argv)
{
    std::vector<double> from_disc;

    if (argc < 3)
        return 2;
    Mesh mesh = read_mesh(argv[1], from_disc);
    for (const auto v : mesh.vertices())
        if (mesh.is_isolated(v)) {
            std::fprintf(stderr, "distance_cgal: node %u has no triangle\n", (unsigned)v);
            return 1;
        }
    if (std::string(argv[2]) == "direct")
        run<HM::Surface_mesh_geodesic_distances_3<Mesh, HM::Direct>>(mesh, from_disc);
    else
        run<HM::Surface_mesh_geodesic_distances_3<Mesh, HM::Intrinsic_Delaunay>>(mesh, from_disc);
    return 0;
}
