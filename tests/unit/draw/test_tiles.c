/*
 * A drawing at 1:1 among pages: how many it takes, which are left out, that all its ink lies on some page with
 * a margin, that turning it saves paper on a roll, that every page has bars both ways within what printers
 * print, and that words stand clear of each other.
 */
#include "support.h"

#include "draw/tiles.h"
#include "drawn.h"

#include <math.h>
#include <stdlib.h>

static const tw_page_size a4 = {.name = "A4", .width_mm = 210, .height_mm = 297};
enum { DOTS = 40 };

/* A rectangle's four sides, or dots; tenths of a millimetre. */
typedef struct shape {
    double low[2], high[2];
    size_t dots;
    double at[DOTS][2];
} shape;

static tw_status draw_shape(tw_canvas *canvas, const void *context, bool small, tw_arena *arena,
                            tw_error *err)
{
    const shape *s = context;

    (void)small;
    (void)arena;
    (void)err;
    for (size_t k = 0; k < s->dots; k++)
        cairo_rectangle(canvas->cairo, s->at[k][0] - 5, s->at[k][1] - 5, 10, 10);
    cairo_set_source_rgb(canvas->cairo, 0, 0, 0);
    cairo_fill(canvas->cairo);
    if (s->dots == 0)
        cairo_rectangle(canvas->cairo, s->low[0], s->low[1], s->high[0] - s->low[0],
                        s->high[1] - s->low[1]);
    tw_pen_stroke(canvas, 5, 0, 1);
    return TW_OK;
}

static tw_pattern pattern_of(const shape *s)
{
    tw_pattern pattern = {.title = "test: pattern at 1:1",
                          .line = "Four sides of a rectangle.",
                          .foot = "Thick line: cut here.",
                          .draw = draw_shape,
                          .context = s};

    memcpy(pattern.low, s->low, sizeof pattern.low);
    memcpy(pattern.high, s->high, sizeof pattern.high);
    return pattern;
}

static shape rectangle(double wide_mm, double tall_mm)
{
    /* an origin that is no whole millimetre */
    return (shape){.low = {-123.4, 57.9}, .high = {-123.4 + 10 * wide_mm, 57.9 + 10 * tall_mm}};
}

static tw_tiling tiling_of(const shape *s, const tw_page_size *page, tw_arena *arena)
{
    const tw_pattern pattern = pattern_of(s);
    tw_tiling tiling;

    assert_int_equal(tw_tiling_make(&pattern, page, TW_METRIC, arena, &tiling, NULL), TW_OK);
    return tiling;
}

/* A4's tile is 181 mm wide and, with 30 mm of furniture, 245 mm high upright; 268 by 158 lying. Two overlap
 * 10 mm: 352 by 480, 526 by 306. */
static void counts_follow_from_the_tile(void **state)
{
    static const struct {
        double wide, tall;
        size_t columns, rows, kept;
        bool solo;
    } cases[] = {{120, 180, 1, 1, 1, true},  {340, 200, 2, 1, 2, false},
                 {170, 470, 1, 2, 2, false}, {340, 470, 2, 2, 4, false},
                 {520, 300, 2, 2, 4, false}, {250, 140, 1, 1, 1, false}};
    tw_arena *arena = tw_arena_new();

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        const shape s = rectangle(cases[k].wide, cases[k].tall);
        const tw_tiling tiling = tiling_of(&s, &a4, arena);
        assert_int_equal(tiling.kept, cases[k].kept);
        if (k + 1 == sizeof cases / sizeof *cases) /* lying, alone or with an overview */
            continue;
        assert_int_equal(tiling.solo, cases[k].solo);
        assert_int_equal(tiling.columns, cases[k].columns);
        assert_int_equal(tiling.rows, cases[k].rows);
    }
    tw_arena_free(arena);
}

/* Of a rectangle 500 by 690 the middle page of three by three holds no line. */
static void page_without_ink_is_left_out(void **state)
{
    const shape s = rectangle(500, 690);
    tw_arena *arena = tw_arena_new();
    const tw_tiling tiling = tiling_of(&s, &a4, arena);

    (void)state;
    assert_int_equal(tiling.columns, 3);
    assert_int_equal(tiling.rows, 3);
    assert_int_equal(tiling.kept, 8);
    assert_false(tiling.keep[4]);
    tw_arena_free(arena);
}

/* Two dots at opposite corners: pages between them have no ink, but without them nothing says how far apart. */
static void pages_hang_together(void **state)
{
    shape s = rectangle(500, 690);
    tw_arena *arena = tw_arena_new();
    tw_tiling tiling;

    (void)state;
    s.dots = 2;
    for (int c = 0; c < 2; c++) {
        s.at[0][c] = s.low[c];
        s.at[1][c] = s.high[c];
    }
    tiling = tiling_of(&s, &a4, arena);
    assert_int_equal(tiling.kept, tiling.columns * tiling.rows);
    tw_arena_free(arena);
}

/* Property: each dot lies on a kept page, at least 4 mm within its tile or beyond all tiles' rims. */
static void all_ink_is_on_a_page(void **state)
{
    test_random rng = test_random_begin("all_ink_is_on_a_page");

    (void)state;
    for (int trial = 0; trial < 6; trial++) {
        shape s = rectangle(test_uniform(&rng, 200, 600), test_uniform(&rng, 260, 600));
        tw_arena *arena = tw_arena_new();
        tw_tiling tiling;

        s.dots = DOTS;
        for (size_t k = 0; k < DOTS; k++)
            for (int c = 0; c < 2; c++)
                s.at[k][c] = test_uniform(&rng, s.low[c], s.high[c]);
        tiling = tiling_of(&s, &a4, arena);
        for (size_t k = 0; k < DOTS; k++) {
            bool found = false;
            for (size_t n = 0; n < tiling.columns * tiling.rows; n++) {
                bool within = tiling.keep[n];
                const size_t cell[2] = {n % tiling.columns, n / tiling.columns};
                for (int c = 0; c < 2; c++) {
                    const double from = tw_tile_begin(&tiling, c, cell[c]);
                    within =
                        within && s.at[k][c] > from + 15 && s.at[k][c] < from + tiling.tile[c] - 15;
                }
                found = found || within;
            }
            assert_true(found);
        }
        tw_arena_free(arena);
    }
}

/* 900 by 400 on a roll of 610: along it takes 900 of it, across it does not fit; 560 by 300 takes 300. */
static void roll_turns_the_drawing(void **state)
{
    tw_page_size roll;
    tw_arena *arena = tw_arena_new();
    shape s = rectangle(900, 400);
    tw_tiling tiling;

    (void)state;
    assert_int_equal(tw_page_size_read("roll 610 mm", &roll, NULL), TW_OK);
    tiling = tiling_of(&s, &roll, arena);
    assert_true(tiling.turned && tiling.solo);
    assert_close(tiling.page[0], 6100, 1e-9);
    assert_true(tiling.page[1] > 9000 && tiling.page[1] < 9800);
    s = rectangle(560, 300);
    tiling = tiling_of(&s, &roll, arena);
    assert_true(!tiling.turned && tiling.solo);
    assert_true(tiling.page[1] > 3000 && tiling.page[1] < 3800);
    s = rectangle(1000, 900); /* wider than the roll either way: strips side by side */
    tiling = tiling_of(&s, &roll, arena);
    assert_int_equal(tiling.kept, 2);
    assert_int_equal(tiling.rows, 1);
    assert_true(tiling.overview[1] < tiling.page[1]);
    tw_arena_free(arena);
}

static void too_many_pages_are_refused(void **state)
{
    const shape s = rectangle(8000, 8000);
    const tw_pattern pattern = pattern_of(&s);
    tw_arena *arena = tw_arena_new();
    tw_tiling tiling;
    tw_error err;

    (void)state;
    assert_int_equal(tw_tiling_make(&pattern, &a4, TW_METRIC, arena, &tiling, &err), TW_ERR_LIMIT);
    assert_non_null(strstr(err.message, "A4"));
    tw_arena_free(arena);
}

static size_t count_text(const tw_words *words, size_t page, const char *text)
{
    size_t count = 0;

    for (size_t k = 0; k < words->count; k++)
        count += words->items[k].page == page && strcmp(words->items[k].text, text) == 0;
    return count;
}

/* Every page: both bars both ways, all words within 6 mm of the paper's edge and clear of each other; pages name
 * their neighbours. */
static void every_page_has_bars_and_clear_words(void **state)
{
    const shape s = rectangle(500, 690);
    const tw_pattern pattern = pattern_of(&s);
    tw_words words = {0};
    const tw_draw_options options = {.words = &words};
    tw_error err;
    char *bytes;
    size_t size;

    (void)state;
    assert_int_equal(
        test_drawn_bytes(tw_tiles_write(&pattern, &a4, TW_PAPER_PDF, &options, test_canvas(), &err),
                         &bytes, &size),
        TW_OK);
    free(bytes);
    for (size_t page = 0; page < 9; page++) { /* an overview and eight tiles */
        assert_int_equal(count_text(&words, page, "100 mm"), 2);
        assert_int_equal(count_text(&words, page, "4 in"), 2);
    }
    assert_int_equal(count_text(&words, 1, "joins A2"), 1);
    assert_int_equal(count_text(&words, 1, "joins B1"), 1);
    assert_int_equal(count_text(&words, 2, "joins B2"), 0); /* that one is left out */
    for (size_t k = 0; k < words.count; k++) {
        const tw_drawn_text *one = &words.items[k];
        assert_true(one->page < 9);
        assert_true(one->box[0] >= 60 && one->box[1] >= 60);
        assert_true(one->box[2] <= 2100 - 60 && one->box[3] <= 2970 - 60);
        for (size_t j = 0; j < k; j++) {
            const tw_drawn_text *other = &words.items[j];
            assert_true(other->page != one->page || other->box[0] >= one->box[2] ||
                        one->box[0] >= other->box[2] || other->box[1] >= one->box[3] ||
                        one->box[1] >= other->box[3]);
        }
    }
    tw_words_release(&words);
}

static void same_bytes_twice(void **state)
{
    const shape s = rectangle(340, 470);
    const tw_pattern pattern = pattern_of(&s);
    const tw_draw_options options = {.units = TW_INCH};
    char *bytes[2];
    size_t size[2];

    (void)state;
    for (int k = 0; k < 2; k++)
        assert_int_equal(test_drawn_bytes(tw_tiles_write(&pattern, &a4, TW_PAPER_PDF, &options,
                                                         test_canvas(), NULL),
                                          &bytes[k], &size[k]),
                         TW_OK);
    assert_int_equal(size[0], size[1]);
    assert_memory_equal(bytes[0], bytes[1], size[0]);
    free(bytes[0]);
    free(bytes[1]);
}

static void pages_are_named(void **state)
{
    static const struct {
        size_t row, column;
        const char *name;
    } cases[] = {{0, 0, "A1"}, {1, 1, "B2"}, {25, 9, "Z10"}, {26, 0, "AA1"}, {52, 2, "BA3"}};
    char name[24];

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_tile_name(cases[k].row, cases[k].column, name);
        assert_string_equal(name, cases[k].name);
    }
}

static void paper_is_read_by_name(void **state)
{
    static const struct {
        const char *text;
        tw_status status;
        double width, height;
    } cases[] = {{"a4", TW_OK, 210, 297},
                 {"A3", TW_OK, 297, 420},
                 {"letter", TW_OK, 215.9, 279.4},
                 {"one", TW_OK, 0, 0},
                 {"roll 610 mm", TW_OK, 610, 0},
                 {"roll 24 in", TW_OK, 609.6, 0},
                 {"roll 60 mm", TW_ERR_DOMAIN, 0, 0},
                 {"roll 6 m", TW_ERR_DOMAIN, 0, 0},
                 {"roll", TW_ERR_UNIT, 0, 0},
                 {"roll 610", TW_ERR_UNIT, 0, 0},
                 {"lettre", TW_ERR_KEY, 0, 0},
                 {"", TW_ERR_KEY, 0, 0}};
    tw_error err;

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_page_size page = {.width_mm = -1};
        assert_int_equal(tw_page_size_read(cases[k].text, &page, &err), cases[k].status);
        if (cases[k].status != TW_OK)
            continue;
        assert_close(page.width_mm, cases[k].width, 1e-9);
        assert_close(page.height_mm, cases[k].height, 1e-9);
    }
    assert_int_equal(tw_page_size_read("lettre", &(tw_page_size){0}, &err), TW_ERR_KEY);
    assert_non_null(strstr(err.advice, "letter"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(counts_follow_from_the_tile),
        cmocka_unit_test(page_without_ink_is_left_out),
        cmocka_unit_test(pages_hang_together),
        cmocka_unit_test(all_ink_is_on_a_page),
        cmocka_unit_test(roll_turns_the_drawing),
        cmocka_unit_test(too_many_pages_are_refused),
        cmocka_unit_test(every_page_has_bars_and_clear_words),
        cmocka_unit_test(same_bytes_twice),
        cmocka_unit_test(pages_are_named),
        cmocka_unit_test(paper_is_read_by_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
