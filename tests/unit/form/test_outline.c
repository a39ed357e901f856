/* test_outline.c: edges to lines: shapes, listed edges, smooth and rounded ones, the rim, holes, and
 * every way they can be refused. */
#include "form_checks.h"

#include "form/outline_internal.h"

static double edges_area(const plate *p)
{
    tw_form *form = plate_form(p);
    const double area = ring_area(tw_form_outline(form));

    tw_form_free(form);
    return area;
}

static void shapes_name_their_edges(void **state)
{
    static const char *const names[] = {"lower", "right", "upper", "left"};
    plate p;
    tw_form *form;
    const tw_outline *outline;

    (void)state;
    plate_flat(&p);
    plate_shape(&p, TW_SHAPE_RECTANGLE, 5, 6, 50, 20);
    form = plate_form(&p);
    outline = tw_form_outline(form);
    assert_int_equal(outline->edge_count, 4);
    for (int k = 0; k < 4; k++)
        assert_string_equal(outline->edges[k].name, names[k]);
    assert_close(outline->across_min, -45, 0);
    assert_close(outline->up_max, 26, 0);
    assert_close(outline->edges[1].points[0][0], 55, 0);
    assert_close(tw_outline_level(outline, 50, 6), -5, 1e-12);
    assert_close(tw_outline_level(outline, 58, 30), 5, 1e-12);
    assert_close(tw_outline_level(outline, 55, 0), 0, 1e-12);
    tw_form_free(form);
    plate_shape(&p, TW_SHAPE_ELLIPSE, 0, 0, 50, 20);
    form = plate_form(&p);
    outline = tw_form_outline(form);
    assert_int_equal(outline->edge_count, 1);
    assert_string_equal(outline->edges[0].name, "rim");
    assert_close(ring_area(outline), TW_PI * 1000, 1e-9);
    for (size_t n = 0; n + 1 < outline->edges[0].count;
         n++) { /* points and chords near the curve */
        const double *a = outline->edges[0].points[n], *b = outline->edges[0].points[n + 1];
        assert_close(hypot(a[0] / 50, a[1] / 20), 1, 0.005 / 50);
        assert_close(hypot((a[0] + b[0]) / 100, (a[1] + b[1]) / 40), 1, 0.005 / 50);
    }
    tw_form_free(form);
    plate_bowl(&p, TW_BOWL_ROUND, 100, 60);
    form = plate_form(&p);
    assert_string_equal(tw_form_outline(form)->edges[0].name, "rim");
    assert_ptr_equal(tw_form_profile(form), &p.profile);
    tw_form_free(form);
}

static void listed_edges_run_anticlockwise(void **state)
{
    static const double a[][2] = {{-50, 0}, {-40, 60}}, b[][2] = {{-40.4, 60.4}, {40, 60}},
                        c[][2] = {{40, 60}, {50, 0}, {-50, 0}};
    plate p;
    tw_form *form;
    const tw_outline *outline;

    (void)state;
    plate_flat(&p); /* given clockwise, with a gap of 0.57 mm between a and b */
    plate_edge(&p, "a", a, 2);
    plate_edge(&p, "b", b, 2);
    plate_edge(&p, "c", c, 3);
    form = plate_form(&p);
    outline = tw_form_outline(form);
    assert_string_equal(outline->edges[0].name, "c");
    assert_string_equal(outline->edges[2].name, "a");
    assert_true(ring_area(outline) > 0);
    for (size_t k = 0; k < 3; k++) { /* each ends where the next begins */
        const tw_edge_line *e = &outline->edges[k];
        assert_memory_equal(e->points[e->count - 1], outline->edges[(k + 1) % 3].points[0],
                            2 * sizeof(double));
    }
    assert_close(outline->edges[1].points[1][0], -40.2, 1e-12);
    tw_form_free(form);
}

/* Each corner of a square loses (1 − π/4)·r²; a dent of 270° gains as much. */
static void corners_are_rounded(void **state)
{
    static const double square[][2] = {{0, 0}, {100, 0}, {100, 100}, {0, 100}};
    static const double dent[][2] = {{0, 0}, {100, 0}, {100, 50}, {50, 50}, {50, 100}, {0, 100}};
    static const double open[][2] = {{0, 0}, {100, 0}, {100, 100}},
                        back[][2] = {{100, 100}, {0, 0}};
    const double lost = (1 - TW_PI / 4) * 144;
    plate p;

    (void)state;
    plate_flat(&p);
    plate_edge(&p, "all", square, 4)->corner = 12;
    assert_close(edges_area(&p), 10000 - 4 * lost, 1e-8);
    plate_flat(&p);
    plate_edge(&p, "all", dent, 6)->corner = 12;
    assert_close(edges_area(&p), 7500 - 5 * lost + lost, 1e-8);
    plate_flat(&p); /* only inner corners of an open edge */
    plate_edge(&p, "l", open, 3)->corner = 12;
    plate_edge(&p, "back", back, 2);
    assert_close(edges_area(&p), 5000 - lost, 1e-8);
    plate_flat(&p);
    plate_edge(&p, "all", square, 4)->corner = 50;
    assert_close(edges_area(&p), TW_PI * 2500, 1e-8); /* a disc is left */
    p.edges[0].corner = 51;
    assert_refused(&p, TW_ERR_SHAPE, 5, "'all'", "corner of radius 51 mm does not fit");
    p.edges[0].corner = 5;
    p.edges[0].smooth = true;
    assert_refused(&p, TW_ERR_SHAPE, 5, "smooth and has corners");
}

static void smooth_closed_edge_is_symmetrical(void **state)
{
    static const double at[][2] = {{60, 0}, {0, 60}, {-60, 0}, {0, -60}};
    plate p;
    tw_form *form;
    const tw_edge_line *line;

    (void)state;
    plate_flat(&p);
    plate_edge(&p, "ring", at, 4)->smooth = true;
    form = plate_form(&p);
    line = &tw_form_outline(form)->edges[0];
    assert_int_equal((line->count - 1) % 4, 0);
    for (size_t n = 0; n < line->count; n++) { /* a quarter turn maps it to itself */
        const double *a = line->points[n];
        const double *b = line->points[(n + (line->count - 1) / 4) % (line->count - 1)];
        assert_close(b[0], -a[1], 1e-10);
        assert_close(b[1], a[0], 1e-10);
    }
    tw_form_free(form);
}

/* Points of a circle, closely set: the curve follows it, and its ends are the given ones. */
static void smooth_edge_goes_through_its_points(void **state)
{
    double at[19][2];
    static const double chord[][2] = {{-80, 0}, {80, 0}};
    plate p;
    tw_form *form;
    const tw_edge_line *line;

    (void)state;
    for (int n = 0; n < 19; n++) {
        at[n][0] = 80 * cos(TW_PI * n / 18);
        at[n][1] = 80 * sin(TW_PI * n / 18);
    }
    plate_flat(&p);
    plate_edge(&p, "bow", (const double(*)[2])at, 19)->smooth = true;
    plate_edge(&p, "chord", chord, 2);
    form = plate_form(&p);
    line = &tw_form_outline(form)->edges[0];
    assert_close(ring_area(tw_form_outline(form)), TW_PI * 3200, 12);
    for (int k = 0; k < 19; k++) {
        double least = INFINITY;
        for (size_t n = 0; n < line->count; n++)
            least =
                fmin(least, hypot(line->points[n][0] - at[k][0], line->points[n][1] - at[k][1]));
        assert_close(least, 0, 1e-9);
    }
    for (size_t n = 0; n < line->count; n++)
        assert_close(hypot(line->points[n][0], line->points[n][1]), 80,
                     0.2); /* most in the end spans */
    tw_form_free(form);
}

static void crossings_and_gaps_are_named(void **state)
{
    static const double bow[][2] = {{0, 0}, {100, 100}, {100, 0}, {0, 100}};
    static const double up[][2] = {{0, 0}, {0, 80}}, down[][2] = {{4, 83}, {60, 0}, {0, 0}};
    static const double spike[][2] = {{0, 0}, {50, 0}, {90, 0}, {50, 0}, {50, 50}};
    static const double a[][2] = {{0, 0}, {80, 0}, {80, 50}},
                        b[][2] = {{80, 50}, {40, -10}, {0, 0}};
    static const double line[][2] = {{0, 0}, {50, 0}};
    plate p;

    (void)state;
    plate_flat(&p);
    plate_edge(&p, "bow", bow, 4);
    assert_refused(&p, TW_ERR_SHAPE, 3, "crosses itself", "'bow'", "[0.0, 0.0] and [100.0, 100.0]",
                   "[100.0, 0.0] and [0.0, 100.0]");
    plate_flat(&p);
    plate_edge(&p, "arm", a, 3);
    plate_edge(&p, "neck", b, 3);
    assert_refused(&p, TW_ERR_SHAPE, 3, "'arm' between [0.0, 0.0]", "'neck' between");
    plate_flat(&p);
    plate_edge(&p, "spike", spike, 5);
    assert_refused(&p, TW_ERR_SHAPE, 3, "crosses itself", "'spike'");
    plate_flat(&p);
    plate_edge(&p, "up", up, 2);
    plate_edge(&p, "down", down, 3);
    assert_refused(&p, TW_ERR_SHAPE, 6, "'up' ends at [0, 80]", "'down' begins at [4, 83]",
                   "5.0 mm apart");
    plate_flat(&p);
    plate_edge(&p, "thin", line, 2);
    assert_refused(&p, TW_ERR_SHAPE, 5, "'thin' closes on itself with 2 points");
    plate_flat(&p);
    plate_edge(&p, "dot", line, 1);
    assert_refused(&p, TW_ERR_SHAPE, 5, "points of edge 'dot' are all one");
    plate_flat(&p);
    plate_edge(&p, "arm", a, 3);
    plate_edge(&p, "arm", b, 3);
    assert_refused(&p, TW_ERR_KEY, 6, "two edges are named 'arm'");
    plate_flat(&p);
    p.profile.outline.kind = TW_OUTLINE_RIM;
    assert_refused(&p, TW_ERR_SHAPE, 3, "flat form has no rim");
    plate_flat(&p);
    plate_edge(&p, "whole", line, 0)->along_rim = true;
    assert_refused(&p, TW_ERR_SHAPE, 3, "a form that has none");
    p.profile.form = TW_FORM_NONE;
    assert_refused(&p, TW_ERR_SHAPE, 0, "no form");
}

/* Rim of a hemisphere of 100 mm: 50π by tape. */
static void points_outside_are_pulled_in(void **state)
{
    const double rim = 50 * TW_PI;
    double at[][2] = {{rim + 2, 0}, {0, 60}, {-rim - 1, 0}, {0, -60}};
    plate p;
    tw_form *form;
    tw_notes notes = {0};

    (void)state;
    plate_bowl(&p, TW_BOWL_ROUND, 100, 100);
    plate_edge(&p, "kite", (const double(*)[2])at, 4);
    form = plate_form_noted(&p, &notes);
    assert_int_equal(notes.count, 1);
    assert_non_null(strstr(notes.items[0].message, "2 points"));
    assert_non_null(strstr(notes.items[0].message, "2.0 mm"));
    assert_close(tw_form_outline(form)->across_max, rim, 0.01);
    assert_close(tw_form_outline(form)->across_min, -rim, 0.01);
    tw_form_free(form);
    p.points[0][1].value[1] = rim + 7.25;
    assert_refused(&p, TW_ERR_SHAPE, 11, "'kite'", "point 2", "[0, 164.33]",
                   "7.2 mm outside the form");
    /* a shape too wide: points at ±(rim + 2) are pulled in, a wider one is refused */
    plate_bowl(&p, TW_BOWL_ROUND, 100, 100);
    plate_shape(&p, TW_SHAPE_ELLIPSE, 0, 0, rim + 2, 70);
    form = plate_form_noted(&p, &notes);
    assert_int_equal(notes.count, 2);
    assert_close(tw_form_outline(form)->across_max, rim, 0.01);
    tw_form_free(form);
    plate_shape(&p, TW_SHAPE_RECTANGLE, 0, 0, 140, 140);
    assert_refused(&p, TW_ERR_SHAPE, 0, "mm outside the form at [");
}

static void edges_follow_the_rim(void **state)
{
    const double rim = 50 * TW_PI, s = rim * sqrt(0.5);
    const double chord[][2] = {{-s, s}, {s, s}}, low[][2] = {{s, -s}, {-s, -s}};
    const double disc = TW_PI * rim * rim, segment = disc / 4 - s * s;
    plate p;
    tw_form *form;
    tw_notes notes = {0};
    double area[2];

    (void)state;
    /* two chords and two pieces of rim between them, either way round */
    plate_bowl(&p, TW_BOWL_ROUND, 100, 100);
    plate_edge(&p, "upper", chord, 2);
    plate_edge(&p, "right", chord, 0)->along_rim = true;
    plate_edge(&p, "lower", low, 2);
    plate_edge(&p, "left", chord, 0)->along_rim = true;
    form = plate_form_noted(&p, &notes);
    assert_int_equal(notes.count, 0);
    assert_close(ring_area(tw_form_outline(form)), disc - 2 * segment, 0.5);
    assert_string_equal(tw_form_outline(form)->edges[1].name, "lower"); /* turned anticlockwise */
    tw_form_free(form);
    /* one chord: two plates are possible, the larger is taken and noted, whatever its direction */
    for (int k = 0; k < 2; k++) {
        const double turned[][2] = {{s, s}, {-s, s}};
        plate_bowl(&p, TW_BOWL_ROUND, 100, 100);
        plate_edge(&p, "cut", k ? turned : chord, 2);
        plate_edge(&p, "rest", chord, 0)->along_rim = true;
        form = plate_form_noted(&p, &notes);
        assert_int_equal(notes.count, k + 1);
        area[k] = ring_area(tw_form_outline(form));
        tw_form_free(form);
    }
    assert_close(area[0], disc - segment, 0.5);
    assert_close(area[1], area[0], 1e-6);
    /* the rim alone, under another name */
    plate_bowl(&p, TW_BOWL_ROUND, 100, 100);
    plate_edge(&p, "brim", chord, 0)->along_rim = true;
    form = plate_form(&p);
    assert_string_equal(tw_form_outline(form)->edges[0].name, "brim");
    assert_close(ring_area(tw_form_outline(form)) / disc, 1, 1e-8);
    tw_form_free(form);
    /* an end that does not reach the rim */
    plate_bowl(&p, TW_BOWL_ROUND, 100, 100);
    plate_edge(&p, "cut", (const double[][2]){{-s, s}, {s - 20, s}}, 2);
    plate_edge(&p, "rest", chord, 0)->along_rim = true;
    assert_refused(&p, TW_ERR_SHAPE, 6, "'rest'", "'cut'", "mm from the boundary");
}

/* On a hemisphere R at polar angle φ a disc of radius r on the plate has tape-chart area
 * πr²·φ/sin φ, to second order in r/R. */
static void holes_measure_on_the_plate(void **state)
{
    const double R = 100, tape = 120, polar = tape / R;
    plate p;
    tw_form *form;
    const tw_edge_line *hole;
    tw_grid *solid, *drilled;

    (void)state;
    plate_bowl(&p, TW_BOWL_ROUND, R, R);
    solid = plate_grid(&p, 256, 0);
    plate_hole(&p, TW_SHAPE_DISC, tape * 0.6, tape * 0.8, 3, 3);
    form = plate_form(&p);
    hole = &tw_form_outline(form)->holes[0];
    assert_string_equal(hole->name, "hole 1");
    assert_close(-tw_edges_area(hole, 1), TW_PI * 9 * polar / sin(polar), 1e-6);
    assert_true(tw_outline_level(tw_form_outline(form), tape * 0.6, tape * 0.8) > 2.9);
    assert_true(tw_outline_level(tw_form_outline(form), tape * 0.6, tape * 0.8 - 5) < 0);
    tw_form_free(form);
    drilled = plate_grid(&p, 256, 0);
    assert_close(solid->face_area - drilled->face_area, TW_PI * 9, 0.01 * TW_PI * 9);
    tw_grid_free(solid);
    tw_grid_free(drilled);
}

static void holes_keep_clear(void **state)
{
    static const double at[][2] = {{-50, -50}, {50, -50}, {50, 50}, {-50, 50}};
    tw_point corners[] = {
        {.value = {0, 0}}, {.value = {10, 10}}, {.value = {10, 0}}, {.value = {0, 10}}};
    plate p;

    (void)state;
    plate_flat(&p);
    plate_edge(&p, "side", at, 4);
    plate_hole(&p, TW_SHAPE_DISC, 48, 0, 3, 3);
    assert_refused(&p, TW_ERR_SHAPE, 21, "hole 1 cuts edge 'side'");
    p.holes[0].at.value[0] = 60;
    assert_refused(&p, TW_ERR_SHAPE, 21, "hole 1", "outside the outline");
    p.holes[0].at.value[0] = 0;
    plate_hole(&p, TW_SHAPE_ELLIPSE, 5, 0, 3, 3);
    assert_refused(&p, TW_ERR_SHAPE, 22, "holes 1 and 2 meet");
    p.holes[1].across = p.holes[1].up = 0.5;
    p.holes[1].at.value[0] = 0;
    assert_refused(&p, TW_ERR_SHAPE, 22, "hole 2", "inside another hole");
    p.holes[1].across = 0;
    assert_refused(&p, TW_ERR_SHAPE, 22, "half sizes 0", "in hole 2");
    p.holes[1] =
        (tw_shape){.kind = TW_SHAPE_POLYGON, .points = corners, .point_count = 4, .place = {22, 1}};
    p.profile.holes = &p.holes[1];
    p.profile.hole_count = 1;
    assert_refused(&p, TW_ERR_SHAPE, 22, "hole 1 crosses itself");
    p.holes[1].point_count = 3;
    assert_close(plate_area(&p, 8), 10000 - 50, 1e-9);
    p.holes[1].point_count = 2;
    assert_refused(&p, TW_ERR_SHAPE, 22, "polygon of 2 points");
}

/* Tape coordinate of a loft's last station. */
static double upper_end(tw_station *stations, size_t count)
{
    const tw_profile profile = {.form = TW_FORM_LOFT,
                                .loft = {.station_count = count, .stations = stations}};
    tw_arena *arena = tw_arena_new();
    tw_surface *surface = NULL;
    tw_edge_line *edges = NULL;
    size_t edge_count = 0;
    double end;

    assert_int_equal(tw_surface_build(&profile, arena, &surface, NULL, NULL), TW_OK);
    assert_int_equal(tw_surface_boundary(surface, arena, &edges, &edge_count, NULL), TW_OK);
    end = edges[2].points[0][1];
    tw_arena_free(arena);
    return end;
}

/* Neck cut out of a loft with an open centre: refused where it covers the opening, taken when it leads
 * round it or when the plate only ends on the centre line. */
static void open_centres_stay_free(void **state)
{
    tw_station stations[] = {{.ruler = 0, .width = 300, .centre = 60, .sides = 0},
                             {.ruler = 100, .width = 300, .centre = 70, .sides = 0},
                             {.ruler = 200, .width = 300, .centre = NAN, .sides = 0},
                             {.ruler = 300, .width = 300, .centre = NAN, .sides = 0}};
    static const double neck[][2] = {{60, 340}, {40, 90}, {-40, 90}, {-60, 340}};
    static const double half[][2] = {{0, 0}, {100, 0}, {100, 250}, {0, 250}};
    plate p;
    tw_form *form;
    const tw_outline *outline;

    (void)state;
    stations[2].centre_open = stations[3].centre_open = true;
    plate_loft(&p, stations, 4);
    assert_refused(&p, TW_ERR_SHAPE, 3, "covers the centre line at up", "open");
    plate_edge(&p, "rest", neck, 0)->along_rim = true;
    plate_edge(&p, "neck", neck, 4);
    p.points[1][0].value[1] = p.points[1][3].value[1] = upper_end(stations, 4);
    form = plate_form(&p);
    outline = tw_form_outline(form);
    assert_string_equal(outline->edges[1].name, "neck");
    assert_true(tw_outline_level(outline, 0, 80) < 0 && tw_outline_level(outline, 0, 100) > 0);
    assert_true(tw_outline_level(outline, 100, 250) < 0);
    tw_form_free(form);
    for (int side = -1; side <= 1; side += 2) { /* half a plate, either half */
        plate_loft(&p, stations, 4);
        plate_edge(&p, "half", half, 4);
        p.points[0][1].value[0] = p.points[0][2].value[0] = 100 * side;
        form = plate_form(&p);
        tw_form_free(form);
    }
}

/* Thousands of pieces are checked quickly; one crossing among them is found. */
static void long_outlines_are_checked(void **state)
{
    static tw_segment pieces[20000];
    const size_t count = 20000;
    tw_arena *arena = tw_arena_new();
    size_t first, second;
    bool found = true;

    (void)state;
    for (size_t k = 0; k < count; k++) {
        const double t = 2 * TW_PI * (double)k / (double)count;
        const double r = 200 + 20 * sin(37 * t);
        pieces[k].a[0] = r * cos(t);
        pieces[k].a[1] = r * sin(t);
        pieces[k].next = (uint32_t)((k + 1) % count);
    }
    for (size_t k = 0; k < count; k++)
        memcpy(pieces[k].b, pieces[(k + 1) % count].a, sizeof pieces[k].b);
    assert_int_equal(tw_segments_cross(pieces, count, arena, &found, &first, &second, NULL), TW_OK);
    assert_false(found);
    pieces[777].b[0] = pieces[778].a[0] = -pieces[778].a[0];
    assert_int_equal(tw_segments_cross(pieces, count, arena, &found, &first, &second, NULL), TW_OK);
    assert_true(found && (first == 777 || first == 778 || second == 777 || second == 778));
    tw_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shapes_name_their_edges),
        cmocka_unit_test(listed_edges_run_anticlockwise),
        cmocka_unit_test(corners_are_rounded),
        cmocka_unit_test(smooth_closed_edge_is_symmetrical),
        cmocka_unit_test(smooth_edge_goes_through_its_points),
        cmocka_unit_test(crossings_and_gaps_are_named),
        cmocka_unit_test(points_outside_are_pulled_in),
        cmocka_unit_test(edges_follow_the_rim),
        cmocka_unit_test(holes_measure_on_the_plate),
        cmocka_unit_test(holes_keep_clear),
        cmocka_unit_test(open_centres_stay_free),
        cmocka_unit_test(long_outlines_are_checked),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
