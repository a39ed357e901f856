/*
 * Whole pictures: the plate's colours stand where the tape says, the same input gives the same
 * pixels for any number of threads, sizes are held, faults are told.
 */
#include "compared.h"

#include <stdlib.h>

#include "draw/draw_internal.h"

static bool same_bytes(const tw_image *a, const tw_image *b)
{
    return a->width == b->width && a->height == b->height &&
           memcmp(a->pixels, b->pixels, 3 * a->width * a->height) == 0;
}

static void same_pixels_for_any_threads(void **state)
{
    compared d;
    tw_image one, more;

    (void)state;
    compared_begin(&d, DISC);
    one = compared_drawn(&d, (tw_draw_options){.which = SIZE_MAX, .threads = 1});
    for (unsigned threads = 2; threads <= 4; threads++) {
        more = compared_drawn(&d, (tw_draw_options){.which = SIZE_MAX, .threads = threads});
        assert_true(same_bytes(&one, &more));
        tw_image_release(&more);
    }
    tw_image_release(&one);
    compared_end(&d);
}

/* The sheet of 1.5 mm on a scale of 1.0 to 2.0 mm is the middle colour of the thickness scale; it is
 * by far the commonest colour of the picture that is no grey. */
static void sheet_panel_has_its_colour(void **state)
{
    compared d;
    tw_image image;
    unsigned char wanted[3];
    size_t count = 0, coloured = 0;

    (void)state;
    compared_begin(&d, DISC);
    image = compared_drawn(&d, (tw_draw_options){.which = SIZE_MAX});
    tw_colour_thickness(0.5, wanted);
    for (size_t k = 0; k < image.width * image.height; k++) {
        const unsigned char *p = image.pixels + 3 * k;
        coloured += p[0] != p[1] || p[1] != p[2];
        count +=
            abs(p[0] - wanted[0]) <= 1 && abs(p[1] - wanted[1]) <= 1 && abs(p[2] - wanted[2]) <= 1;
    }
    print_message("%.1f %% of the coloured pixels\n", 100.0 * (double)count / (double)coloured);
    assert_true(count > coloured / 4);
    tw_image_release(&image);
    compared_end(&d);
}

static void width_is_held_and_height_follows(void **state)
{
    compared d;
    tw_image small, large;

    (void)state;
    compared_begin(&d, DISC);
    small = compared_drawn(&d, (tw_draw_options){.width = 800, .which = 0});
    large = compared_drawn(&d, (tw_draw_options){.width = 1600, .which = 0});
    assert_int_equal(small.width, 800);
    assert_int_equal(large.width, 1600);
    assert_close((double)large.height, 2 * (double)small.height, 2);
    tw_image_release(&small);
    tw_image_release(&large);
    compared_end(&d);
}

static void units_date_and_row_change_the_picture(void **state)
{
    compared d;
    tw_image plain, other;

    (void)state;
    compared_begin(&d, DISC);
    plain = compared_drawn(&d, (tw_draw_options){.which = 2});
    other = compared_drawn(&d, (tw_draw_options){.which = 2, .units = TW_INCH});
    assert_false(same_bytes(&plain, &other));
    tw_image_release(&other);
    other = compared_drawn(&d, (tw_draw_options){.which = 2, .date = "3 May"});
    assert_false(same_bytes(&plain, &other));
    tw_image_release(&other);
    other = compared_drawn(&d, (tw_draw_options){.which = 0});
    assert_false(same_bytes(&plain, &other));
    tw_image_release(&other);
    other = compared_drawn(&d, (tw_draw_options){.which = SIZE_MAX}); /* own stock, the last */
    assert_true(same_bytes(&plain, &other));
    tw_image_release(&other);
    tw_image_release(&plain);
    compared_end(&d);
}

/* Pixels in the upper half of a picture, above its legends, as deep as 1.7 mm or more. */
static size_t deep_pixels(const tw_image *image, const tw_map *map)
{
    const tw_scale scale = tw_scale_thickness(map->thinnest, map->thickest, TW_METRIC);
    unsigned char least[3], most[3];
    size_t deep = 0;

    tw_colour_thickness((1.7 - scale.low) / (scale.high - scale.low), least);
    tw_colour_thickness(1, most);
    assert_true(most[0] < least[0]); /* red falls toward the deep end; greys are left out */
    for (size_t n = 0; n < image->width * image->height / 2; n++) {
        const unsigned char *p = image->pixels + 3 * n;
        deep += p[0] <= least[0] && p[2] > p[0] + 20 && p[2] > p[1] + 20;
    }
    print_message("%zu deep pixels\n", deep);
    return deep;
}

/* A bowl's own row beside its even sheets: drawn when nothing else is asked for, with its own map, on a
 * scale that holds it, the same for any number of threads. */
static void sheet_as_formed_has_its_picture(void **state)
{
    static const char bowl[] = "plate: bowl\nmaterial: mild steel\nruler: mm\n"
                               "form: {bowl: {across: 150 mm, up: 150 mm, depth: 140 mm}}\n"
                               "thickness:\n  sheet: 16 swg\n  forged:\n"
                               "    edges: [{edge: rim, thickness: 1.62 mm}]\n";
    const tw_layout_options usual = {.nodes = 1300, .stock = 1.6256};
    tw_layout *layout = NULL;
    tw_map map;
    tw_image even, formed, other;
    compared d;

    (void)state;
    compared_begin(&d, bowl);
    even = compared_drawn(&d, (tw_draw_options){.which = SIZE_MAX});
    assert_int_equal(tw_layout_as_formed(d.plate->form, &usual, &layout, NULL), TW_OK);
    assert_int_equal(tw_map_as_formed(layout, d.plate->grid, 1, &map, NULL), TW_OK);
    assert_int_equal(tw_compare_as_formed(&d.comparison, &map, 1.6256, 0, NULL), TW_OK);
    assert_int_equal(d.comparison.count, 4);

    other = compared_drawn(&d, (tw_draw_options){.which = 2});
    assert_true(same_bytes(&even, &other)); /* another row has its picture still */
    tw_image_release(&other);
    formed = compared_drawn(&d, (tw_draw_options){.which = SIZE_MAX, .threads = 1});
    assert_false(same_bytes(&even, &formed));
    for (unsigned threads = 2; threads <= 3; threads++) {
        other = compared_drawn(&d, (tw_draw_options){.which = 3, .threads = threads});
        assert_true(same_bytes(&formed, &other));
        tw_image_release(&other);
    }
    /* Forged is even here: what there is of deep colour in the panels is the formed sheet's rim. */
    assert_true(map.thickest > 1.8 && map.thinnest < 1.4);
    assert_int_equal(deep_pixels(&even, &map), 0);
    assert_true(deep_pixels(&formed, &map) > 5000);
    tw_image_release(&even);
    tw_image_release(&formed);
    tw_map_release(&map);
    tw_layout_free(layout);
    compared_end(&d);
}

static void faults_are_told(void **state)
{
    compared d;
    tw_image image = {0};
    tw_error err;
    tw_draw_options options = {.width = 599};

    (void)state;
    compared_begin(&d, DISC);
    assert_int_equal(
        test_drawn(tw_draw_comparison(&d.comparison, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_DOMAIN);
    options.width = 20001;
    assert_int_equal(
        test_drawn(tw_draw_plate(d.plate, TW_PAPER_PNG, &options, test_canvas(), &err), &image),
        TW_ERR_DOMAIN);
    assert_null(image.pixels);
    options.width = 700;
    assert_int_equal(
        test_drawn(tw_draw_plate(d.plate, TW_PAPER_PNG, &options, test_canvas(), &err), &image),
        TW_OK);
    tw_image_release(&image);
    compared_end(&d);
}

/* The line square to the bench through the balance point meets a flat disc in its middle, half the
 * mean thickness above it; a point beside the metal meets nothing. */
static void balance_point_is_found(void **state)
{
    const double beside[3] = {400, 0, -1};
    double tape[2], behind;
    compared d;

    (void)state;
    compared_begin(&d, DISC);
    assert_true(tw_balance_on_face(d.plate, d.plate->maps[0].weight.centroid_mm, tape, &behind));
    assert_close(tape[0], 0, 1e-9);
    assert_close(tape[1], 0, 1e-9);
    assert_close(behind, 0.75, 1e-9);
    assert_false(tw_balance_on_face(d.plate, beside, tape, &behind));
    compared_end(&d);
}

/* A mixed number is one number: broken after its 1, 1 15/16 in reads 15/16 in. */
static void no_line_ends_within_a_measure(void **state)
{
    char text[80] = "lies 1 15/16 in behind, 12 3/4 in up, at 7 or 1/2 in", full[] = "1 15/16 in";

    (void)state;
    tw_text_bind_units(text, sizeof text);
    assert_string_equal(text, "lies 1\u00a015/16\u00a0in behind, 12\u00a03/4\u00a0in up, at 7 or "
                              "1/2\u00a0in");
    tw_text_bind_units(full, sizeof full); /* no room: left as it is */
    assert_string_equal(full, "1 15/16 in");
}

/* White words on a black line: a clear rim leaves nothing of it between the first and the last letter,
 * a plain one some. */
static void a_clear_text_is_not_struck_through(void **state)
{
    const tw_lettering plain = {.size = 26, .halo = true, .grey = 1},
                       clear = {.size = 26, .halo = true, .clear = true, .grey = 1};
    size_t dark[2] = {0, 0};

    (void)state;
    for (int turn = 0; turn < 2; turn++) {
        const tw_lettering *letters = turn ? &clear : &plain;
        tw_canvas canvas;
        tw_image image;
        double width, height;
        assert_int_equal(tw_canvas_begin(400, 80, 1, TW_METRIC, &canvas, NULL), TW_OK);
        tw_text_size(&canvas, "2: from 2.25 mm", letters, &width, &height);
        cairo_rectangle(canvas.cairo, 0, 39, 400, 3);
        cairo_set_source_rgb(canvas.cairo, 0, 0, 0);
        cairo_fill(canvas.cairo);
        tw_text_draw(&canvas, "2: from 2.25 mm", letters, 50, 40 - height / 2); /* white letters */
        assert_int_equal(tw_canvas_image(&canvas, &image, NULL), TW_OK);
        tw_canvas_end(&canvas);
        for (size_t x = 60; x < (size_t)(40 + width); x++)
            dark[turn] += image.pixels[3 * (40 * image.width + x)] < 128;
        assert_true(image.pixels[3 * (40 * image.width + 20)] < 10); /* the line beside it */
        tw_image_release(&image);
    }
    assert_true(dark[0] > 20);
    assert_int_equal(dark[1], 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(same_pixels_for_any_threads),
        cmocka_unit_test(sheet_panel_has_its_colour),
        cmocka_unit_test(width_is_held_and_height_follows),
        cmocka_unit_test(units_date_and_row_change_the_picture),
        cmocka_unit_test(sheet_as_formed_has_its_picture),
        cmocka_unit_test(faults_are_told),
        cmocka_unit_test(balance_point_is_found),
        cmocka_unit_test(no_line_ends_within_a_measure),
        cmocka_unit_test(a_clear_text_is_not_struck_through),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
