/* cmd_export.c: a plate for other programs: a closed solid as STL, OBJ or PLY; a map or the face as a
 * picture of grey levels; a map as rows. */
#include "cli_commands.h"
#include "cli_export.h"
#include "cli_internal.h"

#include <string.h>
#include <strings.h>

/* The ending of the file's name says what it is to be. */
static const struct {
    const char *ending;
    tw_cli_export_kind kind;
} kinds[] = {{"stl", TW_EXPORT_STL},
             {"obj", TW_EXPORT_OBJ},
             {"ply", TW_EXPORT_PLY},
             {"png", TW_EXPORT_PNG},
             {"csv", TW_EXPORT_CSV}};
enum { KINDS = sizeof kinds / sizeof *kinds };

const char *tw_cli_export_word(tw_cli_export_kind kind)
{
    for (size_t k = 0; k < KINDS; k++)
        if (kinds[k].kind == kind)
            return kinds[k].ending;
    return NULL;
}

static tw_status kind_of(const tw_args *args, tw_cli_export_kind *out, tw_error *err)
{
    const char *slash = args->output ? strrchr(args->output, '/') : NULL;
    const char *name = slash ? slash + 1 : args->output;
    const char *dot = name ? strrchr(name, '.') : NULL;

    for (size_t k = 0; k < KINDS && dot; k++)
        if (strcasecmp(dot + 1, kinds[k].ending) == 0) {
            *out = kinds[k].kind;
            return TW_OK;
        }
    tw_fail(err, TW_ERR_USAGE,
            args->output ? "%s does not say what to write" : "export needs an output",
            args->output);
    tw_error_advise(err, args->output,
                    "give -o a name that ends in .stl, .obj, .ply, .png or .csv");
    return TW_ERR_USAGE;
}

static tw_status write_solid(const tw_cli_export *found, tw_output *out, tw_error *err)
{
    char title[128];

    tw_format(title, sizeof title, "%s, %s map", found->plate->profile->plate,
              tw_map_word(found->map->map.kind));
    switch (found->kind) {
    case TW_EXPORT_STL:
        return tw_solid_write_stl(found->solid, title, out, err);
    case TW_EXPORT_OBJ:
        return tw_solid_write_obj(found->solid, title, out, err);
    default:
        return tw_solid_write_ply(found->solid, title, tw_colour_thickness, out, err);
    }
}

/* Turned edges and flutes are weighed on top of a plate, and have no place on the face. */
static void note_left_out(const tw_profile *profile)
{
    tw_notes notes = {0};
    tw_error note;

    if (profile->turned_count + profile->flutes_count == 0)
        return;
    tw_fail(&note, TW_OK, "%s are not in the solid",
            profile->turned_count == 0   ? "flutes"
            : profile->flutes_count == 0 ? "turned edges"
                                         : "turned edges and flutes");
    tw_profile_place(profile,
                     profile->turned_count ? profile->turned[0].place : profile->flutes[0].place,
                     &note);
    tw_notes_add(&notes, &note);
    tw_cli_report(&notes, "note: ");
}

/* Makes the solid, writes and measures it. */
static tw_status export_solid(const tw_args *args, double spacing, tw_cli_export *found,
                              tw_output *file, tw_solid **out, tw_error *err)
{
    const tw_solid_options options = {.spacing = spacing, .threads = (unsigned)args->threads};
    const tw_status status =
        tw_solid_build(found->plate->form, &found->map->map, &options, out, err);

    if (status != TW_OK) {
        tw_cli_error_in(found->plate->profile, err);
        return status;
    }
    found->solid = *out;
    found->weight = tw_solid_beside(*out, &found->map->weight);
    note_left_out(found->plate->profile);
    return write_solid(found, file, err);
}

static tw_status export_plate(const tw_args *args, const tw_plate *plate, double spacing,
                              tw_cli_export *found, tw_output *text, tw_output *file, tw_error *err)
{
    tw_solid *solid = NULL;
    tw_status status = tw_cli_map(args, plate, &found->map, err);

    if (status != TW_OK)
        return status;
    found->plate = plate;
    if (found->kind == TW_EXPORT_CSV)
        status = tw_map_write_grid(plate, found->map, file, err);
    else if (found->kind == TW_EXPORT_PNG && found->what == TW_CLI_HEIGHT)
        status = tw_face_write_png(plate, file, err);
    else if (found->kind == TW_EXPORT_PNG)
        status = tw_map_write_png(plate, found->map, file, err);
    else
        status = export_solid(args, spacing, found, file, &solid, err);
    if (status == TW_OK && args->json)
        status = tw_json_print(tw_show_export_json(found), text, err);
    else if (status == TW_OK)
        tw_show_export_text(text, (tw_units)args->units, found);
    found->solid = NULL;
    tw_solid_free(solid);
    return status;
}

/* Options that say nothing about this kind of file. */
static tw_status goes_together(const tw_args *args, tw_cli_export_kind kind, tw_error *err)
{
    const bool flat = kind == TW_EXPORT_PNG || kind == TW_EXPORT_CSV;
    const char *wrong = NULL, *advice = NULL;

    if (args->what >= 0 && kind != TW_EXPORT_PNG) {
        wrong = "--what belongs to a .png; other files hold thickness and place both";
        advice = "leave it out, or name a .png";
    } else if (args->spacing && flat) {
        wrong = "--spacing belongs to a solid; a picture and rows are as fine as the grid";
        advice = "write --grid CELLS, or name a .stl, .obj or .ply";
    } else if (args->what == TW_CLI_HEIGHT && args->map >= 0) {
        wrong = "--map does not go with --what height: the face is the same under every map";
        advice = "leave one of them out";
    }
    if (!wrong)
        return TW_OK;
    tw_fail(err, TW_ERR_USAGE, "%s", wrong);
    tw_error_advise(err, NULL, "%s", advice);
    return TW_ERR_USAGE;
}

static tw_status begin(const tw_args *args, tw_cli_export *found, double *spacing, tw_output **text,
                       tw_output **file, tw_error *err)
{
    tw_status status = kind_of(args, &found->kind, err);

    found->file = args->output;
    found->what = args->what == TW_CLI_HEIGHT ? TW_CLI_HEIGHT : TW_CLI_THICKNESS;
    if (status == TW_OK)
        status = goes_together(args, found->kind, err);
    if (status == TW_OK)
        status = tw_cli_quantity(args->spacing, "spacing", TW_LENGTH, "2 mm", 0, spacing, err);
    if (status == TW_OK)
        status = tw_cli_output_allowed(args, args->output, err);
    if (status == TW_OK)
        status = tw_output_begin("-", text, err);
    if (status == TW_OK)
        status = tw_output_begin(args->output, file, err);
    return status;
}

tw_status tw_cmd_export(const tw_args *args, tw_notes *errors)
{
    tw_cli_profiles profiles = {0};
    tw_output *text = NULL, *file = NULL;
    tw_cli_export found = {.file = NULL};
    tw_plate *plate = NULL;
    double spacing = 0;
    tw_error err;
    tw_status status = begin(args, &found, &spacing, &text, &file, &err);

    if (status != TW_OK) {
        tw_notes_add(errors, &err);
        goto done;
    }
    status = tw_cli_profiles_read(args, &profiles, errors);
    if (status != TW_OK)
        goto done;
    status =
        tw_cli_needs_form(profiles.items[0], "plate %s gives an area: what is written needs a form",
                          "give it a form and a thickness", &err);
    if (status == TW_OK)
        status = tw_cli_plate(args, profiles.items[0], &plate, &err);
    if (status == TW_OK)
        status = export_plate(args, plate, spacing, &found, text, file, &err);
    status = tw_cli_finish_both(&text, &file, status, &err);
    if (status != TW_OK)
        tw_notes_add(errors, &err);
done:
    tw_output_abandon(text);
    tw_output_abandon(file);
    tw_plate_free(plate);
    tw_cli_profiles_release(&profiles);
    return status;
}
