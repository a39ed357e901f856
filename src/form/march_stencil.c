/*
 * march_stencil.c: neighbours for nodes whose metric is too oblique for the eight around them.
 *
 * A triangle tells a node's distance rightly only when it is acute by the node's metric; where one
 * direction of the tape chart is much dearer than the other, triangles of the eight neighbours are
 * obtuse and the error no longer falls with the grid. Such a node takes six neighbours instead:
 * every metric has three offsets b0 + b1 + b2 = 0 with no two of them less than a right angle
 * apart, and b0, −b2, b1, −b0, b2, −b1 make six acute triangles.
 * Sources: E. Selling, J. reine angew. Math. 77 (1874), for finding the three; J.-M. Mirebeau,
 * "Anisotropic fast-marching on Cartesian grids using lattice basis reduction", SIAM J. Numerical
 * Analysis 52 (2014), for marching with them. Both from memory.
 */
#include "march_internal.h"

#include <math.h>
#include <stdlib.h>

enum { OFFSET_MOST = 32 };

bool tw_too_oblique(const tw_march_metric *metric)
{
    return fabs(metric->au) > fmin(metric->aa, metric->uu);
}

double tw_metric_product(const tw_march_metric *metric, const signed char a[2],
                         const signed char b[2])
{
    return metric->aa * a[0] * b[0] + metric->au * (a[0] * b[1] + a[1] * b[0]) +
           metric->uu * a[1] * b[1];
}

/* Three offsets that sum to zero, no two less than a right angle apart. */
static void superbase(const tw_march_metric *metric, int b[3][2])
{
    static const int start[3][2] = {{1, 0}, {0, 1}, {-1, -1}};
    bool again = true;

    for (int k = 0; k < 3; k++) {
        b[k][0] = start[k][0];
        b[k][1] = start[k][1];
    }
    for (int round = 0; again && round < OFFSET_MOST; round++) {
        again = false;
        for (int k = 0; k < 3 && !again; k++) {
            int *p = b[k], *q = b[(k + 1) % 3], *r = b[(k + 2) % 3];
            const double product = metric->aa * p[0] * q[0] +
                                   metric->au * (p[0] * q[1] + p[1] * q[0]) +
                                   metric->uu * p[1] * q[1];
            if (!(product > 1e-12 * (metric->aa + metric->uu)))
                continue;
            again = true;
            for (int c = 0; c < 2; c++) {
                r[c] = p[c] - q[c];
                p[c] = -p[c];
            }
        }
    }
}

bool tw_way_open(const tw_march *march, size_t n, int across, int up)
{
    const int steps = abs(across) > abs(up) ? abs(across) : abs(up);
    int i = 0, j = 0;

    for (int s = 1; s <= steps; s++) {
        const int to_i = (int)lround((double)across * s / steps);
        const int to_j = (int)lround((double)up * s / steps);
        int k = 0;
        while (tw_step_across[k] != to_i - i || tw_step_up[k] != to_j - j)
            k++;
        if (!(march->open[n] >> k & 1))
            return false;
        n += (size_t)march->shift[k];
        i = to_i;
        j = to_j;
    }
    return true;
}

static void fill(const tw_march *march, size_t n, tw_wide *wide)
{
    int b[3][2];

    superbase(&march->metric[n], b);
    wide->node = (uint32_t)n;
    for (int k = 0; k < 3; k++) {
        /* b0, −b2, b1, then their opposites */
        const int *from = b[k == 1 ? 2 : k / 2], sign = k == 1 ? -1 : 1;
        for (int c = 0; c < 2; c++) {
            wide->offset[k][c] = (signed char)(sign * from[c]);
            wide->offset[k + 3][c] = (signed char)(-sign * from[c]);
        }
    }
    for (int k = 0; k < 6; k++) {
        const int across = wide->offset[k][0], up = wide->offset[k][1];
        wide->shift[k] = up * (ptrdiff_t)march->grid->nu + across;
        if (tw_way_open(march, n, across, up))
            wide->open |= (unsigned char)(1u << k);
    }
}

bool tw_march_wide(tw_march *march)
{
    const size_t count = march->grid->nu * march->grid->nv;
    size_t used = 0, takers = 0;

    if (march->wide_count == 0)
        return true;
    march->wide = tw_arena_array(march->arena, march->wide_count, sizeof *march->wide);
    march->taker_first = tw_arena_array(march->arena, count + 2, sizeof *march->taker_first);
    if (!march->wide || !march->taker_first)
        return false;
    for (size_t n = 0; n < count; n++)
        if (march->inside[n] && tw_too_oblique(&march->metric[n]))
            fill(march, n, &march->wide[used++]);
    for (size_t w = 0; w < used; w++)
        for (int k = 0; k < 6; k++)
            if (march->wide[w].open >> k & 1) {
                march->taker_first[march->wide[w].node + (size_t)march->wide[w].shift[k] + 2]++;
                takers++;
            }
    march->taker = tw_arena_array(march->arena, takers, sizeof *march->taker);
    if (!march->taker)
        return false;
    for (size_t n = 1; n < count + 2; n++)
        march->taker_first[n] += march->taker_first[n - 1];
    for (size_t w = 0; w < used; w++)
        for (int k = 0; k < 6; k++)
            if (march->wide[w].open >> k & 1) {
                const size_t from = march->wide[w].node + (size_t)march->wide[w].shift[k];
                march->taker[march->taker_first[from + 1]++] = (tw_taker){(uint32_t)w, k};
            }
    return true;
}
