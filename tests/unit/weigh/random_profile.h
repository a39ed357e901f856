/*
 * random_profile.h: whole profiles drawn at random and written as YAML, for properties that must
 * hold on any plate. One draw may be written several ways: mirrored, scaled, cut into pieces.
 */
#ifndef RANDOM_PROFILE_H
#define RANDOM_PROFILE_H

#include "support.h"

#include "taperwright/weigh.h"

enum { CORNERS_MAX = 14, EDGES_MAX = 4, ZONES_MAX = 3, HOLES_MAX = 2, STATIONS_MAX = 4 };
typedef enum zone_kind { ZONE_DISC, ZONE_ELLIPSE, ZONE_LINE, ZONE_BOX } zone_kind;
typedef enum outline_kind {
    OUTLINE_RIM,
    OUTLINE_RECTANGLE,
    OUTLINE_ELLIPSE,
    OUTLINE_LIST
} outline_kind;

/* One draw. Lengths in mm; everything lies about the middle [0, middle]. */
typedef struct draw {
    tw_form_kind form;
    int bowl_profile;
    double bowl[3]; /* across, up, depth */
    size_t stations;
    double station[STATIONS_MAX][6]; /* ruler, half width, sides, heights at −½, 0, +½ of that */
    bool heights;                    /* of a loft: sections by heights, one side unlike the other */
    double keel[2];                  /* 0 for none */
    outline_kind outline;
    double middle, half[2];
    size_t corners; /* of a listed outline, round the plate */
    double corner[CORNERS_MAX][2];
    size_t edges,
        first[EDGES_MAX + 1];  /* edge k runs from corner first[k] to corner first[k + 1] */
    bool all;                  /* one thickness for every edge */
    double edge[EDGES_MAX][2]; /* thickness, 0 for none; hold */
    size_t zones, holes;
    zone_kind zone_kinds[ZONES_MAX];
    double zone[ZONES_MAX][6]; /* at, half sizes, thickness, hold */
    double hole[HOLES_MAX][3]; /* at, radius */
    int law, face;
    double band, sheet, density;
} draw;

/* How a draw is written down. */
typedef struct way {
    double scale, density; /* factors */
    bool mirrored;
    bool cut_edge; /* the first listed edge in two, in the middle of a stretch */
    double seam;   /* boxes cut in two at this share of their width; 0: whole */
} way;
static const way PLAIN = {.scale = 1, .density = 1};

typedef struct page {
    char text[8192];
    size_t length;
} page;

static inline void TW_PRINTF(2, 3) put(page *p, const char *format, ...)
{
    va_list list;

    va_start(list, format);
    p->length += (size_t)vsnprintf(p->text + p->length, sizeof p->text - p->length, format, list);
    va_end(list);
    assert_true(p->length < sizeof p->text);
}

/* ---- drawing --------------------------------------------------------------------------------- */

static inline size_t pick(test_random *random, size_t count)
{
    return (size_t)test_uniform(random, 0, (double)count) % count;
}

static inline void draw_form(test_random *random, draw *d)
{
    d->form = (tw_form_kind)(TW_FORM_FLAT + pick(random, 3));
    d->bowl_profile = (int)pick(random, 4);
    d->bowl[0] = test_uniform(random, 125, 160);
    d->bowl[1] = pick(random, 2) ? d->bowl[0] : test_uniform(random, 125, 160);
    d->bowl[2] = test_uniform(random, 70, 110);
    d->stations = 2 + pick(random, 3);
    d->heights = pick(random, 3) == 0;
    for (size_t k = 0; k < d->stations; k++) {
        double *s = d->station[k];
        s[0] = 270.0 * (double)k / (double)(d->stations - 1);
        s[1] = test_uniform(random, 130, 170);
        s[2] = test_uniform(random, 0, 15);
        s[4] = test_uniform(random, 60, 110);
        s[3] = s[4] * test_uniform(random, 0.7, 0.85);
        s[5] = s[4] * test_uniform(random, 0.7, 0.85);
    }
    if (!d->heights && pick(random, 2)) {
        d->keel[0] = test_uniform(random, 2, 7);
        d->keel[1] = test_uniform(random, 50, 90);
    }
    d->middle = d->form == TW_FORM_LOFT ? 135 : 0;
}

static inline void draw_outline(test_random *random, draw *d)
{
    static const size_t edges[] = {[OUTLINE_RECTANGLE] = 4, [OUTLINE_ELLIPSE] = 1};

    d->outline = (outline_kind)pick(random, 4);
    if (d->outline == OUTLINE_RIM && d->form == TW_FORM_FLAT)
        d->outline = OUTLINE_RECTANGLE;
    d->half[0] = test_uniform(random, 65, 85);
    d->half[1] = test_uniform(random, 65, 85);
    d->edges =
        d->outline == OUTLINE_RIM ? (d->form == TW_FORM_LOFT ? 4 : 1) : edges[d->outline % 3];
    if (d->outline != OUTLINE_LIST)
        return;
    d->edges = 1 + pick(random, EDGES_MAX);
    d->corners = 2 * d->edges + 4 + pick(random, 3);
    for (size_t k = 0; k < d->corners; k++) {
        const double angle =
            2 * TW_PI * ((double)k + test_uniform(random, -0.2, 0.2)) / (double)d->corners;
        const double radius = test_uniform(random, 75, 110);
        d->corner[k][0] = radius * cos(angle);
        d->corner[k][1] = d->middle + radius * sin(angle);
    }
    for (size_t k = 0; k < d->edges; k++)
        d->first[k] = 2 * k; /* two stretches each, the last edge the rest */
    d->first[d->edges] = d->corners;
}

static inline void draw_thickness(test_random *random, draw *d)
{
    const size_t missing = pick(random, d->edges + 2); /* an edge without a thickness, or none */

    d->all = pick(random, 2) == 0;
    for (size_t k = 0; k < d->edges; k++) {
        d->edge[k][0] = k == missing && d->edges > 1 ? 0 : test_uniform(random, 0.6, 1.8);
        d->edge[k][1] = pick(random, 2) ? test_uniform(random, 0, 12) : 0;
    }
    d->zones = pick(random, ZONES_MAX + 1);
    for (size_t k = 0; k < d->zones; k++) {
        double *z = d->zone[k];
        d->zone_kinds[k] = (zone_kind)pick(random, 4);
        z[0] = test_uniform(random, -30, 30);
        z[1] = d->middle + test_uniform(random, -30, 30);
        z[2] = test_uniform(random, 10, 30);
        z[3] = test_uniform(random, 10, 30);
        z[4] = test_uniform(random, 1.2, 3);
        z[5] = pick(random, 2) ? test_uniform(random, 0, 12) : 0;
    }
    d->law = (int)pick(random, 3);
    d->band = test_uniform(random, 15, 60); /* more than any hold */
    d->face = (int)pick(random, 3);
    d->sheet = test_uniform(random, 1, 2.5);
    d->density = test_uniform(random, 2700, 8900);
    d->holes = pick(random, HOLES_MAX + 1);
    for (size_t k = 0; k < d->holes; k++) {
        d->hole[k][0] = (k ? -1 : 1) * test_uniform(random, 20, 40);
        d->hole[k][1] = d->middle + test_uniform(random, -20, 20);
        d->hole[k][2] = test_uniform(random, 2, 8);
    }
}

static inline draw draw_profile(test_random *random)
{
    draw d = {.form = TW_FORM_FLAT};

    draw_form(random, &d);
    draw_outline(random, &d);
    draw_thickness(random, &d);
    return d;
}

/* ---- writing --------------------------------------------------------------------------------- */

static inline void put_point(page *p, const way *w, double across, double up)
{
    put(p, "[%.17g, %.17g]", (w->mirrored ? -across : across) * w->scale, up * w->scale);
}

static inline void put_station(page *p, const draw *d, const double s[6], const way *w)
{
    const double f = w->scale, left = w->mirrored ? s[5] : s[3], right = w->mirrored ? s[3] : s[5];

    if (d->heights)
        put(p,
            "    - {ruler: %.17g, heights: [[%.17g, %.17g], [%.17g, %.17g], [0, %.17g], "
            "[%.17g, %.17g], [%.17g, %.17g]]}\n",
            s[0] * f, -s[1] * f, s[2] * f, -s[1] / 2 * f, left * f, s[4] * f, s[1] / 2 * f,
            right * f, s[1] * f, s[2] * f);
    else
        put(p, "    - {ruler: %.17g, width: %.17g, centre: %.17g, sides: %.17g}\n", s[0] * f,
            2 * s[1] * f, s[4] * f, s[2] * f);
}

static inline void put_form(page *p, const draw *d, const way *w)
{
    static const char *const profiles[] = {"round", "full", "cone", "parabola"};

    if (d->form == TW_FORM_FLAT) {
        put(p, "form: flat\n");
        return;
    }
    if (d->form == TW_FORM_BOWL) {
        put(p, "form: {bowl: {across: %.17g mm, up: %.17g mm, depth: %.17g mm, profile: %s}}\n",
            d->bowl[0] * w->scale, d->bowl[1] * w->scale, d->bowl[2] * w->scale,
            profiles[d->bowl_profile]);
        return;
    }
    put(p, "form:\n  loft:\n");
    for (size_t k = 0; k < d->stations; k++)
        put_station(p, d, d->station[k], w);
    if (d->keel[0] > 0)
        put(p, "  keel: {stands: %.17g mm, width: %.17g mm}\n", d->keel[0] * w->scale,
            d->keel[1] * w->scale);
}

static inline void put_edge(page *p, const draw *d, size_t k, const way *w)
{
    const size_t first = d->first[k], last = d->first[k + 1];
    const double *a = d->corner[first], *b = d->corner[first + 1];
    const bool cut = w->cut_edge && k == 0;

    put(p, "  - {edge: e%zu, points: [", k);
    put_point(p, w, a[0], a[1]);
    if (cut) {
        put(p, ", ");
        put_point(p, w, (a[0] + b[0]) / 2, (a[1] + b[1]) / 2);
        put(p, "]}\n  - {edge: piece, points: [");
        put_point(p, w, (a[0] + b[0]) / 2, (a[1] + b[1]) / 2);
    }
    for (size_t c = first + 1; c <= last; c++) {
        put(p, ", ");
        put_point(p, w, d->corner[c % d->corners][0], d->corner[c % d->corners][1]);
    }
    put(p, "]}\n");
}

static inline void put_outline(page *p, const draw *d, const way *w)
{
    if (d->outline == OUTLINE_RIM)
        return;
    if (d->outline != OUTLINE_LIST) {
        put(p, "outline: {%s: {at: ", d->outline == OUTLINE_ELLIPSE ? "ellipse" : "rectangle");
        put_point(p, w, 0, d->middle);
        put(p, ", across: %.17g mm, up: %.17g mm}}\n", d->half[0] * w->scale,
            d->half[1] * w->scale);
        return;
    }
    put(p, "outline:\n");
    for (size_t k = 0; k < d->edges; k++)
        put_edge(p, d, k, w);
}

static inline void put_edge_thickness(page *p, const char *name, const double edge[2], const way *w)
{
    if (edge[0] > 0)
        put(p, "      - {edge: %s, thickness: %.17g mm, hold: %.17g mm}\n", name,
            edge[0] * w->scale, edge[1] * w->scale);
}

/* Right and left change places in the mirror. */
static inline const char *edge_name(const draw *d, size_t k, const way *w)
{
    static const char *const sides[] = {"lower", "right", "upper", "left"};
    static const char *const listed[] = {"e0", "e1", "e2", "e3"};

    if (d->outline == OUTLINE_LIST)
        return listed[k % EDGES_MAX];
    if (d->edges == 1)
        return "rim";
    return sides[(w->mirrored && k % 2 == 1 ? 4 - k : k) % 4];
}

static inline void put_edges(page *p, const draw *d, const way *w)
{
    put(p, "    edges:\n");
    if (d->all) {
        const double first[2] = {d->edge[0][0] > 0 ? d->edge[0][0] : 1, d->edge[0][1]};
        put_edge_thickness(p, "all", first, w);
        return;
    }
    for (size_t k = 0; k < d->edges; k++)
        put_edge_thickness(p, edge_name(d, k, w), d->edge[k], w);
    if (w->cut_edge)
        put_edge_thickness(p, "piece", d->edge[0], w);
}

static inline void put_box(page *p, const double z[6], double from, double to, const way *w)
{
    const double left = z[0] + (2 * from - 1) * z[2], right = z[0] + (2 * to - 1) * z[2];

    put(p, "      - {points: [");
    put_point(p, w, left, z[1] - z[3]);
    put(p, ", ");
    put_point(p, w, right, z[1] - z[3]);
    put(p, ", ");
    put_point(p, w, right, z[1] + z[3]);
    put(p, ", ");
    put_point(p, w, left, z[1] + z[3]);
    put(p, "], thickness: %.17g mm, hold: %.17g mm}\n", z[4] * w->scale, z[5] * w->scale);
}

static inline void put_zone(page *p, zone_kind kind, const double z[6], const way *w)
{
    const double f = w->scale;

    if (kind == ZONE_BOX) {
        put_box(p, z, 0, w->seam > 0 ? w->seam : 1, w);
        if (w->seam > 0)
            put_box(p, z, w->seam, 1, w);
        return;
    }
    put(p, kind == ZONE_LINE ? "      - {line: [" : "      - {at: ");
    if (kind == ZONE_LINE) {
        put_point(p, w, z[0] - z[2], z[1] - z[3]);
        put(p, ", ");
        put_point(p, w, z[0] + z[2], z[1] + z[3]);
        put(p, "], width: %.17g mm", z[2] * f);
    } else {
        put_point(p, w, z[0], z[1]);
        if (kind == ZONE_DISC)
            put(p, ", radius: %.17g mm", z[2] * f);
        else
            put(p, ", across: %.17g mm, up: %.17g mm", z[2] * f, z[3] * f);
    }
    put(p, ", thickness: %.17g mm, hold: %.17g mm}\n", z[4] * f, z[5] * f);
}

static inline void put_profile(page *p, const draw *d, const way *w)
{
    static const char *const faces[] = {"outside", "middle", "inside"};
    static const char *const laws[] = {"straight", "eased", "held"};

    p->length = 0;
    put(p, "plate: drawn\nruler: mm\nface: %s\n", faces[d->face]);
    put(p, "material: {name: drawn metal, density: %.17g kg/m3}\n", d->density * w->density);
    put_form(p, d, w);
    put_outline(p, d, w);
    put(p, "thickness:\n  sheet: %.17g mm\n  forged:\n", d->sheet * w->scale);
    if (d->zones > 0)
        put(p, "    strike:\n");
    for (size_t k = 0; k < d->zones; k++)
        put_zone(p, d->zone_kinds[k], d->zone[k], w);
    put_edges(p, d, w);
    put(p, "    law: %s\n", laws[d->law]);
    if (d->law == 2)
        put(p, "    band: %.17g mm\n", d->band * w->scale);
    if (d->holes > 0)
        put(p, "holes:\n");
    for (size_t k = 0; k < d->holes; k++) {
        put(p, "  - {at: ");
        put_point(p, w, d->hole[k][0], d->hole[k][1]);
        put(p, ", radius: %.17g mm}\n", d->hole[k][2] * w->scale);
    }
}

/* ---- building -------------------------------------------------------------------------------- */

/** A profile and the plate that borrows it; pair with built_free(). */
typedef struct built {
    tw_profile *profile;
    tw_plate *plate;
} built;

/** Reads and builds a draw; a refusal fails the test and prints the profile. */
static inline built build(const draw *d, const way *w, size_t cells)
{
    const tw_plate_options options = {.cells = cells, .threads = 1};
    built b = {NULL, NULL};
    tw_notes errors = {0};
    tw_error err = {.message = ""};
    page p;

    put_profile(&p, d, w);
    if (tw_profile_read_memory("drawn.yaml", p.text, p.length, NULL, 0, &b.profile, &errors) !=
        TW_OK)
        err = errors.items[0];
    else
        tw_plate_build(b.profile, &options, &b.plate, &err);
    if (!b.plate) {
        fputs(p.text, stderr); /* longer than cmocka prints */
        print_error("drawn.yaml:%d:%d: %s; %s\n", err.line, err.column, err.message, err.advice);
        fail();
    }
    return b;
}

static inline void built_free(built *b)
{
    tw_plate_free(b->plate);
    tw_profile_free(b->profile);
}

#endif
