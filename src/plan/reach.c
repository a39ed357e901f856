/*
 * reach.c: one quantity changed until the plate weighs what is wanted.
 *
 * With distances held, the forged thickness is affine in the thickness of one zone or edge, as long as
 * that stays on one side of every other of its kind: only their order decides which counts where they
 * overlap (src/thickness/blend.c). So two forged maps hold every map between two neighbours, and a
 * trial of Brent's method is one pass of mixing them. The volume is a cubic of thickness, so no shorter
 * way is exact. hold and band move the distances' zero, so their maps are made anew for each trial, from
 * the same distances; even sheet's volume is a cubic with known coefficients.
 */
#include "taperwright/plan.h"

#include "plan_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef enum changing { THICKNESS, HOLD, BAND, SHEET } changing;

typedef struct reaching {
    const tw_plate *plate;
    unsigned threads;
    changing what;
    tw_forged_spec spec; /* copy whose numbers are changed */
    double **target;     /* out->change_count: the numbers */
    tw_reach *out;
    double *cell, *node, *volume; /* scratch */
    tw_taper *marched;            /* by this file, where the plate's own will not do; or NULL */
    tw_map low, high;             /* at low_value and high_value */
    double low_value, high_value;
    tw_status status; /* of a trial that failed */
    tw_error err;
} reaching;

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory to reach a weight");
}

/* ---- what is changed --------------------------------------------------------------------------------- */

static void add_change(reaching *r, double *target, const char *kind, const char *name)
{
    tw_reach *out = r->out;
    tw_plan_change *change = &out->changes[out->change_count];
    char text[160];

    if (!kind)
        tw_format(text, sizeof text, "%s", name);
    else if (r->what == HOLD && strcmp(name, "all") != 0)
        tw_format(text, sizeof text, "hold of edge %s", name);
    else if (r->what == HOLD)
        tw_format(text, sizeof text, "hold of all edges");
    else if (strcmp(kind, "edge") == 0 && strcmp(name, "all") == 0)
        tw_format(text, sizeof text, "all edges");
    else
        tw_format(text, sizeof text, "%s %s", kind, name);
    *change = (tw_plan_change){.name = tw_arena_text(out->arena, text),
                               .before_mm = *target,
                               .exact_mm = NAN,
                               .rounded_mm = NAN,
                               .edge = kind && strcmp(kind, "edge") == 0 ? name : NULL,
                               .strike = kind && strcmp(kind, "strike zone") == 0 ? name : NULL};
    r->target[out->change_count++] = target;
}

static tw_status copy_spec(reaching *r, double *sheet, tw_error *err)
{
    const tw_forged_spec *own = &r->plate->profile->forged;
    tw_arena *arena = r->out->arena;
    const size_t most = own->strike_count + own->edge_count + 1;

    r->spec = *own;
    r->spec.strikes = tw_arena_array(arena, own->strike_count, sizeof *own->strikes);
    r->spec.edges = tw_arena_array(arena, own->edge_count, sizeof *own->edges);
    r->target = tw_arena_array(arena, most, sizeof *r->target);
    r->out->changes = tw_arena_array(arena, most, sizeof *r->out->changes);
    if (!r->spec.strikes || !r->spec.edges || !r->target || !r->out->changes)
        return no_memory(err);
    if (own->strike_count)
        memcpy(r->spec.strikes, own->strikes, own->strike_count * sizeof *own->strikes);
    if (own->edge_count)
        memcpy(r->spec.edges, own->edges, own->edge_count * sizeof *own->edges);
    *sheet = r->plate->profile->sheet.thickness;
    return TW_OK;
}

static tw_status lacks(const tw_plate *plate, const char *what, const char *advice, tw_error *err)
{
    tw_fail(err, TW_ERR_INPUT, "plate %s has no %s to change", plate->profile->plate, what);
    tw_error_advise(err, NULL, "%s", advice);
    return TW_ERR_INPUT;
}

static tw_status choose(reaching *r, const char *by, double *sheet, tw_error *err)
{
    const tw_profile *profile = r->plate->profile;
    const bool of_forged = strncmp(by, "strike.", 7) == 0 || strncmp(by, "edges.", 6) == 0 ||
                           strcmp(by, "hold") == 0 || strcmp(by, "band") == 0;

    if (strcmp(by, "sheet") == 0) {
        r->what = SHEET;
        if (!profile->has_sheet)
            return lacks(r->plate, "sheet", "add thickness: {sheet: 1.6 mm}", err);
        add_change(r, sheet, NULL, "sheet");
        return TW_OK;
    }
    if (!of_forged)
        return tw_by_unknown(profile, by, err);
    if (!profile->has_forged)
        return lacks(r->plate, "forged map", "add thickness: {forged: …}, or take --by sheet", err);
    if (strcmp(by, "band") == 0) {
        r->what = BAND;
        if (profile->forged.law != TW_LAW_HELD)
            return lacks(r->plate, "band", "write \"law: held\": only that law has one", err);
        add_change(r, &r->spec.band, NULL, "band");
        return TW_OK;
    }
    if (strcmp(by, "hold") == 0) {
        r->what = HOLD;
        for (size_t k = 0; k < r->spec.edge_count; k++)
            add_change(r, &r->spec.edges[k].hold, "edge", r->spec.edges[k].edge);
        return r->out->change_count ? TW_OK : lacks(r->plate, "edge", "add edges: to forged:", err);
    }
    for (size_t k = 0; k < r->spec.strike_count; k++)
        if (tw_by_means(by, "strike", r->spec.strikes[k].name))
            add_change(r, &r->spec.strikes[k].thickness, "strike zone", r->spec.strikes[k].name);
    for (size_t k = 0; k < r->spec.edge_count; k++)
        if (tw_by_means(by, "edges", r->spec.edges[k].edge))
            add_change(r, &r->spec.edges[k].thickness, "edge", r->spec.edges[k].edge);
    return r->out->change_count ? TW_OK : tw_by_unknown(profile, by, err);
}

/* Number k's value when the first is `value`: thicknesses keep their proportion, holds are one. */
static double value_of(const reaching *r, size_t k, double value)
{
    const tw_plan_change *changes = r->out->changes;

    return r->what == THICKNESS && k > 0 ? value * (changes[k].before_mm / changes[0].before_mm)
                                         : value;
}

/* ---- masses ------------------------------------------------------------------------------------------ */

/* Distances hang neither on thickness nor on hold or band: those of the plate's own taper serve, unless
 * edges join or part. */
static tw_status find_taper(reaching *r, tw_taper **out, tw_error *err)
{
    const tw_taper *bases[] = {r->marched, r->plate->taper};
    tw_status status = TW_OK;

    *out = NULL;
    for (size_t k = 0; status == TW_OK && !*out && k < 2; k++)
        if (bases[k])
            status = tw_taper_with(bases[k], &r->spec, out, err);
    if (status != TW_OK || *out)
        return status;
    tw_taper_free(r->marched);
    r->marched = NULL;
    status = tw_taper_build(r->plate->form, r->plate->grid, &r->spec, r->threads, &r->marched, err);
    return status == TW_OK ? tw_taper_with(r->marched, &r->spec, out, err) : status;
}

/* The map with the numbers as they stand in the copy. */
static tw_status make_map(reaching *r, tw_map *out, tw_error *err)
{
    const tw_plate *plate = r->plate;
    tw_taper *taper = NULL;
    tw_status status;

    tw_map_release(out);
    if (r->what == SHEET)
        return tw_map_sheet(plate->grid, *r->target[0], out, err);
    status = find_taper(r, &taper, err);
    if (status == TW_OK)
        status = tw_map_forged(taper, out, err);
    tw_taper_free(taper);
    return status;
}

static tw_status map_at(reaching *r, double value, tw_map *out, tw_error *err)
{
    for (size_t k = 0; k < r->out->change_count; k++)
        *r->target[k] = value_of(r, k, value);
    return make_map(r, out, err);
}

static double map_mass(const reaching *r, const tw_map *map)
{
    return tw_plan_mass(r->plate, map->cell, map->node, r->volume);
}

static void mix(size_t n, const double *low, const double *high, double part, double *restrict out)
{
    for (size_t k = 0; k < n; k++)
        out[k] = low[k] + part * (high[k] - low[k]);
}

/* Mass over the target with a thickness between two forged maps. */
static double miss_between(double value, void *context)
{
    reaching *r = context;
    const tw_grid *grid = r->plate->grid;
    const double part = (value - r->low_value) / (r->high_value - r->low_value);

    r->out->trials++;
    mix(tw_grid_cells(grid), r->low.cell, r->high.cell, part, r->cell);
    mix(grid->nu * grid->nv, r->low.node, r->high.node, part, r->node);
    return tw_plan_mass(r->plate, r->cell, r->node, r->volume) - r->out->target_g;
}

/* The same with everything made anew. */
static double miss_anew(double value, void *context)
{
    reaching *r = context;

    r->out->trials++;
    if (r->status == TW_OK)
        r->status = map_at(r, value, &r->low, &r->err);
    return r->status == TW_OK ? map_mass(r, &r->low) - r->out->target_g : (double)NAN;
}

/* ---- roots ------------------------------------------------------------------------------------------- */

static tw_status unreachable(reaching *r, double low, double high, tw_error *err)
{
    const double at_low = miss_anew(low, r) + r->out->target_g;
    const double at_high = miss_anew(high, r) + r->out->target_g;
    char target[48], one[48], other[48], from[48], to[48];

    if (r->status != TW_OK) {
        if (err)
            *err = r->err;
        return r->status;
    }
    tw_write_mass(r->out->target_g, TW_METRIC, -1, target, sizeof target);
    tw_fail(err, TW_ERR_UNREACHABLE, "%s cannot be reached by %s: from %s to %s it weighs %s to %s",
            target, r->out->by, tw_write_thickness(low, TW_METRIC, -1, from, sizeof from),
            tw_write_thickness(high, TW_METRIC, -1, to, sizeof to),
            tw_write_mass(at_low, TW_METRIC, -1, one, sizeof one),
            tw_write_mass(at_high, TW_METRIC, -1, other, sizeof other));
    tw_error_advise(err, NULL, "ask for a weight between, or change something else");
    return TW_ERR_UNREACHABLE;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static bool is_target(const reaching *r, const double *number)
{
    for (size_t k = 0; k < r->out->change_count; k++)
        if (r->target[k] == number)
            return true;
    return false;
}

/* Values of the first change at which one of the changed meets another of its kind, with the ends of
 * what is tried; ascending. */
static double *find_meetings(reaching *r, size_t *count)
{
    const tw_forged_spec *own = &r->plate->profile->forged;
    const tw_plan_change *changes = r->out->changes;
    const bool zones = changes[0].strike != NULL;
    const size_t others = zones ? own->strike_count : own->edge_count;
    double *list = tw_arena_array(r->out->arena, others * r->out->change_count + 2, sizeof *list);

    if (!list)
        return NULL;
    list[(*count)++] = TW_PLAN_THINNEST;
    list[(*count)++] = TW_PLAN_THICKEST;
    for (size_t o = 0; o < others; o++) {
        const double *number = zones ? &r->spec.strikes[o].thickness : &r->spec.edges[o].thickness;
        const double thickness = zones ? own->strikes[o].thickness : own->edges[o].thickness;
        for (size_t k = 0; !is_target(r, number) && k < r->out->change_count; k++) {
            const double meets = thickness * (changes[0].before_mm / changes[k].before_mm);
            if (meets > TW_PLAN_THINNEST && meets < TW_PLAN_THICKEST)
                list[(*count)++] = meets;
        }
    }
    qsort(list, *count, sizeof *list, by_size);
    return list;
}

static tw_status march_between(reaching *r, double low, double high, tw_error *err)
{
    tw_status status;

    r->low_value = low * (1 + 1e-7); /* where thicknesses are equal they are one source */
    r->high_value = high * (1 - 1e-7);
    status = map_at(r, r->low_value, &r->low, err);
    return status == TW_OK ? map_at(r, r->high_value, &r->high, err) : status;
}

static tw_status find_thickness(reaching *r, double *value, tw_error *err)
{
    size_t count = 0, k = 0;
    const double *list = find_meetings(r, &count);
    int went = 0;

    if (!list)
        return no_memory(err);
    while (k + 2 < count && r->out->changes[0].before_mm >= list[k + 1])
        k++;
    for (;;) {
        tw_status status;
        if (list[k + 1] - list[k] < 1e-6 * list[k]) { /* two neighbours alike */
            if (went >= 0 && k + 2 < count)
                k++;
            else if (went <= 0 && k > 0)
                k--;
            else /* the last before an end of what is tried */
                break;
            continue;
        }
        status = march_between(r, list[k], list[k + 1], err);
        if (status != TW_OK)
            return status;
        if (miss_between(r->high_value, r) < 0) {
            if (went < 0) { /* between the two sides of a meeting */
                *value = list[k + 1];
                return TW_OK;
            }
            if (++k + 1 >= count)
                break;
            went = 1;
            continue;
        }
        if (miss_between(r->low_value, r) > 0) {
            if (went > 0) {
                *value = list[k];
                return TW_OK;
            }
            if (k-- == 0)
                break;
            went = -1;
            continue;
        }
        return tw_find_root(miss_between, r, r->low_value, r->high_value, 1e-6, value, err);
    }
    return unreachable(r, TW_PLAN_THINNEST, TW_PLAN_THICKEST, err);
}

/* hold, band and sheet. */
static tw_status find_anew(reaching *r, double low, double high, double tolerance, double *value,
                           tw_error *err)
{
    const double at_low = miss_anew(low, r), at_high = miss_anew(high, r);

    if (r->status == TW_OK && (at_low > 0) == (at_high > 0) && at_low != 0 && at_high != 0)
        return unreachable(r, low, high, err);
    if (r->status == TW_OK && tw_find_root(miss_anew, r, low, high, tolerance, value, err) == TW_OK)
        return TW_OK;
    if (r->status == TW_OK)
        return TW_ERR_UNREACHABLE;
    if (err)
        *err = r->err;
    return r->status;
}

static tw_status find_value(reaching *r, double *value, tw_error *err)
{
    const tw_outline *outline = tw_form_outline(r->plate->form);
    const double half =
        0.5 * fmin(outline->across_max - outline->across_min, outline->up_max - outline->up_min);
    double hold = 0;

    switch (r->what) {
    case THICKNESS:
        return find_thickness(r, value, err);
    case HOLD:
        return find_anew(r, 0, r->spec.law == TW_LAW_HELD ? 0.999 * r->spec.band : half, 0.01,
                         value, err);
    case BAND:
        for (size_t k = 0; k < r->spec.edge_count; k++)
            hold = fmax(hold, r->spec.edges[k].hold);
        return find_anew(r, hold + 1, fmax(half, hold + 2), 0.01, value, err);
    case SHEET:
        break;
    }
    return find_anew(r, TW_PLAN_THINNEST, TW_PLAN_THICKEST, 1e-6, value, err);
}

/* ---- the answer ----------------------------------------------------------------------------------------- */

static tw_status mass_shifted(reaching *r, double by, double *mass, tw_error *err)
{
    tw_status status;

    for (size_t k = 0; k < r->out->change_count; k++)
        *r->target[k] = fmax(r->out->changes[k].rounded_mm + by, r->what == HOLD ? 0 : 0.01);
    status = make_map(r, &r->low, err);
    if (status == TW_OK)
        *mass = map_mass(r, &r->low);
    return status;
}

static tw_status answer(reaching *r, double value, tw_error *err)
{
    const tw_plate *plate = r->plate;
    tw_reach *out = r->out;
    const tw_plate_map *own =
        tw_plate_map_of(plate, r->what == SHEET ? TW_MAP_SHEET : TW_MAP_FORGED);
    const double step = out->round_mm, half = 0.5 * step;
    double more = 0, less = 0;
    tw_status status;

    for (size_t k = 0; k < out->change_count; k++) {
        tw_plan_change *change = &out->changes[k];
        change->exact_mm = value_of(r, k, value);
        change->rounded_mm = step * round(change->exact_mm / step);
        if (r->what != HOLD)
            change->rounded_mm = fmax(change->rounded_mm, step);
        *r->target[k] = change->rounded_mm;
    }
    status = make_map(r, &out->map, err);
    if (status == TW_OK)
        status = tw_weigh(plate->grid, out->map.cell, out->map.node, plate->profile->face,
                          plate->profile->density, r->threads, &out->weight, err);
    if (status == TW_OK) {
        out->weight.numerical_error_g = own ? own->weight.numerical_error_g : (double)NAN;
        status = mass_shifted(r, half, &more, err);
    }
    if (status == TW_OK)
        status = mass_shifted(r, -half, &less, err);
    out->half_step_g = 0.5 * fabs(more - less);
    return status;
}

static tw_status check_numbers(double target_g, double round_mm, tw_error *err)
{
    if (!(target_g > 0) || !isfinite(target_g)) {
        tw_fail(err, TW_ERR_DOMAIN, "a weight of %g g is not above zero", target_g);
        tw_error_advise(err, NULL, "give a weight, as 2.2 kg");
        return TW_ERR_DOMAIN;
    }
    if (!(round_mm >= 0) || !isfinite(round_mm)) {
        tw_fail(err, TW_ERR_DOMAIN, "a step of %g mm to round to is not above zero", round_mm);
        tw_error_advise(err, NULL, "give what the gauge reads, as 0.1 mm");
        return TW_ERR_DOMAIN;
    }
    return TW_OK;
}

tw_status tw_plan_reach(const tw_plate *plate, const char *by, double target_g, double round_mm,
                        unsigned threads, tw_reach *out, tw_error *err)
{
    const tw_grid *grid = plate->grid;
    tw_reach reach = {.target_g = target_g, .arena = tw_arena_new()};
    reaching r = {.plate = plate, .threads = threads, .out = &reach};
    double sheet = 0, value = 0;
    tw_status status = check_numbers(target_g, round_mm, err);

    assert(by && out);
    if (!reach.arena)
        return no_memory(err);
    if (status == TW_OK) {
        reach.by = tw_arena_text(reach.arena, by);
        r.cell = tw_arena_array(reach.arena, tw_grid_cells(grid), sizeof *r.cell);
        r.volume = tw_arena_array(reach.arena, tw_grid_cells(grid), sizeof *r.volume);
        r.node = tw_arena_array(reach.arena, grid->nu * grid->nv, sizeof *r.node);
        status =
            reach.by && r.cell && r.volume && r.node ? copy_spec(&r, &sheet, err) : no_memory(err);
    }
    if (status == TW_OK)
        status = choose(&r, by, &sheet, err);
    if (status == TW_OK) {
        const bool lengths = r.what == HOLD || r.what == BAND;
        reach.round_mm = round_mm > 0 ? round_mm : lengths ? 1 : TW_PLAN_ROUND;
        status = lengths ? TW_OK : tw_round_check(round_mm, err);
    }
    if (status == TW_OK) {
        status = find_value(&r, &value, err);
    }
    if (status == TW_OK)
        status = answer(&r, value, err);
    tw_map_release(&r.low);
    tw_map_release(&r.high);
    tw_taper_free(r.marched);
    if (status == TW_OK)
        *out = reach;
    else
        tw_reach_release(&reach);
    return status;
}

void tw_reach_release(tw_reach *reach)
{
    if (!reach)
        return;
    tw_map_release(&reach->map);
    tw_arena_free(reach->arena);
    memset(reach, 0, sizeof *reach);
}
