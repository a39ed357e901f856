/* lone.c: one plate beside records of originals: the set, which of it, and the plate as a harness of one part. */
#include "cli_harness.h"
#include "cli_internal.h"

#include <string.h>

/* ---- the set ------------------------------------------------------------------------------------ */

tw_status tw_cli_set_read(const tw_args *args, tw_originals **set, tw_notes *errors)
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

tw_status tw_cli_filter(const tw_args *args, tw_filter *filter, tw_error *err)
{
    *filter = (tw_filter){.object = args->object};
    return args->years ? read_years(args->years, filter, err) : TW_OK;
}

/* ---- a plate alone ------------------------------------------------------------------------------ */

/* The map of a piece as harness files count them. */
static int piece_map(int kind)
{
    return kind < 0 ? 0 : kind;
}

tw_status tw_cli_lone_open(const tw_args *args, tw_cli_lone *plate, tw_cli_harness *of,
                           tw_notes *errors)
{
    const tw_status status = tw_cli_profiles_read(args, &plate->profiles, errors);

    return status == TW_OK ? tw_cli_lone_model(args, plate, of, errors) : status;
}

tw_status tw_cli_lone_model(const tw_args *args, tw_cli_lone *plate, tw_cli_harness *of,
                            tw_notes *errors)
{
    const tw_profile *profile = plate->profiles.items[0];
    tw_error err;

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

void tw_cli_lone_close(tw_cli_lone *plate, tw_cli_harness *of)
{
    if (of->file == &plate->file)
        of->file = NULL; /* not one that was read */
    tw_cli_harness_close(of);
    tw_cli_profiles_release(&plate->profiles);
}
