/* A harness made from its file: models, fittings, pairs, weighings, what is said in words. */
#include "fixture.h"

/* Flat plate: a·b·t·ρ. Its u: density and the sheet's bound/√3, each in proportion. Derived. */
static void a_part_of_sheet_weighs_what_the_formula_says(void **state)
{
    fixture f;
    tw_harness *h;
    const double mass = 300 * 200 * 1.6 * DENSITY; /* 753.6 g */
    const tw_part *part;

    (void)state;
    fixture_begin(&f);
    fixture_piece(&f, fixture_part(&f, "upper breast", "breastplate"),
                  fixture_plate(&f, "upper.yaml", 300, 200, 1.6, 0));
    h = fixture_build(&f);
    assert_int_equal(h->part_count, 1);
    assert_int_equal(h->plate_count, 1);
    part = &h->parts[0];
    assert_close(part->modelled.g, mass, 1e-8);
    assert_close(part->sheet_g, mass, 1e-8);
    assert_true(isnan(part->forged_g));
    assert_close(cause_of(&part->modelled, "density of mild steel"), mass * DENSITY_U / DENSITY,
                 1e-8);
    assert_close(tw_figure_u(&part->modelled),
                 mass * hypot(DENSITY_U / DENSITY, 0.1 / 1.6 / sqrt(3)), 1e-6);
    assert_close(part->height, 200, 1e-6);
    assert_close(part->width, 300, 1e-6);
    assert_false(part->has_weighing);
    assert_false(part->has_balance);
    tw_harness_free(h);
}

/* Readings would come first, then forged, then sheet; `map:` overrides, and must be there. */
static void the_map_that_counts_can_be_chosen(void **state)
{
    fixture f;
    tw_harness *h;
    tw_profile *both;
    tw_piece_spec *chosen;
    tw_error err;

    (void)state;
    fixture_begin(&f);
    both = fixture_plate(&f, "both.yaml", 300, 200, 1.6, 1.2);
    fixture_piece(&f, fixture_part(&f, "a", "breastplate"), both);
    chosen = fixture_piece(&f, fixture_part(&f, "b", "breastplate"), both);
    chosen->map_given = true;
    chosen->map = 0;
    h = fixture_build(&f);
    assert_int_equal(h->plate_count, 1); /* modelled once */
    assert_ptr_equal(h->parts[0].pieces[0].plate, h->parts[1].pieces[0].plate);
    assert_close(h->parts[0].modelled.g, 60000 * 1.2 * DENSITY, 1e-8);
    assert_close(h->parts[1].modelled.g, 60000 * 1.6 * DENSITY, 1e-8);
    assert_close(h->parts[1].forged_g, 60000 * 1.2 * DENSITY, 1e-8);
    tw_harness_free(h);
    chosen->map = 2;
    assert_int_equal(tw_harness_build(&f.file, NULL, &h, &err), TW_ERR_INPUT);
    assert_non_null(strstr(err.message, "both.yaml gives no readings map"));
    assert_non_null(strstr(err.message, "in part b"));
}

/* Lames made to one profile are as unsure as one, times their number; two profiles of one metal share
 * its density and nothing else. */
static void plates_share_what_they_share(void **state)
{
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_profile *lame, *other;
    tw_part_spec *fauld;
    double one, metal, own;

    (void)state;
    fixture_begin(&f);
    lame = fixture_plate(&f, "lame.yaml", 300, 60, 1.2, 0);
    other = fixture_plate(&f, "back.yaml", 300, 400, 1.5, 0);
    fauld = fixture_part(&f, "fauld", "fauld");
    fixture_piece(&f, fauld, lame)->count = 3;
    fixture_piece(&f, fixture_part(&f, "lame", "fauld"), lame);
    fixture_piece(&f, fixture_part(&f, "back", "backplate"), other);
    h = fixture_build(&f);
    one = tw_figure_u(&h->parts[1].modelled);
    assert_close(h->parts[0].modelled.g, 3 * h->parts[1].modelled.g, 1e-9);
    assert_close(tw_figure_u(&h->parts[0].modelled), 3 * one, 1e-9);
    total = fixture_total(h, NULL);
    metal = cause_of(&total.sum, "density of mild steel");
    assert_close(metal, total.sum.g * DENSITY_U / DENSITY, 1e-8);
    own = 4 * h->parts[1].modelled.g * 0.1 / 1.2 / sqrt(3); /* four lames of one sheet, straight */
    assert_close(
        tw_figure_u(&total.sum),
        sqrt(metal * metal + own * own + pow(h->parts[2].modelled.g * 0.1 / 1.5 / sqrt(3), 2)),
        1e-6);
    tw_total_release(&total);
    tw_harness_free(h);
}

/* Six rivets here, ten there: one cause, sixteen times its u. */
static void fittings_carry_the_unit_mass_as_one_cause(void **state)
{
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_part_spec *a, *b;

    (void)state;
    fixture_begin(&f);
    a = fixture_part(&f, "a", "breastplate");
    fixture_piece(&f, a, fixture_plate(&f, "a.yaml", 100, 100, 1, 0));
    fixture_fitting(&f, a, "rivet 5 mm", TW_FITTING_METAL, 1.5, 0.1, 6);
    fixture_fitting(&f, a, "belt 30 mm", TW_FITTING_STRAP, 0.095, 0.002, 400);
    b = fixture_part(&f, "b", "backplate");
    fixture_piece(&f, b, fixture_plate(&f, "b.yaml", 100, 100, 1, 0));
    fixture_fitting(&f, b, "rivet 5 mm", TW_FITTING_METAL, 1.5, 0.1, 10);
    fixture_fitting(&f, b, "quilted lining", TW_FITTING_LINING, 9e-4, 1e-4, 120000);
    h = fixture_build(&f);
    assert_close(h->parts[0].fittings.g, 9 + 38, 1e-9);
    assert_close(h->parts[0].straps.g, 38, 1e-9);
    assert_close(h->parts[0].lining.g, 0, 0);
    assert_close(h->parts[1].lining.g, 108, 1e-9);
    assert_close(h->parts[0].modelled.g, 78.5 + 47, 1e-8);
    assert_close(h->parts[0].sheet_g, 78.5, 1e-8);
    total = fixture_total(h, NULL);
    assert_close(cause_of(&total.sum, "unit mass of rivet 5 mm"), 1.6, 1e-12);
    assert_close(total.straps.g, 38, 1e-9);
    assert_close(total.lining.g, 108, 1e-9);
    tw_total_release(&total);
    tw_harness_free(h);
}

static void a_pair_is_two_alike_and_mirrored(void **state)
{
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_part_spec *tasset;
    tw_piece_spec *piece;

    (void)state;
    fixture_begin(&f);
    tasset = fixture_part(&f, "tasset", "tasset");
    tasset->mirror = true;
    piece = fixture_piece(&f, tasset, fixture_plate(&f, "tasset.yaml", 160, 240, 1.5, 1.2));
    piece->placed = true;
    piece->at[0] = 120;
    piece->at[1] = -200;
    piece->at[2] = 90;
    h = fixture_build(&f);
    assert_int_equal(h->part_count, 2);
    assert_string_equal(h->parts[0].name, "tasset left");
    assert_string_equal(h->parts[1].name, "tasset right");
    assert_int_equal(h->parts[0].side, 1);
    assert_int_equal(h->parts[1].side, -1);
    assert_ptr_equal(h->parts[0].pieces, h->parts[1].pieces);
    assert_close(h->parts[0].modelled.g, h->parts[1].modelled.g, 0);
    assert_close(h->parts[0].balance[0], 120, 1e-9);
    assert_close(h->parts[1].balance[0], -120, 1e-9);
    assert_close(h->parts[1].balance[1], -200, 1e-9);
    total = fixture_total(h, NULL);
    assert_close(tw_figure_u(&total.sum), 2 * tw_figure_u(&h->parts[0].modelled), 1e-12);
    assert_close(total.balance[0], 0, 1e-9);
    tw_total_release(&total);
    tw_harness_free(h);
}

/* Left and right are weighed apart; what is said of one is not said of the other. */
static void a_pairs_weighings(void **state)
{
    fixture f;
    tw_harness *h;
    tw_part_spec *tasset;
    tw_total total;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "scale of step 1 g", 1, 1e12, 1e12);
    tasset = fixture_part(&f, "tasset", "tasset");
    tasset->mirror = true;
    fixture_weigh(&f, tasset, 0, 515);
    h = fixture_build(&f);
    assert_close(h->parts[0].weighing.net.g, 515, 1e-9);
    assert_string_equal(h->parts[0].weighing.net.causes[0].name, "scale of step 1 g");
    assert_false(h->parts[1].has_weighing);
    tw_harness_free(h);

    tasset->weighed_right = true;
    tasset->weighing_right = fixture_reads(&f, 0, 505);
    h = fixture_build(&f);
    assert_close(h->parts[1].weighing.net.g, 505, 1e-9);
    total = fixture_total(h, NULL);
    assert_close(total.sum.g, 1020, 1e-9);
    assert_close(tw_figure_u(&total.sum), sqrt(2) / sqrt(6), 1e-6);
    tw_total_release(&total);
    tw_harness_free(h);
}

/* area·t·ρ; an area with 1 % and a bound of 0.1 mm on 1.6 mm. */
static void a_plate_by_area_has_a_model_when_its_sheet_is_known(void **state)
{
    fixture f;
    tw_harness *h;
    tw_profile *p;
    const double mass = 90000 * 1.6 * DENSITY;

    (void)state;
    fixture_begin(&f);
    p = fixture_plate(&f, "area.yaml", 1, 1, 1.6, 0);
    p->form = TW_FORM_NONE;
    p->area = 90000;
    p->area_uncertainty = 900;
    fixture_piece(&f, fixture_part(&f, "back", "backplate"), p);
    h = fixture_build(&f);
    assert_int_equal(h->plate_count, 0);
    assert_null(h->parts[0].pieces[0].plate);
    assert_close(h->parts[0].modelled.g, mass, 1e-9);
    assert_close(tw_figure_u(&h->parts[0].modelled),
                 mass * sqrt(pow(DENSITY_U / DENSITY, 2) + 1e-4 + pow(0.1 / 1.6 / sqrt(3), 2)),
                 1e-9);
    tw_harness_free(h);

    p->has_sheet = false; /* area alone: no model, its weighing counts */
    p->scale = 1100;
    p->scale_uncertainty = 2;
    fixture_fitting(&f, &f.parts[0], "rivet 5 mm", TW_FITTING_METAL, 1.5, 0.1, 4);
    h = fixture_build(&f);
    assert_false(tw_figure_is(&h->parts[0].modelled));
    assert_true(h->parts[0].has_weighing);
    assert_close(h->parts[0].weighing.net.g, 1106, 1e-12);
    assert_close(cause_of(&h->parts[0].weighing.net, "area.yaml: scale weight"), 2, 0);
    assert_non_null(find_note(&h->notes, "fittings are added by their unit masses"));
    tw_harness_free(h);
}

/* EN 10051 has no bound for 40 mm: density and numerical error are what is left, and it is said. */
static void without_a_budget_the_least_is_counted(void **state)
{
    fixture f;
    tw_harness *h;
    tw_profile *p;

    (void)state;
    fixture_begin(&f);
    p = fixture_plate(&f, "thick.yaml", 300, 200, 40, 0);
    p->tolerance = (tw_tolerance_spec){.given = true, .standard = TW_TOLERANCE_HOT_ROLLED};
    fixture_piece(&f, fixture_part(&f, "thick", "breastplate"), p);
    h = fixture_build(&f);
    assert_close(tw_figure_u(&h->parts[0].modelled), 18840 * DENSITY_U / DENSITY, 1e-6);
    assert_non_null(find_note(&h->notes, "density and numerical error only"));
    tw_harness_free(h);
}

/* A hollow roll of 8 mm from sheet of 1.6 mm, 300 mm long: on top of the face, of the same metal. */
static void turned_edges_come_on_top(void **state)
{
    fixture f;
    tw_harness *h;
    tw_profile *p;
    tw_turned_edge turned = {.edge = "upper", .roll = 8, .wire = 4};
    const tw_part *part;

    (void)state;
    fixture_begin(&f);
    p = fixture_plate(&f, "turned.yaml", 300, 200, 1.6, 1.6);
    p->turned_count = 1;
    p->turned = &turned;
    fixture_piece(&f, fixture_part(&f, "a", "breastplate"), p);
    h = fixture_build(&f);
    part = &h->parts[0];
    assert_close(part->pieces[0].face_g, 60000 * 1.6 * DENSITY, 1e-8);
    /* roll and wire together are a full rod of 8 mm: π/4·64·300·ρ */
    assert_close(part->pieces[0].extra.mass_g, TW_PI / 4 * 64 * 300 * DENSITY, 0.5);
    assert_close(part->modelled.g, part->pieces[0].face_g + part->pieces[0].extra.mass_g, 1e-12);
    assert_close(part->sheet_g, part->forged_g, 1e-9);
    assert_close(cause_of(&part->modelled, "density of mild steel"),
                 part->modelled.g * DENSITY_U / DENSITY, 1e-9);
    tw_harness_free(h);
}

/* What lies under the next plate: a band of 20 mm of 200, times the lames. */
static void overlap_is_weighed(void **state)
{
    fixture f;
    tw_harness *h;
    tw_piece_spec *piece;

    (void)state;
    fixture_begin(&f);
    piece = fixture_piece(&f, fixture_part(&f, "fauld", "fauld"),
                          fixture_plate(&f, "lame.yaml", 300, 200, 1.6, 1.2));
    piece->count = 3;
    piece->overlap_edge = "upper";
    piece->overlap = 20;
    h = fixture_build(&f);
    assert_close(h->parts[0].overlap_sheet_g, 3 * 300 * 20 * 1.6 * DENSITY, 0.1);
    assert_close(h->parts[0].overlap_forged_g, 3 * 300 * 20 * 1.2 * DENSITY, 0.1);
    tw_harness_free(h);
}

static void weighings_speak_in_words(void **state)
{
    fixture f;
    tw_harness *h;
    double with[] = {78200, 78250}, without[] = {77050, 77000};
    tw_part_spec *fauld;
    const tw_error *note;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 5, 5000, 5025);
    (void)fixture_scale(&f, "floor", 50, 0, 0);
    (void)fixture_scale(&f, "never used", 50, 0, 0);
    fixture_weigh(&f, fixture_part(&f, "upper breast", "breastplate"), 0, 1610);
    fixture_weigh(&f, fixture_part(&f, "buckle", "fauld"), 0, 60);
    fauld = fixture_part(&f, "fauld", "fauld");
    fauld->weighed = true;
    fauld->weighing = (tw_weighing_spec){
        .scale = 1, .read_count = 2, .reads = with, .alone_count = 2, .alone = without};
    h = fixture_build(&f);
    note = find_note(&h->notes, "scale parcel reads 0.5 % high");
    assert_non_null(note);
    assert_non_null(strstr(note->message, "taken out: 8.0 g of upper breast"));
    assert_non_null(find_note(&h->notes, "scale floor was not checked"));
    assert_null(find_note(&h->notes, "never used"));
    assert_non_null(find_note(&h->notes, "buckle: 60 g is under 20 steps of scale parcel"));
    note = find_note(&h->notes, "fauld: weighed by difference");
    assert_non_null(note);
    assert_non_null(strstr(note->message, "standing on the scale again"));
    tw_harness_free(h);
}

/* The status is a weighing's, with the part's name and the line of the file. */
static void a_weighing_of_nothing_names_its_part(void **state)
{
    fixture f;
    tw_harness *h = NULL;
    tw_part_spec *part;
    tw_error err;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 5, 0, 0);
    part = fixture_part(&f, "gorget", "gorget");
    fixture_weigh(&f, part, 0, 100);
    part->weighing.tare = 200;
    part->weighing.place.line = 12;
    assert_int_equal(tw_harness_build(&f.file, NULL, &h, &err), TW_ERR_DOMAIN);
    assert_null(h);
    assert_non_null(strstr(err.message, "weighing of gorget"));
    assert_int_equal(err.line, 12);
    assert_string_equal(err.file, "harness.yaml");
}

/* The same of a table of parts from another file than the one that asks, and of a place that is not known. */
static void where_a_weighing_stands_is_told(void **state)
{
    static const char *parts[] = {"gorget"};
    fixture f;
    tw_harness *h = NULL;
    tw_part_spec *part;
    tw_error err = {0};

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 5, 0, 0);
    part = fixture_part(&f, "gorget", "gorget");
    part->file = "arms.yaml";
    fixture_weigh(&f, part, 0, 100);
    part->weighing.tare = 200;
    part->weighing.place = (tw_place){12, 3};
    assert_int_equal(tw_harness_build(&f.file, NULL, &h, &err), TW_ERR_DOMAIN);
    assert_string_equal(err.file, "arms.yaml");
    assert_true(err.line == 12 && err.column == 3);
    assert_int_equal(tw_harness_build(&f.file, NULL, &h, NULL), TW_ERR_DOMAIN);
    part->weighing.place = (tw_place){0, 0};
    memset(&err, 0, sizeof err);
    assert_int_equal(tw_harness_build(&f.file, NULL, &h, &err), TW_ERR_DOMAIN);
    assert_int_equal(err.line, 0);
    part->weighing.tare = 0;
    fixture_together(&f, parts, 1, 0, 100);
    f.together[0].tare = 150;
    f.together[0].place = (tw_place){20, 5};
    assert_int_equal(tw_harness_build(&f.file, NULL, &h, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "weighing of gorget together after its tare: -50 g"));
    assert_true(err.line == 20 && !err.file[0]);
    assert_null(h);
}

/* Given sizes come before those of the plate; one of them given, the other is the plate's. */
static void sizes_may_be_given(void **state)
{
    static const double given[][2] = {{0, 0}, {210, 0}, {0, 310}, {210, 310}};
    fixture f;
    tw_harness *h;
    tw_part_spec *part;

    (void)state;
    fixture_begin(&f);
    part = fixture_part(&f, "a", "breastplate");
    fixture_piece(&f, part, fixture_plate(&f, "a.yaml", 300, 200, 1.6, 0));
    for (size_t k = 0; k < sizeof given / sizeof *given; k++) {
        part->height = given[k][0];
        part->width = given[k][1];
        h = fixture_build(&f);
        assert_close(h->parts[0].height, given[k][0] > 0 ? 210 : 200, 1e-9);
        assert_close(h->parts[0].width, given[k][1] > 0 ? 310 : 300, 1e-9);
        tw_harness_free(h);
    }
    tw_harness_free(NULL);
}

/* A plate of which neither a map nor a scale is known has no figure; nor has one by area without a sheet. */
static void a_plate_of_which_nothing_is_known(void **state)
{
    fixture f;
    tw_harness *h;
    tw_profile *bare;

    (void)state;
    fixture_begin(&f);
    fixture_piece(&f, fixture_part(&f, "a", "breastplate"),
                  fixture_plate(&f, "a.yaml", 300, 200, 0, 0));
    bare = fixture_plate(&f, "b.yaml", 1, 1, 1.6, 0);
    bare->form = TW_FORM_NONE;
    fixture_piece(&f, fixture_part(&f, "b", "gorget"), bare);
    h = fixture_build(&f);
    assert_int_equal(h->plate_count, 0);
    for (int k = 0; k < 2; k++) {
        assert_false(tw_figure_is(&h->parts[k].modelled));
        assert_true(isnan(h->parts[k].sheet_g) && !h->parts[k].has_weighing);
    }
    tw_harness_free(h);
}

/* Bound of a sheet by area: as bought, usual where not said how, usual where its standard has none. EN 10131:2006
 * normal, 1.5 mm up to 1200 mm wide: 0.08 mm; 2 % of the area where nothing is said of it. */
static void a_plate_by_area_takes_the_bound_of_its_sheet(void **state)
{
    const tw_tolerance_spec said[] = {
        {.given = false},
        {.given = true, .standard = TW_TOLERANCE_COLD_ROLLED, .width = 1000},
        {.given = true, .bound = 0.05}};
    static const double bound[] = {0.08, 0.08, 0.05};
    fixture f;
    tw_harness *h;
    tw_profile *p;

    (void)state;
    fixture_begin(&f);
    p = fixture_plate(&f, "area.yaml", 1, 1, 1.5, 0);
    p->form = TW_FORM_NONE;
    p->area = 90000;
    fixture_piece(&f, fixture_part(&f, "back", "backplate"), p);
    for (size_t k = 0; k < sizeof said / sizeof *said; k++) {
        const double mass = 90000 * 1.5 * DENSITY;
        p->tolerance = said[k];
        h = fixture_build(&f);
        assert_close(cause_of(&h->parts[0].modelled, "area.yaml: sheet thickness"),
                     mass * bound[k] / 1.5 / sqrt(3), 1e-9);
        assert_close(cause_of(&h->parts[0].modelled, "area.yaml: area"), 0.02 * mass, 1e-9);
        tw_harness_free(h);
    }
    /* EN 10051 has none for 40 mm: 7 % then, as for a sheet not said how bought */
    p->sheet.thickness = 40;
    p->tolerance = (tw_tolerance_spec){.given = true, .standard = TW_TOLERANCE_HOT_ROLLED};
    h = fixture_build(&f);
    assert_close(cause_of(&h->parts[0].modelled, "area.yaml: sheet thickness"),
                 90000 * 40 * DENSITY * 0.07 / sqrt(3), 1e-6);
    tw_harness_free(h);
}

/* Stops at what comes after the plates. */
static bool stop_late(const char *step, double share, void *context)
{
    (void)step;
    ++*(size_t *)context;
    return share < 1;
}

static bool stop_at_once(const char *step, double share, void *context)
{
    (void)step;
    (void)context;
    return share < 0.4;
}

static void it_can_be_stopped(void **state)
{
    fixture f;
    tw_harness *h = NULL;
    const tw_plate_options options = {.cells = 32, .threads = 1, .progress = stop_at_once};
    size_t steps = 0;
    const tw_plate_options late = {
        .cells = 32, .threads = 1, .progress = stop_late, .progress_context = &steps};

    (void)state;
    fixture_begin(&f);
    fixture_piece(&f, fixture_part(&f, "a", "fauld"), fixture_plate(&f, "a.yaml", 9, 9, 1, 0));
    fixture_piece(&f, fixture_part(&f, "b", "fauld"), fixture_plate(&f, "b.yaml", 9, 9, 1, 0));
    assert_int_equal(tw_harness_build(&f.file, &options, &h, NULL), TW_ERR_INTERRUPTED);
    assert_null(h);
    assert_int_equal(tw_harness_build(&f.file, &late, &h, NULL), TW_ERR_INTERRUPTED);
    assert_null(h);
    assert_true(steps > 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_part_of_sheet_weighs_what_the_formula_says),
        cmocka_unit_test(the_map_that_counts_can_be_chosen),
        cmocka_unit_test(plates_share_what_they_share),
        cmocka_unit_test(fittings_carry_the_unit_mass_as_one_cause),
        cmocka_unit_test(a_pair_is_two_alike_and_mirrored),
        cmocka_unit_test(a_pairs_weighings),
        cmocka_unit_test(a_plate_by_area_has_a_model_when_its_sheet_is_known),
        cmocka_unit_test(without_a_budget_the_least_is_counted),
        cmocka_unit_test(turned_edges_come_on_top),
        cmocka_unit_test(overlap_is_weighed),
        cmocka_unit_test(weighings_speak_in_words),
        cmocka_unit_test(a_weighing_of_nothing_names_its_part),
        cmocka_unit_test(where_a_weighing_stands_is_told),
        cmocka_unit_test(sizes_may_be_given),
        cmocka_unit_test(a_plate_of_which_nothing_is_known),
        cmocka_unit_test(a_plate_by_area_takes_the_bound_of_its_sheet),
        cmocka_unit_test(it_can_be_stopped),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
