/* cmd_view.c: views of a plate, and the numbers along a tape line and by area behind them. */
#include "cli_commands.h"
#include "cli_compare.h"
#include "cli_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- which map -------------------------------------------------------------------------------- */

static tw_status choose_map(const tw_args *args, const tw_plate *plate, tw_view_request *request,
                            tw_error *err)
{
    static const tw_map_kind by_default[] = {TW_MAP_FORGED, TW_MAP_READINGS, TW_MAP_IMAGE,
                                             TW_MAP_SHEET};
    const tw_plate_map *map = NULL;

    if (args->map >= 0)
        map = tw_plate_map_of(plate, (tw_map_kind)args->map);
    else if (args->of == TW_OF_SPREAD)
        map = tw_plate_map_of(plate, TW_MAP_READINGS);
    for (size_t k = 0; k < sizeof by_default / sizeof *by_default && !map && args->map < 0 &&
                       args->of != TW_OF_SPREAD;
         k++)
        map = tw_plate_map_of(plate, by_default[k]);
    if (!map) {
        const char *word = args->map >= 0 ? tw_map_word((tw_map_kind)args->map) : "readings";
        tw_fail(err, TW_ERR_INPUT, "plate %s gives no %s%s", plate->profile->plate, word,
                strcmp(word, "readings") == 0 ? "" : " map");
        tw_error_advise(err, NULL, "%s",
                        args->of == TW_OF_SPREAD ? "only a map from readings has a spread"
                                                 : "leave --map out, or give thickness for it");
        return TW_ERR_INPUT;
    }
    if (args->of == TW_OF_SPREAD && map->map.kind != TW_MAP_READINGS) {
        tw_fail(err, TW_ERR_USAGE, "only a map from readings has a spread");
        tw_error_advise(err, NULL, "leave --map out");
        return TW_ERR_USAGE;
    }
    request->plate = plate;
    request->map = &map->map;
    request->weight = &map->weight;
    request->name = map->map.kind == TW_MAP_FORGED     ? "forged"
                    : map->map.kind == TW_MAP_READINGS ? "from readings"
                    : map->map.kind == TW_MAP_IMAGE    ? "from a picture"
                                                       : "even sheet";
    request->quantity = (tw_view_quantity)args->of;
    return TW_OK;
}

/* ---- the sheet beside it ------------------------------------------------------------------------- */

/* "16 swg sheet", "1.63 mm sheet": a gauge is enough where the picture has a scale of millimetres. */
static void name_sheet(const tw_stock *stock, tw_units units, const char *more, char *out,
                       size_t size)
{
    char name[64], *bracket;

    tw_stock_write(stock, units, name, sizeof name);
    bracket = strstr(name, " (");
    if (bracket)
        *bracket = '\0';
    tw_format(out, size, "%s%s sheet%s", more[0] ? "" : "even ", name, more);
}

static tw_status beside_row(const tw_args *args, tw_cli_view *found, tw_error *err)
{
    const tw_comparison *rows = &found->found.rows;
    const tw_plate *plate = rows->plate;
    size_t which = 0;
    const tw_against *row;
    bool there = false;

    for (size_t k = 0; k < rows->count; k++) {
        const int reason = (int)rows->against[k].reason;
        if (args->against >= 0 ? reason == args->against : reason == TW_REASON_STOCK) {
            which = k;
            there = true;
        }
    }
    if (args->against >= 0 && !there) {
        tw_fail(err, TW_ERR_INPUT, "plate %s gives no thickness.sheet", plate->profile->plate);
        tw_error_advise(err, NULL, "write --against strike-thickness");
        return TW_ERR_INPUT;
    }
    row = &rows->against[which];
    found->request.beside_weight = &row->weight;
    found->request.beside_name = found->beside_name;
    if (row->map) {
        found->request.beside = row->map;
        name_sheet(&found->found.stock, (tw_units)args->units, " as formed", found->beside_name,
                   sizeof found->beside_name);
        return TW_OK;
    }
    found->request.beside = &found->even;
    name_sheet(row->reason == TW_REASON_STOCK ? &plate->profile->sheet
                                              : &(tw_stock){.thickness = row->sheet_mm},
               (tw_units)args->units, "", found->beside_name, sizeof found->beside_name);
    return tw_map_sheet(plate->grid, row->sheet_mm, &found->even, err);
}

static tw_status choose_beside(const tw_args *args, tw_cli_view *found, tw_error *err)
{
    const tw_plate *plate = found->request.plate;
    const tw_plate_map *sheet = tw_plate_map_of(plate, TW_MAP_SHEET);
    tw_status status;

    if (found->request.map->kind == TW_MAP_FORGED) {
        status = tw_compare(plate, (unsigned)args->threads, &found->found.rows, err);
        if (status == TW_OK && args->against == TW_REASON_AS_FORMED)
            status = tw_cli_as_formed(args, &found->found, err);
        return status == TW_OK ? beside_row(args, found, err) : status;
    }
    if (args->against >= 0 && args->against != TW_REASON_STOCK) {
        tw_fail(err, TW_ERR_INPUT, "only a forged map has such a sheet beside it");
        tw_error_advise(err, NULL, "write --map forged, or --against own-stock");
        return TW_ERR_INPUT;
    }
    if (sheet && &sheet->map != found->request.map) {
        found->request.beside = &sheet->map;
        found->request.beside_weight = &sheet->weight;
        found->request.beside_name = found->beside_name;
        name_sheet(&plate->profile->sheet, (tw_units)args->units, "", found->beside_name,
                   sizeof found->beside_name);
        return TW_OK;
    }
    if (args->of != TW_OF_DIFFERENCE && args->against < 0)
        return TW_OK;
    tw_fail(err, TW_ERR_INPUT, "plate %s has no sheet to take a difference to",
            plate->profile->plate);
    tw_error_advise(err, NULL, "give it thickness.sheet and a forged map or readings");
    return TW_ERR_INPUT;
}

/* ---- all of it -------------------------------------------------------------------------------------- */

static tw_status show(const tw_args *args, const tw_cli_view *found, tw_output *text, tw_error *err)
{
    if (args->json)
        return tw_json_print(tw_show_view_json(found), text, err);
    if (args->csv)
        tw_show_view_csv(text, found);
    else
        tw_show_view_text(text, (tw_units)args->units, found);
    return TW_OK;
}

static tw_status fill(const tw_args *args, const tw_plate *plate, tw_cli_view *found, tw_error *err)
{
    const tw_units units = (tw_units)args->units;
    tw_status status = tw_cli_views_read(args, plate->profile, &found->request, err);

    if (status == TW_OK)
        status = choose_map(args, plate, &found->request, err);
    if (status == TW_OK)
        status = choose_beside(args, found, err);
    if (status == TW_OK && found->request.map->kind == TW_MAP_READINGS)
        status = tw_survey_spread(plate->survey, (unsigned)args->threads, err);
    if (status == TW_OK)
        status =
            tw_cut_make(&found->request, &found->request.views[0].line, units, &found->cut, err);
    if (status == TW_OK)
        status = tw_shares_make(&found->request, units, &found->shares, err);
    return status;
}

static tw_status make(const tw_args *args, const tw_plate *plate, tw_output *text,
                      tw_output *picture, tw_error *err)
{
    tw_cli_view found = {.request = {.count = 0}};
    tw_status status = fill(args, plate, &found, err);

    if (status == TW_OK && text)
        status = show(args, &found, text, err);
    if (status == TW_OK && picture) {
        const tw_draw_options options = tw_cli_plate_options(args, plate->profile);
        status = tw_draw_views(&found.request, tw_paper_of(args->output), &options, picture, err);
    }
    if (status != TW_OK)
        tw_cli_error_in(plate->profile, err);
    tw_cut_release(&found.cut);
    tw_map_release(&found.even);
    tw_cli_comparison_release(&found.found);
    return status;
}

static tw_status accepts(const tw_profile *profile, tw_error *err)
{
    return tw_cli_needs_form(profile, "plate %s gives an area: there is nothing to see of it",
                             "give a form and a thickness", err);
}

tw_status tw_cmd_view(const tw_args *args, tw_notes *errors)
{
    return tw_cli_with_picture(args, accepts, make, errors);
}
