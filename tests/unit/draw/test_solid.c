/*
 * A plate's view against closed forms: silhouettes and extents of a hemisphere, metal of cut cells,
 * light, what is hidden, level lines of a cone, thickness at the edge; the same samples for any number of
 * threads.
 */
#include "support.h"

#include <stdlib.h>

#include "draw/solid_internal.h"

static const char hemisphere[] = "plate: bowl\nmaterial: mild steel\nface: outside\nruler: mm\n"
                                 "form:\n  bowl: {across: 110 mm, depth: 110 mm, profile: round}\n"
                                 "thickness:\n  sheet: 1.5 mm\n";
/* From 2.1 mm thirty millimetres from the middle to 0.9 mm at 150: 0.1 mm every 10 mm. */
static const char cone_map[] =
    "plate: disc\nmaterial: mild steel\nruler: mm\nform: flat\n"
    "outline: {ellipse: {at: [0, 0], across: 150 mm, up: 150 mm}}\n"
    "thickness:\n  sheet: 1.5 mm\n  forged:\n"
    "    strike: [{name: middle, at: [0, 0], radius: 30 mm, thickness: 2.1 mm}]\n"
    "    edges: [{edge: rim, thickness: 0.9 mm}]\n";
static const char keeled[] =
    "plate: breast\nmaterial: mild steel\nworn: front\nruler: mm\nform:\n  loft:\n"
    "    - {ruler: 0, width: 260, centre: 60, sides: 0}\n"
    "    - {ruler: 120, width: 300, centre: 90, sides: 0}\n"
    "    - {ruler: 260, width: 220, centre: 60, sides: 0}\n"
    "  keel: {stands: 8 mm, width: 60 mm}\n"
    "thickness:\n  sheet: 2 mm\n"
    "holes:\n  - {at: [60, 100], radius: 1.5 mm}\n  - {at: [-60, 100], radius: 12 mm}\n";

typedef struct scene {
    tw_profile *profile;
    tw_plate *plate;
    tw_sight solid;
    double extents[4];
    tw_arena *arena;
    tw_body body;
    tw_samples samples;
} scene;

static void scene_begin(scene *s, const char *profile, size_t cells, double azimuth,
                        double elevation)
{
    const tw_plate_options options = {.cells = cells};
    const tw_plate_map *map;
    tw_error err = {0};

    *s = (scene){0};
    if (tw_profile_read_memory("t", profile, strlen(profile), NULL, 0, &s->profile, NULL) !=
            TW_OK ||
        tw_plate_build(s->profile, &options, &s->plate, &err) != TW_OK)
        fail_msg("the scene cannot be made: %s", err.message);
    map = &s->plate->maps[s->plate->map_count - 1];
    s->solid = (tw_sight){.plate = s->plate,
                          .thickness = map->map.node,
                          .value = map->map.node,
                          .scale = {TW_PALETTE_THICKNESS, 0.5, 2.5, 0.1},
                          .azimuth = azimuth,
                          .elevation = elevation,
                          .shaded = true,
                          .threads = 1};
    assert_int_equal(tw_sight_extents(&s->solid, s->extents, NULL), TW_OK);
}

/* Samples a millimetre, the extents four samples from the border. */
static void scene_fill(scene *s, double per_mm)
{
    s->arena = tw_arena_new();
    assert_int_equal(tw_body_make(&s->solid, true, s->arena, &s->body, NULL), TW_OK);
    s->samples = (tw_samples){
        .width = (size_t)ceil((s->extents[2] - s->extents[0]) * per_mm) + 8,
        .height = (size_t)ceil((s->extents[3] - s->extents[1]) * per_mm) + 8,
        .left = s->extents[0],
        .top = s->extents[3],
        .per_mm = per_mm,
        .offset = {4, 4},
        .per_design = 1,
    };
    assert_int_equal(tw_samples_fill(&s->body, &s->samples, s->arena, NULL), TW_OK);
}

static void scene_end(scene *s)
{
    if (s->samples.image)
        cairo_surface_destroy(s->samples.image);
    tw_arena_free(s->arena);
    tw_plate_free(s->plate);
    tw_profile_free(s->profile);
}

static uint32_t pixel_at(const scene *s, size_t x, size_t y)
{
    const unsigned char *data = cairo_image_surface_get_data(s->samples.image);
    const size_t stride = (size_t)cairo_image_surface_get_stride(s->samples.image);

    return ((const uint32_t *)(const void *)(data + y * stride))[x];
}

/* Area of what is covered [mm²]. */
static double covered(const scene *s)
{
    double sum = 0;

    for (size_t y = 0; y < s->samples.height; y++)
        for (size_t x = 0; x < s->samples.width; x++)
            sum += (pixel_at(s, x, y) >> 24) / 255.0;
    return sum / (s->samples.per_mm * s->samples.per_mm);
}

/* ---- silhouettes --------------------------------------------------------------------------------------- */

/* From in front π R²; from the side half of it, from z = 0 to R. */
static void hemisphere_has_its_silhouette(void **state)
{
    const double R = 110, turns[] = {0, 90, 180, -90};

    (void)state;
    for (int k = 0; k < 4; k++) {
        const double wanted = turns[k] == 0 || turns[k] == 180 ? TW_PI * R * R : TW_PI * R * R / 2;
        scene s;
        scene_begin(&s, hemisphere, 64, turns[k], 0);
        scene_fill(&s, 2);
        print_message("%g degrees: %.3f %% of the closed form\n", turns[k],
                      100 * covered(&s) / wanted);
        assert_close(covered(&s), wanted, 0.005 * wanted);
        scene_end(&s);
    }
}

static void extents_are_those_of_the_form(void **state)
{
    const double R = 110,
                 wanted[4][4] = {{-R, -R, R, R}, {-R, -R, 0, R}, {-R, 0, R, R}, {-R, -R, R, R}};
    const double from[4][2] = {{0, 0}, {90, 0}, {0, -90}, {180, 0}};
    scene s;

    (void)state;
    for (int k = 0; k < 4; k++) {
        scene_begin(&s, hemisphere, 64, from[k][0], from[k][1]);
        for (int e = 0; e < 4; e++)
            assert_close(s.extents[e], wanted[k][e], 0.1);
        scene_end(&s);
    }
    /* a flat plate edge on is as wide as it is thick there: strike zone 2.1 mm, behind the face */
    scene_begin(&s, cone_map, 64, 90, 0);
    assert_close(s.extents[2] - s.extents[0], 2.1, 1e-6);
    assert_close(s.extents[0], 0, 1e-6); /* right is −z */
    assert_close(s.extents[3] - s.extents[1], 300, 0.01);
    s.solid.thickness = NULL;
    assert_int_equal(tw_sight_extents(&s.solid, s.extents, NULL), TW_OK);
    assert_true(s.extents[2] > s.extents[0]); /* a face edge on still has a frame */
    scene_end(&s);
}

/* The body lies inward of, about or outward of the face that was measured. */
static void the_body_lies_where_the_face_says(void **state)
{
    static const char *const face[3] = {"outside", "middle", "inside"};

    (void)state;
    for (int k = 0; k < 3; k++) {
        char profile[400];
        scene s;
        tw_format(profile, sizeof profile,
                  "plate: bowl\nmaterial: mild steel\nface: %s\nruler: mm\nform:\n"
                  "  bowl: {across: 110 mm, depth: 110 mm, profile: round}\n"
                  "thickness: {sheet: 4 mm}\n",
                  face[k]);
        scene_begin(&s, profile, 32, 90, 0);
        assert_close(s.extents[3], 110 + 2 * k, 0.1);
        assert_close(s.extents[0], -110 - 2 * k, 0.1); /* the crown; right is −z */
        scene_end(&s);
    }
}

/* A number that stands in a profile as it is. */
static double tenths(test_random *random, double low, double high)
{
    return round(10 * test_uniform(random, low, high)) / 10;
}

/* The trapezoids of a flat plate's cut cells and its whole cells are its area, exactly, however a hole
 * lies in the grid. */
static void cut_cells_leave_the_exact_metal(void **state)
{
    test_random random = test_random_begin("cut_cells");

    (void)state;
    for (int trial = 0; trial < 20; trial++) {
        const double left = floor(test_uniform(&random, -80, -5));
        const double right = tenths(&random, 30, 120), high = tenths(&random, 40, 150);
        const double notch = tenths(&random, 1, 20), hole = test_uniform(&random, 0.4, 9);
        char profile[600];
        double area = 0, wanted;
        const tw_outline *outline;
        scene s;
        tw_format(profile, sizeof profile,
                  "plate: t\nmaterial: mild steel\nruler: mm\nform: flat\noutline:\n"
                  "  - {edge: rim, points: [[%.3f, 0], [%.3f, 0], [%.3f, %.3f], [%.3f, %.3f], "
                  "[%.3f, %.3f], [%.3f, %.3f]]}\nthickness: {sheet: 1 mm}\n"
                  "holes: [{at: [%.3f, %.3f], radius: %.3f mm}]\n",
                  left, right, right, high / 2, right - notch, high / 2 + 3, right, high, left,
                  high, left / 2, high / 2, fmin(hole, -left / 4));
        scene_begin(&s, profile, 8 + 2 * (size_t)trial, 0, 0);
        s.arena = tw_arena_new();
        assert_int_equal(tw_body_make(&s.solid, false, s.arena, &s.body, NULL), TW_OK);
        for (size_t k = 0; k < s.body.triangle_count; k++) {
            const uint32_t *corner = s.body.triangles[k].corner;
            const double *a = s.body.corners[corner[0]].at, *b = s.body.corners[corner[1]].at;
            const double *c = s.body.corners[corner[2]].at;
            if (s.body.triangles[k].side != TW_SIDE_OUTER)
                continue;
            area += ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])) / 2;
        }
        wanted = (right - left) * high - notch * (high / 2) / 2;
        outline = tw_form_outline(s.plate->form);
        for (size_t k = 0; k < outline->holes[0].count; k++) { /* clockwise: below zero */
            const double *p = outline->holes[0].points[k];
            const double *q = outline->holes[0].points[(k + 1) % outline->holes[0].count];
            wanted += (p[0] * q[1] - q[0] * p[1]) / 2;
        }
        assert_close(area, wanted, 1e-9 * wanted);
        scene_end(&s);
    }
}

/* ---- light ------------------------------------------------------------------------------------------------ */

/* Even sheet has one colour; on a ball it is brightest where the normal points at the light, which stands
 * at (−0.42, 0.56, 0.71), and dims steadily from there, never below two thirds. */
static void light_falls_from_the_upper_left(void **state)
{
    const double R = 110, light[2] = {-0.42, 0.56}, step = 6 / 110.0;
    double before = 256, brightest = 0;
    unsigned char flat[3];
    scene s;

    (void)state;
    scene_begin(&s, hemisphere, 64, 0, 0);
    scene_fill(&s, 2);
    for (double angle = 0; angle < 2.0; angle += step) { /* over the ball, away from the light */
        const double c = cos(angle), t = sin(angle) / sqrt(1 - 0.714 * 0.714);
        const double n[2] = {light[0] * c - light[0] * t * 0.714,
                             light[1] * c - light[1] * t * 0.714};
        const double x = 4 + 2 * (R * n[0] - s.extents[0]), y = 4 + 2 * (s.extents[3] - R * n[1]);
        const double red = pixel_at(&s, (size_t)x, (size_t)y) >> 16 & 255;
        if (hypot(n[0], n[1]) > 0.98)
            break;
        assert_true(red <= before);
        before = red;
        brightest = fmax(brightest, red);
    }
    tw_colour_thickness(0.5, flat);
    print_message("brightest %g, darkest %g of %d\n", brightest, before, flat[0]);
    assert_close(brightest, flat[0], 2);
    assert_true(before < 0.9 * brightest && before > 0.65 * brightest);
    scene_end(&s);
}

static void without_light_colours_are_the_scale_s(void **state)
{
    unsigned char flat[3];
    scene s;

    (void)state;
    scene_begin(&s, hemisphere, 64, 0, 0);
    s.solid.shaded = false;
    scene_fill(&s, 1);
    tw_colour_thickness(0.5, flat);
    for (size_t y = 0; y < s.samples.height; y++)
        for (size_t x = 0; x < s.samples.width; x++) {
            const uint32_t pixel = pixel_at(&s, x, y);
            if (pixel >> 24 != 255)
                continue;
            for (int c = 0; c < 3; c++)
                assert_close((double)(pixel >> (16 - 8 * c) & 255), flat[c], 1);
        }
    scene_end(&s);
}

/* ---- hidden ------------------------------------------------------------------------------------------------ */

static void what_is_behind_is_hidden(void **state)
{
    const double R = 110, s45 = sqrt(0.5), slope = R * TW_PI / 4; /* tape to 45 degrees */
    const double crown[2] = {0, 0}, right[2] = {slope, 0}, left[2] = {-slope, 0}, off[2] = {200, 0};
    double page[2];
    scene s;

    (void)state;
    scene_begin(&s, hemisphere, 64, 0, 0);
    assert_true(tw_sight_at(&s.solid, s.extents, 10, 20, 2, right, page));
    assert_close(page[0], 10 + 2 * (R * s45 - s.extents[0]), 1e-3);
    assert_close(page[1], 20 + 2 * s.extents[3], 1e-3);
    assert_false(tw_sight_at(&s.solid, s.extents, 0, 0, 1, off, page));
    s.solid.azimuth = 90; /* from +x */
    assert_true(tw_sight_at(&s.solid, s.extents, 0, 0, 1, right, page));
    assert_false(tw_sight_at(&s.solid, s.extents, 0, 0, 1, left, page));
    /* into the hollow: the far side is seen; the crown from 150 degrees, and from 120 the near wall, which
     * the line of sight meets at z = R/2, hides it */
    s.solid.azimuth = 150;
    assert_true(tw_sight_at(&s.solid, s.extents, 0, 0, 1, crown, page));
    assert_true(tw_sight_at(&s.solid, s.extents, 0, 0, 1, left, page));
    s.solid.azimuth = 120;
    assert_false(tw_sight_at(&s.solid, s.extents, 0, 0, 1, crown, page));
    scene_end(&s);
}

/* Depth of what is seen, from the side: x = √(R² − y² − z²). */
static void nearest_metal_is_seen(void **state)
{
    const double R = 110;
    scene s;

    (void)state;
    scene_begin(&s, hemisphere, 96, 90, 0);
    scene_fill(&s, 1);
    for (double z = 12; z < 100; z += 11)
        for (double y = -60; y <= 60; y += 12) {
            const double x = -z - s.extents[0] + 4, row = s.extents[3] - y + 4;
            const size_t n = (size_t)row * s.samples.width + (size_t)x;
            const double depth = R * R - pow(s.extents[3] + 4 - floor(row) - 0.5, 2) -
                                 pow(s.extents[0] + floor(x) + 0.5 - 4, 2);
            if (depth < 1000)
                continue;
            assert_int_equal(s.samples.side[n], TW_SIDE_OUTER);
            assert_close((double)s.samples.depth[n], sqrt(depth), 0.1);
        }
    scene_end(&s);
}

/* A hemisphere looked into from straight behind: a ring of cut edge as wide as the sheet is thick. */
static void the_cut_edge_shows_the_thickness(void **state)
{
    size_t count[4] = {0};
    scene s;

    (void)state;
    scene_begin(&s, hemisphere, 64, 180, 0);
    scene_fill(&s, 4);
    for (size_t k = 0; k < s.samples.width * s.samples.height; k++)
        count[s.samples.side[k]]++;
    assert_close((double)count[TW_SIDE_WALL] / 16, TW_PI * (110 * 110 - 108.5 * 108.5), 25);
    assert_close((double)count[TW_SIDE_INNER] / 16, TW_PI * 108.5 * 108.5, 100);
    scene_end(&s);
}

/* ---- level lines --------------------------------------------------------------------------------------------- */

enum { WIDE = 700 };

static tw_canvas page_of(scene *s, bool contours, double per_mm)
{
    tw_boxes *taken = calloc(1, sizeof *taken);
    tw_arena *arena = tw_arena_new();
    tw_canvas canvas;

    assert_non_null(taken);
    assert_int_equal(tw_canvas_begin(WIDE, WIDE, 1, TW_METRIC, &canvas, NULL), TW_OK);
    s->solid.contours = contours;
    assert_int_equal(tw_sight_draw(&canvas, &s->solid, 20.3, 30.7, per_mm, arena, taken, NULL),
                     TW_OK);
    tw_arena_free(arena);
    free(taken);
    return canvas;
}

/* Along a ray from the middle, where two pages differ most: their lines. A level of t lies at radius
 * 30 + (2.1 − t)·100 mm. */
static void level_lines_lie_at_their_radii(void **state)
{
    const double per_mm = 2, middle = 150;
    int found = 0;
    tw_canvas plain, lined;
    const unsigned char *a, *b;
    size_t stride;
    scene s;

    (void)state;
    scene_begin(&s, cone_map, 96, 0, 0);
    s.solid.scale = (tw_scale){TW_PALETTE_THICKNESS, 0.9, 2.1, 0.2};
    s.solid.shaded = false;
    plain = page_of(&s, false, per_mm);
    lined = page_of(&s, true, per_mm);
    a = cairo_image_surface_get_data(plain.surface);
    b = cairo_image_surface_get_data(lined.surface);
    stride = (size_t)cairo_image_surface_get_stride(plain.surface);
    for (double t = 1.0; t < 2.05; t += 0.2) {
        /* a diagonal clear of labels; the disc's middle lies at x + 150·2, y + 150·2 */
        const double wanted = 30 + (2.1 - t) * 100, d = 23 * TW_PI / 180;
        double weight = 0, moment = 0;
        for (double r = wanted - 5; r < wanted + 5; r += 0.05) {
            const size_t x = (size_t)(20.3 + per_mm * (middle + r * cos(d)));
            const size_t y = (size_t)(30.7 + per_mm * (middle + r * sin(d)));
            const double diff = abs(a[y * stride + 4 * x + 1] - b[y * stride + 4 * x + 1]);
            weight += diff;
            moment += diff * r;
        }
        assert_true(weight > 0);
        print_message("%.1f mm at %.2f mm, wanted %.0f\n", t, moment / weight, wanted);
        assert_close(moment / weight, wanted, 0.5);
        found++;
    }
    assert_int_equal(found, 6);
    tw_canvas_end(&plain);
    tw_canvas_end(&lined);
    scene_end(&s);
}

/* ---- whole drawings -------------------------------------------------------------------------------------------- */

static void same_bytes_for_any_threads(void **state)
{
    tw_canvas page[3];
    scene s;

    (void)state;
    scene_begin(&s, keeled, 48, 40, 25);
    for (unsigned k = 0; k < 3; k++) {
        s.solid.threads = k == 2 ? 4 : k + 1;
        page[k] = page_of(&s, true, 1.5);
        if (k)
            assert_memory_equal(cairo_image_surface_get_data(page[0].surface),
                                cairo_image_surface_get_data(page[k].surface),
                                (size_t)cairo_image_surface_get_stride(page[0].surface) * WIDE);
    }
    for (int k = 0; k < 3; k++)
        tw_canvas_end(&page[k]);
    scene_end(&s);
}

/* Ink stays within the frame and a line's width, from every side, with and without a thickness. */
static void nothing_is_drawn_beyond_the_frame(void **state)
{
    static const double from[][2] = {{0, 0}, {90, 0}, {30, 20}, {-140, -50}, {17, -90}};

    (void)state;
    for (size_t k = 0; k < 2 * (sizeof from / sizeof *from); k++) {
        const double per_mm = 1.5;
        double box[4] = {WIDE, WIDE, 0, 0};
        const unsigned char *data;
        size_t stride;
        tw_canvas page;
        scene s;
        scene_begin(&s, keeled, 32, from[k / 2][0], from[k / 2][1]);
        if (k % 2)
            s.solid.thickness = NULL;
        assert_int_equal(tw_sight_extents(&s.solid, s.extents, NULL), TW_OK);
        page = page_of(&s, true, per_mm);
        data = cairo_image_surface_get_data(page.surface);
        stride = (size_t)cairo_image_surface_get_stride(page.surface);
        for (size_t y = 0; y < WIDE; y++)
            for (size_t x = 0; x < WIDE; x++)
                if (data[y * stride + 4 * x + 1] != 255) {
                    box[0] = fmin(box[0], (double)x);
                    box[1] = fmin(box[1], (double)y);
                    box[2] = fmax(box[2], (double)x + 1);
                    box[3] = fmax(box[3], (double)y + 1);
                }
        assert_close(box[0], 20.3, 3);
        assert_close(box[1], 30.7, 3);
        assert_close(box[2], 20.3 + per_mm * (s.extents[2] - s.extents[0]), 3);
        assert_close(box[3], 30.7 + per_mm * (s.extents[3] - s.extents[1]), 3);
        tw_canvas_end(&page);
        scene_end(&s);
    }
}

/* ---- words ------------------------------------------------------------------------------------------------- */

static void words_say_where_the_viewer_stands(void **state)
{
    static const struct {
        double azimuth, elevation;
        const char *worn, *plain;
    } cases[] = {
        {0, 0, "Seen from in front", "Seen from in front"},
        {30, 20, "Seen from 30° to the wearer's left, 20° above",
         "Seen from 30° to the right, 20° above"},
        {-90, 0, "Seen from the wearer's right", "Seen from the left"},
        {180, 0, "Seen from behind", "Seen from behind"},
        {-200, -12.5, "Seen from behind, 20° to the wearer's left, 12.5° below",
         "Seen from behind, 20° to the right, 12.5° below"},
        {360, 15, "Seen from in front, 15° above", "Seen from in front, 15° above"},
        {45, 90, "Seen from straight above", "Seen from straight above"},
    };
    char words[600];
    scene worn, plain;

    (void)state;
    scene_begin(&worn, keeled, 16, 0, 0);
    scene_begin(&plain, hemisphere, 16, 0, 0);
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        worn.solid.azimuth = plain.solid.azimuth = cases[k].azimuth;
        worn.solid.elevation = plain.solid.elevation = cases[k].elevation;
        tw_sight_from_words(&worn.solid, words, sizeof words);
        assert_string_equal(words, cases[k].worn);
        tw_sight_from_words(&plain.solid, words, sizeof words);
        assert_string_equal(words, cases[k].plain);
        tw_sight_words(&plain.solid, words, sizeof words);
        assert_true(strlen(words) + 1 < sizeof words);
        assert_true((strstr(words, "Both faces") != NULL) == (k == 3 || k == 4));
        assert_true((strstr(words, "are true") != NULL) == (k == 0));
    }
    scene_end(&worn);
    scene_end(&plain);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hemisphere_has_its_silhouette),
        cmocka_unit_test(extents_are_those_of_the_form),
        cmocka_unit_test(the_body_lies_where_the_face_says),
        cmocka_unit_test(cut_cells_leave_the_exact_metal),
        cmocka_unit_test(light_falls_from_the_upper_left),
        cmocka_unit_test(without_light_colours_are_the_scale_s),
        cmocka_unit_test(what_is_behind_is_hidden),
        cmocka_unit_test(nearest_metal_is_seen),
        cmocka_unit_test(the_cut_edge_shows_the_thickness),
        cmocka_unit_test(level_lines_lie_at_their_radii),
        cmocka_unit_test(same_bytes_for_any_threads),
        cmocka_unit_test(nothing_is_drawn_beyond_the_frame),
        cmocka_unit_test(words_say_where_the_viewer_stands),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
