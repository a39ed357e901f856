/* show_fittings.c: the table of unit masses of what hangs on plates, as harness files name it. */
#include "cli_harness.h"
#include "cli_internal.h"

#include <string.h>

#define NORMAL_95 1.959963984540054 /* standard uncertainty to ± at 95 % */

/* What one row's mass is of, and how much of the table's unit [piece, mm, mm²] that is. */
typedef struct unit {
    const char *words, *code;
    double times;
} unit;

static unit unit_of(tw_fitting_per per, bool inch)
{
    switch (per) {
    case TW_PER_LENGTH:
        return inch ? (unit){"per foot", "foot", 304.8} : (unit){"per metre", "metre", 1000};
    case TW_PER_AREA:
        return inch ? (unit){"per sq ft", "square foot", 304.8 * 304.8}
                    : (unit){"per dm²", "square decimetre", 1e4};
    default:
        return (unit){"each", "piece", 1};
    }
}

static const char *class_word(tw_fitting_class what)
{
    switch (what) {
    case TW_FITTING_STRAP:
        return "strap";
    case TW_FITTING_LINING:
        return "lining";
    default:
        return "metal";
    }
}

void tw_fittings_show(tw_output *out, tw_units units)
{
    size_t count;
    const tw_fitting *rows = tw_fittings(&count);
    const double one = units == TW_INCH ? 453.59237 / 16 : 1; /* g of the unit printed */
    const int decimals = units == TW_INCH ? 3 : 1;

    tw_output_print(out, NULL,
                    "fittings that a harness file may name, ± at 95 %%: each by count, per %s "
                    "by length, per %s by area;\nyour own go under fittings: there\n\n",
                    units == TW_INCH ? "foot" : "metre", units == TW_INCH ? "sq ft" : "dm²");
    for (size_t k = 0; k < count; k++) {
        const unit per = unit_of(rows[k].per, units == TW_INCH);
        tw_output_print(out, NULL, "  %-20s %7.*f ± %.*f %s %s, %s\n      %s\n", rows[k].name,
                        decimals, rows[k].mass * per.times / one, decimals,
                        NORMAL_95 * rows[k].uncertainty * per.times / one,
                        units == TW_INCH ? "oz" : "g", per.words, class_word(rows[k].what),
                        rows[k].source);
    }
}

json_t *tw_fittings_json(void)
{
    size_t count;
    const tw_fitting *rows = tw_fittings(&count);
    json_t *list = json_array();

    for (size_t k = 0; list && k < count; k++) {
        const unit per = unit_of(rows[k].per, false);
        json_t *item =
            json_pack("{s:o,s:o,s:o,s:o,s:o,s:o}", "fitting", tw_json_text(rows[k].name), "what",
                      tw_json_text(class_word(rows[k].what)), "per", tw_json_text(per.code),
                      "mass_g", tw_json_number(rows[k].mass * per.times), "u_g",
                      tw_json_number(rows[k].uncertainty * per.times), "source",
                      tw_json_text(rows[k].source));
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return json_pack("{s:i,s:s,s:o}", "format", 1, "version", TW_VERSION, "fittings", list);
}
