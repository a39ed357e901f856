/* cmd_originals.c: a harness, or one plate, beside recorded weights of originals; or the set alone. */
#include "cli_internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- the set ------------------------------------------------------------------------------------ */

static tw_status read_set(const tw_args *args, tw_originals **set, tw_notes *errors)
{
    tw_error err;
    tw_status status;

    if (args->records) {
        status = tw_originals_read(args->records, set, errors);
        if (status == TW_OK)
            tw_cli_report(&(*set)->warnings, "note: ");
        return status;
    }
    status = tw_originals_shipped(set, &err);
    return status == TW_OK ? TW_OK : tw_cli_give(errors, &err);
}

/* A year of up to four digits; text is moved behind it. 0 when none stands there. */
static int read_year(const char **text)
{
    int year = 0;

    for (int k = 0; k < 4 && **text >= '0' && **text <= '9'; k++)
        year = 10 * year + (*(*text)++ - '0');
    return year;
}

/* "1450..1550", "1450..", "..1550" or one year. */
static tw_status read_years(const char *typed, tw_filter *filter, tw_error *err)
{
    const char *at = typed;

    filter->year_from = read_year(&at);
    filter->year_to = filter->year_from;
    if (strncmp(at, "..", 2) == 0) {
        at += 2;
        filter->year_to = read_year(&at);
    }
    if (*at || (filter->year_from == 0 && filter->year_to == 0)) {
        tw_fail(err, TW_ERR_USAGE, "--years \"%s\" names no years", typed);
        tw_error_advise(err, typed, "write --years 1450..1550");
        return TW_ERR_USAGE;
    }
    if (filter->year_to > 0 && filter->year_from > filter->year_to) {
        tw_fail(err, TW_ERR_USAGE, "--years \"%s\" runs backward", typed);
        tw_error_advise(err, typed, "write --years %d..%d", filter->year_to, filter->year_from);
        return TW_ERR_USAGE;
    }
    return TW_OK;
}

static tw_status read_filter(const tw_args *args, tw_filter *filter, tw_error *err)
{
    *filter = (tw_filter){.object = args->object};
    return args->years ? read_years(args->years, filter, err) : TW_OK;
}

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

/* A plate as a harness of one part. */
typedef struct lone {
    tw_harness_file file;
    tw_part_spec part;
    tw_piece_spec piece;
    tw_cli_profiles profiles;
} lone;

/* The map of a piece as harness files count them. */
static int piece_map(int kind)
{
    return kind < 0 ? 0 : kind;
}

static tw_status open_plate(const tw_args *args, lone *plate, tw_cli_harness *of, tw_notes *errors)
{
    tw_status status = tw_cli_profiles_read(args, &plate->profiles, errors);
    const tw_profile *profile;
    tw_error err;

    if (status != TW_OK)
        return status;
    profile = plate->profiles.items[0];
    if (!profile->kind) {
        tw_fail(&err, TW_ERR_KEY, "plate %s does not say its kind, and records are met by kind",
                profile->plate);
        tw_error_advise(&err, NULL,
                        "add a line \"kind: breastplate\"; \"taperwright new\" lists "
                        "the kinds");
        tw_cli_error_in(profile, &err);
        return tw_cli_give(errors, &err);
    }
    plate->piece = (tw_piece_spec){.file = profile->file,
                                   .profile = plate->profiles.items[0],
                                   .map_given = args->map >= 0,
                                   .map = piece_map(args->map),
                                   .count = 1};
    plate->part = (tw_part_spec){.name = profile->plate,
                                 .kind = profile->kind,
                                 .piece_count = 1,
                                 .pieces = &plate->piece,
                                 .file = profile->file};
    plate->file = (tw_harness_file){.file = profile->file,
                                    .harness = profile->plate,
                                    .date = profile->date,
                                    .part_count = 1,
                                    .parts = &plate->part,
                                    .profile_count = 1,
                                    .profiles = plate->profiles.items};
    of->file = &plate->file;
    return tw_cli_harness_model(args, of, errors);
}

static void close_plate(lone *plate, tw_cli_harness *of)
{
    if (of->file == &plate->file)
        of->file = NULL; /* not one that was read */
    tw_cli_harness_close(of);
    tw_cli_profiles_release(&plate->profiles);
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

static tw_status open_operand(const tw_args *args, lone *plate, tw_cli_harness *of,
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
                                                : open_plate(args, plate, of, errors);
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
    lone plate = {0};
    tw_originals *set = NULL;
    tw_output *text = NULL, *picture = NULL;
    tw_error err;
    tw_status status;

    if (args->print)
        return (status = print_set(args, &err)) == TW_OK ? TW_OK : tw_cli_give(errors, &err);
    status = check_options(args, &err);
    if (status == TW_OK)
        status = read_filter(args, &found.filter, &err);
    if (status == TW_OK)
        status = tw_cli_outputs_begin(args, &text, &picture, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    status = read_set(args, &set, errors);
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
    close_plate(&plate, &of);
    tw_originals_free(set);
    return status;
}
