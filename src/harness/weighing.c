/*
 * weighing.c: the net mass that a scale's readings give, its own error taken out.
 *
 *   net = f·(mean of reads − tare)              on the pan
 *   net = f·(mean with − mean without − tare)   held in the arms
 *   f = true/reads of the scale's check, 1 without one
 *
 * A display of step d rounds within ±d/2: d/√12 (JCGM 100:2008, F.2.2.1). A net weighing is two
 * roundings, of the load and of the empty or tared scale: d/√6. Set to nought by the scale itself, to a
 * fraction of its step, it is one. Repeats show the same rounding, so their mean keeps it whole, and
 * adds s/√n of scatter with n − 1 degrees of freedom (4.2).
 *
 * The check reading is two roundings as well, beside what is known of the weight:
 * u(f)/f = √((d/√6/reads)² + (u/true)²), a cause of every weighing on that scale, in proportion to the net
 * mass. Nothing being known of a scale without a check, the permissible error of a class III scale in
 * service counts as a bound, a/√3 (4.3.7), also one cause for all of its weighings. A net load has the
 * permissible error of that net load (OIML R 76-1, 3.5.3; from memory).
 */
#include "harness_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define SQRT3 1.7320508075688772

static const double LEAST_STEPS = 20; /* OIML R 76, class III, least capacity: 20 intervals */
static const double SPREAD_STEPS = 3; /* as the header says; common practice, no source */

double tw_scale_permissible(const tw_scale_spec *scale, double load_g)
{
    const double intervals = fabs(load_g) / scale->step;

    if (intervals <= 500)
        return 1.0 * scale->step;
    return (intervals <= 2000 ? 2.0 : 3.0) * scale->step;
}

/* A scale may be called "scale" or "scale of step 5 g": said once. */
static const char *scale_word(const tw_scale_spec *scale)
{
    return strncmp(scale->name, "scale", 5) == 0 ? "" : "scale ";
}

/* Mean, least and most of repeats, and the standard deviation of the mean; 0 for one reading. */
typedef struct repeats {
    double mean, least, most, u;
    size_t count;
} repeats;

static repeats gather(const double *reads, size_t count)
{
    repeats all = {.least = INFINITY, .most = -INFINITY, .count = count};
    tw_sum sum = {0, 0}, square = {0, 0};
    double mean;

    for (size_t k = 0; k < count; k++) {
        tw_sum_add(&sum, reads[k]);
        all.least = fmin(all.least, reads[k]);
        all.most = fmax(all.most, reads[k]);
    }
    mean = all.mean = tw_sum_value(&sum) / (double)count;
    for (size_t k = 0; k < count; k++)
        tw_sum_add(&square, (reads[k] - mean) * (reads[k] - mean));
    if (count > 1)
        all.u = sqrt(tw_sum_value(&square) / (double)(count - 1) / (double)count);
    return all;
}

/* The first reading that the scale's display cannot have shown. */
static bool off_step(const tw_weighing_spec *spec, const tw_scale_spec *scale, double *read)
{
    for (size_t k = 0; k < spec->read_count + spec->alone_count; k++) {
        const double g = k < spec->read_count ? spec->reads[k] : spec->alone[k - spec->read_count];
        const double steps = g / scale->step;
        if (fabs(steps - round(steps)) < 1e-3)
            continue;
        if (read)
            *read = g;
        return true;
    }
    return false;
}

static unsigned judge(const tw_weighing_spec *spec, const tw_scale_spec *scale, const repeats *with,
                      const repeats *without, double net)
{
    const bool held = spec->alone_count > 0;
    const double spread = SPREAD_STEPS * scale->step * (1 + 1e-9);
    /* a held part's load is its holder's too, but its grams are a few steps among many */
    const bool low = scale->least > 0 ? (held ? without->least : net) < scale->least
                                      : net < LEAST_STEPS * scale->step;
    unsigned flags = low ? TW_WEIGHING_UNDER : 0;

    if (scale->most > 0 && with->most > scale->most)
        flags |= TW_WEIGHING_OVER;
    if (off_step(spec, scale, NULL))
        flags |= TW_WEIGHING_OFF_STEP;
    if (with->most - with->least > spread || (held && without->most - without->least > spread))
        flags |= TW_WEIGHING_SPREAD;
    return flags;
}

TW_PRINTF(6, 7)
static tw_status add_cause(tw_figure *figure, tw_arena *arena, double part_g, double freedom,
                           tw_error *err, const char *format, ...)
{
    char name[256];
    va_list arguments;

    va_start(arguments, format);
    tw_format_list(name, sizeof name, format, arguments);
    va_end(arguments);
    return tw_figure_cause(figure, arena, name, part_g, freedom, err);
}

static tw_status fail_empty(const tw_weighing_spec *spec, const char *name, double net,
                            tw_error *err)
{
    const bool held = spec->alone_count > 0;
    const tw_status status =
        tw_fail(err, TW_ERR_DOMAIN, "nothing is left of the %s after its %s: %.6g g", name,
                held ? "holder" : "tare", net);

    tw_error_advise(err, NULL,
                    held ? "with: is the reading of both, without: of the holder alone"
                         : "reads: is the reading with the container, tare: of the container");
    return status;
}

tw_status tw_weigh_on_scale(const tw_weighing_spec *spec, const tw_scale_spec *scale,
                            const char *name, tw_arena *arena, tw_weighing *out, tw_error *err)
{
    const bool held = spec->alone_count > 0, one = spec->tare_exact && !held;
    const bool checked = scale->check_reads > 0 && scale->check_true > 0;
    const double factor = checked ? scale->check_true / scale->check_reads : 1;
    const repeats with = gather(spec->reads, spec->read_count);
    const repeats without = held ? gather(spec->alone, spec->alone_count) : (repeats){0};
    const double raw = with.mean - without.mean - spec->tare;
    tw_weighing w = {.spec = spec, .scale = scale};
    tw_status status;

    assert(spec->read_count > 0 && scale->step > 0 && out);
    if (!(raw > 0))
        return fail_empty(spec, name, raw, err);
    w.net.g = factor * raw;
    w.corrected_g = w.net.g - raw;
    w.rounding_u_g = factor * scale->step / sqrt(one ? 12.0 : 6.0);
    w.repeat_u_g = factor * hypot(with.u, without.u);
    w.scale_u_g = checked ? w.net.g * hypot(scale->step / sqrt(6.0) / scale->check_reads,
                                            scale->check_uncertainty / scale->check_true)
                          : tw_scale_permissible(scale, raw) / SQRT3;
    w.flags = judge(spec, scale, &with, &without, raw);
    status = add_cause(&w.net, arena, w.rounding_u_g, INFINITY, err, "%s: rounding", name);
    if (status == TW_OK && with.u > 0)
        status = add_cause(&w.net, arena, factor * with.u, (double)(with.count - 1), err,
                           "%s: repeats", name);
    if (status == TW_OK && without.u > 0)
        status = add_cause(&w.net, arena, factor * without.u, (double)(without.count - 1), err,
                           "%s: repeats without it", name);
    if (status == TW_OK)
        status = add_cause(&w.net, arena, w.scale_u_g, INFINITY, err, "%s%s%s", scale_word(scale),
                           scale->name, checked ? "" : ", not checked");
    if (status == TW_OK)
        *out = w;
    return status;
}

/* ---- in words ---------------------------------------------------------------------------------- */

static const char *grams(double g, char text[32])
{
    return tw_write_mass(g, TW_METRIC, -1, text, 32);
}

/* "upper breast", or "fauld and culet" of parts weighed together. */
static tw_listing weighed_what(const tw_harness *harness, const tw_weighing *w)
{
    const size_t count = w->spec->part_count;
    tw_listing what = {0};

    for (size_t k = 0; k < harness->part_count; k++)
        if (w == &harness->parts[k].weighing)
            tw_listing_add(&what, harness->parts[k].name, false);
    for (size_t k = 0; k < count; k++)
        tw_listing_add(&what, w->spec->parts[k], k > 0 && k + 1 == count);
    return what;
}

/* The n-th weighing: of parts, then of parts together; NULL where a part has none of its own scale. */
static const tw_weighing *nth_weighing(const tw_harness *harness, size_t n)
{
    const tw_weighing *w;

    if (n >= harness->part_count)
        return &harness->together[n - harness->part_count];
    w = &harness->parts[n].weighing;
    if (!harness->parts[n].has_weighing || !w->scale)
        return NULL;
    return w;
}

static double spread_of(const tw_weighing_spec *spec)
{
    const repeats with = gather(spec->reads, spec->read_count);
    repeats alone;

    if (spec->alone_count == 0)
        return with.most - with.least;
    alone = gather(spec->alone, spec->alone_count);
    return fmax(with.most - with.least, alone.most - alone.least);
}

static void note_flags(tw_harness *harness, const tw_weighing *w)
{
    const tw_scale_spec *scale = w->scale;
    const tw_listing what = weighed_what(harness, w);
    char a[32], b[32];
    tw_error note;

    if (w->flags & TW_WEIGHING_OVER) {
        tw_fail(&note, TW_OK, "%s: the load is over what %s%s carries, %s", what.text,
                scale_word(scale), scale->name, grams(scale->most, a));
        tw_error_advise(&note, NULL, "weigh it on another scale, or in parts");
        tw_notes_add(&harness->notes, &note);
    }
    if (w->flags & TW_WEIGHING_UNDER) {
        if (scale->least > 0)
            tw_fail(&note, TW_OK, "%s: %s is under the least load of %s%s, %s", what.text,
                    grams(w->net.g, a), scale_word(scale), scale->name, grams(scale->least, b));
        else
            tw_fail(&note, TW_OK, "%s: %s is under 20 steps of %s%s, %s each", what.text,
                    grams(w->net.g, a), scale_word(scale), scale->name, grams(scale->step, b));
        tw_error_advise(&note, NULL, "weigh several together, or use a finer scale");
        tw_notes_add(&harness->notes, &note);
    }
    if (w->flags & TW_WEIGHING_SPREAD) {
        const double apart = spread_of(w->spec);
        tw_fail(&note, TW_OK, "%s: its readings on %s%s lie %s apart, more than three steps",
                what.text, scale_word(scale), scale->name, grams(apart, a));
        tw_error_advise(&note, NULL,
                        tw_figure_expanded(&w->net) >= w->net.g
                            ? "is one a slip? weigh again"
                            : "is the scale level, warm and free all round?");
        tw_notes_add(&harness->notes, &note);
    }
}

static void note_off_step(tw_harness *harness, const tw_weighing *w)
{
    const tw_listing what = weighed_what(harness, w);
    char a[32], b[32];
    double read = 0;
    tw_error note;

    if (!off_step(w->spec, w->scale, &read))
        return;
    tw_fail(&note, TW_OK, "%s: %s is no multiple of %s, the step of %s%s", what.text,
            grams(read, a), grams(w->scale->step, b), scale_word(w->scale), w->scale->name);
    tw_error_advise(&note, NULL, "write what the display showed; a mean of readings as a list");
    tw_notes_add(&harness->notes, &note);
}

static void note_held(tw_harness *harness, const tw_weighing *w)
{
    const tw_listing what = weighed_what(harness, w);
    char a[32], b[32];
    double expanded;
    tw_error note;

    if (w->spec->alone_count == 0)
        return;
    expanded = tw_figure_expanded(&w->net);
    if (w->repeat_u_g > 0) {
        tw_fail(&note, TW_OK,
                "%s: weighed by difference, ± %s; standing on the scale again moves the reading by "
                "± %s",
                what.text, grams(expanded, a),
                grams(expanded * w->repeat_u_g / tw_figure_u(&w->net), b));
    } else {
        tw_fail(&note, TW_OK,
                "%s: weighed by difference, ± %s without what standing on the scale again adds",
                what.text, grams(expanded, a));
        tw_error_advise(&note, NULL, "repeat with: and without: three times or more, as lists");
    }
    tw_notes_add(&harness->notes, &note);
}

/* "scale parcel reads 0.5 % high; taken out: 8 g of upper breast, 4 g of back". */
static void note_scale(tw_harness *harness, const tw_scale_spec *scale)
{
    const double error = scale->check_reads / scale->check_true - 1;
    char text[200] = "", a[32];
    size_t used = 0, count = 0, left = 0;
    tw_error note;

    for (size_t n = 0; n < harness->part_count + harness->together_count; n++) {
        const tw_weighing *w = nth_weighing(harness, n);
        tw_listing what;
        if (!w || w->scale != scale)
            continue;
        count++;
        if (fabs(w->corrected_g) < scale->step / 2)
            continue;
        what = weighed_what(harness, w);
        if (used + what.used + 32 > sizeof text) {
            left++;
            continue;
        }
        used += (size_t)tw_format(text + used, sizeof text - used, "%s%s of %s",
                                  used > 0 ? ", " : "", grams(fabs(w->corrected_g), a), what.text);
    }
    if (left > 0)
        tw_format(text + used, sizeof text - used, ", and %zu more", left);
    if (count == 0)
        return;
    if (!(scale->check_reads > 0)) {
        tw_fail(&note, TW_OK,
                "%s%s was not checked: it is taken to be as good as a scale for trade may be in "
                "service (class III, OIML R 76), off by %s or more one way for all of its "
                "weighings; a household scale may be worse",
                scale_word(scale), scale->name, grams(tw_scale_permissible(scale, 0), a));
        tw_error_advise(&note, NULL, "weigh a known weight: check: {true: 5 kg, reads: 5.01 kg}");
    } else if (error == 0) {
        return;
    } else {
        tw_fail(&note, TW_OK, "%s%s reads %.2g %% %s; %s: %s", scale_word(scale), scale->name,
                fabs(100 * error), error > 0 ? "high" : "low", error > 0 ? "taken out" : "put back",
                used > 0 ? text : "under half a step each");
    }
    tw_notes_add(&harness->notes, &note);
}

void tw_harness_note_weighings(tw_harness *harness)
{
    for (size_t k = 0; k < harness->file->scale_count; k++)
        note_scale(harness, &harness->file->scales[k]);
    for (size_t n = 0; n < harness->part_count + harness->together_count; n++) {
        const tw_weighing *w = nth_weighing(harness, n);
        if (!w)
            continue;
        note_flags(harness, w);
        note_off_step(harness, w);
        note_held(harness, w);
    }
}
