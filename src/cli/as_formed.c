/*
 * as_formed.c: a sheet as forming leaves it: the face laid out with the least work, its thickness carried to
 * the plate's grid; and the row of a comparison that takes it.
 */
#include "cli_compare.h"
#include "cli_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Metal that triangles are too wide for, or that no layout is found for, is tried with finer ones. */
static const size_t node_counts[] = {1300, TW_MESH_NODES_USUAL, 20000};
/* On the demo plates 1300 nodes are within 0.2 % of 20 000 in the thinnest, the rim's mean and the mass. */
enum { COMPARISON_NODES = 1300 };

tw_status tw_cli_form_sheet(const tw_args *args, const tw_plate *plate, double sheet_mm,
                            size_t nodes, tw_map *out, tw_layout **layout, tw_error *err)
{
    const unsigned threads = (unsigned)args->threads;
    tw_cli_progress progress = {0};
    tw_layout_options options = {.stock = sheet_mm,
                                 .threads = threads,
                                 .progress = tw_cli_progress_step,
                                 .progress_context = &progress};
    tw_layout *made = NULL;
    tw_status status = TW_ERR_SHAPE;

    for (size_t k = 0; k < sizeof node_counts / sizeof *node_counts &&
                       (status == TW_ERR_SHAPE || status == TW_ERR_UNREACHABLE);
         k++) {
        options.nodes = node_counts[k];
        if (options.nodes >= nodes)
            status = tw_layout_as_formed(plate->form, &options, &made, err);
    }
    tw_cli_progress_clear(&progress);
    if (status == TW_OK)
        status = tw_map_as_formed(made, plate->grid, threads, out, err);
    if (status == TW_OK && layout) {
        *layout = made;
        made = NULL;
    }
    tw_layout_free(made);
    return status;
}

/* The profile's own sheet, else the one nearest to the sheet of the same mass. */
static tw_stock stock_of(const tw_comparison *rows)
{
    const tw_profile *profile = rows->plate->profile;

    return profile->has_sheet ? profile->sheet
                              : tw_comparison_row(rows, TW_REASON_SAME_MASS)->nearest_stock;
}

static tw_status append(const tw_args *args, tw_cli_comparison *found, tw_error *err)
{
    const tw_plate *plate = found->rows.plate;
    tw_status status;

    found->stock = stock_of(&found->rows);
    status = tw_cli_form_sheet(args, plate, found->stock.thickness, COMPARISON_NODES,
                               &found->as_formed, &found->layout, err);
    if (status != TW_OK)
        return status;
    found->bounds = tw_forming_bounds_of(found->layout->mesh);
    return tw_compare_as_formed(&found->rows, &found->as_formed, found->stock.thickness,
                                (unsigned)args->threads, err);
}

/* What the plate does not allow is no reason to keep the other rows back. */
static void go_without(const tw_args *args, tw_cli_comparison *found, const tw_error *why)
{
    tw_notes notes = {0};
    tw_error note;

    snprintf(found->missing, sizeof found->missing, "%s", why->message);
    tw_layout_free(found->layout);
    found->layout = NULL;
    if (!args->json && !args->csv && !tw_cli_picture_to_stdout(args))
        return; /* the text says it */
    tw_fail(&note, TW_OK, "sheet as formed is left out: %s", why->message);
    snprintf(note.file, sizeof note.file, "%s", found->rows.plate->profile->file);
    tw_notes_add(&notes, &note);
    tw_cli_report(&notes, "note: ");
}

tw_status tw_cli_as_formed(const tw_args *args, tw_cli_comparison *found, tw_error *err)
{
    const tw_profile *profile = found->rows.plate->profile;
    const bool asked = args->against == TW_REASON_AS_FORMED;
    tw_error why;
    tw_status status;

    if (args->against >= 0 && !asked)
        return TW_OK;
    if (args->quick) {
        snprintf(found->missing, sizeof found->missing, "left out by --quick");
        return TW_OK;
    }
    if (profile->form == TW_FORM_FLAT) {
        snprintf(found->missing, sizeof found->missing,
                 "the plate is flat: its sheet stays as it was bought");
        if (!asked)
            return TW_OK;
        tw_fail(err, TW_ERR_INPUT, "plate %s is flat: its sheet stays as it was bought",
                profile->plate);
        tw_error_advise(err, NULL, "write --against own-stock");
        return TW_ERR_INPUT;
    }
    status = append(args, found, &why);
    if (status == TW_OK)
        return TW_OK;
    if (asked || tw_status_exit(status) != 1) {
        *err = why;
        return status;
    }
    go_without(args, found, &why);
    return TW_OK;
}

void tw_cli_comparison_release(tw_cli_comparison *found)
{
    tw_map_release(&found->as_formed);
    tw_layout_free(found->layout);
}
