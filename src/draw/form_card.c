/*
 * form_card.c: a card to print on one page and fill in by hand. Bands are measured, tables get more rows in turn
 * while there is room, and what is left then goes between the bands.
 */
#include "form_card.h"

#include <math.h>
#include <string.h>

enum { COLUMNS = 3, BANDS = 12, GAP = 22, COLUMN_GAP = 20, BELOW = 12, GAP_MOST = 45 };

const tw_bench_spec *const tw_bench_specs[] = {&tw_bench_flat,
                                               &tw_bench_bowl,
                                               &tw_bench_loft,
                                               &tw_bench_points,
                                               &tw_bench_area,
                                               &tw_bench_readings,
                                               NULL};

const tw_bench_spec *tw_bench_spec_find(const char *form)
{
    for (size_t k = 0; tw_bench_specs[k]; k++)
        if (strcmp(tw_bench_specs[k]->form, form) == 0)
            return tw_bench_specs[k];
    return NULL;
}

const char *tw_form_card_name(size_t n)
{
    for (size_t k = 0; tw_bench_specs[k]; k++)
        if (k == n)
            return tw_bench_specs[k]->form;
    return NULL;
}

/* ---- columns ------------------------------------------------------------------------------------------ */

typedef struct column {
    size_t first, end; /* parts */
    double x, width;
} column;

/* Divides a band's parts among columns; returns how many. */
static size_t divide(const tw_bench_part *parts, double left, double width, column out[COLUMNS])
{
    size_t count = 0;
    double least = 0;

    for (size_t k = 0; parts[k].kind != TW_BENCH_PART_END; k++) {
        if (!parts[k].below) {
            out[count] = (column){.first = k, .width = 10 * parts[k].width};
            least += out[count++].width;
        }
        out[count - 1].end = k + 1;
    }
    for (size_t c = 0; c < count; c++) {
        const double room = width - (double)(count - 1) * COLUMN_GAP;
        out[c].x = left;
        out[c].width = least > 0 ? out[c].width * room / least : room;
        left += out[c].width + COLUMN_GAP;
    }
    return count;
}

static double band_height(tw_canvas *canvas, const tw_bench_band *band, double width, size_t more)
{
    column columns[COLUMNS];
    const size_t count = divide(band->parts, 0, width, columns);
    double tallest = 0;

    for (size_t c = 0; c < count; c++) {
        double height = 0;
        for (size_t k = columns[c].first; k < columns[c].end; k++) {
            const tw_bench_part *part = &band->parts[k];
            height += (part->below ? BELOW : 0) +
                      tw_bench_part_height(canvas, part, columns[c].width, part->grows ? more : 0);
        }
        tallest = fmax(tallest, height);
    }
    return tallest;
}

static void draw_band(tw_canvas *canvas, tw_bench_sheet *sheet, const tw_bench_band *band, double y,
                      size_t more)
{
    column columns[COLUMNS];
    const size_t count = divide(band->parts, TW_BENCH_MARGIN, tw_bench_content(sheet), columns);
    size_t next = 1;

    for (size_t c = 0; c < count; c++) {
        double at = y;
        for (size_t k = columns[c].first; k < columns[c].end; k++) {
            const tw_bench_part *part = &band->parts[k];
            const size_t grown = part->grows ? more : 0;
            at += part->below ? BELOW : 0;
            tw_bench_part_draw(canvas, sheet, part, columns[c].x, at, columns[c].width, grown,
                               part->goes_on ? next : 1);
            at += tw_bench_part_height(canvas, part, columns[c].width, grown);
            if (part->kind == TW_BENCH_PART_TABLE)
                next += part->rows + grown;
        }
    }
}

/* ---- the page ------------------------------------------------------------------------------------------- */

/* Gives bands a row more in turn (sketches a tenth of a millimetre) while they take it and the page has room;
 * returns what is left. */
static double grow(tw_canvas *canvas, const tw_bench_spec *spec, double width, double left,
                   size_t more[BANDS])
{
    bool any = true;

    while (any) {
        any = false;
        for (size_t b = 0; spec->bands[b].parts; b++) {
            const tw_bench_band *band = &spec->bands[b];
            double taller;
            if (more[b] >= band->most)
                continue;
            taller = band_height(canvas, band, width, more[b] + 1) -
                     band_height(canvas, band, width, more[b]);
            if (taller > left)
                continue;
            left -= taller;
            more[b]++;
            any = true;
        }
    }
    return left;
}

tw_status tw_bench_card_draw(tw_canvas *canvas, tw_bench_sheet *sheet, const tw_bench_spec *spec,
                             tw_error *err)
{
    const double width = tw_bench_content(sheet);
    const tw_lettering title = {.size = 48, .bold = true};
    const tw_lettering line = {.size = 26, .grey = 0.1, .wrap = width + TW_BENCH_SIDE};
    double y = TW_BENCH_MARGIN, left, gap;
    size_t more[BANDS] = {0}, count = 0;

    y += tw_text_draw(canvas, spec->title, &title, TW_BENCH_MARGIN, y) + 4;
    y += tw_text_draw(canvas, spec->line, &line, TW_BENCH_MARGIN, y) + GAP;
    left = sheet->height - TW_BENCH_MARGIN - TW_BENCH_FOOT - y;
    for (; spec->bands[count].parts; count++)
        left -= band_height(canvas, &spec->bands[count], width, 0) + GAP;
    if (left < 0)
        return tw_fail(err, TW_ERR_DOMAIN, "the card needs %.0f mm more than this paper has",
                       ceil(-left / 10));
    left = grow(canvas, spec, width, left, more);
    gap = GAP + fmin(GAP_MOST - GAP, left / (double)count);
    for (size_t b = 0; b < count; b++) {
        draw_band(canvas, sheet, &spec->bands[b], y, more[b]);
        y += band_height(canvas, &spec->bands[b], width, more[b]) + gap;
    }
    tw_bench_foot_draw(canvas, sheet);
    return TW_OK;
}

typedef struct job {
    const tw_bench_spec *spec;
    tw_bench_sheet *sheet;
} job;

static tw_status draw_page(tw_canvas *canvas, const void *context, size_t page, tw_arena *arena,
                           tw_error *err)
{
    const job *work = context;

    (void)page;
    (void)arena;
    return tw_bench_card_draw(canvas, work->sheet, work->spec, err);
}

tw_status tw_draw_form_card(const char *form, tw_paper paper, const tw_draw_options *options,
                            tw_output *out, tw_error *err)
{
    tw_bench_sheet sheet;
    const job work = {tw_bench_spec_find(form), &sheet};
    tw_pages pages = {.count = 1, .draw = draw_page, .context = &work};
    tw_status status;

    if (!work.spec) {
        status = tw_fail(err, TW_ERR_KEY, "there is no card for \"%s\"", form);
        tw_error_advise(err, form,
                        "there are cards for flat, bowl, loft, points, area and readings");
        return status;
    }
    status = tw_bench_sheet_begin(options, &sheet, err);
    pages.title = work.spec->title;
    pages.width_mm = sheet.width / 10;
    pages.height_mm = sheet.height / 10;
    return status == TW_OK ? tw_paper_write(&pages, paper, options, out, err) : status;
}
