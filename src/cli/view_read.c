/* view_read.c: what `view` is asked to show: tape lines and angles as they are typed. */
#include "cli_compare.h"
#include "cli_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double AZIMUTH = 35, ELEVATION = 20;
static const tw_view_kind usual[] = {TW_VIEW_TAPE, TW_VIEW_SOLID, TW_VIEW_SHARE, TW_VIEW_SECTION};

/* ---- tape lines ------------------------------------------------------------------------------- */

static tw_status no_line(const char *text, tw_error *err)
{
    tw_fail(err, TW_ERR_USAGE, "\"%s\" is no tape line", text);
    tw_error_advise(err, text,
                    "write \"centre\", \"across at 200 mm\", \"up at 60 mm\" or \"[0 mm, 40 mm] to "
                    "[0 mm, 360 mm]\"");
    return TW_ERR_USAGE;
}

static tw_status read_length(const char *from, size_t length, tw_ruler ruler, double *out,
                             tw_error *err)
{
    char word[64];

    if (length >= sizeof word)
        return tw_fail(err, TW_ERR_USAGE, "a length of %zu letters is none", length);
    memcpy(word, from, length);
    word[length] = '\0';
    return tw_quantity_read(word, TW_LENGTH, ruler, out, err);
}

/* "[across, up]" from `text` on; moves it past the bracket. */
static tw_status read_point(const char **text, const char *whole, tw_ruler ruler, double point[2],
                            tw_error *err)
{
    const char *open = *text + strspn(*text, " "), *comma, *close;
    tw_status status;

    comma = strchr(open, ',');
    close = strchr(open, ']');
    if (*open != '[' || !comma || !close || comma > close)
        return no_line(whole, err);
    status = read_length(open + 1, (size_t)(comma - open - 1), ruler, &point[0], err);
    if (status == TW_OK)
        status = read_length(comma + 1, (size_t)(close - comma - 1), ruler, &point[1], err);
    *text = close + 1;
    return status;
}

static tw_status read_points(const char *text, tw_ruler ruler, tw_tape_line *out, tw_error *err)
{
    const char *at = text;
    tw_status status = TW_OK;

    out->way = TW_WAY_POINTS;
    while (status == TW_OK) {
        if (out->count == TW_TAPE_POINTS_MAX)
            return tw_fail(err, TW_ERR_USAGE, "a tape line has at most %d points",
                           TW_TAPE_POINTS_MAX);
        status = read_point(&at, text, ruler, out->points[out->count], err);
        out->count++;
        at += strspn(at, " ");
        if (!*at)
            break;
        if (strncmp(at, "to", 2) == 0)
            at += 2;
        else
            return no_line(text, err);
    }
    if (status == TW_OK && out->count < 2)
        return no_line(text, err);
    for (size_t k = 1; status == TW_OK && k < out->count; k++)
        if (hypot(out->points[k][0] - out->points[k - 1][0],
                  out->points[k][1] - out->points[k - 1][1]) < 1e-6)
            return tw_fail(err, TW_ERR_USAGE, "point %zu of the line is where the one before it is",
                           k + 1);
    return status;
}

tw_status tw_cli_tape_line(const char *text, tw_ruler ruler, tw_tape_line *out, tw_error *err)
{
    static const char *const ways[] = {"across at ", "up at "};
    tw_status status = TW_OK;

    *out = (tw_tape_line){.way = TW_WAY_CENTRE};
    if (!text || strcmp(text, "centre") == 0 || strcmp(text, "the centre line") == 0)
        return TW_OK;
    for (int k = 0; k < 2; k++)
        if (strncmp(text, ways[k], strlen(ways[k])) == 0) {
            const char *rest = text + strlen(ways[k]);
            out->way = k ? TW_WAY_UP : TW_WAY_ACROSS;
            status = read_length(rest, strlen(rest), ruler, &out->at, err);
            return tw_cli_option_fault(status, "line", err);
        }
    if (text[strspn(text, " ")] != '[')
        status = no_line(text, err);
    else
        status = read_points(text, ruler, out, err);
    return tw_cli_option_fault(status, "line", err);
}

/* ---- numbers ------------------------------------------------------------------------------------ */

/* Degrees, with or without saying so. */
static tw_status read_degrees(const char *text, const char *option, double most, double otherwise,
                              double *out, tw_error *err)
{
    char words[72];
    const bool bare = text && text[strspn(text, "+-0123456789.")] == '\0';
    tw_status status;

    *out = otherwise;
    if (!text)
        return TW_OK;
    if (strlen(text) > 60)
        return tw_fail(err, TW_ERR_USAGE, "--%s is no angle", option);
    tw_format(words, sizeof words, "%s%s", text, bare ? " deg" : "");
    status = tw_quantity_read(words, TW_ANGLE, TW_RULER_NONE, out, err);
    *out *= 180 / TW_PI;
    if (status == TW_OK && !(fabs(*out) <= most + 1e-9)) {
        status =
            tw_fail(err, TW_ERR_USAGE, "%s degrees are outside −%.0f to %.0f", text, most, most);
        tw_error_advise(err, text, "write --%s %.0f, for example", option, otherwise);
    }
    return tw_cli_option_fault(status, option, err);
}

static tw_status read_times(const char *text, double *out, tw_error *err)
{
    tw_status status = TW_OK;

    *out = 0;
    if (text)
        status = tw_quantity_read(text, TW_SHARE, TW_RULER_NONE, out, err);
    if (status == TW_OK && text && !(*out >= 1 && *out <= 100)) {
        status = tw_fail(err, TW_ERR_USAGE, "\"%s\" times is outside 1 to 100", text);
        tw_error_advise(err, text, "write --exaggerate 8, for example");
    }
    return tw_cli_option_fault(status, "exaggerate", err);
}

static tw_status read_kind(const char *word, tw_view_kind *out, tw_error *err)
{
    const char *words[TW_VIEW_KINDS];
    const char *nearest;

    for (int k = 0; k < TW_VIEW_KINDS; k++) {
        words[k] = tw_view_word((tw_view_kind)k);
        if (strcmp(word, words[k]) == 0) {
            *out = (tw_view_kind)k;
            return TW_OK;
        }
    }
    tw_fail(err, TW_ERR_USAGE,
            "--show \"%s\" is not one of: tape, front, section, solid, along, share", word);
    nearest = tw_nearest_word(word, words, TW_VIEW_KINDS);
    if (nearest)
        tw_error_advise(err, word, "did you mean \"%s\"?", nearest);
    return TW_ERR_USAGE;
}

tw_status tw_cli_views_read(const tw_args *args, const tw_profile *profile,
                            tw_view_request *request, tw_error *err)
{
    const size_t asked = args->show.count;
    tw_view one = {.kind = TW_VIEW_TAPE};
    tw_status status = tw_cli_tape_line(args->line, profile->ruler, &one.line, err);

    if (status == TW_OK)
        status = read_degrees(args->azimuth, "azimuth", 360, AZIMUTH, &one.azimuth, err);
    if (status == TW_OK)
        status = read_degrees(args->elevation, "elevation", 90, ELEVATION, &one.elevation, err);
    if (status == TW_OK)
        status = read_times(args->exaggerate, &one.exaggerate, err);
    if (status == TW_OK && asked > TW_VIEWS_MAX)
        status = tw_fail(err, TW_ERR_USAGE, "a page has at most %d views", TW_VIEWS_MAX);
    request->count = asked ? asked : sizeof usual / sizeof *usual;
    for (size_t k = 0; status == TW_OK && k < request->count; k++) {
        request->views[k] = one;
        if (asked)
            status = read_kind(args->show.names[k], &request->views[k].kind, err);
        else
            request->views[k].kind = usual[k];
    }
    return status;
}
