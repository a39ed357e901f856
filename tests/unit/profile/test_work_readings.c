/* Readings of work in progress: points that wait are counted and left out, a card's columns are for
 * people, instruments are the profile's or a common caliper. */
#include "read.h"

#include <stdlib.h>
#include <unistd.h>

#define PLATE                                                                          \
    HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 100 mm, up: 50 mm}}\n" \
         "thickness:\n  sheet: 2 mm\n"

static tw_profile *profile_of(const char *text)
{
    tw_profile *profile = NULL;
    tw_notes errors;

    if (tw_profile_read_memory("t.yaml", text, strlen(text), NULL, 0, &profile, &errors) != TW_OK)
        fail_msg("%s", errors.items[0].message);
    return profile;
}

static tw_status read_table(const tw_profile *profile, const char *text, tw_work_readings *out,
                            tw_notes *errors)
{
    char path[] = "/tmp/tw_work_XXXXXX";
    const int file = mkstemp(path);
    tw_status status;

    assert_true(file >= 0);
    assert_int_equal(write(file, text, strlen(text)), (long)strlen(text));
    close(file);
    status = tw_work_readings_read(profile, path, out, errors);
    if (status != TW_OK && errors->count > 0)
        assert_string_equal(errors->items[0].file, path);
    unlink(path);
    return status;
}

static void points_that_wait_are_left_out(void **state)
{
    tw_profile *profile = profile_of(PLATE);
    tw_work_readings made;
    tw_notes errors;

    (void)state;
    assert_int_equal(read_table(profile,
                                "across [mm],up [mm],rough wanted [mm],thickness [mm],zone\n"
                                "0,0,2.1,1.8,heart\n10,0,2.1,,\n20,0,2.1,1.75,\n30,zero,2,,\n",
                                &made, &errors),
                     TW_OK);
    assert_int_equal(made.spec.reading_count, 2);
    assert_int_equal(made.unread, 2);
    assert_true(made.assumed);
    assert_string_equal(made.spec.readings[0].name, "1");
    assert_string_equal(made.spec.readings[1].name, "3"); /* as the rows are counted */
    assert_true(made.spec.readings[1].thickness == 1.75);
    assert_true(made.spec.instruments[0].resolution == 0.05);
    assert_true(isnan(made.spec.surface));
    tw_work_readings_release(&made);
    tw_work_readings_release(NULL);
    tw_profile_free(profile);
}

static void instruments_are_the_profiles(void **state)
{
    tw_profile *profile =
        profile_of(PLATE "  readings:\n    surface: 0.05 mm\n"
                         "    instruments: [{name: dial, kind: caliper, resolution: 0.1 mm}]\n"
                         "    points: [{at: [0, 0], thickness: 2 mm}]\n");
    tw_work_readings made;
    tw_notes errors;

    (void)state;
    assert_int_equal(read_table(profile,
                                "name,across [mm],up [mm],thickness [mm],instrument\n"
                                "a,0,0,1.8,dial\nb,10,0,1.9,\n",
                                &made, &errors),
                     TW_OK);
    assert_false(made.assumed);
    assert_string_equal(made.spec.instruments[made.spec.readings[0].instrument].name, "dial");
    assert_true(made.spec.surface == 0.05);
    tw_work_readings_release(&made);
    assert_int_equal(read_table(profile,
                                "name,across [mm],up [mm],thickness [mm],instrument\n"
                                "a,0,0,1.8,dail\n",
                                &made, &errors),
                     TW_ERR_KEY);
    assert_int_equal(errors.items[0].line, 2);
    tw_profile_free(profile);
}

static void faults_are_told_all_at_once(void **state)
{
    tw_profile *profile = profile_of(PLATE);
    tw_work_readings made;
    tw_notes errors;

    (void)state;
    assert_int_not_equal(
        read_table(profile, "across [mm],up [mm],thickness [mm]\n0,0,thick\n1,zero,1\n2,2,-1\n",
                   &made, &errors),
        TW_OK);
    assert_int_equal(errors.count, 3);
    for (int k = 0; k < 3; k++)
        assert_int_equal(errors.items[k].line, k + 2);
    assert_int_equal(
        read_table(profile, "across [mm],up [mm],thickness [mm]\n0,0,\n", &made, &errors),
        TW_ERR_INPUT);
    assert_int_equal(read_table(profile, "across [mm],up [mm],colour,thickness [mm]\n0,0,red,1\n",
                                &made, &errors),
                     TW_ERR_KEY);
    assert_int_equal(tw_work_readings_read(profile, "/tmp/none-such.csv", &made, &errors),
                     TW_ERR_INPUT);
    tw_profile_free(profile);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(points_that_wait_are_left_out),
        cmocka_unit_test(instruments_are_the_profiles),
        cmocka_unit_test(faults_are_told_all_at_once),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
