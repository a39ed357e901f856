/*
 * Cards to fill in by hand: a person who types the boxes in order writes what the template has in order; boxes
 * are large enough for a pencil, apart from each other and off the margins; no word lies on another; pages are
 * one, of the paper's size, with bars that measure true (ISO 32000-1, 8.3.2: a point is 1/72 in). And a plate by
 * tape to mark readings on is drawn at the scale it tells.
 */
#include "support.h"

#include "draw/form_card.h"
#include "drawn.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const tw_page_size a4 = {"A4", 210, 297}, letter = {"Letter", 215.9, 279.4};
enum { PLACES = 700 };

/* ---- boxes ------------------------------------------------------------------------------------------- */

static tw_bench_place places[PLACES];

/* Where the boxes of a card are, in the order in which they are drawn, and its words; NULL: not wanted. */
static size_t place_boxes(const tw_bench_spec *spec, const tw_draw_options *options,
                          tw_bench_sheet *sheet)
{
    tw_canvas canvas;

    assert_int_equal(tw_bench_sheet_begin(options, sheet, NULL), TW_OK);
    sheet->places = places;
    sheet->place_room = PLACES;
    assert_int_equal(tw_canvas_begin(1, 1, 1, options->units, &canvas, NULL), TW_OK);
    canvas.words = options->words;
    assert_int_equal(tw_bench_card_draw(&canvas, sheet, spec, NULL), TW_OK);
    tw_canvas_end(&canvas);
    assert_in_range(sheet->place_count, 10, PLACES);
    return sheet->place_count;
}

static void pencil_has_room(void **state)
{
    (void)state;
    for (size_t s = 0; tw_bench_specs[s]; s++) {
        for (int p = 0; p < 2; p++) {
            const tw_draw_options options = {.page = p ? letter : a4};
            tw_bench_sheet sheet;
            const size_t count = place_boxes(tw_bench_specs[s], &options, &sheet);
            for (size_t k = 0; k < count; k++) {
                const double *at = places[k].at;
                if (!places[k].box->ticks)
                    assert_true(at[2] - at[0] >= 180);
                assert_true(at[3] - at[1] >= 80);
                assert_true(at[0] >= 100 && at[1] >= 100);
                assert_true(at[2] <= sheet.width - 100 && at[3] <= sheet.height - 100);
                for (size_t n = 0; n < k; n++) {
                    const double *other = places[n].at;
                    assert_true(at[0] > other[2] - 1 || other[0] > at[2] - 1 ||
                                at[1] > other[3] - 1 || other[1] > at[3] - 1);
                }
            }
        }
    }
}

/* ---- the template ---------------------------------------------------------------------------------------- */

/* A key as YAML or the head of a table has it: a word of its own, and ":", "," or a unit after it. */
static const char *find_key(const char *text, const char *key)
{
    const size_t length = strlen(key);

    for (const char *at = text; (at = strstr(at, key)); at++) {
        const char after = at[length];
        if ((at == text || !isalpha((unsigned char)at[-1])) &&
            (after == ':' || after == ',' || after == '\n' || strncmp(at + length, " [", 2) == 0))
            return at;
    }
    return NULL;
}

/* Of repeated rows and points the first. */
static void boxes_follow_the_template(void **state)
{
    size_t count;
    const tw_template *templates = tw_templates(&count);

    (void)state;
    for (size_t s = 0; tw_bench_specs[s]; s++) {
        const tw_bench_spec *spec = tw_bench_specs[s];
        const char *text = NULL, *at, *last = "";
        size_t keys = 0;
        for (size_t k = 0; k < count; k++)
            if (strcmp(templates[k].form, spec->form) == 0)
                text = templates[k].text;
        assert_non_null(text);
        at = text;
        for (const tw_bench_band *band = spec->bands; band->parts; band++) {
            for (const tw_bench_part *part = band->parts; part->kind != TW_BENCH_PART_END; part++) {
                for (const tw_bench_box *box = part->boxes; box && box->label && !part->goes_on;
                     box++) {
                    if (!box->key || strcmp(box->key, last) == 0)
                        continue;
                    at = find_key(at, box->key);
                    if (!at)
                        fail_msg("%s: \"%s\" does not follow \"%s\"", spec->form, box->key, last);
                    at += strlen(box->key);
                    last = box->key;
                    keys++;
                }
            }
        }
        assert_true(keys >= 8);
    }
}

static void every_plate_template_has_a_card(void **state)
{
    size_t count;
    const tw_template *templates = tw_templates(&count);

    (void)state;
    for (size_t k = 0; k < count; k++)
        assert_int_equal(tw_bench_spec_find(templates[k].form) != NULL,
                         templates[k].kind == TW_TEMPLATE_PLATE);
    for (size_t k = 0; tw_form_card_name(k); k++)
        assert_non_null(tw_bench_spec_find(tw_form_card_name(k)));
}

/* ---- words ------------------------------------------------------------------------------------------------- */

static void words_stand_apart(const tw_words *words, double width, double height)
{
    for (size_t k = 0; k < words->count; k++) {
        const tw_drawn_text *one = &words->items[k];
        if (one->box[2] <= one->box[0])
            continue;
        if (!(one->box[0] >= 98 && one->box[1] >= 98 && one->box[2] <= width - 98 &&
              one->box[3] <= height - 98))
            fail_msg("\"%s\" lies in the margin: %.0f %.0f %.0f %.0f", one->text, one->box[0],
                     one->box[1], one->box[2], one->box[3]);
        for (size_t n = 0; n < k; n++) {
            const tw_drawn_text *other = &words->items[n];
            if (other->page == one->page && other->box[2] > other->box[0] &&
                one->box[0] < other->box[2] && other->box[0] < one->box[2] &&
                one->box[1] < other->box[3] && other->box[1] < one->box[3])
                fail_msg("\"%s\" lies on \"%s\"", one->text, other->text);
        }
    }
}

static void no_word_lies_on_another(void **state)
{
    (void)state;
    for (size_t s = 0; tw_bench_specs[s]; s++) {
        for (int p = 0; p < 2; p++) {
            tw_words words = {0};
            const tw_page_size *page = p ? &letter : &a4;
            const tw_draw_options options = {.page = *page,
                                             .words = &words,
                                             .date = "2026-01-31",
                                             .units = p ? TW_INCH : TW_METRIC};
            tw_bench_sheet sheet;
            place_boxes(tw_bench_specs[s], &options, &sheet);
            assert_true(words.count > 20);
            words_stand_apart(&words, 10 * page->width_mm, 10 * page->height_mm);
            tw_words_release(&words);
        }
    }
}

/* ---- pages --------------------------------------------------------------------------------------------------- */

static const char *find(const char *data, size_t size, const char *word)
{
    const size_t length = strlen(word);

    for (size_t k = 0; k + length <= size; k++)
        if (memcmp(data + k, word, length) == 0)
            return data + k;
    return NULL;
}

static void one_page_of_the_paper(void **state)
{
    (void)state;
    for (int p = 0; p < 2; p++) {
        const tw_page_size *page = p ? &letter : &a4;
        const tw_draw_options options = {.page = p ? letter : (tw_page_size){.width_mm = 0}};
        double width, height;
        char *bytes = NULL;
        size_t size;
        const char *box;
        assert_int_equal(
            test_drawn_bytes(tw_draw_form_card("area", TW_PAPER_PDF, &options, test_canvas(), NULL),
                             &bytes, &size),
            TW_OK);
        assert_non_null(find(bytes, size, "/Count 1"));
        box = find(bytes, size, "/MediaBox [");
        assert_non_null(box);
        assert_int_equal(sscanf(box, "/MediaBox [ 0 0 %lf %lf", &width, &height), 2);
        assert_close(width * 25.4 / 72, page->width_mm, 1e-3);
        assert_close(height * 25.4 / 72, page->height_mm, 1e-3);
        free(bytes);
    }
}

/* Straight strokes of 100 mm, both ways, in an SVG whose paths carry the matrix of their stroke. */
static void bars_measure_true(void **state)
{
    const tw_draw_options options = {.units = TW_METRIC};
    bool along = false, up = false;
    char *bytes = NULL;
    size_t size;

    (void)state;
    assert_int_equal(
        test_drawn_bytes(tw_draw_form_card("area", TW_PAPER_SVG, &options, test_canvas(), NULL),
                         &bytes, &size),
        TW_OK);
    bytes = realloc(bytes, size + 1);
    bytes[size] = '\0';
    for (const char *at = bytes; (at = strstr(at, " d=\"M ")); at++) {
        double x, y, to_x, to_y, scale = 0;
        const char *matrix = strstr(at, "matrix(");
        const char *end = strchr(at, '>');
        if (sscanf(at, " d=\"M %lf %lf L %lf %lf", &x, &y, &to_x, &to_y) != 4)
            continue;
        if (!matrix || matrix > end || sscanf(matrix, "matrix(%lf", &scale) != 1)
            scale = 1;
        scale *= 25.4 / 72;
        along = along || (fabs(fabs(to_x - x) * scale - 100) < 0.01 && fabs(to_y - y) < 1e-6);
        up = up || (fabs(fabs(to_y - y) * scale - 100) < 0.01 && fabs(to_x - x) < 1e-6);
    }
    assert_true(along && up);
    free(bytes);
}

static void what_cannot_be_drawn_is_told(void **state)
{
    const tw_draw_options small = {.page = {"Postcard", 105, 148}}, plain = {.units = TW_METRIC};
    char *bytes = NULL;
    size_t size;
    tw_error err;

    (void)state;
    assert_int_equal(
        test_drawn_bytes(tw_draw_form_card("harness", TW_PAPER_PDF, &plain, test_canvas(), &err),
                         &bytes, &size),
        TW_ERR_KEY);
    assert_non_null(strstr(err.advice, "loft"));
    assert_int_equal(
        test_drawn_bytes(tw_draw_form_card("loft", TW_PAPER_PDF, &small, test_canvas(), &err),
                         &bytes, &size),
        TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "Postcard"));
}

/* ---- marking --------------------------------------------------------------------------------------------------- */

static const char disc[] =
    "plate: disc\nmaterial: mild steel\nruler: mm\nform: flat\nworn: front\n"
    "outline: {ellipse: {at: [20, 30], across: 210 mm, up: 150 mm}}\n"
    "thickness: {sheet: 2 mm, forged: {strike: [{name: boss, at: [0, 20], radius: 40 mm,\n"
    "  thickness: 2 mm}], edges: [{edge: rim, thickness: 1 mm}]}}\n"
    "holes: [{at: [20, 150], radius: 3 mm}]\n";
static const char bowl[] =
    "plate: bowl\nmaterial: mild steel\nruler: mm\n"
    "form: {bowl: {across: 95 mm, up: 115 mm, depth: 110 mm, profile: full}}\n"
    "thickness: {sheet: 2 mm}\n";

/* Draws a marking print of a profile into words and, unless they are NULL, bytes. */
static void mark(const char *text, tw_paper paper, tw_units units, tw_words *words, char **bytes,
                 size_t *size)
{
    const tw_draw_options options = {.words = words, .units = units};
    tw_profile *profile = NULL;
    tw_form *form = NULL;

    assert_int_equal(tw_profile_read_memory("plate", text, strlen(text), NULL, 0, &profile, NULL),
                     TW_OK);
    assert_int_equal(tw_form_build(profile, &form, NULL, NULL), TW_OK);
    assert_int_equal(
        test_drawn_bytes(tw_draw_marking(form, paper, &options, test_canvas(), NULL), bytes, size),
        TW_OK);
    tw_form_free(form);
    tw_profile_free(profile);
}

static bool says(const tw_words *words, size_t page, const char *what)
{
    for (size_t k = 0; k < words->count; k++)
        if (words->items[k].page == page && strstr(words->items[k].text, what))
            return true;
    return false;
}

static void marking_says_what_it_is(void **state)
{
    const char *const texts[] = {disc, bowl};

    (void)state;
    for (int k = 0; k < 4; k++) {
        tw_words words = {0};
        char *bytes = NULL;
        size_t size;
        mark(texts[k % 2], TW_PAPER_PDF, k < 2 ? TW_METRIC : TW_INCH, &words, &bytes, &size);
        assert_non_null(find(bytes, size, "/Count 2"));
        words_stand_apart(&words, 2100, 2970);
        assert_true(says(&words, 0, "1 : "));
        assert_true(says(&words, 0, "Not for cutting"));
        assert_true(says(&words, 0, "not on the object"));
        assert_true(says(&words, 0, "Edge rim."));
        assert_true(says(&words, 1, "thickness"));
        assert_int_equal(says(&words, 0, "Strike zone boss."), k % 2 == 0);
        assert_int_equal(says(&words, 0, "wearer's left"), k % 2 == 0);
        assert_int_equal(says(&words, 0, "from crown"), k % 2 == 1);
        assert_int_equal(says(&words, 0, "90°"), k % 2 == 1);
        tw_words_release(&words);
        free(bytes);
    }
}

/* The numbers under the plate stand 50 mm of tape apart: on paper that over the scale told. */
static void marking_is_at_its_scale(void **state)
{
    double scale = 0, at[2] = {NAN, NAN};
    tw_words words = {0};
    char *bytes = NULL;
    size_t size;

    (void)state;
    mark(disc, TW_PAPER_PDF, TW_METRIC, &words, &bytes, &size);
    for (size_t k = 0; k < words.count; k++) {
        const tw_drawn_text *item = &words.items[k];
        const char *told = strstr(item->text, "1 : ");
        if (told)
            sscanf(told, "1 : %lf", &scale);
        /* both numbers are as wide as each other: they lie under the plate, far from its left side */
        if (item->mark && strcmp(item->text, "100") == 0 && item->box[0] > 700)
            at[0] = (item->box[0] + item->box[2]) / 2;
        if (item->mark && strcmp(item->text, "200") == 0 && item->box[0] > 700)
            at[1] = (item->box[0] + item->box[2]) / 2;
    }
    assert_true(scale > 1);
    assert_close((at[1] - at[0]) / 10 * scale, 100, 0.3); /* ink of 1 and 2 differs a little */
    assert_close(scale, ceil(10 * 420.0 / (210 - 20 - 6.8 - 9 - 2)) / 10, 1e-9);
    tw_words_release(&words);
    free(bytes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(pencil_has_room),
                                       cmocka_unit_test(boxes_follow_the_template),
                                       cmocka_unit_test(every_plate_template_has_a_card),
                                       cmocka_unit_test(no_word_lies_on_another),
                                       cmocka_unit_test(one_page_of_the_paper),
                                       cmocka_unit_test(bars_measure_true),
                                       cmocka_unit_test(what_cannot_be_drawn_is_told),
                                       cmocka_unit_test(marking_says_what_it_is),
                                       cmocka_unit_test(marking_is_at_its_scale)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
