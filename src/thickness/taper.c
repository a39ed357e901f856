/*
 * taper.c: which strike zones and edges are one source, and the distances from each, marched once
 * per grid. Zones of equal thickness and hold share the least of their distances; edges of equal
 * thickness and hold are marched together.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for the distances of a forged taper");
}

/* Point to a place in the profile unless an inner room did. */
static tw_status placed(const tw_form *form, tw_place place, tw_status status, tw_error *err)
{
    const tw_profile *profile = form ? tw_form_profile(form) : NULL;

    if (err && err->line == 0 && place.line != 0 && profile)
        tw_profile_place(profile, place, err);
    return status;
}

/* ---- what was asked for ------------------------------------------------------------------ */

static tw_status check_size(const tw_form *form, const char *what, const char *name,
                            double thickness, double hold, tw_place place, tw_error *err)
{
    tw_status status;

    if (!(thickness > 0) || !isfinite(thickness)) {
        status = tw_fail(err, TW_ERR_DOMAIN, "%s %s cannot be %g mm thick", what, name, thickness);
        tw_error_advise(err, NULL, "give a thickness above zero, as 1.6 mm");
        return placed(form, place, status, err);
    }
    if (!(hold >= 0) || !isfinite(hold)) {
        status = tw_fail(err, TW_ERR_DOMAIN, "%s %s cannot be held %g mm far", what, name, hold);
        tw_error_advise(err, NULL, "give a hold of 0 mm or more");
        return placed(form, place, status, err);
    }
    return TW_OK;
}

tw_status tw_taper_check(const tw_form *form, const tw_forged_spec *spec, tw_error *err)
{
    tw_status status = TW_OK;

    if (spec->strike_count + spec->edge_count == 0) {
        status = tw_fail(err, TW_ERR_INPUT, "a forged taper needs a strike zone or an edge");
        return placed(form, spec->place, status, err);
    }
    for (size_t k = 0; status == TW_OK && k < spec->strike_count; k++) {
        const tw_strike *strike = &spec->strikes[k];
        status = check_size(form, "strike zone", strike->name, strike->thickness, strike->hold,
                            strike->thickness_place, err);
    }
    for (size_t k = 0; status == TW_OK && k < spec->edge_count; k++) {
        const tw_edge_thickness *edge = &spec->edges[k];
        status = check_size(form, "edge", edge->edge, edge->thickness, edge->hold,
                            edge->thickness_place, err);
        if (status == TW_OK && spec->law == TW_LAW_HELD && !(spec->band > edge->hold)) {
            status =
                tw_fail(err, TW_ERR_DOMAIN, "the band of %g mm ends within the hold of edge %s",
                        spec->band, edge->edge);
            tw_error_advise(err, NULL, "make the band wider than %g mm", edge->hold);
            placed(form, edge->place, status, err);
        }
    }
    return status;
}

/* ---- edges -------------------------------------------------------------------------------- */

static bool means_all(const tw_edge_thickness *edge)
{
    return strcmp(edge->edge, "all") == 0;
}

static const tw_edge_line *line_named(const tw_outline *outline, const char *name)
{
    for (size_t e = 0; e < outline->edge_count; e++)
        if (strcmp(outline->edges[e].name, name) == 0)
            return &outline->edges[e];
    for (size_t h = 0; h < outline->hole_count; h++)
        if (strcmp(outline->holes[h].name, name) == 0)
            return &outline->holes[h];
    return NULL;
}

static tw_status unknown_edge(const tw_taper *taper, const tw_outline *outline,
                              const tw_edge_thickness *edge, tw_error *err)
{
    const tw_status status =
        tw_fail(err, TW_ERR_KEY, "the outline has no edge called %s", edge->edge);
    const char **names = tw_arena_array(taper->arena, outline->edge_count + 1, sizeof *names);
    const char *nearest = NULL;
    char list[120] = "";

    if (names) {
        for (size_t e = 0; e < outline->edge_count; e++)
            names[e] = outline->edges[e].name;
        nearest = tw_nearest_word(edge->edge, names, outline->edge_count);
    }
    for (size_t e = 0; e < outline->edge_count; e++) {
        const size_t used = strlen(list), more = strlen(outline->edges[e].name) + 2;
        if (used + more >= sizeof list - 4)
            break;
        strcat(list, outline->edges[e].name);
        strcat(list, ", ");
    }
    if (nearest)
        tw_error_advise(err, edge->edge, "did you mean %s?", nearest);
    else
        tw_error_advise(err, edge->edge, "its edges: %sor all of them as all", list);
    return placed(taper->form, edge->place, status, err);
}

/* Lines of each entry. An edge named by itself is not meant by `all`, which never means a hole. */
static tw_status find_lines(tw_taper *taper, tw_error *err)
{
    const tw_forged_spec *spec = taper->spec;
    const tw_outline *outline = spec->edge_count ? tw_form_outline(taper->form) : NULL;

    taper->sets = tw_arena_array(taper->arena, spec->edge_count, sizeof *taper->sets);
    if (!taper->sets)
        return no_memory(err);
    for (size_t s = 0; s < spec->edge_count; s++) {
        const tw_edge_thickness *edge = &spec->edges[s];
        tw_edge_set *set = &taper->sets[s];
        const size_t room = means_all(edge) ? outline->edge_count : 1;

        for (size_t before = 0; before < s; before++)
            if (strcmp(edge->edge, spec->edges[before].edge) == 0) {
                const tw_status status =
                    tw_fail(err, TW_ERR_KEY, "edge %s is given a thickness twice", edge->edge);
                return placed(taper->form, edge->place, status, err);
            }
        set->lines = tw_arena_array(taper->arena, room, sizeof *set->lines);
        if (!set->lines)
            return no_memory(err);
        if (!means_all(edge)) {
            const tw_edge_line *line = line_named(outline, edge->edge);
            if (!line)
                return unknown_edge(taper, outline, edge, err);
            set->lines[set->line_count++] = *line;
            continue;
        }
        for (size_t e = 0; e < outline->edge_count; e++) {
            bool named = false;
            for (size_t k = 0; k < spec->edge_count; k++)
                named = named || strcmp(spec->edges[k].edge, outline->edges[e].name) == 0;
            if (!named)
                set->lines[set->line_count++] = outline->edges[e];
        }
    }
    return TW_OK;
}

/* Squared distance from a point to a line of straight pieces, in tape coordinates. */
static double chart_distance2(const tw_edge_line *line, double across, double up)
{
    double least = INFINITY;

    for (size_t k = 0; k + 1 < line->count; k++) {
        const double *p = line->points[k], *q = line->points[k + 1];
        const double a = q[0] - p[0], u = q[1] - p[1], length2 = a * a + u * u;
        const double along = length2 > 0 ? ((across - p[0]) * a + (up - p[1]) * u) / length2 : 0;
        const double part = along < 0 ? 0 : along > 1 ? 1 : along;
        const double da = across - p[0] - part * a, du = up - p[1] - part * u;
        least = fmin(least, da * da + du * du);
    }
    return least;
}

tw_status tw_taper_march_lines(tw_march *march, const tw_form *form, const tw_grid *grid,
                               const tw_edge_line *lines, size_t line_count, double *distance,
                               tw_error *err)
{
    const double step = hypot(grid->across_step, grid->up_step);
    const tw_status status = tw_distance_from_lines(march, form, lines, line_count, distance, err);

    if (status != TW_OK)
        return status;
    /* A node off the metal lies beyond these lines when no other part of the outline is nearer,
     * that is when its distance to them is its distance to the outline. One that the plate puts
     * farther off than any metric could need not be asked. */
    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        const double level = grid->level[n];
        double least2 = INFINITY;
        if (!(level > 0) || !(fabs(distance[n]) < 4 * (level + step)))
            continue;
        for (size_t k = 0; k < line_count; k++)
            least2 = fmin(least2, chart_distance2(&lines[k], tw_grid_across(grid, n % grid->nu),
                                                  tw_grid_up(grid, n / grid->nu)));
        if (least2 <= level * level * (1 + 1e-6))
            distance[n] = -distance[n];
    }
    return TW_OK;
}

/* Edges of equal thickness and hold are one source: gathers the lines of each, and room for its
 * distances. */
static tw_status gather_edges(tw_taper *taper, tw_edge_group *groups, tw_error *err)
{
    const tw_forged_spec *spec = taper->spec;
    const size_t nodes = taper->grid->nu * taper->grid->nv;
    const tw_outline *outline = spec->edge_count ? tw_form_outline(taper->form) : NULL;
    const size_t most = outline ? outline->edge_count + outline->hole_count : 0;
    tw_source *sources = tw_arena_array(taper->arena, spec->edge_count, sizeof *sources);

    if (!sources)
        return no_memory(err);
    taper->blend.edges = sources;
    for (size_t s = 0; s < spec->edge_count; s++) {
        const tw_edge_thickness *edge = &spec->edges[s];
        size_t before = 0;
        tw_edge_group *group;

        if (taper->sets[s].line_count == 0)
            continue;
        while (before < taper->blend.edge_count && !(sources[before].thickness == edge->thickness &&
                                                     sources[before].hold == edge->hold))
            before++;
        taper->sets[s].source = before;
        if (before < taper->blend.edge_count)
            continue; /* gathered with the first of its source */
        group = &groups[before];
        *group = (tw_edge_group){edge, 0, tw_arena_array(taper->arena, most, sizeof *group->lines),
                                 tw_arena_array(taper->arena, nodes, sizeof *group->distance)};
        if (!group->lines || !group->distance)
            return no_memory(err);
        for (size_t k = s; k < spec->edge_count; k++)
            if (spec->edges[k].thickness == edge->thickness && spec->edges[k].hold == edge->hold)
                for (size_t l = 0; l < taper->sets[k].line_count; l++)
                    group->lines[group->line_count++] = taper->sets[k].lines[l];
        sources[taper->blend.edge_count++] = (tw_source){
            .thickness = edge->thickness, .hold = edge->hold, .distance = group->distance};
    }
    return TW_OK;
}

static tw_status march_edge(const tw_taper *taper, tw_march *march, const tw_edge_group *group,
                            tw_error *err)
{
    const tw_status status = tw_taper_march_lines(march, taper->form, taper->grid, group->lines,
                                                  group->line_count, group->distance, err);

    if (status == TW_OK)
        return TW_OK;
    tw_error_within(err, "in edge %s", group->entry->edge);
    return placed(taper->form, group->entry->place, status, err);
}

/* ---- strike zones ------------------------------------------------------------------------- */

static tw_status march_strike(const tw_taper *taper, tw_march *march, size_t number, tw_error *err)
{
    const tw_strike *strike = &taper->spec->strikes[number];
    const tw_status status =
        tw_level_from_shape(march, taper->form, &strike->shape, taper->strikes[number], err);

    if (status == TW_OK)
        return TW_OK;
    tw_error_within(err, "in strike zone %s", strike->name);
    return placed(taper->form, strike->place, status, err);
}

tw_status tw_taper_gather_zones(tw_taper *taper, tw_error *err)
{
    const tw_forged_spec *spec = taper->spec;
    const size_t nodes = taper->grid->nu * taper->grid->nv;
    tw_source *sources = tw_arena_array(taper->arena, spec->strike_count, sizeof *sources);
    double **shared = tw_arena_array(taper->arena, spec->strike_count, sizeof *shared);

    if (!sources || !shared)
        return no_memory(err);
    taper->blend.zones = sources;
    for (size_t s = 0; s < spec->strike_count; s++) {
        const tw_strike *strike = &spec->strikes[s];
        size_t k = 0;

        while (k < taper->blend.zone_count &&
               !(sources[k].thickness == strike->thickness && sources[k].hold == strike->hold))
            k++;
        if (k == taper->blend.zone_count) {
            taper->blend.zone_count++;
            sources[k] = (tw_source){.thickness = strike->thickness,
                                     .hold = strike->hold,
                                     .distance = taper->strikes[s]};
            continue;
        }
        if (!shared[k]) { /* the second of its source: from here on a field of its own */
            shared[k] = tw_arena_array(taper->arena, nodes, sizeof **shared);
            if (!shared[k])
                return no_memory(err);
            memcpy(shared[k], sources[k].distance, nodes * sizeof **shared);
            sources[k].distance = shared[k];
        }
        for (size_t n = 0; n < nodes; n++)
            if (taper->strikes[s][n] < shared[k][n])
                shared[k][n] = taper->strikes[s][n];
    }
    return TW_OK;
}

/* ---- all marches of a plate ---------------------------------------------------------------- */

typedef struct marching {
    const tw_taper *taper;
    const tw_edge_group *groups;
} marching;

/* The strike zones', then the edge sources'. */
static tw_status march_source(tw_march *march, size_t number, void *context, tw_error *err)
{
    const marching *work = context;
    const size_t strikes = work->taper->spec->strike_count;

    return number < strikes ? march_strike(work->taper, march, number, err)
                            : march_edge(work->taper, march, &work->groups[number - strikes], err);
}

static tw_status march_sources(tw_taper *taper, unsigned threads, tw_error *err)
{
    const size_t nodes = taper->grid->nu * taper->grid->nv;
    tw_edge_group *groups = tw_arena_array(taper->arena, taper->spec->edge_count, sizeof *groups);
    tw_status status;

    taper->strikes =
        tw_arena_array(taper->arena, taper->spec->strike_count, sizeof *taper->strikes);
    if (!groups || !taper->strikes)
        return no_memory(err);
    for (size_t s = 0; s < taper->spec->strike_count; s++) {
        taper->strikes[s] = tw_arena_array(taper->arena, nodes, sizeof *taper->strikes[s]);
        if (!taper->strikes[s])
            return no_memory(err);
    }
    status = gather_edges(taper, groups, err);
    if (status == TW_OK)
        status = tw_march_each(taper->grid, taper->spec->strike_count + taper->blend.edge_count,
                               threads, march_source, &(marching){taper, groups}, err);
    return status == TW_OK ? tw_taper_gather_zones(taper, err) : status;
}

/* ---- the taper ---------------------------------------------------------------------------- */

tw_status tw_taper_build(const tw_form *form, const tw_grid *grid, const tw_forged_spec *spec,
                         unsigned threads, tw_taper **out, tw_error *err)
{
    tw_arena *arena = NULL;
    tw_taper *taper = NULL;
    tw_status status;

    assert(form && grid && spec && out);
    status = tw_taper_check(form, spec, err);
    if (status != TW_OK)
        return status;
    arena = tw_arena_new();
    taper = arena ? tw_arena_array(arena, 1, sizeof *taper) : NULL;
    if (!taper) {
        tw_arena_free(arena);
        return no_memory(err);
    }
    *taper = (tw_taper){.form = form,
                        .grid = grid,
                        .spec = spec,
                        .threads = threads,
                        .blend = {.law = spec->law, .band = spec->band},
                        .arena = arena};
    status = find_lines(taper, err);
    if (status == TW_OK)
        status = march_sources(taper, threads, err);
    if (status == TW_OK) {
        *out = taper;
        taper = NULL;
    }
    tw_taper_free(taper);
    return status;
}

void tw_taper_free(tw_taper *taper)
{
    if (taper)
        tw_arena_free(taper->arena);
}
