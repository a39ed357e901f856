/* Places on the wearer: closed forms of points and rectangles, and sums over many points each turned by
 * itself. */
#include "fixture.h"

#include "harness/harness_internal.h"

/* ---- points ------------------------------------------------------------------------------------- */

/* Two points of 2 and 3 kg, 500 mm apart: reduced mass 1.2 kg times the square of the distance, about
 * each axis square to it; nothing about the line. Derived. */
static void two_points(void **state)
{
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_part_spec *a, *b;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 1, 1e12, 1e12);
    a = fixture_part(&f, "a", "gorget");
    fixture_weigh(&f, a, 0, 2000);
    b = fixture_part(&f, "b", "culet");
    fixture_weigh(&f, b, 0, 3000);
    a->placed = b->placed = true;
    a->balance[1] = 400;
    b->balance[1] = -100;
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_true(total.has_balance);
    assert_close(total.balance[0], 0, 1e-12);
    assert_close(total.balance[1], 100, 1e-9);
    assert_close(total.inertia_g_mm2[0][0], 1200 * 250000.0, 1e-3);
    assert_close(total.inertia_g_mm2[1][1], 0, 1e-3);
    assert_close(total.inertia_g_mm2[2][2], 1200 * 250000.0, 1e-3);
    tw_total_release(&total);
    b->placed = false; /* one without a place: none for the whole */
    tw_harness_free(h);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_false(total.has_balance);
    assert_true(isnan(total.balance[1]) && isnan(total.inertia_g_mm2[0][0]));
    tw_total_release(&total);
    tw_harness_free(h);
}

/* ---- one rectangle ---------------------------------------------------------------------------------- */

/* 300 across, 200 up, 2 mm toward the bench from the outside face: centroid at z = −1;
 * m(b² + c²)/12 about each axis (any table of moments of inertia). Turned by 90 deg its outside faces
 * the wearer's left, tilted its top comes forward, leaned its top goes to the wearer's right. */
static void a_rectangle_turned(void **state)
{
    static const double quarter = TW_PI / 2;
    const double m = 300 * 200 * 2 * DENSITY;
    const double across = m * (200 * 200 + 4) / 12, up = m * (300 * 300 + 4) / 12;
    const double out = m * (300 * 300 + 200 * 200) / 12;
    const struct {
        double turn, tilt, lean, at[3], inertia[3];
    } rows[] = {{0, 0, 0, {0, 0, -1}, {across, up, out}},
                {quarter, 0, 0, {-1, 0, 0}, {out, up, across}},
                {2 * quarter, 0, 0, {0, 0, 1}, {across, up, out}},
                {0, quarter, 0, {0, 1, 0}, {across, out, up}},
                {0, 0, quarter, {0, 0, -1}, {up, across, out}}};

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        fixture f;
        tw_harness *h;
        tw_total total;
        tw_piece_spec *piece;
        fixture_begin(&f);
        piece = fixture_piece(&f, fixture_part(&f, "a", "breastplate"),
                              fixture_plate(&f, "a.yaml", 300, 200, 2, 0));
        piece->placed = true;
        piece->at[0] = 10;
        piece->at[1] = 20;
        piece->at[2] = 30;
        piece->turn = rows[k].turn;
        piece->tilt = rows[k].tilt;
        piece->lean = rows[k].lean;
        h = fixture_build(&f);
        total = fixture_total(h, NULL);
        assert_true(h->parts[0].has_balance);
        for (int i = 0; i < 3; i++) {
            assert_close(h->parts[0].balance[i], 10 * (i + 1) + rows[k].at[i], 1e-8);
            assert_close(total.balance[i], 10 * (i + 1) + rows[k].at[i], 1e-8);
            assert_close(total.inertia_g_mm2[i][i] / rows[k].inertia[i], 1,
                         3e-3); /* cells are points in their face: 1/21² of 200 mm */
        }
        assert_close(total.inertia_g_mm2[0][1], 0, 1e-3 * out);
        tw_total_release(&total);
        tw_harness_free(h);
    }
}

/* Top forward is positive: a point 100 up goes 100·sin to the front; lean first, turn last. */
static void turning_goes_lean_tilt_turn(void **state)
{
    const tw_piece_spec spec = {.lean = 0.1, .tilt = 0.2, .turn = 0.3};
    const double top[3] = {0, 100, 0};
    double r[3][3], p[3], x, y, z;

    (void)state;
    tw_piece_turning(&spec, r);
    for (int i = 0; i < 3; i++)
        p[i] = tw_dot(r[i], top);
    x = -100 * sin(0.1);
    y = 100 * cos(0.1);
    z = y * sin(0.2);
    y = y * cos(0.2);
    assert_close(p[0], x * cos(0.3) + z * sin(0.3), 1e-12);
    assert_close(p[1], y, 1e-12);
    assert_close(p[2], z * cos(0.3) - x * sin(0.3), 1e-12);
}

/* ---- many points --------------------------------------------------------------------------------------- */

typedef struct cloud {
    double mass, first[3], second[3][3];
} cloud;

/* One point of a piece: three turns in the plane one after another, moved, mirrored. */
static void add_point(cloud *c, const tw_piece_spec *spec, int side, double mass,
                      const double at[3])
{
    double x = at[0], y = at[1], z = at[2], old;
    double p[3];

    old = x;
    x = x * cos(spec->lean) - y * sin(spec->lean);
    y = old * sin(spec->lean) + y * cos(spec->lean);
    old = y;
    y = y * cos(spec->tilt) - z * sin(spec->tilt);
    z = old * sin(spec->tilt) + z * cos(spec->tilt);
    old = x;
    x = x * cos(spec->turn) + z * sin(spec->turn);
    z = z * cos(spec->turn) - old * sin(spec->turn);
    p[0] = (x + spec->at[0]) * (side < 0 ? -1 : 1);
    p[1] = y + spec->at[1];
    p[2] = z + spec->at[2];
    c->mass += mass;
    for (int i = 0; i < 3; i++) {
        c->first[i] += mass * p[i];
        for (int j = 0; j < 3; j++)
            c->second[i][j] += mass * p[i] * p[j];
    }
}

/* Cells of the plate's own map, as points: their own size is below 1e-3 of the whole inertia. */
static void add_plate(cloud *c, const tw_part *part, double scale)
{
    for (size_t n = 0; n < part->piece_count; n++) {
        const tw_piece *piece = &part->pieces[n];
        const tw_grid *grid = piece->plate->grid;
        for (size_t k = 0; k < tw_grid_cells(grid); k++) {
            const double t = piece->map->map.cell[k];
            const double at[3] = {grid->cell_x[k], grid->cell_y[k], grid->cell_z[k] - t / 2};
            if (grid->area[k] > 0)
                add_point(c, piece->spec, part->side, scale * grid->area[k] * t * DENSITY, at);
        }
    }
}

/* Random places of several plates and a pair, one of them weighed: balance to the rounding, inertia to
 * what points leave out. */
static void sums_over_points_agree(void **state)
{
    test_random random = test_random_begin("sums_over_points_agree");

    (void)state;
    for (int trial = 0; trial < 20; trial++) {
        fixture f;
        tw_harness *h;
        tw_total total;
        cloud c = {0};
        double worst;
        fixture_begin(&f);
        (void)fixture_scale(&f, "parcel", 1, 1e12, 1e12);
        for (int k = 0; k < 3; k++) {
            static const char *const names[] = {"a", "b", "c"};
            tw_part_spec *part = fixture_part(&f, names[k], "breastplate");
            tw_piece_spec *piece = fixture_piece(
                &f, part,
                fixture_plate(&f, names[k], test_uniform(&random, 100, 400),
                              test_uniform(&random, 100, 400), test_uniform(&random, 1, 2), 0));
            part->mirror = k == 1;
            piece->placed = true;
            for (int i = 0; i < 3; i++)
                piece->at[i] = test_uniform(&random, -400, 400);
            piece->lean = test_uniform(&random, -3, 3);
            piece->tilt = test_uniform(&random, -3, 3);
            piece->turn = test_uniform(&random, -3, 3);
            if (k == 2)
                fixture_weigh(&f, part, 0, 1500);
        }
        h = fixture_build(&f);
        total = fixture_total(h, NULL);
        for (size_t k = 0; k < h->part_count; k++)
            add_plate(&c, &h->parts[k], total.figure[k].g / h->parts[k].modelled.g);
        assert_close(c.mass / total.sum.g, 1, 1e-9);
        worst = 0;
        for (int i = 0; i < 3; i++) {
            assert_close(total.balance[i], c.first[i] / c.mass, 1e-8);
            worst = fmax(worst, total.inertia_g_mm2[i][i]);
        }
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++) {
                double trace = 0, got;
                for (int n = 0; n < 3; n++)
                    trace += c.second[n][n] - c.first[n] * c.first[n] / c.mass;
                got = (i == j ? trace : 0) - (c.second[i][j] - c.first[i] * c.first[j] / c.mass);
                assert_close(total.inertia_g_mm2[i][j], got, 1e-3 * worst);
            }
        tw_total_release(&total);
        tw_harness_free(h);
    }
}

/* ---- one part out, or of sheet ---------------------------------------------------------------------------- */

static void without_and_as_sheet(void **state)
{
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_part_spec *a, *tasset, *gorget;
    tw_piece_spec *piece;
    const double thinner = 300 * 200 * 0.4 * DENSITY; /* 1.2 against 1.6 */
    double mass, balance[3];
    tw_error err;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 1, 1e12, 1e12);
    a = fixture_part(&f, "a", "breastplate");
    piece = fixture_piece(&f, a, fixture_plate(&f, "a.yaml", 300, 200, 1.6, 1.2));
    piece->placed = true;
    piece->at[1] = 300;
    fixture_fitting(&f, a, "rivet 5 mm", TW_FITTING_METAL, 1.5, 0, 10);
    tasset = fixture_part(&f, "tasset", "tasset");
    tasset->mirror = true;
    piece = fixture_piece(&f, tasset, fixture_plate(&f, "t.yaml", 100, 100, 1.5, 1));
    piece->placed = true;
    piece->at[0] = 150;
    gorget = fixture_part(&f, "gorget", "gorget");
    gorget->placed = true;
    fixture_weigh(&f, gorget, 0, 500);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_close(total.sum.g, 60000 * 1.2 * DENSITY + 15 + 2 * 78.5 + 500, 1e-8);

    assert_int_equal(tw_total_without(&total, 0, true, &mass, balance, &err), TW_OK);
    assert_close(mass, 657, 1e-8);
    assert_close(balance[1], 0, 1e-9);
    assert_int_equal(tw_total_without(&total, 1, false, &mass, balance, &err), TW_OK);
    assert_close(mass, total.sum.g - 78.5, 1e-8);
    assert_close(balance[0], -150 * 78.5 / mass, 1e-8);
    assert_int_equal(tw_total_without(&total, 1, true, &mass, balance, &err), TW_OK);
    assert_close(mass, total.sum.g - 157, 1e-8);
    assert_close(balance[0], 0, 1e-9);

    assert_int_equal(tw_total_as_sheet(&total, 0, true, &mass, balance, &err), TW_OK);
    assert_close(mass, total.sum.g + thinner, 1e-8);
    assert_close(balance[1], 300 * (60000 * 1.6 * DENSITY + 15) / mass, 1e-6);
    assert_int_equal(tw_total_as_sheet(&total, 2, true, &mass, balance, &err), TW_OK);
    assert_close(mass, total.sum.g + 78.5, 1e-8);
    assert_int_equal(tw_total_as_sheet(&total, 3, true, &mass, balance, &err), TW_ERR_INPUT);
    assert_non_null(strstr(err.message, "gorget"));
    tw_total_release(&total);
    tw_harness_free(h);
}

/* ---- where grams come from ----------------------------------------------------------------------------------- */

static void sources_are_ranked_and_their_shares_sum_to_one(void **state)
{
    static const char *const out[] = {"tasset left"};
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_sources s;
    tw_part_spec *tasset;
    tw_sum shares = {0, 0};

    (void)state;
    fixture_begin(&f);
    fixture_piece(&f, fixture_part(&f, "back", "backplate"),
                  fixture_plate(&f, "back.yaml", 300, 200, 1.6, 1.5));
    tasset = fixture_part(&f, "tasset", "tasset");
    tasset->mirror = true;
    fixture_piece(&f, tasset, fixture_plate(&f, "t.yaml", 200, 200, 1.5, 1.2));
    fixture_piece(&f, fixture_part(&f, "lame", "fauld"),
                  fixture_plate(&f, "l.yaml", 300, 60, 1.2, 0));
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_int_equal(tw_total_sources(&total, &s, NULL), TW_OK);
    assert_int_equal(s.count, 2);
    assert_int_equal(s.left_out, 1);
    assert_string_equal(s.rows[0].name, "tasset");
    assert_int_equal(s.rows[0].part, 1);
    assert_close(s.rows[0].difference_g, 2 * 40000 * 0.3 * DENSITY, 1e-8);
    assert_string_equal(s.rows[1].name, "back");
    assert_close(s.rows[1].difference_g, 60000 * 0.1 * DENSITY, 1e-8);
    assert_close(s.difference_g, s.sheet_g - s.forged_g, 1e-9);
    for (size_t k = 0; k < s.count; k++)
        tw_sum_add(&shares, s.rows[k].share);
    assert_close(tw_sum_value(&shares), 1, 1e-15);
    tw_sources_release(&s);
    tw_total_release(&total);

    total = fixture_total(h, &(tw_choice){.without_count = 1, .without = out});
    assert_int_equal(tw_total_sources(&total, &s, NULL), TW_OK);
    assert_string_equal(s.rows[0].name, "tasset right");
    assert_int_equal(s.rows[0].part, 2);
    assert_close(s.rows[0].difference_g, 40000 * 0.3 * DENSITY, 1e-8);
    tw_sources_release(&s);
    tw_total_release(&total);
    tw_harness_free(h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_points),
        cmocka_unit_test(a_rectangle_turned),
        cmocka_unit_test(turning_goes_lean_tilt_turn),
        cmocka_unit_test(sums_over_points_agree),
        cmocka_unit_test(without_and_as_sheet),
        cmocka_unit_test(sources_are_ranked_and_their_shares_sum_to_one),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
