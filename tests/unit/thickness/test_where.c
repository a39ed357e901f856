/* Where the uncertainty of a plate's sum comes from: shares against sums of single parts, symmetry, and
 * the part that is named. */
#include "readings.h"

static double bumpy(double across, double up)
{
    return 2 + 0.3 * sin(across / 45) * cos(up / 60 + 0.4);
}

/* Readings every 40 mm from `left` on to the right, all the way up. */
static void add_from(readings *r, double left)
{
    for (double up = -135; up <= 140; up += 45)
        for (double across = left; across <= 130; across += 40)
            readings_add(r, across, up, bumpy(across, up));
}

static void find_where(readings *r, tw_where *where)
{
    readings_fit(r);
    assert_int_equal(tw_survey_where(r->survey, r->grid->area, 1, where, NULL), TW_OK);
}

static double share_at(const tw_where *where, int across, int up)
{
    for (size_t k = 0; k < where->count; k++)
        if (where->regions[k].across == across && where->regions[k].up == up)
            return where->regions[k].share;
    fail_msg("no region %d, %d", across, up);
    return 0;
}

/* Cov(A, A + B) = (Var(A + B) + Var(A) − Var(B))/2 with A a half and B the rest: three sums of the
 * process on the same points, which know nothing of parts. */
static void covariances_are_those_of_sums(void **state)
{
    enum { N = 90 };
    test_random random = test_random_begin("covariances_are_those_of_sums");
    double position[N][3], basis[N], weight[N], only[2][N], sd[3], covariance[3];
    const size_t counts[] = {40, 0, 50};
    readings r;

    (void)state;
    readings_init(&r, 150, 150);
    add_from(&r, -70);
    readings_fit(&r);
    assert_false(tw_krige_about(r.survey->krige).trend_only);
    for (int k = 0; k < N; k++) {
        position[k][0] = test_uniform(&random, -150, 150);
        position[k][1] = test_uniform(&random, -150, 150);
        position[k][2] = 0;
        basis[k] = 1;
        weight[k] = test_uniform(&random, 0.1, 2);
        only[0][k] = k < 40 ? weight[k] : 0;
        only[1][k] = k < 40 ? 0 : weight[k];
    }
    for (int k = 0; k < 3; k++)
        assert_int_equal(tw_krige_sum(r.survey->krige, N, (const double(*)[3])position, basis,
                                      k == 0 ? weight : only[k - 1], 1, NULL, &sd[k], NULL),
                         TW_OK);
    assert_int_equal(tw_krige_parts(r.survey->krige, 3, counts, (const double(*)[3])position, basis,
                                    weight, 2, covariance, NULL),
                     TW_OK);
    assert_close(covariance[0] + covariance[1] + covariance[2], sd[0] * sd[0],
                 1e-9 * sd[0] * sd[0]);
    assert_close(covariance[0], (sd[0] * sd[0] + sd[1] * sd[1] - sd[2] * sd[2]) / 2,
                 1e-9 * sd[0] * sd[0]);
    assert_close(covariance[1], 0, 0);
    readings_release(&r);
}

/* All trends, also where only the trend is left: shares add up to 1, and so do the parts of the metal;
 * every used reading lies in one part. */
static void shares_add_up(void **state)
{
    (void)state;
    for (int kind = 0; kind < 3; kind++) {
        readings r;
        tw_where where;
        double share = 0, metal = 0;
        size_t count = 0;
        readings_init(&r, 140, 150);
        r.profile.readings.trend = kind == 1 ? TW_TREND_PLANE : TW_TREND_EVEN;
        if (kind == 2)
            for (int k = 0; k < 4; k++)
                readings_add(&r, -100 + 60 * k, 40 * (k % 2), 2 + 0.1 * k);
        else
            add_from(&r, -110);
        readings_add(&r, 0, 3, 3)->leave_out = true;
        find_where(&r, &where);
        assert_int_equal(where.count, 9);
        assert_false(where.bowl);
        for (size_t k = 0; k < where.count; k++) {
            share += where.regions[k].share;
            metal += where.regions[k].metal;
            count += where.regions[k].readings;
        }
        assert_close(share, 1, 1e-12);
        assert_close(metal, 1, 1e-12);
        assert_int_equal(count, r.survey->used);
        readings_release(&r);
    }
}

/* To what blocks that do not mirror each other make of it. */
static void a_symmetric_layout_has_symmetric_shares(void **state)
{
    readings r;
    tw_where where;

    (void)state;
    readings_init(&r, 150, 150);
    for (int j = -2; j <= 2; j++)
        for (int i = -2; i <= 2; i++)
            readings_add(&r, 55 * i, 55 * j, 2 + 0.1 * ((i * i + 2 * j * j) % 3));
    find_where(&r, &where);
    for (int up = -1; up <= 1; up++) {
        assert_close(share_at(&where, -1, up), share_at(&where, 1, up), 1e-5);
        assert_close(share_at(&where, up, -1), share_at(&where, up, 1), 1e-5);
    }
    assert_false(where.found);
    readings_release(&r);
}

static void the_bare_part_is_named(void **state)
{
    readings r;
    tw_where where;

    (void)state;
    readings_init(&r, 150, 150); /* a third of it, the −across side, without readings */
    add_from(&r, -40);
    find_where(&r, &where);
    assert_true(where.found);
    assert_int_equal(where.bare.across, -1);
    assert_int_equal(where.bare.up, TW_REGION_ALL);
    assert_int_equal(where.bare.readings, 0);
    print_message("a bare side has %.2f of the variance\n", where.bare.share);
    assert_true(where.bare.share > 0.6);
    assert_close(where.bare.metal, 1.0 / 3, 0.02);
    readings_release(&r);

    readings_init(&r, 150, 150); /* one corner */
    for (double up = -125; up <= 130; up += 50)
        for (double across = -125; across <= 130; across += 50)
            if (across > -40 || up < 40)
                readings_add(&r, across, up, bumpy(across, up));
    find_where(&r, &where);
    assert_true(where.found);
    assert_int_equal(where.bare.across, -1);
    assert_int_equal(where.bare.up, 1);
    assert_int_equal(where.bare.readings, 0);
    readings_release(&r);
}

/* A bowl read on its crown alone: the whole rim; one read all over but for one side: that side. */
static void bowls_have_a_crown_and_a_rim(void **state)
{
    for (int side = 0; side <= 1; side++) {
        readings r;
        tw_where where;
        (void)state;
        readings_init(&r, 100, 100);
        r.profile.form = TW_FORM_BOWL;
        r.profile.bowl =
            (tw_bowl_spec){.across = 100, .up = 100, .depth = 60, .profile = TW_BOWL_ROUND};
        r.profile.outline = (tw_outline_spec){.kind = TW_OUTLINE_RIM};
        for (int ring = 0; ring <= (side ? 2 : 0); ring++)
            for (int k = 0; k < 8; k++)
                if (!(ring > 0 && (k == 0 || k == 1 || k == 7))) {
                    const double angle = k * TW_PI / 4, out = 22 + 33 * ring;
                    const double x = out * cos(angle), y = out * sin(angle);
                    readings_add(&r, x, y, bumpy(x, y));
                }
        find_where(&r, &where);
        assert_true(where.bowl && where.count == 5 && where.found);
        assert_int_equal(where.bare.across, side ? 1 : TW_REGION_ALL);
        assert_int_equal(where.bare.up, side ? 0 : TW_REGION_ALL);
        assert_int_equal(where.bare.readings, 0);
        readings_release(&r);
    }
}

static void threads_do_not_change_a_bit(void **state)
{
    readings r;
    tw_where one, three;

    (void)state;
    readings_init(&r, 150, 150);
    add_from(&r, -40);
    find_where(&r, &one);
    assert_int_equal(tw_survey_where(r.survey, r.grid->area, 3, &three, NULL), TW_OK);
    for (size_t k = 0; k < 9; k++)
        assert_close(one.regions[k].share, three.regions[k].share, 0);
    readings_release(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(covariances_are_those_of_sums),
        cmocka_unit_test(shares_add_up),
        cmocka_unit_test(a_symmetric_layout_has_symmetric_shares),
        cmocka_unit_test(the_bare_part_is_named),
        cmocka_unit_test(bowls_have_a_crown_and_a_rim),
        cmocka_unit_test(threads_do_not_change_a_bit),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
