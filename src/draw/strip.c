/*
 * strip.c: own masses among records, one row a standing. Each row has an axis of its own that does not
 * begin at nought: a tasset and a whole armour lie twenty times apart. It holds 30 % of the own mass
 * either way, so that beside few records 3 % does not look like much. Records are dots that keep clear
 * of each other; the own mass is a diamond in a lane under them, so that it hides none.
 */
#include "draw_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

enum {
    SWARM_MOST = 1500, /* more records stand in columns: a swarm takes their square */
    LICENCES_MOST = 8
};
static const double MARGIN = TW_PAGE_MARGIN, RIGHT = TW_PAGE_WIDTH - TW_PAGE_MARGIN;
static const double NAME_ROOM = 330, WORDS_ROOM = 370, APART = 30;
static const double DOT_MOST = 8.5, DOT_LEAST = 2.5, SWARM_TALL = 90; /* half the lane of dots */
static const double AXIS_SHARE = 0.3; /* of the mass, at least so much of it on either side */
static const double OWN_LANE = 44, DIAMOND = 13, ROW_APART = 26;

static const tw_lettering title_letters = {
    .size = 42, .bold = true, .wrap = TW_PAGE_WIDTH - 2 * TW_PAGE_MARGIN};
static const tw_lettering line_letters = {
    .size = 25, .grey = 0.25, .wrap = TW_PAGE_WIDTH - 2 * TW_PAGE_MARGIN};
static const tw_lettering name_letters = {.size = 28, .bold = true, .wrap = NAME_ROOM, .lines = 3};
static const tw_lettering kinds_letters = {.size = 23, .grey = 0.3, .wrap = NAME_ROOM, .lines = 4};
static const tw_lettering count_letters = {.size = 25};
static const tw_lettering lead_letters = {.size = 26, .bold = true, .wrap = WORDS_ROOM};
static const tw_lettering words_letters = {.size = 23, .grey = 0.2, .wrap = WORDS_ROOM};
static const tw_lettering own_letters = {.size = 23, .halo = true};

typedef struct chart {
    const tw_ranking *ranking;
    const tw_draw_options *options;
    const char *sources, *alone; /* lines under the rows */
    char whole[400];             /* why it has no row */
    bool quartiles;              /* are in a row */
    bool bare;                   /* without title, lines and date */
} chart;

/* ---- words --------------------------------------------------------------------------------------- */

/* "institution (licence)", each once, by order of appearance. */
static tw_status list_sources(chart *work, tw_arena *arena, tw_error *err)
{
    const tw_ranking *ranking = work->ranking;
    const char *names[LICENCES_MOST + 1], *institution[LICENCES_MOST], *licence[LICENCES_MOST];
    size_t count = 0, others = 0;
    char more[48];

    for (size_t r = 0; r < ranking->count; r++) {
        for (size_t k = 0; k < ranking->rows[r].count; k++) {
            const tw_original *record = ranking->rows[r].records[k];
            const char *where = record->institution ? record->institution : "";
            const char *terms = record->licence ? record->licence : "";
            size_t at = 0;
            while (at < count &&
                   (strcmp(institution[at], where) != 0 || strcmp(licence[at], terms) != 0))
                at++;
            if (at < count || !where[0])
                continue;
            if (count == LICENCES_MOST) {
                others++;
                continue;
            }
            institution[count] = where;
            licence[count] = terms;
            names[count] = where;
            if (terms[0])
                names[count] =
                    tw_names_join(arena, where, (const char *[]){" (", terms, ")"}, 3, "");
            if (!names[count++])
                goto no_memory;
        }
    }
    tw_format(more, sizeof more, "%zu more records of others", others);
    if (others > 0)
        names[count++] = more;
    work->sources = "";
    if (count > 0)
        work->sources = tw_names_join(arena, "Records: ", names, count, ", ");
    work->alone = "";
    if (ranking->alone_count > 0)
        work->alone = tw_names_join(arena, "No row, for want of a record of this kind alone: ",
                                    ranking->alone, ranking->alone_count, ", ");
    if (work->sources && work->alone)
        return TW_OK;
no_memory:
    return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of records");
}

static void whole_words(chart *work)
{
    const tw_ranking *ranking = work->ranking;
    const bool one_kind = ranking->count == 0 && ranking->alone_count == 1; /* told below */
    char more[320];

    if (ranking->whole || (!ranking->harness && !ranking->stopper) || one_kind)
        return;
    tw_format(work->whole, sizeof work->whole,
              "No row for the whole: no record covers the same kinds and no others, or a part "
              "has no figure.");
    if (!ranking->stopper)
        return;
    tw_format(more, sizeof more, " Without %s it would meet %zu record%s.", ranking->stopper,
              ranking->stopper_records, ranking->stopper_records == 1 ? "" : "s");
    tw_text_append(work->whole, sizeof work->whole, more);
}

/* One of a pair of which only the sum was weighed: the pair's own row follows and says it better. */
static bool is_half(const tw_ranking *ranking, size_t k)
{
    const tw_standing *row = &ranking->rows[k], *next = row + 1;

    return k + 1 < ranking->count && row->kind_count == 1 && next->kind_count == 1 &&
           row->kinds[0].count == 1 && next->kinds[0].count == 2 &&
           strcmp(row->kinds[0].kind, next->kinds[0].kind) == 0 &&
           (strstr(row->what, "share of a weighing") || strstr(row->what, "half of the pair"));
}

/* ---- one row ------------------------------------------------------------------------------------ */

typedef struct strip {
    const tw_standing *row;
    const char *kinds;
    char count[32], lead[96], more[TW_STANDING_WORDS];
    tw_mass_axis axis;   /* per_g 0: nothing to draw */
    double u;            /* of the own mass; 0 without */
    double radius, lane; /* of dots; half the lane */
    double *x, *offset;
} strip;

static void find_axis(strip *s, tw_units units)
{
    const tw_standing *row = s->row;
    const double room = RIGHT - WORDS_ROOM - APART - 50 - (MARGIN + NAME_ROOM + APART);
    double low = INFINITY, high = -INFINITY, middle, spare;

    for (size_t k = 0; k < row->count; k++) {
        low = fmin(low, row->records[k]->g);
        high = fmax(high, row->records[k]->g);
    }
    if (tw_figure_is(&row->own)) {
        low = fmin(low, row->own.g - s->u);
        high = fmax(high, row->own.g + s->u);
    }
    if (!(low <= high))
        return;
    middle = tw_figure_is(&row->own) ? row->own.g : (low + high) / 2;
    spare = 0.06 * (high - low);
    s->axis.x = MARGIN + NAME_ROOM + APART;
    s->axis.low = fmax(0, fmin(low - spare, (1 - AXIS_SHARE) * middle));
    s->axis.high = fmax(high + spare, (1 + AXIS_SHARE) * middle);
    if (!(s->axis.high > s->axis.low))
        s->axis.high = s->axis.low + 1;
    s->axis.per_g = room / (s->axis.high - s->axis.low);
    tw_axis_ticks(&s->axis, 92, units);
}

/* Dots of many records: columns one dot wide, filled from the middle, thinned to stay in the lane. */
static double place_columns(strip *s)
{
    const size_t n = s->row->count;
    const double wide = 2 * s->radius;
    double most = 0;

    for (size_t k = 0, first = 0; k < n; k++) {
        const double column = floor(s->x[k] / wide);
        if (k > 0 && floor(s->x[first] / wide) != column)
            first = k;
        s->offset[k] = (double)((k - first + 1) / 2) * wide * ((k - first) % 2 ? 1 : -1);
        most = fmax(most, fabs(s->offset[k]));
    }
    for (size_t k = 0; k < n; k++) {
        s->x[k] = (floor(s->x[k] / wide) + 0.5) * wide;
        if (most > 2 * SWARM_TALL)
            s->offset[k] *= 2 * SWARM_TALL / most;
    }
    return fmin(most, 2 * SWARM_TALL);
}

static tw_status place_dots(strip *s, tw_arena *arena, tw_error *err)
{
    const size_t n = s->row->count;
    double(*scratch)[2] = tw_arena_array(arena, n < SWARM_MOST ? n : 1, sizeof *scratch);
    double most;

    s->x = tw_arena_array(arena, n, sizeof *s->x);
    s->offset = tw_arena_array(arena, n, sizeof *s->offset);
    if (!scratch || !s->x || !s->offset)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of %zu records", n);
    for (size_t k = 0; k < n; k++)
        s->x[k] = tw_axis_at(&s->axis, s->row->records[k]->g);
    s->radius = DOT_MOST;
    if (n >= SWARM_MOST) {
        s->radius = DOT_LEAST;
        most = place_columns(s);
    } else {
        while ((most = tw_swarm_place(s->x, n, s->radius, s->offset, scratch)) > SWARM_TALL &&
               s->radius > DOT_LEAST)
            s->radius = fmax(DOT_LEAST, s->radius * 0.85);
    }
    s->lane = most + s->radius + 8;
    return TW_OK;
}

static tw_status fill_strip(const chart *work, const tw_standing *row, tw_arena *arena, strip *s,
                            tw_error *err)
{
    const tw_units units = work->options->units;
    const double u = tw_figure_is(&row->own) ? tw_figure_expanded(&row->own) : 0;

    *s = (strip){.row = row, .u = u > 0 ? u : 0, .kinds = tw_standing_kinds(row, arena)};
    if (!s->kinds)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of records");
    if (row->count > 0)
        tw_format(s->count, sizeof s->count, "%zu record%s", row->count,
                  row->count == 1 ? "" : "s");
    tw_standing_lead(row, s->lead, sizeof s->lead);
    tw_standing_more(row, units, s->more);
    find_axis(s, units);
    return place_dots(s, arena, err);
}

/* ---- ink ---------------------------------------------------------------------------------------- */

static void disc(tw_canvas *canvas, double x, double y, double radius)
{
    cairo_t *cairo = canvas->cairo;
    double rgb[3];

    tw_fill_colour(TW_FILL_RECORD, rgb);
    cairo_new_sub_path(cairo);
    cairo_arc(cairo, x, y, radius, 0, 2 * TW_PI);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_fill(cairo);
    cairo_arc(cairo, x, y, radius * 0.88, 0, 2 * TW_PI); /* a white rim between neighbours */
    cairo_set_source_rgb(cairo, rgb[0], rgb[1], rgb[2]);
    cairo_fill(cairo);
}

static void upright(tw_canvas *canvas, double x, double top, double bottom, double width)
{
    cairo_move_to(canvas->cairo, x, top);
    cairo_line_to(canvas->cairo, x, bottom);
    cairo_set_source_rgb(canvas->cairo, 0.05, 0.05, 0.05);
    cairo_set_line_width(canvas->cairo, width);
    cairo_stroke(canvas->cairo);
}

static void sign_dot(tw_canvas *canvas, double x, double y)
{
    disc(canvas, x, y, DOT_MOST);
}
static void sign_own(tw_canvas *canvas, double x, double y)
{
    tw_diamond_draw(canvas, x, y, DIAMOND);
}
static void sign_median(tw_canvas *canvas, double x, double y)
{
    upright(canvas, x, y - 13, y + 13, 3.5);
}

/* The own lane: band over the whole height, diamond, whisker, and its figure where there is room. */
static void draw_own(tw_canvas *canvas, const strip *s, tw_units units, double top, double middle)
{
    const tw_mass_axis *axis = &s->axis;
    const double x = tw_axis_at(axis, s->row->own.g);
    const double reach = fmax(DIAMOND, s->u * axis->per_g) + 10;
    tw_lettering letters = own_letters;
    double width, height;
    char words[96];

    upright(canvas, x, top, middle, 1.2);
    if (s->u > 0)
        tw_whisker_draw(canvas, axis, s->row->own.g, s->u, middle, 8);
    tw_diamond_draw(canvas, x, middle, DIAMOND);
    tw_grams_words(s->row->own.g, s->u, units, words, sizeof words);
    tw_text_size(canvas, words, &letters, &width, &height);
    if (x + reach + width > tw_axis_at(axis, axis->high))
        letters.align = TW_RIGHT;
    tw_text_draw(canvas, words, &letters, x + (letters.align == TW_RIGHT ? -reach : reach),
                 middle - height / 2);
}

static void draw_band(tw_canvas *canvas, const strip *s, double top, double bottom)
{
    const double left = tw_axis_at(&s->axis, fmax(s->axis.low, s->row->own.g - s->u));
    const double right = tw_axis_at(&s->axis, s->row->own.g + s->u);
    double rgb[3];

    tw_fill_colour(TW_FILL_OWN, rgb);
    cairo_rectangle(canvas->cairo, left, top, right - left, bottom - top);
    cairo_set_source_rgba(canvas->cairo, rgb[0], rgb[1], rgb[2], 0.22);
    cairo_fill(canvas->cairo);
}

static void draw_plot(tw_canvas *canvas, const strip *s, tw_units units, double top, double bottom)
{
    const tw_standing *row = s->row;
    const tw_mass_axis *axis = &s->axis;
    const bool own = tw_figure_is(&row->own);
    const double dots = top + s->lane, box = s->lane - 2;

    tw_axis_draw(canvas, axis, bottom, top, false, false);
    if (row->count > 0 && isfinite(row->lower) && isfinite(row->upper))
        tw_fill_box(canvas, TW_FILL_MIDDLE, tw_axis_at(axis, row->lower), dots - box,
                    tw_axis_at(axis, row->upper), dots + box);
    if (own)
        draw_band(canvas, s, top, bottom);
    if (row->count > 0 && isfinite(row->median))
        upright(canvas, tw_axis_at(axis, row->median), dots - s->lane, dots + s->lane, 3.5);
    for (size_t k = 0; k < row->count; k++)
        disc(canvas, s->x[k], dots + s->offset[k], s->radius);
    if (own)
        draw_own(canvas, s, units, top, bottom - OWN_LANE / 2);
}

static double draw_row(tw_canvas *canvas, const chart *work, const strip *s, bool ink, double y)
{
    const double words_x = RIGHT - WORDS_ROOM;
    const double plot = 2 * s->lane + OWN_LANE;
    double left = y, right = y;

    if (ink && s->axis.per_g > 0)
        draw_plot(canvas, s, work->options->units, y, y + plot);
    left += tw_text_place(canvas, s->row->what, &name_letters, MARGIN, left, ink) + 2;
    left += tw_text_place(canvas, s->kinds, &kinds_letters, MARGIN, left, ink) + 2;
    left += tw_text_place(canvas, s->count, &count_letters, MARGIN, left, ink);
    right += tw_text_place(canvas, s->lead, &lead_letters, words_x, right, ink) + 2;
    right += tw_text_place(canvas, s->more, &words_letters, words_x, right, ink);
    if (s->axis.per_g > 0)
        y += plot + tw_axis_height(canvas);
    return fmax(y, fmax(left, right)) + ROW_APART;
}

static size_t fill_key(const tw_ranking *ranking, tw_key_entry entries[4])
{
    static const tw_key_entry all[] = {
        {TW_FILL_RECORD, sign_dot, "a record"},
        {TW_FILL_OWN, sign_own, "own mass, with its ± (95 %) as whisker and band"},
        {TW_FILL_RECORD, sign_median, "median"},
        {TW_FILL_MIDDLE, NULL, "middle half of the records"}};
    bool seen[sizeof all / sizeof *all] = {false};
    size_t count = 0;

    for (size_t k = 0; k < ranking->count; k++) {
        const tw_standing *row = &ranking->rows[k];
        seen[0] = seen[0] || row->count > 0;
        seen[1] = seen[1] || tw_figure_is(&row->own);
        seen[2] = seen[2] || (row->count > 0 && isfinite(row->median));
        seen[3] = seen[3] || (row->count > 0 && isfinite(row->lower) && isfinite(row->upper));
    }
    for (size_t k = 0; k < sizeof all / sizeof *all; k++)
        if (seen[k])
            entries[count++] = all[k];
    return count;
}

static double draw_end(tw_canvas *canvas, const chart *work, bool ink, double y)
{
    const char *const lines[] = {
        work->whole,
        work->alone,
        work->sources,
        work->ranking->count > 0
            ? "The spread of this set of records is no rule: other sets spread otherwise."
            : NULL,
        work->quartiles
            ? "Middle half: from the 25 % to the 75 % point of the records; given, like the "
              "median, from 8 records on."
            : NULL,
        work->bare ? NULL : work->options->date};

    for (size_t k = 0; k < sizeof lines / sizeof *lines; k++)
        if (lines[k] && lines[k][0])
            y += tw_text_place(canvas, lines[k], &line_letters, MARGIN, y, ink) + 6;
    return y + 24;
}

/* Returns how tall it is. */
static double draw_title(tw_canvas *canvas, const chart *work, bool ink, double top)
{
    char title[320];
    double y = top;

    snprintf(title, sizeof title, "%s%smong records of originals",
             work->ranking->harness ? work->ranking->harness : "",
             work->ranking->harness ? ", a" : "A");
    y += tw_text_place(canvas, title, &title_letters, MARGIN, y, ink) + 4;
    y += tw_text_place(canvas,
                       "Only records of the same kinds, as many of each. Every row has an axis of "
                       "its own, which does not begin at nought.",
                       &line_letters, MARGIN, y, ink);
    return y + 16 - top;
}

static tw_status lay_out(tw_canvas *canvas, const void *context, bool ink, tw_arena *arena,
                         double *height, tw_error *err)
{
    const chart *work = context;
    tw_key_entry entries[4];
    double y = 32;
    tw_status status = TW_OK;

    if (work->bare)
        y = 0;
    else
        y += draw_title(canvas, work, ink, y);
    y += tw_key_draw(canvas, entries, fill_key(work->ranking, entries), ink, y) + 20;
    for (size_t k = 0; status == TW_OK && k < work->ranking->count; k++) {
        strip s;
        if (is_half(work->ranking, k))
            continue;
        status = fill_strip(work, &work->ranking->rows[k], arena, &s, err);
        if (status == TW_OK)
            y = draw_row(canvas, work, &s, ink, y);
    }
    if (status == TW_OK)
        *height = draw_end(canvas, work, ink, y);
    return status;
}

static tw_status begin(chart *work, tw_arena *arena, tw_error *err)
{
    const tw_ranking *ranking = work->ranking;

    whole_words(work);
    for (size_t k = 0; k < ranking->count; k++)
        work->quartiles = work->quartiles || isfinite(ranking->rows[k].lower);
    return list_sources(work, arena, err);
}

tw_status tw_ranking_lay_out(tw_canvas *canvas, const tw_ranking *ranking,
                             const tw_draw_options *options, bool ink, tw_arena *arena,
                             double *height, tw_error *err)
{
    chart work = {.ranking = ranking, .options = options, .bare = true};
    const tw_status status = begin(&work, arena, err);

    return status == TW_OK ? lay_out(canvas, &work, ink, arena, height, err) : status;
}

tw_status tw_draw_ranking(const tw_ranking *ranking, tw_paper paper, const tw_draw_options *options,
                          tw_output *out, tw_error *err)
{
    chart work = {.ranking = ranking, .options = options};
    tw_arena *arena;
    tw_status status = tw_picture_check(options, err);

    assert(ranking && out);
    if (status != TW_OK)
        return status;
    arena = tw_arena_new();
    if (!arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of records");
    status = begin(&work, arena, err);
    if (status == TW_OK)
        status = tw_picture_write(options, lay_out, &work, paper, out, err);
    tw_arena_free(arena);
    return status;
}
