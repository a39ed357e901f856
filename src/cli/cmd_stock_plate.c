/* cmd_stock_plate.c: which sheet to begin a plate with. */
#include "cli_internal.h"
#include "cli_plan.h"

#include <stdio.h>
#include <string.h>

/* What was typed, read. */
typedef struct wanted {
    tw_blank_request blank;
    tw_stock_request stock;
} wanted;

enum { SIDE = 64 };

/* The parts of "1000 mm x 500 mm"; of "1000 x 500 mm" the first takes the second's unit. */
static bool split_size(const char *text, char side[2][SIDE])
{
    const char *times = strstr(text, "×");
    const char *cross = times ? times : strpbrk(text, "xX");
    const char *after = cross ? cross + (times ? strlen("×") : 1) : NULL;
    size_t digits = 0, used;

    if (!cross || (size_t)(cross - text) >= SIDE / 2 || strlen(after) >= SIDE / 2)
        return false;
    snprintf(side[0], SIDE, "%.*s", (int)(cross - text), text);
    snprintf(side[1], SIDE, "%s", after);
    used = strspn(side[0], "0123456789./ ");
    for (size_t k = 0; after[k]; k++)
        if (after[k] >= '0' && after[k] <= '9')
            digits = k + 1;
    if (side[0][used] == '\0')
        strcat(side[0], after + digits);
    return true;
}

static tw_status read_size(const char *text, double size[2], tw_error *err)
{
    char side[2][SIDE];
    tw_status status = TW_OK;

    if (!split_size(text, side)) {
        tw_fail(err, TW_ERR_USAGE, "--sheet \"%s\" is not two lengths", text);
        tw_error_advise(err, text, "write --sheet \"1000 mm x 500 mm\"");
        return TW_ERR_USAGE;
    }
    for (int c = 0; c < 2 && status == TW_OK; c++) {
        status = tw_quantity_read(side[c], TW_LENGTH, TW_RULER_NONE, &size[c], err);
        if (status == TW_ERR_UNIT)
            tw_error_advise(err, text, "write --sheet \"1000 mm x 500 mm\"");
        if (status == TW_OK && !(size[c] > 0 && size[c] <= 1e5)) {
            status = tw_fail(err, TW_ERR_USAGE, "a sheet's side is above 0 and up to 100 m");
            tw_error_advise(err, text, "write --sheet \"1000 mm x 500 mm\"");
        }
    }
    if (status == TW_OK)
        return TW_OK;
    err->status = TW_ERR_USAGE;
    tw_error_within(err, "in --sheet");
    return TW_ERR_USAGE;
}

/* A limit as typed; "10" is most likely percent, so that over `most` it is asked back. */
static tw_status read_limit(const char *text, const char *option, double most, double *value,
                            tw_error *err)
{
    tw_status status;

    if (!text)
        return TW_OK;
    status = tw_quantity_read(text, TW_SHARE, TW_RULER_NONE, value, err);
    if (status == TW_OK && !(*value >= 0 && *value <= most)) {
        status = tw_fail(err, TW_ERR_USAGE, "--%s is a part of the sheet, from 0 to %g %%", option,
                         100 * most);
        tw_error_advise(err, text, "write --%s \"25 %%\", for example", option);
        return status;
    }
    if (status != TW_OK) {
        err->status = TW_ERR_USAGE;
        tw_error_within(err, "in --%s", option);
        return TW_ERR_USAGE;
    }
    if (*value == 0) /* which would ask for the usual one */
        *value = 1e-9;
    return TW_OK;
}

static tw_status read_options(const tw_args *args, wanted *out, tw_error *err)
{
    const char *other = args->near       ? "--near"
                        : args->material ? "--material"
                        : args->fittings ? "--fittings"
                                         : NULL;
    tw_status status = TW_OK;

    *out = (wanted){.blank = {.threads = (unsigned)args->threads},
                    .stock = {.systems = args->systems, .units = (tw_units)args->units}};
    if (other) {
        tw_fail(err, TW_ERR_USAGE, "%s is about the tables, not about the sheets for a plate",
                other);
        tw_error_advise(err, other, "leave it out, or the plate");
        return TW_ERR_USAGE;
    }
    if (args->sheet)
        status = read_size(args->sheet, out->stock.sheet_mm, err);
    if (status == TW_OK)
        status = read_limit(args->gather, "gather", 1, &out->blank.gather, err);
    if (status == TW_OK)
        status = read_limit(args->draw_out, "draw", 0.9, &out->blank.draw, err);
    return status;
}

static tw_status accepts(const tw_profile *profile, tw_error *err)
{
    return tw_cli_needs_form(profile, "plate %s gives an area only, and a blank needs its form",
                             NULL, err);
}

static tw_status accepts_system(const tw_args *args, const tw_profile *profile, tw_error *err)
{
    const tw_material *metal = profile->material ? tw_material_find(profile->material) : NULL;

    if ((args->systems & (1u << TW_GAUGE_AWG)) == 0 || !metal || !metal->ferrous)
        return TW_OK;
    tw_fail(err, TW_ERR_USAGE, "awg is for non-ferrous metal, not for %s", metal->name);
    tw_error_advise(err, "awg", "choose another system");
    return TW_ERR_USAGE;
}

static tw_status show(const tw_args *args, const tw_cli_sheets *found, tw_output *out,
                      tw_error *err)
{
    if (args->json)
        return tw_json_print(tw_show_sheets_json(found), out, err);
    if (args->csv)
        tw_show_sheets_csv(out, found);
    else
        tw_show_sheets_text(out, found);
    return TW_OK;
}

static tw_status rank(const tw_args *args, const tw_plate *plate, tw_output *text,
                      tw_output *picture, tw_error *err)
{
    tw_cli_progress progress = {0};
    tw_cli_sheets found = {.plate = plate, .all = args->all};
    tw_cli_goal goal = {0};
    tw_blank blank = {0};
    wanted ask;
    tw_status status = read_options(args, &ask, err);

    (void)picture;
    if (status == TW_OK)
        status = accepts_system(args, plate->profile, err);
    if (status == TW_OK)
        status = tw_cli_goal_make(args, plate, &goal, err);
    if (status != TW_OK)
        return status;
    if (!(goal.goal.stock.thickness > 0)) /* any will do: the shape is the same */
        goal.goal.stock = tw_stock_nearest(goal.goal.before.thickest, TW_GAUGE_SYSTEMS);
    ask.blank.progress = tw_cli_progress_step;
    ask.blank.progress_context = &progress;
    status = tw_blank_make(&goal.goal, &ask.blank, &blank, err);
    tw_cli_progress_clear(&progress);
    if (status == TW_OK)
        status = tw_stock_rank(&blank, &ask.stock, &found.ranking, err);
    if (status != TW_OK) {
        tw_cli_error_in(plate->profile, err);
    } else {
        found.planned = goal.planned;
        found.blank = &blank;
        found.request = ask.stock;
        status = show(args, &found, text, err);
    }
    tw_stock_ranking_release(&found.ranking);
    tw_blank_release(&blank);
    tw_cli_goal_release(&goal);
    return status;
}

/* "stock 1.6", "stock 16swg": a thickness where a profile's name belongs. */
static tw_status refuse_thickness(const char *operand, tw_error *err)
{
    tw_stock stock;
    const tw_status status = tw_stock_read(operand, NULL, &stock, NULL);

    if (status != TW_OK && status != TW_ERR_UNIT)
        return TW_OK;
    tw_fail(err, TW_ERR_USAGE, "stock takes a plate's profile, not a thickness");
    tw_error_advise(err, operand, "write --near \"1.6 mm\" for the sheets nearest to one");
    return TW_ERR_USAGE;
}

tw_status tw_cli_stock_plate(const tw_args *args, tw_notes *errors)
{
    wanted ask;
    tw_error err;
    tw_status status = read_options(args, &ask, &err);

    if (status == TW_OK)
        status = refuse_thickness(args->operands[0], &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    return tw_cli_with_picture(args, accepts, rank, errors);
}
