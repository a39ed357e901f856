/* read.h: reading a profile from a string in the tests of the profile room. */
#ifndef READ_H
#define READ_H

#include "support.h"

#include "taperwright/profile.h"

/* What every small profile of a test begins with: three lines, and lines 4 and 5 of a flat form. */
#define HEAD    "plate: t\nmaterial: mild steel\nruler: mm\n"
#define FLAT    HEAD "form: flat\noutline: {ellipse: {at: [0, 0], across: 80 mm, up: 90 mm}}\n"
#define FORGED  FLAT "thickness:\n  forged:\n"
#define STRIKES FORGED "    strike:\n"

static inline tw_profile *read_ok(const char *text, const tw_setting *settings, size_t count)
{
    tw_profile *profile = NULL;
    tw_notes errors;

    if (tw_profile_read_memory("t.yaml", text, strlen(text), settings, count, &profile, &errors) !=
        TW_OK) {
        print_error("%s:%d:%d: %s; %s\n", errors.items[0].file, errors.items[0].line,
                    errors.items[0].column, errors.items[0].message, errors.items[0].advice);
        fail();
    }
    assert_int_equal(errors.count, 0);
    return profile;
}

/* Reads what must fail; out stays as it was. */
static inline tw_status read_bad(const char *text, size_t size, const tw_setting *settings,
                                 size_t count, tw_notes *errors)
{
    tw_profile *const untouched = (tw_profile *)(void *)errors;
    tw_profile *profile = untouched;
    const tw_status status =
        tw_profile_read_memory("t.yaml", text, size, settings, count, &profile, errors);

    assert_ptr_equal(profile, untouched);
    assert_true(status != TW_OK && errors->count > 0);
    assert_int_equal(status, errors->items[0].status);
    return status;
}

#endif
