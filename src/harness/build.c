/*
 * build.c: a harness file made into parts that are modelled, weighed or both. Each profile is modelled
 * once, each of its maps that counts gets one budget, whatever number of parts is made to it.
 */
#include "harness_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* The figure of one plate of a profile with one map, kept for the next piece of the same. */
typedef struct made {
    const tw_profile *profile;
    const tw_plate_map *map;
    tw_figure figure;
} made;
typedef struct work {
    tw_harness *harness;
    tw_plate_options options;
    size_t done; /* plates modelled, of plate_count wanted */
    size_t made_count;
    made *made; /* one per piece at most */
} work;

const char *tw_counted_word(tw_counted counted)
{
    switch (counted) {
    case TW_COUNTED_MISSING:
        return "no figure";
    case TW_COUNTED_MODELLED:
        return "modelled";
    case TW_COUNTED_WEIGHED:
        return "weighed";
    case TW_COUNTED_TOGETHER:
        return "weighed together";
    }
    assert(false && "a way of counting");
    return "";
}

/* ---- errors ---------------------------------------------------------------------------------- */

/* Points an error without a place at one of a harness file, or of one that it includes. */
static void set_place(const tw_harness_file *file, const char *listed_in, tw_place place,
                      tw_error *err)
{
    if (!err || err->line != 0 || place.line == 0)
        return;
    if (file->document && (!listed_in || !file->file || strcmp(listed_in, file->file) == 0)) {
        tw_profile_place(file->document, place, err);
        return;
    }
    tw_format(err->file, sizeof err->file, "%s", listed_in ? listed_in : "");
    err->line = place.line;
    err->column = place.column;
}

/* ---- plates ------------------------------------------------------------------------------------ */

static bool tell(const char *step, double share, void *context)
{
    const work *w = context;
    const double all = (double)w->harness->plate_count;

    return w->options.progress(step, ((double)w->done + share) / all, w->options.progress_context);
}

static tw_status build_plates(work *w, tw_error *err)
{
    tw_harness *harness = w->harness;
    const tw_harness_file *file = harness->file;
    tw_plate_options options = w->options;
    tw_status status = TW_OK;
    size_t count = 0;

    for (size_t k = 0; k < file->profile_count; k++)
        count += tw_profile_models(file->profiles[k]);
    harness->plates = tw_arena_array(harness->arena, count, sizeof *harness->plates);
    if (!harness->plates)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu plates", count);
    harness->plate_count = count;
    if (options.progress) {
        options.progress = tell;
        options.progress_context = w;
    }
    for (size_t k = 0; status == TW_OK && k < file->profile_count; k++) {
        if (!tw_profile_models(file->profiles[k]))
            continue;
        status = tw_plate_build(file->profiles[k], &options, &harness->plates[w->done], err);
        w->done += status == TW_OK;
    }
    return status;
}

static void note_plates(tw_harness *harness)
{
    for (size_t k = 0; k < harness->plate_count; k++) {
        const tw_plate *plate = harness->plates[k];
        for (size_t n = 0; n < plate->notes.count && n < TW_NOTES_MAX; n++) {
            tw_error note = plate->notes.items[n];
            if (!note.file[0])
                tw_format(note.file, sizeof note.file, "%s", plate->profile->file);
            tw_notes_add(&harness->notes, &note);
        }
    }
}

static tw_plate *plate_of(const tw_harness *harness, const tw_profile *profile)
{
    for (size_t k = 0; k < harness->plate_count; k++)
        if (harness->plates[k]->profile == profile)
            return harness->plates[k];
    return NULL;
}

/* ---- models of parts ------------------------------------------------------------------------------ */

static const made *find_made(const work *w, const tw_profile *profile, const tw_plate_map *map)
{
    for (size_t k = 0; k < w->made_count; k++)
        if (w->made[k].profile == profile && w->made[k].map == map)
            return &w->made[k];
    return NULL;
}

/* Budgets rebuild forms, so they take their time too. */
static tw_status tell_budget(const work *w, tw_error *err)
{
    if (w->options.progress &&
        !w->options.progress("how sure each plate is", 1, w->options.progress_context))
        return tw_fail(err, TW_ERR_INTERRUPTED, "stopped by the user");
    return TW_OK;
}

static tw_status model_piece(work *w, const tw_piece_spec *spec, tw_piece *piece, tw_figure *figure,
                             tw_error *err)
{
    tw_harness *harness = w->harness;
    tw_status status =
        tw_piece_model(spec, plate_of(harness, spec->profile), piece, &harness->notes, err);
    const made *known;

    if (status != TW_OK)
        return status;
    known = find_made(w, spec->profile, piece->map);
    if (known) {
        *figure = known->figure;
        return TW_OK;
    }
    status = tell_budget(w, err);
    if (status == TW_OK)
        status = tw_piece_figure(piece, w->options.threads, harness->arena, figure, &harness->notes,
                                 err);
    if (status == TW_OK)
        w->made[w->made_count++] = (made){spec->profile, piece->map, *figure};
    else
        tw_extra_weight_release(&piece->extra);
    return status;
}

/* Sums over a part's pieces, each times its count. */
static tw_status model_part(work *w, tw_part *part, tw_error *err)
{
    const tw_part_spec *spec = part->spec;
    tw_harness *harness = w->harness;
    tw_arena *arena = harness->arena;
    tw_status status;

    status = tw_part_fittings(spec, arena, &part->fittings, &part->straps, &part->lining,
                              &part->metal, err);
    if (status != TW_OK)
        return status;
    part->sheet_g = part->forged_g = spec->piece_count > 0 ? 0 : (double)NAN;
    part->modelled = tw_figure_zero();
    part->pieces = tw_arena_array(arena, spec->piece_count, sizeof *part->pieces);
    if (!part->pieces)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu plates", spec->piece_count);
    for (size_t k = 0; k < spec->piece_count; k++) {
        const double count = (double)spec->pieces[k].count;
        tw_piece *piece = &part->pieces[k];
        tw_figure figure;
        status = model_piece(w, &spec->pieces[k], piece, &figure, err);
        if (status != TW_OK) {
            set_place(harness->file, spec->file, spec->pieces[k].place, err);
            return status;
        }
        part->piece_count++;
        part->sheet_g += count * piece->sheet_g;
        part->forged_g += count * piece->forged_g;
        part->overlap_sheet_g += count * piece->overlap_sheet_g;
        part->overlap_forged_g += count * piece->overlap_forged_g;
        status = tw_figure_add(&part->modelled, arena, &figure, count, err);
        if (status != TW_OK)
            return status;
    }
    if (spec->piece_count == 0)
        part->modelled.g = NAN;
    return tw_figure_add(&part->modelled, arena, &part->fittings, 1, err);
}

static tw_status size_part(tw_part *part, tw_error *err)
{
    const tw_part_spec *spec = part->spec;
    tw_form_sizes sizes;
    tw_status status;

    part->height = spec->height > 0 ? spec->height : (double)NAN;
    part->width = spec->width > 0 ? spec->width : (double)NAN;
    if ((spec->height > 0 && spec->width > 0) || part->piece_count != 1 ||
        part->pieces[0].spec->count != 1 || !part->pieces[0].plate)
        return TW_OK;
    status = tw_form_measure(part->pieces[0].plate->form, &sizes, err);
    if (status != TW_OK)
        return status;
    if (!(spec->height > 0))
        part->height = sizes.height;
    if (!(spec->width > 0))
        part->width = sizes.width;
    return TW_OK;
}

/* ---- weighings -------------------------------------------------------------------------------------- */

static tw_status weigh_one(tw_harness *harness, const tw_weighing_spec *spec, const char *of,
                           const char *listed_in, tw_weighing *out, tw_error *err)
{
    const tw_harness_file *file = harness->file;
    char name[256];
    tw_status status;

    assert(spec->scale < file->scale_count);
    tw_format(name, sizeof name, "weighing of %s", of);
    status = tw_weigh_on_scale(spec, &file->scales[spec->scale], name, harness->arena, out, err);
    if (status != TW_OK)
        set_place(file, listed_in, spec->place, err);
    return status;
}

/* The plates' own `scale:`, when all of a part's have one: bare plates, so fittings come on top. */
static tw_status weigh_bare(tw_harness *harness, tw_part *part, tw_error *err)
{
    tw_figure net = tw_figure_zero();
    tw_status status = TW_OK;

    for (size_t k = 0; k < part->piece_count; k++)
        if (!(part->pieces[k].spec->profile->scale > 0))
            return TW_OK;
    if (part->piece_count == 0)
        return TW_OK;
    for (size_t k = 0; status == TW_OK && k < part->piece_count; k++) {
        const tw_piece_spec *spec = part->pieces[k].spec;
        const tw_profile *profile = spec->profile;
        /* step not said: 10 g, two roundings; common practice, no source */
        const double u =
            isnan(profile->scale_uncertainty) ? 10 / sqrt(6.0) : profile->scale_uncertainty;
        const double count = (double)spec->count;
        char name[256];
        tw_format(name, sizeof name, "%s: scale weight", profile->file);
        net.g += count * profile->scale;
        status = tw_figure_cause(&net, harness->arena, name, count * u, INFINITY, err);
    }
    part->weighing.rounding_u_g = tw_figure_u(&net);
    if (status == TW_OK)
        status = tw_figure_add(&net, harness->arena, &part->fittings, 1, err);
    part->weighing.net = net;
    part->has_weighing = true;
    return status;
}

static tw_status weigh_part(tw_harness *harness, tw_part *part, tw_error *err)
{
    const tw_part_spec *spec = part->spec;
    const bool right = part->side < 0;
    tw_status status;

    if (!(right ? spec->weighed_right : spec->weighed))
        return weigh_bare(harness, part, err);
    status = weigh_one(harness, right ? &spec->weighing_right : &spec->weighing, part->name,
                       spec->file, &part->weighing, err);
    part->has_weighing = status == TW_OK;
    return status;
}

static tw_status weigh_together(tw_harness *harness, tw_error *err)
{
    const tw_harness_file *file = harness->file;
    tw_status status = TW_OK;

    harness->together =
        tw_arena_array(harness->arena, file->together_count, sizeof *harness->together);
    if (!harness->together)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for weighings");
    for (size_t k = 0; status == TW_OK && k < file->together_count; k++) {
        const tw_weighing_spec *spec = &file->together[k];
        tw_listing names = {0};
        char name[200];
        for (size_t n = 0; n < spec->part_count; n++)
            tw_listing_add(&names, spec->parts[n], n > 0 && n + 1 == spec->part_count);
        tw_format(name, sizeof name, "%s together", names.text);
        status = weigh_one(harness, spec, name, NULL, &harness->together[k], err);
        harness->together_count += status == TW_OK;
    }
    return status;
}

static void note_bare(tw_harness *harness)
{
    tw_listing names = {0};
    bool fitted = false, more = false;
    tw_error note;

    for (size_t k = 0; k < harness->part_count; k++) {
        const tw_part *part = &harness->parts[k];
        if (!part->has_weighing || part->weighing.scale || part->side < 0)
            continue;
        tw_listing_add(&names, part->side == 0 ? part->name : part->spec->name, false);
        fitted = fitted || part->fittings.g > 0;
        more = true;
    }
    if (!more)
        return;
    tw_fail(&note, TW_OK, "%s: the scale weight is that of the profile (scale:)%s", names.text,
            fitted ? ", bare; fittings are added by their unit masses" : "");
    tw_notes_add(&harness->notes, &note);
}

/* ---- the harness ----------------------------------------------------------------------------------------- */

static tw_status list_parts(work *w, tw_error *err)
{
    tw_harness *harness = w->harness;
    const tw_harness_file *file = harness->file;
    size_t count = 0, pieces = 0;

    for (size_t k = 0; k < file->part_count; k++) {
        count += file->parts[k].mirror ? 2 : 1;
        pieces += file->parts[k].piece_count;
    }
    harness->parts = tw_arena_array(harness->arena, count, sizeof *harness->parts);
    w->made = tw_arena_array(harness->arena, pieces, sizeof *w->made);
    if (!harness->parts || !w->made)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu parts", count);
    for (size_t k = 0; k < file->part_count; k++) {
        const tw_part_spec *spec = &file->parts[k];
        for (int side = spec->mirror ? 1 : 0; side >= (spec->mirror ? -1 : 0); side -= 2) {
            tw_part *part = &harness->parts[harness->part_count];
            char name[256];
            tw_format(name, sizeof name, "%s%s", spec->name,
                      side > 0   ? " left"
                      : side < 0 ? " right"
                                 : "");
            part->name = tw_arena_text(harness->arena, name);
            if (!part->name)
                return tw_fail(err, TW_ERR_MEMORY, "no memory for the name of a part");
            part->kind = spec->kind;
            part->spec = spec;
            part->side = side;
            harness->part_count++;
        }
    }
    return TW_OK;
}

/* The right one of a pair takes over what is not its own. */
static void take_after(tw_part *right, const tw_part *left)
{
    const tw_part own = *right;

    *right = *left;
    right->name = own.name;
    right->side = own.side;
    right->has_weighing = false;
    right->weighing = (tw_weighing){0};
}

static tw_status make_parts(work *w, tw_error *err)
{
    tw_harness *harness = w->harness;
    tw_status status = TW_OK;

    for (size_t k = 0; status == TW_OK && k < harness->part_count; k++) {
        tw_part *part = &harness->parts[k];
        if (part->side < 0)
            take_after(part, &harness->parts[k - 1]);
        else
            status = model_part(w, part, err);
        if (status == TW_OK && part->side >= 0)
            status = size_part(part, err);
        if (status == TW_OK)
            status = weigh_part(harness, part, err);
        if (status == TW_OK)
            tw_part_balance(part);
        else
            tw_error_within(err, "in part %s", part->name);
    }
    return status;
}

/* What is said of weighings comes first: it changes grams, and lists are bounded. */
static void order_notes(tw_harness *harness)
{
    const tw_notes plates = harness->notes;

    memset(&harness->notes, 0, sizeof harness->notes);
    tw_harness_note_weighings(harness);
    note_bare(harness);
    tw_notes_join(&harness->notes, &plates);
    note_plates(harness);
}

tw_status tw_harness_build(const tw_harness_file *file, const tw_plate_options *options,
                           tw_harness **out, tw_error *err)
{
    work w = {0};
    tw_arena *arena = tw_arena_new();
    tw_status status;

    assert(file && out);
    if (options)
        w.options = *options;
    w.harness = arena ? tw_arena_array(arena, 1, sizeof *w.harness) : NULL;
    if (!w.harness) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a harness");
    }
    w.harness->arena = arena;
    w.harness->file = file;
    status = list_parts(&w, err);
    if (status == TW_OK)
        status = build_plates(&w, err);
    if (status == TW_OK)
        status = make_parts(&w, err);
    if (status == TW_OK)
        status = weigh_together(w.harness, err);
    if (status == TW_OK) {
        order_notes(w.harness);
        *out = w.harness;
        w.harness = NULL;
    }
    tw_harness_free(w.harness);
    return status;
}

void tw_harness_free(tw_harness *harness)
{
    if (!harness)
        return;
    for (size_t k = 0; k < harness->part_count; k++)
        for (size_t n = 0; harness->parts[k].side >= 0 && n < harness->parts[k].piece_count; n++)
            tw_extra_weight_release(&harness->parts[k].pieces[n].extra);
    for (size_t k = 0; k < harness->plate_count; k++)
        tw_plate_free(harness->plates[k]);
    tw_arena_free(harness->arena);
}
