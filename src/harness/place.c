/*
 * place.c: plates turned and carried to their place on the wearer, and what they are together.
 *
 * Wearer's space: x to the wearer's left, y up, z to the front. Turning is right-handed about the axes
 * of that space, lean about z first, then tilt about x (top forward positive), then turn about y:
 * R = Ry(turn)·Rx(tilt)·Rz(lean). A tensor turns as R·I·Rᵀ; beside each other
 * I = I₁ + I₂ + m₁m₂/(m₁ + m₂)·(|d|²·E − d·dᵀ), d between both centroids (Steiner). The right one of a
 * pair is the left one mirrored: x → −x, products with x change sign.
 */
#include "harness_internal.h"

#include <math.h>
#include <string.h>

void tw_piece_turning(const tw_piece_spec *spec, double turning[3][3])
{
    const double cl = cos(spec->lean), sl = sin(spec->lean);
    const double ct = cos(spec->tilt), st = sin(spec->tilt);
    const double cu = cos(spec->turn), su = sin(spec->turn);
    const double tilted[3][3] = {{cl, -sl, 0}, {ct * sl, ct * cl, -st}, {st * sl, st * cl, ct}};

    for (int j = 0; j < 3; j++) {
        turning[0][j] = cu * tilted[0][j] + su * tilted[2][j];
        turning[1][j] = tilted[1][j];
        turning[2][j] = cu * tilted[2][j] - su * tilted[0][j];
    }
}

void tw_lump_add(tw_lump *sum, const tw_lump *lump)
{
    const double g = sum->g + lump->g, share = g > 0 ? lump->g / g : 0;
    const double reduced = sum->g * share;
    double d[3], square;

    for (int i = 0; i < 3; i++)
        d[i] = lump->at[i] - sum->at[i];
    square = tw_dot(d, d);
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++)
            sum->inertia[i][j] +=
                lump->inertia[i][j] + reduced * ((i == j ? square : 0) - d[i] * d[j]);
        sum->at[i] += share * d[i];
    }
    sum->g = g;
}

void tw_lump_scale(tw_lump *lump, double g)
{
    const double factor = g / lump->g;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            lump->inertia[i][j] *= factor;
    lump->g = g;
}

/* One plate of a piece, with the mass that counts for it, turned and placed. */
static void place_piece(const tw_piece_spec *spec, const tw_weight *weight, double g, tw_lump *out)
{
    double r[3][3], half[3][3];
    const double factor = g / weight->mass_g;

    tw_piece_turning(spec, r);
    memset(out, 0, sizeof *out);
    out->g = g;
    for (int i = 0; i < 3; i++) {
        out->at[i] = spec->at[i] + tw_dot(r[i], weight->centroid_mm);
        for (int j = 0; j < 3; j++)
            half[i][j] = r[i][0] * weight->inertia_g_mm2[0][j] +
                         r[i][1] * weight->inertia_g_mm2[1][j] +
                         r[i][2] * weight->inertia_g_mm2[2][j];
    }
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            out->inertia[i][j] = factor * tw_dot(half[i], r[j]);
}

static void mirror(tw_lump *lump)
{
    lump->at[0] = -lump->at[0];
    for (int i = 1; i < 3; i++) {
        lump->inertia[0][i] = -lump->inertia[0][i];
        lump->inertia[i][0] = -lump->inertia[i][0];
    }
}

bool tw_part_lump(const tw_part *part, int kind, tw_lump *out)
{
    tw_lump sum = {0};

    for (size_t k = 0; k < part->piece_count; k++) {
        const tw_piece *piece = &part->pieces[k];
        const tw_plate_map *map = piece->map;
        double g = piece->face_g + piece->extra.mass_g;
        tw_lump lump;
        if (kind != TW_MAP_COUNTED) {
            map = piece->plate ? tw_plate_map_of(piece->plate, (tw_map_kind)kind) : NULL;
            g = kind == TW_MAP_SHEET ? piece->sheet_g : kind == TW_MAP_FORGED ? piece->forged_g : g;
        }
        if (!map || !piece->spec->placed)
            return false;
        place_piece(piece->spec, &map->weight, (double)piece->spec->count * g, &lump);
        tw_lump_add(&sum, &lump);
    }
    if (!(sum.g > 0))
        return false;
    if (part->side < 0)
        mirror(&sum);
    *out = sum;
    return true;
}

void tw_part_balance(tw_part *part)
{
    tw_lump lump;

    part->has_balance = false;
    if (tw_part_lump(part, TW_MAP_COUNTED, &lump)) {
        memcpy(part->balance, lump.at, sizeof part->balance);
        part->has_balance = true;
    } else if (part->spec->placed) {
        memcpy(part->balance, part->spec->balance, sizeof part->balance);
        if (part->side < 0)
            part->balance[0] = -part->balance[0];
        part->has_balance = true;
    }
}
