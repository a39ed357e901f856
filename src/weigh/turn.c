/*
 * turn.c: what turned edges add: sheet rolled outward over a wire, or hollow.
 *
 * The plate is measured up to where the roll begins, so that the whole roll comes on top. It is taken as
 * a full ring of metal from its bore d to its outside D, of the same section all along: π(D² − d²)/4
 * of metal per length, whatever the layers, as metal drawn thinner in rolling is only spread farther.
 * Two things are left out, both of the order of one thickness squared per length and against each
 * other: the gap where the sheet's end comes back to the plate, and the wedge of metal between ring
 * and plate where the roll leaves it. The flat wrap that fills the ring is π(D² − d²)/(4t); one layer
 * of t gives π(D − t), the length of its own middle line. Derived here.
 *
 * Length: chords in space along the edge's line on the face. The roll's own middle line lies up to
 * D/2 off that line, so by Pappus's theorem a rim of radius R bent round is off by at most D/(2R) of
 * the roll's mass; straight edges are exact.
 *
 * With a wire the bore is the wire's. A hollow roll hides its bore: one layer is assumed, d = D − 2t,
 * and 0.8 to 1.5 layers are thought possible, all alike. About 1, not about their middle, that is a
 * standard uncertainty of √((0.5³ + 0.2³)/(3·0.7)) = 0.25 layers, each of which holds πt(D − 2t)
 * (JCGM 100:2008, 4.3.8; the bounds are common practice, no source). The roll's caliper is good to
 * ± 0.25 mm, rectangular. All rolls of a plate share caliper and the hand that rolled them, so their
 * uncertainties add straight.
 */
#include "taperwright/weigh.h"

#include "extra_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define STEP          0.25 /* of chords along an edge [mm of tape] */
#define CALIPER_BOUND 0.25 /* [mm] */
#define FEWEST_LAYERS 0.7  /* round a wire, before a note asks */
#define MOST_LAYERS   1.5
#define HOLLOW_FEWEST 0.8
#define HOLLOW_MOST   1.5
#define ROLL_MOST     25.0 /* of plate worn on the body; common practice, no source [mm] */
#define WIRE_MOST     12.0
#define NAMES_MOST    120
enum { WORDS = 32 };

const tw_edge_line *tw_outline_edge(const tw_outline *outline, const char *name, tw_error *err)
{
    const char *names[64], *nearest;
    const size_t known = outline->edge_count < 64 ? outline->edge_count : 64;
    char list[NAMES_MOST] = "";

    for (size_t e = 0; e < outline->edge_count; e++)
        if (strcmp(outline->edges[e].name, name) == 0)
            return &outline->edges[e];
    for (size_t e = 0; e < known; e++) {
        names[e] = outline->edges[e].name;
        if (strlen(list) + strlen(names[e]) + 3 < sizeof list) {
            strcat(list, e ? ", " : "");
            strcat(list, names[e]);
        }
    }
    nearest = tw_nearest_word(name, names, known);
    tw_fail(err, TW_ERR_KEY, "the outline has no edge called %s", name);
    if (nearest)
        tw_error_advise(err, name, "did you mean %s?", nearest);
    else
        tw_error_advise(err, name, "its edges: %s", list);
    return NULL;
}

/* ---- along an edge ------------------------------------------------------------------------- */

/* Length of an edge over the face, and the map's mean along it. */
static void along_edge(const tw_plate *plate, const tw_plate_map *map, const tw_edge_line *line,
                       double *length, double *thickness)
{
    tw_sum whole = {0, 0}, metal = {0, 0};

    for (size_t k = 0; k + 1 < line->count; k++) {
        const double *a = line->points[k], *b = line->points[k + 1];
        const double way[2] = {b[0] - a[0], b[1] - a[1]};
        const double pieces = fmax(ceil(hypot(way[0], way[1]) / STEP), 1);
        tw_face_point from, to;

        tw_form_at(plate->form, a[0], a[1], &from);
        for (double p = 0; p < pieces; p++) {
            const double end = (p + 1) / pieces, middle = (p + 0.5) / pieces;
            double chord[3], size;

            tw_form_at(plate->form, a[0] + end * way[0], a[1] + end * way[1], &to);
            for (int i = 0; i < 3; i++)
                chord[i] = to.position[i] - from.position[i];
            size = sqrt(tw_dot(chord, chord));
            tw_sum_add(&whole, size);
            tw_sum_add(&metal,
                       size * tw_grid_sample(plate->grid, map->map.node, a[0] + middle * way[0],
                                             a[1] + middle * way[1]));
            from = to;
        }
    }
    *length = tw_sum_value(&whole);
    *thickness = *length > 0 ? tw_sum_value(&metal) / *length : 0;
}

/* ---- one roll ------------------------------------------------------------------------------ */

static tw_status check(const tw_profile *profile, const tw_turned_edge *spec, tw_error *err)
{
    tw_status status;

    if (isfinite(spec->roll) && spec->roll > 0 && spec->wire >= 0 && spec->wire < spec->roll)
        return TW_OK;
    if (spec->wire >= spec->roll && spec->roll > 0)
        status = tw_fail(err, TW_ERR_DOMAIN, "a roll of %g mm has no room for a wire of %g mm",
                         spec->roll, spec->wire);
    else
        status = tw_fail(err, TW_ERR_DOMAIN, "a roll of %g mm over a wire of %g mm is not possible",
                         spec->roll, spec->wire);
    tw_error_advise(err, NULL, "roll is the outside diameter, wire and metal included");
    tw_error_within(err, "in turned edge %s", spec->edge);
    tw_profile_place(profile, spec->place, err);
    return status;
}

/* A figure in the wrong unit or with a digit too many weighs kilograms: said once a row. */
static void note_size(const tw_profile *profile, const tw_turned_edge *spec, tw_notes *notes)
{
    const bool thick = spec->wire > WIRE_MOST;
    char roll[WORDS], wire[WORDS];
    tw_error item;

    if (!thick && !(spec->roll > ROLL_MOST))
        return;
    tw_write_length(spec->roll, TW_METRIC, -1, roll, sizeof roll);
    tw_write_length(spec->wire, TW_METRIC, -1, wire, sizeof wire);
    if (thick)
        tw_fail(&item, TW_OK, "turned edge %s: a wire of %s in a roll of %s", spec->edge, wire,
                roll);
    else
        tw_fail(&item, TW_OK, "turned edge %s: a roll of %s", spec->edge, roll);
    tw_error_advise(&item, NULL,
                    "is that in mm? Wires are seldom over %.0f mm across, rolls over %.0f mm",
                    WIRE_MOST, ROLL_MOST);
    tw_profile_place(profile, spec->place, &item);
    tw_notes_add(notes, &item);
}

static void note(const tw_plate *plate, const tw_turned_edge *spec, const tw_turn_weight *turn,
                 tw_notes *notes)
{
    char roll[WORDS], sheet[WORDS];
    tw_error item;

    tw_write_length(turn->roll_mm, TW_METRIC, -1, roll, sizeof roll);
    tw_write_thickness(turn->edge_mm, TW_METRIC, -1, sheet, sizeof sheet);
    if (turn->wire_mm > 0 && turn->layers > MOST_LAYERS) {
        tw_fail(&item, TW_OK,
                "turned edge %s: the roll of %s holds %.1f layers of %s: wound more than once, or "
                "thicker there than the map says",
                turn->edge, roll, turn->layers, sheet);
        tw_error_advise(&item, NULL, "roll is the outside diameter by caliper, wire in it bare");
    } else if (turn->wire_mm > 0 && turn->layers < FEWEST_LAYERS) {
        tw_fail(&item, TW_OK,
                "turned edge %s: between wire and outside the roll of %s has room for %.1f layers "
                "of %s: the metal must be thinner in the roll, or one of the figures is off",
                turn->edge, roll, turn->layers, sheet);
        tw_error_advise(&item, NULL, "metal is drawn thinner in rolling, but seldom by so much");
    } else if (turn->wire_mm <= 0 && turn->hollow_mm <= 0) {
        tw_fail(&item, TW_OK,
                "turned edge %s: a roll of %s leaves no bore in %s sheet: taken as solid",
                turn->edge, roll, sheet);
        tw_error_advise(&item, NULL, "a flattened hem is best given as wider face");
    } else if (turn->wire_mm <= 0) {
        tw_fail(&item, TW_OK,
                "turned edge %s: the bore of a hollow roll cannot be seen: one layer of %s is "
                "assumed, and %.1f to %.1f layers thought possible",
                turn->edge, sheet, HOLLOW_FEWEST, HOLLOW_MOST);
        tw_error_advise(&item, NULL, "that makes its grams good to %.0f %% (95 %%)",
                        200 * turn->u_g / turn->sheet_g);
    } else {
        return;
    }
    tw_profile_place(plate->profile, spec->place, &item);
    tw_notes_add(notes, &item);
}

static void weigh_turn(const tw_plate *plate, const tw_plate_map *map, const tw_turned_edge *spec,
                       const tw_edge_line *line, tw_extra_weight *out)
{
    const double density = plate->profile->density, D = spec->roll;
    tw_turn_weight *turn = &out->turns[out->turn_count++];
    double t, metal, by_caliper, by_layers = 0;

    *turn = (tw_turn_weight){.edge = line->name, .roll_mm = D, .wire_mm = spec->wire};
    along_edge(plate, map, line, &turn->length_mm, &turn->edge_mm);
    t = turn->edge_mm;
    turn->hollow_mm = spec->wire > 0 ? spec->wire : fmax(D - 2 * t, 0);
    turn->layers = (D - turn->hollow_mm) / (2 * t);
    metal = 0.25 * TW_PI * (D - turn->hollow_mm) * (D + turn->hollow_mm);
    turn->wrap_mm = metal / t;
    turn->sheet_g = density * turn->length_mm * metal;
    turn->wire_g = density * turn->length_mm * 0.25 * TW_PI * spec->wire * spec->wire;
    by_caliper =
        0.5 * TW_PI * D; /* metal per mm of outside; of a hollow roll the bore goes along */
    if (!(spec->wire > 0) && turn->hollow_mm > 0) {
        const double more = HOLLOW_MOST - 1, fewer = 1 - HOLLOW_FEWEST;
        by_caliper = TW_PI * t;
        by_layers = TW_PI * t * (D - 2 * t) *
                    sqrt((more * more * more + fewer * fewer * fewer) / (3 * (more + fewer)));
    }
    turn->u_g =
        density * turn->length_mm * hypot(by_caliper * CALIPER_BOUND / sqrt(3.0), by_layers);
    note(plate, spec, turn, &out->notes);
}

/* ---- all of them --------------------------------------------------------------------------- */

static bool named_itself(const tw_profile *profile, const char *edge)
{
    for (size_t k = 0; k < profile->turned_count; k++)
        if (strcmp(profile->turned[k].edge, edge) == 0)
            return true;
    return false;
}

/* `all` is every outline edge that no other row names, as for thicknesses of edges; never a hole. */
static tw_status weigh_turns(const tw_plate *plate, const tw_plate_map *map, tw_extra_weight *out,
                             tw_error *err)
{
    const tw_profile *profile = plate->profile;
    const tw_outline *outline = tw_form_outline(plate->form);
    const size_t most = profile->turned_count + outline->edge_count;

    out->turns = tw_arena_array(out->arena, most, sizeof *out->turns);
    if (!out->turns)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu turned edges", most);
    for (size_t k = 0; k < profile->turned_count; k++) {
        const tw_turned_edge *spec = &profile->turned[k];
        const bool all = strcmp(spec->edge, "all") == 0;
        const tw_edge_line *line = NULL;
        const tw_status status = check(profile, spec, err);

        if (status != TW_OK)
            return status;
        if (!all && !(line = tw_outline_edge(outline, spec->edge, err))) {
            tw_profile_place(profile, spec->place, err);
            return TW_ERR_KEY;
        }
        note_size(profile, spec, &out->notes);
        for (size_t e = 0; e < outline->edge_count; e++)
            if (all ? !named_itself(profile, outline->edges[e].name) : &outline->edges[e] == line)
                weigh_turn(plate, map, spec, &outline->edges[e], out);
    }
    return TW_OK;
}

static void add_up(tw_extra_weight *out)
{
    double turns_u = 0, square = 0;

    for (size_t k = 0; k < out->turn_count; k++) {
        out->mass_g += out->turns[k].sheet_g + out->turns[k].wire_g;
        turns_u += out->turns[k].u_g;
    }
    for (size_t k = 0; k < out->flute_count; k++) {
        out->mass_g += out->flutes[k].mass_g;
        square += out->flutes[k].u_g * out->flutes[k].u_g;
    }
    out->u_g = sqrt(turns_u * turns_u + square);
}

tw_status tw_plate_extra(const tw_plate *plate, const tw_plate_map *map, tw_extra_weight *out,
                         tw_error *err)
{
    tw_extra_weight extra = {0};
    tw_status status = TW_OK;

    assert(plate && map && out);
    if (plate->profile->turned_count + plate->profile->flutes_count > 0) {
        extra.arena = tw_arena_new();
        if (!extra.arena)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for turned edges");
        status = weigh_turns(plate, map, &extra, err);
        if (status == TW_OK)
            status = tw_flutes_weigh(plate, map, &extra, err);
        add_up(&extra);
    }
    if (status == TW_OK)
        *out = extra;
    else
        tw_extra_weight_release(&extra);
    return status;
}

void tw_extra_weight_release(tw_extra_weight *extra)
{
    if (!extra)
        return;
    tw_arena_free(extra->arena);
    memset(extra, 0, sizeof *extra);
}
