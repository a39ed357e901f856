/*
 * Views of a plate: cuts and sections of faces known in closed form, shares that add up to the whole, lines
 * that read the map's own nodes, the same bytes for any number of threads, no word over another.
 */
#include "drawn.h"
#include "support.h"

#include <stdlib.h>

#include "draw/views.h"

typedef struct model {
    tw_profile *profile;
    tw_plate *plate;
    tw_map sheet;
    tw_weight sheet_weight;
    tw_view_request request;
} model;

static model begin(const char *text, size_t cells)
{
    const tw_plate_options options = {.cells = cells};
    const bool file = strchr(text, '\n') == NULL;
    model m = {.profile = NULL};
    const tw_plate_map *map;
    tw_error err = {0};
    tw_status status =
        file ? tw_profile_read(text, NULL, 0, &m.profile, NULL)
             : tw_profile_read_memory("plate", text, strlen(text), NULL, 0, &m.profile, NULL);

    assert_int_equal(status, TW_OK);
    if (tw_plate_build(m.profile, &options, &m.plate, &err) != TW_OK)
        fail_msg("%s", err.message);
    map = tw_plate_map_of(m.plate, TW_MAP_FORGED);
    if (!map)
        map = tw_plate_map_of(m.plate, TW_MAP_READINGS);
    if (!map)
        map = tw_plate_map_of(m.plate, TW_MAP_SHEET);
    m.request = (tw_view_request){
        .plate = m.plate, .map = &map->map, .weight = &map->weight, .name = "forged"};
    assert_int_equal(tw_map_sheet(m.plate->grid, 1.5, &m.sheet, NULL), TW_OK);
    assert_int_equal(tw_weigh(m.plate->grid, m.sheet.cell, m.sheet.node, m.profile->face,
                              m.profile->density, 1, &m.sheet_weight, NULL),
                     TW_OK);
    return m;
}

static void end(model *m)
{
    tw_map_release(&m->sheet);
    tw_plate_free(m->plate);
    tw_profile_free(m->profile);
}

static void set_beside(model *m, const char *name)
{
    m->request.beside = &m->sheet;
    m->request.beside_weight = &m->sheet_weight;
    m->request.beside_name = name;
}

static tw_cut cut_of(const model *m, tw_tape_line line)
{
    tw_cut cut;
    tw_error err = {0};

    if (tw_cut_make(&m->request, &line, TW_METRIC, &cut, &err) != TW_OK)
        fail_msg("%s", err.message);
    return cut;
}

static double thickness_drawn(const tw_section *s, size_t k)
{
    return hypot(s->outer[k][0] - s->inner[k][0], s->outer[k][1] - s->inner[k][1]);
}

/* ---- closed forms --------------------------------------------------------------------------------- */

/* A cone of radius 100 and height 200 mm cut through its apex: two straight sides, slant length
 * √(100² + 200²), normals (±200, 100)/slant. */
static void cone_is_cut_into_straight_sides(void **state)
{
    static const char cone[] = "plate: cone\nmaterial: mild steel\nface: outside\n"
                               "form: {bowl: {across: 100 mm, depth: 200 mm, profile: cone}}\n"
                               "thickness: {sheet: 1.2 mm}\n";
    const double slant = hypot(100, 200);
    model m = begin(cone, 32);
    tw_cut cut = cut_of(&m, (tw_tape_line){.way = TW_WAY_CENTRE});
    tw_arena *arena = tw_arena_new();
    tw_section s;

    (void)state;
    for (int factor = 1; factor <= 6; factor += 5) {
        assert_int_equal(tw_section_make(&cut, TW_FACE_OUTSIDE, factor, arena, &s, NULL), TW_OK);
        assert_close(s.factor, factor, 0);
        assert_close(s.off_plane, 0, 1e-6);
        assert_true(s.bench);
        for (size_t k = 0; k < cut.count; k++) {
            const double along = cut.points[k].along;
            if (fabs(along) < 1)
                continue;
            assert_close(s.outer[k][0], (along - cut.points[0].along) * 100 / slant, 1e-6);
            assert_close(s.outer[k][1], 200 - fabs(along) * 200 / slant, 1e-6);
            assert_close(s.normal[k][0], (along > 0 ? 200 : -200) / slant, 1e-6);
            assert_close(s.normal[k][1], 100 / slant, 1e-6);
            if (!s.mitred[k])
                assert_close(thickness_drawn(&s, k), 1.2 * factor, 1e-6);
            else /* where both sides' inner faces meet, t/sin(half the apex's angle) under it */
                assert_close(s.inner[k][1], 200 - 1.2 * factor * slant / 100, 0.6);
        }
    }
    /* the rim is a line of points, within 0.005 mm of the curve */
    assert_close(cut.points[0].along, -slant, 5e-3);
    assert_close(cut.points[cut.count - 1].along, slant, 5e-3);
    tw_arena_free(arena);
    tw_cut_release(&cut);
    end(&m);
}

/* Half a ball of radius 110 mm: arcs, normals through its middle, tape = R·angle. A thickness drawn so
 * large that the inner face would turn over is held. */
static void bowl_is_cut_into_arcs(void **state)
{
    model m = begin("tests/profiles/hemisphere.yaml", 32);
    tw_cut cut = cut_of(&m, (tw_tape_line){.way = TW_WAY_CENTRE});
    tw_arena *arena = tw_arena_new();
    tw_section s;

    (void)state;
    assert_int_equal(tw_section_make(&cut, TW_FACE_OUTSIDE, 1, arena, &s, NULL), TW_OK);
    for (size_t k = 0; k < cut.count; k++) {
        const double angle = cut.points[k].along / 110;
        assert_close(s.outer[k][0], 110 * sin(angle) - 110 * sin(cut.points[0].along / 110), 1e-5);
        assert_close(s.outer[k][1], 110 * cos(angle), 1e-5);
        assert_close(s.normal[k][0], sin(angle), 1e-5);
        assert_close(s.normal[k][1], cos(angle), 1e-5);
        assert_close(thickness_drawn(&s, k), 1.5, 1e-6);
    }
    assert_close(cut.points[cut.count - 1].along, 110 * TW_PI / 2, 5e-3);
    assert_int_equal(tw_section_make(&cut, TW_FACE_OUTSIDE, 100, arena, &s, NULL), TW_OK);
    assert_close(s.factor, 50, 0); /* 0.85 · 110/1.5 = 62.3 */
    assert_close(s.wanted, 100, 0);
    /* chosen: 1.1 · 0.05 · 220/1.5 = 8.07 */
    assert_int_equal(tw_section_make(&cut, TW_FACE_OUTSIDE, 0, arena, &s, NULL), TW_OK);
    assert_close(s.factor, 8, 0);
    assert_close(s.wanted, 0, 0);
    tw_arena_free(arena);
    tw_cut_release(&cut);
    end(&m);
}

/* Any straight line of a flat plate is planar, its length Pythagoras', a hole across it a gap. */
static void flat_plate_has_gaps_at_holes(void **state)
{
    static const char flat[] = "plate: lame\nmaterial: mild steel\nruler: mm\nform: flat\n"
                               "outline: {rectangle: {at: [0, 0], across: 100 mm, up: 40 mm}}\n"
                               "thickness: {sheet: 1.5 mm}\nholes: [{at: [30, 0], radius: 4 mm}]\n";
    model m = begin(flat, 32);
    tw_cut cut = cut_of(&m, (tw_tape_line){.way = TW_WAY_ACROSS});
    tw_arena *arena = tw_arena_new();
    tw_section s;

    (void)state;
    assert_int_equal(cut.piece_count, 2);
    assert_string_equal(cut.pieces[0].from, "left");
    assert_string_equal(cut.pieces[0].to, "hole 1");
    assert_string_equal(cut.pieces[1].from, "hole 1");
    assert_string_equal(cut.pieces[1].to, "right");
    assert_close(cut.points[cut.pieces[0].count - 1].along, 26, 0.01);
    assert_close(cut.points[cut.pieces[1].first].along, 34, 0.01);
    assert_int_equal(tw_section_make(&cut, TW_FACE_OUTSIDE, 1, arena, &s, NULL), TW_OK);
    for (size_t k = 0; k < cut.count; k++) {
        assert_close(cut.points[k].along, cut.points[k].tape[0], 1e-9);
        assert_close(s.outer[k][0], 100 + cut.points[k].along, 1e-6);
        assert_close(s.outer[k][1], 0, 1e-9);
        assert_close(s.inner[k][1], -1.5, 1e-6);
    }
    tw_cut_release(&cut);
    cut = cut_of(&m, (tw_tape_line){.way = TW_WAY_POINTS,
                                    .count = 3,
                                    .points = {{-80, -30}, {-80, 10}, {-50, 30}}});
    assert_close(cut.points[0].along, 0, 0);
    assert_close(cut.points[cut.count - 1].along, 40 + hypot(30, 20), 1e-9);
    tw_cut_release(&cut);
    cut = cut_of(&m, (tw_tape_line){.way = TW_WAY_POINTS,
                                    .count = 2,
                                    .points = {{20, 20}, {-20, -20}}}); /* aslant, backwards */
    assert_int_equal(tw_section_make(&cut, TW_FACE_OUTSIDE, 1, arena, &s, NULL), TW_OK);
    for (size_t k = 0; k < cut.count; k++) {
        assert_close(s.outer[k][0], cut.points[k].along, 1e-6);
        assert_close(s.inner[k][1], -1.5, 1e-6);
    }
    tw_cut_release(&cut);
    tw_arena_free(arena);
    end(&m);
}

/* No plane holds a line with a corner on the crown of a ball. */
static void a_line_off_its_plane_is_told(void **state)
{
    model m = begin("tests/profiles/hemisphere.yaml", 32);
    tw_cut cut = cut_of(
        &m,
        (tw_tape_line){.way = TW_WAY_POINTS, .count = 3, .points = {{-120, 0}, {0, 0}, {0, 120}}});
    tw_arena *arena = tw_arena_new();
    tw_section s;

    (void)state;
    assert_int_equal(tw_section_make(&cut, TW_FACE_OUTSIDE, 1, arena, &s, NULL), TW_OK);
    print_message("%.2f mm off\n", s.off_plane);
    assert_true(s.off_plane > 5 && s.off_plane < 60);
    for (size_t k = 0; k < cut.count; k++)
        assert_close(thickness_drawn(&s, k), 1.5, 1e-6);
    tw_arena_free(arena);
    tw_cut_release(&cut);
    end(&m);
}

static void line_off_the_plate_is_refused(void **state)
{
    const tw_tape_line beside = {.way = TW_WAY_UP, .at = 400};
    model m = begin("profiles/breastplate.yaml", 48);
    tw_cut cut;
    tw_error err = {0};

    (void)state;
    assert_int_equal(tw_cut_make(&m.request, &beside, TW_METRIC, &cut, &err), TW_ERR_INPUT);
    assert_non_null(strstr(err.message, "meets no metal"));
    assert_non_null(strstr(err.advice, "[222.")); /* the side's farthest point */
    end(&m);
}

/* ---- the map's own numbers ------------------------------------------------------------------------- */

static void line_reads_the_map(void **state)
{
    model m = begin("profiles/breastplate.yaml", 48);
    tw_cut cut = cut_of(&m, (tw_tape_line){.way = TW_WAY_ACROSS, .at = 200});

    (void)state;
    for (size_t k = 0; k < cut.count; k++)
        assert_true(cut.points[k].thickness == tw_grid_sample(m.plate->grid, m.request.map->node,
                                                              cut.points[k].tape[0],
                                                              cut.points[k].tape[1]));
    assert_true(cut.points[0].along < -200 && cut.points[cut.count - 1].along > 200);
    tw_cut_release(&cut);
    cut = cut_of(&m, (tw_tape_line){.way = TW_WAY_CENTRE});
    assert_close(cut.points[0].along, 6, 1e-3); /* up is tape along the centre line */
    assert_close(cut.points[cut.count - 1].along, 384, 1e-2);
    assert_close(cut.points[cut.thickest].thickness, 2.2, 1e-3);
    assert_int_equal(cut.points[cut.thickest].strike, 0);
    tw_cut_release(&cut);
    end(&m);
}

static void shares_are_the_whole(void **state)
{
    static const char *const files[] = {"profiles/breastplate.yaml", "profiles/skull.yaml",
                                        "tests/profiles/hemisphere.yaml"};

    (void)state;
    for (size_t f = 0; f < 3; f++) {
        model m = begin(files[f], 32);
        for (int units = 0; units < 2; units++) {
            tw_shares shares;
            double sum = 0, below = 0;
            set_beside(&m, "sheet");
            assert_int_equal(tw_shares_make(&m.request, (tw_units)units, &shares, NULL), TW_OK);
            for (size_t k = 0; k < shares.count; k++) {
                sum += shares.area_mm2[k] / shares.whole_mm2;
                below += shares.low + (double)(k + 1) * shares.step <= shares.median + 1e-6
                             ? shares.area_mm2[k] / shares.whole_mm2
                             : 0;
            }
            assert_close(sum, 1, 1e-12);
            assert_true(below <= 0.5 + 1e-9);
            assert_close(shares.whole_mm2, m.request.weight->face_area_mm2, 1e-6);
            assert_close(shares.mean, m.request.weight->mean_thickness_mm, 1e-9);
            assert_close(shares.beside_mean, 1.5, 1e-9);
            assert_true(shares.beside_even);
        }
        end(&m);
    }
}

/* ---- pages ------------------------------------------------------------------------------------------- */

static void show(model *m, const tw_view_kind *kinds, size_t count)
{
    m->request.count = count;
    for (size_t k = 0; k < count; k++)
        m->request.views[k] = (tw_view){.kind = kinds[k], .azimuth = 35, .elevation = 20};
}

static const tw_view_kind usual[] = {TW_VIEW_TAPE, TW_VIEW_SOLID, TW_VIEW_SECTION, TW_VIEW_SHARE};
static const tw_view_kind charts[] = {TW_VIEW_SECTION, TW_VIEW_ALONG, TW_VIEW_FRONT};

static void check_clear(model *m, tw_units units, size_t first, size_t last)
{
    const tw_view_kind *const lists[] = {usual, charts};
    const size_t counts[] = {4, 3};

    for (size_t k = first; k <= last; k++) {
        tw_words words = {0};
        const tw_draw_options options = {.width = 600, .units = units, .words = &words};
        tw_image image = {0};
        show(m, lists[k], counts[k]);
        assert_int_equal(
            test_drawn(tw_draw_views(&m->request, TW_PAPER_PNG, &options, test_canvas(), NULL),
                       &image),
            TW_OK);
        test_assert_clear(&words);
        tw_words_release(&words);
        tw_image_release(&image);
    }
}

static void no_word_stands_over_another(void **state)
{
    static const char flat[] =
        "plate: lame of a very long name that nobody would ever wish to write on any drawing\n"
        "material: mild steel\nruler: mm\nform: flat\n"
        "outline: {rectangle: {at: [0, 0], across: 150 mm, up: 45 mm}}\n"
        "holes: [{at: [0, 35], radius: 3 mm}, {at: [0, 20], radius: 3 mm}]\n"
        "thickness:\n  sheet: 1.5 mm\n  forged:\n"
        "    strike: [{name: \"where the pollaxe is likely to fall\", at: [0, 0], radius: 12 mm, "
        "thickness: 2 mm}, {name: \"another such place just beside it\", at: [0, -28], radius: 8 "
        "mm, "
        "thickness: 1.8 mm}]\n"
        "    edges: [{edge: all, thickness: 1 mm}]\n";
    static const char *const plates[] = {"profiles/breastplate.yaml", "profiles/skull.yaml",
                                         "profiles/knee.yaml", flat};

    (void)state;
    for (size_t k = 0; k < 4; k++) {
        model m = begin(plates[k], 32);
        set_beside(&m, k == 3 ? "sheet of a name that goes on and on (1.50 mm)" : "16 swg sheet");
        check_clear(&m, k % 2 ? TW_INCH : TW_METRIC, k == 3, k != 2);
        if (k == 0) {
            m.request.quantity = TW_OF_DIFFERENCE;
            check_clear(&m, TW_INCH, 0, 0);
        }
        end(&m);
    }
}

static void same_bytes_for_any_threads(void **state)
{
    model m = begin("profiles/knee.yaml", 32);
    char *one = NULL, *more = NULL;
    size_t size = 0, other = 0;

    (void)state;
    set_beside(&m, "sheet");
    show(&m, usual, 2);
    for (int paper = 0; paper < 2; paper++) {
        for (unsigned threads = 1; threads <= 3; threads += 2) {
            const tw_draw_options options = {.width = 700, .threads = threads};
            assert_int_equal(
                test_drawn_bytes(tw_draw_views(&m.request, paper ? TW_PAPER_PDF : TW_PAPER_PNG,
                                               &options, test_canvas(), NULL),
                                 threads == 1 ? &one : &more, threads == 1 ? &size : &other),
                TW_OK);
            if (threads == 1)
                continue;
            assert_int_equal(size, other);
            assert_memory_equal(one, more, size);
            free(more);
        }
        free(one);
    }
    end(&m);
}

static void what_cannot_be_seen_is_refused(void **state)
{
    model m = begin("profiles/knee.yaml", 48);
    const tw_draw_options options = {.width = 700};
    tw_error err = {0};
    tw_image image;

    (void)state;
    show(&m, usual, 1);
    m.request.quantity = TW_OF_DIFFERENCE;
    assert_int_equal(
        test_drawn(tw_draw_views(&m.request, TW_PAPER_PNG, &options, test_canvas(), &err), &image),
        TW_ERR_INPUT);
    m.request.quantity = TW_OF_SPREAD;
    assert_int_equal(
        test_drawn(tw_draw_views(&m.request, TW_PAPER_PNG, &options, test_canvas(), &err), &image),
        TW_ERR_INPUT);
    assert_non_null(strstr(err.message, "no readings"));
    end(&m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cone_is_cut_into_straight_sides),
        cmocka_unit_test(bowl_is_cut_into_arcs),
        cmocka_unit_test(flat_plate_has_gaps_at_holes),
        cmocka_unit_test(a_line_off_its_plane_is_told),
        cmocka_unit_test(line_off_the_plate_is_refused),
        cmocka_unit_test(line_reads_the_map),
        cmocka_unit_test(shares_are_the_whole),
        cmocka_unit_test(no_word_stands_over_another),
        cmocka_unit_test(same_bytes_for_any_threads),
        cmocka_unit_test(what_cannot_be_seen_is_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
