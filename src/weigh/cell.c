/*
 * cell.c: the solid that stands on one cell of the face, and on one piece of crease.
 *
 * The face at a point: position r, outward unit normal n, principal curvatures k₁, k₂ counted
 * positive where the face bulges outward (a ball of radius R has k₁ = k₂ = 1/R), H = (k₁ + k₂)/2,
 * K = k₁k₂. The surface at distance s along n has position r + s·n. Along a line of curvature
 * dn = k·dr, so a step dr becomes (1 + k·s)·dr, and an element of area becomes
 *     (1 + k₁s)(1 + k₂s) = 1 + 2Hs + Ks²                                   (Steiner, 1840)
 * times as large. Metal from s₀ to s₁, with Sₖ = s₁ᵏ − s₀ᵏ, then has over a unit of face
 *     volume    m₀ = ∫(1 + 2Hs + Ks²) ds   = S₁ + H·S₂ + K·S₃/3
 *               m₁ = ∫s(1 + 2Hs + Ks²) ds  = S₂/2 + 2H·S₃/3 + K·S₄/4
 *               m₂ = ∫s²(1 + 2Hs + Ks²) ds = S₃/3 + H·S₄/2 + K·S₅/5
 *     first moment   r·m₀ + n·m₁
 *     second moment  r⊗r·m₀ + (r⊗n + n⊗r)·m₁ + n⊗n·m₂
 * With the outside face measured, s₀ = −t and s₁ = 0: m₀ = t − H·t² + K·t³/3; for a ball that is
 * (R³ − (R − t)³)/(3R²), exactly. A cell counts with its sampling point's values times its area:
 * the midpoint rule, of second order in the step. As s₀ and s₁ are in proportion to t, the Sₖ are
 * too: Sₖ = power[k]·tᵏ.
 *
 * At a crease the two sides have normals at an angle β (> 0 for a ridge). Each side's solid ends
 * square to its face; the mitred solid ends at the plane that halves the angle. At s > 0 the sides
 * of a ridge part and leave a kite open, at s < 0 they overlap in one. The kite has its corners at
 * the crease, at s along each normal and at s/cos(β/2) along the bisector b: two triangles of area
 * s²·tan(β/2)/2 each. With c = cos(β/2), summing corners of triangles (derived here):
 *     area           tan(β/2)·S₂
 *     first moment   tan(β/2)·S₃·(c + 1/c)/3 along b
 *     second moment  tan(β/2)·S₄·(c² + 1 + 1/c²)/6 along b⊗b
 * per length of crease; signs come out right for ridge and valley, for s above and below. Volume
 * and first moment are exact between plane sides of equal thickness. In the second moment the
 * kite's spread to both sides, tan(β/2)·S₄·sin²(β/2)/6, is left out: it is t⁴ per length beside
 * r²t² for the whole. Where only one side has metal the edge stays square and nothing is mitred.
 * At the tip of a cone the rule is off by an amount of the order of t³, less than 0.01 % of any
 * plate that does not fold.
 */
#include "weigh_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* Eight cells at once, in as many registers as the processor makes of them. Element l of a sum holds
 * cells l, l + 8, l + 16 …, so that the bits do not depend on how wide those registers are. */
enum { LANES = 8 };
typedef double lanes __attribute__((vector_size(LANES * sizeof(double))));
typedef int64_t tests __attribute__((vector_size(LANES * sizeof(int64_t)))); /* −1 for true */

tw_rule tw_rule_of(tw_face_side face)
{
    double span[2], low = 1, high = 1;
    tw_rule rule = {{0}, 0, 0};

    tw_face_span(face, 1.0, span);
    rule.low = span[0];
    rule.high = span[1];
    for (int k = 1; k < 6; k++) {
        low *= span[0];
        high *= span[1];
        rule.power[k] = high - low;
    }
    return rule;
}

/* Cells with metal, one array for each thing that the rule reads. */
typedef struct packed {
    const double *area, *thickness, *mean, *gauss;
    const double *r[3], *n[3]; /* position in space, normal */
} packed;

/* Room for a chunk's metal where a chunk has empty cells too. Local, so that it stays in the nearest
 * cache whatever the grid's size. */
typedef struct chunk {
    double copy[10][TW_CHUNK];
} chunk;

/* Points `out` at the metal of cells [first, last): at the grid itself where every cell has some
 * and the lanes come out even, else at a copy without the empty cells, filled up with cells of no
 * area. Returns how many cells that is, a multiple of LANES. */
static size_t pack(const tw_grid *grid, const double *thickness, size_t first, size_t last,
                   chunk *work, packed *out)
{
    const double *from[10] = {
        grid->area,   thickness,    grid->mean_curvature, grid->gauss_curvature, grid->cell_x,
        grid->cell_y, grid->cell_z, grid->normal_x,       grid->normal_y,        grid->normal_z};
    const double *at[10];
    size_t full = 0, count = 0;

    for (size_t k = first; k < last; k++)
        full += grid->area[k] > 0;
    if (full == last - first && full % LANES == 0) {
        for (int n = 0; n < 10; n++)
            at[n] = from[n] + first;
        count = full;
    } else {
        for (size_t k = first; k < last; k++)
            if (grid->area[k] > 0) {
                for (int n = 0; n < 10; n++)
                    work->copy[n][count] = from[n][k];
                count++;
            }
        for (; count % LANES != 0; count++) {
            for (int n = 0; n < 10; n++)
                work->copy[n][count] = 0;
            work->copy[1][count] = 1; /* a sound thickness */
        }
        for (int n = 0; n < 10; n++)
            at[n] = work->copy[n];
    }
    *out = (packed){at[0], at[1], at[2], at[3], {at[4], at[5], at[6]}, {at[7], at[8], at[9]}};
    return count;
}

static inline double lanes_total(const lanes *lane)
{
    double total[LANES / 2];

    for (size_t l = 0; l < LANES / 2; l++)
        total[l] = (*lane)[l] + (*lane)[l + LANES / 2];
    return (total[0] + total[1]) + (total[2] + total[3]);
}

/* With p = m₀·r + m₁·n and q = m₁·r + m₂·n along axis i, the first moment is the sum of p and the
 * second moment with axis j the sum of p·r + q·n, r and n along j. `bend` sums (t²(k₁² + k₂²))⁴:
 * where that stays below 1, no principal curvature times thickness reaches 1 and nothing can fold. A
 * sum of powers stands in for the largest value because it needs no comparison. */
TW_WIDE_CLONES
bool tw_cells_sum(const tw_grid *grid, const double *thickness, const tw_rule *rule,
                  const double origin[3], size_t first, size_t last, double *terms)
{
    const double p2 = rule->power[2], p3 = rule->power[3], p4 = rule->power[4];
    const double p5 = rule->power[5];
    lanes sum[TW_TERMS] = {{0}}, bend = {0};
    tests sound = {0};
    chunk work;
    packed in;
    size_t count, k;
    bool all = true;

    assert(last - first <= TW_CHUNK);
    count = pack(grid, thickness, first, last, &work, &in);
    sound = sound == 0;
    for (k = 0; k < count; k += LANES) {
        lanes area, t, H, K, r[3], n[3], at, tt, square, fourth, m0, m1, m2;
        int term = TW_SECOND_XX;
        memcpy(&area, in.area + k, sizeof area);
        memcpy(&t, in.thickness + k, sizeof t);
        memcpy(&H, in.mean + k, sizeof H);
        memcpy(&K, in.gauss + k, sizeof K);
        at = area * t;
        tt = t * t;
        square = tt * (4 * H * H - 2 * K);
        fourth = square * square;
        sound &= t > 0;
        bend += fourth * fourth;
        m0 = at * (1 + t * (H * p2) + tt * (K * (p3 / 3)));
        m1 = at * t * (p2 / 2 + t * (H * (2 * p3 / 3)) + tt * (K * (p4 / 4)));
        m2 = at * tt * (p3 / 3 + t * (H * (p4 / 2)) + tt * (K * (p5 / 5)));
        sum[TW_VOLUME] += m0;
        sum[TW_FACE_AREA] += area;
        sum[TW_FACE_THICKNESS] += at;
        for (int i = 0; i < 3; i++) {
            memcpy(&r[i], in.r[i] + k, sizeof r[i]);
            memcpy(&n[i], in.n[i] + k, sizeof n[i]);
            r[i] -= origin[i];
        }
        for (int i = 0; i < 3; i++) {
            const lanes p = m0 * r[i] + m1 * n[i], q = m1 * r[i] + m2 * n[i];
            sum[TW_FIRST_X + i] += p;
            for (int j = i; j < 3; j++)
                sum[term++] += p * r[j] + q * n[j];
        }
    }
    for (int n = 0; n < TW_TERMS; n++)
        terms[n] = lanes_total(&sum[n]);
    for (int l = 0; l < LANES; l++)
        all = all && sound[l] != 0;
    return !(all && lanes_total(&bend) < 1);
}

double tw_crease_volume(const tw_crease *crease, const tw_rule *rule, double t)
{
    return crease->length * tan(0.5 * crease->turn) * rule->power[2] * t * t;
}

void tw_crease_sum(const tw_crease *crease, const tw_rule *rule, double t, const double origin[3],
                   tw_sum *terms)
{
    const double c = cos(0.5 * crease->turn), slope = crease->length * tan(0.5 * crease->turn);
    const double m0 = slope * rule->power[2] * t * t;
    const double m1 = slope * rule->power[3] * t * t * t * (c + 1 / c) / 3;
    const double m2 = slope * rule->power[4] * t * t * t * t * (c * c + 1 + 1 / (c * c)) / 6;
    int term = TW_SECOND_XX;

    tw_sum_add(&terms[TW_VOLUME], m0);
    for (int i = 0; i < 3; i++) {
        const double r = crease->position[i] - origin[i], b = crease->outward[i];
        tw_sum_add(&terms[TW_FIRST_X + i], m0 * r + m1 * b);
        for (int j = i; j < 3; j++)
            tw_sum_add(&terms[term++], (m0 * r + m1 * b) * (crease->position[j] - origin[j]) +
                                           (m1 * r + m2 * b) * crease->outward[j]);
    }
}
