/*
 * model.c: what one plate of a part weighs by its profile, with the causes of that figure's
 * uncertainty; and what hangs on a part.
 *
 * A plate's budget says what each input does to its mass. Here inputs that plates share get one name:
 * the density of a metal over all plates of it, everything else over all plates of one profile file,
 * alike or mirrored. So a pair made to one profile is as unsure as one of it, twice. Turned edges and
 * flutes are of the plate's metal, so its density moves them too, and flutes go with its thickness.
 */
#include "harness_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define SQRT3 1.7320508075688772

enum { NAME = 256 };

bool tw_profile_models(const tw_profile *profile)
{
    return profile->form != TW_FORM_NONE && (profile->has_sheet || profile->has_forged ||
                                             profile->has_readings || profile->has_image);
}

static const char *metal_of(const tw_profile *profile)
{
    return profile->material ? profile->material : "the metal";
}

/* ---- causes of a plate ----------------------------------------------------------------------- */

/* What plates have in common goes by the name of that: "density of mild steel". */
static tw_status shared_cause(tw_row_kind kind, const char *of, tw_arena *arena, double part,
                              double freedom, tw_figure *figure, tw_error *err)
{
    char name[NAME];

    tw_format(name, sizeof name, "%s %s %s", tw_row_kind_word(kind),
              kind == TW_ROW_VELOCITY ? "of sound in" : "of", of);
    return tw_figure_cause(figure, arena, name, part, freedom, err);
}

static tw_status density_cause(const tw_profile *profile, tw_arena *arena, double mass,
                               tw_figure *figure, tw_error *err)
{
    return shared_cause(TW_ROW_DENSITY, metal_of(profile), arena,
                        mass * profile->density_uncertainty / profile->density, INFINITY, figure,
                        err);
}

static tw_status own_cause(const tw_profile *profile, tw_arena *arena, const char *what,
                           double part, double freedom, tw_figure *figure, tw_error *err)
{
    char name[NAME];

    tw_format(name, sizeof name, "%s: %s", profile->file, what);
    return tw_figure_cause(figure, arena, name, part, freedom, err);
}

/* No budget can be made: the least that is known, and why. */
static tw_status least_causes(const tw_piece *piece, tw_arena *arena, const tw_error *why,
                              tw_figure *figure, tw_notes *notes, tw_error *err)
{
    const double bound = piece->map->weight.numerical_error_g;
    tw_error note = *why;

    note.status = TW_OK;
    tw_error_within(&note, "so its ± counts density and numerical error only");
    tw_notes_add(notes, &note);
    return own_cause(piece->plate->profile, arena, "numerical error",
                     isnan(bound) ? 0 : bound / SQRT3, INFINITY, figure, err);
}

static double flutes_mass(const tw_extra_weight *extra)
{
    double mass = 0;

    for (size_t k = 0; k < extra->flute_count; k++)
        mass += extra->flutes[k].mass_g;
    return mass;
}

/* One row of a plate's budget. Density comes apart, as the extra metal has it too. */
static tw_status row_cause(const tw_piece *piece, const tw_budget_row *row, tw_arena *arena,
                           tw_figure *figure, tw_error *err)
{
    const double fluted = 1 + flutes_mass(&piece->extra) / piece->face_g;
    double part = row->sensitivity * row->u;

    switch (row->kind) {
    case TW_ROW_DENSITY:
        return TW_OK;
    case TW_ROW_SHEET:
    case TW_ROW_IMAGE:
    case TW_ROW_READINGS:
    case TW_ROW_TIE:
    case TW_ROW_VELOCITY:
        part *= fluted;
        break;
    default:
        break;
    }
    if (row->shared)
        return shared_cause(row->kind, row->shared, arena, part, row->freedom, figure, err);
    return own_cause(piece->plate->profile, arena, row->name, part, row->freedom, figure, err);
}

static tw_status plate_causes(const tw_piece *piece, unsigned threads, tw_arena *arena,
                              tw_figure *figure, tw_notes *notes, tw_error *err)
{
    const tw_profile *profile = piece->plate->profile;
    tw_budget budget = {0};
    tw_error why;
    tw_status status = tw_plate_budget(piece->plate, piece->map, threads, &budget, &why);

    if (status == TW_ERR_MEMORY || status == TW_ERR_INTERRUPTED) {
        if (err)
            *err = why;
        return status;
    }
    if (status != TW_OK)
        status = least_causes(piece, arena, &why, figure, notes, err);
    for (size_t k = 0; status == TW_OK && k < budget.count; k++)
        status = row_cause(piece, &budget.rows[k], arena, figure, err);
    tw_budget_release(&budget);
    if (status == TW_OK && piece->extra.u_g > 0)
        status = own_cause(profile, arena, "turned edges and flutes", piece->extra.u_g, INFINITY,
                           figure, err);
    if (status == TW_OK)
        status = density_cause(profile, arena, piece->face_g + piece->extra.mass_g, figure, err);
    return status;
}

/* ---- a plate with a form ------------------------------------------------------------------------ */

static tw_status choose_map(tw_piece *piece, tw_error *err)
{
    static const tw_map_kind order[] = {TW_MAP_READINGS, TW_MAP_IMAGE, TW_MAP_FORGED, TW_MAP_SHEET};
    tw_status status;

    if (piece->spec->map_given) {
        const tw_map_kind kind = (tw_map_kind)piece->spec->map;
        piece->map = tw_plate_map_of(piece->plate, kind);
        if (piece->map)
            return TW_OK;
        status =
            tw_fail(err, TW_ERR_INPUT, "%s gives no %s map", piece->spec->file, tw_map_word(kind));
        tw_error_advise(err, tw_map_word(kind),
                        kind == TW_MAP_READINGS
                            ? "add readings: to the profile, or choose another map"
                            : "add thickness: %s: to the profile, or choose another map",
                        tw_map_word(kind));
        return status;
    }
    for (size_t k = 0; !piece->map && k < sizeof order / sizeof *order; k++)
        piece->map = tw_plate_map_of(piece->plate, order[k]);
    assert(piece->map && "a plate has at least one map");
    return TW_OK;
}

/* Mass of one map with its turned edges and flutes; NaN without that map. */
static tw_status mass_with_extra(const tw_plate *plate, tw_map_kind kind, double *mass,
                                 tw_error *err)
{
    const tw_plate_map *map = tw_plate_map_of(plate, kind);
    tw_extra_weight extra;
    tw_status status;

    *mass = NAN;
    if (!map)
        return TW_OK;
    status = tw_plate_extra(plate, map, &extra, err);
    if (status != TW_OK)
        return status;
    *mass = map->weight.mass_g + extra.mass_g;
    tw_extra_weight_release(&extra);
    return TW_OK;
}

static tw_status find_overlap(tw_piece *piece, tw_error *err)
{
    const tw_piece_spec *spec = piece->spec;
    double mass[TW_PLATE_MAPS_MAX];
    tw_status status;

    if (!spec->overlap_edge || !(spec->overlap > 0))
        return TW_OK;
    status = tw_plate_band(piece->plate, spec->overlap_edge, spec->overlap, mass, err);
    for (size_t k = 0; status == TW_OK && k < piece->plate->map_count; k++) {
        if (piece->plate->maps[k].map.kind == TW_MAP_SHEET)
            piece->overlap_sheet_g = mass[k];
        if (piece->plate->maps[k].map.kind == TW_MAP_FORGED)
            piece->overlap_forged_g = mass[k];
    }
    return status;
}

/* What was said for another part of the same profile, or for its other map, is not said again. */
static void add_once(tw_notes *notes, const tw_error *note)
{
    for (size_t k = 0; k < notes->count && k < TW_NOTES_MAX; k++)
        if (strcmp(notes->items[k].message, note->message) == 0 &&
            strcmp(notes->items[k].file, note->file) == 0)
            return;
    tw_notes_add(notes, note);
}

static tw_status model_plate(tw_piece *piece, tw_notes *notes, tw_error *err)
{
    tw_status status = choose_map(piece, err);

    if (status == TW_OK)
        status = tw_plate_extra(piece->plate, piece->map, &piece->extra, err);
    if (status != TW_OK)
        return status;
    for (size_t k = 0; k < piece->extra.notes.count && k < TW_NOTES_MAX; k++)
        add_once(notes, &piece->extra.notes.items[k]);
    piece->face_g = piece->map->weight.mass_g;
    status = mass_with_extra(piece->plate, TW_MAP_SHEET, &piece->sheet_g, err);
    if (status == TW_OK)
        status = mass_with_extra(piece->plate, TW_MAP_FORGED, &piece->forged_g, err);
    if (status == TW_OK)
        status = find_overlap(piece, err);
    if (status != TW_OK)
        tw_extra_weight_release(&piece->extra);
    return status;
}

/* ---- a plate given by area ------------------------------------------------------------------------ */

/* Bound of a sheet's thickness, as for plates with a form. */
static double sheet_bound(const tw_profile *profile)
{
    const tw_tolerance_spec *spec = &profile->tolerance;
    const double thickness = profile->sheet.thickness;
    double bound;

    if (spec->given && spec->bound > 0)
        return spec->bound;
    if (!spec->given || tw_tolerance_find(spec->standard, spec->grade, thickness, spec->width,
                                          &bound, NULL) != TW_OK)
        (void)tw_tolerance_usual(thickness, &bound);
    return bound;
}

static void model_area(tw_piece *piece)
{
    const tw_profile *profile = piece->spec->profile;

    if (profile->area > 0 && profile->has_sheet)
        piece->face_g = piece->sheet_g =
            profile->area * profile->sheet.thickness * profile->density;
}

static tw_status area_causes(const tw_piece *piece, tw_arena *arena, tw_figure *figure,
                             tw_error *err)
{
    const tw_profile *profile = piece->spec->profile;
    const double mass = piece->face_g;
    /* 2 % of the area, as for one cut in paper: common practice, no source */
    const double area_share =
        profile->area_uncertainty > 0 ? profile->area_uncertainty / profile->area : 0.02;
    tw_status status = density_cause(profile, arena, mass, figure, err);

    if (status == TW_OK)
        status = own_cause(profile, arena, "area", mass * area_share, INFINITY, figure, err);
    if (status == TW_OK)
        status = own_cause(profile, arena, "sheet thickness",
                           mass * sheet_bound(profile) / profile->sheet.thickness / SQRT3, INFINITY,
                           figure, err);
    return status;
}

/* ---- a piece -------------------------------------------------------------------------------------- */

tw_status tw_piece_model(const tw_piece_spec *spec, tw_plate *plate, tw_piece *out, tw_notes *notes,
                         tw_error *err)
{
    tw_piece piece = {.spec = spec, .plate = plate, .face_g = NAN, .sheet_g = NAN, .forged_g = NAN};
    tw_status status = TW_OK;

    if (plate)
        status = model_plate(&piece, notes, err);
    else
        model_area(&piece);
    if (status == TW_OK)
        *out = piece;
    return status;
}

tw_status tw_piece_figure(const tw_piece *piece, unsigned threads, tw_arena *arena, tw_figure *out,
                          tw_notes *notes, tw_error *err)
{
    *out = (tw_figure){.g = piece->face_g + piece->extra.mass_g};
    if (!tw_figure_is(out))
        return TW_OK;
    return piece->plate ? plate_causes(piece, threads, arena, out, notes, err)
                        : area_causes(piece, arena, out, err);
}

/* ---- fittings ----------------------------------------------------------------------------------------- */

tw_status tw_part_fittings(const tw_part_spec *spec, tw_arena *arena, tw_figure *all,
                           tw_figure *straps, tw_figure *lining, tw_figure *metal, tw_error *err)
{
    tw_status status = TW_OK;

    *all = *straps = *lining = *metal = tw_figure_zero();
    for (size_t k = 0; status == TW_OK && k < spec->fitting_count; k++) {
        const tw_fitting_spec *item = &spec->fittings[k];
        tw_figure one = {.g = item->amount * item->fitting.mass};
        char name[NAME];
        tw_format(name, sizeof name, "unit mass of %s", item->fitting.name);
        status = tw_figure_cause(&one, arena, name, item->amount * item->fitting.uncertainty,
                                 INFINITY, err);
        if (status == TW_OK)
            status = tw_figure_add(all, arena, &one, 1, err);
        if (status == TW_OK && item->fitting.what == TW_FITTING_STRAP)
            status = tw_figure_add(straps, arena, &one, 1, err);
        if (status == TW_OK && item->fitting.what == TW_FITTING_LINING)
            status = tw_figure_add(lining, arena, &one, 1, err);
        if (status == TW_OK && item->fitting.what == TW_FITTING_METAL)
            status = tw_figure_add(metal, arena, &one, 1, err);
    }
    return status;
}
