/*
 * marking.c: a plate laid out by tape, as large as fits a page, to mark points of readings on in place of on the
 * object; rows for the readings below it, as many as there is room for, and a page of them after it.
 */
#include "form_card.h"
#include "marking.h"

#include <math.h>
#include <stdio.h>

enum { ROWS_LEAST = 4, GAP = 22, COLUMN_GAP = 20 };

static const tw_lettering title_letters = {.size = 48, .bold = true};
static const tw_lettering line_letters = {.size = 26, .grey = 0.1};
static const tw_lettering side_letters = {.size = 24, .grey = 0.15};

static const tw_bench_box tape_boxes[] = {
    {"name", "point", 18, NULL},          {"across", "across", 18, NULL}, {"up", "up", 18, NULL},
    {"thickness", "thickness", 18, NULL}, {"remark", "remark", 18, NULL}, {.label = NULL}};
static const tw_bench_box bowl_boxes[] = {
    {"name", "point", 18, NULL},    {"from crown", "from crown", 18, NULL},
    {"toward", "toward", 18, NULL}, {"thickness", "thickness", 18, NULL},
    {"remark", "remark", 18, NULL}, {.label = NULL}};

typedef struct marking {
    const tw_form *form;
    tw_bench_sheet *sheet;
    char title[160], line[600];
    tw_frame frame;
    tw_bench_part table;
    double table_top;    /* on the first page */
    double later_top;    /* on the second */
    size_t first, later; /* rows of a half of the table */
} marking;

static void write_words(marking *work, const tw_draw_options *options, double per_mm)
{
    const tw_profile *profile = tw_form_profile(work->form);
    const char *date = options->date ? options->date : profile->date;
    const double scale = 10 / per_mm;
    char ratio[40];

    if (scale >= 1)
        tw_format(ratio, sizeof ratio, "1 : %.1f", scale);
    else
        tw_format(ratio, sizeof ratio, "%.1f : 1", 1 / scale);
    tw_format(work->title, sizeof work->title, "%s by tape, %s: to mark readings on",
              profile->plate, ratio);
    tw_format(work->line, sizeof work->line,
              "Not for cutting. %s, seen from outside; %s. Mark points here, not on the object: "
              "nothing is written on it. Soft card goes under the tape; the handling rules of its "
              "owner or "
              "curator come first.%s%s%s%s",
              profile->form == TW_FORM_BOWL
                  ? "Rings count the tape from the crown, bearings run clockwise from up"
                  : "Across from the centre line, up along it by tape",
              options->units == TW_INCH ? "inches" : "millimetres", profile->note ? " " : "",
              profile->note ? profile->note : "", date ? " " : "", date ? date : "");
}

/* A scale that is told in one decimal and told true. */
static double told_scale(double per_mm)
{
    const double scale = 10 / per_mm;

    if (scale >= 1)
        return 10 / (ceil(scale * 10 - 1e-9) / 10);
    return 10 * (floor(10 / scale + 1e-9) / 10);
}

/* Lays both pages out: the plate takes what the words and the least rows leave. */
static void lay_out(tw_canvas *canvas, marking *work, const tw_draw_options *options)
{
    const tw_outline *outline = tw_form_outline(work->form);
    const bool bowl = tw_form_profile(work->form)->form == TW_FORM_BOWL;
    const double content = tw_bench_content(work->sheet), half = (content - COLUMN_GAP) / 2;
    const double across = outline->across_max - outline->across_min;
    const double up = outline->up_max - outline->up_min;
    const double left = bowl ? TW_MARKING_ROUND : TW_MARKING_SIDE;
    const double right = bowl ? TW_MARKING_ROUND : 20, above = bowl ? 50 : 6;
    const double below = TW_MARKING_BELOW + (bowl ? 10 : 0) + 40;
    const double end = work->sheet->height - TW_BENCH_MARGIN - TW_BENCH_FOOT;
    tw_lettering line = line_letters;
    double unused, title, words, top, head, per_mm;

    line.wrap = content + TW_BENCH_SIDE;
    work->table = (tw_bench_part){.kind = TW_BENCH_PART_TABLE,
                                  .boxes = bowl ? bowl_boxes : tape_boxes,
                                  .rows = 0,
                                  .numbered = true};
    write_words(work, options, 10);
    tw_text_size(canvas, work->title, &title_letters, &unused, &title);
    tw_text_size(canvas, work->line, &line, &unused, &words);
    head = tw_bench_part_height(canvas, &work->table, half, 0);
    top = TW_BENCH_MARGIN + title + 4 + words + GAP + above;
    per_mm = fmin((content - left - right) / across,
                  (end - top - below - head - ROWS_LEAST * TW_BENCH_ROW) / up);
    per_mm = told_scale(per_mm);
    write_words(work, options, per_mm);
    work->frame =
        (tw_frame){.x = TW_BENCH_MARGIN + left + (content - left - right - across * per_mm) / 2,
                   .y = top,
                   .width = across * per_mm,
                   .height = up * per_mm,
                   .per_mm = per_mm,
                   .across_min = outline->across_min,
                   .up_max = outline->up_max};
    work->table_top = top + work->frame.height + below;
    work->first = (size_t)((end - work->table_top - head) / TW_BENCH_ROW);
    work->later_top = TW_BENCH_MARGIN + title + GAP;
    work->later = (size_t)((end - work->later_top - head) / TW_BENCH_ROW);
}

static void draw_tables(tw_canvas *canvas, const marking *work, double y, size_t rows, size_t first)
{
    const double half = (tw_bench_content(work->sheet) - COLUMN_GAP) / 2;

    tw_bench_part_draw(canvas, work->sheet, &work->table, TW_BENCH_MARGIN, y, half, rows, first);
    tw_bench_part_draw(canvas, work->sheet, &work->table, TW_BENCH_MARGIN + half + COLUMN_GAP, y,
                       half, rows, first + rows);
}

static void draw_sides(tw_canvas *canvas, const marking *work)
{
    const bool bowl = tw_form_profile(work->form)->form == TW_FORM_BOWL;
    const double y = work->frame.y + work->frame.height + (bowl ? TW_MARKING_BELOW : 44);
    tw_lettering letters = side_letters;
    const char *left, *right;

    if (!tw_page_sides(tw_form_profile(work->form)->worn, &left, &right))
        return;
    tw_text_draw(canvas, left, &letters, TW_BENCH_MARGIN, y);
    letters.align = TW_RIGHT;
    tw_text_draw(canvas, right, &letters, TW_BENCH_MARGIN + tw_bench_content(work->sheet), y);
}

static tw_status draw_page(tw_canvas *canvas, const void *context, size_t page, tw_arena *arena,
                           tw_error *err)
{
    const marking *work = context;
    tw_lettering line = line_letters;
    tw_status status = TW_OK;
    double y = TW_BENCH_MARGIN;

    line.wrap = tw_bench_content(work->sheet) + TW_BENCH_SIDE;
    y += tw_text_draw(canvas, work->title, &title_letters, TW_BENCH_MARGIN, y) + 4;
    if (page == 0) {
        tw_text_draw(canvas, work->line, &line, TW_BENCH_MARGIN, y);
        status = tw_marking_plate_draw(canvas, work->form, &work->frame, arena, err);
        draw_sides(canvas, work);
        draw_tables(canvas, work, work->table_top, work->first, 1);
    } else {
        draw_tables(canvas, work, work->later_top, work->later, 2 * work->first + 1);
    }
    tw_bench_foot_draw(canvas, work->sheet);
    return status;
}

tw_status tw_draw_marking(const tw_form *form, tw_paper paper, const tw_draw_options *options,
                          tw_output *out, tw_error *err)
{
    tw_bench_sheet sheet;
    marking work = {.form = form, .sheet = &sheet};
    tw_pages pages = {.count = 2, .title = work.title, .draw = draw_page, .context = &work};
    tw_canvas canvas;
    tw_status status = tw_bench_sheet_begin(options, &sheet, err);

    if (status == TW_OK)
        status = tw_canvas_begin(1, 1, 1, options->units, &canvas, err);
    if (status != TW_OK)
        return status;
    lay_out(&canvas, &work, options);
    tw_canvas_end(&canvas);
    pages.width_mm = sheet.width / 10;
    pages.height_mm = sheet.height / 10;
    return tw_paper_write(&pages, paper, options, out, err);
}
