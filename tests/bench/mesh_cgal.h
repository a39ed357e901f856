// mesh_cgal.h: reads the mesh that bench_mesh.h wrote, and a clock, for the programs beside which
// ours are timed. Programs of their own: that library's licence would bind ours.
#ifndef MESH_CGAL_H
#define MESH_CGAL_H

#include <CGAL/Simple_cartesian.h>
#include <CGAL/Surface_mesh.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <vector>

typedef CGAL::Simple_cartesian<double> Kernel;
typedef CGAL::Surface_mesh<Kernel::Point_3> Mesh;

inline double now_ms()
{
    using namespace std::chrono;
    return duration<double, std::milli>(steady_clock::now().time_since_epoch()).count();
}

inline double median(std::vector<double> values)
{
    std::sort(values.begin(), values.end());
    return values[values.size() / 2];
}

template <class T> void read_all(std::vector<T> &into, std::FILE *file)
{
    if (std::fread(into.data(), sizeof(T), into.size(), file) != into.size()) {
        std::fprintf(stderr, "mesh_cgal: the mesh breaks off\n");
        std::exit(1);
    }
}

// Vertex n of the mesh is node n of the file; `value` gets one number for each.
inline Mesh read_mesh(const char *path, std::vector<double> &value)
{
    std::FILE *file = std::fopen(path, "rb");
    std::vector<std::uint64_t> counts(2);
    Mesh mesh;

    if (!file) {
        std::perror(path);
        std::exit(1);
    }
    read_all(counts, file);
    std::vector<std::array<double, 3>> at(counts[0]);
    std::vector<std::array<std::uint32_t, 3>> corner(counts[1]);
    value.resize(counts[0]);
    read_all(at, file);
    read_all(value, file);
    read_all(corner, file);
    std::fclose(file);
    mesh.reserve(at.size(), at.size() + corner.size(), corner.size());
    for (const auto &p : at)
        mesh.add_vertex(Kernel::Point_3(p[0], p[1], p[2]));
    for (const auto &c : corner)
        if (mesh.add_face(Mesh::Vertex_index(c[0]), Mesh::Vertex_index(c[1]),
                          Mesh::Vertex_index(c[2])) == Mesh::null_face()) {
            std::fprintf(stderr, "mesh_cgal: a triangle of %s does not fit its neighbours\n", path);
            std::exit(1);
        }
    return mesh;
}

#endif
