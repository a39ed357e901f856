/* show_blank.c: a blank as text, JSON and CSV. */
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>

enum { WORDS = 64 };

/* ---- text ------------------------------------------------------------------------------------------ */

static void show_loss(tw_output *out, tw_units units, const char *what, double g)
{
    char words[WORDS];

    if (g > 0)
        tw_output_print(out, NULL, ", less %s %s", what, tw_write_mass(g, units, -1, words, WORDS));
}

static void show_weights(tw_output *out, tw_units units, const tw_blank *blank)
{
    const double weighed = blank->goal->plate->profile->weighed.blank;
    char words[3][WORDS];

    tw_output_print(out, NULL, "  weight     %s as cut",
                    tw_write_mass(blank->blank_g, units, -1, words[0], WORDS));
    show_loss(out, units, "scale", blank->scale_loss_g);
    show_loss(out, units, "polish", blank->polish_loss_g);
    show_loss(out, units, "trim", blank->trim_loss_g);
    show_loss(out, units, "drillings", blank->drilled_g);
    tw_output_print(out, NULL, ": %s finished",
                    tw_write_mass(blank->finished_g, units, -1, words[1], WORDS));
    if (blank->turned_g > 0)
        tw_output_print(out, NULL, ", %s of it in turned edges",
                        tw_write_mass(blank->turned_g, units, -1, words[2], WORDS));
    tw_output_print(out, NULL, "\n");
    if (weighed > 0 && fabs(weighed - blank->blank_g) < 0.5)
        tw_output_print(out, NULL, "             it was weighed at %s, as reckoned\n",
                        tw_write_mass(weighed, units, -1, words[0], WORDS));
    else if (weighed > 0)
        tw_output_print(
            out, NULL, "             it was weighed at %s, %s %s: sheet %s, or cut otherwise\n",
            tw_write_mass(weighed, units, -1, words[0], WORDS),
            tw_write_mass(fabs(weighed - blank->blank_g), units, -1, words[1], WORDS),
            weighed > blank->blank_g ? "more" : "less",
            weighed > blank->blank_g ? "thicker than its name" : "thinner than its name");
}

/* "turned     neck takes 12.1 mm beyond the net line, for a roll of 9 mm over a wire of 6 mm: 85 g" */
static void show_turns(tw_output *out, tw_units units, const tw_blank *blank)
{
    char words[4][WORDS];

    for (size_t k = 0; k < blank->turn_count; k++) {
        const tw_blank_turn *turn = &blank->turns[k];
        tw_output_print(
            out, NULL, "  turned     %s takes %s beyond the net line, for a roll of %s", turn->edge,
            tw_write_length(turn->width_mm, units, units == TW_INCH ? -1 : 1, words[0], WORDS),
            tw_write_length(turn->roll_mm, units, -1, words[1], WORDS));
        if (turn->wire_mm > 0)
            tw_output_print(out, NULL, " over a wire of %s",
                            tw_write_length(turn->wire_mm, units, -1, words[2], WORDS));
        tw_output_print(out, NULL, ": %s\n",
                        tw_write_mass(turn->sheet_g, units, -1, words[3], WORDS));
    }
}

/* The node where a principal stretch is extreme. */
static const double *stretch_at(const tw_layout *layout, bool most)
{
    size_t best = 0;

    for (size_t n = 1; n < layout->mesh->node_count; n++)
        if (most ? layout->stretch_most[n] > layout->stretch_most[best]
                 : layout->stretch_least[n] < layout->stretch_least[best])
            best = n;
    return layout->mesh->tape[best];
}

/* "stretched by 12 %", "shrunk to 0.83 of its length" */
static void show_stretch(tw_output *out, tw_units units, const tw_layout *layout)
{
    char words[2][WORDS];

    tw_output_print(
        out, NULL,
        "  stretch    along the metal from %.2f at %s to %.2f at %s times its "
        "length in the sheet\n",
        layout->least_stretch, tw_cli_place(stretch_at(layout, false), units, words[0], WORDS),
        layout->most_stretch, tw_cli_place(stretch_at(layout, true), units, words[1], WORDS));
}

/* A sheet to advise, rounded to what is printed of it so that it keeps the limit: the thinnest one up, the
 * thickest one down; to the nearest it could break the limit that it is advised for. */
static char *sheet_within(double mm, tw_units units, bool down, char *out)
{
    const double last = units == TW_INCH ? 25.4 / 1000 : 0.01;
    const double parts = mm / last;
    /* 2.52 mm is 252 parts also when it was reckoned as 251.9999999999. */
    const double whole = down ? floor(parts + 1e-6) : ceil(parts - 1e-6);

    return tw_write_thickness(whole * last, units, -1, out, WORDS);
}

static void show_sheet(tw_output *out, tw_units units, const tw_blank *blank)
{
    char words[4][WORDS];

    tw_output_print(out, NULL, "  thickness  ends between %.2f and %.2f times the sheet's\n",
                    blank->thinnest_part, blank->thickest_part);
    if (blank->gather_g > 0)
        tw_output_print(out, NULL, "  gather     %s above the sheet's own thickness\n",
                        tw_write_mass(blank->gather_g, units, -1, words[0], WORDS));
    tw_output_print(out, NULL, "  draw out   %s, which spreads\n",
                    tw_write_mass(blank->draw_g, units, -1, words[0], WORDS));
    if (blank->gathered_share > 0)
        tw_output_print(
            out, NULL,
            "  beyond     %.0f %% of the face would be gathered by more than %.0f %%, most at %s; "
            "sheet of %s and up avoids it\n",
            fmax(100 * blank->gathered_share, 1), 100 * blank->gather,
            tw_cli_place(blank->thickest_at, units, words[0], WORDS),
            sheet_within(blank->least_stock_mm, units, false, words[1]));
    if (blank->drawn_share > 0)
        tw_output_print(
            out, NULL,
            "  beyond     %.0f %% of the face would be drawn out by more than %.0f %%, most at %s; "
            "sheet up to %s avoids it\n",
            fmax(100 * blank->drawn_share, 1), 100 * blank->draw,
            tw_cli_place(blank->thinnest_at, units, words[0], WORDS),
            sheet_within(blank->most_stock_mm, units, true, words[1]));
    if (blank->gathered_share > 0 && blank->drawn_share > 0 &&
        blank->most_stock_mm < blank->least_stock_mm)
        tw_output_print(out, NULL, "             no one sheet avoids both\n");
}

static void show_points(tw_output *out, tw_units units, const tw_cli_blank *found)
{
    char words[2][WORDS];

    for (size_t k = 0; k < found->point_count; k++) {
        const tw_cli_mapped *point = &found->points[k];
        const char *tape = tw_cli_place(point->tape, units, words[0], WORDS);
        const char *flat = tw_cli_place(point->blank, units, words[1], WORDS);
        if (point->back)
            tw_output_print(out, NULL, "  point      %s of the blank is %s of the plate\n", flat,
                            tape);
        else
            tw_output_print(out, NULL, "  point      %s of the plate is %s of the blank\n", tape,
                            flat);
    }
}

static void show_bounds(tw_output *out, tw_units units, const tw_blank *blank)
{
    const double stock = blank->goal->stock.thickness;
    char words[3][WORDS];

    if (blank->bounds_dome.radius > 0)
        tw_output_print(
            out, NULL,
            "  dome       a disc across of %s with the thickness held; %s if all raised\n",
            tw_write_length(blank->bounds_dome.even_blank, units, -1, words[0], WORDS),
            tw_write_length(blank->bounds_dome.raised_blank, units, -1, words[1], WORDS));
    tw_output_print(
        out, NULL,
        "  by itself  all sunk, this sheet would come to %s on average; all raised, %s\n",
        tw_write_thickness(blank->bounds.sunk_mean * stock, units, -1, words[0], WORDS),
        tw_write_thickness(blank->bounds.raised_mean * stock, units, -1, words[1], WORDS));
}

void tw_show_blank_text(tw_output *out, tw_units units, const tw_cli_blank *found)
{
    const tw_blank *blank = found->blank;
    const tw_goal *goal = blank->goal;
    char words[4][WORDS];

    tw_output_print(out, NULL, "%s: blank of %s for the %s map, an estimate of least work\n",
                    goal->plate->profile->plate,
                    tw_stock_write(&goal->stock, units, words[0], WORDS),
                    goal->planned ? "planned" : "forged");
    tw_output_print(
        out, NULL, "  size       fits %s by %s, %s of sheet",
        tw_write_length(blank->box_mm[0], units, -1, words[0], WORDS),
        tw_write_length(blank->box_mm[1], units, -1, words[1], WORDS),
        tw_write_work_area(blank->net_area_mm2 + blank->turn_area_mm2 + blank->trim_area_mm2, units,
                           2, words[2], WORDS));
    if (goal->trim_mm > 0)
        tw_output_print(out, NULL, " with a strip of %s to trim",
                        tw_write_length(goal->trim_mm, units, -1, words[3], WORDS));
    tw_output_print(out, NULL, "\n");
    show_weights(out, units, blank);
    show_turns(out, units, blank);
    show_stretch(out, units, blank->layout);
    show_sheet(out, units, blank);
    show_bounds(out, units, blank);
    show_points(out, units, found);
    if (blank->layout->overlaps)
        tw_output_print(out, NULL,
                        "The blank would lie over itself: it cannot be cut from one sheet.\n");
    tw_output_print(
        out, NULL,
        "Cut it in card first, and leave yourself metal. Cut sheet is sharp: gloves, and "
        "take the burr off.\n");
}

/* ---- JSON ------------------------------------------------------------------------------------------ */

static json_t *line_json(const double (*line)[2], size_t count)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < count; k++)
        json_array_append_new(list, tw_json_numbers(line[k], 2));
    return list;
}

/* Lines of the holes that are cut with the blank, in the CSV's order. */
static json_t *hole_lines_json(const tw_blank *blank)
{
    json_t *list = json_array();

    for (size_t k = 1; list && k < blank->line_count; k++)
        json_array_append_new(list,
                              line_json((const double(*)[2])(blank->line + blank->line_first[k]),
                                        blank->line_first[k + 1] - blank->line_first[k]));
    return list;
}

static json_t *points_json(const tw_cli_blank *found)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < found->point_count; k++)
        json_array_append_new(list, json_pack("{s:o, s:o}", "plate_mm",
                                              tw_json_numbers(found->points[k].tape, 2), "blank_mm",
                                              tw_json_numbers(found->points[k].blank, 2)));
    return list;
}

static json_t *holes_json(const tw_blank *blank)
{
    const tw_mesh *mesh = blank->layout->mesh;
    json_t *list = json_array();

    for (size_t k = 0; list && k < mesh->holes_filled; k++) {
        double at[2] = {NAN, NAN};
        tw_layout_to_blank(blank->layout, mesh->filled[k], at);
        json_array_append_new(
            list, json_pack("{s:o, s:o, s:o}", "plate_mm", tw_json_numbers(mesh->filled[k], 2),
                            "blank_mm", tw_json_numbers(at, 2), "diameter_mm",
                            tw_json_number(2 * sqrt(mesh->filled[k][2] / TW_PI))));
    }
    return list;
}

static json_t *turns_json(const tw_blank *blank)
{
    json_t *out = json_array();

    for (size_t k = 0; out && k < blank->turn_count; k++) {
        const tw_blank_turn *turn = &blank->turns[k];
        json_array_append_new(
            out,
            json_pack("{s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "edge", tw_json_text(turn->edge), "roll_mm",
                      tw_json_number(turn->roll_mm), "wire_mm", tw_json_number(turn->wire_mm),
                      "wrap_mm", tw_json_number(turn->wrap_mm), "width_mm",
                      tw_json_number(turn->width_mm), "area_mm2", tw_json_number(turn->area_mm2),
                      "sheet_g", tw_json_number(turn->sheet_g)));
    }
    return out;
}

json_t *tw_show_blank_json(const tw_cli_blank *found)
{
    const tw_blank *b = found->blank;
    const tw_goal *goal = b->goal;
    char stock[WORDS];
    json_t *out = json_pack("{s:i, s:s, s:o, s:s, s:s, s:o}", "format", 1, "version", TW_VERSION,
                            "plate", tw_json_text(goal->plate->profile->plate), "map",
                            goal->planned ? "plan" : "forged", "stock",
                            tw_stock_write(&goal->stock, TW_METRIC, stock, sizeof stock),
                            "stock_mm", tw_json_number(goal->stock.thickness));
    const struct {
        const char *name;
        double value;
    } numbers[] = {{"net_area_mm2", b->net_area_mm2},
                   {"turn_area_mm2", b->turn_area_mm2},
                   {"trim_area_mm2", b->trim_area_mm2},
                   {"trim_mm", goal->trim_mm},
                   {"blank_g", b->blank_g},
                   {"weighed_blank_g", goal->plate->profile->weighed.blank > 0
                                           ? goal->plate->profile->weighed.blank
                                           : (double)NAN},
                   {"scale_g", b->scale_loss_g},
                   {"polish_g", b->polish_loss_g},
                   {"trim_g", b->trim_loss_g},
                   {"drilled_g", b->drilled_g},
                   {"hammered_g", b->rough_g},
                   {"turned_g", b->turned_g},
                   {"finished_g", b->finished_g},
                   {"least_stretch", b->layout->least_stretch},
                   {"most_stretch", b->layout->most_stretch},
                   {"mean_strain", b->layout->mean_strain},
                   {"thinnest_part", b->thinnest_part},
                   {"thickest_part", b->thickest_part},
                   {"gather_limit", b->gather},
                   {"draw_limit", b->draw},
                   {"gathered_share", b->gathered_share},
                   {"drawn_share", b->drawn_share},
                   {"gather_g", b->gather_g},
                   {"draw_g", b->draw_g},
                   {"least_stock_mm", b->least_stock_mm},
                   {"most_stock_mm", b->most_stock_mm},
                   {"all_sunk_mean_mm", b->bounds.sunk_mean * goal->stock.thickness},
                   {"all_raised_mean_mm", b->bounds.raised_mean * goal->stock.thickness},
                   {"area_error", b->layout->ratio_error}};

    if (!out)
        return NULL;
    for (size_t k = 0; k < sizeof numbers / sizeof *numbers; k++)
        json_object_set_new(out, numbers[k].name, tw_json_number(numbers[k].value));
    json_object_set_new(out, "size_mm", tw_json_numbers(b->box_mm, 2));
    json_object_set_new(out, "overlaps", json_boolean(b->layout->overlaps));
    json_object_set_new(out, "points", points_json(found));
    json_object_set_new(out, "drilled", holes_json(b));
    json_object_set_new(out, "turned", turns_json(b));
    json_object_set_new(out, "net_line_mm",
                        line_json((const double(*)[2])b->line, b->line_first[1]));
    json_object_set_new(out, "hole_lines_mm", hole_lines_json(b));
    json_object_set_new(out, "cut_line_mm", line_json((const double(*)[2])b->cut, b->cut_count));
    return out;
}

/* ---- CSV: lines of the blank ------------------------------------------------------------------------- */

static void csv_line(tw_output *out, const char *name, const double (*line)[2], size_t count)
{
    for (size_t k = 0; k < count; k++) {
        tw_csv_text(out, name, false);
        tw_csv_number(out, line[k][0], false);
        tw_csv_number(out, line[k][1], true);
    }
}

void tw_show_blank_csv(tw_output *out, const tw_cli_blank *found)
{
    const tw_blank *b = found->blank;
    char name[32];

    tw_output_print(out, NULL, "line,x [mm],y [mm]\n");
    csv_line(out, "cut", (const double(*)[2])b->cut, b->cut_count);
    if (b->turn_count > 0)
        csv_line(out, "turned", (const double(*)[2])b->turned, b->turned_count);
    csv_line(out, "net", (const double(*)[2])b->line, b->line_first[1]);
    for (size_t k = 1; k < b->line_count; k++) {
        tw_format(name, sizeof name, "hole %zu", k);
        csv_line(out, name, (const double(*)[2])(b->line + b->line_first[k]),
                 b->line_first[k + 1] - b->line_first[k]);
    }
}
