/* cmd_blank.c: the flat blank of a plate: what to cut, what it weighs, where it stretches. */
#include "cli_commands.h"
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A share as "10 %", at most `most`. */
static tw_status read_share(const char *text, const char *option, double most, double *value,
                            tw_error *err)
{
    tw_status status;

    *value = 0;
    if (!text)
        return TW_OK;
    status = tw_quantity_read(text, TW_SHARE, TW_RULER_NONE, value, err);
    if (status == TW_OK && !(*value > 0 && *value < most)) {
        status = tw_fail(err, TW_ERR_USAGE, "\"%s\" is not between 0 and %g %%", text, 100 * most);
        tw_error_advise(err, text, "write 10 %%, for example");
    }
    return tw_cli_option_fault(status, option, err);
}

/* "[120 mm, -40 mm]", with or without the brackets. */
static tw_status read_point(const char *text, const char *option, double point[2], tw_error *err)
{
    char parts[2][64] = {"", ""};
    const char *comma = strchr(text, ','), *from = text, *to = text + strlen(text);
    tw_status status = TW_OK;

    while (*from == ' ')
        from++;
    while (to > from && to[-1] == ' ')
        to--;
    if (*from == '[' && to > from && to[-1] == ']') {
        from++;
        to--;
    }
    if (!comma || comma - from >= (long)sizeof parts[0] || to - comma > (long)sizeof parts[1]) {
        tw_fail(err, TW_ERR_USAGE, "\"%s\" is no point", text);
        tw_error_advise(err, text, "write \"[120 mm, 40 mm]\": across and up");
        status = TW_ERR_USAGE;
    } else {
        const char *second = comma + 1 + strspn(comma + 1, " ");
        memcpy(parts[0], from, (size_t)(comma - from));
        memcpy(parts[1], second, (size_t)(to > second ? to - second : 0));
    }
    for (int k = 0; k < 2 && status == TW_OK; k++)
        status = tw_quantity_read(parts[k], TW_LENGTH, TW_RULER_MM, &point[k], err);
    return tw_cli_option_fault(status, option, err);
}

static tw_status map_points(const tw_args *args, const tw_blank *blank, tw_cli_blank *out,
                            tw_error *err)
{
    const tw_name_list *lists[] = {&args->at, &args->from_blank};
    static const char *const options[] = {"at", "from-blank"};

    for (int back = 0; back < 2; back++) {
        for (size_t k = 0; k < lists[back]->count; k++) {
            tw_cli_mapped *point = &out->points[out->point_count];
            tw_status status = read_point(lists[back]->names[k], options[back],
                                          back ? point->blank : point->tape, err);
            if (status != TW_OK)
                return status;
            if (back ? !tw_layout_to_tape(blank->layout, point->blank, point->tape)
                     : !tw_layout_to_blank(blank->layout, point->tape, point->blank)) {
                const tw_layout *layout = blank->layout;
                const tw_outline *outline = tw_form_outline(blank->goal->plate->form);
                tw_fail(err, TW_ERR_INPUT, "%s lies off the %s", lists[back]->names[k],
                        back ? "blank" : "plate");
                tw_error_advise(err, NULL,
                                "it goes from %.0f to %.0f mm across and %.0f to %.0f up",
                                back ? layout->blank_min[0] : outline->across_min,
                                back ? layout->blank_max[0] : outline->across_max,
                                back ? layout->blank_min[1] : outline->up_min,
                                back ? layout->blank_max[1] : outline->up_max);
                tw_error_within(err, "in --%s", options[back]);
                return TW_ERR_INPUT;
            }
            point->back = back;
            out->point_count++;
        }
    }
    return TW_OK;
}

/* --paper, --steps and --points are about the drawing, --paper about a PDF. */
static tw_status read_page(const tw_args *args, tw_page_size *out, tw_error *err)
{
    const char *alone = args->page     ? "paper"
                        : args->steps  ? "steps"
                        : args->points ? "points"
                                       : NULL;
    tw_status status = TW_OK;

    *out = (tw_page_size){.width_mm = 0};
    if (alone && !args->output && !args->words) {
        tw_fail(err, TW_ERR_USAGE, "--%s belongs to a drawing", alone);
        tw_error_advise(err, NULL, "add -o FILE.pdf");
        return TW_ERR_USAGE;
    }
    if (args->page)
        status = tw_cli_option_fault(tw_page_size_read(args->page, out, err), "paper", err);
    if (status == TW_OK && out->width_mm > 0 && args->output &&
        strcmp(args->output, "/dev/null") != 0 && tw_paper_of(args->output) != TW_PAPER_PDF) {
        status = tw_fail(err, TW_ERR_USAGE, "pages of %s are written as PDF", out->name);
        tw_error_advise(err, args->output,
                        "give it a name that ends in .pdf, or leave --paper out for one page");
    }
    return status;
}

static tw_status draw(const tw_args *args, const tw_blank *blank, const tw_page_size *page,
                      tw_output *out, tw_error *err)
{
    tw_draw_options options = tw_cli_plate_options(args, blank->goal->plate->profile);
    tw_steps steps = {0};
    tw_card card = {0};
    tw_status status = TW_OK;

    options.page = *page;
    if (args->steps)
        status = tw_steps_make(blank->goal, NULL, 0, &steps, err);
    if (status == TW_OK && args->points)
        status = tw_card_make(blank->goal, args->points, 0, INFINITY, &card, err);
    if (status == TW_OK)
        status = tw_draw_blank(blank, args->steps ? &steps : NULL, args->points ? &card : NULL,
                               tw_paper_of(args->output), &options, out, err);
    tw_steps_release(&steps);
    tw_card_release(&card);
    return status;
}

static tw_status show(const tw_args *args, const tw_cli_blank *found, tw_output *out, tw_error *err)
{
    if (args->json)
        return tw_json_print(tw_show_blank_json(found), out, err);
    if (args->csv)
        tw_show_blank_csv(out, found);
    else
        tw_show_blank_text(out, (tw_units)args->units, found);
    return TW_OK;
}

static tw_status lay_out(const tw_args *args, const tw_goal *goal, tw_blank *out, tw_error *err)
{
    tw_cli_progress progress = {0};
    tw_blank_request request = {.threads = (unsigned)args->threads,
                                .nodes = args->nodes,
                                .progress = tw_cli_progress_step,
                                .progress_context = &progress};
    tw_status status = read_share(args->gather, "gather", 1, &request.gather, err);

    if (status == TW_OK)
        status = read_share(args->draw_out, "draw", 0.9, &request.draw, err);
    if (status == TW_OK)
        status = tw_blank_make(goal, &request, out, err);
    tw_cli_progress_clear(&progress);
    return status;
}

static tw_status compute(const tw_args *args, const tw_plate *plate, tw_output *text,
                         tw_output *picture, tw_error *err)
{
    tw_cli_goal goal = {0};
    tw_blank blank = {0};
    tw_cli_blank found = {.blank = &blank};
    tw_page_size page;
    tw_status status = read_page(args, &page, err);

    if (status == TW_OK)
        status = tw_cli_goal_make(args, plate, &goal, err);
    if (status != TW_OK)
        return status;
    status = lay_out(args, &goal.goal, &blank, err);
    found.points = calloc(args->at.count + args->from_blank.count + 1, sizeof *found.points);
    if (status == TW_OK && !found.points)
        status = tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    if (status == TW_OK)
        status = map_points(args, &blank, &found, err);
    if (status == TW_OK && text)
        status = show(args, &found, text, err);
    if (status == TW_OK && picture)
        status = draw(args, &blank, &page, picture, err);
    if (status != TW_OK)
        tw_cli_error_in(plate->profile, err);
    free(found.points);
    tw_blank_release(&blank);
    tw_cli_goal_release(&goal);
    return status;
}

static tw_status has_form(const tw_profile *profile, tw_error *err)
{
    return tw_cli_needs_form(profile,
                             "plate %s gives an area and no form: a blank is laid out from a form",
                             "give it a form and thickness.forged", err);
}

tw_status tw_cmd_blank(const tw_args *args, tw_notes *errors)
{
    return tw_cli_with_picture(args, has_form, compute, errors);
}
