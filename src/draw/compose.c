/*
 * compose.c: panels beside each other on one scale, with the grams under each. Everything is
 * measured first, so that the page is as tall as it needs to be and nothing overlaps. Design
 * pixels throughout: the page is 1600 wide.
 */
#include "draw_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { PAGE = 1600, MARGIN = 40, PANELS_MAX = 3 };
static const double GAP = 34;

typedef struct column {
    char heading[64];
    char grams[64];
    char words[400];
    const double *node;
    tw_scale scale;
    const double *centroid;
    bool contours, zones;
    bool legend; /* a bar of its own under this column */
    const char *low, *high;
} column;

typedef struct page {
    const tw_plate *plate;
    const tw_draw_options *options;
    char title[160], line[320], foot[400];
    size_t count;
    column columns[PANELS_MAX];
    double legend_width; /* columns that share the first legend, in design pixels */
} page;

static const tw_lettering title_letters = {.size = 42, .bold = true};
static const tw_lettering line_letters = {.size = 25, .grey = 0.25, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering heading_letters = {.size = 33, .bold = true};
static const tw_lettering grams_letters = {.size = 50, .bold = true};
static const tw_lettering foot_letters = {.size = 23, .grey = 0.3, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering sides_letters = {.size = 23, .grey = 0.25};

/* What lies at the left and right of the picture on the wearer; false when not said. */
static bool sides(tw_worn worn, const char **left, const char **right)
{
    static const char *const words[][2] = {{NULL, NULL},
                                           {"wearer's right", "wearer's left"},
                                           {"wearer's left", "wearer's right"},
                                           {"wearer's front", "wearer's back"},
                                           {"wearer's back", "wearer's front"}};

    *left = words[worn][0];
    *right = words[worn][1];
    return *left != NULL;
}

/* Draws the page, or only measures it when `ink` is false; returns the height it takes. */
static tw_status lay_out(tw_canvas *canvas, const page *work, bool ink, tw_arena *arena,
                         double *height, tw_error *err)
{
    const tw_outline *outline = tw_form_outline(work->plate->form);
    const double side = tw_panel_side(canvas);
    const double room =
        (PAGE - 2 * MARGIN - side - (double)(work->count - 1) * GAP) / (double)work->count;
    const double across = outline->across_max - outline->across_min;
    const double up = outline->up_max - outline->up_min;
    const double tallest = 1.7 * PAGE / PANELS_MAX;
    const double per_mm = fmin(room / across, tallest / up);
    const double box_width = across * per_mm, box_height = up * per_mm;
    double y = 32, w, h, words_height = 0, legend_height = 0;
    const char *left, *right;
    const bool named_sides = sides(work->plate->profile->worn, &left, &right);
    double x[PANELS_MAX], frame_x[PANELS_MAX];
    tw_status status = TW_OK;

    for (size_t k = 0; k < work->count; k++) {
        x[k] = MARGIN + side + (double)k * (room + GAP);
        frame_x[k] = x[k] + (room - box_width) / 2;
    }
    tw_text_size(canvas, work->title, &title_letters, &w, &h);
    if (ink)
        tw_text_draw(canvas, work->title, &title_letters, MARGIN, y);
    y += h + 4;
    tw_text_size(canvas, work->line, &line_letters, &w, &h);
    if (ink)
        tw_text_draw(canvas, work->line, &line_letters, MARGIN, y);
    y += h + 22;
    for (size_t k = 0; ink && k < work->count; k++)
        tw_text_draw(canvas, work->columns[k].heading, &heading_letters, x[k], y);
    y = ceil((y + 54) * canvas->unit) / canvas->unit;

    for (size_t k = 0; ink && status == TW_OK && k < work->count; k++) {
        const column *col = &work->columns[k];
        const tw_panel panel = {.plate = work->plate,
                                .node = col->node,
                                .scale = col->scale,
                                .frame = {.x = floor(frame_x[k] * canvas->unit) / canvas->unit,
                                          .y = y,
                                          .width = box_width,
                                          .height = box_height,
                                          .per_mm = per_mm,
                                          .across_min = outline->across_min,
                                          .up_max = outline->up_max},
                                .ticks_left = k == 0,
                                .contours = col->contours,
                                .zones = col->zones,
                                .centroid = col->centroid,
                                .threads = work->options->threads};
        status = tw_panel_draw(canvas, &panel, arena, err);
    }
    if (status != TW_OK)
        return status;
    y += box_height + tw_panel_foot(canvas);
    if (named_sides) {
        for (size_t k = 0; ink && k < work->count; k++) {
            tw_lettering letters = sides_letters;
            tw_text_draw(canvas, left, &letters, x[k], y);
            letters.align = TW_RIGHT;
            tw_text_draw(canvas, right, &letters, x[k] + room, y);
        }
        y += 36;
    }
    y += 6;
    for (size_t k = 0; k < work->count; k++) {
        const tw_lettering words = {.size = 26, .wrap = room};
        if (ink) {
            tw_text_draw(canvas, work->columns[k].grams, &grams_letters, x[k], y);
            tw_text_draw(canvas, work->columns[k].words, &words, x[k], y + 64);
        }
        tw_text_size(canvas, work->columns[k].words, &words, &w, &h);
        words_height = fmax(words_height, h);
    }
    y += 64 + words_height + 28;
    for (size_t k = 0; k < work->count; k++) {
        const column *col = &work->columns[k];
        const double width = k == 0 ? work->legend_width * (room + GAP) - GAP : room;
        const char *unit = canvas->units == TW_INCH ? "in" : "mm";
        char text[96];
        if (!col->legend)
            continue;
        snprintf(text, sizeof text,
                 col->scale.palette == TW_PALETTE_THICKNESS ? "Thickness, %s, one scale for both"
                                                            : "Forged less sheet, %s",
                 unit);
        if (work->legend_width < 2 && col->scale.palette == TW_PALETTE_THICKNESS)
            snprintf(text, sizeof text, "Thickness, %s", unit);
        if (ink)
            tw_legend_draw(canvas, &col->scale, text, col->low, col->high, x[k], y, width);
        legend_height = 134;
    }
    y += legend_height + 8;
    if (ink)
        tw_scale_bar_draw(canvas, per_mm, x[0], y, room);
    tw_text_size(canvas, work->foot, &foot_letters, &w, &h);
    y += 60;
    if (ink)
        tw_text_draw(canvas, work->foot, &foot_letters, MARGIN, y);
    *height = y + h + 28;
    return status;
}

/* ---- words ------------------------------------------------------------------------------------- */

/* A number stays with its unit: no line ends between them. */
static void bind_units(char *text, size_t size)
{
    static const char *const units[] = {"mm", "%",   "kg",  "g",   "in",  "lb",
                                        "oz", "swg", "msg", "uss", "bwg", "bg"};
    char *space = text;

    while ((space = strchr(space, ' ')) != NULL) {
        const bool number = space > text && space[-1] >= '0' && space[-1] <= '9';
        for (size_t k = 0; number && k < sizeof units / sizeof *units; k++) {
            const size_t length = strlen(units[k]);
            const char after = strncmp(space + 1, units[k], length) == 0 ? space[1 + length] : 'x';
            if ((after >= 'a' && after <= 'z') || strlen(text) + 2 > size)
                continue;
            memmove(space + 2, space + 1, strlen(space + 1) + 1);
            memcpy(space, "\xc2\xa0", 2); /* no-break space */
            break;
        }
        space++;
    }
}

static void append(char *text, size_t size, const char *more)
{
    const size_t used = strlen(text);

    snprintf(text + used, size - used, "%s", more);
}

static void balance_words(const tw_plate *plate, const double centroid[3], tw_units units,
                          char *out, size_t size)
{
    double tape[2], behind;
    char length[48];

    if (tw_balance_on_face(plate, centroid, tape, &behind)) {
        tw_write_length(behind, units, units == TW_METRIC ? 0 : -1, length, sizeof length);
        snprintf(out, size, "\nBalance point (quartered mark): %s behind the face.", length);
    } else {
        snprintf(out, size, "\nThe balance point lies off the plate's metal.");
    }
}

static void percent_text(double percent, char *out, size_t size)
{
    tw_value_text(percent, fabs(percent) < 9.95 ? 0.1 : 1, false, TW_METRIC, out, size);
}

static tw_status begin(page *work, const tw_plate *plate, const tw_draw_options *options,
                       const char *title, tw_error *err)
{
    const tw_profile *profile = plate->profile;
    char number[64];

    if (options->width && (options->width < 600 || options->width > 20000))
        return tw_fail(err, TW_ERR_DOMAIN, "a picture %zu pixels wide is outside 600 to 20000",
                       options->width);
    memset(work, 0, sizeof *work);
    work->plate = plate;
    work->options = options;
    snprintf(work->title, sizeof work->title, "%s: %s", profile->plate, title);
    tw_value_text(profile->density * 1e6, 1, false, TW_METRIC, number, sizeof number);
    snprintf(work->line, sizeof work->line,
             "%s%s%s, %s kg/m³. Laid out by tape: %s across and up along the outside of the face.",
             profile->kind ? profile->kind : "", profile->kind ? ", " : "", profile->material,
             number, options->units == TW_INCH ? "inches" : "millimetres");
    if (profile->note)
        append(work->foot, sizeof work->foot, profile->note);
    if (options->date || profile->date) {
        append(work->foot, sizeof work->foot, profile->note ? "  " : "");
        append(work->foot, sizeof work->foot, options->date ? options->date : profile->date);
    }
    append(work->foot, sizeof work->foot, work->foot[0] ? "\n" : "");
    append(work->foot, sizeof work->foot,
           "Thickness here counts metal. It is no protection rating and no permission to be hit.");
    return TW_OK;
}

/* One scale for all thickness panels, on round ends a little beyond the values. */
static tw_scale thickness_scale(double low, double high, tw_units units)
{
    tw_scale scale = {.palette = TW_PALETTE_THICKNESS};
    const double span = fmax(high - low, 0.2);

    scale.step = tw_round_step(span, 6, units);
    scale.low = floor(low / scale.step + 1e-6) * scale.step;
    scale.high = ceil(high / scale.step - 1e-6) * scale.step;
    if (scale.high - scale.low < 2 * scale.step) {
        scale.low = fmax(0, scale.low - scale.step);
        scale.high += scale.step;
    }
    return scale;
}

static void forged_column(const tw_plate *plate, const tw_plate_map *forged, tw_units units,
                          column *col)
{
    char thin[48], thick[48], mean[48], balance[160];

    snprintf(col->heading, sizeof col->heading, "As forged");
    tw_write_mass(forged->weight.mass_g, units, -1, col->grams, sizeof col->grams);
    tw_write_thickness(forged->map.thinnest, units, -1, thin, sizeof thin);
    tw_write_thickness(forged->map.thickest, units, -1, thick, sizeof thick);
    tw_write_thickness(forged->weight.mean_thickness_mm, units, -1, mean, sizeof mean);
    balance_words(plate, forged->weight.centroid_mm, units, balance, sizeof balance);
    snprintf(col->words, sizeof col->words,
             "Hammered from %s at the thickest to %s at the thinnest, "
             "%s on average.%s",
             thick, thin, mean, balance);
    col->node = forged->map.node;
    col->centroid = forged->weight.centroid_mm;
    col->contours = col->zones = true;
}

static void sheet_column(const tw_plate *plate, const char *name, const tw_weight *weight,
                         const double *node, tw_units units, column *col)
{
    char balance[160];

    snprintf(col->heading, sizeof col->heading, "As even sheet");
    tw_write_mass(weight->mass_g, units, -1, col->grams, sizeof col->grams);
    balance_words(plate, weight->centroid_mm, units, balance, sizeof balance);
    snprintf(col->words, sizeof col->words, "%s everywhere, as if bent only.%s", name, balance);
    col->node = node;
    col->centroid = weight->centroid_mm;
}

static void difference_column(const tw_against *row, const double *node, tw_scale scale,
                              tw_units units, column *col)
{
    char grams[48], saved[48], kept[48], percent[32], thinner[32], thicker[32];
    const double size = fabs(row->difference_g);

    snprintf(col->heading, sizeof col->heading, "Difference");
    tw_write_mass(size, units, -1, grams, sizeof grams);
    percent_text(fabs(row->difference_percent), percent, sizeof percent);
    percent_text(row->thinner_share_percent, thinner, sizeof thinner);
    percent_text(row->thicker_share_percent, thicker, sizeof thicker);
    tw_write_mass(row->saved_g, units, -1, saved, sizeof saved);
    tw_write_mass(row->kept_g, units, -1, kept, sizeof kept);
    if (size < 0.5) {
        snprintf(col->grams, sizeof col->grams, "the same");
        col->words[0] = '\0';
    } else {
        snprintf(col->grams, sizeof col->grams, "%s%s", row->difference_g > 0 ? "−" : "+", grams);
        snprintf(col->words, sizeof col->words, "The forged plate is %s %s (%s %%). ", grams,
                 row->difference_g > 0 ? "lighter" : "heavier", percent);
    }
    snprintf(col->words + strlen(col->words), sizeof col->words - strlen(col->words),
             "%s left off where it is thinner, %s %% of the face; %s more where it is thicker, "
             "%s %%.",
             saved, thinner, kept, thicker);
    col->node = node;
    col->scale = scale;
    col->contours = col->legend = true;
    col->low = "forged thinner";
    col->high = "forged thicker";
}

static tw_status render(page *work, tw_image *image, tw_error *err)
{
    const size_t width = work->options->width ? work->options->width : PAGE;
    const double unit = (double)width / PAGE;
    tw_arena *arena = tw_arena_new();
    tw_canvas canvas = {0};
    double height = 0;
    tw_status status;

    if (!arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    for (size_t k = 0; k < work->count; k++)
        bind_units(work->columns[k].words, sizeof work->columns[k].words);
    status = tw_canvas_begin(1, 1, unit, work->options->units, &canvas, err);
    if (status == TW_OK) {
        status = lay_out(&canvas, work, false, arena, &height, err);
        tw_canvas_end(&canvas);
    }
    if (status == TW_OK)
        status = tw_canvas_begin(width, (size_t)ceil(height * unit), unit, work->options->units,
                                 &canvas, err);
    if (status == TW_OK) {
        status = lay_out(&canvas, work, true, arena, &height, err);
        if (status == TW_OK)
            status = tw_canvas_image(&canvas, image, err);
        tw_canvas_end(&canvas);
    }
    tw_arena_free(arena);
    return status;
}

/* ---- the two pictures ------------------------------------------------------------------------ */

tw_status tw_draw_comparison(const tw_comparison *comparison, const tw_draw_options *options,
                             tw_image *image, tw_error *err)
{
    const tw_plate *plate = comparison->plate;
    const tw_plate_map *forged = comparison->forged;
    const tw_grid *grid = plate->grid;
    const size_t nodes = grid->nu * grid->nv;
    size_t which = options->which;
    tw_arena *arena;
    double *even, *difference, most;
    const tw_against *row;
    tw_scale scale, change = {.palette = TW_PALETTE_DIFFERENCE};
    tw_stock stock;
    char name[64];
    page work;
    tw_status status;

    if (comparison->count == 0)
        return tw_fail(err, TW_ERR_INPUT, "there is no sheet to compare with");
    if (which >= comparison->count) { /* the last is the profile's own stock, if it has one */
        which = comparison->count - 1;
        if (comparison->against[which].reason != TW_REASON_STOCK)
            which = 0;
    }
    row = &comparison->against[which];
    status = begin(&work, plate, options, "forged taper against even sheet", err);
    if (status != TW_OK)
        return status;
    arena = tw_arena_new();
    even = arena ? tw_arena_array(arena, nodes, sizeof *even) : NULL;
    difference = arena ? tw_arena_array(arena, nodes, sizeof *difference) : NULL;
    if (!even || !difference) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    }
    for (size_t n = 0; n < nodes; n++)
        even[n] = row->sheet_mm;
    tw_compare_difference(comparison, which, difference);
    most = fmax(fabs(forged->map.thickest - row->sheet_mm),
                fabs(forged->map.thinnest - row->sheet_mm));
    change.step = tw_round_step(fmax(2 * most, 0.1), 6, options->units);
    change.high = ceil(most / change.step - 1e-6) * change.step;
    change.high = fmax(change.high, change.step);
    change.low = -change.high;
    scale = thickness_scale(fmin(forged->map.thinnest, row->sheet_mm),
                            fmax(forged->map.thickest, row->sheet_mm), options->units);

    stock = (tw_stock){.thickness = row->sheet_mm};
    if (row->reason == TW_REASON_STOCK)
        stock = plate->profile->sheet;
    tw_stock_write(&stock, options->units, name, sizeof name);
    work.count = 3;
    work.legend_width = 2;
    forged_column(plate, forged, options->units, &work.columns[0]);
    work.columns[0].scale = scale;
    work.columns[0].legend = true;
    sheet_column(plate, name, &row->weight, even, options->units, &work.columns[1]);
    work.columns[1].scale = scale;
    difference_column(row, difference, change, options->units, &work.columns[2]);
    status = render(&work, image, err);
    tw_arena_free(arena);
    return status;
}

tw_status tw_draw_plate(const tw_plate *plate, const tw_draw_options *options, tw_image *image,
                        tw_error *err)
{
    double low = INFINITY, high = 0;
    tw_scale scale;
    page work;
    tw_status status = begin(&work, plate, options, "thickness", err);

    if (status != TW_OK)
        return status;
    if (plate->map_count == 0)
        return tw_fail(err, TW_ERR_INPUT, "there is no thickness map to draw");
    for (size_t k = 0; k < plate->map_count; k++) {
        low = fmin(low, plate->maps[k].map.thinnest);
        high = fmax(high, plate->maps[k].map.thickest);
    }
    scale = thickness_scale(low, high, options->units);
    work.count = plate->map_count < PANELS_MAX ? plate->map_count : PANELS_MAX;
    work.legend_width = (double)work.count;
    for (size_t k = 0; k < work.count; k++) {
        const tw_plate_map *item = &plate->maps[k];
        char name[64];
        if (item->map.kind == TW_MAP_FORGED) {
            forged_column(plate, item, options->units, &work.columns[k]);
        } else {
            tw_stock_write(&plate->profile->sheet, options->units, name, sizeof name);
            sheet_column(plate, name, &item->weight, item->map.node, options->units,
                         &work.columns[k]);
        }
        work.columns[k].scale = scale;
        work.columns[k].legend = k == 0;
    }
    return render(&work, image, err);
}
