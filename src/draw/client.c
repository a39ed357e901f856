/*
 * client.c: the sheet that goes to a client with the piece: what it is, forged beside sheet, the grams in
 * words, originals like it, what the figures are and are not. One A4, 1768 design units wide, so that the
 * pictures of the other commands stand in it as they are; where all of it is too tall, the panels give way.
 */
#include "draw_internal.h"

#include <math.h>

enum {
    WIDE = 1768,
    TALL = 2500,
    SIDE = (WIDE - TW_PAGE_WIDTH) / 2,
    TOP = 90,
    MARGIN = TW_PAGE_MARGIN
};
static const double ROOM = TW_PAGE_WIDTH - 2 * TW_PAGE_MARGIN;
static const tw_lettering title_letters = {.size = 58, .bold = true, .wrap = ROOM};
static const tw_lettering line_letters = {.size = 27, .grey = 0.25, .wrap = ROOM};
static const tw_lettering grams_letters = {.size = 62, .bold = true, .wrap = ROOM};
static const tw_lettering head_letters = {.size = 33, .bold = true, .wrap = ROOM};
static const tw_lettering text_letters = {.size = 26, .wrap = ROOM};

typedef struct sheet {
    const tw_client *client;
    const tw_draw_options *options;
    tw_page page; /* the comparison */
    char what[400], line[500], grams[96], words[900];
} sheet;

/* ---- words --------------------------------------------------------------------------------------- */

static void describe_piece(sheet *work, tw_units units)
{
    static const char *const worn[] = {"", ", worn in front", ", worn behind", ", worn on the left",
                                       ", worn on the right"};
    const tw_plate *plate = work->client->comparison->plate;
    const tw_profile *profile = plate->profile;
    const char *date = work->options->date ? work->options->date : profile->date;
    char width[48], height[48], depth[48], area[48];
    tw_form_sizes sizes;

    tw_format(work->what, sizeof work->what, "%s of %s%s.", profile->kind ? profile->kind : "plate",
              profile->material, worn[profile->worn]);
    if (work->what[0] >= 'a' && work->what[0] <= 'z')
        work->what[0] = (char)(work->what[0] - 'a' + 'A');
    if (tw_form_measure(plate->form, &sizes, NULL) == TW_OK) {
        const int decimals = units == TW_METRIC ? 0 : -1;
        char more[240];
        tw_write_length(sizes.width, units, decimals, width, sizeof width);
        tw_write_length(sizes.height, units, decimals, height, sizeof height);
        tw_write_length(sizes.depth, units, decimals, depth, sizeof depth);
        tw_write_area(sizes.area, units, area, sizeof area);
        tw_format(more, sizeof more, " %s wide, %s high, %s deep; its face measures %s.", width,
                  height, depth, area);
        tw_text_append(work->what, sizeof work->what, more);
    }
    tw_format(work->line, sizeof work->line, "%s%s%s", profile->note ? profile->note : "",
              profile->note && date ? "  " : "", date ? date : "");
    tw_text_bind_units(work->what, sizeof work->what);
}

static void explain_grams(sheet *work, tw_units units)
{
    const tw_comparison *comparison = work->client->comparison;
    const tw_against *strike = tw_comparison_row(comparison, TW_REASON_STRIKE);
    const tw_against *same = tw_comparison_row(comparison, TW_REASON_SAME_MASS);
    const tw_map *map = &comparison->forged->map;
    char thick[48], thin[48], even[48], even_mass[48], same_mm[48], more[48];

    tw_grams_words(comparison->forged->weight.mass_g, work->client->expanded_g, units, work->grams,
                   sizeof work->grams);
    tw_write_thickness(map->thickest, units, -1, thick, sizeof thick);
    tw_write_thickness(map->thinnest, units, -1, thin, sizeof thin);
    tw_write_thickness(strike->sheet_mm, units, -1, even, sizeof even);
    tw_write_mass(strike->weight.mass_g, units, -1, even_mass, sizeof even_mass);
    tw_write_mass(fabs(strike->difference_g), units, -1, more, sizeof more);
    tw_write_thickness(same->sheet_mm, units, -1, same_mm, sizeof same_mm);
    tw_format(
        work->words, sizeof work->words,
        "The metal is thick where blows land, %s, and thins to %s at the edges. Even sheet as "
        "thick as there, %s, would come to %s, %s %s. Even sheet of the same weight would be "
        "%s all over: thinner than this piece in its strike zones, thicker at its edges. Two "
        "plates of one shape and one weight can so be made quite differently.",
        thick, thin, even, even_mass, more, strike->difference_g >= 0 ? "heavier" : "lighter",
        same_mm);
    tw_text_bind_units(work->words, sizeof work->words);
}

/* ---- layout ---------------------------------------------------------------------------------------- */

static const char about[] =
    "The shape is from measures by tape and ruler, the thickness is what was set out to be forged, "
    "gauged where it says so; mass is volume times density. ± holds the true weight in 95 of 100 "
    "such "
    "cases, as far as what is known goes. Sheet as formed is an estimate of least work; sheet \"as "
    "if "
    "bent only\" is even by assumption. The weights of originals are as their keepers record them, "
    "with straps and lining often not said.";
static const char about_not[] =
    "They are no protection rating, no proof of age or make, and no permission to be hit. Where a "
    "weight lies among originals says how common it is in that set, not that it is right. What "
    "a piece bears hangs on its metal, its work, its fit, its padding and its wear: ask who made "
    "it, "
    "and hold to the rules of your event and its marshals. Edges can be sharp; look the piece over "
    "before each use and retire what has cracked.";

static double paragraph(tw_canvas *canvas, const char *head, const char *text, bool ink, double y)
{
    const double top = y;

    y += tw_text_place(canvas, head, &head_letters, MARGIN, y, ink) + 6;
    y += tw_text_place(canvas, text, &text_letters, MARGIN, y, ink) + 26;
    return y - top;
}

/* A part of the sheet that is a picture elsewhere. */
typedef struct part {
    const sheet *work;
    bool originals;
} part;

static tw_status lay_part(tw_canvas *canvas, const part *which, bool ink, tw_arena *arena,
                          double *height, tw_error *err)
{
    if (which->originals)
        return tw_ranking_lay_out(canvas, which->work->client->ranking, which->work->options, ink,
                                  arena, height, err);
    return tw_page_lay_out(canvas, &which->work->page, ink, arena, height, err);
}

static tw_status place_part(tw_canvas *canvas, const sheet *work, bool originals, bool ink,
                            tw_arena *arena, double *y, tw_error *err)
{
    const part which = {work, originals};
    double height = 0;
    tw_status status;

    tw_canvas_shift(canvas, 0, *y);
    status = lay_part(canvas, &which, ink, arena, &height, err);
    tw_canvas_shift(canvas, 0, -*y);
    *y += height;
    return status;
}

static tw_status lay_out(tw_canvas *canvas, const sheet *work, bool ink, tw_arena *arena,
                         double *height, tw_error *err)
{
    const tw_ranking *ranking = work->client->ranking;
    double y = 0;
    tw_status status;

    y += tw_text_place(canvas, work->client->comparison->plate->profile->plate, &title_letters,
                       MARGIN, y, ink) +
         4;
    y += tw_text_place(canvas, work->what, &line_letters, MARGIN, y, ink) + 2;
    y += tw_text_place(canvas, work->line, &line_letters, MARGIN, y, ink) + 18;
    y += tw_text_place(canvas, work->grams, &grams_letters, MARGIN, y, ink) + 4;
    y += tw_text_place(canvas, work->words, &text_letters, MARGIN, y, ink) + 30;
    status = place_part(canvas, work, false, ink, arena, &y, err);
    y += 20;
    if (status == TW_OK && ranking && ranking->count > 0) {
        y +=
            tw_text_place(canvas, "Among records of originals", &head_letters, MARGIN, y, ink) + 10;
        status = place_part(canvas, work, true, ink, arena, &y, err);
    }
    if (status != TW_OK)
        return status;
    y += paragraph(canvas, "What the figures are", about, ink, y);
    y += paragraph(canvas, "What they are not", about_not, ink, y);
    *height = y;
    return TW_OK;
}

static tw_status draw_page(tw_canvas *canvas, const void *context, size_t page, tw_arena *arena,
                           tw_error *err)
{
    double height;
    tw_status status;

    (void)page;
    tw_canvas_shift(canvas, SIDE, TOP);
    status = lay_out(canvas, context, true, arena, &height, err);
    tw_canvas_shift(canvas, -SIDE, -TOP);
    return status;
}

/* The tallest panels with which all of it stays on the page. */
static tw_status fit(sheet *work, tw_arena *arena, tw_error *err)
{
    static const double tallest[] = {900, 760, 640, 540, 450, 380, 320, 260};
    tw_canvas canvas;
    double height = INFINITY;
    tw_status status = tw_canvas_begin(1, 1, 1, work->options->units, &canvas, err);

    canvas.hatch = work->options->hatch;
    for (size_t k = 0;
         status == TW_OK && k < sizeof tallest / sizeof *tallest && height > TALL - 2 * TOP; k++) {
        work->page.tallest = tallest[k];
        status = lay_out(&canvas, work, false, arena, &height, err);
    }
    tw_canvas_end(&canvas);
    if (status == TW_OK && height > TALL - 2 * TOP) {
        status = tw_fail(err, TW_ERR_LIMIT, "the sheet does not fit on one page");
        tw_error_advise(err, NULL, "shorten the plate's name and note, or choose fewer records");
    }
    return status;
}

tw_status tw_draw_client(const tw_client *client, tw_paper paper, const tw_draw_options *options,
                         tw_output *out, tw_error *err)
{
    sheet work = {.client = client, .options = options};
    const tw_pages pages = {.count = 1,
                            .width_mm = 210,
                            .height_mm = 297,
                            .design_mm = 210.0 / WIDE,
                            .title = client->comparison->plate->profile->plate,
                            .draw = draw_page,
                            .context = &work};
    tw_arena *arena = tw_arena_new();
    tw_status status;

    if (!arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a client sheet");
    describe_piece(&work, options->units);
    explain_grams(&work, options->units);
    status = tw_page_comparison(client->comparison, options, arena, &work.page, err);
    work.page.bare = true;
    if (status == TW_OK)
        status = fit(&work, arena, err);
    if (status == TW_OK)
        status = tw_paper_write(&pages, paper, options, out, err);
    tw_arena_free(arena);
    return status;
}
