/* Turned edges, flutes and bands along an edge: closed forms, notes, and what is refused. */
#include "support.h"

#include "taperwright/weigh.h"

static const double DENSITY = 7.85e-3; /* mild steel [g/mm³] */
enum { TURNS = 3 };

static tw_point tape_point(double across, double up)
{
    return (tw_point){.kind = TW_POINT_TAPE, .value = {across, up, 0}};
}

typedef struct turned_plate {
    tw_turned_edge turned[TURNS];
    tw_flutes_spec flutes[2];
    tw_strike strike;
    tw_edge_thickness edge;
    tw_shape hole;
    tw_profile profile;
    tw_plate *plate;
} turned_plate;

/* Flat, half sizes across and up, of even sheet. */
static void flat_init(turned_plate *p, tw_shape_kind kind, double across, double up, double sheet)
{
    memset(p, 0, sizeof *p);
    p->strike = (tw_strike){
        .name = "heart",
        .shape = {.kind = TW_SHAPE_DISC, .at = tape_point(0, 0), .across = 30, .up = 30},
        .thickness = 2.6};
    p->edge = (tw_edge_thickness){.edge = "all", .thickness = 1.2};
    p->hole = (tw_shape){.kind = TW_SHAPE_DISC, .at = tape_point(0, 40), .across = 20, .up = 20};
    p->profile = (tw_profile){
        .file = "",
        .plate = "lame",
        .material = "mild steel",
        .density = DENSITY,
        .form = TW_FORM_FLAT,
        .outline = {.kind = TW_OUTLINE_SHAPE,
                    .shape = {.kind = kind, .at = tape_point(0, 0), .across = across, .up = up}},
        .has_sheet = true,
        .sheet = {.thickness = sheet},
        .turned = p->turned,
        .flutes = p->flutes};
}

static void turn(turned_plate *p, const char *edge, double roll, double wire)
{
    p->turned[p->profile.turned_count++] =
        (tw_turned_edge){.edge = edge, .roll = roll, .wire = wire, .place = {7, 3}};
}

static void build(turned_plate *p, size_t cells)
{
    const tw_plate_options options = {.cells = cells, .threads = 1};
    tw_error err = {0};

    if (tw_plate_build(&p->profile, &options, &p->plate, &err) != TW_OK)
        fail_msg("%s", err.message);
}

static tw_extra_weight extra_of(const turned_plate *p, tw_map_kind kind)
{
    tw_extra_weight extra;
    tw_error err = {0};

    if (tw_plate_extra(p->plate, tw_plate_map_of(p->plate, kind), &extra, &err) != TW_OK)
        fail_msg("%s", err.message);
    return extra;
}

/* ---- rolls -------------------------------------------------------------------------------------- */

/* A straight edge of 200 mm, 8 mm outside over 4 mm of wire, sheet of 2 mm: one layer.
 * Metal π(8² − 4²)/4 = 12π mm², wire 4π mm²; by hand. */
static void straight_roll_weighs_its_ring(void **state)
{
    turned_plate p;
    tw_extra_weight extra;

    (void)state;
    flat_init(&p, TW_SHAPE_RECTANGLE, 100, 150, 2);
    turn(&p, "upper", 8, 4);
    build(&p, 32);
    extra = extra_of(&p, TW_MAP_SHEET);
    assert_int_equal(extra.turn_count, 1);
    assert_string_equal(extra.turns[0].edge, "upper");
    assert_close(extra.turns[0].length_mm, 200, 1e-9);
    assert_close(extra.turns[0].edge_mm, 2, 1e-12);
    assert_close(extra.turns[0].layers, 1, 1e-12);
    assert_close(extra.turns[0].hollow_mm, 4, 0);
    assert_close(extra.turns[0].sheet_g, 12 * TW_PI * 200 * DENSITY, 1e-9);
    assert_close(extra.turns[0].wire_g, 4 * TW_PI * 200 * DENSITY, 1e-9);
    assert_close(extra.mass_g, 16 * TW_PI * 200 * DENSITY, 1e-9);
    /* one layer is as long as its own middle line, π(D − t) */
    assert_close(extra.turns[0].wrap_mm, TW_PI * (8 - 2), 1e-9);
    /* 0.25 mm rectangular on D: πD/2 of metal per mm of D */
    assert_close(extra.turns[0].u_g, DENSITY * 200 * TW_PI * 4 * 0.25 / sqrt(3), 1e-9);
    assert_int_equal(extra.notes.count, 0);
    tw_extra_weight_release(&extra);
    tw_extra_weight_release(&extra); /* nothing left to free */
    tw_plate_free(p.plate);
}

/* Whatever the layers, the ring holds what it holds; too many and too few are said. */
static void odd_layers_are_noted(void **state)
{
    static const struct {
        double sheet;
        const char *words;
    } cases[] = {{0.9, "2.2 layers of 0.90 mm"}, {3.2, "0.6 layers of 3.20 mm"}};

    (void)state;
    for (size_t k = 0; k < 2; k++) {
        turned_plate p;
        tw_extra_weight extra;
        flat_init(&p, TW_SHAPE_RECTANGLE, 100, 150, cases[k].sheet);
        turn(&p, "upper", 8, 4);
        build(&p, 32);
        extra = extra_of(&p, TW_MAP_SHEET);
        assert_close(extra.turns[0].sheet_g, 12 * TW_PI * 200 * DENSITY, 1e-9);
        assert_close(extra.turns[0].wrap_mm, 12 * TW_PI / cases[k].sheet, 1e-9);
        assert_int_equal(extra.notes.count, 1);
        assert_non_null(strstr(extra.notes.items[0].message, "turned edge upper"));
        if (!strstr(extra.notes.items[0].message, cases[k].words))
            fail_msg("%s lacks %s", extra.notes.items[0].message, cases[k].words);
        assert_int_equal(extra.notes.items[0].line, 7);
        tw_extra_weight_release(&extra);
        tw_plate_free(p.plate);
    }
}

/* Rim of a flat disc: 2πR. The solid ring torus by Pappus, 2π²Rr², bounds it: its middle line lies
 * somewhere within r of the edge's. */
static void round_edge_is_as_long_as_its_circle(void **state)
{
    const double R = 100, r = 2, t = 4;
    turned_plate p;
    tw_extra_weight extra;

    (void)state;
    flat_init(&p, TW_SHAPE_ELLIPSE, R, R, t);
    turn(&p, "rim", 2 * r, 0);
    build(&p, 64);
    extra = extra_of(&p, TW_MAP_SHEET);
    assert_close(extra.turns[0].length_mm, 2 * TW_PI * R, 1e-4 * R);
    assert_close(extra.turns[0].hollow_mm, 0, 0); /* 4 mm outside in 4 mm sheet: solid */
    assert_close(extra.turns[0].layers, 0.5, 1e-12);
    assert_true(extra.mass_g > 2 * TW_PI * TW_PI * (R - r) * r * r * DENSITY);
    assert_true(extra.mass_g < 2 * TW_PI * TW_PI * (R + r) * r * r * DENSITY);
    assert_close(extra.mass_g, 2 * TW_PI * TW_PI * R * r * r * DENSITY, 1e-5 * extra.mass_g);
    assert_non_null(strstr(extra.notes.items[0].message, "solid"));
    tw_extra_weight_release(&extra);
    tw_plate_free(p.plate);
}

/* The rim of a hemisphere is taped πR/2 from the crown, but it is 2πR long: chords in space. */
static void edge_is_measured_in_space(void **state)
{
    const double R = 110;
    turned_plate p;
    tw_extra_weight extra;

    (void)state;
    flat_init(&p, TW_SHAPE_ELLIPSE, R, R, 1.5);
    p.profile.form = TW_FORM_BOWL;
    p.profile.bowl = (tw_bowl_spec){.across = R, .up = R, .depth = R, .profile = TW_BOWL_ROUND};
    p.profile.outline = (tw_outline_spec){.kind = TW_OUTLINE_RIM};
    turn(&p, "rim", 7, 4);
    build(&p, 64);
    extra = extra_of(&p, TW_MAP_SHEET);
    assert_close(extra.turns[0].length_mm, 2 * TW_PI * R, 1e-4 * R);
    assert_close(extra.turns[0].layers, 1, 1e-9);
    tw_extra_weight_release(&extra);
    tw_plate_free(p.plate);
}

/* Hollow, one layer: πt(D − t). Its u against ∫(M(k) − M(1))² over k = 0.8 … 1.5 layers, each of which
 * leaves a bore of D − 2kt, by the midpoint rule; the caliper adds πt·0.25/√3. */
static void hollow_roll_is_one_layer_and_unsure(void **state)
{
    const double D = 9, t = 1.2, length = 200;
    turned_plate p;
    tw_extra_weight extra;
    double square = 0, u;
    enum { STEPS = 1000 };

    (void)state;
    flat_init(&p, TW_SHAPE_RECTANGLE, 100, 150, t);
    turn(&p, "lower", D, 0);
    build(&p, 32);
    extra = extra_of(&p, TW_MAP_SHEET);
    assert_close(extra.turns[0].hollow_mm, D - 2 * t, 1e-9);
    assert_close(extra.turns[0].layers, 1, 1e-9);
    assert_close(extra.turns[0].wrap_mm, TW_PI * (D - t), 1e-9);
    assert_close(extra.turns[0].sheet_g, DENSITY * length * TW_PI * t * (D - t), 1e-9);
    assert_close(extra.turns[0].wire_g, 0, 0);
    for (int i = 0; i < STEPS; i++) {
        const double k = 0.8 + 0.7 * (i + 0.5) / STEPS;
        const double off = TW_PI * k * t * (D - k * t) - TW_PI * t * (D - t);
        square += off * off / STEPS;
    }
    u = DENSITY * length * sqrt(square + pow(TW_PI * t * 0.25 / sqrt(3), 2));
    print_message("u %.3f g, by quadrature of the bent curve %.3f g\n", extra.turns[0].u_g, u);
    assert_close(extra.turns[0].u_g, u, 0.1 * u); /* linear in k here, bent there */
    assert_non_null(strstr(extra.notes.items[0].message, "one layer"));
    tw_extra_weight_release(&extra);
    tw_plate_free(p.plate);
}

/* `all` is the edges that no other row names, and never the hole's; u of rolls adds straight. */
static void all_means_the_other_edges(void **state)
{
    turned_plate p;
    tw_extra_weight extra;
    double length = 0, u = 0, mass = 0;

    (void)state;
    flat_init(&p, TW_SHAPE_RECTANGLE, 100, 150, 1.5);
    p.profile.holes = &p.hole;
    p.profile.hole_count = 1;
    turn(&p, "upper", 8, 5);
    turn(&p, "all", 7, 4);
    build(&p, 48);
    extra = extra_of(&p, TW_MAP_SHEET);
    assert_int_equal(extra.turn_count, 4);
    for (size_t k = 0; k < extra.turn_count; k++) {
        length += extra.turns[k].length_mm;
        u += extra.turns[k].u_g;
        mass += extra.turns[k].sheet_g + extra.turns[k].wire_g;
        assert_close(extra.turns[k].roll_mm, strcmp(extra.turns[k].edge, "upper") == 0 ? 8 : 7, 0);
    }
    assert_close(length, 1000, 1e-8);
    assert_close(extra.u_g, u, 1e-12 * u);
    assert_close(extra.mass_g, mass, 1e-12 * mass);
    tw_extra_weight_release(&extra);
    tw_plate_free(p.plate);
}

/* Along its own edge a forged map is the edge's thickness, but for what the nodes beside it blur: the
 * taper of 1.4 mm in 70 mm over part of a cell. */
static void forged_edge_has_its_thickness(void **state)
{
    turned_plate p;
    tw_extra_weight sheet, forged;

    (void)state;
    flat_init(&p, TW_SHAPE_ELLIPSE, 100, 100, 2);
    p.profile.has_forged = true;
    p.profile.forged = (tw_forged_spec){
        .strike_count = 1, .edge_count = 1, .strikes = &p.strike, .edges = &p.edge, .band = 40};
    turn(&p, "rim", 8, 5);
    build(&p, 128);
    sheet = extra_of(&p, TW_MAP_SHEET);
    forged = extra_of(&p, TW_MAP_FORGED);
    assert_close(forged.turns[0].edge_mm, 1.2, 0.01);
    assert_true(forged.turns[0].edge_mm >= 1.2);
    assert_close(forged.turns[0].sheet_g, sheet.turns[0].sheet_g, 1e-9); /* the ring is the ring */
    assert_true(forged.turns[0].wrap_mm > sheet.turns[0].wrap_mm);
    tw_extra_weight_release(&sheet);
    tw_extra_weight_release(&forged);
    tw_plate_free(p.plate);
}

/* ---- flutes ------------------------------------------------------------------------------------- */

/* 250 mm · (312 − 290) mm of face, 1.5 mm thick; tapes of ± 1 mm, rectangular. */
static void flutes_add_their_face(void **state)
{
    turned_plate p;
    tw_extra_weight extra;
    double u;

    (void)state;
    flat_init(&p, TW_SHAPE_RECTANGLE, 100, 150, 1.5);
    p.flutes[0] = (tw_flutes_spec){.length = 250, .over = 312, .straight = 290};
    p.flutes[1] = (tw_flutes_spec){.length = 100, .over = 100, .straight = 100};
    p.profile.flutes_count = 2;
    turn(&p, "upper", 7, 4);
    build(&p, 32);
    extra = extra_of(&p, TW_MAP_SHEET);
    assert_int_equal(extra.flute_count, 2);
    assert_close(extra.flutes[0].area_mm2, 5500, 1e-9);
    assert_close(extra.flutes[0].mass_g, 5500 * 1.5 * DENSITY, 1e-9);
    assert_close(extra.flutes[1].mass_g, 0, 0);
    u = 1.5 * DENSITY * sqrt((22.0 * 22 + 2 * 250.0 * 250) / 3);
    assert_close(extra.flutes[0].u_g, u, 1e-9);
    assert_close(extra.u_g,
                 sqrt(pow(extra.turns[0].u_g, 2) + pow(extra.flutes[0].u_g, 2) +
                      pow(extra.flutes[1].u_g, 2)),
                 1e-12);
    tw_extra_weight_release(&extra);
    p.profile.measured_to = 2; /* tapes twice as coarse */
    extra = extra_of(&p, TW_MAP_SHEET);
    assert_close(extra.flutes[0].u_g, 2 * u, 1e-9);
    tw_extra_weight_release(&extra);
    tw_plate_free(p.plate);
}

/* On a plate of 160 × 177 mm, 239 mm from corner to corner, 2.83 dm²: one note a row, with its place. */
static void figures_too_big_for_the_plate_are_noted(void **state)
{
    static const struct {
        tw_flutes_spec flutes;
        const char *words; /* NULL: no note */
    } cases[] = {{{150, 170, 140, {9, 3}}, NULL},
                 {{240, 105, 100, {9, 3}}, NULL}, /* along the diagonal, as far as tapes tell */
                 {{600, 400, 300, {9, 3}}, "flutes 600 mm long on a plate of 239 mm"},
                 {{100, 400, 300, {9, 3}}, "flutes 300 mm wide"},
                 {{170, 240, 200, {9, 3}}, "3.4 dm², on a plate whose face is 2.8 dm²"},
                 {{100, 310, 100, {9, 3}}, "3.1 times as much face"}};
    static const struct {
        double roll, wire;
        const char *words;
    } rolls[] = {{25, 12, NULL},
                 {60, 57.6, "a wire of 57.6 mm in a roll of 60"},
                 {26, 0, "turned edge all: a roll of 26"}};
    turned_plate p;
    tw_extra_weight extra;

    (void)state;
    flat_init(&p, TW_SHAPE_RECTANGLE, 80, 88.5, 1.5);
    p.profile.flutes_count = 1;
    p.flutes[0] = cases[0].flutes;
    build(&p, 32);
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        p.flutes[0] = cases[k].flutes;
        extra = extra_of(&p, TW_MAP_SHEET);
        assert_int_equal(extra.notes.count, cases[k].words != NULL);
        if (cases[k].words) {
            if (!strstr(extra.notes.items[0].message, cases[k].words))
                fail_msg("%s lacks %s", extra.notes.items[0].message, cases[k].words);
            assert_int_equal(extra.notes.items[0].line, 9);
        }
        tw_extra_weight_release(&extra);
    }
    p.profile.flutes_count = 0;
    turn(&p, "all", 8, 4);
    for (size_t k = 0; k < sizeof rolls / sizeof *rolls; k++) {
        size_t asked = 0; /* notes about layers may come beside it */
        p.turned[0].roll = rolls[k].roll;
        p.turned[0].wire = rolls[k].wire;
        extra = extra_of(&p, TW_MAP_SHEET);
        for (size_t n = 0; n < extra.notes.count; n++)
            if (strstr(extra.notes.items[n].advice, "is that in mm?")) {
                asked++;
                if (!rolls[k].words || !strstr(extra.notes.items[n].message, rolls[k].words))
                    fail_msg("%s", extra.notes.items[n].message);
            }
        assert_int_equal(asked, rolls[k].words != NULL); /* four edges, one note */
        tw_extra_weight_release(&extra);
    }
    tw_plate_free(p.plate);
}

static void nothing_turned_adds_nothing(void **state)
{
    turned_plate p;
    tw_extra_weight extra;

    (void)state;
    flat_init(&p, TW_SHAPE_RECTANGLE, 100, 150, 1.5);
    build(&p, 32);
    extra = extra_of(&p, TW_MAP_SHEET);
    assert_int_equal(extra.turn_count + extra.flute_count + extra.notes.count, 0);
    assert_true(extra.mass_g == 0 && extra.u_g == 0);
    tw_extra_weight_release(&extra);
    tw_plate_free(p.plate);
}

static void impossible_rolls_are_refused(void **state)
{
    static const struct {
        const char *edge;
        double roll, wire;
        tw_status status;
        const char *words, *advice;
    } cases[] = {
        {"upper", 4, 4, TW_ERR_DOMAIN, "no room for a wire of 4 mm", "outside diameter"},
        {"upper", NAN, 0, TW_ERR_DOMAIN, "not possible", "outside diameter"},
        {"upper", 8, NAN, TW_ERR_DOMAIN, "not possible", "outside diameter"},
        {"upper", 8, -1, TW_ERR_DOMAIN, "not possible", "outside diameter"},
        {"upper", INFINITY, 4, TW_ERR_DOMAIN, "not possible", "outside diameter"},
        {"uper", 8, 4, TW_ERR_KEY, "no edge called uper", "did you mean upper"},
        {"hole 1", 8, 4, TW_ERR_KEY, "no edge called hole 1", "lower"},
    };
    turned_plate p;

    (void)state;
    flat_init(&p, TW_SHAPE_RECTANGLE, 100, 150, 1.5);
    p.profile.holes = &p.hole;
    p.profile.hole_count = 1;
    build(&p, 32);
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_extra_weight extra = {.mass_g = 77};
        tw_error err = {0};
        p.profile.turned_count = 0;
        turn(&p, cases[k].edge, cases[k].roll, cases[k].wire);
        assert_int_equal(tw_plate_extra(p.plate, &p.plate->maps[0], &extra, &err), cases[k].status);
        if (!strstr(err.message, cases[k].words) || !strstr(err.advice, cases[k].advice))
            fail_msg("\"%s\" (%s) lacks \"%s\" (%s)", err.message, err.advice, cases[k].words,
                     cases[k].advice);
        assert_int_equal(err.line, 7);
        assert_close(extra.mass_g, 77, 0); /* left as it was */
        assert_int_equal(tw_plate_extra(p.plate, &p.plate->maps[0], &extra, NULL), cases[k].status);
    }
    p.profile.turned_count = 0;
    p.profile.flutes_count = 1;
    for (int k = 0; k < 3; k++) {
        tw_extra_weight extra;
        tw_error err = {0};
        p.flutes[0] = (tw_flutes_spec){250, 280 + 20 * (k > 0), k == 2 ? NAN : 290, {9, 3}};
        if (k == 1)
            p.flutes[0].length = 0;
        assert_int_equal(tw_plate_extra(p.plate, &p.plate->maps[0], &extra, &err), TW_ERR_DOMAIN);
        assert_non_null(strstr(err.advice, "every groove"));
        assert_int_equal(err.line, 9);
    }
    tw_plate_free(p.plate);
}

/* ---- bands -------------------------------------------------------------------------------------- */

static double band_of(const turned_plate *p, const char *edge, double within)
{
    double mass[TW_PLATE_MAPS_MAX];
    tw_error err = {0};

    if (tw_plate_band(p->plate, edge, within, mass, &err) != TW_OK)
        fail_msg("%s", err.message);
    return mass[0];
}

/* Along a straight edge of a flat rectangle: length × width × thickness, whatever the grid, and also
 * where the band is narrower than a cell. Wider than the plate: all of it. */
static void band_of_a_rectangle_is_exact(void **state)
{
    static const double widths[] = {0, 0.5, 3, 22, 150, 299};
    turned_plate p;

    (void)state;
    flat_init(&p, TW_SHAPE_RECTANGLE, 100, 150, 1.5);
    build(&p, 48);
    for (size_t k = 0; k < sizeof widths / sizeof *widths; k++) {
        const double exact = 200 * widths[k] * 1.5 * DENSITY;
        /* far off, distances along the sides are a little slow on so coarse a grid */
        assert_close(band_of(&p, "lower", widths[k]), exact, widths[k] < 25 ? 1e-6 : 5e-4 * exact);
    }
    assert_close(band_of(&p, "left", 22), 300 * 22 * 1.5 * DENSITY, 1e-6);
    assert_close(band_of(&p, "lower", 1000), p.plate->maps[0].weight.mass_g, 1e-9);
    tw_plate_free(p.plate);
}

/* Ring of a disc: π(R² − (R − w)²), second order over grids of n and 2n. */
static void band_of_a_disc_is_second_order(void **state)
{
    const double R = 100, w = 22, exact = TW_PI * (R * R - (R - w) * (R - w)) * 1.5 * DENSITY;
    static const size_t grids[] = {48, 96, 192};
    double off[3];

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        turned_plate p;
        flat_init(&p, TW_SHAPE_ELLIPSE, R, R, 1.5);
        build(&p, grids[k]);
        off[k] = fabs(band_of(&p, "rim", w) - exact) / exact;
        print_message("%zu cells: off by %.2e\n", grids[k], off[k]);
        if (grids[k] == 192) /* narrower than a cell of 1.04 mm */
            assert_close(band_of(&p, "rim", 0.7),
                         TW_PI * (R * R - (R - 0.7) * (R - 0.7)) * 1.5 * DENSITY, 0.02);
        tw_plate_free(p.plate);
    }
    assert_true(off[2] < 1e-4);
    assert_true(off[2] < off[0] / 9); /* 16 for second order; grids fall as they may */
}

/* On a hemisphere, within w of the rim over the face: area 2πR²·sin(w/R), metal of it by Steiner:
 * t − t²/R + t³/(3R²) per area. */
static void band_runs_over_the_face(void **state)
{
    const double R = 110, w = 30, t = 1.5;
    const double exact =
        2 * TW_PI * R * R * sin(w / R) * (t - t * t / R + t * t * t / (3 * R * R)) * DENSITY;
    turned_plate p;

    (void)state;
    flat_init(&p, TW_SHAPE_ELLIPSE, R, R, t);
    p.profile.form = TW_FORM_BOWL;
    p.profile.bowl = (tw_bowl_spec){.across = R, .up = R, .depth = R, .profile = TW_BOWL_ROUND};
    p.profile.outline = (tw_outline_spec){.kind = TW_OUTLINE_RIM};
    build(&p, 192);
    assert_close(band_of(&p, "rim", w), exact, 1e-3 * exact);
    tw_plate_free(p.plate);
}

static void band_needs_an_edge_and_a_width(void **state)
{
    turned_plate p;
    double mass[TW_PLATE_MAPS_MAX] = {5, 5, 5, 5};
    tw_error err = {0};

    (void)state;
    flat_init(&p, TW_SHAPE_RECTANGLE, 100, 150, 1.5);
    build(&p, 32);
    assert_int_equal(tw_plate_band(p.plate, "loer", 20, mass, &err), TW_ERR_KEY);
    assert_non_null(strstr(err.advice, "did you mean lower"));
    assert_int_equal(tw_plate_band(p.plate, "lower", NAN, mass, &err), TW_ERR_DOMAIN);
    assert_int_equal(tw_plate_band(p.plate, "lower", -1, mass, NULL), TW_ERR_DOMAIN);
    assert_int_equal(tw_plate_band(p.plate, "lower", INFINITY, mass, &err), TW_ERR_DOMAIN);
    assert_close(mass[0], 5, 0);
    tw_plate_free(p.plate);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(straight_roll_weighs_its_ring),
        cmocka_unit_test(odd_layers_are_noted),
        cmocka_unit_test(round_edge_is_as_long_as_its_circle),
        cmocka_unit_test(edge_is_measured_in_space),
        cmocka_unit_test(hollow_roll_is_one_layer_and_unsure),
        cmocka_unit_test(all_means_the_other_edges),
        cmocka_unit_test(forged_edge_has_its_thickness),
        cmocka_unit_test(flutes_add_their_face),
        cmocka_unit_test(figures_too_big_for_the_plate_are_noted),
        cmocka_unit_test(nothing_turned_adds_nothing),
        cmocka_unit_test(impossible_rolls_are_refused),
        cmocka_unit_test(band_of_a_rectangle_is_exact),
        cmocka_unit_test(band_of_a_disc_is_second_order),
        cmocka_unit_test(band_runs_over_the_face),
        cmocka_unit_test(band_needs_an_edge_and_a_width),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
