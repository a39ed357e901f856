/* Quantities: what a workshop writes, what it meant when it slips, the same in every locale. */
#include "support.h"

#include <locale.h>
#include <stdlib.h>

static double value_of(const char *text, tw_dimension dimension, tw_ruler ruler)
{
    tw_error err = {0};
    double value = NAN;

    if (tw_quantity_read(text, dimension, ruler, &value, &err) != TW_OK)
        fail_msg("\"%s\": %s", text, err.message);
    return value;
}

typedef struct good {
    const char *text;
    tw_dimension dimension;
    double value;
} good;

/* Conversions exact by definition: 1 in = 25.4 mm, 1 lb = 453.59237 g. */
static const good readings[] = {
    {"1.6 mm", TW_LENGTH, 1.6},
    {"1.6mm", TW_LENGTH, 1.6},
    {"  12\tcm ", TW_LENGTH, 120},
    {"0.3 m", TW_LENGTH, 300},
    {"0.064 in", TW_LENGTH, 0.064 * 25.4},
    {"1/16 in", TW_LENGTH, 1.5875},
    {"9 1/16 in", TW_LENGTH, 230.1875},
    {"9-1/16\"", TW_LENGTH, 230.1875},
    {"-9 1/16 in", TW_LENGTH, -230.1875},
    {"\xE2\x88\x92"
     "5 mm",
     TW_LENGTH, -5},
    {"9\xC2\xBD in", TW_LENGTH, 9.5 * 25.4},
    {"3\xE2\x80\xB3", TW_LENGTH, 76.2},
    {"1.6\xC2\xA0mm", TW_LENGTH, 1.6},
    {"5 ft 3 in", TW_LENGTH, 1600.2},
    {"40 thou", TW_LENGTH, 1.016},
    {".5 mm", TW_LENGTH, 0.5},
    {"5. mm", TW_LENGTH, 5},
    {"1e2 MM", TW_LENGTH, 100},
    {"842 g", TW_MASS, 842},
    {"2.31 kg", TW_MASS, 2310},
    {"3 lb 2 oz", TW_MASS, 3.125 * 453.59237},
    {"-3 lb 2 oz", TW_MASS, -3.125 * 453.59237},
    {"3 lb 2 1/2 oz", TW_MASS, (3 + 2.5 / 16) * 453.59237},
    {"30 deg", TW_ANGLE, 0.52359877559829887},
    {"30\xC2\xB0", TW_ANGLE, 0.52359877559829887},
    {"7850 kg/m3", TW_DENSITY, 7.85e-3},
    {"7850 kg/m\xC2\xB3", TW_DENSITY, 7.85e-3},
    {"7.85 g / cm^3", TW_DENSITY, 7.85e-3},
    {"5.2 dm\xC2\xB2", TW_AREA, 52000},
    {"2 sq in", TW_AREA, 2 * 645.16},
    {"80 g/m2", TW_MASS_PER_AREA, 8e-5},
    {"2.5 lb/ft2", TW_MASS_PER_AREA, 2.5 * 453.59237 / 92903.04},
    {"2 %", TW_SHARE, 0.02},
    {"2 per cent", TW_SHARE, 0.02},
    {"0.02", TW_SHARE, 0.02},
    {"1 mm in 60 mm", TW_GRADE, 1.0 / 60},
    {"1 in 60", TW_GRADE, 1.0 / 60},
    {"1 in in 60 in", TW_GRADE, 1.0 / 60},
    {"1/64 in in 1 in", TW_GRADE, 1.0 / 64},
    {"1 1/2 in in 60 in", TW_GRADE, 1.5 / 60},
    {"0.6 mm per 100 mm", TW_GRADE, 0.006},
    {"6 mm per m", TW_GRADE, 0.006},
    {"1:60", TW_GRADE, 1.0 / 60},
    {"2 %", TW_GRADE, 0.02},
    {"5900 m/s", TW_VELOCITY, 5.9},
    {"5.9 km/s", TW_VELOCITY, 5.9},
    {"5.9 mm/us", TW_VELOCITY, 5.9},
    {"5.9 mm/\xC2\xB5s", TW_VELOCITY, 5.9},
    {"0.2323 in / us", TW_VELOCITY, 0.2323 * 25.4},
};

static void check_readings(void)
{
    for (size_t k = 0; k < sizeof readings / sizeof *readings; k++) {
        const double got = value_of(readings[k].text, readings[k].dimension, TW_RULER_NONE);
        if (!(fabs(got - readings[k].value) <= 1e-15 * fabs(readings[k].value)))
            fail_msg("\"%s\" is %.17g, wanted %.17g", readings[k].text, got, readings[k].value);
    }
}

static void what_a_workshop_writes_is_read(void **state)
{
    (void)state;
    check_readings();
}

static void the_ruler_gives_bare_lengths_their_unit(void **state)
{
    double value = 77;

    (void)state;
    assert_close(value_of("9 1/16", TW_LENGTH, TW_RULER_IN), 230.1875, 0);
    assert_close(value_of("212", TW_LENGTH, TW_RULER_MM), 212, 0);
    assert_close(value_of("21.2", TW_LENGTH, TW_RULER_CM), 212, 1e-13);
    assert_close(value_of("1 in", TW_LENGTH, TW_RULER_MM), 25.4, 0); /* its own unit wins */
    assert_int_equal(tw_quantity_read("5", TW_MASS, TW_RULER_MM, &value, NULL), TW_ERR_UNIT);
    assert_true(value == 77);
}

typedef struct bad {
    const char *text;
    tw_dimension dimension;
    tw_status status;
    const char *message, *advice; /* parts that must stand in them */
} bad;

static const bad slips[] = {
    {"1.6", TW_LENGTH, TW_ERR_UNIT, "lacks its unit", "write 1.6 mm"},
    {"1.6", TW_LENGTH, TW_ERR_UNIT, "lacks its unit", "ruler: mm"},
    {"5", TW_MASS, TW_ERR_UNIT, "a mass lacks its unit", "5 g (or kg, lb, oz)"},
    {"1,6 mm", TW_LENGTH, TW_ERR_SYNTAX, "comma", "write 1.6 mm"},
    {"1,600 g", TW_MASS, TW_ERR_SYNTAX, "comma", "1.600 g, or 1600 g if thousands"},
    {"0,125 in", TW_LENGTH, TW_ERR_SYNTAX, "comma", "write 0.125 in"},
    {"1,5 mm in 60 mm", TW_GRADE, TW_ERR_SYNTAX, "comma", "write 1.5 mm in 60 mm"},
    {"nan mm", TW_LENGTH, TW_ERR_DOMAIN, "finite", "12 mm"},
    {"NaN", TW_LENGTH, TW_ERR_DOMAIN, "finite", ""},
    {"inf kg", TW_MASS, TW_ERR_DOMAIN, "finite", ""},
    {"-infinity mm", TW_LENGTH, TW_ERR_DOMAIN, "finite", ""},
    {"1e400 mm", TW_LENGTH, TW_ERR_DOMAIN, "finite", ""},
    {"1e308 m", TW_LENGTH, TW_ERR_DOMAIN, "finite", ""},
    {"1e999999999999999999 mm", TW_LENGTH, TW_ERR_DOMAIN, "finite", ""},
    {"2 kg", TW_LENGTH, TW_ERR_UNIT, "a mass (kg) stands where a length", "12 mm"},
    {"2 mm", TW_ANGLE, TW_ERR_UNIT, "a length (mm) stands where an angle", "30 deg"},
    {"16 swg", TW_LENGTH, TW_ERR_UNIT, "gauge", "12 mm"},
    {"12 mn", TW_LENGTH, TW_ERR_UNIT, "\"mn\" is no unit", "did you mean mm"},
    {"5 Mg", TW_MASS, TW_ERR_UNIT, "\"Mg\" is no unit", ""},
    {"12 furlongs", TW_LENGTH, TW_ERR_UNIT, "\"furlongs\"", "12 mm"},
    {"1 mm 2 mm", TW_LENGTH, TW_ERR_SYNTAX, "two quantities", "one"},
    {"1.6 2 mm", TW_LENGTH, TW_ERR_SYNTAX, "two numbers", ""},
    {"1.6.2 mm", TW_LENGTH, TW_ERR_SYNTAX, "two numbers", ""},
    {"1.6 mm thick", TW_LENGTH, TW_ERR_SYNTAX, "\"thick\" follows", "12 mm"},
    {"1/0 in", TW_LENGTH, TW_ERR_SYNTAX, "fraction", "9 1/16 in"},
    {"9 17/16 in", TW_LENGTH, TW_ERR_SYNTAX, "fraction", ""},
    {"5\xC2\xB2 mm", TW_LENGTH, TW_ERR_UNIT, "no unit", ""},
    {"3 lb 2", TW_MASS, TW_ERR_UNIT, "followed by oz", "3 lb 2 oz"},
    {"3 lb 2 kg", TW_MASS, TW_ERR_UNIT, "followed by oz", "3 lb 2 oz"},
    {"3 lb -2 oz", TW_MASS, TW_ERR_SYNTAX, "two quantities", ""},
    {"", TW_LENGTH, TW_ERR_SYNTAX, "nothing", "12 mm"},
    {"   ", TW_MASS, TW_ERR_SYNTAX, "nothing", "2.4 kg"},
    {"thin", TW_LENGTH, TW_ERR_SYNTAX, "no number", "12 mm"},
    {"1 in 60 mm", TW_GRADE, TW_ERR_UNIT, "one side", "1 mm in 60 mm"},
    {"1 in 60 in", TW_GRADE, TW_ERR_UNIT, "one side", "1 in in 60 in"},
    {"1 mm in 0 mm", TW_GRADE, TW_ERR_DOMAIN, "above 0", "1 mm in 60 mm"},
    {"0.02", TW_GRADE, TW_ERR_UNIT, "lacks its unit", "0.02 %"},
    {"5900", TW_VELOCITY, TW_ERR_UNIT, "a velocity lacks its unit", "5900 m/s (or km/s"},
    {"5900 m", TW_VELOCITY, TW_ERR_UNIT, "a length (m) stands where a velocity", "5900 m/s"},
    {"5900 ms", TW_VELOCITY, TW_ERR_UNIT, "\"ms\" is no unit of a velocity", "m/s"},
};

static void check_slips(void)
{
    for (size_t k = 0; k < sizeof slips / sizeof *slips; k++) {
        const bad *slip = &slips[k];
        tw_error err = {0};
        double value = 77;
        const tw_status status =
            tw_quantity_read(slip->text, slip->dimension, TW_RULER_NONE, &value, &err);
        if (status != slip->status || err.status != status || value != 77 ||
            !strstr(err.message, slip->message) || !strstr(err.advice, slip->advice) ||
            strcmp(err.value, slip->text) != 0)
            fail_msg("\"%s\": %d \"%s\" -> \"%s\"", slip->text, status, err.message, err.advice);
        assert_int_equal(tw_quantity_read(slip->text, slip->dimension, TW_RULER_NONE, &value, NULL),
                         slip->status);
    }
}

static void a_slip_is_told_with_its_cure(void **state)
{
    (void)state;
    check_slips();
}

/* Property: 17 digits come back with the same bits; 40 decimals as strtod() reads them in "C". */
static void numbers_are_read_to_the_nearest_double(void **state)
{
    test_random random = test_random_begin("numbers_are_read_to_the_nearest_double");

    (void)state;
    for (int k = 0; k < 20000; k++) {
        const double wanted =
            test_uniform(&random, -1, 1) * pow(10, floor(test_uniform(&random, -30, 30)));
        char text[128];
        tw_format(text, sizeof text, "%.17g mm", wanted);
        assert_true(value_of(text, TW_LENGTH, TW_RULER_NONE) == wanted);
        tw_format(text, sizeof text, "%.40f mm", wanted);
        assert_true(value_of(text, TW_LENGTH, TW_RULER_NONE) == strtod(text, NULL));
    }
}

/* Any bytes give a status or a finite value. */
static void any_bytes_are_answered(void **state)
{
    static const char letters[] = "0123456789./-+eE ,\"inmkgloz%:x\xC2\xB0\xBD\xE2\x80\xB3";
    test_random random = test_random_begin("any_bytes_are_answered");

    (void)state;
    for (int k = 0; k < 50000; k++) {
        char text[200];
        const size_t size = (size_t)test_uniform(&random, 0, k % 50 == 0 ? 199 : 16);
        tw_error err = {0};
        double value = NAN;
        const tw_dimension dimension = (tw_dimension)test_uniform(&random, 0, 9);
        for (size_t i = 0; i < size; i++)
            text[i] = letters[(size_t)test_uniform(&random, 0, sizeof letters - 1)];
        text[size] = '\0';
        if (tw_quantity_read(text, dimension, TW_RULER_MM, &value, &err) == TW_OK)
            assert_true(isfinite(value));
        else
            assert_true(err.message[0] != '\0');
    }
}

static bool use_comma_locale(const char *name)
{
    return setlocale(LC_ALL, name) && strcmp(localeconv()->decimal_point, ",") == 0;
}

/* Puts a locale with a decimal comma in force: an installed one, else one made for this run. */
static bool begin_comma_locale(void)
{
    static const char *const names[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "sv_SE.UTF-8", "it_IT.UTF-8"};
    char folder[] = "/tmp/tw_locale_XXXXXX", command[128];
    bool made;

    for (size_t k = 0; k < sizeof names / sizeof *names; k++)
        if (use_comma_locale(names[k]))
            return true;
    if (!mkdtemp(folder))
        return false;
    snprintf(command, sizeof command, "localedef -i de_DE -f UTF-8 %s/comma >%s/log 2>&1", folder,
             folder);
    made = system(command) == 0 && setenv("LOCPATH", folder, 1) == 0 && use_comma_locale("comma");
    snprintf(command, sizeof command, "rm -r %s", folder); /* loaded by now */
    return system(command) == 0 && made;
}

static void every_locale_reads_and_writes_the_same(void **state)
{
    char out[64], plain[64];
    tw_error err;

    (void)state;
    if (!begin_comma_locale()) {
        print_message("no locale with a decimal comma is installed: skipped\n");
        skip();
    }
    snprintf(plain, sizeof plain, "%.1f", 1.5);
    assert_string_equal(plain, "1,5"); /* the locale is really in force */
    check_readings();
    check_slips();
    assert_string_equal(tw_write_thickness(1.6256, TW_METRIC, -1, out, sizeof out), "1.63 mm");
    assert_string_equal(tw_write_mass(2310, TW_METRIC, -1, out, sizeof out), "2.31 kg");
    tw_fail(&err, TW_ERR_DOMAIN, "%g", 1.5);
    assert_string_equal(err.message, "1.5");
    snprintf(plain, sizeof plain, "%.1f", 1.5);
    assert_string_equal(plain, "1,5"); /* and still is: ours was put back */
    setlocale(LC_ALL, "C");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_a_workshop_writes_is_read),
        cmocka_unit_test(the_ruler_gives_bare_lengths_their_unit),
        cmocka_unit_test(a_slip_is_told_with_its_cure),
        cmocka_unit_test(numbers_are_read_to_the_nearest_double),
        cmocka_unit_test(any_bytes_are_answered),
        cmocka_unit_test(every_locale_reads_and_writes_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
