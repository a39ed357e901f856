/* request.c: what a plan was asked for: which zones and edges `by` names, and whether grade, least
 * thickness and weight can be meant. */
#include "taperwright/plan.h"

#include "plan_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* ---- names ----------------------------------------------------------------------------------- */

bool tw_by_means(const char *by, const char *kind, const char *name)
{
    const size_t head = strlen(kind);
    const char *wanted = by + head + 1;
    size_t length;

    if (strncmp(by, kind, head) != 0 || by[head] != '.')
        return false;
    length = strlen(wanted);
    if (strcmp(wanted, "all") == 0 || strcmp(wanted, name) == 0)
        return true;
    return length > 0 && strncmp(wanted, name, length) == 0 &&
           (strcmp(name + length, " left") == 0 || strcmp(name + length, " right") == 0);
}

enum { NAMES_MAX = 64, NAME_SIZE = 80 };

tw_status tw_by_unknown(const tw_profile *profile, const char *by, tw_error *err)
{
    const tw_forged_spec *spec = &profile->forged;
    char text[NAMES_MAX][NAME_SIZE];
    const char *names[NAMES_MAX + 5] = {"strike.all", "edges.all", "hold", "band", "sheet"};
    const char *nearest;
    size_t count = 5, used = 0;

    for (size_t k = 0; profile->has_forged && k < spec->strike_count + spec->edge_count; k++) {
        if (used == NAMES_MAX)
            break;
        if (k < spec->strike_count)
            tw_format(text[used], NAME_SIZE, "strike.%s", spec->strikes[k].name);
        else
            tw_format(text[used], NAME_SIZE, "edges.%s", spec->edges[k - spec->strike_count].edge);
        names[count++] = text[used++];
    }
    tw_fail(err, TW_ERR_KEY, "the plate has nothing called \"%s\" to change", by);
    nearest = tw_nearest_word(by, names, count);
    if (nearest)
        tw_error_advise(err, by, "did you mean %s?", nearest);
    else
        tw_error_advise(err, by,
                        "name strike.NAME, strike.all, edges.NAME, edges.all, hold, band or sheet");
    return TW_ERR_KEY;
}

/* ---- numbers ----------------------------------------------------------------------------------- */

static tw_status check_above(double value, const char *what, const char *advice, tw_error *err)
{
    if (value > 0 && isfinite(value))
        return TW_OK;
    tw_fail(err, TW_ERR_DOMAIN, "%s of %g is not above zero", what, value);
    tw_error_advise(err, NULL, "%s", advice);
    return TW_ERR_DOMAIN;
}

static tw_status check_grade(double grade, tw_error *err)
{
    static const double least = 1e-4; /* less is even metal, on any plate that is worn */
    const char *advice = "give a grade, as 1 mm in 60 mm";
    const tw_status status = check_above(grade, "a steepest grade", advice, err);

    if (status != TW_OK || grade >= least)
        return status;
    tw_fail(err, TW_ERR_DOMAIN, "a steepest grade of 1 mm in %.0f m is less than 1 mm in %.0f m",
            1e-3 / grade, 1e-3 / least);
    tw_error_advise(err, NULL, "%s", advice);
    return TW_ERR_DOMAIN;
}

tw_status tw_round_check(double round_mm, tw_error *err)
{
    static const double most = 1; /* [mm]: no gauge for sheet reads coarser */
    const char *advice = "give what the gauge reads, as 0.1 mm";

    if (round_mm == 0)
        return TW_OK;
    if (!(round_mm > most))
        return check_above(round_mm, "a step to round to", advice, err);
    tw_fail(err, TW_ERR_DOMAIN, "a step of %g mm to round thicknesses to is more than %g mm",
            round_mm, most);
    tw_error_advise(err, NULL, "%s", advice);
    return TW_ERR_DOMAIN;
}

static tw_status check_numbers(const tw_plan_request *request, tw_error *err)
{
    tw_status status =
        check_above(request->least_mm, "a least thickness", "give a thickness, as 1.0 mm", err);

    if (status == TW_OK && isnan(request->within_mm))
        status = check_grade(request->grade, err);
    else if (status == TW_OK)
        status = check_above(request->within_mm, "a length to come down over",
                             "give a length, as 90 mm", err);
    if (status == TW_OK && !isnan(request->weight_g))
        status = check_above(request->weight_g, "a weight", "give a weight, as 2.2 kg", err);
    return status == TW_OK ? tw_round_check(request->round_mm, err) : status;
}

tw_status tw_request_check(const tw_plan *plan, const tw_plan_request *request, bool *changed,
                           size_t *first, tw_error *err)
{
    const char *by = request->by ? request->by : "strike.all";
    const tw_status status = check_numbers(request, err);

    if (status != TW_OK)
        return status;
    if (!(tw_request_grade(plan, request) > 1e-9)) {
        tw_fail(err, TW_ERR_DOMAIN,
                "no strike zone is thicker than the edges, so a length to come "
                "down over gives no grade");
        tw_error_advise(err, NULL, "give a grade, as 1 mm in 60 mm");
        return TW_ERR_DOMAIN;
    }
    *first = SIZE_MAX;
    for (size_t k = 0; k < plan->count; k++) {
        const tw_plan_field *field = &plan->fields[k];
        changed[k] = field->strike ? tw_by_means(by, "strike", field->strike)
                                   : tw_by_means(by, "edges", field->edge);
        if (changed[k] && *first == SIZE_MAX)
            *first = k;
    }
    if (*first != SIZE_MAX || (!request->by && isnan(request->weight_g)))
        return TW_OK;
    if (request->by)
        return tw_by_unknown(plan->plate->profile, by, err);
    tw_fail(err, TW_ERR_INPUT, "the plate has no strike zone to fit to a weight");
    tw_error_advise(err, NULL, "add one, or change the edges with --by edges.all");
    return TW_ERR_INPUT;
}

void tw_request_required(const tw_plan *plan, const bool *changed, size_t first, double value,
                         double *required)
{
    for (size_t k = 0; k < plan->count; k++)
        required[k] = first != SIZE_MAX && changed[k]
                          ? plan->fields[k].asked * (value / plan->fields[first].asked)
                          : plan->fields[k].asked;
}

double tw_request_grade(const tw_plan *plan, const tw_plan_request *request)
{
    double top = request->least_mm, rim = INFINITY;

    if (isnan(request->within_mm))
        return request->grade;
    for (size_t k = 0; k < plan->count; k++) {
        const double asked = fmax(plan->fields[k].asked, request->least_mm);
        if (plan->fields[k].strike)
            top = fmax(top, asked);
        else
            rim = fmin(rim, asked);
    }
    if (isinf(rim))
        rim = request->least_mm;
    return fmax(top - rim, 0) / request->within_mm;
}
