/*
 * Drawings at true size: a page measures in points of 1/72 in what it is in millimetres (ISO 32000-1, 8.3.2:
 * default user space), lines keep their lengths, pages follow on, the same input gives the same bytes, and
 * an output that cannot be written is told.
 */
#include "support.h"

#include "taperwright/draw.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

static const char text[] =
    "plate: disc\nmaterial: mild steel\nruler: mm\nform: flat\n"
    "outline: {ellipse: {at: [0, 0], across: 100 mm, up: 80 mm}}\nstock: 2 mm\n"
    "thickness: {forged: {strike: [{name: s, at: [0, 0], radius: 20 mm, thickness: 2 mm}],\n"
    "  edges: [{edge: rim, thickness: 2 mm}]}}\nlosses: {trim: 10 mm}\n";

typedef struct work {
    tw_profile *profile;
    tw_plate *plate;
    tw_goal goal;
    tw_blank blank;
    tw_card card;
} work;

static void begin(work *w, size_t points)
{
    const tw_plate_options options = {.cells = 64};
    const tw_blank_request request = {.nodes = 1000, .threads = 1};

    memset(w, 0, sizeof *w);
    assert_int_equal(tw_profile_read_memory("disc", text, strlen(text), NULL, 0, &w->profile, NULL),
                     TW_OK);
    assert_int_equal(tw_plate_build(w->profile, &options, &w->plate, NULL), TW_OK);
    assert_int_equal(tw_goal_make(w->plate, NULL, NULL, 1, &w->goal, NULL), TW_OK);
    assert_int_equal(tw_blank_make(&w->goal, &request, &w->blank, NULL), TW_OK);
    assert_int_equal(tw_card_make(&w->goal, points, 0, (double)INFINITY, &w->card, NULL), TW_OK);
}

static void end(work *w)
{
    tw_card_release(&w->card);
    tw_blank_release(&w->blank);
    tw_goal_release(&w->goal);
    tw_plate_free(w->plate);
    tw_profile_free(w->profile);
}

/* What a drawing comes to as a file, from malloc. */
static char *drawn(const work *w, bool card, tw_paper paper, size_t *size)
{
    const tw_draw_options options = {.width = 700};
    char path[] = "/tmp/tw_paper_XXXXXX";
    const int file = mkstemp(path);
    tw_output *out = NULL;
    char *data = NULL;

    assert_true(file >= 0);
    close(file);
    assert_int_equal(tw_output_begin(path, &out, NULL), TW_OK);
    assert_int_equal(card ? tw_draw_card(&w->card, paper, &options, out, NULL)
                          : tw_draw_blank(&w->blank, NULL, &w->card, paper, &options, out, NULL),
                     TW_OK);
    assert_int_equal(tw_output_commit(out, NULL), TW_OK);
    assert_int_equal(tw_file_read(path, 16 << 20, &data, size, NULL), TW_OK);
    unlink(path);
    return data;
}

/* Finds a word in bytes that may hold zeroes; NULL when it is not there. */
static const char *find(const char *data, size_t size, const char *word)
{
    const size_t length = strlen(word);

    for (size_t k = 0; k + length <= size; k++)
        if (memcmp(data + k, word, length) == 0)
            return data + k;
    return NULL;
}

static void card_is_a4(void **state)
{
    double width, height;
    const char *box;
    size_t size;
    work w;
    char *data;

    (void)state;
    begin(&w, 12);
    data = drawn(&w, true, TW_PAPER_PDF, &size);
    box = find(data, size, "/MediaBox [");
    assert_non_null(box);
    assert_int_equal(sscanf(box, "/MediaBox [ 0 0 %lf %lf", &width, &height), 2);
    assert_close(width * 25.4 / 72, 210, 1e-3);
    assert_close(height * 25.4 / 72, 297, 1e-3);
    free(data);
    end(&w);
}

/* The cut line is the longest straight-sided path of the SVG: its extents in points are those of the blank. */
static void blank_measures_true(void **state)
{
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};
    double wanted[2][2] = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
    size_t size, longest = 0;
    work w;
    char *data;

    (void)state;
    begin(&w, 12);
    data = drawn(&w, false, TW_PAPER_SVG, &size);
    for (const char *at = data; (at = strstr(at, " d=\"M ")); at++) {
        const char *stop = strchr(at + 4, '"');
        if (stop && (size_t)(stop - at) > longest) {
            const char *from = at + 4;
            longest = (size_t)(stop - at);
            low[0] = low[1] = INFINITY;
            high[0] = high[1] = -INFINITY;
            while (from < stop) {
                double x, y;
                int used;
                if (sscanf(from, " %*1[ML] %lf %lf%n", &x, &y, &used) != 2)
                    break;
                low[0] = fmin(low[0], x);
                high[0] = fmax(high[0], x);
                low[1] = fmin(low[1], y);
                high[1] = fmax(high[1], y);
                from += used;
            }
        }
    }
    for (size_t k = 0; k < w.blank.cut_count; k++)
        for (int c = 0; c < 2; c++) {
            wanted[0][c] = fmin(wanted[0][c], w.blank.cut[k][c]);
            wanted[1][c] = fmax(wanted[1][c], w.blank.cut[k][c]);
        }
    for (int c = 0; c < 2; c++) /* the SVG may scale its path: relative */
        assert_close((high[0] - low[0]) / (high[1] - low[1]),
                     (wanted[1][0] - wanted[0][0]) / (wanted[1][1] - wanted[0][1]), 1e-3);
    /* an even disc of the sheet's own thickness is its own blank: 200 by 160 with 10 all round */
    assert_close(wanted[1][0] - wanted[0][0], 220, 0.5);
    assert_close(wanted[1][1] - wanted[0][1], 180, 0.5);
    free(data);
    end(&w);
}

static void same_bytes_twice(void **state)
{
    size_t first, second;
    work w;

    (void)state;
    begin(&w, 12);
    for (int card = 0; card < 2; card++) {
        char *one = drawn(&w, card, TW_PAPER_PDF, &first);
        char *other = drawn(&w, card, TW_PAPER_PDF, &second);
        assert_int_equal(first, second);
        assert_memory_equal(one, other, first);
        free(one);
        free(other);
    }
    end(&w);
}

/* 60 rows of 6.2 mm: some 15 below the plate, some 39 on a page of their own. */
static void many_points_take_more_pages(void **state)
{
    size_t size;
    work w;
    char *data;

    (void)state;
    begin(&w, TW_CARD_POINTS_MAX);
    data = drawn(&w, true, TW_PAPER_PDF, &size);
    assert_non_null(find(data, size, "/Count 3"));
    free(data);
    end(&w);
}

static void full_disk_is_told(void **state)
{
    const tw_draw_options options = {.width = 700};
    tw_output *out = NULL;
    tw_status status;
    work w;

    (void)state;
    if (access("/dev/full", W_OK) != 0)
        skip();
    begin(&w, TW_CARD_POINTS_MAX);
    for (int paper = TW_PAPER_SVG; paper <= TW_PAPER_PDF; paper++) {
        assert_int_equal(tw_output_begin("/dev/full", &out, NULL), TW_OK);
        status = tw_draw_card(&w.card, (tw_paper)paper, &options, out, NULL);
        if (status == TW_OK)
            status = tw_output_commit(out, NULL);
        else
            tw_output_abandon(out);
        assert_int_equal(status, TW_ERR_FILE);
    }
    end(&w);
}

static void paper_by_name(void **state)
{
    (void)state;
    assert_int_equal(tw_paper_of("a.b/blank.PDF"), TW_PAPER_PDF);
    assert_int_equal(tw_paper_of("blank.svg"), TW_PAPER_SVG);
    assert_int_equal(tw_paper_of("blank"), TW_PAPER_PNG);
    assert_int_equal(tw_paper_of("-"), TW_PAPER_PNG);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(card_is_a4),        cmocka_unit_test(blank_measures_true),
        cmocka_unit_test(same_bytes_twice),  cmocka_unit_test(many_points_take_more_pages),
        cmocka_unit_test(full_disk_is_told), cmocka_unit_test(paper_by_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
