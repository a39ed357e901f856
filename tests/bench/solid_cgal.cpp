// solid_cgal.cpp: volume and centroid of the closed mesh that bench_solid wrote, by a general-purpose
// library. `solid_cgal MESH` prints
//     solid-cgal TRIANGLES SETUP_MS MS VOLUME_MM3 CENTROID_Z_MM
// SETUP is reading and joining the mesh; MS the median time of volume and centroid together.
#include "mesh_cgal.h"

#include <CGAL/Polygon_mesh_processing/measure.h>

namespace PMP = CGAL::Polygon_mesh_processing;

int main(int argc, char **argv)
{
    std::vector<double> unused, took;
    double volume = 0, start = now_ms();
    Kernel::Point_3 centroid;

    if (argc < 2)
        return 2;
    const Mesh mesh = read_mesh(argv[1], unused);
    const double setup = now_ms() - start;
    if (!CGAL::is_closed(mesh)) {
        std::fprintf(stderr, "solid_cgal: the mesh is open\n");
        return 1;
    }
    for (int run = 0; run < 5; run++) {
        start = now_ms();
        volume = PMP::volume(mesh);
        centroid = PMP::centroid(mesh);
        took.push_back(now_ms() - start);
    }
    std::printf("solid-cgal %zu %.3f %.3f %.17g %.17g\n", (std::size_t)mesh.number_of_faces(), setup,
                median(took), volume, centroid.z());
    return 0;
}
