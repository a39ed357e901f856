/* Fingerprints of goals: every number of every kind of form, outline, taper and plan makes another one; the names
 * that they go by do not. */
#include "plates.h"

/* Of the text's profile as it stands, without a plate built of it. */
static void fingerprint_of(const char *text, char out[17])
{
    tw_profile *profile = NULL;
    tw_notes notes = {0};
    tw_plate plate = {0};
    tw_goal goal = {.plate = &plate, .planned = true};

    if (tw_profile_read_memory("t.yaml", text, strlen(text), NULL, 0, &profile, &notes) != TW_OK)
        fail_msg("%d: %s\n%s", notes.items[0].line, notes.items[0].message, text);
    plate.profile = profile;
    tw_goal_fingerprint(&goal, out);
    tw_profile_free(profile);
}

/* A text with `from` replaced by `to`. */
static void fingerprint_with(const char *text, const char *from, const char *to, char out[17])
{
    char changed[2000];
    const char *at = strstr(text, from);

    assert_non_null(at);
    snprintf(changed, sizeof changed, "%.*s%s%s", (int)(at - text), text, to, at + strlen(from));
    fingerprint_of(changed, out);
}

typedef struct change {
    const char *from, *to;
} change;

static void assert_numbers_count(const char *text, const change *changes, size_t count)
{
    char own[17], other[17];

    fingerprint_of(text, own);
    for (size_t k = 0; k < count; k++) {
        fingerprint_with(text, changes[k].from, changes[k].to, other);
        if (strcmp(other, own) == 0)
            fail_msg("%s and %s have one fingerprint", changes[k].from, changes[k].to);
    }
}

static void assert_words_do_not(const char *text, const change *changes, size_t count)
{
    char own[17], other[17];

    fingerprint_of(text, own);
    for (size_t k = 0; k < count; k++) {
        fingerprint_with(text, changes[k].from, changes[k].to, other);
        assert_string_equal(other, own);
    }
}

#define COUNT(list) (sizeof(list) / sizeof *(list))
#define EDGES       "thickness: {forged: {edges: [{edge: all, thickness: 1.2 mm}]}}\n"

static void a_bowl(void **state)
{
    static const char text[] =
        HEAD "form: {bowl: {across: 90 mm, up: 110 mm, depth: 40 mm}}\n" EDGES;
    static const change changes[] = {{"90 mm", "91 mm"},   {"110 mm", "111 mm"},
                                     {"40 mm", "41 mm"},   {"40 mm}", "40 mm, profile: cone}"},
                                     {"1.2 mm", "1.3 mm"}, {"mild steel", "titanium"}};

    (void)state;
    assert_numbers_count(text, changes, COUNT(changes));
}

static void a_loft(void **state)
{
    static const char text[] =
        HEAD "form:\n  loft:\n    - {ruler: 0, width: 200, centre: 50, sides: 0}\n"
             "    - {ruler: 90, width: 220, centre: 60, sides: 0, tape: 262}\n"
             "    - {ruler: 180, sides: 4, heights: [[0, 60], [60, 40], [100, 4]]}\n"
             "  keel: {stands: 4 mm, width: 40 mm}\n" EDGES;
    static const change changes[] = {{"width: 200", "width: 201"},
                                     {"[60, 40]", "[60, 41]"},
                                     {"[60, 40]", "[60, 40], [80, 20]"},
                                     {"tape: 262", "tape: 263"},
                                     {"stands: 4", "stands: 5"},
                                     {"width: 40 mm", "width: 41 mm"},
                                     {"sides: 4", "sides: 5"}};

    (void)state;
    assert_numbers_count(text, changes, COUNT(changes));
}

static void points_of_a_scan(void **state)
{
    static const char text[] =
        HEAD "form:\n  points:\n    origin: [0, 0, 10]\n    table: |\n"
             "      x [mm], y [mm], z [mm]\n      -20, 0, 4\n      0, 0, 10\n      20, 0, 4\n"
             "      -20, 20, 4\n      0, 20, 10\n      20, 20, 4\n      -20, 40, 5\n"
             "      0, 40, 11\n      20, 40, 5\n" EDGES;
    static const change changes[] = {{"0, 20, 10", "0, 20, 11"},
                                     {"0, 20, 10", "0, 20, 10\n      10, 20, 8"},
                                     {"origin: [0, 0, 10]", "origin: [0, 20, 10]"}};

    (void)state;
    assert_numbers_count(text, changes, COUNT(changes));
}

static void an_outline_of_edges(void **state)
{
    static const char text[] =
        HEAD "form: flat\noutline:\n  - {edge: lower, points: [[0, 0], [90, 0]], corner: 5 mm}\n"
             "  - {edge: rim, points: [[90, 0], [80, 120], [0, 130]], smooth: yes}\n"
             "  - {edge: side, points: [[0, 130], [0, 0]]}\n"
             "holes: [{at: {edge: rim, along: 40 mm, in: 20 mm}, radius: 3 mm}]\n"
             "thickness: {forged: {edges: [{edge: rim, thickness: 1.2 mm}]}}\n";
    static const change changes[] = {{"[90, 0], [80, 120]", "[90, 0], [81, 120]"},
                                     {"corner: 5", "corner: 6"},
                                     {"smooth: yes", "smooth: no"},
                                     {"edge: rim, thickness", "edge: side, thickness"},
                                     {"edge: rim, along", "edge: side, along"},
                                     {"along: 40", "along: 41"},
                                     {"radius: 3", "radius: 4"}};
    static const change words[] = {{"plate: t", "plate: u"}, {"ruler: mm", "note: x\nruler: mm"}};

    (void)state;
    assert_numbers_count(text, changes, COUNT(changes));
    assert_words_do_not(text, words, COUNT(words));
}

static void zones_and_laws(void **state)
{
    static const char text[] = HEAD
        "form: flat\noutline: {rectangle: {at: [0, 0], across: 120 mm, up: 90 mm}}\n"
        "thickness:\n  forged:\n    law: held\n    band: 30 mm\n    strike:\n"
        "      - {name: one, points: [[0, 0], [30, 0], [0, 30]], thickness: 2 mm, hold: 4 mm}\n"
        "      - {name: two, line: [[-50, 0], [-50, 40]], width: 8 mm, thickness: 2 mm}\n"
        "    edges: [{edge: lower, thickness: 1.2 mm, hold: 5 mm}]\n";
    static const change changes[] = {
        {"band: 30", "band: 31"}, {"law: held\n    band: 30 mm\n", "law: eased\n"},
        {"[30, 0]", "[31, 0]"},   {"[0, 30]]", "[0, 30], [-5, 10]]"},
        {"width: 8", "width: 9"}, {"hold: 4", "hold: 3"},
        {"hold: 5", "hold: 6"},   {"edge: lower", "edge: upper"}};
    static const change words[] = {{"name: one", "name: other"}};

    (void)state;
    assert_numbers_count(text, changes, COUNT(changes));
    assert_words_do_not(text, words, COUNT(words));
}

/* Zones and edges that a plan names count by their place in the list, so that a new name changes nothing. */
static void plans(void **state)
{
    static const char text[] =
        RECTANGLE "plan: {least: 1 mm, grade: 1 mm in 60 mm, weight: 400 g, by: strike.one,\n"
                  "  zones: [{zone: two, least: 1.8 mm}], edges: [{edge: upper, least: 1.1 mm}]}\n";
    static const change changes[] = {{"by: strike.one", "by: strike.two"},
                                     {"by: strike.one", "by: strike.all"},
                                     {"by: strike.one", "by: edges.lower"},
                                     {"by: strike.one", "by: edges.all"},
                                     {"weight: 400 g, by: strike.one", "weight: 400 g"},
                                     {"zone: two", "zone: one"},
                                     {"least: 1.8", "least: 1.7"},
                                     {"edge: upper, least", "edge: left, least"},
                                     {"grade: 1 mm in 60 mm", "grade: 1 mm in 61 mm"},
                                     {"weight: 400", "weight: 401"}};

    (void)state;
    assert_numbers_count(text, changes, COUNT(changes));
    {
        char own[17], other[17], renamed[2000];
        const char *at = strstr(text, "name: two");
        fingerprint_of(text, own);
        assert_non_null(at);
        snprintf(renamed, sizeof renamed, "%.*sname: heart%s", (int)(at - text), text,
                 at + strlen("name: two"));
        fingerprint_with(renamed, "zone: two", "zone: heart", other);
        assert_string_equal(other, own);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bowl),           cmocka_unit_test(a_loft),
        cmocka_unit_test(points_of_a_scan), cmocka_unit_test(an_outline_of_edges),
        cmocka_unit_test(zones_and_laws),   cmocka_unit_test(plans),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
