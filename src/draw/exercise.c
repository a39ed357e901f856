/*
 * exercise.c: pages to teach with, on A4: "guess, then see", and questions with their answers on a page of
 * their own. Everything is worked out from the plate; a tenth of a millimetre is the unit of length.
 */
#include "draw_internal.h"

#include <assert.h>
#include <math.h>

enum { WIDE = 2100, TALL = 2970, MARGIN = 130, PLATE_WIDE = 1080, PLATE_TALL = 900, ROW = 96 };
static const tw_lettering title_letters = {.size = 60, .bold = true, .wrap = WIDE - 2 * MARGIN};
static const tw_lettering text_letters = {.size = 36, .wrap = WIDE - 2 * MARGIN};
static const tw_lettering head_letters = {.size = 30, .bold = true};
static const tw_lettering unit_letters = {.size = 26, .grey = 0.25};
static const tw_lettering row_letters = {.size = 34};
static const tw_lettering foot_letters = {.size = 27, .grey = 0.25, .wrap = WIDE - 2 * MARGIN};

typedef struct leaf {
    const tw_exercise *exercise;
    const tw_draw_options *options;
    size_t only; /* the page to draw; SIZE_MAX: that which is asked for */
    bool guess;
    char title[2][200];
    char grams[48], material[160], area[64], foot[600];
} leaf;

/* ---- plate and table --------------------------------------------------------------------------- */

static tw_status draw_plate(tw_canvas *canvas, const leaf *work, bool seen, double top,
                            tw_arena *arena, double *bottom, tw_error *err)
{
    const tw_exercise *exercise = work->exercise;
    const tw_outline *outline = tw_form_outline(exercise->plate->form);
    const tw_map *map = &exercise->forged->map;
    const double across = outline->across_max - outline->across_min;
    const double up = outline->up_max - outline->up_min, side = tw_panel_side(canvas);
    const double per_mm = fmin((PLATE_WIDE - side) / across, PLATE_TALL / up);
    const tw_lettering name = {.size = 34, .bold = true, .align = TW_CENTRE, .mark = true};
    const tw_panel panel = {
        .plate = exercise->plate,
        .node = map->node,
        .cell = map->cell,
        .scale = tw_scale_thickness(map->thinnest, map->thickest, canvas->units),
        .frame = {.x = MARGIN + side + (PLATE_WIDE - side - across * per_mm) / 2,
                  .y = top,
                  .width = across * per_mm,
                  .height = up * per_mm,
                  .per_mm = per_mm,
                  .across_min = outline->across_min,
                  .up_max = outline->up_max},
        .ticks_left = true,
        .contours = seen,
        .zones = false,
        .plain = !seen,
        .threads = work->options->threads};
    const tw_status status = tw_panel_draw(canvas, &panel, arena, err);
    const tw_lettering sides = {.size = 26, .grey = 0.25};
    tw_lettering right_side = sides;
    const char *left, *right;

    if (status != TW_OK)
        return status;
    for (size_t k = 0; k < TW_EXERCISE_POINTS; k++) {
        const char letter[2] = {(char)('A' + (int)k), '\0'};
        double x, y, width, height;
        tw_pen_to_page(&panel.frame, exercise->at[k][0], exercise->at[k][1], &x, &y);
        cairo_new_path(canvas->cairo);
        cairo_arc(canvas->cairo, x, y, 27, 0, 2 * TW_PI);
        cairo_set_source_rgb(canvas->cairo, 1, 1, 1);
        cairo_fill_preserve(canvas->cairo);
        tw_pen_stroke(canvas, 4, 0, 1);
        tw_text_size(canvas, letter, &name, &width, &height);
        tw_text_draw(canvas, letter, &name, x, y - height / 2);
    }
    *bottom = panel.frame.y + panel.frame.height + tw_panel_foot(canvas);
    if (tw_page_sides(exercise->plate->profile->worn, &left, &right)) {
        right_side.align = TW_RIGHT;
        tw_text_draw(canvas, left, &sides, panel.frame.x, *bottom);
        *bottom +=
            tw_text_draw(canvas, right, &right_side, panel.frame.x + panel.frame.width, *bottom);
    }
    if (seen) {
        *bottom += 16 + tw_legend_draw(canvas, &panel.scale,
                                       canvas->units == TW_INCH ? "Thickness, in" : "Thickness, mm",
                                       NULL, NULL, MARGIN + side, *bottom + 16, PLATE_WIDE - side);
    }
    return TW_OK;
}

static void rule(tw_canvas *canvas, double from, double to, double y)
{
    cairo_move_to(canvas->cairo, from, y);
    cairo_line_to(canvas->cairo, to, y);
    tw_pen_stroke(canvas, 3, 0.35, 1);
}

/* Letter, place and thickness, or room to write it; returns where it ends. */
static double draw_table(tw_canvas *canvas, const leaf *work, bool filled, double top)
{
    const double left = MARGIN + PLATE_WIDE + 60, right = WIDE - MARGIN;
    const double place = left + 80, value = right - 250;
    const char *unit = canvas->units == TW_INCH ? "in" : "mm";
    char words[64];
    double y = top;

    tw_text_draw(canvas, "place by tape", &head_letters, place, y);
    tw_text_draw(canvas, "thickness", &head_letters, value, y);
    tw_format(words, sizeof words, "across, up [%s]", unit);
    tw_text_draw(canvas, words, &unit_letters, place, y + 42);
    tw_format(words, sizeof words, "[%s]", unit);
    tw_text_draw(canvas, words, &unit_letters, value, y + 42);
    y += 90;
    rule(canvas, left, right, y);
    for (size_t k = 0; k < TW_EXERCISE_POINTS; k++) {
        const char letter[2] = {(char)('A' + (int)k), '\0'};
        tw_text_draw(canvas, letter, &head_letters, left + 14, y + 28);
        tw_tape_words(work->exercise->at[k], canvas->units, words, sizeof words);
        tw_text_draw(canvas, words, &row_letters, place, y + 26);
        if (filled) {
            tw_value_text(work->exercise->reading[k], canvas->units == TW_INCH ? 0.0254 : 0.01,
                          false, canvas->units, words, sizeof words);
            tw_text_draw(canvas, words, &row_letters, value, y + 26);
        }
        y += ROW;
        rule(canvas, left, right, y);
    }
    return y;
}

/* A paragraph, and below it room for an answer of some lines; returns where it ends. */
static double ask(tw_canvas *canvas, const char *question, int lines, double y)
{
    y += tw_text_draw(canvas, question, &text_letters, MARGIN, y);
    for (int k = 0; k < lines; k++) {
        y += 92;
        rule(canvas, MARGIN, WIDE - MARGIN, y);
    }
    return y + 44;
}

/* ---- guess, then see ----------------------------------------------------------------------------- */

static tw_status guess_first(tw_canvas *canvas, const leaf *work, double y, tw_arena *arena,
                             tw_error *err)
{
    double plate = 0, table;
    char text[600];
    tw_status status;

    tw_format(
        text, sizeof text,
        "This plate of %s weighs %s. It was forged: somewhere thick, somewhere thin. Mark the "
        "place that you think is thickest with a cross and the thinnest with a ring, and "
        "write a thickness beside each letter. Then turn the page.",
        work->material, work->grams);
    tw_text_bind_units(text, sizeof text);
    y += tw_text_draw(canvas, text, &text_letters, MARGIN, y) + 50;
    status = draw_plate(canvas, work, false, y, arena, &plate, err);
    table = draw_table(canvas, work, false, y);
    y = fmax(plate, table) + 70;
    y = ask(canvas, "Thickest, you think:", 1, y);
    y = ask(canvas, "Thinnest, you think:", 1, y);
    ask(canvas, "Even sheet of the same face that weighs as much would be how thick?", 1, y);
    return status;
}

/* "about +170, 27 by tape, and opposite": a symmetric plate has every place twice. */
static void place_about(const double tape[2], bool symmetric, tw_units units, char *out,
                        size_t size)
{
    char at[64];

    tw_tape_words(tape, units, at, sizeof at);
    tw_format(out, size, "about %s by tape%s", at,
              symmetric && fabs(tape[0]) > 5 ? ", and opposite" : "");
}

static tw_status then_see(tw_canvas *canvas, const leaf *work, double y, tw_arena *arena,
                          tw_error *err)
{
    const tw_exercise *exercise = work->exercise;
    const tw_map *map = &exercise->forged->map;
    const tw_units units = canvas->units;
    const tw_against *same = tw_comparison_row(&exercise->comparison, TW_REASON_SAME_MASS);
    char thick[48], thin[48], thick_at[120], thin_at[120], even[48], moved[48], text[800];
    double plate = 0, table;
    tw_status status;

    tw_format(text, sizeof text, "The same plate of %s, %s, as it was forged.", work->material,
              work->grams);
    tw_text_bind_units(text, sizeof text);
    y += tw_text_draw(canvas, text, &text_letters, MARGIN, y) + 50;
    status = draw_plate(canvas, work, true, y, arena, &plate, err);
    table = draw_table(canvas, work, true, y);
    y = fmax(plate, table) + 60;
    tw_write_thickness(map->thickest, units, -1, thick, sizeof thick);
    tw_write_thickness(map->thinnest, units, -1, thin, sizeof thin);
    if (exercise->reading[0] > map->thickest - 0.006) /* the first place, to a hundredth */
        tw_format(thick_at, sizeof thick_at, "at A and round it");
    else
        place_about(map->thickest_at, exercise->plate->profile->symmetric, units, thick_at,
                    sizeof thick_at);
    place_about(map->thinnest_at, exercise->plate->profile->symmetric, units, thin_at,
                sizeof thin_at);
    tw_write_thickness(same->sheet_mm, units, -1, even, sizeof even);
    tw_write_mass(same->kept_g, units, -1, moved, sizeof moved);
    tw_format(
        text, sizeof text,
        "Thickest: %s, %s. Thinnest: %s, %s.\n"
        "Even sheet of the same face and weight would be %s. Between the two, %s lie "
        "elsewhere: taken from where the forged plate is thinner than that, and kept where it "
        "is thicker.",
        thick, thick_at, thin, thin_at, even, moved);
    tw_text_bind_units(text, sizeof text);
    tw_text_draw(canvas, text, &text_letters, MARGIN, y);
    return status;
}

/* ---- exercise -------------------------------------------------------------------------------------- */

static tw_status questions(tw_canvas *canvas, const leaf *work, double y, tw_arena *arena,
                           tw_error *err)
{
    const tw_exercise *exercise = work->exercise;
    const char thin[2] = {(char)('A' + (int)exercise->thin), '\0'};
    double plate = 0, table;
    char tape[48], density[48], text[700];
    tw_status status;

    tw_value_text(exercise->plate->profile->density * 1e6, 1, false, TW_METRIC, density,
                  sizeof density);
    tw_write_length(exercise->tape_mm, canvas->units, canvas->units == TW_METRIC ? 0 : -1, tape,
                    sizeof tape);
    tw_format(text, sizeof text,
              "A forged plate of %s, %s kg/m³. Its outside face measures %s. It was gauged at five "
              "places; the tape from A to %s over the face reads %s.",
              work->material, density, work->area, thin, tape);
    tw_text_bind_units(text, sizeof text);
    y += tw_text_draw(canvas, text, &text_letters, MARGIN, y) + 46;
    status = draw_plate(canvas, work, false, y, arena, &plate, err);
    table = draw_table(canvas, work, true, y);
    y = fmax(plate, table) + 60;
    y = ask(canvas,
            "1  What do the five readings come to on average, and what would the plate weigh "
            "if it were that thick all over?",
            2, y);
    tw_format(text, sizeof text,
              "2  How steep is the taper from A to %s? Write it as one in so many.", thin);
    y = ask(canvas, text, 1, y);
    y = ask(canvas, "3  Even sheet as thick as at A, the same face: what would it weigh?", 1, y);
    ask(canvas,
        "4  The whole plate is weighed on the next page. Why is that not "
        "what question 1 gives?",
        2, y);
    return status;
}

/* What area × thickness leaves out on a curved face, when it is a gram or more. */
static void bent_words(const tw_exercise *exercise, tw_units units, char *out, size_t size)
{
    const tw_weight *weight = &exercise->forged->weight;
    const double flat_g =
        weight->mean_thickness_mm * weight->face_area_mm2 * exercise->plate->profile->density;
    const double off = flat_g - weight->mass_g;
    char grams[48];

    out[0] = '\0';
    tw_write_mass(fabs(off), units, -1, grams, sizeof grams);
    if (fabs(off) >= 1)
        tw_format(out, size,
                  " And the face is curved: area × thickness is %s too %s here, since the face was "
                  "measured on one side of the metal only.",
                  grams, off > 0 ? "much" : "little");
}

static tw_status answers(tw_canvas *canvas, const leaf *work, double y, tw_arena *arena,
                         tw_error *err)
{
    const tw_exercise *exercise = work->exercise;
    const tw_units units = canvas->units;
    const tw_against *same = tw_comparison_row(&exercise->comparison, TW_REASON_SAME_MASS);
    const tw_profile *profile = exercise->plate->profile;
    const double plain_g =
        exercise->reading[0] * exercise->forged->weight.face_area_mm2 * profile->density;
    char mean[48], mean_g[48], first[48], thin[48], grade[96], tape[48], sheet_g[48], even[48];
    char density[48], face[48], bent[300], text[1200];
    double plate = 0, table;
    tw_status status = draw_plate(canvas, work, true, y, arena, &plate, err);

    table = draw_table(canvas, work, true, y);
    y = fmax(plate, table) + 56;
    tw_write_thickness(exercise->mean_mm, units, -1, mean, sizeof mean);
    tw_write_mass(exercise->mean_g, units, -1, mean_g, sizeof mean_g);
    tw_value_text(profile->density * 1e6, 1, false, TW_METRIC, density, sizeof density);
    tw_format(
        text, sizeof text,
        "1  The mean of the five is %s. Area × thickness × density = %s × %s × %s kg/m³ = %s.",
        mean, work->area, mean, density, mean_g);
    tw_text_bind_units(text, sizeof text);
    y += tw_text_draw(canvas, text, &text_letters, MARGIN, y) + 34;

    tw_write_thickness(exercise->reading[0], units, -1, first, sizeof first);
    tw_write_thickness(exercise->reading[exercise->thin], units, -1, thin, sizeof thin);
    tw_write_length(exercise->tape_mm, units, units == TW_METRIC ? 0 : -1, tape, sizeof tape);
    tw_write_grade(exercise->grade, units, grade, sizeof grade);
    tw_format(text, sizeof text, "2  From %s to %s over %s of tape: %s.", first, thin, tape, grade);
    tw_text_bind_units(text, sizeof text);
    y += tw_text_draw(canvas, text, &text_letters, MARGIN, y) + 34;

    tw_write_mass(plain_g, units, -1, sheet_g, sizeof sheet_g);
    tw_format(text, sizeof text, "3  %s × %s × %s kg/m³ = %s, %s the forged plate.", work->area,
              first, density, sheet_g,
              plain_g > exercise->forged->weight.mass_g ? "heavier than" : "not heavier than");
    tw_text_bind_units(text, sizeof text);
    y += tw_text_draw(canvas, text, &text_letters, MARGIN, y) + 34;

    tw_write_thickness(same->sheet_mm, units, -1, even, sizeof even);
    tw_write_thickness(exercise->forged->weight.mean_thickness_mm, units, -1, face, sizeof face);
    bent_words(exercise, units, bent, sizeof bent);
    tw_format(text, sizeof text,
              "4  The plate weighs %s, as much as even sheet of %s. Five places do not stand for "
              "equal parts of the face: each reading should count for as much of the face as lies "
              "about it. Over the whole face the mean is %s, where the five come to %s.%s",
              work->grams, even, face, mean, bent);
    tw_text_bind_units(text, sizeof text);
    tw_text_draw(canvas, text, &text_letters, MARGIN, y);
    return status;
}

/* ---- pages ------------------------------------------------------------------------------------------- */

static tw_status draw_page(tw_canvas *canvas, const void *context, size_t page, tw_arena *arena,
                           tw_error *err)
{
    const leaf *work = context;
    double width, height, y = MARGIN;
    tw_status status;

    page = work->only == SIZE_MAX ? page : work->only;
    y += tw_text_draw(canvas, work->title[page], &title_letters, MARGIN, y) + 30;
    if (work->guess)
        status = page == 0 ? guess_first(canvas, work, y, arena, err)
                           : then_see(canvas, work, y, arena, err);
    else
        status = page == 0 ? questions(canvas, work, y, arena, err)
                           : answers(canvas, work, y, arena, err);
    tw_text_size(canvas, work->foot, &foot_letters, &width, &height);
    tw_text_draw(canvas, work->foot, &foot_letters, MARGIN, TALL - MARGIN - height);
    return status;
}

static tw_status draw(const tw_exercise *exercise, bool guess, size_t page, tw_paper paper,
                      const tw_draw_options *options, tw_output *out, tw_error *err)
{
    const tw_profile *profile = exercise->plate->profile;
    const char *date = options->date ? options->date : profile->date;
    leaf work = {.exercise = exercise,
                 .options = options,
                 .only = paper == TW_PAPER_PDF ? SIZE_MAX : page,
                 .guess = guess};
    const tw_pages pages = {.count = TW_TEACHING_PAGES,
                            .width_mm = WIDE / 10.0,
                            .height_mm = TALL / 10.0,
                            .title = work.title[0],
                            .draw = draw_page,
                            .context = &work};

    assert(page < TW_TEACHING_PAGES);
    tw_format(work.title[0], sizeof work.title[0], guess ? "%s: guess first" : "%s: an exercise",
              profile->plate);
    tw_format(work.title[1], sizeof work.title[1], guess ? "%s: then see" : "%s: the answers",
              profile->plate);
    tw_write_mass(exercise->forged->weight.mass_g, options->units, -1, work.grams,
                  sizeof work.grams);
    tw_write_area(exercise->forged->weight.face_area_mm2, options->units, work.area,
                  sizeof work.area);
    tw_format(work.material, sizeof work.material, "%s", profile->material);
    tw_format(
        work.foot, sizeof work.foot,
        "%s%s%s%sThickness here counts metal. It is no protection rating and no permission to "
        "be hit.",
        profile->note ? profile->note : "", profile->note && date ? "  " : "", date ? date : "",
        profile->note || date ? "\n" : "");
    return tw_paper_write(&pages, paper, options, out, err);
}

tw_status tw_draw_guess(const tw_exercise *exercise, size_t page, tw_paper paper,
                        const tw_draw_options *options, tw_output *out, tw_error *err)
{
    return draw(exercise, true, page, paper, options, out, err);
}

tw_status tw_draw_exercise(const tw_exercise *exercise, size_t page, tw_paper paper,
                           const tw_draw_options *options, tw_output *out, tw_error *err)
{
    return draw(exercise, false, page, paper, options, out, err);
}
