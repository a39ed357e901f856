/* cmd_new_card.c: a card to print and fill in by hand, and a plate by tape to mark readings on. */
#include "cli_commands.h"
#include "cli_internal.h"

#include <string.h>

static bool has_card(const char *form)
{
    for (size_t k = 0; tw_form_card_name(k); k++)
        if (strcmp(tw_form_card_name(k), form) == 0)
            return true;
    return false;
}

static tw_status lacks_card(const char *form, tw_error *err)
{
    char names[120] = "";

    for (size_t k = 0; tw_form_card_name(k); k++) {
        const size_t used = strlen(names);
        tw_format(names + used, sizeof names - used, "%s%s", k ? ", " : "", tw_form_card_name(k));
    }
    tw_fail(err, TW_ERR_USAGE, "%s has no card to fill in by hand", form);
    tw_error_advise(err, form, "there are cards for %s", names);
    return TW_ERR_USAGE;
}

static tw_status refuse(const tw_args *args, tw_error *err)
{
    const char *form = args->operand_count ? args->operands[0] : NULL;

    if (!form) {
        tw_fail(err, TW_ERR_USAGE, "--card needs a form");
        tw_error_advise(err, NULL, "\"taperwright new\" lists the forms");
        return TW_ERR_USAGE;
    }
    if (!tw_cli_template_find(form, err))
        return TW_ERR_USAGE;
    if (!has_card(form))
        return lacks_card(form, err);
    if (args->operand_count > 1 && strcmp(form, "readings") != 0) {
        tw_fail(err, TW_ERR_USAGE, "the card of %s is about no plate yet", form);
        tw_error_advise(err, args->operands[1], "\"new readings %s --card\" draws that plate",
                        args->operands[1]);
        return TW_ERR_USAGE;
    }
    if (!args->output) {
        tw_fail(err, TW_ERR_USAGE, "--card is drawn into a file");
        tw_error_advise(err, NULL, "add -o %s-card.pdf", form);
        return TW_ERR_USAGE;
    }
    return tw_cli_picture_allowed(args, err);
}

/* A pencil needs a page of a fixed size. */
static tw_status read_page(const tw_args *args, tw_page_size *out, tw_error *err)
{
    tw_status status;

    *out = (tw_page_size){.width_mm = 0};
    if (!args->page)
        return TW_OK;
    status = tw_page_size_read(args->page, out, err);
    if (status == TW_OK && (out->width_mm <= 0 || out->height_mm <= 0)) {
        status = tw_fail(err, TW_ERR_DOMAIN, "a card is drawn on a sheet of paper");
        tw_error_advise(err, args->page, "write a4 or letter");
    }
    return tw_cli_option_fault(status, "paper", err);
}

static tw_status draw_marking(const tw_args *args, const tw_page_size *page, tw_output *out,
                              tw_notes *errors)
{
    tw_args plate_args = *args;
    tw_cli_profiles profiles = {0};
    tw_form *form = NULL;
    tw_notes notes = {0};
    tw_error err;
    tw_status status;

    plate_args.operands = args->operands + 1;
    plate_args.operand_count = 1;
    status = tw_cli_profiles_read(&plate_args, &profiles, errors);
    if (status != TW_OK) {
        tw_cli_profiles_release(&profiles);
        return status;
    }
    status =
        tw_cli_needs_form(profiles.items[0], "plate %s gives an area: a mark needs to know where",
                          "give a form", &err);
    if (status == TW_OK)
        status = tw_form_build(profiles.items[0], &form, &notes, &err);
    if (status == TW_OK) {
        tw_draw_options options = tw_cli_plate_options(args, profiles.items[0]);
        options.page = *page;
        tw_cli_report(&notes, "note: ");
        status = tw_draw_marking(form, tw_paper_of(args->output), &options, out, &err);
    }
    if (status != TW_OK) {
        tw_cli_error_in(profiles.items[0], &err);
        tw_notes_add(errors, &err);
    }
    tw_form_free(form);
    tw_cli_profiles_release(&profiles);
    return status;
}

tw_status tw_cli_new_card(const tw_args *args, tw_notes *errors)
{
    tw_output *out = NULL;
    tw_page_size page;
    tw_error err;
    tw_status status = refuse(args, &err), closed;

    if (status == TW_OK)
        status = read_page(args, &page, &err);
    if (status == TW_OK)
        status = tw_output_begin(args->output, &out, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    if (args->operand_count > 1) {
        status = draw_marking(args, &page, out, errors);
    } else {
        tw_draw_options options = tw_cli_picture_options(args, NULL, NULL);
        options.page = page;
        status =
            tw_draw_form_card(args->operands[0], tw_paper_of(args->output), &options, out, &err);
        if (status != TW_OK)
            tw_notes_add(errors, &err);
    }
    closed = tw_cli_finish(out, status, &err);
    if (status == TW_OK && closed != TW_OK)
        tw_notes_add(errors, &err);
    return closed;
}
