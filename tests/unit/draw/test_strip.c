/*
 * Own masses among records: dots and diamond stand where the grams say, dots never meet, words count
 * right, nothing is cut at the edge of the picture, faults are told.
 */
#include "drawn.h"
#include "support.h"

#include <stdlib.h>

#include "draw/draw_internal.h"

enum { MOST = 4000, PLOT_FROM = 395, PLOT_TO = 1150 /* columns of a picture 1600 wide */ };

typedef struct set {
    tw_original originals[MOST];
    const tw_original *records[MOST];
    tw_kind_count kinds[2];
    tw_cause cause;
    tw_standing row;
    tw_ranking ranking;
} set;

/* `masses` by rising mass. */
static void set_fill(set *s, const double *masses, size_t count, double own, double u)
{
    memset(s, 0, sizeof *s);
    s->kinds[0] = (tw_kind_count){"breastplate", 1};
    s->kinds[1] = (tw_kind_count){"tasset", 2};
    s->cause = (tw_cause){"scale", u, (double)INFINITY};
    s->row = (tw_standing){.what = "the whole",
                           .kind_count = 2,
                           .kinds = s->kinds,
                           .own = {own, u > 0, &s->cause},
                           .count = count,
                           .records = s->records,
                           .median = (double)NAN,
                           .lower = (double)NAN,
                           .upper = (double)NAN,
                           .per_area = (double)NAN,
                           .per_area_median = (double)NAN};
    for (size_t k = 0; k < count; k++) {
        s->originals[k] =
            (tw_original){.institution = "A Test Museum", .licence = "CC0", .g = masses[k]};
        s->records[k] = &s->originals[k];
        s->row.lighter += masses[k] < own;
    }
    s->ranking = (tw_ranking){.whole = true, .count = 1, .rows = &s->row};
}

static tw_image draw(const tw_ranking *ranking, tw_draw_options options)
{
    tw_image image = {0};
    tw_error err;

    if (test_drawn(tw_draw_ranking(ranking, TW_PAPER_PNG, &options, test_canvas(), &err), &image) !=
        TW_OK)
        fail_msg("%s", err.message);
    return image;
}

static bool same_bytes(const tw_image *a, const tw_image *b)
{
    return a->width == b->width && a->height == b->height &&
           memcmp(a->pixels, b->pixels, 3 * a->width * a->height) == 0;
}

static bool is_colour(const tw_image *image, size_t x, size_t y, const double rgb[3])
{
    const unsigned char *p = image->pixels + 3 * (y * image->width + x);

    for (int k = 0; k < 3; k++)
        if (abs(p[k] - (int)(255 * rgb[k] + 0.5)) > 1)
            return false;
    return true;
}

/* Runs of columns of the plot that hold a colour; their middles. Signs of the key stand left of it. */
static size_t find_middles(const tw_image *image, const double rgb[3], double middles[])
{
    size_t count = 0, first = 0;
    bool inside = false;

    for (size_t x = PLOT_FROM; x <= PLOT_TO; x++) {
        bool here = false;
        for (size_t y = 0; y < image->height && !here; y++)
            here = is_colour(image, x, y, rgb);
        if (here && !inside)
            first = x;
        if (!here && inside)
            middles[count++] = ((double)first + (double)x - 1) / 2;
        inside = here;
    }
    return count;
}

/* Records at 1000, 1200 and 1500 g: gaps as 2 to 3; own 1350 g in the middle of the last two. */
static void marks_stand_where_the_grams_say(void **state)
{
    static const double masses[] = {1000, 1200, 1500};
    static set s;
    double rgb[3], dots[MOST], own[MOST];
    tw_image image;

    (void)state;
    set_fill(&s, masses, 3, 1350, 0);
    image = draw(&s.ranking, (tw_draw_options){.width = 1600});
    tw_fill_colour(TW_FILL_RECORD, rgb);
    assert_int_equal(find_middles(&image, rgb, dots), 3);
    assert_close((dots[1] - dots[0]) / (dots[2] - dots[0]), 0.4, 0.005);
    tw_fill_colour(TW_FILL_OWN, rgb);
    assert_true(find_middles(&image, rgb, own) >= 1);
    assert_close(own[0], (dots[1] + dots[2]) / 2, 2);
    tw_image_release(&image);
}

/* The band is as wide as twice the expanded uncertainty, 1.96·u for well known causes. */
static void band_is_as_wide_as_its_uncertainty(void **state)
{
    static const double masses[] = {1000, 1500};
    static set s;
    double rgb[3], dots[MOST], band[3];
    size_t first = 0, last = 0;
    tw_image image;

    (void)state;
    set_fill(&s, masses, 2, 1250, 30);
    image = draw(&s.ranking, (tw_draw_options){.width = 1600});
    tw_fill_colour(TW_FILL_RECORD, rgb);
    assert_int_equal(find_middles(&image, rgb, dots), 2);
    tw_fill_colour(TW_FILL_OWN, rgb);
    for (int k = 0; k < 3; k++)
        band[k] = 1 - 0.22 * (1 - rgb[k]);
    for (size_t x = PLOT_FROM; x <= PLOT_TO; x++)
        for (size_t y = 0; y < image.height; y++)
            if (is_colour(&image, x, y, band)) {
                first = first ? first : x;
                last = x;
            }
    assert_close((double)(last - first), 2 * 1.96 * 30 * (dots[1] - dots[0]) / 500, 3);
    assert_close((double)(last + first) / 2, (dots[1] + dots[0]) / 2, 2);
    tw_image_release(&image);
}

/* Property: no two discs of a swarm come nearer than their width. */
static void dots_never_meet(void **state)
{
    test_random rng = test_random_begin("dots_never_meet");
    static double x[300], offset[300], scratch[300][2];

    (void)state;
    for (int trial = 0; trial < 100; trial++) {
        const size_t count = 1 + (size_t)test_uniform(&rng, 0, 299);
        const double radius = test_uniform(&rng, 1, 9);
        double most, seen = 0;
        x[0] = 400;
        for (size_t k = 1; k < count; k++) /* some at the very same place */
            x[k] = x[k - 1] + fmax(0, test_uniform(&rng, -2, 4));
        most = tw_swarm_place(x, count, radius, offset, scratch);
        assert_close(offset[0], 0, 0);
        for (size_t k = 0; k < count; k++) {
            seen = fmax(seen, fabs(offset[k]));
            for (size_t j = 0; j < k; j++)
                assert_true(hypot(x[k] - x[j], offset[k] - offset[j]) > 2 * radius - 1e-9);
        }
        assert_close(most, seen, 0);
    }
}

/* A record 3 % lighter stands a tenth of the half axis away: ± 30 % are on it at least. */
static void three_per_cent_do_not_look_like_much(void **state)
{
    static const double masses[] = {970};
    static set s;
    double rgb[3], dot[MOST], own[MOST];
    tw_image image;

    (void)state;
    set_fill(&s, masses, 1, 1000, 0);
    image = draw(&s.ranking, (tw_draw_options){.width = 1600});
    tw_fill_colour(TW_FILL_RECORD, rgb);
    assert_int_equal(find_middles(&image, rgb, dot), 1);
    tw_fill_colour(TW_FILL_OWN, rgb);
    assert_true(find_middles(&image, rgb, own) >= 1);
    assert_close(own[0], (PLOT_FROM + PLOT_TO) / 2.0, 20);
    assert_close(own[0] - dot[0], 0.05 * (PLOT_TO - PLOT_FROM), 4);
    tw_image_release(&image);
}

/* A pair weighed as one is one row, not also half of it; two single ones and a pair stay. */
static void a_pair_weighed_as_one_is_drawn_once(void **state)
{
    static const double masses[] = {900, 1000};
    static set s;
    tw_kind_count one = {"tasset", 1}, two = {"tasset", 2};
    tw_standing rows[2];
    tw_ranking ranking;
    tw_image image[3];

    (void)state;
    set_fill(&s, masses, 2, 1000, 0);
    rows[0] = rows[1] = s.row;
    rows[0].kind_count = rows[1].kind_count = 1;
    rows[0].kinds = &one;
    rows[1].kinds = &two;
    rows[0].what = "tasset, one of the pair, its share of a weighing together";
    rows[1].what = "tasset, the pair";
    ranking = s.ranking;
    ranking.rows = rows;
    ranking.count = 2;
    image[0] = draw(&ranking, (tw_draw_options){.width = 800});
    rows[0].what = "tasset, one of the pair";
    image[1] = draw(&ranking, (tw_draw_options){.width = 800});
    ranking.rows = &rows[1];
    ranking.count = 1;
    image[2] = draw(&ranking, (tw_draw_options){.width = 800});
    assert_true(same_bytes(&image[0], &image[2]));
    assert_true(image[1].height > image[2].height + 50);
    for (size_t k = 0; k < 3; k++)
        tw_image_release(&image[k]);
}

static void words_count_right(void **state)
{
    static const double masses[] = {900, 1000, 1100, 1200, 1300, 1400, 1500, 1600, 1700};
    static const struct {
        double own;
        size_t count;
        const char *words;
    } cases[] = {
        {1050, 9, "lighter than 7 of 9"},
        {1650, 9, "heavier than 8 of 9"},
        {800, 9, "lighter than all 9"},
        {1800, 9, "heavier than all 9"},
        {800, 1, "lighter than the one record"},
        {1000, 1, "heavier than the one record"},
        {900, 1, "as heavy as the one record"},
        {1050, 0, "no record of this kind alone"},
        {(double)NAN, 9, "no figure to set beside them"},
    };
    static set s;
    tw_arena *arena = tw_arena_new();
    char text[TW_STANDING_WORDS];

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        set_fill(&s, masses, cases[k].count, cases[k].own, 0);
        tw_standing_lead(&s.row, text, sizeof text);
        assert_string_equal(text, cases[k].words);
    }
    set_fill(&s, masses, 2, 800, 0);
    tw_standing_lead(&s.row, text, sizeof text);
    assert_string_equal(text, "lighter than both");
    set_fill(&s, masses, 8, 1010, 20); /* ± 39 g: the record of 1000 g is within it */
    s.row.uncertain = 1;
    tw_standing_lead(&s.row, text, sizeof text);
    assert_string_equal(text, "lighter than 6, as heavy, within its ±, as 1, heavier than 1");
    set_fill(&s, masses, 1, 905, 20);
    s.row.uncertain = 1;
    tw_standing_lead(&s.row, text, sizeof text);
    assert_string_equal(text, "heavier than the one record, but within its ±");
    set_fill(&s, masses, 9, 1050, 0);
    s.row.per_area = 161; /* two records of 20 dm², 900 g and 1000 g: 45 and 50 g per dm² */
    for (size_t k = 0; k < 9; k++)
        s.originals[k].height = s.originals[k].width = (double)NAN;
    tw_standing_more(&s.row, TW_METRIC, text);
    assert_string_equal(text, "");
    for (size_t k = 0; k < 2; k++) {
        s.originals[k].height = 500;
        s.originals[k].width = 400;
    }
    s.row.per_area_count = 2;
    tw_standing_more(&s.row, TW_METRIC, text);
    assert_string_equal(text, "161\xc2\xa0g per dm² of height × width, 2 records "
                              "45\xc2\xa0g to 50\xc2\xa0g");
    set_fill(&s, masses, 9, 1050, 0);
    assert_string_equal(tw_standing_kinds(&s.row, arena), "breastplate, tasset ×2");
    s.row.own.g = 1050;
    s.row.adjustment_count = 2; /* ± of the second: 1.96 · 6.12 g */
    s.row.adjustments[0] = (tw_adjustment){.what = "lining in", .g = 40};
    s.row.adjustments[1] = (tw_adjustment){.what = "straps out", .g = -120, .u_g = 6.12};
    tw_standing_more(&s.row, TW_METRIC, text);
    assert_string_equal(text, "lining in: +40\xc2\xa0g\nstraps out: −120\xc2\xa0g ± 12\xc2\xa0g");
    tw_arena_free(arena);
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

static void check(const tw_ranking *ranking, size_t width, tw_units units)
{
    const tw_draw_options options = {.width = width, .units = units, .date = "25 November"};
    tw_image one = draw(ranking, options), two = draw(ranking, options);

    assert_int_equal(one.width, width);
    assert_clear_margin(&one);
    assert_true(same_bytes(&one, &two));
    tw_image_release(&one);
    tw_image_release(&two);
}

/* No rows; no record; one; all alike; 8 g; 30 kg; thousands; long names: inside, same bytes twice. */
static void nothing_is_cut(void **state)
{
    static const char *alone[] = {"gorget", "bevor with a very long name of many words"};
    static const struct {
        double from, step, own, u;
        size_t count;
    } cases[] = {{1000, 100, 1500, 20, 0},      {1000, 100, 1500, 20, 1},
                 {1000, 0, 1000, 0, 30},        {8, 0.02, 8, 0.1, 40},
                 {20000, 500, 30000, 300, 25},  {3000, 1, (double)NAN, 0, 200},
                 {2000, 0.25, 2500, 4, MOST},   {1, 1e-4, 30000, 4, 12},
                 {1000, 50, (double)NAN, 0, 0}, {0, 0, 0, 0, 3}};
    static set s;
    static double masses[MOST];
    const tw_ranking none = {.alone_count = 2, .alone = alone, .stopper = "gorget"};

    (void)state;
    check(&none, 700, TW_METRIC);
    for (size_t c = 0; c < sizeof cases / sizeof *cases; c++) {
        const size_t n = cases[c].count;
        for (size_t k = 0; k < n; k++)
            masses[k] = cases[c].from + cases[c].step * (double)k;
        set_fill(&s, masses, n, cases[c].own, cases[c].u);
        if (n >= 8) {
            s.row.median = masses[n / 2];
            s.row.lower = masses[n / 4];
            s.row.upper = masses[3 * n / 4];
        }
        s.row.what = c % 2 ? "épaulière" : "Harnischbrustplattenverstärkungsblech mit Übergang";
        check(&s.ranking, c % 2 ? 1600 : 700, c % 3 ? TW_METRIC : TW_INCH);
    }
}

static void what_is_known_changes_the_picture(void **state)
{
    static const double masses[] = {900, 1000, 1100, 1200, 1300, 1400, 1500, 1600, 1700};
    const tw_draw_options options = {.width = 800};
    static set s;
    tw_image plain, other;

    (void)state;
    set_fill(&s, masses, 9, 1250, 10);
    plain = draw(&s.ranking, options);
    s.row.median = 1300;
    other = draw(&s.ranking, options);
    assert_false(same_bytes(&plain, &other));
    tw_image_release(&plain);
    s.row.lower = 1100;
    s.row.upper = 1500;
    plain = draw(&s.ranking, options);
    assert_false(same_bytes(&plain, &other));
    tw_image_release(&other);
    s.originals[4].institution = "Another Test Museum";
    other = draw(&s.ranking, options);
    assert_false(same_bytes(&plain, &other));
    tw_image_release(&other);
    tw_image_release(&plain);
}

static void faults_are_told(void **state)
{
    static const double masses[] = {900};
    static set s;
    tw_draw_options options = {.width = 599};
    tw_image image = {0};
    tw_error err;

    (void)state;
    set_fill(&s, masses, 1, 1250, 10);
    assert_int_equal(
        test_drawn(tw_draw_ranking(&s.ranking, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_DOMAIN);
    options.width = 20001;
    assert_int_equal(
        test_drawn(tw_draw_ranking(&s.ranking, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_DOMAIN);
    assert_null(image.pixels);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(marks_stand_where_the_grams_say),
        cmocka_unit_test(band_is_as_wide_as_its_uncertainty),
        cmocka_unit_test(dots_never_meet),
        cmocka_unit_test(three_per_cent_do_not_look_like_much),
        cmocka_unit_test(a_pair_weighed_as_one_is_drawn_once),
        cmocka_unit_test(words_count_right),
        cmocka_unit_test(nothing_is_cut),
        cmocka_unit_test(what_is_known_changes_the_picture),
        cmocka_unit_test(faults_are_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
