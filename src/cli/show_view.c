/* show_view.c: thickness along a tape line, and face area by thickness, as text, JSON and CSV. */
#include "cli_compare.h"
#include "cli_internal.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 96 };
static const double ROWS = 24; /* of text, about */
static const char *const of_words[] = {"thickness", "difference", "spread"};

/* ---- rows along the line ------------------------------------------------------------------------ */

/* A place between two points of the cut. */
static tw_cut_point between(const tw_cut_point *a, const tw_cut_point *b, double along)
{
    const double share = b->along > a->along ? (along - a->along) / (b->along - a->along) : 0;
    tw_cut_point out = share < 0.5 ? *a : *b;

    out.along = along;
    for (int d = 0; d < 2; d++)
        out.tape[d] = a->tape[d] + share * (b->tape[d] - a->tape[d]);
    out.thickness = a->thickness + share * (b->thickness - a->thickness);
    out.beside = a->beside + share * (b->beside - a->beside);
    out.sd = a->sd + share * (b->sd - a->sd);
    return out;
}

typedef void (*row_of)(const tw_cut_point *point, const char *border, void *context);

/* Ends of metal, and every `step` of tape between them. */
static void each_row(const tw_cut *cut, double step, row_of row, void *context)
{
    for (size_t p = 0; p < cut->piece_count; p++) {
        const tw_cut_run *piece = &cut->pieces[p];
        const tw_cut_point *points = cut->points + piece->first;
        const double low = points[0].along, high = points[piece->count - 1].along;
        size_t n = 0;
        row(&points[0], piece->from, context);
        for (double k = floor(low / step + 1e-6) + 1; k * step < high - 1e-6 * step; k++) {
            tw_cut_point at;
            while (n + 2 < piece->count && points[n + 1].along <= k * step)
                n++;
            at = between(&points[n], &points[n + 1], k * step);
            row(&at, NULL, context);
        }
        if (piece->count > 1)
            row(&points[piece->count - 1], piece->to, context);
    }
}

static const char *strike_name(const tw_cli_view *found, const tw_cut_point *point)
{
    return point->strike == SIZE_MAX
               ? NULL
               : found->request.plate->profile->forged.strikes[point->strike].name;
}

/* ---- text ------------------------------------------------------------------------------------------ */

typedef struct table {
    tw_output *out;
    tw_units units;
    const tw_cli_view *found;
} table;

static void text_row(const tw_cut_point *point, const char *border, void *context)
{
    const table *t = context;
    const char *zone = strike_name(t->found, point);
    char tape[32], thickness[32], beside[32] = "", within[32] = "";

    tw_write_length(point->along, t->units, -1, tape, sizeof tape);
    tw_write_thickness(point->thickness, t->units, -1, thickness, sizeof thickness);
    if (isfinite(point->beside))
        tw_write_thickness(point->beside, t->units, -1, beside, sizeof beside);
    if (isfinite(point->sd))
        tw_write_thickness(1.96 * point->sd, t->units, -1, within, sizeof within);
    tw_output_print(t->out, NULL, "  %12s  %10s", tape, thickness);
    if (within[0])
        tw_output_print(t->out, NULL, " ± %9s", within);
    if (t->found->request.beside)
        tw_output_print(t->out, NULL, "  %10s", beside);
    if (border || zone)
        tw_output_print(t->out, NULL, "  %s%s%s", border ? border : "", border && zone ? ", " : "",
                        zone ? zone : "");
    tw_output_print(t->out, NULL, "\n");
}

static void show_shares(const table *t)
{
    const tw_shares *s = &t->found->shares;
    char low[32], high[32], area[32], mean[32];

    tw_output_print(t->out, NULL, "\nShares of the face by %s, %s of it:\n",
                    of_words[t->found->request.quantity],
                    tw_write_area(s->whole_mm2, t->units, area, sizeof area));
    for (size_t k = 0; k < s->count; k++) {
        const int decimals = t->units == TW_INCH ? 4 : 3;
        tw_write_thickness(s->low + (double)k * s->step, t->units, decimals, low, sizeof low);
        tw_write_thickness(s->low + (double)(k + 1) * s->step, t->units, decimals, high,
                           sizeof high);
        tw_output_print(t->out, NULL, "  %9s to %9s  %5.1f %%  %s\n", low, high,
                        100 * s->area_mm2[k] / s->whole_mm2,
                        tw_write_area(s->area_mm2[k], t->units, area, sizeof area));
    }
    tw_output_print(t->out, NULL, "Mean %s, median %s.\n",
                    tw_write_thickness(s->mean, t->units, -1, mean, sizeof mean),
                    tw_write_thickness(s->median, t->units, -1, low, sizeof low));
}

/* A round step of tape for a table that fits a screen. */
static double table_step(const tw_cut *cut, tw_units units)
{
    static const double steps[] = {1, 2, 5, 10, 20, 50, 100, 200, 500};
    const double unit = units == TW_INCH ? 25.4 / 4 : 1;
    const double length = cut->points[cut->count - 1].along - cut->points[0].along;
    size_t k = 0;

    while (k < 8 && length / (steps[k] * unit) > ROWS)
        k++;
    return units == TW_INCH ? 25.4 / 4 * (double)((size_t)1 << (k < 6 ? k : 6)) : steps[k];
}

void tw_show_view_text(tw_output *out, tw_units units, const tw_cli_view *found)
{
    const tw_view_request *request = &found->request;
    table t = {out, units, found};

    tw_output_print(out, NULL, "%s, %s, along %s\n", request->plate->profile->plate, request->name,
                    found->cut.name);
    tw_output_print(out, NULL, "  %12s  %10s%s", "tape", "thickness",
                    isfinite(found->cut.points[0].sd) ? "  (95 %)    " : "");
    if (request->beside)
        tw_output_print(out, NULL, "  %10s", "sheet");
    tw_output_print(out, NULL, "\n");
    each_row(&found->cut, table_step(&found->cut, units), text_row, &t);
    if (request->beside)
        tw_output_print(out, NULL, "Sheet: %s.\n", request->beside_name);
    show_shares(&t);
}

/* ---- JSON: the keys are promised to scripts: add, never rename ------------------------------------------ */

typedef struct list {
    json_t *rows; /* NULL once memory ran out */
    const tw_cli_view *found;
} list;

static void add_row(json_t **rows, json_t *item)
{
    if (*rows && json_array_append_new(*rows, item) != 0) {
        json_decref(*rows);
        *rows = NULL;
    }
}

static void json_row(const tw_cut_point *point, const char *border, void *context)
{
    list *l = context;

    if (!l->rows)
        return;
    add_row(&l->rows,
            json_pack("{s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "tape_mm", tw_json_number(point->along),
                      "at_mm", tw_json_numbers(point->tape, 2), "thickness_mm",
                      tw_json_number(point->thickness), "sheet_mm", tw_json_number(point->beside),
                      "sd_mm", tw_json_number(point->sd), "zone",
                      tw_json_text(strike_name(l->found, point)), "border", tw_json_text(border)));
}

static json_t *shares_json(const tw_cli_view *found)
{
    const tw_shares *s = &found->shares;
    json_t *bins = json_array();

    for (size_t k = 0; bins && k < s->count; k++)
        add_row(&bins, json_pack("{s:o,s:o,s:o,s:o}", "from_mm",
                                 tw_json_number(s->low + (double)k * s->step), "to_mm",
                                 tw_json_number(s->low + (double)(k + 1) * s->step), "area_mm2",
                                 tw_json_number(s->area_mm2[k]), "share",
                                 tw_json_number(s->area_mm2[k] / s->whole_mm2)));
    return json_pack("{s:s,s:o,s:o,s:o,s:o,s:o}", "of", of_words[found->request.quantity],
                     "area_mm2", tw_json_number(s->whole_mm2), "mean_mm", tw_json_number(s->mean),
                     "median_mm", tw_json_number(s->median), "sheet_mean_mm",
                     tw_json_number(s->beside_mean), "bins", bins);
}

json_t *tw_show_view_json(const tw_cli_view *found)
{
    const tw_view_request *request = &found->request;
    list l = {json_array(), found};

    each_row(&found->cut, 1, json_row, &l);
    return json_pack("{s:i,s:s,s:o,s:s,s:o,s:o,s:o,s:o,s:o}", "format", 1, "version", TW_VERSION,
                     "plate", tw_json_text(request->plate->profile->plate), "map",
                     tw_map_word(request->map->kind), "sheet", tw_json_text(request->beside_name),
                     "line", tw_json_text(found->cut.name), "line_mean_mm",
                     tw_json_number(found->cut.mean), "points", l.rows, "shares",
                     shares_json(found));
}

/* ---- CSV: rows of the line, then of the shares -------------------------------------------------------- */

static void csv_row(const tw_cut_point *point, const char *border, void *context)
{
    const table *t = context;
    const double numbers[] = {point->along,     point->tape[0], point->tape[1],
                              point->thickness, point->beside,  point->sd};
    const char *zone = strike_name(t->found, point);

    tw_csv_text(t->out, "line", false);
    for (size_t k = 0; k < 6; k++)
        tw_csv_number(t->out, numbers[k], false);
    tw_csv_text(t->out, zone ? zone : "", false);
    tw_csv_text(t->out, border ? border : "", false);
    for (int k = 0; k < 4; k++)
        tw_csv_number(t->out, NAN, k == 3);
}

void tw_show_view_csv(tw_output *out, const tw_cli_view *found)
{
    const tw_shares *s = &found->shares;
    table t = {out, TW_METRIC, found};

    tw_output_print(out, NULL,
                    "kind,tape [mm],across [mm],up [mm],thickness [mm],sheet [mm],sd [mm],zone,"
                    "border,from [mm],to [mm],area [mm2],share\n");
    each_row(&found->cut, 1, csv_row, &t);
    for (size_t k = 0; k < s->count; k++) {
        tw_csv_text(out, "share", false);
        for (int c = 0; c < 6; c++)
            tw_csv_number(out, NAN, false);
        tw_csv_text(out, "", false);
        tw_csv_text(out, "", false);
        tw_csv_number(out, s->low + (double)k * s->step, false);
        tw_csv_number(out, s->low + (double)(k + 1) * s->step, false);
        tw_csv_number(out, s->area_mm2[k], false);
        tw_csv_number(out, s->area_mm2[k] / s->whole_mm2, true);
    }
}
