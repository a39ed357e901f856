/*
 * series.c: one plate from even sheet to its full taper, frame beside frame on one scale: what hammering
 * does, seen at a glance from across a workshop.
 */
#include "series.h"

#include <math.h>
#include <string.h>

enum { PAGE = TW_PAGE_WIDTH, MARGIN = TW_PAGE_MARGIN };
static const double GAP = 40;
static const tw_lettering title_letters = {.size = 42, .bold = true, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering line_letters = {.size = 25, .grey = 0.25, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering foot_letters = {.size = 23, .grey = 0.3, .wrap = PAGE - 2 * MARGIN};

void tw_series_frame_words(const tw_series *series, size_t frame, tw_units units,
                           tw_frame_words *out)
{
    const tw_frame_map *map = &series->frames[frame];
    char thin[48], thick[48], gained[48], lost[48];

    tw_write_mass(map->weight.mass_g, units, -1, out->grams, sizeof out->grams);
    tw_write_thickness(map->thinnest, units, -1, thin, sizeof thin);
    tw_write_thickness(map->thickest, units, -1, thick, sizeof thick);
    tw_write_mass(map->gained_g, units, -1, gained, sizeof gained);
    tw_write_mass(map->lost_g, units, -1, lost, sizeof lost);
    if (frame == 0)
        tw_format(out->heading, sizeof out->heading, "Even sheet");
    else if (frame + 1 == series->count)
        tw_format(out->heading, sizeof out->heading, "Full taper");
    else
        tw_format(out->heading, sizeof out->heading, "%.0f %% of the taper", 100 * map->share);
    if (frame == 0)
        tw_format(out->words, sizeof out->words, "%s everywhere, as if bent only.", thin);
    else if (series->keep == TW_KEEP_GRAMS)
        tw_format(out->words, sizeof out->words, "%s to %s. %s have moved.", thin, thick, gained);
    else if (map->gained_g < 0.5)
        tw_format(out->words, sizeof out->words, "%s to %s. %s less than the sheet.", thin, thick,
                  lost);
    else
        tw_format(out->words, sizeof out->words,
                  "%s to %s. %s less where it is thinner than the sheet, %s more where thicker.",
                  thin, thick, lost, gained);
    tw_text_bind_units(out->words, sizeof out->words);
}

void tw_series_page_words(const tw_series *series, const tw_draw_options *options, char title[200],
                          char line[500], char foot[800])
{
    const tw_profile *profile = series->plate->profile;
    const char *date = options->date ? options->date : profile->date;
    char size[64], grams[48], what[200];

    tw_format(title, 200, "%s: from even sheet to full taper", profile->plate);
    tw_write_thickness(series->sheet_mm, options->units, -1, size, sizeof size);
    if (series->keep == TW_KEEP_STOCK)
        tw_stock_write(&profile->sheet, options->units, size, sizeof size);
    tw_write_mass(series->frames[0].weight.mass_g, options->units, -1, grams, sizeof grams);
    tw_format(what, sizeof what, "%s%s%s", profile->kind ? profile->kind : "",
              profile->kind ? ", " : "", profile->material);
    if (series->keep == TW_KEEP_GRAMS)
        tw_format(line, 500,
                  "%s. Every frame weighs %s: no grams are lost, they move from the edges to "
                  "where blows land.",
                  what, grams);
    else if (series->keep == TW_KEEP_STOCK)
        tw_format(line, 500,
                  "%s. It begins as the sheet it is cut from, %s, %s, and ends as forged.", what,
                  size, grams);
    else
        tw_format(line, 500,
                  "%s. It begins as sheet as thick as the thickest strike zone, %s, %s; there it "
                  "stays, and the edges are thinned.",
                  what, size, grams);
    tw_text_append(line, 500, " Laid out by tape along the outside of the face.");
    tw_text_bind_units(line, 500);
    tw_format(
        foot, 800,
        "%s%s%s%s"
        "Frames between the first and the last are the two mixed, place by place; they "
        "are no steps of forging.\n"
        "Thickness here counts metal. It is no protection rating and no permission to be hit.",
        profile->note ? profile->note : "", profile->note && date ? "  " : "", date ? date : "",
        profile->note || date ? "\n" : "");
}

tw_scale tw_series_scale(const tw_series *series, tw_units units)
{
    double low = INFINITY, high = 0;

    for (size_t k = 0; k < series->count; k++) {
        low = fmin(low, series->frames[k].thinnest);
        high = fmax(high, series->frames[k].thickest);
    }
    return tw_scale_thickness(low, high, units);
}

tw_panel tw_series_panel(const tw_series *series, size_t frame, const tw_scale *scale, double x,
                         double y, double per_mm, unsigned threads)
{
    const tw_outline *outline = tw_form_outline(series->plate->form);
    const tw_frame_map *map = &series->frames[frame];

    return (tw_panel){.plate = series->plate,
                      .node = map->node,
                      .cell = map->cell,
                      .scale = *scale,
                      .frame = {.x = x,
                                .y = y,
                                .width = (outline->across_max - outline->across_min) * per_mm,
                                .height = (outline->up_max - outline->up_min) * per_mm,
                                .per_mm = per_mm,
                                .across_min = outline->across_min,
                                .up_max = outline->up_max},
                      .contours = frame > 0,
                      .centroid = map->weight.centroid_mm,
                      .threads = threads};
}

/* ---- poster ------------------------------------------------------------------------------------ */

typedef struct poster {
    const tw_series *series;
    const tw_draw_options *options;
    tw_scale scale;
    char title[200], line[500], foot[800];
} poster;

static size_t columns_for(size_t count)
{
    return count <= 4 ? count : count <= 6 ? 3 : 4;
}

/* One frame with its words; returns the height, the same for all of a row. */
static tw_status draw_frame(tw_canvas *canvas, const poster *work, size_t frame, bool first,
                            double x, double y, double room, double per_mm, bool ink,
                            tw_arena *arena, double *height, tw_error *err)
{
    const tw_lettering heading = {.size = 30, .bold = true, .wrap = room};
    const tw_lettering grams = {.size = 38, .bold = true, .wrap = room};
    const tw_lettering plain = {.size = 24, .wrap = room};
    tw_panel panel =
        tw_series_panel(work->series, frame, &work->scale, x, 0, per_mm, work->options->threads);
    tw_frame_words words;
    const double top = y;
    tw_status status = TW_OK;

    tw_series_frame_words(work->series, frame, work->options->units, &words);
    y += tw_text_place(canvas, words.heading, &heading, x, y, ink) + 12;
    panel.ticks_left = first;
    panel.frame.x = floor((x + (room - panel.frame.width) / 2) * canvas->unit) / canvas->unit;
    panel.frame.y = ceil(y * canvas->unit) / canvas->unit;
    if (ink)
        status = tw_panel_draw(canvas, &panel, arena, err);
    y = panel.frame.y + panel.frame.height + tw_panel_foot(canvas) + 4;
    y += tw_text_place(canvas, words.grams, &grams, x, y, ink) + 2;
    y += tw_text_place(canvas, words.words, &plain, x, y, ink);
    *height = y - top;
    return status;
}

static tw_status lay_out(tw_canvas *canvas, const void *context, bool ink, tw_arena *arena,
                         double *height, tw_error *err)
{
    const poster *work = context;
    const tw_outline *outline = tw_form_outline(work->series->plate->form);
    const size_t count = work->series->count, columns = columns_for(count);
    const double side = tw_panel_side(canvas);
    const double room = (PAGE - 2 * MARGIN - side - (double)(columns - 1) * GAP) / (double)columns;
    const double per_mm = fmin(room / (outline->across_max - outline->across_min),
                               560 / (outline->up_max - outline->up_min));
    const bool inch = canvas->units == TW_INCH;
    double y = 32;

    y += tw_text_place(canvas, work->title, &title_letters, MARGIN, y, ink) + 4;
    y += tw_text_place(canvas, work->line, &line_letters, MARGIN, y, ink) + 26;
    for (size_t row = 0; row * columns < count; row++) {
        double tallest = 0, tall = 0;
        for (size_t k = 0; k < columns && row * columns + k < count; k++) {
            const double x = MARGIN + side + (double)k * (room + GAP);
            const tw_status status = draw_frame(canvas, work, row * columns + k, k == 0, x, y, room,
                                                per_mm, ink, arena, &tall, err);
            if (status != TW_OK)
                return status;
            tallest = fmax(tallest, tall);
        }
        y += tallest + 34;
    }
    if (ink)
        tw_legend_draw(canvas, &work->scale,
                       inch ? "Thickness, in, one scale for all"
                            : "Thickness, mm, one scale for all",
                       NULL, NULL, MARGIN + side, y, PAGE - 2 * MARGIN - side);
    y += 110;
    if (ink)
        tw_scale_bar_draw(canvas, per_mm, MARGIN + side, y, room);
    y += 66;
    y += tw_text_place(canvas, work->foot, &foot_letters, MARGIN, y, ink);
    *height = y + 28;
    return TW_OK;
}

tw_status tw_draw_series(const tw_series *series, tw_paper paper, const tw_draw_options *options,
                         tw_output *out, tw_error *err)
{
    poster work = {
        .series = series, .options = options, .scale = tw_series_scale(series, options->units)};

    tw_series_page_words(series, options, work.title, work.line, work.foot);
    return tw_picture_write(options, lay_out, &work, paper, out, err);
}
