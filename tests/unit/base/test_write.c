/* Quantities as text: usual decimals, carries, signs, and back again through the reader. */
#include "support.h"

typedef char *(*writer)(double, tw_units, int, char *, size_t);

static void is(writer write, double value, tw_units units, int decimals, const char *wanted)
{
    char out[64];

    assert_string_equal(write(value, units, decimals, out, sizeof out), wanted);
}

static void lengths_and_thicknesses(void **state)
{
    (void)state;
    is(tw_write_thickness, 1.6256, TW_METRIC, -1, "1.63 mm");
    is(tw_write_thickness, 1.6256, TW_INCH, -1, "0.064 in");
    is(tw_write_thickness, 1.6256, TW_METRIC, 3, "1.626 mm");
    is(tw_write_thickness, -0.001, TW_METRIC, -1, "0.00 mm");
    is(tw_write_thickness, NAN, TW_METRIC, -1, "unknown");
    is(tw_write_length, 212, TW_METRIC, -1, "212 mm");
    is(tw_write_length, 8.5, TW_METRIC, -1, "8.5 mm");
    is(tw_write_length, 212, TW_INCH, -1, "8 11/32 in"); /* 8.346 in = 8 + 22.2/64 */
    is(tw_write_length, -212, TW_INCH, -1, "-8 11/32 in");
    is(tw_write_length, 212, TW_INCH, 2, "8.35 in");
    is(tw_write_length, 25.4e9 + 3, TW_INCH, -1,
       "1000000000 in"); /* beyond what is read with fractions */
    is(tw_write_length, 25.4, TW_INCH, -1, "1 in");
    is(tw_write_length, 25.35, TW_INCH, -1, "1 in"); /* 63.87/64 carries */
    is(tw_write_length, 0.1, TW_INCH, -1, "0 in");
    is(tw_write_length, -0.1, TW_INCH, -1, "0 in");
    is(tw_write_length, 1.5875, TW_INCH, -1, "1/16 in");
}

static void masses(void **state)
{
    (void)state;
    is(tw_write_mass, 842, TW_METRIC, -1, "842 g");
    is(tw_write_mass, 2310, TW_METRIC, -1, "2.31 kg");
    is(tw_write_mass, 999.4, TW_METRIC, -1, "999 g");
    is(tw_write_mass, 999.6, TW_METRIC, -1, "1.00 kg"); /* never "1000 g" */
    is(tw_write_length, 2.05, TW_METRIC, -1, "2.1 mm"); /* not "2.0 mm", as printf has it */
    is(tw_write_mass, 0.003, TW_METRIC, -1, "0 g");     /* what rounds to nothing is nothing */
    is(tw_write_mass, 0.05, TW_METRIC, -1, "0.1 g");
    is(tw_write_mass, -842, TW_METRIC, -1, "-842 g");
    is(tw_write_mass, 842.37, TW_METRIC, 1, "842.4 g");
    is(tw_write_mass, 2310.5, TW_INCH, -1, "5 lb 1.5 oz");
    is(tw_write_mass, 453.5, TW_INCH, -1, "1 lb 0.0 oz"); /* 15.997 oz carries */
    is(tw_write_mass, 100, TW_INCH, -1, "3.5 oz");
    is(tw_write_mass, -2310.5, TW_INCH, -1, "-5 lb 1.5 oz");
}

static void areas_and_grades(void **state)
{
    char out[64];

    (void)state;
    assert_string_equal(tw_write_area(183000, TW_METRIC, out, sizeof out), "0.183 m²");
    assert_string_equal(tw_write_area(52000, TW_METRIC, out, sizeof out), "5.20 dm²");
    assert_string_equal(tw_write_area(183000, TW_INCH, out, sizeof out), "284 in²");
    assert_string_equal(tw_write_work_area(115000, TW_METRIC, -1, out, sizeof out), "11.5 dm²");
    assert_string_equal(tw_write_work_area(9500, TW_METRIC, -1, out, sizeof out), "0.95 dm²");
    assert_string_equal(tw_write_work_area(96000, TW_METRIC, 2, out, sizeof out), "9.60 dm²");
    assert_string_equal(tw_write_work_area(183000, TW_INCH, 2, out, sizeof out), "284 in²");
    assert_string_equal(tw_write_grade(1 / 61.0, TW_METRIC, out, sizeof out),
                        "1 mm in 61 mm (1.6 mm per 100 mm)");
    assert_string_equal(tw_write_grade(1 / 64.0, TW_INCH, out, sizeof out),
                        "0.016 in per inch (1 in 64)");
    assert_string_equal(tw_write_grade(0, TW_METRIC, out, sizeof out), "0.00 mm per 100 mm");
}

/* Property: what is written is read back to within its last digit. */
static void what_is_written_can_be_read(void **state)
{
    test_random random = test_random_begin("what_is_written_can_be_read");

    (void)state;
    for (int k = 0; k < 5000; k++) {
        const double length = test_uniform(&random, -900, 900);
        const double mass = test_uniform(&random, -9000, 9000);
        char out[64];
        double back;
        tw_write_length(length, TW_INCH, -1, out, sizeof out);
        assert_int_equal(tw_quantity_read(out, TW_LENGTH, TW_RULER_NONE, &back, NULL), TW_OK);
        assert_close(back, length, 25.4 / 128 + 1e-9);
        tw_write_mass(mass, TW_INCH, -1, out, sizeof out);
        assert_int_equal(tw_quantity_read(out, TW_MASS, TW_RULER_NONE, &back, NULL), TW_OK);
        assert_close(back, mass, 0.05 * 453.59237 / 16 + 1e-9);
        tw_write_mass(mass, TW_METRIC, -1, out, sizeof out);
        assert_int_equal(tw_quantity_read(out, TW_MASS, TW_RULER_NONE, &back, NULL), TW_OK);
        assert_close(back, mass, fabs(mass) < 999 ? 0.5 : 5.0001);
    }
}

static void a_small_buffer_is_ended(void **state)
{
    char out[5];

    (void)state;
    assert_string_equal(tw_write_length(212, TW_INCH, -1, out, sizeof out), "8 11");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lengths_and_thicknesses), cmocka_unit_test(masses),
        cmocka_unit_test(areas_and_grades),        cmocka_unit_test(what_is_written_can_be_read),
        cmocka_unit_test(a_small_buffer_is_ended),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
