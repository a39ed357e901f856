/* bench_mesh.h: a mesh of triangles handed to a peer: nodes, triangles as two uint64, then x y z of
 * every node as doubles, a value of every node (a true distance, or 0), and three uint32 for every
 * triangle, anticlockwise seen from outside, all in this machine's order of bytes. mesh_cgal.h reads
 * it. */
#ifndef BENCH_MESH_H
#define BENCH_MESH_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

typedef struct bench_mesh {
    size_t nodes, triangles;
    double (*at)[3], *value;
    uint32_t (*triangle)[3];
} bench_mesh;

static inline void bench_mesh_add(bench_mesh *mesh, size_t a, size_t b, size_t c)
{
    uint32_t *to = mesh->triangle[mesh->triangles++];

    to[0] = (uint32_t)a;
    to[1] = (uint32_t)b;
    to[2] = (uint32_t)c;
}

static inline bool bench_mesh_write(const bench_mesh *mesh, const char *path)
{
    const uint64_t counts[2] = {mesh->nodes, mesh->triangles};
    FILE *file = fopen(path, "wb");
    bool well =
        file && fwrite(counts, sizeof counts, 1, file) == 1 &&
        fwrite(mesh->at, sizeof *mesh->at, mesh->nodes, file) == mesh->nodes &&
        fwrite(mesh->value, sizeof *mesh->value, mesh->nodes, file) == mesh->nodes &&
        fwrite(mesh->triangle, sizeof *mesh->triangle, mesh->triangles, file) == mesh->triangles;

    return file && fclose(file) == 0 && well;
}

#endif
