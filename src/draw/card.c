/*
 * card.c: a gauge card to print on A4 and fill in by hand: the plate by tape with its numbered points, and
 * a table of what is wanted at each, with empty columns. Points that do not fit follow on further pages.
 */
#include "draw_internal.h"
#include "tape_lines.h"

#include <math.h>
#include <string.h>

/* A4 upright, tenths of a millimetre. */
enum { WIDE = 2100, TALL = 2970, MARGIN = 150, ROW = 62, HEAD = 130, FOOT = 420, PLATE = 880 };
enum { READINGS = 3 };
/* Left ends of the columns: point, place, hammered, finished; then a column to each reading. */
static const double columns[] = {MARGIN, MARGIN + 130, MARGIN + 470, MARGIN + 900, MARGIN + 1320};
static const double END = WIDE - MARGIN;

static const tw_lettering title_letters = {.size = 56, .bold = true, .wrap = WIDE - 2 * MARGIN};
static const tw_lettering line_letters = {.size = 32, .grey = 0.2, .wrap = WIDE - 2 * MARGIN};
static const tw_lettering head_letters = {.size = 30, .bold = true};
static const tw_lettering unit_letters = {.size = 25, .grey = 0.25};
static const tw_lettering row_letters = {.size = 32};
static const tw_lettering name_letters = {
    .size = 30, .bold = true, .align = TW_CENTRE, .mark = true};

typedef struct sheet {
    const tw_card *card;
    char title[160], line[600], foot[600];
    double table_top;    /* on the first page */
    size_t first, later; /* rows on the first page, and on each one after it */
} sheet;

/* ---- words ------------------------------------------------------------------------------------------ */

static void write_words(sheet *work, const tw_draw_options *options)
{
    const tw_goal *goal = work->card->goal;
    const tw_profile *profile = goal->plate->profile;
    const char *date = options->date ? options->date : profile->date;
    char stock[64] = "", window[48];

    if (goal->stock.thickness > 0)
        tw_stock_write(&goal->stock, options->units, stock, sizeof stock);
    tw_write_thickness(work->card->window_mm, options->units, -1, window, sizeof window);
    tw_format(work->title, sizeof work->title, "%s: gauge card", profile->plate);
    tw_format(
        work->line, sizeof work->line,
        "Wanted: the %s map%s%s. Window %s either way, but never under what is required.%s%s%s%s",
        goal->planned ? "planned" : "forged", stock[0] ? ", from " : "", stock, window,
        profile->note ? " " : "", profile->note ? profile->note : "", date ? " " : "",
        date ? date : "");
    tw_format(
        work->foot, sizeof work->foot,
        "Gauge square to the face, at the same spot each time, before each annealing. Over its "
        "window: stretch it, or grind it once hammering is over. Under: too thin, stop there, what "
        "is gone does not come back. Metal "
        "drawn far hardens and cracks: anneal; retire what has cracked.\nThickness here counts "
        "metal. It is no protection rating and no permission to be hit.");
    tw_text_bind_units(work->line, sizeof work->line);
}

/* "1.10 (1.00–1.20)" */
static void wanted_words(double wanted, double low, double high, tw_units units, char *out,
                         size_t size)
{
    if (units == TW_INCH)
        tw_format(out, size, "%.3f (%.3f–%.3f)", wanted / 25.4, low / 25.4, high / 25.4);
    else
        tw_format(out, size, "%.2f (%.2f–%.2f)", wanted, low, high);
}

/* ---- the plate by tape -------------------------------------------------------------------------------- */

static tw_frame plate_frame(const sheet *work, double top)
{
    const tw_outline *outline = tw_form_outline(work->card->goal->plate->form);
    const double across = outline->across_max - outline->across_min;
    const double up = outline->up_max - outline->up_min;
    const double room = WIDE - 2 * MARGIN - 120;
    const double per_mm = fmin(10, fmin(room / across, PLATE / up));

    return (tw_frame){.x = MARGIN + 120 + (room - across * per_mm) / 2,
                      .y = top,
                      .width = across * per_mm,
                      .height = up * per_mm,
                      .per_mm = per_mm,
                      .across_min = outline->across_min,
                      .up_max = outline->up_max};
}

/* Light lines of the tape inside the plate, with numbers at its left and below it. */
static void draw_tape(tw_canvas *canvas, const tw_outline *outline, const tw_frame *frame)
{
    const tw_tape_steps steps = tw_tape_steps_of(canvas->units);
    tw_lettering letters = unit_letters;

    letters.mark = true;
    tw_pen_on_metal(canvas, outline, frame);
    tw_tape_lines(canvas->cairo, outline, steps.counted, 0);
    tw_pen_stroke(canvas, 2, 0.75, 1);
    cairo_restore(canvas->cairo);
    tw_tape_numbers(canvas, outline, frame, &steps, &letters,
                    (tw_tape_places){.below = 12, .left = 14, .rise = 16});
}

static void draw_points(tw_canvas *canvas, const sheet *work, const tw_frame *frame)
{
    for (size_t k = 0; k < work->card->count; k++) {
        const tw_check_point *point = &work->card->points[k];
        double x, y, width, height;
        tw_pen_to_page(frame, point->tape[0], point->tape[1], &x, &y);
        cairo_arc(canvas->cairo, x, y, 26, 0, 2 * TW_PI);
        cairo_set_source_rgb(canvas->cairo, 1, 1, 1);
        cairo_fill_preserve(canvas->cairo);
        tw_pen_stroke(canvas, 4, 0, 1);
        tw_text_size(canvas, point->name, &name_letters, &width, &height);
        tw_text_draw(canvas, point->name, &name_letters, x, y - height / 2);
    }
}

/* Returns where it ends. */
static double draw_plate(tw_canvas *canvas, const sheet *work, double top)
{
    const tw_plate *plate = work->card->goal->plate;
    const tw_outline *outline = tw_form_outline(plate->form);
    const tw_frame frame = plate_frame(work, top);
    const double foot = top + frame.height + 60;
    tw_lettering letters = unit_letters;
    const char *left, *right;
    char scale[48];

    draw_tape(canvas, outline, &frame);
    cairo_save(canvas->cairo);
    tw_pen_into_tape(canvas->cairo, &frame);
    tw_pen_outline(canvas->cairo, outline);
    tw_pen_stroke(canvas, 5, 0, 1);
    cairo_restore(canvas->cairo);
    draw_points(canvas, work, &frame);
    tw_format(scale, sizeof scale, "drawn at 1:%.1f", 10 / frame.per_mm);
    letters.align = TW_CENTRE;
    tw_text_draw(canvas, scale, &letters, frame.x + frame.width / 2, foot);
    letters.align = TW_LEFT;
    if (tw_page_sides(plate->profile->worn, &left, &right)) {
        tw_text_draw(canvas, left, &letters, frame.x, foot);
        letters.align = TW_RIGHT;
        tw_text_draw(canvas, right, &letters, frame.x + frame.width, foot);
    }
    return foot + 40;
}

/* ---- the table ------------------------------------------------------------------------------------------ */

static void rule(tw_canvas *canvas, double from_x, double from_y, double to_x, double to_y,
                 double width)
{
    cairo_move_to(canvas->cairo, from_x, from_y);
    cairo_line_to(canvas->cairo, to_x, to_y);
    tw_pen_stroke(canvas, width, 0.35, 1);
}

static void draw_head(tw_canvas *canvas, double top)
{
    const char *unit = canvas->units == TW_INCH ? "in" : "mm";
    const char *const names[] = {"point", "by tape", "hammered", "finished", "readings"};
    char under[5][64] = {"", "", "", "", "date:"};

    tw_format(under[1], sizeof under[1], "across, up [%s]", unit);
    tw_format(under[2], sizeof under[2], "wanted (window) [%s]", unit);
    tw_format(under[3], sizeof under[3], "wanted (window) [%s]", unit);
    for (size_t k = 0; k < 5; k++) {
        tw_text_draw(canvas, names[k], &head_letters, columns[k] + 10, top);
        tw_text_draw(canvas, under[k], &unit_letters, columns[k] + 10, top + 46);
    }
    rule(canvas, MARGIN, top + HEAD, END, top + HEAD, 4);
}

static void draw_row(tw_canvas *canvas, const tw_check_point *point, double top)
{
    char words[80];
    double width, height;

    tw_text_size(canvas, "0", &row_letters, &width, &height);
    top += (ROW - height) / 2;
    tw_text_draw(canvas, point->name, &row_letters, columns[0] + 10, top);
    tw_tape_words(point->tape, canvas->units, words, sizeof words);
    tw_text_draw(canvas, words, &row_letters, columns[1] + 10, top);
    wanted_words(point->rough_mm, point->rough_low_mm, point->rough_high_mm, canvas->units, words,
                 sizeof words);
    tw_text_draw(canvas, words, &row_letters, columns[2] + 10, top);
    wanted_words(point->finished_mm, point->finished_low_mm, point->finished_high_mm, canvas->units,
                 words, sizeof words);
    tw_text_draw(canvas, words, &row_letters, columns[3] + 10, top);
}

static void draw_table(tw_canvas *canvas, const sheet *work, double top, size_t from, size_t count)
{
    const double bottom = top + HEAD + (double)count * ROW;
    const double each = (END - columns[4]) / READINGS;

    draw_head(canvas, top);
    for (size_t k = 0; k < count; k++) {
        const double row = top + HEAD + (double)k * ROW;
        draw_row(canvas, &work->card->points[from + k], row);
        rule(canvas, MARGIN, row + ROW, END, row + ROW, 2);
    }
    for (int k = 0; k <= READINGS; k++)
        rule(canvas, columns[4] + k * each, top + 44, columns[4] + k * each, bottom, 2);
}

static void draw_foot(tw_canvas *canvas, const sheet *work)
{
    static const char *const names[] = {"weight of the blank", "hammered", "finished"};
    const double top = TALL - MARGIN - FOOT + 40, wide = (END - MARGIN) / 3;
    const tw_lettering words = {.size = 28, .grey = 0.2, .wrap = WIDE - 2 * MARGIN};

    for (int k = 0; k < 3; k++) {
        cairo_rectangle(canvas->cairo, MARGIN + k * wide, top, wide - (k < 2 ? 20 : 0), 110);
        tw_pen_stroke(canvas, 3, 0.2, 1);
        tw_text_draw(canvas, names[k], &unit_letters, MARGIN + k * wide + 12, top + 8);
    }
    tw_text_draw(canvas, work->foot, &words, MARGIN, top + 135);
}

/* ---- pages ------------------------------------------------------------------------------------------------ */

static tw_status draw_page(tw_canvas *canvas, const void *context, size_t page, tw_arena *arena,
                           tw_error *err)
{
    const sheet *work = context;
    const size_t from = page == 0 ? 0 : work->first + (page - 1) * work->later;
    const size_t room = page == 0 ? work->first : work->later;
    const size_t left = work->card->count - from;
    double y = MARGIN;

    (void)arena;
    (void)err;
    y += tw_text_draw(canvas, work->title, &title_letters, MARGIN, y) + 8;
    if (page == 0) {
        y += tw_text_draw(canvas, work->line, &line_letters, MARGIN, y) + 30;
        draw_plate(canvas, work, y);
        y = work->table_top;
        draw_foot(canvas, work);
    } else {
        y += 30;
    }
    draw_table(canvas, work, y, from, left < room ? left : room);
    return TW_OK;
}

static tw_status divide(sheet *work, tw_units units, size_t *pages, tw_error *err)
{
    double width, title, line;
    tw_canvas canvas;
    tw_status status = tw_canvas_begin(1, 1, 1, units, &canvas, err);

    if (status != TW_OK)
        return status;
    tw_text_size(&canvas, work->title, &title_letters, &width, &title);
    tw_text_size(&canvas, work->line, &line_letters, &width, &line);
    tw_canvas_end(&canvas);
    line += MARGIN + title + 8 + 30; /* where the plate begins */
    work->table_top = line + plate_frame(work, line).height + 60 + 40 + 30;
    work->first = (size_t)((TALL - MARGIN - FOOT - work->table_top - HEAD) / ROW);
    work->later = (size_t)((TALL - 2 * MARGIN - title - 38 - HEAD) / ROW);
    *pages = 1;
    if (work->card->count > work->first)
        *pages += (work->card->count - work->first + work->later - 1) / work->later;
    return TW_OK;
}

tw_status tw_draw_card(const tw_card *card, tw_paper paper, const tw_draw_options *options,
                       tw_output *out, tw_error *err)
{
    sheet work = {.card = card};
    tw_pages pages = {.width_mm = WIDE / 10.0,
                      .height_mm = TALL / 10.0,
                      .title = work.title,
                      .draw = draw_page,
                      .context = &work};
    tw_status status;

    write_words(&work, options);
    status = divide(&work, options->units, &pages.count, err);
    return status == TW_OK ? tw_paper_write(&pages, paper, options, out, err) : status;
}
