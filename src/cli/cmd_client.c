/* cmd_client.c: the sheet that goes to a client with the piece. */
#include "cli_commands.h"
#include "cli_compare.h"
#include "cli_harness.h"
#include "cli_internal.h"
#include "cli_weigh.h"

/* What stands behind the sheet; zeroed at first. */
typedef struct dossier {
    tw_cli_lone lone;
    tw_cli_harness of;
    tw_originals *set;
    tw_ranking ranking;
    tw_cli_comparison found;
    tw_cli_surety surety;
} dossier;

static void release(dossier *all)
{
    tw_cli_surety_release(&all->surety);
    tw_cli_comparison_release(&all->found);
    tw_ranking_release(&all->ranking);
    tw_cli_lone_close(&all->lone, &all->of);
    tw_originals_free(all->set);
}

static tw_status rank(const tw_args *args, dossier *all, tw_notes *errors)
{
    tw_filter filter;
    tw_error err;
    tw_status status = tw_cli_filter(args, &filter, &err);

    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    status = tw_cli_set_read(args, &all->set, errors);
    if (status == TW_OK)
        status = tw_cli_lone_model(args, &all->lone, &all->of, errors);
    if (status != TW_OK)
        return status;
    status = tw_rank(&all->of.total, all->set, &filter, &all->ranking, &err);
    return status == TW_OK ? TW_OK : tw_cli_give(errors, &err);
}

static tw_status compute(const tw_args *args, dossier *all, const tw_plate *plate, tw_output *out,
                         tw_error *err)
{
    tw_draw_options options = tw_cli_plate_options(args, plate->profile);
    tw_client client = {.comparison = &all->found.rows};
    tw_status status = tw_compare(plate, (unsigned)args->threads, &all->found.rows, err);

    if (status == TW_OK)
        status = tw_cli_as_formed(args, &all->found, err);
    if (status == TW_OK && !args->quick)
        status = tw_cli_surety_make(args, plate, all->found.rows.forged, &all->surety, err);
    if (status != TW_OK)
        return status;
    for (size_t k = 0; k < all->found.rows.count; k++) {
        if ((int)all->found.rows.against[k].reason == args->against)
            options.which = k;
    }
    client.expanded_g = all->surety.given ? all->surety.budget.expanded : 0;
    client.ranking = all->set ? &all->ranking : NULL;
    return tw_draw_client(&client, tw_paper_of(args->output), &options, out, err);
}

/* A plate that says its kind comes from the harness that meets the records; any other by itself. */
static tw_status make(const tw_args *args, tw_output *out, tw_notes *errors)
{
    dossier all = {0};
    tw_plate *own = NULL;
    const tw_profile *profile;
    tw_error err = {0};
    tw_status status = tw_cli_profiles_read(args, &all.lone.profiles, errors);

    if (status != TW_OK)
        return status;
    profile = all.lone.profiles.items[0];
    status =
        tw_cli_needs_form(profile, "plate %s gives an area and no form: there is nothing to draw",
                          "give it a form and thickness.forged", &err);
    if (status == TW_OK && profile->kind)
        status = rank(args, &all, errors);
    else if (status == TW_OK)
        status = tw_cli_plate(args, profile, &own, &err);
    if (status == TW_OK)
        status =
            compute(args, &all, own ? own : all.of.harness->parts[0].pieces[0].plate, out, &err);
    if (status != TW_OK && err.status != TW_OK) {
        tw_cli_error_in(profile, &err);
        tw_notes_add(errors, &err);
    }
    release(&all);
    tw_plate_free(own);
    return status;
}

tw_status tw_cmd_client(const tw_args *args, tw_notes *errors)
{
    tw_words words = {0};
    tw_args own = *args;
    tw_output *text = NULL, *picture = NULL;
    tw_error err;
    tw_status status;

    if (!own.output) { /* in words */
        own.output = "/dev/null";
        own.words = &words;
    }
    status = tw_cli_outputs_begin(&own, &text, &picture, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    tw_output_abandon(text);
    status = make(&own, picture, errors);
    if (status == TW_OK) {
        status = tw_output_commit(picture, &err);
        if (status == TW_OK && own.words == &words)
            status = tw_cli_describe(&words, &err);
        if (status != TW_OK)
            tw_notes_add(errors, &err);
    } else {
        tw_output_abandon(picture);
    }
    tw_words_release(&words);
    return status;
}
