/* fixture.h: harness files filled in by hand for the tests of this folder. Invented parts. */
#ifndef FIXTURE_H
#define FIXTURE_H

#include "support.h"

#include "taperwright/harness.h"

#define DENSITY   7.85e-3 /* mild steel [g/mm³] */
#define DENSITY_U 2e-5    /* [g/mm³] */

enum { FIXTURE_MAX = 400 };
typedef struct fixture {
    tw_harness_file file;
    tw_profile profiles[8];
    const tw_profile *known[8];
    tw_part_spec parts[FIXTURE_MAX];
    tw_piece_spec pieces[64];
    size_t piece_count;
    tw_fitting_spec fittings[64];
    size_t fitting_count;
    tw_scale_spec scales[8];
    tw_weighing_spec together[16];
    tw_set_spec sets[8];
    double reads[4 * FIXTURE_MAX];
    size_t read_count;
    tw_edge_thickness edge[8];
} fixture;

static inline void fixture_begin(fixture *f)
{
    memset(f, 0, sizeof *f);
    f->file = (tw_harness_file){.file = "harness.yaml",
                                .harness = "an invented order",
                                .parts = f->parts,
                                .scales = f->scales,
                                .together = f->together,
                                .sets = f->sets,
                                .profiles = (tw_profile **)(void *)f->known};
}

/* A flat rectangle of mild steel in even sheet; forged > 0: also a map as even, that thick. */
static inline tw_profile *fixture_plate(fixture *f, const char *file, double across, double up,
                                        double sheet, double forged)
{
    const size_t k = f->file.profile_count++;
    tw_profile *p = &f->profiles[k];
    const tw_point middle = {.kind = TW_POINT_TAPE, .value = {0, 0, 0}};

    f->edge[k] = (tw_edge_thickness){.edge = "all", .thickness = forged};
    *p = (tw_profile){
        .file = file,
        .plate = file,
        .material = "mild steel",
        .density = DENSITY,
        .density_uncertainty = DENSITY_U,
        .form = TW_FORM_FLAT,
        .scale_uncertainty = NAN,
        .outline = {.kind = TW_OUTLINE_SHAPE,
                    .shape = {.kind = TW_SHAPE_RECTANGLE,
                              .at = middle,
                              .across = across / 2,
                              .up = up / 2}},
        .has_sheet = sheet > 0,
        .sheet = {.thickness = sheet},
        .tolerance = {.given = true, .bound = 0.1},
        .has_forged = forged > 0,
        .forged = {.edge_count = 1, .edges = &f->edge[k], .law = TW_LAW_STRAIGHT},
    };
    f->known[k] = p;
    return p;
}

static inline size_t fixture_scale(fixture *f, const char *name, double step, double check_true,
                                   double check_reads)
{
    f->scales[f->file.scale_count] = (tw_scale_spec){
        .name = name, .step = step, .check_true = check_true, .check_reads = check_reads};
    return f->file.scale_count++;
}

static inline tw_part_spec *fixture_part(fixture *f, const char *name, const char *kind)
{
    tw_part_spec *part = &f->parts[f->file.part_count++];

    *part = (tw_part_spec){.name = name, .kind = kind, .file = "harness.yaml"};
    return part;
}

/* Pieces of one part are added one after another. */
static inline tw_piece_spec *fixture_piece(fixture *f, tw_part_spec *part, tw_profile *profile)
{
    tw_piece_spec *piece = &f->pieces[f->piece_count++];

    *piece = (tw_piece_spec){.file = profile->file, .profile = profile, .count = 1};
    if (!part->pieces)
        part->pieces = piece;
    part->piece_count++;
    return piece;
}

static inline void fixture_fitting(fixture *f, tw_part_spec *part, const char *name,
                                   tw_fitting_class what, double mass, double u, double amount)
{
    tw_fitting_spec *fitting = &f->fittings[f->fitting_count++];

    *fitting = (tw_fitting_spec){
        .fitting = {.name = name, .what = what, .mass = mass, .uncertainty = u}, .amount = amount};
    if (!part->fittings)
        part->fittings = fitting;
    part->fitting_count++;
}

static inline tw_weighing_spec fixture_reads(fixture *f, size_t scale, double g)
{
    double *reads = &f->reads[f->read_count++];

    *reads = g;
    return (tw_weighing_spec){.scale = scale, .read_count = 1, .reads = reads};
}

static inline void fixture_weigh(fixture *f, tw_part_spec *part, size_t scale, double g)
{
    part->weighed = true;
    part->weighing = fixture_reads(f, scale, g);
}

static inline void fixture_together(fixture *f, const char **parts, size_t count, size_t scale,
                                    double g)
{
    tw_weighing_spec *spec = &f->together[f->file.together_count++];

    *spec = fixture_reads(f, scale, g);
    spec->parts = parts;
    spec->part_count = count;
}

static inline tw_harness *fixture_build(fixture *f)
{
    const tw_plate_options options = {.cells = 32, .threads = 1};
    tw_harness *harness = NULL;
    tw_error err;

    if (tw_harness_build(&f->file, &options, &harness, &err) != TW_OK)
        fail_msg("%s", err.message);
    return harness;
}

static inline tw_total fixture_total(const tw_harness *harness, const tw_choice *choice)
{
    tw_total total;
    tw_error err;

    if (tw_harness_total(harness, choice, &total, &err) != TW_OK)
        fail_msg("%s", err.message);
    return total;
}

/* The first note with a text in it, or NULL. */
static inline const tw_error *find_note(const tw_notes *notes, const char *text)
{
    for (size_t k = 0; k < notes->count && k < TW_NOTES_MAX; k++)
        if (strstr(notes->items[k].message, text))
            return &notes->items[k];
    return NULL;
}

static inline double cause_of(const tw_figure *figure, const char *name)
{
    for (size_t k = 0; k < figure->count; k++)
        if (strcmp(figure->causes[k].name, name) == 0)
            return figure->causes[k].part_g;
    return NAN;
}

#endif
