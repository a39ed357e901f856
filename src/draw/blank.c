/*
 * blank.c: the flat blank at 1:1 on one page as large as it takes. What a maker cuts along, what the
 * plate's edge will be, and the plate's tape carried into the flat, so that a place on one is found on
 * the other. The drawing is never scaled: the page grows.
 */
#include "blank_sheet.h"
#include "ruler.h"
#include "tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Millimetres of the page. */
static const double MARGIN = 15, BELOW_HEAD = 8, BAR_SIDE = 24, NARROWEST = 150;
static const char bar_words[] =
    "Hold a ruler against the bars, both ways. If they do not measure true, print again at "
    "100\u00a0%, without fitting to the page.";

static const tw_lettering title_letters = {.size = 60, .bold = true};
static const tw_lettering line_letters = {.size = 34, .grey = 0.2};

/* ---- words ---------------------------------------------------------------------------------------- */

static void head_words(tw_blank_sheet *sheet, const tw_draw_options *options)
{
    const tw_blank *blank = sheet->blank;
    const tw_profile *profile = blank->goal->plate->profile;
    char stock[64], mass[48], longer[48], shorter[48], trim[48] = "";
    const char *date = options->date ? options->date : profile->date;
    const bool trimmed = blank->goal->trim_mm > 0, turned = blank->turn_count > 0;

    tw_stock_write(&blank->goal->stock, options->units, stock, sizeof stock);
    tw_write_mass(blank->blank_g, options->units, -1, mass, sizeof mass);
    tw_write_length(blank->box_mm[0], options->units, -1, longer, sizeof longer);
    tw_write_length(blank->box_mm[1], options->units, -1, shorter, sizeof shorter);
    tw_write_length(blank->goal->trim_mm, options->units, -1, trim, sizeof trim);
    tw_format(sheet->title, sizeof sheet->title, "%s: blank at 1:1", profile->plate);
    snprintf(
        sheet->line, sizeof sheet->line,
        "Sheet %s, outside face up, %s as cut, from %s by %s.%s%s%s%s%s", stock, mass, longer,
        shorter, profile->note ? " " : "", profile->note ? profile->note : "", date ? " " : "",
        date ? date : "",
        "\nAn estimate of least work: cut it in card first, and leave yourself metal. Cut sheet "
        "is sharp: wear gloves, take the burr off.");
    snprintf(
        sheet->foot, sizeof sheet->foot,
        "Thick line, the cut line: cut here; thin closed lines: holes to cut out.%s%s%s%s%s Grey "
        "lines: the plate's tape, every %s%s%s.",
        trimmed || turned ? " Dashed, the net line: the plate's own edge" : "",
        trimmed && !turned ? ", " : "", trimmed && !turned ? trim : "",
        trimmed && !turned  ? " inside."
        : trimmed || turned ? "."
                            : "",
        turned ? " Grey strips: what turned edges take, rolled up to the net line." : "",
        options->units == TW_INCH ? "2 in" : "50 mm",
        sheet->steps && sheet->steps->count > 0 ? "; blue: where a thinning step begins" : "",
        sheet->card && sheet->card->count > 0 ? "; numbered rings: points to gauge" : "");
    tw_text_bind_units(sheet->line, sizeof sheet->line);
    tw_text_bind_units(sheet->foot, sizeof sheet->foot);
}

/* ---- bars ----------------------------------------------------------------------------------------- */

static void draw_bars(tw_canvas *canvas, const tw_blank_sheet *sheet)
{
    const double left = 10 * MARGIN, foot = sheet->foot_top;
    const double side = 10 * (sheet->width_mm - MARGIN - BAR_SIDE) + 60;
    const double bottom = sheet->foot_top - 60;
    const tw_lettering letters = {
        .size = 30, .grey = 0.2, .wrap = 10 * (sheet->width_mm - 2 * MARGIN)};
    double y = foot + 175;

    tw_ruler_bars(canvas, left, foot + 20, false, 75);
    tw_ruler_bars(canvas, side, bottom, true, 75);
    y += tw_text_draw(canvas, bar_words, &letters, left, y);
    tw_text_draw(canvas, sheet->foot, &letters, left, y);
}

/* ---- the page --------------------------------------------------------------------------------------- */

static tw_status draw_page(tw_canvas *canvas, const void *context, size_t page, tw_arena *arena,
                           tw_error *err)
{
    const tw_blank_sheet *sheet = context;
    tw_lettering title = title_letters, line = line_letters;
    double height;

    (void)page;
    title.wrap = line.wrap = 10 * (sheet->width_mm - 2 * MARGIN);
    height = tw_text_draw(canvas, sheet->title, &title, 10 * MARGIN, 10 * MARGIN);
    tw_text_draw(canvas, sheet->line, &line, 10 * MARGIN, 10 * MARGIN + height + 10);
    draw_bars(canvas, sheet);
    return tw_blank_marks_draw(canvas, sheet, arena, err);
}

void tw_blank_extents(const tw_blank *blank, double low[2], double high[2])
{
    low[0] = low[1] = INFINITY;
    high[0] = high[1] = -INFINITY;
    for (size_t k = 0; k < blank->cut_count; k++) {
        for (int c = 0; c < 2; c++) {
            low[c] = fmin(low[c], blank->cut[k][c]);
            high[c] = fmax(high[c], blank->cut[k][c]);
        }
    }
}

/* As large as blank, words and bars take; the drawing keeps its size. */
static tw_status size_page(tw_blank_sheet *sheet, const tw_draw_options *options, tw_error *err)
{
    const tw_blank *blank = sheet->blank;
    double low[2], high[2];
    double words, title_height, line_height, bars_height, foot_height, tall;
    tw_lettering title = title_letters, line = line_letters, foot = {.size = 30};
    tw_canvas canvas;
    tw_status status;

    tw_blank_extents(blank, low, high);
    sheet->width_mm = fmax(high[0] - low[0] + 2 * MARGIN + BAR_SIDE, NARROWEST);
    status = tw_canvas_begin(1, 1, 1, options->units, &canvas, err);
    if (status != TW_OK)
        return status;
    title.wrap = line.wrap = foot.wrap = 10 * (sheet->width_mm - 2 * MARGIN);
    tw_text_size(&canvas, sheet->title, &title, &words, &title_height);
    tw_text_size(&canvas, sheet->line, &line, &words, &line_height);
    tw_text_size(&canvas, bar_words, &foot, &words, &bars_height);
    tw_text_size(&canvas, sheet->foot, &foot, &words, &foot_height);
    tw_canvas_end(&canvas);
    tall = fmax(high[1] - low[1], TW_RULER_INCHES / 10.0 + 8);
    sheet->origin[0] = 10 * MARGIN - 10 * low[0];
    sheet->origin[1] =
        10 * MARGIN + title_height + 10 + line_height + 10 * BELOW_HEAD + 10 * high[1];
    sheet->foot_top =
        10 * MARGIN + title_height + 10 + line_height + 10 * BELOW_HEAD + 10 * tall + 80;
    sheet->height_mm = (sheet->foot_top + 175 + bars_height + foot_height) / 10 + MARGIN;
    return TW_OK;
}

/* ---- on paper that people have ------------------------------------------------------------------------ */

static tw_status draw_pattern(tw_canvas *canvas, const void *context, bool small, tw_arena *arena,
                              tw_error *err)
{
    if (!small)
        return tw_blank_marks_draw(canvas, context, arena, err);
    tw_blank_lines_draw(canvas, context);
    tw_blank_say(canvas, context);
    return TW_OK;
}

/* The blank's own origin is the pattern's. */
static tw_status write_tiles(const tw_blank_sheet *sheet, tw_paper paper,
                             const tw_draw_options *options, tw_output *out, tw_error *err)
{
    tw_pattern pattern = {.title = sheet->title,
                          .line = sheet->line,
                          .foot = sheet->foot,
                          .draw = draw_pattern,
                          .context = sheet};
    double low[2], high[2];

    tw_blank_extents(sheet->blank, low, high);
    pattern.low[0] = 10 * low[0];
    pattern.low[1] = -10 * high[1];
    pattern.high[0] = 10 * high[0];
    pattern.high[1] = -10 * low[1];
    return tw_tiles_write(&pattern, &options->page, paper, options, out, err);
}

tw_status tw_draw_blank(const tw_blank *blank, const tw_steps *steps, const tw_card *card,
                        tw_paper paper, const tw_draw_options *options, tw_output *out,
                        tw_error *err)
{
    tw_blank_sheet sheet = {.blank = blank, .steps = steps, .card = card};
    tw_pages pages = {.count = 1, .title = sheet.title, .draw = draw_page, .context = &sheet};
    tw_status status;

    head_words(&sheet, options);
    if (options->page.width_mm > 0)
        return write_tiles(&sheet, paper, options, out, err);
    status = size_page(&sheet, options, err);
    if (status != TW_OK)
        return status;
    pages.width_mm = sheet.width_mm;
    pages.height_mm = sheet.height_mm;
    return tw_paper_write(&pages, paper, options, out, err);
}
