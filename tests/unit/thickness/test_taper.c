/* Tapers on real outlines: what is one source, what `all` means, cutting into pieces, refusals. */
#include "support.h"

#include "taperwright/thickness.h"

enum { EDGES_MAX = 6, STRIKES_MAX = 3 };

/* A flat plate 200 mm across and 260 mm up, its edges named one by one, with a hole. */
typedef struct board {
    tw_edge_spec outline[5];
    tw_point corners[5][2];
    tw_shape hole;
    tw_strike strikes[STRIKES_MAX];
    tw_point polygons[STRIKES_MAX][4];
    tw_edge_thickness edges[EDGES_MAX];
    tw_profile profile;
} board;

static tw_point tape_point(double across, double up)
{
    return (tw_point){.kind = TW_POINT_TAPE, .value = {across, up, 0}};
}

/* The upper edge in one piece, or cut at `cut` into "upper" and "upper left". */
static void board_init(board *b, double cut)
{
    static const char *const names[] = {"lower", "right", "upper", "left", "upper left"};
    const double at[4][2] = {{-100, 0}, {100, 0}, {100, 260}, {-100, 260}};
    size_t count = 0;

    memset(b, 0, sizeof *b);
    for (size_t k = 0; k < 4; k++) {
        const double *from = at[k], *to = at[(k + 1) % 4];
        const bool cut_here = k == 2 && !isnan(cut);
        b->outline[count].name = names[k];
        b->corners[count][0] = tape_point(from[0], from[1]);
        b->corners[count++][1] = cut_here ? tape_point(cut, 260) : tape_point(to[0], to[1]);
        if (cut_here) {
            b->outline[count].name = names[4];
            b->corners[count][0] = tape_point(cut, 260);
            b->corners[count++][1] = tape_point(to[0], to[1]);
        }
    }
    for (size_t k = 0; k < count; k++) {
        b->outline[k].points = b->corners[k];
        b->outline[k].point_count = 2;
    }
    b->hole = (tw_shape){.kind = TW_SHAPE_DISC, .at = tape_point(50, 60), .across = 15, .up = 15};
    b->profile = (tw_profile){
        .file = "",
        .plate = "board",
        .material = "mild steel",
        .density = 7.85e-3,
        .form = TW_FORM_FLAT,
        .outline = {.kind = TW_OUTLINE_EDGES, .edge_count = count, .edges = b->outline},
        .hole_count = 1,
        .holes = &b->hole,
        .has_forged = true,
        .forged = {.strikes = b->strikes, .edges = b->edges, .band = 40}};
}

static void board_edge(board *b, const char *name, double thickness, double hold)
{
    b->edges[b->profile.forged.edge_count++] =
        (tw_edge_thickness){.edge = name, .thickness = thickness, .hold = hold};
}

static void board_disc(board *b, const char *name, double thickness, double across, double up,
                       double radius)
{
    b->strikes[b->profile.forged.strike_count++] =
        (tw_strike){.name = name,
                    .shape = {.kind = TW_SHAPE_DISC,
                              .at = tape_point(across, up),
                              .across = radius,
                              .up = radius},
                    .thickness = thickness};
}

static void board_box(board *b, const char *name, double thickness, double left, double lower,
                      double right, double upper)
{
    const size_t k = b->profile.forged.strike_count++;

    b->polygons[k][0] = tape_point(left, lower);
    b->polygons[k][1] = tape_point(right, lower);
    b->polygons[k][2] = tape_point(right, upper);
    b->polygons[k][3] = tape_point(left, upper);
    b->strikes[k] =
        (tw_strike){.name = name,
                    .shape = {.kind = TW_SHAPE_POLYGON, .point_count = 4, .points = b->polygons[k]},
                    .thickness = thickness};
}

typedef struct made {
    tw_form *form;
    tw_grid *grid;
    tw_taper *taper;
    tw_map map;
    double volume; /* of thickness × face area */
} made;

static made make(const board *b, size_t cells)
{
    made m = {0};
    tw_sum volume = {0, 0};
    tw_error err = {0};

    if (tw_form_build(&b->profile, &m.form, NULL, &err) != TW_OK ||
        tw_grid_build(m.form, cells, 1, &m.grid, &err) != TW_OK ||
        tw_taper_build(m.form, m.grid, &b->profile.forged, 0, &m.taper, &err) != TW_OK ||
        tw_map_forged(m.taper, &m.map, &err) != TW_OK)
        fail_msg("%s", err.message);
    for (size_t c = 0; c < tw_grid_cells(m.grid); c++)
        if (m.grid->area[c] > 0)
            tw_sum_add(&volume, m.map.cell[c] * m.grid->area[c]);
    m.volume = tw_sum_value(&volume);
    return m;
}

static void unmake(made *m)
{
    tw_map_release(&m->map);
    tw_taper_free(m->taper);
    tw_grid_free(m->grid);
    tw_form_free(m->form);
}

/* Property: cutting an edge into pieces of equal thickness changes no gram. */
static void pieces_of_an_edge_weigh_as_the_whole(void **state)
{
    test_random random = test_random_begin("pieces_of_an_edge_weigh_as_the_whole");

    (void)state;
    for (int trial = 0; trial < 4; trial++) {
        const double thin = test_uniform(&random, 0.8, 1.4), thick = test_uniform(&random, 2, 3);
        const double across = test_uniform(&random, -40, 40), up = test_uniform(&random, 120, 200);
        const double hold = trial % 2 ? test_uniform(&random, 0, 15) : 0;
        board whole, named, cut;
        made a, b, c;
        board_init(&whole, NAN);
        board_disc(&whole, "heart", thick, across, up, 30);
        board_edge(&whole, "all", thin, hold);
        board_init(&named, NAN);
        board_disc(&named, "heart", thick, across, up, 30);
        board_edge(&named, "upper", thin, hold);
        board_edge(&named, "all", thin, hold);
        board_edge(&named, "left", thin, hold);
        board_init(&cut, test_uniform(&random, -90, 90));
        board_disc(&cut, "heart", thick, across, up, 30);
        board_edge(&cut, "all", thin, hold);
        a = make(&whole, 96);
        b = make(&named, 96);
        c = make(&cut, 96);
        assert_close(b.volume / a.volume, 1, 1e-12);
        assert_close(c.volume / a.volume, 1, 1e-9);
        unmake(&a);
        unmake(&b);
        unmake(&c);
    }
}

/* The same for a zone. Each piece is marched by itself, so that the least of two distances stands
 * for the distance from both: equal but for the error of a march. */
static void pieces_of_a_zone_weigh_as_the_whole(void **state)
{
    test_random random = test_random_begin("pieces_of_a_zone_weigh_as_the_whole");

    (void)state;
    for (int trial = 0; trial < 4; trial++) {
        const double left = test_uniform(&random, -70, -40), right = test_uniform(&random, 0, 30);
        const double seam = test_uniform(&random, left + 10, right - 10);
        board whole, cut;
        made a, b;
        board_init(&whole, NAN);
        board_box(&whole, "plain", 2.4, left, 110, right, 190);
        board_edge(&whole, "all", 1.2, 0);
        board_init(&cut, NAN);
        board_box(&cut, "port", 2.4, left, 110, seam, 190);
        board_box(&cut, "starboard", 2.4, seam, 110, right, 190);
        board_edge(&cut, "all", 1.2, 0);
        a = make(&whole, 192);
        b = make(&cut, 192);
        print_message("cut zone: %.2e\n", b.volume / a.volume - 1);
        assert_close(b.volume / a.volume, 1, 1e-5);
        unmake(&a);
        unmake(&b);
    }
}

/* `all` gives every edge but those named, and no hole; extremes are the exact targets. */
static void named_edge_beats_all(void **state)
{
    board b;
    made m;

    (void)state;
    board_init(&b, NAN);
    board_disc(&b, "heart", 2.6, 0, 150, 40);
    board_edge(&b, "all", 1.1, 0);
    board_edge(&b, "upper", 1.9, 6);
    m = make(&b, 128);
    assert_close(m.map.thinnest, 1.1, 0);
    assert_close(m.map.thickest, 2.6, 0);
    assert_close(tw_grid_sample(m.grid, m.map.node, 0, 258), 1.9, 1e-12); /* held */
    assert_close(tw_grid_sample(m.grid, m.map.node, 0, 0.0), 1.1, 0.03);
    /* Beside the hole, at (35, 60), the taper runs on as if there were none: d_s = 57 − … */
    assert_true(tw_grid_sample(m.grid, m.map.node, 34, 60) > 1.6);
    unmake(&m);
}

static void hole_may_be_named(void **state)
{
    board b;
    made m;

    (void)state;
    board_init(&b, NAN);
    board_disc(&b, "heart", 2.6, 0, 150, 40);
    board_edge(&b, "hole 1", 1.3, 0);
    m = make(&b, 128);
    assert_close(m.map.thinnest, 1.3, 0);
    assert_close(hypot(m.map.thinnest_at[0] - 50, m.map.thinnest_at[1] - 60), 15, 0.1);
    unmake(&m);
}

/* With targets of one kind only, the plate has their thickness everywhere. */
static void one_kind_alone_is_even(void **state)
{
    (void)state;
    for (int kind = 0; kind < 2; kind++) {
        board b;
        made m;
        board_init(&b, NAN);
        if (kind)
            board_disc(&b, "heart", 2.6, 0, 150, 40);
        else
            board_edge(&b, "left", 2.6, 0);
        m = make(&b, 64);
        assert_close(m.map.thinnest, 2.6, 0);
        assert_close(m.map.thickest, 2.6, 0);
        assert_close(m.volume / (2.6 * m.grid->face_area), 1, 1e-12);
        unmake(&m);
    }
}

/* Two entries of one source still are two zones of the report. */
static void holds_are_told_apart_by_name(void **state)
{
    board b;
    made m;
    tw_zones zones;
    double area[4] = {0};

    (void)state;
    board_init(&b, NAN);
    board_disc(&b, "heart", 2.6, 0, 150, 40);
    board_edge(&b, "upper", 1.2, 10);
    board_edge(&b, "lower", 1.2, 10);
    m = make(&b, 128);
    assert_int_equal(tw_zones_build(m.taper, &zones, NULL), TW_OK);
    assert_int_equal(zones.count, 4);
    assert_string_equal(zones.names[1], "hold upper");
    assert_string_equal(zones.names[2], "hold lower");
    for (size_t c = 0; c < tw_grid_cells(m.grid); c++) {
        area[zones.first[c]] += (double)zones.share[c] * m.grid->area[c];
        area[zones.second[c]] += (1 - (double)zones.share[c]) * m.grid->area[c];
    }
    assert_close(area[0], TW_PI * 1600, 5);
    assert_close(area[1], 2000, 2);
    assert_close(area[2], 2000, 2);
    tw_zones_release(&zones);
    unmake(&m);
}

static void expect_refusal(const board *b, tw_status wanted, const char *words, const char *advice)
{
    tw_form *form = NULL;
    tw_grid *grid = NULL;
    tw_taper *taper = NULL;
    tw_error err = {0};

    assert_int_equal(tw_form_build(&b->profile, &form, NULL, NULL), TW_OK);
    assert_int_equal(tw_grid_build(form, 32, 1, &grid, NULL), TW_OK);
    assert_int_equal(tw_taper_build(form, grid, &b->profile.forged, 0, &taper, &err), wanted);
    assert_null(taper);
    if (!strstr(err.message, words) || !strstr(err.advice, advice))
        fail_msg("\"%s\" (%s) lacks \"%s\" (%s)", err.message, err.advice, words, advice);
    assert_int_equal(tw_taper_build(form, grid, &b->profile.forged, 0, &taper, NULL), wanted);
    tw_grid_free(grid);
    tw_form_free(form);
}

static void impossible_tapers_are_refused(void **state)
{
    board b;

    (void)state;
    board_init(&b, NAN);
    expect_refusal(&b, TW_ERR_INPUT, "needs a strike zone or an edge", "");
    board_edge(&b, "uper", 1.2, 0);
    expect_refusal(&b, TW_ERR_KEY, "no edge called uper", "did you mean upper?");
    b.edges[0].edge = "bottom";
    expect_refusal(&b, TW_ERR_KEY, "no edge called bottom", "lower, right, upper, left, or all");
    b.edges[0].edge = "upper";
    board_edge(&b, "upper", 1.4, 0);
    expect_refusal(&b, TW_ERR_KEY, "upper is given a thickness twice", "");
    b.edges[1].edge = "left";
    b.edges[1].thickness = -1;
    expect_refusal(&b, TW_ERR_DOMAIN, "left cannot be -1 mm thick", "above zero");
    b.edges[1].thickness = INFINITY;
    expect_refusal(&b, TW_ERR_DOMAIN, "left cannot be inf mm thick", "above zero");
    b.edges[1].thickness = 1.4;
    b.edges[1].hold = -1;
    expect_refusal(&b, TW_ERR_DOMAIN, "left cannot be held -1 mm far", "0 mm or more");
    b.edges[1].hold = INFINITY;
    expect_refusal(&b, TW_ERR_DOMAIN, "left cannot be held inf mm far", "0 mm or more");
    b.edges[1].hold = 40;
    b.profile.forged.law = TW_LAW_HELD;
    expect_refusal(&b, TW_ERR_DOMAIN, "within the hold of edge left", "wider than 40 mm");
    b.edges[1].hold = 0;
    board_disc(&b, "heart", 2.6, 500, 150, 40);
    expect_refusal(&b, TW_ERR_SHAPE, "in strike zone heart", "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces_of_an_edge_weigh_as_the_whole),
        cmocka_unit_test(pieces_of_a_zone_weigh_as_the_whole),
        cmocka_unit_test(named_edge_beats_all),
        cmocka_unit_test(hole_may_be_named),
        cmocka_unit_test(one_kind_alone_is_even),
        cmocka_unit_test(holds_are_told_apart_by_name),
        cmocka_unit_test(impossible_tapers_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
