/*
 * limits.c: one map of a plate held against a rule book's least thicknesses.
 *
 * A limit binds the thinnest place it holds at, so the map is searched: every node in metal and every
 * point of the outline, or, in a strike zone, every node in metal inside it, the points where its
 * border crosses the grid, and the outline's points inside it. Values between nodes are bilinear; but
 * a forged map bends at a zone's border, where bilinear values are too thin, so of it only nodes
 * inside count: it is nowhere in a zone thinner than the zone's own thickness.
 *
 * Where U is not the same everywhere (readings) three places matter: the least t; the least t − U, where
 * a rule is in doubt first, thin or hardly known; the least t + U, where it is surely broken first.
 *
 * U at 95 %: of readings 1.96 times the map's standard deviation there (JCGM 100:2008, G.1.3: normal,
 * many degrees of freedom, as the fit averages over its own parameters); of sheet the bound of its
 * tolerance, all of it, since a sheet at the bound is a sheet as sold; of a forged map nothing, as the
 * map is what was asked for, and only a gauge tells what came of it.
 */
#include "taperwright/harness.h"

#include "taperwright/compare.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define COVERAGE 1.96 /* normal, 95 % */

const char *tw_limit_word(tw_limit_verdict verdict)
{
    switch (verdict) {
    case TW_LIMIT_MET:
        return "met";
    case TW_LIMIT_IN_DOUBT:
        return "in doubt";
    case TW_LIMIT_UNDER:
        return "under";
    case TW_LIMIT_NOT_ABOUT:
        return "not about this plate";
    case TW_LIMIT_UNKNOWN:
        return "cannot be told";
    }
    return "cannot be told";
}

/* ---- sheet as it is sold ------------------------------------------------------------------------ */

/** Bound of a sheet's thickness and where it comes from. */
typedef struct bound {
    double mm;
    const char *why;
} bound;

static const char *standard_words(const tw_tolerance_spec *spec)
{
    static const char *const hot[] = {[TW_CLASS_NORMAL] = "stock tolerance EN 10051 category A",
                                      [TW_CLASS_SPECIAL] = "stock tolerance EN 10051",
                                      [TW_CLASS_B] = "stock tolerance EN 10051 category B",
                                      [TW_CLASS_C] = "stock tolerance EN 10051 category C",
                                      [TW_CLASS_D] = "stock tolerance EN 10051 category D"};

    if (spec->bound > 0)
        return "stock tolerance as given";
    if (spec->standard == TW_TOLERANCE_HOT_ROLLED)
        return hot[spec->grade];
    return spec->grade == TW_CLASS_SPECIAL ? "stock tolerance EN 10131 special"
                                           : "stock tolerance EN 10131 normal";
}

static bound usual_bound(double thickness)
{
    static const char *const words[] = {
        [TW_USUAL_COLD_ROLLED] = "stock tolerance EN 10131 normal (not said how bought)",
        [TW_USUAL_HOT_ROLLED] = "stock tolerance EN 10051 category A (not said how bought)",
        [TW_USUAL_SHARE] = "stock tolerance taken as 7 % (not said how bought)"};
    bound found;

    found.why = words[tw_tolerance_usual(thickness, &found.mm)];
    return found;
}

static tw_status sheet_bound(const tw_profile *profile, bound *out, tw_error *err)
{
    const tw_tolerance_spec *spec = &profile->tolerance;
    tw_status status = TW_OK;

    if (!spec->given) {
        *out = usual_bound(profile->sheet.thickness);
        return TW_OK;
    }
    *out = (bound){spec->bound, standard_words(spec)};
    if (!(spec->bound > 0))
        status = tw_tolerance_find(spec->standard, spec->grade, profile->sheet.thickness,
                                   spec->width, &out->mm, err);
    if (status != TW_OK)
        tw_profile_place(profile, spec->place, err);
    return status;
}

/* ---- the thinnest place --------------------------------------------------------------------------- */

typedef struct place {
    double thickness, expanded, at[2];
} place;
/** A search over places of one map. */
typedef struct search {
    const tw_grid *grid;
    const double *node; /* thickness */
    const double *sd;   /* of it, or NULL */
    double even;        /* U where sd is NULL */
    size_t tried;
    place thinnest, shakiest, surest; /* of the least t, t − U, t + U */
} search;

static void try_place(search *s, double thickness, double sd, double across, double up)
{
    const place here = {thickness, s->sd ? COVERAGE * sd : s->even, {across, up}};

    if (!isfinite(here.thickness - here.expanded))
        return;
    if (s->tried == 0 || here.thickness < s->thinnest.thickness)
        s->thinnest = here;
    if (s->tried == 0 ||
        here.thickness - here.expanded < s->shakiest.thickness - s->shakiest.expanded)
        s->shakiest = here;
    if (s->tried == 0 || here.thickness + here.expanded < s->surest.thickness + s->surest.expanded)
        s->surest = here;
    s->tried++;
}

static void try_node(search *s, size_t n)
{
    try_place(s, s->node[n], s->sd ? s->sd[n] : 0, tw_grid_across(s->grid, n % s->grid->nu),
              tw_grid_up(s->grid, n / s->grid->nu));
}

static void try_point(search *s, double across, double up)
{
    try_place(s, tw_grid_sample(s->grid, s->node, across, up),
              s->sd ? tw_grid_sample(s->grid, s->sd, across, up) : 0, across, up);
}

/* Points of outline and holes; with a zone's level only those inside it. */
static void try_outline(search *s, const tw_form *form, const double *level)
{
    const tw_outline *outline = tw_form_outline(form);

    for (size_t e = 0; e < outline->edge_count + outline->hole_count; e++) {
        const tw_edge_line *line =
            e < outline->edge_count ? &outline->edges[e] : &outline->holes[e - outline->edge_count];
        for (size_t k = 0; k < line->count; k++) {
            const double *at = line->points[k];
            if (!level || tw_grid_sample(s->grid, level, at[0], at[1]) <= 0)
                try_point(s, at[0], at[1]);
        }
    }
}

/* Where the zone's border crosses the line from node n to `other`, when that is in metal. */
static void try_crossing(search *s, const double *level, size_t n, size_t other)
{
    const tw_grid *grid = s->grid;
    double part, from[2], to[2], at[2];

    if ((level[n] < 0) == (level[other] < 0))
        return;
    part = level[n] / (level[n] - level[other]);
    from[0] = tw_grid_across(grid, n % grid->nu);
    from[1] = tw_grid_up(grid, n / grid->nu);
    to[0] = tw_grid_across(grid, other % grid->nu);
    to[1] = tw_grid_up(grid, other / grid->nu);
    for (int i = 0; i < 2; i++)
        at[i] = from[i] + part * (to[i] - from[i]);
    if (tw_grid_sample(grid, grid->level, at[0], at[1]) <= 0)
        try_point(s, at[0], at[1]);
}

static void try_zone(search *s, const tw_form *form, const double *level, bool bends)
{
    const tw_grid *grid = s->grid;

    for (size_t j = 0; j < grid->nv; j++)
        for (size_t i = 0; i < grid->nu; i++) {
            const size_t n = j * grid->nu + i;
            if (level[n] < 0 && grid->level[n] <= 0)
                try_node(s, n);
            if (i + 1 < grid->nu && !bends)
                try_crossing(s, level, n, n + 1);
            if (j + 1 < grid->nv && !bends)
                try_crossing(s, level, n, n + grid->nu);
        }
    if (!bends)
        try_outline(s, form, level);
}

/* A zone between nodes: what is at the node in metal nearest to it. */
static void try_small_zone(search *s, const double *level, const double *thickness)
{
    const tw_grid *grid = s->grid;
    size_t nearest = SIZE_MAX;

    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        if (grid->level[n] <= 0 && (nearest == SIZE_MAX || level[n] < level[nearest]))
            nearest = n;
    if (nearest != SIZE_MAX)
        try_place(s, thickness ? *thickness : s->node[nearest], s->sd ? s->sd[nearest] : 0,
                  tw_grid_across(grid, nearest % grid->nu), tw_grid_up(grid, nearest / grid->nu));
}

/* ---- one limit ------------------------------------------------------------------------------------ */

/** What is shared by the limits of one plate. */
typedef struct checking {
    tw_plate *plate;
    const tw_plate_map *map;
    tw_march *march;          /* made for the first zone */
    double *distance, *level; /* nu·nv */
    tw_arena *arena;
} checking;

static bool names_kind(const tw_limit_spec *spec, const char *kind)
{
    for (size_t k = 0; k < spec->kind_count; k++)
        if (strcmp(spec->kinds[k], kind) == 0)
            return true;
    return false;
}

/* Of a symmetric plate a zone's name stands for its two twins. */
static bool is_zone(const tw_profile *profile, const tw_strike *strike, const char *name)
{
    const size_t length = strlen(name);

    if (strncmp(strike->name, name, length) != 0)
        return false;
    return strike->name[length] == '\0' ||
           (profile->symmetric && (strcmp(strike->name + length, " left") == 0 ||
                                   strcmp(strike->name + length, " right") == 0));
}

static void judge(const search *s, tw_limit *limit)
{
    /* Thicknesses that came through inches may miss a limit by their last bits. */
    const double least = limit->spec->least - 1e-9;
    const bool under = s->surest.thickness + s->surest.expanded < least;
    const place *told = s->thinnest.thickness >= least ? &s->shakiest : &s->thinnest;

    if (under && told->thickness + told->expanded >= least)
        told = &s->surest; /* the thinnest is less well known, and may hold */

    limit->thinnest_mm = told->thickness;
    limit->expanded_mm = told->expanded;
    memcpy(limit->at, told->at, sizeof limit->at);
    limit->verdict = under                                      ? TW_LIMIT_UNDER
                     : told->thickness - told->expanded < least ? TW_LIMIT_IN_DOUBT
                     : limit->dished_mm < least                 ? TW_LIMIT_IN_DOUBT
                                                                : TW_LIMIT_MET;
}

static tw_status judge_stock(const tw_profile *profile, tw_limit *limit, tw_error *err)
{
    search s = {0};
    bound b;
    tw_status status;

    if (!profile->has_sheet) {
        limit->verdict = TW_LIMIT_UNKNOWN;
        limit->why = "no sheet is given";
        return TW_OK;
    }
    status = sheet_bound(profile, &b, err);
    if (status != TW_OK)
        return status;
    s.even = b.mm;
    limit->why = b.why;
    try_place(&s, profile->sheet.thickness, 0, NAN, NAN);
    judge(&s, limit);
    return TW_OK;
}

static tw_status zone_level(checking *c, const tw_strike *strike, tw_error *err)
{
    const size_t nodes = c->plate->grid->nu * c->plate->grid->nv;
    tw_status status = TW_OK;

    if (!c->march) {
        c->arena = tw_arena_new();
        if (c->arena) {
            c->distance = tw_arena_array(c->arena, nodes, sizeof *c->distance);
            c->level = tw_arena_array(c->arena, nodes, sizeof *c->level);
        }
        if (!c->distance || !c->level)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for the zones of limits");
        status = tw_march_new(c->plate->grid, 1, &c->march, err);
    }
    if (status == TW_OK)
        status = tw_distance_from_shape(c->march, c->plate->form, &strike->shape, c->distance,
                                        c->level, err);
    if (status != TW_OK) {
        tw_error_within(err, "in strike zone %s", strike->name);
        if (err && err->line == 0)
            tw_profile_place(c->plate->profile, strike->place, err);
        return status;
    }
    for (size_t n = 0; n < nodes; n++) /* crossings are looked for between numbers */
        if (!isfinite(c->level[n]))
            c->level[n] = 1e9;
    return TW_OK;
}

static tw_status set_out(checking *c, search *s, tw_limit *limit, tw_error *err)
{
    const tw_plate *plate = c->plate;
    bound b;
    tw_status status;

    switch (c->map->map.kind) {
    case TW_MAP_FORGED:
        limit->why = "as written: gauge the finished plate";
        return TW_OK;
    case TW_MAP_READINGS:
        assert(plate->survey && plate->survey->sd);
        s->sd = plate->survey->sd;
        limit->why = "readings";
        return TW_OK;
    case TW_MAP_IMAGE:
        s->even =
            hypot(plate->profile->image.picture.level_step / sqrt(12),
                  isnan(plate->profile->image.uncertainty) ? 0 : plate->profile->image.uncertainty);
        limit->why = isnan(plate->profile->image.uncertainty)
                         ? "levels of the picture; not said how good it is"
                         : "levels of the picture, and its own ±";
        return TW_OK;
    case TW_MAP_AS_FORMED: /* least work is the least a sheet thins, not what a hammer does */
        limit->why = "an estimate: gauge the finished plate";
        return TW_OK;
    case TW_MAP_SHEET:
        break;
    }
    status = sheet_bound(plate->profile, &b, err);
    if (status == TW_OK) {
        const double q = tw_dished_ratio(plate->grid);
        s->even = b.mm;
        limit->why = b.why;
        limit->dished_mm = plate->profile->sheet.thickness / (1 + q * q);
    }
    return status;
}

/* The map's own extreme is the finer one: along an edge it has the edge's exact thickness, which nodes
 * beside it only come near to. */
static void try_map(search *s, const checking *c)
{
    const tw_grid *grid = s->grid;
    const tw_map *map = &c->map->map;

    if (!s->sd) {
        try_place(s, map->thinnest, 0, map->thinnest_at[0], map->thinnest_at[1]);
        return;
    }
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        if (grid->level[n] <= 0)
            try_node(s, n);
    try_outline(s, c->plate->form, NULL);
    if (s->tried == 0) /* so narrow that no node lies in it */
        try_point(s, map->thinnest_at[0], map->thinnest_at[1]);
}

static tw_status search_zones(checking *c, search *s, const char *name, bool *any, tw_error *err)
{
    const tw_profile *profile = c->plate->profile;
    const bool forged = c->map->map.kind == TW_MAP_FORGED;

    for (size_t k = 0; k < profile->forged.strike_count; k++) {
        const tw_strike *strike = &profile->forged.strikes[k];
        const size_t before = s->tried;
        tw_status status;

        if (!is_zone(profile, strike, name))
            continue;
        *any = true;
        status = zone_level(c, strike, err);
        if (status != TW_OK)
            return status;
        try_zone(s, c->plate->form, c->level, forged);
        if (s->tried == before)
            try_small_zone(s, c->level, forged ? &strike->thickness : NULL);
    }
    return TW_OK;
}

static void no_such_zone(const tw_profile *profile, tw_limit *limit)
{
    const tw_forged_spec *forged = &profile->forged;
    size_t best = 0;

    limit->verdict = TW_LIMIT_UNKNOWN;
    limit->no_zone = true;
    limit->why = forged->strike_count > 0 ? "the plate has no strike zone of that name"
                                          : "the plate has no strike zones";
    /* the words are compared two by two, as names lie in the zones and not in a list */
    for (size_t k = 0; k < forged->strike_count; k++) {
        const char *const pair[] = {forged->strikes[best].name, forged->strikes[k].name};
        if (tw_nearest_word(limit->spec->zone, pair, 2) == pair[1])
            best = k;
        else if (!tw_nearest_word(limit->spec->zone, pair, 1))
            best = k;
    }
    if (forged->strike_count > 0) {
        const char *const word[] = {forged->strikes[best].name};
        limit->nearest = tw_nearest_word(limit->spec->zone, word, 1);
    }
}

static tw_status judge_finished(checking *c, tw_limit *limit, tw_error *err)
{
    const char *zone = limit->spec->zone;
    search s = {.grid = c->plate->grid, .node = c->map->map.node};
    bool any = !zone;
    tw_status status = set_out(c, &s, limit, err);

    if (status == TW_OK && zone)
        status = search_zones(c, &s, zone, &any, err);
    if (status != TW_OK)
        return status;
    if (!zone)
        try_map(&s, c);
    if (!any) {
        no_such_zone(c->plate->profile, limit);
    } else if (s.tried == 0) {
        limit->verdict = TW_LIMIT_UNKNOWN;
        limit->why = "the map says nothing there";
    } else {
        judge(&s, limit);
    }
    return TW_OK;
}

static tw_status judge_one(checking *c, tw_limit *limit, tw_error *err)
{
    const tw_limit_spec *spec = limit->spec;
    const tw_profile *profile = c->plate->profile;

    if (!(spec->least > 0) || !isfinite(spec->least))
        return tw_fail(err, TW_ERR_DOMAIN, "a least thickness of %g mm is none", spec->least);
    if (spec->kind_count > 0 && !profile->kind) {
        limit->verdict = TW_LIMIT_UNKNOWN;
        limit->why = "it is about certain kinds of part, and the profile has no kind";
        return TW_OK;
    }
    if (spec->kind_count > 0 && !names_kind(spec, profile->kind)) {
        limit->verdict = TW_LIMIT_NOT_ABOUT;
        limit->why = "it is about other kinds of part";
        return TW_OK;
    }
    if (spec->before_forming)
        return judge_stock(profile, limit, err);
    if (!c->map) {
        limit->verdict = TW_LIMIT_UNKNOWN;
        limit->why = "there is no such map";
        return TW_OK;
    }
    return judge_finished(c, limit, err);
}

tw_status tw_limits_check(tw_plate *plate, const tw_plate_map *map, const tw_rules_file *rules,
                          unsigned threads, tw_limit *out, tw_error *err)
{
    checking c = {.plate = plate, .map = map};
    tw_status status = TW_OK;

    assert(plate && rules && (out || rules->count == 0));
    if (map && map->map.kind == TW_MAP_READINGS && !plate->survey->sd)
        status = tw_survey_spread(plate->survey, threads, err);
    for (size_t k = 0; k < rules->count && status == TW_OK; k++) {
        const double unknown = NAN;
        tw_limit limit = {.spec = &rules->limits[k],
                          .thinnest_mm = unknown,
                          .expanded_mm = unknown,
                          .dished_mm = unknown,
                          .at = {unknown, unknown}};
        status = judge_one(&c, &limit, err);
        if (status == TW_OK)
            out[k] = limit;
        else
            tw_error_within(err, "in limit %s", rules->limits[k].name);
    }
    tw_march_free(c.march);
    tw_arena_free(c.arena);
    return status;
}
