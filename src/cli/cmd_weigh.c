/* cmd_weigh.c: mass, balance point and thickness of plates. */
#include "cli_commands.h"
#include "cli_internal.h"
#include "cli_weigh.h"

#include <stdio.h>
#include <string.h>

static const double THIN = 0.2,
                    THICK = 15; /* [mm]: foil, and thicker than any plate; chosen here */

/* Cells of the forged map, else of the one from readings, else of the picture's, else of the sheet. */
static tw_status write_cells(const tw_plate *plate, tw_output *out, tw_error *err)
{
    const tw_plate_map *map = tw_plate_map_of(plate, TW_MAP_FORGED);

    if (!map)
        map = tw_plate_map_of(plate, TW_MAP_READINGS);
    if (!map)
        map = tw_plate_map_of(plate, TW_MAP_IMAGE);
    if (!map)
        map = tw_plate_map_of(plate, TW_MAP_SHEET);
    return tw_cli_cells_write(out, plate->grid, &map->map, err);
}

/* What the commands print of one plate goes to one of these. */
typedef struct weighing {
    const tw_args *args;
    tw_output *out, *cells; /* cells: NULL unless asked for */
    json_t *list;           /* NULL unless JSON is asked for */
} weighing;

static tw_status add_json(const weighing *work, json_t *document, tw_error *err)
{
    if (json_array_append_new(work->list, document) != 0)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    return TW_OK;
}

/* A mean that no plate has is a unit mistaken somewhere. */
static void question_thickness(const tw_profile *profile, double mm)
{
    tw_notes notes = {0};
    tw_error note;

    if (mm >= THIN && mm <= THICK)
        return;
    tw_fail(&note, TW_OK, "plate %s would be %.*f mm thick on average", profile->plate,
            mm < THIN ? 3 : 0, mm);
    tw_error_advise(&note, NULL, "is the scale weight in kg or lb, the area in dm2 or cm2?");
    snprintf(note.file, sizeof note.file, "%s", profile->file);
    tw_notes_add(&notes, &note);
    tw_cli_report(&notes, "note: ");
}

static tw_status weigh_area(const weighing *work, const tw_profile *profile, tw_error *err)
{
    tw_budget budget;
    tw_status status;

    if (profile->scale <= 0) {
        tw_fail(err, TW_ERR_INPUT, "plate %s gives an area but no weight", profile->plate);
        tw_error_advise(err, NULL, "add scale: 842 g, or a form and a thickness");
        tw_cli_error_in(profile, err);
        return TW_ERR_INPUT;
    }
    if (work->cells)
        return tw_fail(err, TW_ERR_INPUT, "plate %s has no form, so no cells", profile->plate);
    status = tw_area_budget(profile, &budget, err);
    if (status != TW_OK) {
        tw_cli_error_in(profile, err);
        return status;
    }
    question_thickness(profile, budget.value);
    if (work->list)
        status = add_json(work, tw_show_area_json(work->args, profile, &budget), err);
    else if (work->args->csv)
        tw_show_area_csv(work->out, profile, work->args->quick ? NULL : &budget);
    else
        tw_show_area_text(work->out, work->args, profile, &budget);
    tw_budget_release(&budget);
    return status;
}

static tw_status weigh_one(const weighing *work, const tw_profile *profile, tw_error *err)
{
    const tw_args *args = work->args;
    tw_cli_surety found[TW_PLATE_MAPS_MAX] = {0};
    tw_extra_weight extras[TW_PLATE_MAPS_MAX] = {0};
    const tw_cli_surety *sureties = args->quick ? NULL : found;
    tw_plate *plate = NULL;
    tw_status status = tw_cli_plate(args, profile, &plate, err);

    if (status != TW_OK)
        return status;
    status = tw_cli_extras_make(plate, extras, err);
    if (sureties && status == TW_OK)
        status = tw_cli_sureties_make(args, plate, found, err);
    if (status != TW_OK)
        tw_cli_error_in(profile, err);
    else if (work->list)
        status = add_json(work, tw_show_weigh_json(args, plate, sureties, extras), err);
    else if (args->csv)
        tw_show_weigh_csv(work->out, plate, sureties, extras);
    else
        tw_show_weigh_text(work->out, args, plate, sureties, extras);
    if (status == TW_OK && work->cells)
        status = write_cells(plate, work->cells, err);
    for (size_t k = 0; k < TW_PLATE_MAPS_MAX; k++) {
        tw_cli_surety_release(&found[k]);
        tw_extra_weight_release(&extras[k]);
    }
    tw_plate_free(plate);
    return status;
}

static tw_status begin(const tw_args *args, tw_output **out, tw_output **cells, tw_error *err)
{
    tw_status status = TW_OK;

    if (args->cells && args->operand_count > 1)
        return tw_fail(err, TW_ERR_USAGE, "--cells takes one plate at a time");
    if (args->cells && strcmp(args->cells, "-") == 0) {
        tw_fail(err, TW_ERR_USAGE, "the cells and the weights cannot both go to standard output");
        tw_error_advise(err, "-", "write --cells FILE.csv");
        return TW_ERR_USAGE;
    }
    if (args->quick && (args->budget || args->trials)) {
        tw_fail(err, TW_ERR_USAGE, "--quick leaves out what --%s is to show",
                args->budget ? "budget" : "monte-carlo");
        tw_error_advise(err, NULL, "give one of them");
        return TW_ERR_USAGE;
    }
    if (args->seed && !args->trials) {
        tw_fail(err, TW_ERR_USAGE, "--seed belongs to trials");
        tw_error_advise(err, NULL, "add --monte-carlo 100000");
        return TW_ERR_USAGE;
    }
    if (args->cells)
        status = tw_cli_output_allowed(args, args->cells, err);
    if (status == TW_OK)
        status = tw_output_begin("-", out, err);
    if (status == TW_OK && args->cells)
        status = tw_output_begin(args->cells, cells, err);
    return status;
}

/* One plate is one document; several are a list of such documents. */
static tw_status show_list(json_t *list, tw_output *out, tw_error *err)
{
    json_t *document = json_array_size(list) == 1 ? json_array_get(list, 0) : list;

    return tw_json_print(json_incref(document), out, err);
}

tw_status tw_cmd_weigh(const tw_args *args, tw_notes *errors)
{
    tw_cli_profiles profiles = {0};
    tw_output *out = NULL, *cells = NULL;
    json_t *list = NULL;
    tw_error err;
    tw_status status = begin(args, &out, &cells, &err);

    if (status != TW_OK) {
        tw_notes_add(errors, &err);
        goto done;
    }
    status = tw_cli_profiles_read(args, &profiles, errors);
    if (status != TW_OK)
        goto done;
    if (args->json && !(list = json_array()))
        status = tw_fail(&err, TW_ERR_MEMORY, "memory ran out");
    if (args->csv)
        tw_show_weigh_csv_head(out);
    for (size_t k = 0; k < profiles.count && status == TW_OK; k++) {
        const weighing work = {args, out, cells, list};
        status = tw_cli_area_only(profiles.items[k]) ? weigh_area(&work, profiles.items[k], &err)
                                                     : weigh_one(&work, profiles.items[k], &err);
    }
    if (status == TW_OK && list)
        status = show_list(list, out, &err);
    status = tw_cli_finish_both(&out, &cells, status, &err);
    if (status != TW_OK)
        tw_notes_add(errors, &err);
done:
    tw_output_abandon(out);
    tw_output_abandon(cells);
    json_decref(list);
    tw_cli_profiles_release(&profiles);
    return status;
}
