/* What a plan keeps, losses on the way, weights at each stage: read right, and refused at their place. */
#include "read.h"

#include <stdlib.h>

#define RECTANGLE HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 80 mm, up: 90 mm}}\n"
#define ZONES                                                                                  \
    "thickness: {forged: {strike: [{name: heart, at: [0, 0], radius: 9 mm, thickness: 2 mm}, " \
    "{name: side, at: [40, 0], radius: 9 mm, thickness: 2 mm}], "                              \
    "edges: [{edge: all, thickness: 1 mm}]}}\n" /* line 6 */

static void reads_everything(void **state)
{
    tw_profile *p =
        read_ok(RECTANGLE ZONES "plan:\n  edges: [{edge: all, least: 18 swg}, {edge: upper, least: "
                                "1/16 in}]\n  zones: [{zone: heart, least: 2.4 mm}]\n"
                                "  grade: 1 mm in 60 mm\n"
                                "worked: raised\n"
                                "losses: {heats: 6, scale: 0.02 mm, polish: {value: 0.1 mm, "
                                "uncertainty: 0.03 mm}, trim: 8 mm}\n"
                                "weighed: {blank: 2.31 kg, rough: 2.1 kg, finished: 1.9 kg}\n",
                NULL, 0);

    (void)state;
    assert_true(p->has_plan);
    assert_int_equal(p->plan.keep_count, 3); /* zones first, however they are written */
    assert_string_equal(p->plan.keeps[0].strike, "heart");
    assert_null(p->plan.keeps[0].edge);
    assert_close(p->plan.keeps[0].least, 2.4, 1e-15);
    assert_int_equal(p->plan.keeps[0].place.line, 9);
    assert_string_equal(p->plan.keeps[1].edge, "all");
    assert_close(p->plan.keeps[1].least, 0.048 * 25.4, 1e-12); /* 18 swg: 0.048 in */
    assert_string_equal(p->plan.keeps[2].edge, "upper");
    assert_null(p->plan.keeps[2].strike);
    assert_close(p->plan.keeps[2].least, 25.4 / 16, 1e-12);
    assert_true(isnan(p->plan.least) && isnan(p->plan.weight));
    assert_int_equal(p->worked, TW_WORKED_RAISED);
    assert_int_equal(p->losses.heats, 6);
    assert_close(p->losses.scale.value, 0.02, 1e-15);
    /* half of it, rectangular (JCGM 100:2008, 4.3.7): 0.01 mm/√3 = 0.005774 mm */
    assert_close(p->losses.scale.uncertainty, 0.005774, 5e-7);
    assert_close(p->losses.polish.value, 0.1, 1e-15);
    assert_close(p->losses.polish.uncertainty, 0.03, 1e-15);
    assert_close(p->losses.trim.value, 8, 0);
    assert_close(p->weighed.blank, 2310, 1e-9);
    assert_close(p->weighed.rough, 2100, 1e-9);
    assert_close(p->weighed.finished, 1900, 1e-9);
    tw_profile_free(p);
}

static void nothing_said_is_nothing_lost(void **state)
{
    tw_profile *p = read_ok(FLAT, NULL, 0);

    (void)state;
    assert_int_equal(p->worked, TW_WORKED_FLAT);
    assert_true(p->losses.heats == 0 && p->losses.scale.value == 0 && p->losses.polish.value == 0);
    assert_true(p->losses.scale.uncertainty == 0 && p->losses.trim.value == 0);
    assert_true(p->weighed.blank == 0 && p->weighed.rough == 0 && p->weighed.finished == 0);
    assert_true(!p->has_plan && p->plan.keep_count == 0);
    tw_profile_free(p);
    p = read_ok(FLAT "losses: {heats: 0}\nweighed: {blank: 2 kg, finished: 2 kg}\n", NULL, 0);
    assert_true(p->weighed.blank == p->weighed.finished); /* nothing lost, as weighed */
    tw_profile_free(p);
}

static void settings_reach_them(void **state)
{
    static const tw_setting settings[] = {{"losses.polish", "{value: 0.2 mm, uncertainty: 0 mm}"},
                                          {"plan.zones.heart.least", "2.6 mm"},
                                          {"plan.edges.upper.least", "1.4 mm"},
                                          {"weighed.rough", "2 kg"},
                                          {"worked", "flat"}};
    tw_profile *p = read_ok(RECTANGLE ZONES
                            "plan: {within: 90 mm, zones: [{zone: heart, least: 2.4 mm}], edges: "
                            "[{edge: upper, least: 1 mm}]}\n"
                            "worked: raised\nlosses: {polish: 0.1 mm}\nweighed: {blank: 2.31 kg}\n",
                            settings, 5);

    (void)state;
    assert_close(p->plan.keeps[0].least, 2.6, 1e-15);
    assert_close(p->plan.keeps[1].least, 1.4, 1e-15);
    assert_close(p->losses.polish.value, 0.2, 1e-15);
    assert_true(p->losses.polish.uncertainty == 0);
    assert_close(p->weighed.rough, 2000, 1e-9);
    assert_int_equal(p->worked, TW_WORKED_FLAT);
    tw_profile_free(p);
}

static const tw_plan_keep *find(const tw_profile *p, const char *zone, const char *edge)
{
    for (size_t k = 0; k < p->plan.keep_count; k++) {
        const tw_plan_keep *keep = &p->plan.keeps[k];
        if (zone && keep->strike && strcmp(keep->strike, zone) == 0)
            return keep;
        if (edge && keep->edge && strcmp(keep->edge, edge) == 0)
            return keep;
    }
    return NULL;
}

/* As forged edges: a name that became two stands for both, and so does the right side of a rectangle. */
static void a_name_means_both_sides(void **state)
{
    tw_profile *p =
        read_ok(RECTANGLE "symmetric: yes\n" ZONES
                          "plan: {grade: 1 in 60, zones: [{zone: side, least: 2.2 mm}, "
                          "{zone: heart, least: 2.4 mm}], edges: [{edge: right, least: 1.1 mm}]}\n",
                NULL, 0);

    (void)state;
    assert_int_equal(p->plan.keep_count, 5);
    assert_close(find(p, "side left", NULL)->least, 2.2, 1e-15);
    assert_close(find(p, "side right", NULL)->least, 2.2, 1e-15);
    assert_close(find(p, "heart", NULL)->least, 2.4, 1e-15);
    assert_close(find(p, NULL, "left")->least, 1.1, 1e-15);
    assert_close(find(p, NULL, "right")->least, 1.1, 1e-15);
    tw_profile_free(p);
    p = read_ok(RECTANGLE
                "symmetric: yes\n" ZONES
                "plan: {grade: 1 in 60, zones: [{zone: side left, least: 2.2 mm}], edges: "
                "[{edge: right, least: 1.1 mm}, {edge: left, least: 1.2 mm}]}\n",
                NULL, 0);
    assert_int_equal(p->plan.keep_count, 3);
    assert_null(find(p, "side right", NULL));
    assert_close(find(p, NULL, "left")->least, 1.2, 1e-15);
    tw_profile_free(p);
}

#define PLAN_OF(keys) RECTANGLE ZONES "plan: {grade: 1 in 60, " keys "}\n"

static void faults_stand_at_their_place(void **state)
{
    static const struct {
        const char *text;
        int line, column;
        tw_status status;
        const char *message, *advice; /* parts of them; NULL for any */
    } faults[] = {
        {PLAN_OF("zones: [{zone: hart, least: 2 mm}]"), 7, 39, TW_ERR_KEY,
         "no strike zone \"hart\"", "did you mean \"heart\"?"},
        {PLAN_OF("zones: [{zone: xxxxxxxx, least: 2 mm}]"), 7, 39, TW_ERR_KEY, "no strike zone",
         "the forged map has: heart, side"},
        {RECTANGLE "plan: {grade: 1 in 60, zones: [{zone: all, least: 2 mm}]}\n", 6, 39, TW_ERR_KEY,
         "no strike zone", "give the forged map"},
        {PLAN_OF("edges: [{edge: uper, least: 2 mm}]"), 7, 39, TW_ERR_KEY, "no edge \"uper\"",
         "upper"},
        {PLAN_OF("edges: [{edge: upper, least: 2}]"), 7, 53, TW_ERR_UNIT, "lacks its unit", NULL},
        {PLAN_OF("edges: [{edge: upper, least: 0 mm}]"), 7, 53, TW_ERR_DOMAIN, "above 0", NULL},
        {PLAN_OF("edges: [{edge: upper}]"), 7, 32, TW_ERR_KEY, "lacks \"least\"", NULL},
        {PLAN_OF("zones: [{least: 2 mm}]"), 7, 32, TW_ERR_KEY, "lacks \"zone\"", NULL},
        {PLAN_OF("zones: {zone: heart, least: 2 mm}"), 7, 31, TW_ERR_SYNTAX, "takes a list", NULL},
        {PLAN_OF("zones: [{zone: heart, least: 2 mm}, {zone: heart, least: 3 mm}]"), 7, 67,
         TW_ERR_KEY, "zone \"heart\" is there twice", NULL},
        {PLAN_OF("least: 1.2 mm, edges: [{edge: upper, least: 1.1 mm}]"), 7, 54, TW_ERR_DOMAIN,
         "edge \"upper\" keeps 1.10 mm, but the plan keeps 1.20 mm everywhere", "lower the plan's"},
        {FLAT "losses: {heats: 101, scale: 0.02 mm}\n", 6, 17, TW_ERR_DOMAIN, "out of range",
         "0 to 100"},
        {FLAT "losses: {heats: -1, scale: 0.02 mm}\n", 6, 17, TW_ERR_DOMAIN, "below zero", NULL},
        {FLAT "losses: {heats: six, scale: 0.02 mm}\n", 6, 17, TW_ERR_SYNTAX, "not a whole number",
         NULL},
        {FLAT "losses: {heats: 6}\n", 6, 10, TW_ERR_KEY, "no scale is given", "scale: 0.02 mm"},
        {FLAT "losses: {scale: 0.02 mm}\n", 6, 10, TW_ERR_KEY, "no heats are given", "heats: 6"},
        {FLAT "losses: {polish: 6 mm}\n", 6, 18, TW_ERR_DOMAIN, "out of range", "0 to 5 mm"},
        {FLAT "losses: {polish: 0.1}\n", 6, 18, TW_ERR_UNIT, "lacks its unit", "0.1 mm"},
        {FLAT "losses: {trim: -8 mm}\n", 6, 16, TW_ERR_DOMAIN, "below zero", NULL},
        {FLAT "losses: {polish: {uncertainty: 0.1 mm}}\n", 6, 18, TW_ERR_KEY, "lacks \"value\"",
         NULL},
        {FLAT "losses: {polish: {value: 0.1 mm, uncertainty: 0.11 mm}}\n", 6, 47, TW_ERR_DOMAIN,
         "larger than the polish itself", "standard uncertainty"},
        {FLAT "losses: {polsh: 0.1 mm}\n", 6, 10, TW_ERR_KEY, "unknown key \"polsh\"", "polish"},
        {FLAT "weighed: {blank: 2 kg, rough: 2.1 kg}\n", 6, 31, TW_ERR_DOMAIN,
         "rough plate, 2.1 kg, is heavier than the blank it was made from, 2 kg", NULL},
        {FLAT "weighed: {finished: 2.1 kg, blank: 2 kg}\n", 6, 21, TW_ERR_DOMAIN,
         "finished plate, 2.1 kg, is heavier than the blank", NULL},
        {FLAT "weighed: {blank: 3 kg, rough: 2 kg, finished: 2.5 kg}\n", 6, 47, TW_ERR_DOMAIN,
         "finished plate, 2.5 kg, is heavier than the rough plate", NULL},
        {FLAT "weighed: {blank: -3 kg}\n", 6, 18, TW_ERR_DOMAIN, "not above zero", NULL},
        {FLAT "worked: cold\n", 6, 9, TW_ERR_KEY, "\"cold\" is not how metal is worked", NULL},
    };
    bool failed = false;

    (void)state;
    for (size_t k = 0; k < sizeof faults / sizeof *faults; k++) {
        tw_notes errors;
        const tw_error *e = &errors.items[0];
        read_bad(faults[k].text, strlen(faults[k].text), NULL, 0, &errors);
        if (errors.count != 1 || e->line != faults[k].line || e->column != faults[k].column ||
            e->status != faults[k].status || !strstr(e->message, faults[k].message) ||
            (faults[k].advice && !strstr(e->advice, faults[k].advice))) {
            print_error("fault %zu, %zu errors: %d:%d %s [%s]\n", k, errors.count, e->line,
                        e->column, e->message, e->advice);
            failed = true;
        }
    }
    assert_false(failed);
}

/* A forged map that could not be read may well have the zone: only its own fault is told. */
static void a_forged_map_in_doubt_hides_no_zone(void **state)
{
    static const char text[] =
        FLAT "thickness: {forged: 3}\nplan: {grade: 1 in 60, zones: [{zone: a, least: 2 mm}]}\n";
    tw_notes errors;

    (void)state;
    read_bad(text, strlen(text), NULL, 0, &errors);
    assert_int_equal(errors.count, 1);
    assert_int_equal(errors.items[0].line, 6);
}

/* A hostile list is refused before its names are compared pair by pair. */
static void a_list_without_end_is_refused(void **state)
{
    enum { ITEMS = 20000, ROOM = ITEMS * 32 + 4096 };
    char *text = malloc(ROOM);
    size_t used;
    tw_notes errors;

    (void)state;
    assert_non_null(text);
    used = (size_t)snprintf(text, ROOM, RECTANGLE "plan:\n  grade: 1 in 60\n  edges:\n");
    for (int k = 0; k < ITEMS; k++)
        used += (size_t)snprintf(text + used, ROOM - used, "  - {edge: upper, least: 1 mm}\n");
    assert_int_equal(read_bad(text, used, NULL, 0, &errors), TW_ERR_LIMIT);
    assert_int_equal(errors.count, 1);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_everything),
        cmocka_unit_test(nothing_said_is_nothing_lost),
        cmocka_unit_test(settings_reach_them),
        cmocka_unit_test(a_name_means_both_sides),
        cmocka_unit_test(faults_stand_at_their_place),
        cmocka_unit_test(a_forged_map_in_doubt_hides_no_zone),
        cmocka_unit_test(a_list_without_end_is_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
