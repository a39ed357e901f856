/* Every request for memory of drawings of one small plate fails in turn, those to an arena too: a status, nothing
 * lost. Lines and letters only (SVG), as pixels would take most of the time. */
#include "failing_arena.h"

#include "../harness/fixture.h"
#include "drawn.h"

#include "allocation.h"
#include "taperwright/draw.h"

#include <stdlib.h>

static const char text[] =
    "plate: disc\nkind: couter\nmaterial: mild steel\nruler: mm\nform: flat\n"
    "outline: {ellipse: {at: [0, 0], across: 60 mm, up: 70 mm}}\nholes: [{at: [0, 50], radius: 4 "
    "mm}]\n"
    "thickness:\n  sheet: 1.6 mm\n  forged:\n"
    "    strike: [{name: heart, at: [0, 0], radius: 20 mm, thickness: 2.2 mm}]\n"
    "    edges: [{edge: rim, thickness: 1.2 mm}]\n";

typedef struct bench {
    tw_profile *profile;
    tw_plate *plate;
    tw_comparison rows;
    tw_series series;
    tw_exercise exercise;
    tw_originals *set;
    tw_ranking records;
    fixture order;
    tw_harness *harness;
    tw_total total;
    tw_sources sources;
} bench;

static const tw_draw_options narrow = {.width = 600, .threads = 1};

/* A breastplate of two maps, weighed; a pair by area that is not; and one of which nothing is known. */
static void begin_order(bench *b)
{
    fixture *f = &b->order;
    tw_profile *area;
    tw_part_spec *part;

    fixture_begin(f);
    (void)fixture_scale(f, "kitchen", 1, 1e12, 1e12);
    part = fixture_part(f, "breast", "breastplate");
    fixture_piece(f, part, fixture_plate(f, "breast.yaml", 300, 300, 1.6, 1.2));
    fixture_weigh(f, part, 0, 900);
    part = fixture_part(f, "tasset", "tasset");
    part->mirror = true;
    area = fixture_plate(f, "tasset.yaml", 1, 1, 1.5, 0);
    area->form = TW_FORM_NONE;
    area->area = 30000;
    fixture_piece(f, part, area);
    (void)fixture_part(f, "gorget", "gorget");
    b->harness = fixture_build(f);
    b->total = fixture_total(b->harness, NULL);
    assert_int_equal(tw_total_sources(&b->total, &b->sources, NULL), TW_OK);
}

static void begin(bench *b)
{
    const tw_plate_options coarse = {.cells = 8, .threads = 1};

    memset(b, 0, sizeof *b);
    assert_int_equal(tw_profile_read_memory("t", text, strlen(text), NULL, 0, &b->profile, NULL),
                     TW_OK);
    assert_int_equal(tw_plate_build(b->profile, &coarse, &b->plate, NULL), TW_OK);
    assert_int_equal(tw_compare(b->plate, 1, &b->rows, NULL), TW_OK);
    assert_int_equal(tw_series_make(b->plate, TW_KEEP_GRAMS, 2, 1, &b->series, NULL), TW_OK);
    assert_int_equal(tw_exercise_make(b->plate, 1, &b->exercise, NULL), TW_OK);
    assert_int_equal(tw_originals_shipped(&b->set, NULL), TW_OK);
    assert_int_equal(tw_originals_summary(b->set, NULL, &b->records, NULL), TW_OK);
    begin_order(b);
}

static void end(bench *b)
{
    tw_sources_release(&b->sources);
    tw_total_release(&b->total);
    tw_harness_free(b->harness);
    tw_ranking_release(&b->records);
    tw_originals_free(b->set);
    tw_series_release(&b->series);
    tw_plate_free(b->plate);
    tw_profile_free(b->profile);
}

typedef tw_status (*drawing)(const bench *b, tw_output *out, tw_error *err);

static tw_status client(const bench *b, tw_output *out, tw_error *err)
{
    tw_ranking few = b->records;
    const tw_client sheet = {.comparison = &b->rows, .expanded_g = 3, .ranking = &few};

    few.count = 1;
    return tw_draw_client(&sheet, TW_PAPER_SVG, &narrow, out, err);
}

static tw_status ranking(const bench *b, tw_output *out, tw_error *err)
{
    tw_ranking few = b->records;

    few.count = 2;
    return tw_draw_ranking(&few, TW_PAPER_SVG, &narrow, out, err);
}

static tw_status parts(const bench *b, tw_output *out, tw_error *err)
{
    return tw_draw_parts(&b->total, NULL, TW_PAPER_SVG, &narrow, out, err);
}

static tw_status sources(const bench *b, tw_output *out, tw_error *err)
{
    return tw_draw_parts(&b->total, &b->sources, TW_PAPER_SVG, &narrow, out, err);
}

static tw_status series(const bench *b, tw_output *out, tw_error *err)
{
    return tw_draw_series(&b->series, TW_PAPER_SVG, &narrow, out, err);
}

static tw_status guess(const bench *b, tw_output *out, tw_error *err)
{
    return tw_draw_guess(&b->exercise, 1, TW_PAPER_SVG, &narrow, out, err);
}

static tw_status exercise(const bench *b, tw_output *out, tw_error *err)
{
    return tw_draw_exercise(&b->exercise, 0, TW_PAPER_SVG, &narrow, out, err);
}

/* Solids have tests of their own. */
static tw_status views(const bench *b, tw_output *out, tw_error *err)
{
    const tw_map *sheet = &tw_plate_map_of(b->plate, TW_MAP_SHEET)->map;
    const tw_plate_map *forged = tw_plate_map_of(b->plate, TW_MAP_FORGED);
    const tw_view_request request = {
        .plate = b->plate,
        .map = &forged->map,
        .weight = &forged->weight,
        .name = "forged",
        .beside = sheet,
        .beside_weight = &tw_plate_map_of(b->plate, TW_MAP_SHEET)->weight,
        .beside_name = "sheet",
        .count = 5,
        .views = {{.kind = TW_VIEW_TAPE},
                  {.kind = TW_VIEW_FRONT},
                  {.kind = TW_VIEW_SECTION, .line = {.way = TW_WAY_CENTRE}},
                  {.kind = TW_VIEW_ALONG, .line = {.way = TW_WAY_ACROSS, .at = 10}},
                  {.kind = TW_VIEW_SHARE}}};

    return tw_draw_views(&request, TW_PAPER_SVG, &narrow, out, err);
}

/* The next request to fail: the first ones one by one, then farther and farther apart, as every letter and line asks
 * for what those before it asked for. */
static long after(long n)
{
    return n + 1 + (TEST_SANITIZED ? 4 * n : n / 2);
}

static void every_failed_request_is_told(void **state)
{
    static const struct {
        const char *name;
        drawing draw;
    } drawings[] = {{"client", client}, {"views", views},    {"ranking", ranking},
                    {"series", series}, {"guess", guess},    {"exercise", exercise},
                    {"parts", parts},   {"sources", sources}};
    static bench b;

    (void)state;
    begin(&b);
    for (size_t k = 0; k < sizeof drawings / sizeof *drawings; k++) {
        tw_status status = TW_ERR_MEMORY;
        char *bytes = NULL;
        size_t size = 0;
        long granted = 0;
        for (; status != TW_OK; granted = after(granted)) {
            tw_error err = {0};
            tw_output *out = test_canvas();
            test_allow(granted);
            status = drawings[k].draw(&b, out, &err);
            test_allow(-1);
            test_drawn_bytes(status, &bytes, &size);
            if (status != TW_OK && (status != TW_ERR_MEMORY || err.status != TW_ERR_MEMORY))
                fail_msg("%s with %ld requests granted: status %d, %s", drawings[k].name, granted,
                         (int)status, err.message);
        }
        print_message("%s: at most %ld requests\n", drawings[k].name, granted);
        assert_true(granted > 1 && size > 1000);
        free(bytes);
    }
    end(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_failed_request_is_told)};

    allowed = -1; /* the arena asks malloc() for every piece, which test_allow() refuses */
    return cmocka_run_group_tests(tests, NULL, NULL);
}
