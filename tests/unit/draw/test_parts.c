/*
 * Bars by part: lengths stand to each other as the grams do, the axis says the same, pairs are one row,
 * nothing is cut at the edge of the picture, faults are told.
 */
#include "drawn.h"
#include "support.h"

#include <stdlib.h>

#include "draw/draw_internal.h"

enum { MOST = 64 };

/* A harness made by hand: what the picture reads of it, and no more. */
typedef struct armour {
    tw_arena *arena;
    tw_harness_file file;
    tw_harness harness;
    tw_part_spec specs[MOST];
    tw_part parts[MOST];
    bool in[MOST];
    tw_counted counted[MOST];
    tw_figure figure[MOST];
    tw_total total;
    tw_sources sources;
} armour;

static void armour_begin(armour *a)
{
    memset(a, 0, sizeof *a);
    a->arena = tw_arena_new();
    assert_non_null(a->arena);
    a->file.harness = "test cuirass";
    a->harness.file = &a->file;
    a->harness.parts = a->parts;
    a->total.harness = &a->harness;
    a->total.in = a->in;
    a->total.counted = a->counted;
    a->total.figure = a->figure;
}

static void armour_end(armour *a)
{
    tw_sources_release(&a->sources);
    tw_arena_free(a->arena);
}

static tw_figure figure(armour *a, const char *cause, double g, double u)
{
    tw_figure f = tw_figure_zero();

    f.g = g;
    if (u > 0)
        assert_int_equal(tw_figure_cause(&f, a->arena, cause, u, (double)INFINITY, NULL), TW_OK);
    return f;
}

/* Weighed or modelled are NaN where they are not known; side as in tw_part. */
static tw_part *add(armour *a, const char *name, int side, double weighed, double modelled)
{
    const size_t k = a->harness.part_count++;
    tw_part *part = &a->parts[k];

    *part = (tw_part){.name = name,
                      .side = side,
                      .spec = &a->specs[side < 0 ? k - 1 : k],
                      .sheet_g = (double)NAN,
                      .forged_g = (double)NAN};
    part->modelled = figure(a, "density", modelled, 0.03 * modelled);
    part->weighing.net = figure(a, "scale", weighed, 2);
    part->has_weighing = !isnan(weighed);
    a->in[k] = true;
    a->total.in_count++;
    a->figure[k] = part->has_weighing ? part->weighing.net : part->modelled;
    a->counted[k] = part->has_weighing ? TW_COUNTED_WEIGHED
                    : isnan(modelled)  ? TW_COUNTED_MISSING
                                       : TW_COUNTED_MODELLED;
    if (a->counted[k] == TW_COUNTED_MISSING)
        a->total.missing_count++;
    else
        assert_int_equal(tw_figure_add(&a->total.sum, a->arena, &a->figure[k], 1, NULL), TW_OK);
    return part;
}

static void add_pair(armour *a, const char *name, double weighed, double modelled)
{
    a->specs[a->harness.part_count].name = name;
    add(a, "left one", 1, weighed, modelled);
    add(a, "right one", -1, weighed, modelled);
}

static void leave_out(armour *a, size_t k)
{
    a->in[k] = false;
    a->counted[k] = TW_COUNTED_MISSING;
    a->total.in_count--;
}

static tw_image draw(armour *a, tw_draw_options options)
{
    tw_image image = {0};
    tw_error err;

    tw_sources_release(&a->sources);
    assert_int_equal(tw_total_sources(&a->total, &a->sources, NULL), TW_OK);
    if (test_drawn(
            tw_draw_parts(&a->total, &a->sources, TW_PAPER_PNG, &options, test_canvas(), &err),
            &image) != TW_OK)
        fail_msg("%s", err.message);
    return image;
}

static bool same_bytes(const tw_image *a, const tw_image *b)
{
    return a->width == b->width && a->height == b->height &&
           memcmp(a->pixels, b->pixels, 3 * a->width * a->height) == 0;
}

static bool is_fill(const tw_image *image, size_t x, size_t y, tw_fill fill)
{
    const unsigned char *p = image->pixels + 3 * (y * image->width + x);
    double rgb[3];

    tw_fill_colour(fill, rgb);
    for (int k = 0; k < 3; k++)
        if (abs(p[k] - (int)(255 * rgb[k] + 0.5)) > 1)
            return false;
    return true;
}

/* Bars of one fill from the top down: first and last column of each; boxes of the key, which stand
 * left of `from`, are not counted. */
static size_t find_bars(const tw_image *image, tw_fill fill, size_t from, size_t ends[][2],
                        size_t *below)
{
    size_t count = 0;
    bool inside = false;

    for (size_t y = 0; y < image->height; y++) {
        size_t first = SIZE_MAX, last = 0;
        for (size_t x = from; x < image->width; x++)
            if (is_fill(image, x, y, fill)) {
                first = first < x ? first : x;
                last = x;
            }
        if (first <= last && !inside) {
            ends[count][0] = first;
            ends[count++][1] = last;
        }
        inside = first <= last;
        if (inside)
            *below = y;
    }
    return count;
}

/* Nothing is drawn in the outermost pixels: no text is cut. */
static void assert_clear_margin(const tw_image *image)
{
    const size_t rim = image->width / 100;

    for (size_t y = 0; y < image->height; y++)
        for (size_t x = 0; x < image->width; x++) {
            const unsigned char *p = image->pixels + 3 * (y * image->width + x);
            if (x >= rim && x + rim < image->width && y >= rim && y + rim < image->height)
                continue;
            if (p[0] + p[1] + p[2] != 3 * 255)
                fail_msg("ink at %zu, %zu of %zu by %zu", x, y, image->width, image->height);
        }
}

static bool is_dark(const tw_image *image, size_t x, size_t y)
{
    return image->pixels[3 * (y * image->width + x)] < 130;
}

/* A tick hangs from the axis, which is the first dark row under the bars; numbers begin lower. */
static bool has_tick(const tw_image *image, size_t x, size_t under)
{
    size_t axis = under;

    while (axis + 10 < image->height &&
           !(is_dark(image, x + 7, axis) && is_dark(image, x - 7, axis)))
        axis++;
    for (size_t column = x - 2; column <= x + 2; column++)
        if (is_dark(image, column, axis + 3) && is_dark(image, column, axis + 5))
            return true;
    return false;
}

/* 2 kg is twice 1 kg is twice 500 g from one common zero; ticks stand at 0.5 and 1 kg. */
static void bars_are_as_long_as_their_masses(void **state)
{
    size_t ends[MOST][2], below = 0;
    double end[3];
    armour a;
    tw_image image;

    (void)state;
    armour_begin(&a);
    add(&a, "one", 0, 2000, (double)NAN);
    add(&a, "two", 0, 1000, (double)NAN);
    add(&a, "three", 0, 500, (double)NAN);
    for (size_t k = 0; k < 3; k++) /* no whisker over the ends */
        a.figure[k].count = 0;
    image = draw(&a, (tw_draw_options){.width = 1600});
    assert_int_equal(find_bars(&image, TW_FILL_WEIGHED, 100, ends, &below), 3);
    for (size_t k = 0; k < 3; k++) {
        assert_int_equal(ends[k][0], ends[0][0]);
        end[k] = (double)ends[k][1];
    }
    assert_close(end[0] - end[1], 2 * (end[1] - end[2]), 2);
    /* outlines take a little off each bar */
    assert_close(end[0] - end[1], end[1] - (double)ends[0][0], 5);
    assert_true(has_tick(&image, ends[2][1], below + 12));
    assert_true(has_tick(&image, ends[1][1], below + 12));
    assert_false(has_tick(&image, (ends[0][1] + 39 * ends[1][1]) / 40, below + 12));
    tw_image_release(&image);
    armour_end(&a);
}

/* Sheet 200 g heavier: to the right; 100 g lighter: half as far to the left; from the same zero. */
static void differences_go_both_ways(void **state)
{
    size_t heavier[MOST][2], lighter[MOST][2], below = 0;
    armour a;
    tw_image image, hatched;
    tw_part *part;

    (void)state;
    armour_begin(&a);
    part = add(&a, "one", 0, 1000, 1010);
    part->forged_g = 1000;
    part->sheet_g = 1200;
    part = add(&a, "two", 0, 1000, 1010);
    part->forged_g = 1000;
    part->sheet_g = 900;
    image = draw(&a, (tw_draw_options){.width = 1600});
    assert_int_equal(find_bars(&image, TW_FILL_HEAVIER, 1100, heavier, &below), 1);
    assert_int_equal(find_bars(&image, TW_FILL_LIGHTER, 1100, lighter, &below), 1);
    assert_close((double)heavier[0][0], (double)lighter[0][1], 4);
    assert_close((double)heavier[0][1] - (double)heavier[0][0],
                 2 * ((double)lighter[0][1] - (double)lighter[0][0]), 6);
    a.parts[0].overlap_sheet_g = 150;
    a.parts[0].overlap_forged_g = 50;
    hatched = draw(&a, (tw_draw_options){.width = 1600});
    assert_false(same_bytes(&image, &hatched));
    tw_image_release(&hatched);
    a.parts[1].overlap_sheet_g =
        130; /* 80 g heavier, and the whole 100 g lighter: its own colour */
    a.parts[1].overlap_forged_g = 50;
    hatched = draw(&a, (tw_draw_options){.width = 1600});
    assert_int_equal(find_bars(&hatched, TW_FILL_HEAVIER, 1100, heavier, &below), 2);
    assert_close((double)heavier[1][0], (double)heavier[0][0], 3);
    assert_close((double)heavier[1][1] - (double)heavier[1][0],
                 0.4 * ((double)heavier[0][1] - (double)heavier[0][0]),
                 10); /* stripes at its end */
    tw_image_release(&hatched);
    tw_image_release(&image);
    armour_end(&a);
}

/* A cause that both of a pair share adds straight: 2·2 g, not √2·2 g. */
static void pairs_are_one_row(void **state)
{
    tw_part_rows rows;
    armour a;

    (void)state;
    armour_begin(&a);
    add(&a, "breast", 0, 1600, 1650);
    add_pair(&a, "tasset", 500, 510);
    add_pair(&a, "poleyn", (double)NAN, 300);
    add(&a, "bevor", 0, (double)NAN, (double)NAN);
    add_pair(&a, "spur", (double)NAN, (double)NAN);
    add_pair(&a, "gauntlet", 400, (double)NAN);
    add_pair(&a, "cuisse", 400, (double)NAN);
    leave_out(&a, 8);
    leave_out(&a, 9);
    leave_out(&a, 11);
    assert_int_equal(tw_part_rows_collect(&a.total, NULL, a.arena, &rows, NULL), TW_OK);
    assert_int_equal(rows.count, 6);
    assert_int_equal(rows.known_count, 4);
    assert_string_equal(rows.rows[1].name, "tasset (pair)");
    assert_close(rows.rows[1].counted.g, 1000, 1e-9);
    assert_close(tw_figure_u(&rows.rows[1].counted), 4, 1e-9);
    assert_true(rows.rows[1].both);
    assert_close(rows.rows[1].modelled.g, 1020, 1e-9);
    assert_string_equal(rows.rows[1].how, "weighed");
    assert_int_equal(rows.rows[2].fill, TW_FILL_MODELLED);
    assert_false(rows.rows[2].both);
    assert_false(rows.rows[3].known);
    assert_string_equal(rows.rows[3].how, "not known");
    assert_string_equal(rows.rows[4].name, "spur (pair)");
    assert_false(rows.rows[4].known);
    assert_string_equal(rows.rows[5].name, "left one"); /* of the cuisses: the other one is out */
    assert_string_equal(rows.missing, "without bevor, spur (pair)");
    assert_string_equal(rows.left_out, "left out: gauntlet (pair), right one");

    a.figure[2] = a.parts[2].modelled; /* the right tasset's weighing is gone */
    a.counted[2] = TW_COUNTED_MODELLED;
    assert_int_equal(tw_part_rows_collect(&a.total, NULL, a.arena, &rows, NULL), TW_OK);
    assert_string_equal(rows.rows[1].how, "one weighed, one modelled");
    assert_close(rows.rows[1].counted.g, 1010, 1e-9);
    a.figure[4].g = (double)NAN; /* the right poleyn has none: the left one stands alone */
    a.counted[4] = TW_COUNTED_MISSING;
    assert_int_equal(tw_part_rows_collect(&a.total, NULL, a.arena, &rows, NULL), TW_OK);
    assert_int_equal(rows.count, 7);
    assert_int_equal(rows.known_count, 4);
    assert_int_equal(rows.rows[2].count, 1);
    assert_true(rows.rows[2].known);
    assert_false(rows.rows[3].known);
    assert_string_equal(rows.missing, "without right one, bevor, spur (pair)");
    armour_end(&a);
}

/* An even share comes without causes, or with one that is not a number: no ± either way. Two even
 * shares of a pair that a scale held alone are the pair's weighing, with its ±. */
static void even_shares_have_no_plus_or_minus(void **state)
{
    const char *pair_name[] = {"tasset"};
    const tw_weighing_spec spec = {.parts = pair_name, .part_count = 1};
    tw_weighing together;
    tw_part_rows rows;
    tw_image image;
    armour a;

    (void)state;
    armour_begin(&a);
    add(&a, "gorget", 0, 745, (double)NAN);
    add_pair(&a, "tasset", 500, (double)NAN);
    for (size_t k = 0; k < 3; k++)
        a.counted[k] = TW_COUNTED_TOGETHER;
    a.figure[0] = figure(&a, "share", 745, 1);
    a.figure[0].causes[0].part_g = (double)NAN;
    a.figure[1].count = a.figure[2].count = 0;
    assert_int_equal(tw_part_rows_collect(&a.total, NULL, a.arena, &rows, NULL), TW_OK);
    assert_int_equal(rows.count, 2);
    for (size_t k = 0; k < 2; k++) {
        assert_true(rows.rows[k].about);
        assert_string_equal(rows.rows[k].how, "even share");
    }
    a.counted[2] = TW_COUNTED_WEIGHED; /* one known beside one that is not: no ± of both */
    a.figure[2].count = 1;
    assert_int_equal(tw_part_rows_collect(&a.total, NULL, a.arena, &rows, NULL), TW_OK);
    assert_true(rows.rows[1].about);
    assert_string_equal(rows.rows[1].how, "one even share, one weighed");
    a.counted[2] = TW_COUNTED_TOGETHER;
    a.figure[2].count = 0;
    together = (tw_weighing){.spec = &spec, .net = figure(&a, "kitchen scale", 1000, 2)};
    a.harness.together = &together;
    a.harness.together_count = 1;
    assert_int_equal(tw_part_rows_collect(&a.total, NULL, a.arena, &rows, NULL), TW_OK);
    assert_true(rows.rows[0].about);
    assert_false(rows.rows[1].about);
    assert_string_equal(rows.rows[1].how, "weighed together");
    assert_close(tw_figure_u(&rows.rows[1].counted), 2, 1e-12);
    image = draw(&a, (tw_draw_options){.width = 800});
    assert_clear_margin(&image);
    tw_image_release(&image);
    armour_end(&a);
}

/* Of four rows one has both maps: no second panel; of three one: there it is. */
static void few_differences_have_no_panel(void **state)
{
    size_t bars[MOST][2], below = 0;
    armour a;

    (void)state;
    armour_begin(&a);
    for (size_t k = 0; k < 4; k++) {
        tw_part *part = add(&a, "one", 0, 1000, 1010);
        part->forged_g = k == 0 ? 1000 : (double)NAN;
        part->sheet_g = 1200;
    }
    for (size_t out = 0; out < 2; out++) {
        tw_image image;
        if (out)
            leave_out(&a, 3);
        image = draw(&a, (tw_draw_options){.width = 1600});
        assert_int_equal(find_bars(&image, TW_FILL_HEAVIER, 1100, bars, &below), out);
        tw_image_release(&image);
    }
    armour_end(&a);
}

/* 1 to 60 rows, 8 g beside 30 kg, long and foreign names, both units: all inside, same bytes twice. */
static void nothing_is_cut(void **state)
{
    static const char *const names[] = {
        "rivet", "Brustplatte mit Rüsthaken, geschobenem Übergang und langem Namen, dritte Fassung",
        "Harnischbrustplattenverstärkungsblechbefestigungsschraubenmutter", "πλάκα", "épaulière"};
    static const size_t counts[] = {1, 3, 12, 40, 60};
    armour a;

    (void)state;
    for (size_t c = 0; c < 5; c++) {
        armour_begin(&a);
        for (size_t k = 0; k < counts[c]; k++) {
            tw_part *part =
                add(&a, names[k % 5], 0, k % 3 == 1 ? (double)NAN : 8 + 500 * (double)(k % 61),
                    k % 2 ? 9 + 510 * (double)(k % 59) : (double)NAN);
            if (k % 4 == 1) {
                part->forged_g = 1000 * (double)k;
                part->sheet_g = 1000 * (double)k + (k % 8 == 1 ? 3000 : -40);
                part->overlap_sheet_g = 20;
            }
        }
        for (int wide = 0; wide < 2; wide++) {
            const tw_draw_options options = {.width = wide ? 1600 : 700,
                                             .units = wide == (int)(c % 2) ? TW_INCH : TW_METRIC,
                                             .date = "25 November"};
            tw_image one = draw(&a, options), two = draw(&a, options);
            assert_int_equal(one.width, options.width);
            assert_clear_margin(&one);
            assert_true(same_bytes(&one, &two));
            tw_image_release(&one);
            tw_image_release(&two);
        }
        armour_end(&a);
    }
}

static void faults_are_told(void **state)
{
    tw_draw_options options = {.width = 599};
    tw_image image = {0};
    tw_error err;
    armour a;

    (void)state;
    armour_begin(&a);
    add(&a, "bevor", 0, (double)NAN, (double)NAN); /* nothing to draw is no fault */
    assert_int_equal(
        test_drawn(tw_draw_parts(&a.total, NULL, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_DOMAIN);
    options.width = 20001;
    assert_int_equal(
        test_drawn(tw_draw_parts(&a.total, NULL, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_DOMAIN);
    options.width = 600;
    assert_int_equal(
        test_drawn(tw_draw_parts(&a.total, NULL, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_OK);
    tw_image_release(&image);
    while (a.harness.part_count < 62)
        add(&a, "lame", 0, 500, 500);
    options.width = 20000; /* taller than cairo can */
    image.pixels = NULL;
    assert_int_equal(
        test_drawn(tw_draw_parts(&a.total, NULL, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_DOMAIN);
    assert_non_null(strstr(err.advice, "pixels wide"));
    assert_null(image.pixels);
    armour_end(&a);
}

/* Property: at the scale found every bar fits with its words, at 1 % more one does not. */
static void scale_is_the_greatest_that_fits(void **state)
{
    test_random rng = test_random_begin("scale_is_the_greatest_that_fits");

    (void)state;
    for (int trial = 0; trial < 500; trial++) {
        tw_extent reaches[12];
        const size_t count = 1 + (size_t)test_uniform(&rng, 0, 11.99);
        double zero, need[2][2] = {{0, 0}, {0, 0}}, per_g;
        for (size_t k = 0; k < count; k++)
            reaches[k] = (tw_extent){test_uniform(&rng, -200, 800), test_uniform(&rng, 10, 200)};
        per_g = tw_extent_fit(reaches, count, 700, &zero);
        assert_true(per_g > 0);
        for (int more = 0; more < 2; more++)
            for (size_t k = 0; k < count; k++) {
                const int side = reaches[k].g < 0;
                need[more][side] =
                    fmax(need[more][side],
                         fabs(reaches[k].g) * per_g * (more ? 1.01 : 1) + reaches[k].words);
            }
        assert_close(need[0][1], zero, 1e-9);
        assert_true(need[0][0] + need[0][1] <= 700 + 1e-6);
        assert_true(need[1][0] + need[1][1] > 700);
    }
}

static void masses_read_as_they_should(void **state)
{
    static const struct {
        double g, expanded;
        tw_units units;
        const char *text;
    } cases[] = {
        {1610, 12, TW_METRIC, "1.61 kg ± 0.01 kg"},
        {1610, 3, TW_METRIC, "1.610 kg ± 0.003 kg"},
        {1610, 0, TW_METRIC, "1.61 kg"},
        {1610, 0.2, TW_METRIC, "1.610 kg ± 0.001 kg"},
        {702, 6, TW_METRIC, "702 g ± 6 g"},
        {8, 0.5, TW_METRIC, "8.0 g ± 0.5 g"},
        {8, (double)NAN, TW_METRIC, "8.0 g"},
        {999.7, 80, TW_METRIC, "1.00 kg ± 0.08 kg"},
        {1610, 12, TW_INCH, "3 lb 8.8 oz ± 0.4 oz"},
        {0, 0, TW_METRIC, "0 g"},
    };
    char text[64];

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_grams_words(cases[k].g, cases[k].expanded, cases[k].units, text, sizeof text);
        assert_string_equal(text, cases[k].text);
    }
    tw_grams_signed(140.4, TW_METRIC, text, sizeof text);
    assert_string_equal(text, "+140 g");
    tw_grams_signed(-20, TW_METRIC, text, sizeof text);
    assert_string_equal(text, "−20 g");
    tw_grams_signed(-0.01, TW_METRIC, text, sizeof text);
    assert_string_equal(text, "0 g");
}

/* Steps are 1, 2, 2.5 or 5 times a power of ten; ounces go by halves and doubles from a quarter up. */
static void ticks_are_round(void **state)
{
    (void)state;
    for (double span = 3; span < 60000; span *= 1.07) {
        tw_mass_axis axis = {.high = span, .per_g = 600 / span};
        double lead;
        tw_axis_ticks(&axis, 90, TW_METRIC);
        assert_string_equal(axis.unit, span >= 1000 ? "kg" : "g");
        lead = axis.step / pow(10, floor(log10(axis.step) + 1e-9));
        assert_true(fabs(lead - 1) < 1e-9 || fabs(lead - 2) < 1e-9 || fabs(lead - 2.5) < 1e-9 ||
                    fabs(lead - 5) < 1e-9);
        assert_in_range((long)(span / axis.step / axis.unit_g), 3, 12);
        tw_axis_ticks(&axis, 90, TW_INCH);
        if (axis.unit_g < 30 && axis.step >= 0.25)
            assert_close(log2(axis.step), round(log2(axis.step)), 1e-12);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bars_are_as_long_as_their_masses),
        cmocka_unit_test(differences_go_both_ways),
        cmocka_unit_test(pairs_are_one_row),
        cmocka_unit_test(even_shares_have_no_plus_or_minus),
        cmocka_unit_test(few_differences_have_no_panel),
        cmocka_unit_test(nothing_is_cut),
        cmocka_unit_test(faults_are_told),
        cmocka_unit_test(scale_is_the_greatest_that_fits),
        cmocka_unit_test(masses_read_as_they_should),
        cmocka_unit_test(ticks_are_round),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
