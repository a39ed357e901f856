/*
 * form_part.c: the parts of a card to fill in by hand: boxes, tables, words, and the foot with its bars. All in
 * tenths of a millimetre. A box is at least 8 mm high below its label, so that a pencil has room.
 */
#include "form_card.h"
#include "ruler.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { GAP = 20, INSIDE = 10, TICK = 42 };

static const tw_lettering title_letters = {.size = 27, .bold = true};
static const tw_lettering word_letters = {.size = 26, .grey = 0.1};
static const tw_lettering label_letters = {.size = 23, .grey = 0.1};
static const tw_lettering head_letters = {.size = 23, .grey = 0.1, .align = TW_CENTRE};
static const tw_lettering tick_letters = {.size = 26};
static const tw_lettering number_letters = {.size = 22, .grey = 0.45, .mark = true};
static const tw_lettering foot_letters = {.size = 23, .grey = 0.2};

static const char caution[] =
    "Hold a ruler to both bars: if they are not true, print again at 100 %. Thickness counts "
    "metal. It is no protection rating and no permission to be hit. Cut sheet is sharp: wear "
    "gloves.";

tw_status tw_bench_sheet_begin(const tw_draw_options *options, tw_bench_sheet *out, tw_error *err)
{
    const tw_page_size *page = &options->page;

    *out = (tw_bench_sheet){.width = 2100, .height = 2970, .date = options->date};
    if (page->width_mm <= 0)
        return TW_OK;
    if (page->height_mm < 279 || page->width_mm < 205) {
        tw_fail(err, TW_ERR_DOMAIN, "%s is no paper for a card to fill in by hand",
                page->name[0] ? page->name : "that");
        tw_error_advise(err, page->name, "a4 and letter are");
        return TW_ERR_DOMAIN;
    }
    out->width = 10 * page->width_mm;
    out->height = 10 * page->height_mm;
    return TW_OK;
}

double tw_bench_content(const tw_bench_sheet *sheet)
{
    return sheet->width - 2 * TW_BENCH_MARGIN - TW_BENCH_SIDE;
}

/* What is read in millimetres is read in inches by those who write inches. */
static const char *label_of(const tw_canvas *canvas, const tw_bench_box *box)
{
    const bool inch = canvas->units == TW_INCH && strcmp(box->label, "thickness, mm") == 0;

    return inch ? "thickness, in" : box->label;
}

/* ---- boxes ------------------------------------------------------------------------------------------- */

static size_t count_boxes(const tw_bench_box *boxes, double *width)
{
    size_t count = 0;

    *width = 0;
    for (; boxes[count].label; count++)
        *width += 10 * boxes[count].width;
    return count;
}

static void frame(tw_canvas *canvas, double left, double top, double width, double height)
{
    cairo_rectangle(canvas->cairo, left, top, width, height);
    tw_pen_stroke(canvas, 2.5, 0.25, 1);
}

static void note_place(tw_bench_sheet *sheet, const tw_bench_box *box, double left, double top,
                       double right, double bottom)
{
    if (sheet->places && sheet->place_count < sheet->place_room)
        sheet->places[sheet->place_count] = (tw_bench_place){box, {left, top, right, bottom}};
    sheet->place_count += sheet->places != NULL;
}

static void square(tw_canvas *canvas, double x, double y)
{
    cairo_rectangle(canvas->cairo, x, y, TICK, TICK);
    tw_pen_stroke(canvas, 3, 0.1, 1);
}

/* Squares with their words, one after the other. */
static void draw_ticks(tw_canvas *canvas, const char *ticks, double x, double middle)
{
    while (*ticks) {
        const size_t length = strcspn(ticks, "|");
        char word[40];
        double width, height;

        snprintf(word, sizeof word, "%.*s", (int)length, ticks);
        tw_text_size(canvas, word, &tick_letters, &width, &height);
        square(canvas, x, middle - TICK / 2);
        tw_text_draw(canvas, word, &tick_letters, x + TICK + 10, middle - height / 2);
        x += TICK + 10 + width + 24;
        ticks += length + (ticks[length] == '|');
    }
}

/* One line of boxes, their labels at the top of each. */
static void draw_boxes(tw_canvas *canvas, tw_bench_sheet *sheet, const tw_bench_part *part,
                       double x, double y, double width)
{
    double least;
    const size_t count = count_boxes(part->boxes, &least);
    const double stretch = (width - (double)(count - 1) * GAP) / least;
    const double top = y + TW_BENCH_BOX - TW_BENCH_ROW;

    for (size_t k = 0; k < count; k++) {
        const tw_bench_box *box = &part->boxes[k];
        const double wide = 10 * box->width * stretch;
        frame(canvas, x, y, wide, TW_BENCH_BOX);
        tw_text_draw(canvas, box->label, &label_letters, x + INSIDE, y + 5);
        note_place(sheet, box, x, top, x + wide, y + TW_BENCH_BOX);
        if (box->ticks)
            draw_ticks(canvas, box->ticks, x + INSIDE + 6, top + TW_BENCH_ROW / 2.0 - 4);
        else if (sheet->date && box->key && strcmp(box->key, "date") == 0)
            tw_text_draw(canvas, sheet->date, &tick_letters, x + INSIDE + 6, top + 16);
        x += wide + GAP;
    }
}

/* ---- tables -------------------------------------------------------------------------------------------- */

static double title_height(tw_canvas *canvas, const tw_bench_part *part, double width)
{
    tw_lettering letters = title_letters;
    double wide, tall;

    if (!part->title)
        return 0;
    letters.wrap = width;
    tw_text_size(canvas, part->title, &letters, &wide, &tall);
    return tall + 6;
}

/* The tallest of the columns' heads. */
static double head_height(tw_canvas *canvas, const tw_bench_part *part, double width)
{
    tw_lettering letters = head_letters;
    double least, tallest = TW_BENCH_HEAD_ROW, wide, tall;
    const size_t count = count_boxes(part->boxes, &least);

    for (size_t k = 0; k < count; k++) {
        letters.wrap = 10 * part->boxes[k].width * width / least - 8;
        tw_text_size(canvas, part->boxes[k].label, &letters, &wide, &tall);
        tallest = fmax(tallest, tall + 8);
    }
    return tallest;
}

static void draw_row(tw_canvas *canvas, tw_bench_sheet *sheet, const tw_bench_part *part, double x,
                     double y, double width, size_t number)
{
    double least, wide, height;
    const size_t count = count_boxes(part->boxes, &least);
    char digits[16];

    for (size_t k = 0; k < count; k++) {
        const tw_bench_box *box = &part->boxes[k];
        wide = 10 * box->width * width / least;
        note_place(sheet, box, x, y, x + wide, y + TW_BENCH_ROW);
        if (box->ticks)
            square(canvas, x + (wide - TICK) / 2, y + (TW_BENCH_ROW - TICK) / 2.0);
        x += wide;
    }
    if (part->numbered) {
        double tall;
        snprintf(digits, sizeof digits, "%zu", number);
        tw_text_size(canvas, digits, &number_letters, &height, &tall);
        tw_text_draw(canvas, digits, &number_letters, x - width + 7, y + TW_BENCH_ROW - tall - 4);
    }
}

static void draw_table(tw_canvas *canvas, tw_bench_sheet *sheet, const tw_bench_part *part,
                       double x, double y, double width, size_t more, size_t first)
{
    const double head = head_height(canvas, part, width);
    const size_t rows = part->rows + more;
    const double bottom = y + head + (double)rows * TW_BENCH_ROW;
    double least, left = x;
    const size_t count = count_boxes(part->boxes, &least);
    tw_lettering letters = head_letters;

    for (size_t k = 0; k < count; k++) {
        const double wide = 10 * part->boxes[k].width * width / least;
        double unused, tall;
        letters.wrap = wide - 8;
        tw_text_size(canvas, label_of(canvas, &part->boxes[k]), &letters, &unused, &tall);
        tw_text_draw(canvas, label_of(canvas, &part->boxes[k]), &letters, left + wide / 2,
                     y + (head - tall) / 2);
        left += wide;
    }
    left = x;
    for (size_t k = 0; k + 1 < count; k++) {
        left += 10 * part->boxes[k].width * width / least;
        cairo_move_to(canvas->cairo, left, y);
        cairo_line_to(canvas->cairo, left, bottom);
    }
    for (size_t k = 0; k < rows; k++) {
        cairo_move_to(canvas->cairo, x, y + head + (double)k * TW_BENCH_ROW);
        cairo_rel_line_to(canvas->cairo, width, 0);
    }
    tw_pen_stroke(canvas, 2, 0.4, 1);
    frame(canvas, x, y, width, bottom - y);
    for (size_t k = 0; k < rows; k++)
        draw_row(canvas, sheet, part, x, y + head + (double)k * TW_BENCH_ROW, width, first + k);
}

/* ---- parts ---------------------------------------------------------------------------------------------- */

double tw_bench_part_height(tw_canvas *canvas, const tw_bench_part *part, double width, size_t more)
{
    const double title = title_height(canvas, part, width);
    tw_lettering letters = word_letters;
    double wide, tall;

    switch (part->kind) {
    case TW_BENCH_PART_BOXES:
        return title + TW_BENCH_BOX;
    case TW_BENCH_PART_TABLE:
        return title + head_height(canvas, part, width) +
               (double)(part->rows + more) * TW_BENCH_ROW;
    case TW_BENCH_PART_SKETCH:
        return title + 10 * part->height + (double)more;
    case TW_BENCH_PART_WORDS:
        letters.wrap = width;
        tw_text_size(canvas, part->words, &letters, &wide, &tall);
        return title + tall;
    case TW_BENCH_PART_END:
        break;
    }
    return 0;
}

void tw_bench_part_draw(tw_canvas *canvas, tw_bench_sheet *sheet, const tw_bench_part *part,
                        double x, double y, double width, size_t more, size_t first)
{
    tw_lettering letters = title_letters;
    const double height = tw_bench_part_height(canvas, part, width, more);
    const double title = title_height(canvas, part, width);

    letters.wrap = width;
    if (part->title)
        tw_text_draw(canvas, part->title, &letters, x, y);
    y += title;
    if (part->kind == TW_BENCH_PART_BOXES) {
        draw_boxes(canvas, sheet, part, x, y, width);
    } else if (part->kind == TW_BENCH_PART_TABLE) {
        draw_table(canvas, sheet, part, x, y, width, more, first);
    } else if (part->kind == TW_BENCH_PART_SKETCH) {
        part->sketch(canvas, x, y, width, height - title);
    } else {
        letters = word_letters;
        letters.wrap = width;
        tw_text_draw(canvas, part->words, &letters, x, y);
    }
}

void tw_bench_foot_draw(tw_canvas *canvas, const tw_bench_sheet *sheet)
{
    const double bottom = sheet->height - TW_BENCH_MARGIN;
    const double side = sheet->width - TW_BENCH_MARGIN;
    tw_lettering letters = foot_letters;

    letters.wrap = side - TW_BENCH_MARGIN - TW_RULER_BAR - 120;
    tw_ruler_bar(canvas, TW_BENCH_MARGIN, bottom - 60, false);
    tw_ruler_bar(canvas, side - 40, bottom - 20, true);
    tw_text_draw(canvas, caution, &letters, TW_BENCH_MARGIN + TW_RULER_BAR + 50,
                 bottom - TW_BENCH_FOOT + 22);
}
