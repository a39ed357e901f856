/* cmd_new.c: a commented profile to start from; --card is cmd_new_card.c's. */
#include "cli_commands.h"
#include "cli_internal.h"

#include <string.h>
#include <strings.h>
#include <sys/stat.h>

enum { FORMS_MAX = 16 };

const tw_template *tw_cli_template_find(const char *form, tw_error *err)
{
    size_t count;
    const tw_template *templates = tw_templates(&count);
    const char *names[FORMS_MAX];
    const char *nearest;

    for (size_t k = 0; k < count; k++) {
        if (strcmp(templates[k].form, form) == 0)
            return &templates[k];
        if (k < FORMS_MAX)
            names[k] = templates[k].form;
    }
    tw_fail(err, TW_ERR_USAGE, "no form is called \"%s\"", form);
    nearest = tw_nearest_word(form, names, count < FORMS_MAX ? count : FORMS_MAX);
    if (nearest)
        tw_error_advise(err, form, "did you mean \"%s\"?", nearest);
    else
        tw_error_advise(err, form, "\"taperwright new\" lists the forms");
    return NULL;
}

static void list_forms(tw_output *out)
{
    size_t count;
    const tw_template *templates = tw_templates(&count);

    tw_output_print(out, NULL, "forms, and what they suit:\n");
    for (size_t k = 0; k < count; k++)
        tw_output_print(out, NULL, "  %-8s  %s\n", templates[k].form, templates[k].suits);
    tw_output_print(out, NULL, "kinds, for \"kind:\" in a profile:");
    tw_cli_put_kinds(out, "\n  ", 84);
    tw_output_print(out, NULL, "\n");
    tw_output_print(
        out, NULL,
        "\"taperwright new FORM -o FILE.yaml\" writes one to start from; "
        "\"taperwright help profile\" lists every key.\n"
        "\"taperwright new FORM --card -o FILE.pdf\" draws a card to fill in by hand at "
        "the bench:\n ");
    for (size_t k = 0; tw_form_card_name(k); k++)
        tw_output_print(out, NULL, "%s %s", k ? "," : "", tw_form_card_name(k));
    tw_output_print(out, NULL, ".\n");
}

static tw_status refuse_existing(const char *path, tw_error *err)
{
    struct stat found;

    if (strcmp(path, "-") == 0 || lstat(path, &found) != 0 || S_ISCHR(found.st_mode))
        return TW_OK;
    tw_fail(err, TW_ERR_USAGE, "%s exists and is not replaced", path);
    tw_error_advise(err, path, "name a new file");
    return TW_ERR_USAGE;
}

static bool is_drawing(const char *path)
{
    const char *ending = strrchr(path, '.');

    return tw_paper_of(path) != TW_PAPER_PNG || (ending && strcasecmp(ending, ".png") == 0);
}

/* A profile is text, and is about no plate yet. */
static tw_status refuse_drawing(const tw_args *args, tw_error *err)
{
    const char *drawing = args->page            ? "paper"
                          : args->width         ? "width"
                          : args->dots_per_inch ? "dpi"
                          : args->date          ? "date"
                          : args->words         ? "describe"
                                                : NULL;

    if (drawing)
        tw_fail(err, TW_ERR_USAGE, "--%s belongs to a card", drawing);
    else if (args->operand_count > 1)
        tw_fail(err, TW_ERR_USAGE, "a plate to mark readings on is drawn on a card");
    else if (args->output && is_drawing(args->output))
        tw_fail(err, TW_ERR_USAGE, "a profile is text, and %s is named as a drawing", args->output);
    else
        return TW_OK;
    tw_error_advise(err, NULL, "add --card for a card to fill in by hand");
    return TW_ERR_USAGE;
}

tw_status tw_cmd_new(const tw_args *args, tw_notes *errors)
{
    const char *path = args->output ? args->output : "-";
    const tw_template *chosen = NULL;
    tw_output *out = NULL;
    tw_error err;
    tw_status status = TW_OK;

    if (args->card)
        return tw_cli_new_card(args, errors);
    if (refuse_drawing(args, &err) != TW_OK)
        return tw_cli_give(errors, &err);
    if (args->operand_count > 0) {
        chosen = tw_cli_template_find(args->operands[0], &err);
        if (!chosen)
            return tw_cli_give(errors, &err);
    } else if (args->output) {
        tw_fail(&err, TW_ERR_USAGE, "--output needs a form");
        tw_error_advise(&err, NULL, "\"taperwright new\" lists the forms");
        return tw_cli_give(errors, &err);
    }
    status = refuse_existing(path, &err);
    if (status == TW_OK)
        status = tw_output_begin(path, &out, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    if (chosen)
        tw_output_write(out, chosen->text, strlen(chosen->text), NULL);
    else
        list_forms(out);
    status = tw_cli_finish(out, TW_OK, &err);
    return status == TW_OK ? TW_OK : tw_cli_give(errors, &err);
}
