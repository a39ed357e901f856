/* cmd_harness.c: the parts of a harness, in or out, added up; and what other commands of a harness
 * share: reading, modelling and choosing. */
#include "cli_commands.h"
#include "cli_harness.h"
#include "cli_internal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- reading and choosing --------------------------------------------------------------------- */

static tw_status read_file(const tw_args *args, tw_harness_file **out, tw_notes *errors)
{
    const size_t before = errors->count;
    const tw_status status =
        tw_harness_file_read(args->operands[0], args->settings, args->setting_count, out, errors);

    if (status != TW_OK && errors->count == before) { /* never fail without a word */
        tw_error err;
        tw_fail(&err, status, "%s", tw_status_text(status));
        snprintf(err.file, sizeof err.file, "%s", args->operands[0]);
        tw_notes_add(errors, &err);
    }
    return status;
}

static tw_status model(const tw_args *args, const tw_harness_file *file, tw_harness **out,
                       tw_error *err)
{
    tw_cli_progress progress = {0};
    const tw_plate_options options = {.cells = args->grid,
                                      .threads = (unsigned)args->threads,
                                      .progress = tw_cli_progress_step,
                                      .progress_context = &progress};
    const tw_status status = tw_harness_build(file, &options, out, err);

    tw_cli_progress_clear(&progress);
    return status;
}

tw_status tw_cli_harness_model(const tw_args *args, tw_cli_harness *out, tw_notes *errors)
{
    const tw_choice choice = {.set = args->set,
                              .with_count = args->with.count,
                              .without_count = args->without.count,
                              .with = args->with.names,
                              .without = args->without.names};
    tw_error err;
    tw_status status = model(args, out->file, &out->harness, &err);

    if (status == TW_OK)
        status = tw_harness_total(out->harness, &choice, &out->total, &err);
    if (status != TW_OK) {
        if (!err.file[0] && tw_status_exit(status) == 1)
            snprintf(err.file, sizeof err.file, "%s", out->file->file);
        return tw_cli_give(errors, &err);
    }
    tw_cli_report(&out->harness->notes, "note: ");
    tw_cli_report(&out->total.notes, "note: ");
    return TW_OK;
}

tw_status tw_cli_harness_open(const tw_args *args, tw_cli_harness *out, tw_notes *errors)
{
    tw_status status;

    *out = (tw_cli_harness){0};
    status = read_file(args, &out->file, errors);
    return status == TW_OK ? tw_cli_harness_model(args, out, errors) : status;
}

void tw_cli_harness_close(tw_cli_harness *harness)
{
    tw_total_release(&harness->total);
    tw_harness_free(harness->harness);
    tw_harness_file_free(harness->file);
}

/* ---- the command ------------------------------------------------------------------------------ */

static tw_status add_set(const tw_total *total, tw_arena *arena, tw_cli_set *set, tw_error *err)
{
    size_t missing = 0;

    *set = (tw_cli_set){.in_count = total->in_count, .missing_count = total->missing_count};
    set->missing = tw_arena_array(arena, total->missing_count, sizeof *set->missing);
    if (!set->missing)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    for (size_t k = 0; k < total->harness->part_count; k++)
        if (total->in[k] && total->counted[k] == TW_COUNTED_MISSING)
            set->missing[missing++] = total->harness->parts[k].name;
    return tw_figure_add(&set->sum, arena, &total->sum, 1, err);
}

static tw_status add_sets(tw_cli_whole *whole, tw_error *err)
{
    const tw_harness_file *file = whole->of->file;
    tw_arena *arena = whole->of->total.arena;

    whole->sets = tw_arena_array(arena, file->set_count, sizeof *whole->sets);
    if (!whole->sets)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    for (size_t k = 0; k < file->set_count; k++) {
        const tw_choice choice = {.set = file->sets[k].name};
        tw_total total;
        tw_status status = tw_harness_total(whole->of->harness, &choice, &total, err);
        if (status != TW_OK)
            return status;
        status = add_set(&total, arena, &whole->sets[k], err);
        tw_total_release(&total);
        if (status != TW_OK)
            return status;
        whole->set_count++;
    }
    return TW_OK;
}

static tw_status show(const tw_args *args, const tw_cli_whole *whole, tw_output *out, tw_error *err)
{
    if (args->json)
        return tw_json_print(tw_show_harness_json(args, whole), out, err);
    if (args->csv)
        tw_show_harness_csv(out, whole);
    else
        tw_show_harness_text(out, args, whole);
    return TW_OK;
}

static tw_status draw(const tw_args *args, const tw_cli_whole *whole, tw_output *out, tw_error *err)
{
    const tw_harness_file *file = whole->of->file;
    char title[512];
    tw_draw_options options;

    tw_cli_harness_title(args, file, title, sizeof title);
    options = tw_cli_picture_options(args, title, file->date);
    return tw_draw_parts(&whole->of->total, &whole->sources, tw_paper_of(args->output), &options,
                         out, err);
}

tw_status tw_cmd_harness(const tw_args *args, tw_notes *errors)
{
    tw_cli_harness of = {0};
    tw_cli_whole whole = {.of = &of};
    tw_output *text = NULL, *picture = NULL;
    tw_error err;
    tw_status status = tw_cli_outputs_begin(args, &text, &picture, &err);

    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    status = tw_cli_harness_open(args, &of, errors);
    if (status != TW_OK)
        goto done;
    status = tw_total_sources(&of.total, &whole.sources, &err);
    if (status == TW_OK)
        status = add_sets(&whole, &err);
    if (status == TW_OK && text)
        status = show(args, &whole, text, &err);
    if (status == TW_OK && picture)
        status = draw(args, &whole, picture, &err);
    status = tw_cli_finish_both(&text, &picture, status, &err);
    if (status != TW_OK)
        tw_notes_add(errors, &err);
done:
    tw_output_abandon(text);
    tw_output_abandon(picture);
    tw_sources_release(&whole.sources);
    tw_cli_harness_close(&of);
    return status;
}
