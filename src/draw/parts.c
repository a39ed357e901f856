/*
 * parts.c: bars by part. All bars of grams begin at nought on one axis; the scale is the greatest at
 * which every bar, its whisker and the words at its end fit. Beside them, when at least a third of the
 * rows has both maps, what sheet would weigh more or less, on an axis of its own: for fewer, bars would
 * give up half their length to a column of dashes, and the sum below says it.
 */
#include "draw_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

enum { WORDS = 96, TALL_ROWS = 12 /* from here on the axis stands above too */ };
static const double RIGHT = TW_PAGE_WIDTH - TW_PAGE_MARGIN;
static const double NAME_MOST = 400, GAP = 12, PANELS_APART = 56, DIFFERENCE_ROOM = 400;
static const double ROW_MOST = 84, ROWS_TALL = 1000, ROW_SPARE = 10, BAR_MOST = 32;

static const tw_lettering title_letters = {
    .size = 42, .bold = true, .wrap = TW_PAGE_WIDTH - 2 * TW_PAGE_MARGIN};
static const tw_lettering line_letters = {
    .size = 25, .grey = 0.25, .wrap = TW_PAGE_WIDTH - 2 * TW_PAGE_MARGIN};
static const tw_lettering heading_letters = {
    .size = 28, .bold = true, .wrap = 400 /* as DIFFERENCE_ROOM */};
static const tw_lettering figure_letters = {.size = 23};
static const tw_lettering none_letters = {.size = 23, .grey = 0.4};
static const tw_lettering sum_letters = {
    .size = 34, .bold = true, .wrap = TW_PAGE_WIDTH - 2 * TW_PAGE_MARGIN};

typedef struct chart {
    const tw_total *total;
    const tw_sources *sources;
    const tw_draw_options *options;
    tw_part_rows list;
    bool differences; /* enough rows have both maps for a panel of them */
    char line[320];
    const char *sum;
    char sum_more[400], difference_sum[320];
    const char *foot;
} chart;

/* Where things stand, the same with and without ink. */
typedef struct places {
    tw_lettering name;
    double words_height;
    tw_mass_axis grams, difference;
    double difference_x; /* left end of the second panel; 0: there is none */
    double *height;      /* of each row */
} places;

/* ---- words --------------------------------------------------------------------------------------- */

/* ± at 95 % [g]; 0 where there is none. */
static double plus(const tw_figure *figure)
{
    const double expanded = tw_figure_expanded(figure);

    return expanded > 0 ? expanded : 0;
}

static double plus_counted(const tw_part_row *row)
{
    return row->about ? 0 : plus(&row->counted);
}

static void bar_words(const tw_part_row *row, bool model, tw_units units, char out[WORDS])
{
    const tw_figure *figure = model ? &row->modelled : &row->counted;
    const bool about = row->about && !model;
    char mass[64];

    tw_grams_words(figure->g, model ? plus(figure) : plus_counted(row), units, mass, sizeof mass);
    tw_format(out, WORDS, "%s%s, %s", about ? "about " : "", mass, model ? "modelled" : row->how);
    tw_text_bind_units(out, WORDS);
}

/* "together, without culet: 10.65 kg ± 0.03 kg". */
static tw_status sum_line(chart *work, tw_arena *arena, tw_error *err)
{
    const tw_total *total = work->total;
    const double expanded = plus(&total->sum);
    const bool known = work->list.known_count > 0;
    bool about = false;
    char mass[64], many[48];
    const char *without = work->list.missing;

    for (size_t k = 0; k < work->list.count; k++)
        about = about || work->list.rows[k].about;
    tw_grams_words(total->sum.g, expanded, work->options->units, mass, sizeof mass);
    tw_text_bind_units(mass, sizeof mass);
    tw_format(many, sizeof many, "without %zu parts", total->missing_count);
    if (without && total->missing_count > 4) /* their rows name them */
        without = many;
    if (!known)
        without = NULL;
    work->sum = tw_names_join(arena, "together",
                              (const char *[]){without ? ", " : "", without ? without : "", ": ",
                                               known && about && expanded <= 0 ? "about " : "",
                                               known ? mass : "not known"},
                              5, "");
    return work->sum ? TW_OK : tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of parts");
}

static void sum_words(chart *work)
{
    const tw_total *total = work->total;
    const tw_units units = work->options->units;
    const size_t all = total->harness->part_count;
    char models[64], scales[64], more[200];

    if (total->in_count == all && all > 1)
        tw_format(work->sum_more, sizeof work->sum_more, "All %zu parts are in", all);
    else
        tw_format(work->sum_more, sizeof work->sum_more, "%zu of %zu part%s %s in", total->in_count,
                  all, all == 1 ? "" : "s", total->in_count == 1 ? "is" : "are");
    if (total->missing_count > 0 && work->list.known_count > 0) {
        tw_format(more, sizeof more, ", %zu of them not known: the whole weighs more",
                  total->missing_count);
        tw_text_append(work->sum_more, sizeof work->sum_more, more);
    }
    if (total->both_count > 0) {
        tw_grams_words(total->modelled.g, tw_figure_expanded(&total->modelled), units, models,
                       sizeof models);
        tw_grams_words(total->weighed.g, tw_figure_expanded(&total->weighed), units, scales,
                       sizeof scales);
        tw_format(more, sizeof more, ". %zu both weighed and modelled: %s weighed, %s modelled",
                  total->both_count, scales, models);
        tw_text_append(work->sum_more, sizeof work->sum_more, more);
    }
    tw_text_append(work->sum_more, sizeof work->sum_more, ".");
    tw_text_bind_units(work->sum_more, sizeof work->sum_more);
}

static void difference_words(chart *work)
{
    const tw_sources *s = work->sources;
    const tw_units units = work->options->units;
    char difference[48], overlap[48], forged[48], sheet[48], more[120];

    tw_grams_signed(s->difference_g, units, difference, sizeof difference);
    tw_grams_signed(s->overlap_difference_g, units, overlap, sizeof overlap);
    tw_write_mass(s->sheet_g, units, -1, sheet, sizeof sheet);
    tw_write_mass(s->forged_g, units, -1, forged, sizeof forged);
    tw_format(work->difference_sum, sizeof work->difference_sum,
              "Even sheet instead of forged: %s (plates of sheet %s, forged %s)", difference, sheet,
              forged);
    if (fabs(s->overlap_difference_g) >= 0.5) {
        tw_format(more, sizeof more, ", of it %s where they overlap", overlap);
        tw_text_append(work->difference_sum, sizeof work->difference_sum, more);
    }
    if (s->left_out > 0) {
        tw_format(more, sizeof more, "; %zu part%s in%s lack%s one of the two", s->left_out,
                  s->left_out == 1 ? "" : "s", work->differences ? " (–)" : "",
                  s->left_out == 1 ? "s" : "");
        tw_text_append(work->difference_sum, sizeof work->difference_sum, more);
    }
    tw_text_append(work->difference_sum, sizeof work->difference_sum, ".");
    tw_text_bind_units(work->difference_sum, sizeof work->difference_sum);
}

static tw_status begin(chart *work, tw_arena *arena, tw_error *err)
{
    const tw_harness_file *file = work->total->harness->file;
    const char *date = work->options->date ? work->options->date : file->date;
    const char *texts[2];
    size_t count = 0;
    tw_status status;

    work->differences =
        work->list.source_count > 0 && 3 * work->list.source_count >= work->list.count;
    tw_format(work->line, sizeof work->line,
              "Mass as counted, with fittings; whiskers are ± at 95 %%.%s",
              work->differences ? " Right: what even sheet would weigh more (+) or less (−)." : "");
    status = sum_line(work, arena, err);
    if (status != TW_OK)
        return status;
    sum_words(work);
    if (work->list.source_count > 0)
        difference_words(work);
    if (file->note)
        texts[count++] = file->note;
    if (date)
        texts[count++] = date;
    work->foot = tw_names_join(arena, "", texts, count, "  ");
    return work->foot ? TW_OK : tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of parts");
}

/* ---- places ------------------------------------------------------------------------------------- */

/* Column of names: the widest of them, up to a limit where they go on in a second line. */
static double name_column(tw_canvas *canvas, const chart *work, tw_lettering *letters)
{
    double widest = 0, width, height;

    *letters = (tw_lettering){.size = 25};
    for (size_t k = 0; k < work->list.count; k++) {
        tw_text_size(canvas, work->list.rows[k].name, letters, &width, &height);
        widest = fmax(widest, width);
    }
    letters->wrap = ceil(fmin(widest, NAME_MOST)) + 1;
    letters->lines = 3;
    return letters->wrap;
}

static tw_status fit_grams(tw_canvas *canvas, const chart *work, double room, tw_arena *arena,
                           tw_mass_axis *axis, tw_error *err)
{
    const size_t count = work->list.count;
    tw_extent *reaches = tw_arena_array(arena, 2 * count + 1, sizeof *reaches);
    double zero, height;
    char words[WORDS];
    size_t used = 0;

    if (!reaches)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of parts");
    for (size_t k = 0; k < 2 * count; k++) {
        const tw_part_row *row = &work->list.rows[k / 2];
        const tw_figure *figure = k % 2 ? &row->modelled : &row->counted;
        if (!row->known || (k % 2 && !row->both))
            continue;
        bar_words(row, k % 2, work->options->units, words);
        tw_text_size(canvas, words, &figure_letters, &reaches[used].words, &height);
        reaches[used].words += GAP;
        reaches[used].g = fmax(0, figure->g) + (k % 2 ? plus(figure) : plus_counted(row));
        axis->high = fmax(axis->high, reaches[used++].g);
    }
    /* the axis keeps room for its last number and its unit */
    reaches[used++] = (tw_extent){axis->high, 70};
    axis->per_g = tw_extent_fit(reaches, used, room, &zero);
    tw_axis_ticks(axis, 90, work->options->units);
    return TW_OK;
}

static tw_status fit_difference(tw_canvas *canvas, const chart *work, tw_arena *arena,
                                tw_mass_axis *axis, tw_error *err)
{
    const size_t count = work->list.count;
    tw_extent *reaches = tw_arena_array(arena, 2 * count + 1, sizeof *reaches);
    double zero, height;
    char words[WORDS];
    size_t used = 0;

    if (!reaches)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of parts");
    for (size_t k = 0; k < count; k++) {
        const tw_source_row *source = work->list.rows[k].source;
        if (!source)
            continue;
        tw_grams_signed(source->difference_g, work->options->units, words, sizeof words);
        tw_text_size(canvas, words, &figure_letters, &reaches[used].words, &height);
        reaches[used].words += GAP;
        reaches[used++].g = source->difference_g;
        reaches[used++].g = source->overlap_difference_g;
        axis->low = fmin(axis->low, fmin(source->difference_g, source->overlap_difference_g));
        axis->high = fmax(axis->high, fmax(source->difference_g, source->overlap_difference_g));
    }
    reaches[used++] = (tw_extent){axis->high, 70};
    axis->per_g = tw_extent_fit(reaches, used, DIFFERENCE_ROOM, &zero);
    axis->x += zero + axis->low * axis->per_g;
    tw_axis_ticks(axis, 62, work->options->units);
    return TW_OK;
}

static tw_status find_places(tw_canvas *canvas, const chart *work, tw_arena *arena, places *at,
                             tw_error *err)
{
    const size_t count = work->list.count;
    const bool second = work->differences;
    const double share = count > 0 ? ROWS_TALL / (double)count : 0;
    double width;
    tw_status status;

    *at = (places){.height = tw_arena_array(arena, count, sizeof *at->height)};
    if (!at->height)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of parts");
    at->grams.x = TW_PAGE_MARGIN + name_column(canvas, work, &at->name) + 20;
    at->difference_x = second ? RIGHT - DIFFERENCE_ROOM : 0;
    at->difference.x = at->difference_x;
    tw_text_size(canvas, "±", &figure_letters, &width, &at->words_height);
    for (size_t k = 0; k < count; k++) {
        const tw_part_row *row = &work->list.rows[k];
        double name;
        tw_text_size(canvas, row->name, &at->name, &width, &name);
        at->height[k] = fmax(name, (row->both ? 2 : 1) * at->words_height) + ROW_SPARE;
        at->height[k] = fmax(at->height[k], fmin(share, ROW_MOST));
    }
    status =
        fit_grams(canvas, work, (second ? at->difference_x - PANELS_APART : RIGHT) - at->grams.x,
                  arena, &at->grams, err);
    if (status == TW_OK && second)
        status = fit_difference(canvas, work, arena, &at->difference, err);
    return status;
}

/* ---- ink ---------------------------------------------------------------------------------------- */

static void draw_bar(tw_canvas *canvas, const chart *work, const places *at, const tw_part_row *row,
                     bool model, double middle, double thick)
{
    const tw_mass_axis *axis = &at->grams;
    const tw_figure *figure = model ? &row->modelled : &row->counted;
    const double u = model ? plus(figure) : plus_counted(row);
    const double end = tw_axis_at(axis, fmax(0, figure->g));
    char words[WORDS];

    bar_words(row, model, work->options->units, words);
    tw_fill_box(canvas, model ? TW_FILL_MODELLED : row->fill, axis->x, middle - thick / 2, end,
                middle + thick / 2);
    if (u > 0) /* taller than the bar: seen where it is narrower than a line */
        tw_whisker_draw(canvas, axis, figure->g, u, middle, thick / 2 + 2);
    tw_text_draw(canvas, words, &figure_letters, fmax(end, tw_axis_at(axis, figure->g + u)) + GAP,
                 middle - at->words_height / 2);
}

static void draw_difference(tw_canvas *canvas, const chart *work, const places *at,
                            const tw_source_row *source, double middle, double thick)
{
    const tw_mass_axis *axis = &at->difference;
    const double zero = tw_axis_at(axis, 0), end = tw_axis_at(axis, source->difference_g);
    const double overlap = tw_axis_at(axis, source->overlap_difference_g);
    const double top = middle - thick / 2, bottom = middle + thick / 2;
    const bool heavier = source->difference_g >= 0, overlaps = fabs(overlap - zero) > 0.5;
    tw_lettering letters = figure_letters;
    double beyond = end;
    char words[WORDS];

    if (overlaps) /* its own colour, where it is longer than the bar or lies on the other side */
        tw_fill_box(canvas, overlap > zero ? TW_FILL_HEAVIER : TW_FILL_LIGHTER, zero, top, overlap,
                    bottom);
    tw_fill_box(canvas, heavier ? TW_FILL_HEAVIER : TW_FILL_LIGHTER, zero, top, end, bottom);
    if (overlaps) {
        tw_fill_box(canvas, TW_FILL_OVERLAP, zero, top, overlap, bottom);
        beyond = heavier ? fmax(end, overlap) : fmin(end, overlap);
    }
    letters.align = heavier ? TW_LEFT : TW_RIGHT;
    tw_grams_signed(source->difference_g, work->options->units, words, sizeof words);
    tw_text_draw(canvas, words, &letters, beyond + (heavier ? GAP : -GAP),
                 middle - at->words_height / 2);
}

static void draw_row(tw_canvas *canvas, const chart *work, const places *at, size_t k, double top)
{
    const tw_part_row *row = &work->list.rows[k];
    const double tall = at->height[k], middle = top + tall / 2;
    double width, name;

    tw_text_size(canvas, row->name, &at->name, &width, &name);
    tw_text_draw(canvas, row->name, &at->name, TW_PAGE_MARGIN, middle - name / 2);
    if (!row->known) {
        tw_text_draw(canvas, row->how, &none_letters, at->grams.x + GAP,
                     middle - at->words_height / 2);
    } else if (row->both) {
        const double apart = fmax(at->words_height, tall / 3.2);
        const double thick = fmin(BAR_MOST, apart - 9);
        draw_bar(canvas, work, at, row, false, middle - apart / 2, thick);
        draw_bar(canvas, work, at, row, true, middle + apart / 2, thick);
    } else {
        draw_bar(canvas, work, at, row, false, middle, fmin(BAR_MOST, tall - ROW_SPARE));
    }
    if (at->difference_x > 0 && row->source)
        draw_difference(canvas, work, at, row->source, middle, fmin(BAR_MOST, tall - ROW_SPARE));
    else if (at->difference_x > 0)
        tw_text_draw(canvas, "–", &none_letters, tw_axis_at(&at->difference, 0) + GAP,
                     middle - at->words_height / 2);
}

static void draw_axes(tw_canvas *canvas, const places *at, double top, double bottom, bool over)
{
    for (int k = 0; k < 2; k++) {
        const tw_mass_axis *axis = k ? &at->difference : &at->grams;
        if (!(axis->per_g > 0))
            continue;
        tw_axis_draw(canvas, axis, bottom, top, false, k == 1);
        if (over)
            tw_axis_draw(canvas, axis, top, top, true, k == 1);
    }
}

static double draw_rows(tw_canvas *canvas, const chart *work, tw_arena *arena, bool ink, double y,
                        tw_status *status, tw_error *err)
{
    const bool over = work->list.count >= TALL_ROWS;
    const char *right = work->options->units == TW_INCH
                            ? "Even sheet instead of forged: ounces more"
                            : "Even sheet instead of forged: grams more";
    double tall = 0, top, width, left_height, heading;
    places at;

    *status = find_places(canvas, work, arena, &at, err);
    if (*status != TW_OK)
        return y;
    for (size_t k = 0; k < work->list.count; k++)
        tall += at.height[k];
    tw_text_size(canvas, "Counted", &heading_letters, &width, &left_height);
    tw_text_size(canvas, at.difference_x > 0 ? right : "Counted", &heading_letters, &width,
                 &heading);
    if (ink)
        tw_text_draw(canvas, "Counted", &heading_letters, at.grams.x, y + heading - left_height);
    if (ink && at.difference_x > 0)
        tw_text_draw(canvas, right, &heading_letters, at.difference_x, y);
    top = y + heading + 8 + (over ? tw_axis_height(canvas) : 0);
    if (ink) {
        draw_axes(canvas, &at, top, top + tall + 6, over);
        y = top + 3;
        for (size_t k = 0; k < work->list.count; y += at.height[k++])
            draw_row(canvas, work, &at, k, y);
    }
    return top + tall + 6 + tw_axis_height(canvas) + 22;
}

static size_t fill_key(const chart *work, tw_key_entry entries[6])
{
    static const tw_key_entry all[] = {{TW_FILL_WEIGHED, NULL, "weighed"},
                                       {TW_FILL_TOGETHER, NULL, "weighed together or in part"},
                                       {TW_FILL_MODELLED, NULL, "modelled"},
                                       {TW_FILL_HEAVIER, NULL, "sheet heavier"},
                                       {TW_FILL_LIGHTER, NULL, "sheet lighter"},
                                       {TW_FILL_OVERLAP, NULL, "difference where plates overlap"}};
    bool seen[sizeof all / sizeof *all] = {false};
    size_t count = 0;

    for (size_t k = 0; k < work->list.count; k++) {
        const tw_part_row *row = &work->list.rows[k];
        const bool shown = work->differences && row->source;
        double overlap;
        if (!row->known)
            continue;
        seen[0] = seen[0] || row->fill == TW_FILL_WEIGHED;
        seen[1] = seen[1] || row->fill == TW_FILL_TOGETHER;
        seen[2] = seen[2] || row->fill == TW_FILL_MODELLED || row->both;
        if (!shown)
            continue;
        overlap = row->source->overlap_difference_g;
        seen[3] = seen[3] || row->source->difference_g >= 0 || overlap >= 0.5;
        seen[4] = seen[4] || row->source->difference_g < 0 || overlap <= -0.5;
        seen[5] = seen[5] || fabs(overlap) >= 0.5;
    }
    for (size_t k = 0; k < sizeof all / sizeof *all; k++)
        if (seen[k])
            entries[count++] = all[k];
    return count;
}

/* What the rows add up to, and what is not among them. */
static double draw_end(tw_canvas *canvas, const chart *work, bool ink, double y)
{
    const double x = TW_PAGE_MARGIN;

    y += tw_text_place(canvas, work->sum, &sum_letters, x, y, ink) + 4;
    y += tw_text_place(canvas, work->sum_more, &line_letters, x, y, ink) + 4;
    if (work->difference_sum[0])
        y += tw_text_place(canvas, work->difference_sum, &line_letters, x, y, ink) + 4;
    if (work->list.left_out)
        y += tw_text_place(canvas, work->list.left_out, &line_letters, x, y, ink) + 4;
    if (work->foot[0])
        y += 10 + tw_text_place(canvas, work->foot, &line_letters, x, y + 10, ink);
    return y + 28;
}

static tw_status lay_out(tw_canvas *canvas, const void *context, bool ink, tw_arena *arena,
                         double *height, tw_error *err)
{
    const chart *work = context;
    const char *title = tw_names_join(arena, work->total->harness->file->harness,
                                      (const char *[]){": what its parts weigh"}, 1, "");
    tw_key_entry entries[6];
    double y = 32;
    tw_status status = TW_OK;

    if (!title)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of parts");
    y += tw_text_place(canvas, title, &title_letters, TW_PAGE_MARGIN, y, ink) + 4;
    y += tw_text_place(canvas, work->line, &line_letters, TW_PAGE_MARGIN, y, ink) + 16;
    y += tw_key_draw(canvas, entries, fill_key(work, entries), ink, y) + 12;
    if (work->list.count > 0)
        y = draw_rows(canvas, work, arena, ink, y, &status, err);
    if (status == TW_OK)
        *height = draw_end(canvas, work, ink, y);
    return status;
}

tw_status tw_draw_parts(const tw_total *total, const tw_sources *sources, tw_paper paper,
                        const tw_draw_options *options, tw_output *out, tw_error *err)
{
    chart work = {.total = total, .sources = sources, .options = options};
    tw_arena *arena;
    tw_status status = tw_picture_check(options, err);

    assert(total && total->harness && out);
    if (status != TW_OK)
        return status;
    arena = tw_arena_new();
    if (!arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of parts");
    status = tw_part_rows_collect(total, sources, arena, &work.list, err);
    if (status == TW_OK)
        status = begin(&work, arena, err);
    if (status == TW_OK)
        status = tw_picture_write(options, lay_out, &work, paper, out, err);
    tw_arena_free(arena);
    return status;
}
