/*
 * fuzz_set.c: lines KEY=VALUE as `--set` takes them, onto a profile that has a little of everything.
 * Holds: refusals are fit to be shown and name a setting or a line of the profile; what is accepted is
 * weighed with finite numbers; settings leave the profile they are made to as it is for the next reader.
 */
#include "fuzz.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SETTINGS_MAX = 8 };
static const char PROFILE[] =
    "plate: cap\nkind: skull\nmaterial: mild steel\nworn: front\nruler: mm\n"
    "form: flat\n"
    "outline: {ellipse: {at: [0, 0], across: 90 mm, up: 110 mm}}\n"
    "thickness:\n  sheet: 16 swg\n  tolerance: {bound: 0.1 mm}\n  forged:\n"
    "    strike:\n"
    "      - {name: crown, at: [0, 20], radius: 40 mm, thickness: 2 mm}\n"
    "      - {at: [0, -60], across: 20 mm, up: 10 mm, thickness: 1.8 mm, hold: 4 mm}\n"
    "    edges: [{edge: rim, thickness: 1.2 mm, hold: 5 mm}]\n    law: straight\n"
    "  readings:\n    instruments: [{name: calliper, kind: caliper, resolution: 0.05 mm}]\n"
    "    points:\n"
    "      - {name: a, at: [0, 0], thickness: 1.9 mm}\n"
    "      - {name: b, at: [30, 40], thickness: 1.7 mm}\n"
    "holes: [{at: [50, 0], radius: 2 mm}]\n"
    "checks: [{from: [0, 0], to: [0, 50], tape: 50 mm}]\n"
    "scale: {reads: 700 g, step: 10 g}\n"
    "plan: {least: 1 mm, grade: 1 mm in 60 mm, weight: 600 g}\n"
    "losses: {heats: 3, scale: 0.02 mm, polish: 0.05 mm, trim: 5 mm}\n";

/* Take lines apart in place. */
static size_t settings_of(char *text, tw_setting *settings)
{
    size_t count = 0;

    for (char *line = text; line && count < SETTINGS_MAX;) {
        char *next = strchr(line, '\n');
        char *equals;
        if (next)
            *next++ = '\0';
        equals = strchr(line, '=');
        if (equals && equals != line) {
            *equals = '\0';
            settings[count++] = (tw_setting){line, equals + 1};
        }
        line = next;
    }
    return count;
}

static bool same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

/* Reading is a function of its input: a second time the same. */
static void check_again(const tw_profile *first, const tw_setting *settings, size_t count)
{
    tw_profile *second = NULL;

    fuzz_require(tw_profile_read_memory("cap.yaml", PROFILE, sizeof PROFILE - 1, settings, count,
                                        &second, NULL) == TW_OK,
                 "accepted once, accepted again");
    fuzz_require(same(first->sheet.thickness, second->sheet.thickness) &&
                     same(first->density, second->density) && same(first->scale, second->scale) &&
                     first->form == second->form && first->hole_count == second->hole_count &&
                     first->forged.strike_count == second->forged.strike_count,
                 "the same profile again");
    tw_profile_free(second);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    tw_setting settings[SETTINGS_MAX];
    char *text = malloc(size + 1);
    tw_profile *profile = NULL;
    tw_notes errors;
    tw_status status;
    size_t count;

    fuzz_require(text != NULL, "memory");
    memcpy(text, data, size);
    text[size] = '\0';
    count = settings_of(text, settings);
    status = tw_profile_read_memory("cap.yaml", PROFILE, sizeof PROFILE - 1, settings, count,
                                    &profile, &errors);
    if (status == TW_OK) {
        check_again(profile, settings, count);
        fuzz_weigh(profile, NULL);
        tw_profile_free(profile);
    } else {
        fuzz_require(count > 0, "the profile itself is right: %s", errors.items[0].message);
        fuzz_check_refusal(status, &errors, NULL);
        for (size_t k = 0; k < errors.count && k < TW_NOTES_MAX; k++)
            fuzz_require(strncmp(errors.items[k].file, "--set ", 6) == 0 ||
                             strcmp(errors.items[k].file, "cap.yaml") == 0,
                         "an error is about a setting or the profile, not \"%s\"",
                         errors.items[k].file);
    }
    free(text);
    return 0;
}
