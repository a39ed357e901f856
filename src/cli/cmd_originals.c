/* cmd_originals.c: a harness, or one plate, beside recorded weights of originals; or the set alone. */
#include "cli_commands.h"
#include "cli_harness.h"
#include "cli_internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- what is set beside it ------------------------------------------------------------------------ */

/* A harness file has its name at the top level; what cannot be read is told by its reader. */
bool tw_cli_is_harness(const char *path)
{
    static const char *const keys[] = {"harness", "parts", "sets"};
    char *data = NULL;
    size_t size;
    bool found = false;

    if (tw_file_read(path, TW_PROFILE_CEILING, &data, &size, NULL) != TW_OK)
        return false;
    for (const char *line = data; line && !found; line = strchr(line, '\n')) {
        line += strspn(line, "\n");
        if (*line == '{')
            line += 1 + strspn(line + 1, " ");
        for (size_t k = 0; k < sizeof keys / sizeof *keys; k++) {
            const size_t length = strlen(keys[k]);
            found = found || (strncmp(line, keys[k], length) == 0 &&
                              line[length + strspn(line + length, " ")] == ':');
        }
    }
    free(data);
    return found;
}

/* ---- the command ------------------------------------------------------------------------------------ */

static tw_status print_set(const tw_args *args, tw_error *err)
{
    tw_output *out = NULL;
    size_t size;
    const char *text = tw_originals_text(&size);
    tw_status status;

    if (args->operand_count > 0 || args->records || args->output || args->json || args->csv) {
        tw_fail(err, TW_ERR_USAGE, "--print prints the shipped set and nothing else");
        tw_error_advise(err, NULL, "write \"taperwright originals --print > mine.csv\"");
        return TW_ERR_USAGE;
    }
    status = tw_output_begin("-", &out, err);
    if (status != TW_OK)
        return status;
    tw_output_write(out, text, size, NULL);
    return tw_cli_finish(out, TW_OK, err);
}

static tw_status check_options(const tw_args *args, tw_error *err)
{
    const bool chosen = args->set || args->with.count > 0 || args->without.count > 0;

    if (args->operand_count > 0)
        return TW_OK;
    if (chosen || args->output) {
        tw_fail(err, TW_ERR_USAGE,
                chosen ? "--in, --with and --without choose parts of a harness"
                       : "--output draws a harness or a plate beside the set");
        tw_error_advise(err, NULL, "name its file");
        return TW_ERR_USAGE;
    }
    return TW_OK;
}

static tw_status show(const tw_args *args, const tw_cli_beside *found, tw_output *out,
                      tw_error *err)
{
    if (args->json)
        return tw_json_print(tw_show_originals_json(args, found), out, err);
    if (args->csv)
        tw_show_originals_csv(out, args, found);
    else if (found->of)
        tw_show_originals_text(out, args, found);
    else
        tw_show_set_text(out, args, found);
    return TW_OK;
}

static tw_status draw(const tw_args *args, const tw_cli_beside *found, tw_output *out,
                      tw_error *err)
{
    const tw_harness_file *file = found->of->file;
    const tw_draw_options options = tw_cli_picture_options(args, file->harness, file->date);
    const tw_piece *piece = found->of->harness->parts[0].pieces;
    tw_ranking drawn = found->ranking;
    char title[256];

    /* a plate alone: its title says which of its maps stands beside the records */
    if (!tw_cli_is_harness(args->operands[0]) && piece && piece->map) {
        snprintf(title, sizeof title, "%s, %s map", drawn.harness,
                 tw_map_word(piece->map->map.kind));
        drawn.harness = title;
    }
    return tw_draw_ranking(&drawn, tw_paper_of(args->output), &options, out, err);
}

static tw_status open_operand(const tw_args *args, tw_cli_lone *plate, tw_cli_harness *of,
                              tw_notes *errors)
{
    tw_error err;

    if (args->map >= 0 && tw_cli_is_harness(args->operands[0])) {
        tw_fail(&err, TW_ERR_USAGE, "--map is for a plate, and %s is a harness file",
                args->operands[0]);
        tw_error_advise(&err, NULL,
                        "give each part its map there: {file: plate.yaml, map: forged}");
        return tw_cli_give(errors, &err);
    }
    return tw_cli_is_harness(args->operands[0]) ? tw_cli_harness_open(args, of, errors)
                                                : tw_cli_lone_open(args, plate, of, errors);
}

static tw_status rank(tw_cli_beside *found, tw_error *err)
{
    if (found->of)
        return tw_rank(&found->of->total, found->set, &found->filter, &found->ranking, err);
    return tw_originals_summary(found->set, &found->filter, &found->ranking, err);
}

tw_status tw_cmd_originals(const tw_args *args, tw_notes *errors)
{
    tw_cli_harness of = {0};
    tw_cli_beside found = {0};
    tw_cli_lone plate = {0};
    tw_originals *set = NULL;
    tw_output *text = NULL, *picture = NULL;
    tw_error err;
    tw_status status;

    if (args->print)
        return (status = print_set(args, &err)) == TW_OK ? TW_OK : tw_cli_give(errors, &err);
    status = check_options(args, &err);
    if (status == TW_OK)
        status = tw_cli_filter(args, &found.filter, &err);
    if (status == TW_OK)
        status = tw_cli_outputs_begin(args, &text, &picture, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    status = tw_cli_set_read(args, &set, errors);
    if (status == TW_OK && args->operand_count > 0)
        status = open_operand(args, &plate, &of, errors);
    if (status != TW_OK)
        goto done;
    found.set = set;
    found.of = args->operand_count > 0 ? &of : NULL;
    status = rank(&found, &err);
    if (status == TW_OK && text)
        status = show(args, &found, text, &err);
    if (status == TW_OK && picture)
        status = draw(args, &found, picture, &err);
    status = tw_cli_finish_both(&text, &picture, status, &err);
    if (status != TW_OK)
        tw_notes_add(errors, &err);
done:
    tw_output_abandon(text);
    tw_output_abandon(picture);
    tw_ranking_release(&found.ranking);
    tw_cli_lone_close(&plate, &of);
    tw_originals_free(set);
    return status;
}
