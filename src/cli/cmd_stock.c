/*
 * cmd_stock.c: gauge tables and the sheets nearest to a thickness. Mass per area is thickness times
 * density; the weight column that gauge systems were defined by belongs to no real metal. With
 * --fittings the other table a workshop asks for: what hangs on plates. With a plate, which sheet to
 * begin it with: cmd_stock_plate.c.
 */
#include "cli_commands.h"
#include "cli_harness.h"
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/** One sheet of a table. */
typedef struct sheet {
    tw_stock stock;
    double inch;
    double thicker; /* than the one asked for [mm]; NaN without --near */
} sheet;

enum { SHEETS_MAX = 256 };
typedef struct table {
    const tw_material *metal;
    size_t count;
    sheet sheets[SHEETS_MAX]; /* by system, metric last */
} table;

static void add(table *to, const tw_stock *stock, double inch, double near)
{
    if (to->count < SHEETS_MAX)
        to->sheets[to->count++] = (sheet){*stock, inch, stock->thickness - near};
}

static bool system_wanted(const tw_args *args, const tw_material *metal, tw_gauge_system system)
{
    if (args->systems != 0)
        return (args->systems & (1u << system)) != 0;
    return system != TW_GAUGE_AWG || !metal->ferrous;
}

static void collect(const tw_args *args, double near, table *to)
{
    size_t count;
    const double *series = tw_metric_stock(&count);

    for (tw_gauge_system system = 0; system < TW_GAUGE_SYSTEMS; system++) {
        int first = TW_GAUGE_FIRST, last = TW_GAUGE_LAST;
        double inch, thicker;

        if (!system_wanted(args, to->metal, system))
            continue;
        if (!isnan(near)) {
            if (tw_gauge_nearest(system, near, &first, &thicker, NULL) != TW_OK)
                continue;
            last = first;
        }
        for (int number = first; number <= last; number++) {
            tw_stock stock = {.by_gauge = true, .system = system, .number = number};
            if (tw_gauge_thickness(system, number, &inch, &stock.thickness, NULL) == TW_OK)
                add(to, &stock, inch, near);
        }
    }
    if (args->systems != 0 && (args->systems & (1u << TW_GAUGE_SYSTEMS)) == 0)
        return;
    if (!isnan(near)) {
        const tw_stock nearest = tw_stock_nearest(near, TW_GAUGE_SYSTEMS);
        add(to, &nearest, nearest.thickness / 25.4, near);
        return;
    }
    for (size_t k = 0; k < count; k++)
        add(to, &(tw_stock){.thickness = series[k]}, series[k] / 25.4, near);
}

static void show_text(tw_output *out, const tw_args *args, const table *from)
{
    const bool inch = args->units == TW_INCH;
    int system = -2; /* of the row before; −1 is metric */

    tw_output_print(out, NULL, "%s, %.0f kg/m³: mass is thickness × density\n", from->metal->name,
                    from->metal->density * 1e6);
    if (args->systems == 0 && from->metal->ferrous)
        tw_output_print(out, NULL, "awg is left out: it is for non-ferrous metal\n");
    for (size_t k = 0; k < from->count; k++) {
        const sheet *row = &from->sheets[k];
        const int now = row->stock.by_gauge ? (int)row->stock.system : -1;
        const double mass = row->stock.thickness * from->metal->density; /* g/mm² */
        char name[24] = "sheet";

        if (now != system && isnan(row->thicker)) {
            const tw_gauge_info *about = now >= 0 ? tw_gauge_about(row->stock.system) : NULL;
            tw_output_print(out, NULL, "\n%s\n", about ? about->title : "metric sheet");
        }
        system = now;
        if (now >= 0)
            snprintf(name, sizeof name, "%2d %s", row->stock.number,
                     tw_gauge_about(row->stock.system)->code);
        tw_output_print(out, NULL, "  %-7s %7.3f mm  %7.4f in  ", name, row->stock.thickness,
                        row->inch);
        if (inch) /* 1 lb/ft² = 453.59237 g / 304.8² mm² */
            tw_output_print(out, NULL, "%6.3f lb/ft²", mass * 304.8 * 304.8 / 453.59237);
        else
            tw_output_print(out, NULL, "%6.2f kg/m²", mass * 1e3);
        if (fabs(row->thicker) < 0.0005)
            tw_output_print(out, NULL, "   the same");
        else if (!isnan(row->thicker))
            tw_output_print(out, NULL, "   %.3f mm %s", fabs(row->thicker),
                            row->thicker < 0 ? "thinner" : "thicker");
        tw_output_print(out, NULL, "\n");
    }
}

static json_t *show_json(const table *from, double near)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < from->count; k++) {
        const sheet *row = &from->sheets[k];
        const char *code = row->stock.by_gauge ? tw_gauge_about(row->stock.system)->code : NULL;
        json_t *item = json_pack(
            "{s:o,s:o,s:o,s:o,s:o,s:o}", "system", tw_json_text(code), "gauge",
            row->stock.by_gauge ? json_integer(row->stock.number) : json_null(), "thickness_mm",
            tw_json_number(row->stock.thickness), "thickness_in", tw_json_number(row->inch),
            "mass_kg_per_m2", tw_json_number(row->stock.thickness * from->metal->density * 1e3),
            "thicker_mm", tw_json_number(row->thicker));
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return json_pack("{s:i,s:s,s:o,s:o,s:o,s:o}", "format", 1, "version", TW_VERSION, "material",
                     tw_json_text(from->metal->name), "density_kg_per_m3",
                     tw_json_number(from->metal->density * 1e6), "near_mm", tw_json_number(near),
                     "sheets", list);
}

/* As many names as the advice holds. */
static void advise_metals(const char *name, tw_error *err)
{
    size_t count;
    const tw_material *metals = tw_materials(&count);
    char list[sizeof err->advice - 8] = "";

    for (size_t k = 0; k < count; k++) {
        const size_t used = strlen(list);
        if (used + strlen(metals[k].name) + 3 <= sizeof list)
            snprintf(list + used, sizeof list - used, "%s%s", used ? ", " : "", metals[k].name);
    }
    tw_error_advise(err, name, "known: %s", list);
}

static tw_status find_metal(const tw_args *args, const tw_material **metal, tw_error *err)
{
    const char *name = args->material ? args->material : "mild steel";
    const char *nearest;

    *metal = tw_material_find(name);
    if (!*metal) {
        nearest = tw_material_nearest(name);
        tw_fail(err, TW_ERR_USAGE, "unknown material \"%s\"", name);
        if (nearest)
            tw_error_advise(err, name, "did you mean \"%s\"?", nearest);
        else
            advise_metals(name, err);
        return TW_ERR_USAGE;
    }
    if ((args->systems & (1u << TW_GAUGE_AWG)) != 0 && (*metal)->ferrous) {
        tw_fail(err, TW_ERR_USAGE, "awg is for non-ferrous metal, not for %s", (*metal)->name);
        tw_error_advise(err, "awg", "choose another system, or --material copper");
        return TW_ERR_USAGE;
    }
    return TW_OK;
}

static tw_status list_fittings(const tw_args *args, tw_notes *errors)
{
    const char *other = args->near       ? "--near"
                        : args->material ? "--material"
                        : args->systems  ? "--system"
                                         : NULL;
    tw_output *out = NULL;
    tw_error err;
    tw_status status;

    if (other) {
        tw_fail(&err, TW_ERR_USAGE, "%s is about sheet, --fittings lists none", other);
        tw_error_advise(&err, other, "leave one of the two out");
        return tw_cli_give(errors, &err);
    }
    status = tw_output_begin("-", &out, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    if (args->json)
        status = tw_json_print(tw_fittings_json(), out, &err);
    else
        tw_fittings_show(out, (tw_units)args->units);
    status = tw_cli_finish(out, status, &err);
    return status == TW_OK ? TW_OK : tw_cli_give(errors, &err);
}

/* Options of a plate's sheets say nothing of a table. */
static tw_status refuse_without_plate(const tw_args *args, tw_error *err)
{
    const char *other = args->sheet               ? "--sheet"
                        : args->gather            ? "--gather"
                        : args->draw_out          ? "--draw"
                        : args->wanted >= 0       ? "--map"
                        : args->all               ? "--all"
                        : args->csv               ? "--csv"
                        : args->setting_count > 0 ? "--set"
                        : args->grid > 0          ? "--grid"
                        : args->threads > 0       ? "--threads"
                                                  : NULL;

    if (!other)
        return TW_OK;
    tw_fail(err, TW_ERR_USAGE, "%s is about the sheets for a plate, and no plate is named", other);
    tw_error_advise(err, other, "write \"taperwright stock PLATE.yaml %s …\", or leave it out",
                    other);
    return TW_ERR_USAGE;
}

/* "swg, bwg" */
static void name_systems(unsigned systems, char *out, size_t size)
{
    size_t used = 0;

    for (int k = 0; k <= TW_GAUGE_SYSTEMS && used < size; k++)
        if ((systems & (1u << k)) != 0)
            used += (size_t)snprintf(out + used, size - used, "%s%s", used ? ", " : "",
                                     k < TW_GAUGE_SYSTEMS ? tw_gauge_about((tw_gauge_system)k)->code
                                                          : "metric");
}

tw_status tw_cmd_stock(const tw_args *args, tw_notes *errors)
{
    table found = {.count = 0};
    tw_stock near = {.thickness = NAN};
    tw_output *out = NULL;
    tw_error err;
    tw_status status;

    if (args->operand_count > 0)
        return tw_cli_stock_plate(args, errors);
    status = refuse_without_plate(args, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    if (args->fittings)
        return list_fittings(args, errors);
    status = find_metal(args, &found.metal, &err);
    if (status == TW_OK && args->near) {
        status = tw_stock_read(args->near, found.metal, &near, &err);
        if (status != TW_OK && tw_status_exit(status) == 1) { /* typed here, not in a file */
            err.status = status = TW_ERR_USAGE;
            tw_error_within(&err, "in --near");
        }
    }
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    collect(args, near.thickness, &found);
    if (found.count == 0) {
        char systems[64] = "";
        name_systems(args->systems, systems, sizeof systems);
        tw_fail(&err, TW_ERR_USAGE, "no gauge of %s is near %s", systems, args->near);
        return tw_cli_give(errors, &err);
    }
    status = tw_output_begin("-", &out, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    if (args->json)
        status = tw_json_print(show_json(&found, near.thickness), out, &err);
    else
        show_text(out, args, &found);
    status = tw_cli_finish(out, status, &err);
    return status == TW_OK ? TW_OK : tw_cli_give(errors, &err);
}
