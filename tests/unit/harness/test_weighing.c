/* Weighings: roundings, repeats, the scale's own error, held parts, loads out of range. */
#include "support.h"

#include "taperwright/harness.h"

static tw_arena *arena;

static int arena_begin(void **state)
{
    (void)state;
    arena = tw_arena_new();
    return arena ? 0 : -1;
}

static int arena_end(void **state)
{
    (void)state;
    tw_arena_free(arena);
    return 0;
}

static tw_weighing weigh(const tw_weighing_spec *spec, const tw_scale_spec *scale, const char *name)
{
    tw_weighing w;
    tw_error err;

    if (tw_weigh_on_scale(spec, scale, name, arena, &w, &err) != TW_OK)
        fail_msg("%s", err.message);
    return w;
}

/* A scale checked to perfection, so that only roundings are left. */
static tw_scale_spec perfect(double step)
{
    return (tw_scale_spec){.name = "parcel", .step = step, .check_true = 1e12, .check_reads = 1e12};
}

/* d/√6 of two roundings: 5 g → 2.041241 g, 1 g → 0.408248 g; d/√12 of one. JCGM 100:2008, F.2.2.1. */
static void two_roundings_or_one(void **state)
{
    double reads[] = {1610};
    tw_weighing_spec spec = {.read_count = 1, .reads = reads};
    const tw_scale_spec five = perfect(5), one = perfect(1);

    (void)state;
    assert_close(weigh(&spec, &five, "a").rounding_u_g, 2.041241, 5e-7);
    assert_close(weigh(&spec, &one, "a").rounding_u_g, 0.408248, 5e-7);
    spec.tare = 10;
    spec.tare_exact = true;
    assert_close(weigh(&spec, &five, "a").rounding_u_g, 1.443376, 5e-7);
    assert_close(weigh(&spec, &five, "a").net.g, 1600, 1e-9);
}

/* Four weighings on d = 5 g: 4.082483 g, as √4; one factor of 0.1 % over 10 kg: 10 g, straight. */
static void roundings_add_as_squares_and_the_scale_straight(void **state)
{
    const double check_u = 5.0; /* of 5 kg: 0.1 % */
    const tw_scale_spec exact = perfect(5);
    const tw_scale_spec known = {.name = "parcel",
                                 .step = 1e-6,
                                 .check_true = 5000,
                                 .check_reads = 5000,
                                 .check_uncertainty = check_u};
    tw_figure sum = tw_figure_zero(), factor = tw_figure_zero();
    double reads[] = {2500};
    const tw_weighing_spec spec = {.read_count = 1, .reads = reads};

    (void)state;
    for (int k = 0; k < 4; k++) {
        char name[32];
        tw_weighing w;
        (void)snprintf(name, sizeof name, "part %d", k);
        w = weigh(&spec, &exact, name);
        assert_int_equal(tw_figure_add(&sum, arena, &w.net, 1, NULL), TW_OK);
        w = weigh(&spec, &known, name);
        assert_int_equal(tw_figure_add(&factor, arena, &w.net, 1, NULL), TW_OK);
    }
    assert_close(sum.g, 10000, 1e-9);
    assert_close(tw_figure_u(&sum), 4.082483, 5e-7);
    assert_close(tw_figure_u(&factor), 10, 1e-6);
}

/* True 5 kg reads 5.025 kg: 0.5 % high. 1612.5 g read are 1604.478 g. */
static void the_scales_error_is_taken_out(void **state)
{
    double reads[] = {1610, 1615};
    const tw_weighing_spec spec = {.read_count = 2, .reads = reads};
    const tw_scale_spec scale = {.name = "parcel",
                                 .step = 5,
                                 .most = 30000,
                                 .check_true = 5000,
                                 .check_reads = 5025,
                                 .check_uncertainty = 1};
    const tw_weighing w = weigh(&spec, &scale, "weighing of upper breast");
    const double f = 5000.0 / 5025;

    (void)state;
    assert_close(w.net.g, 1612.5 * f, 1e-9);
    assert_close(w.corrected_g, 1612.5 * (f - 1), 1e-9);
    /* s of 1610, 1615 is 5/√2, of their mean 2.5 */
    assert_close(w.repeat_u_g, f * 2.5, 1e-12);
    assert_close(w.scale_u_g, w.net.g * hypot(5 / sqrt(6) / 5025, 1.0 / 5000), 1e-12);
    assert_close(tw_figure_u(&w.net),
                 sqrt(w.rounding_u_g * w.rounding_u_g + w.repeat_u_g * w.repeat_u_g +
                      w.scale_u_g * w.scale_u_g),
                 1e-12);
    assert_int_equal(w.net.count, 3);
    assert_string_equal(w.net.causes[0].name, "scale parcel");
    assert_string_equal(w.net.causes[1].name, "weighing of upper breast: repeats");
    assert_close(w.net.causes[1].freedom, 1, 0);
    assert_int_equal(w.flags, 0);
}

/* OIML R 76-1, table 6, class III, e = 5 g: 800 intervals → 5 g at verification, 10 g in service; a/√3.
 * At verification that would be 2.886751 g. */
static void a_scale_without_a_check_may_be_off_by_its_class(void **state)
{
    static const struct {
        double reads, bound;
    } rows[] = {{100, 5}, {2500, 5}, {2505, 10}, {4000, 10}, {10000, 10}, {10005, 15}};
    const tw_scale_spec scale = {.name = "kitchen", .step = 5};

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        double reads[] = {rows[k].reads};
        const tw_weighing_spec spec = {.read_count = 1, .reads = reads};
        const tw_weighing w = weigh(&spec, &scale, "a");
        assert_close(w.scale_u_g, rows[k].bound / sqrt(3), 1e-12);
        assert_close(w.corrected_g, 0, 0);
        assert_string_equal(w.net.causes[1].name, "scale kitchen, not checked");
    }
    {
        double reads[] = {4000};
        const tw_weighing_spec spec = {.read_count = 1, .reads = reads};
        assert_close(weigh(&spec, &scale, "a").scale_u_g, 2 * 2.886751, 1e-6);
    }
}

/* Held: means of both, two roundings, scatter of both with their own degrees of freedom. */
static void a_held_part_is_a_difference(void **state)
{
    double with[] = {78200, 78250, 78150}, without[] = {77050, 77000};
    const tw_weighing_spec spec = {
        .read_count = 3, .reads = with, .alone_count = 2, .alone = without};
    const tw_scale_spec scale = {.name = "floor",
                                 .step = 50,
                                 .most = 150000,
                                 .least = 5000,
                                 .check_true = 1e12,
                                 .check_reads = 1e12};
    const tw_weighing w = weigh(&spec, &scale, "weighing of fauld");

    (void)state;
    assert_close(w.net.g, 78200 - 77025, 1e-9);
    assert_close(w.rounding_u_g, 50 / sqrt(6), 1e-12);
    assert_close(w.repeat_u_g, hypot(50 / sqrt(3), 25), 1e-12);
    assert_int_equal(w.net.count, 4);
    assert_int_equal(w.flags, 0); /* the floor scale is loaded well over its least */
}

static void loads_out_of_range_are_flagged(void **state)
{
    double light[] = {60}, heavy[] = {31000}, apart[] = {1000, 1020}, odd[] = {1603},
           three[] = {1000, 1015};
    tw_scale_spec scale = {.name = "parcel", .step = 5, .most = 30000};
    const struct {
        double *reads;
        size_t count;
        unsigned flags;
    } rows[] = {{light, 1, TW_WEIGHING_UNDER},
                {heavy, 1, TW_WEIGHING_OVER},
                {apart, 2, TW_WEIGHING_SPREAD},
                {odd, 1, TW_WEIGHING_OFF_STEP},
                {three, 2, 0}};

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        const tw_weighing_spec spec = {.read_count = rows[k].count, .reads = rows[k].reads};
        assert_int_equal(weigh(&spec, &scale, "a").flags, rows[k].flags);
    }
    scale.least = 50; /* said: 60 g is fine */
    {
        const tw_weighing_spec spec = {.read_count = 1, .reads = light};
        assert_int_equal(weigh(&spec, &scale, "a").flags, 0);
    }
}

/* A 60 g lame on d = 5 g carries 3.4 % of rounding: derived, 2.041241/60. */
static void a_light_lame_is_unsure(void **state)
{
    double reads[] = {60};
    const tw_weighing_spec spec = {.read_count = 1, .reads = reads};
    const tw_scale_spec scale = perfect(5);

    (void)state;
    assert_close(weigh(&spec, &scale, "a").rounding_u_g / 60, 0.034, 5e-4);
}

static void nothing_left_is_refused(void **state)
{
    double reads[] = {100}, alone[] = {100};
    const tw_weighing_spec tare = {.read_count = 1, .reads = reads, .tare = 120};
    const tw_weighing_spec held = {
        .read_count = 1, .reads = reads, .alone_count = 1, .alone = alone};
    const tw_scale_spec scale = perfect(5);
    tw_weighing w = {.corrected_g = 42};
    tw_error err;

    (void)state;
    assert_int_equal(tw_weigh_on_scale(&tare, &scale, "weighing of gorget", arena, &w, &err),
                     TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "weighing of gorget"));
    assert_non_null(strstr(err.message, "tare"));
    assert_int_equal(tw_weigh_on_scale(&held, &scale, "weighing of gorget", arena, &w, &err),
                     TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "holder"));
    assert_close(w.corrected_g, 42, 0); /* untouched */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_roundings_or_one),
        cmocka_unit_test(roundings_add_as_squares_and_the_scale_straight),
        cmocka_unit_test(the_scales_error_is_taken_out),
        cmocka_unit_test(a_scale_without_a_check_may_be_off_by_its_class),
        cmocka_unit_test(a_held_part_is_a_difference),
        cmocka_unit_test(loads_out_of_range_are_flagged),
        cmocka_unit_test(a_light_lame_is_unsure),
        cmocka_unit_test(nothing_left_is_refused),
    };

    return cmocka_run_group_tests(tests, arena_begin, arena_end);
}
