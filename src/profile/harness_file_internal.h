/*
 * harness_file_internal.h: reading harness files. Each file is read on its own into what it says
 * (harness_read.c), after those it includes. Then all are joined in one go, because a file may use
 * scales, fittings and parts of another: parts and plates (harness_parts.c), fittings
 * (harness_fittings.c), weighings (harness_weighings.c), sets (harness_sets.c). Each file keeps its
 * reader until the end, so that every error is told at its place in its own file.
 */
#ifndef HARNESS_FILE_INTERNAL_H
#define HARNESS_FILE_INTERNAL_H

#include "reader_internal.h"

/* ---- what a file says ---------------------------------------------------------------------- */

typedef struct tw_mass_list {
    size_t count;
    double *grams;
} tw_mass_list;
typedef struct tw_name_list {
    size_t count;
    const char **names; /* NULL where one could not be read */
    tw_place *places;
} tw_name_list;

/* Places are {0, 0} where the key is not given. */
typedef struct tw_weighing_keys {
    tw_mass_list reads, with, without;
    double tare, step; /* 0 when not given */
    bool tare_exact;
    const char *on;
    tw_name_list parts; /* of parts weighed together */
    tw_place place, reads_place, with_place, without_place, tare_place, on_place, step_place,
        parts_place;
    bool faulty; /* an error has been told */
} tw_weighing_keys;

typedef struct tw_piece_keys {
    tw_piece_spec piece;
    bool faulty;
    tw_place file_place, map_place, at_place, turn_place, tilt_place, lean_place, overlap_place,
        edge_place;
} tw_piece_keys;

/* A row of the file's own table, or a use of a fitting. Masses are 0 when not given. */
typedef struct tw_fitting_keys {
    const char *name, *source;
    double each, per_length, per_area; /* [g], [g per metre], [g per square metre] */
    double uncertainty;                /* in the unit of the mass; NaN when not given */
    int what;                          /* −1 when not given */
    size_t count;                      /* 0 when not given */
    double length, area;               /* [mm], [mm²] */
    bool faulty;
    tw_place place, name_place, uncertainty_place, source_place, length_place, area_place;
} tw_fitting_keys;

typedef struct tw_part_keys {
    tw_part_spec part;
    size_t piece_count, fitting_count;
    tw_piece_keys *pieces;
    tw_fitting_keys *fittings;
    tw_weighing_keys weighed, pair, left, right;
    tw_place name_place, kind_place, plate_place, plates_place, balance_place;
} tw_part_keys;

typedef struct tw_set_keys {
    const char *name;
    tw_name_list members;
    tw_place place;
} tw_set_keys;

/* One harness file. */
typedef struct tw_harness_source {
    tw_reader reader;
    struct tw_harness_source *next_met;  /* in the order in which files were opened */
    struct tw_harness_source *next_done; /* included files before those that include them */
    struct tw_harness_source *from;      /* the file that includes it first, NULL for the first */
    bool open;                           /* it and what it includes are still being read */
    unsigned long long device, inode;    /* tell whether two paths are one file; 0 from memory */
    tw_name_list include;
    size_t scale_count, own_count, part_count, together_count, set_count;
    tw_scale_spec *scales;
    tw_fitting_keys *own;
    tw_part_keys *parts;
    tw_weighing_keys *together;
    tw_set_keys *sets;
    size_t first_scale, first_part; /* where its own begin among all */
} tw_harness_source;

/* ---- the whole ----------------------------------------------------------------------------- */

/* One plate's profile, read once. */
typedef struct tw_plate_file {
    struct tw_plate_file *next;
    unsigned long long device, inode;
    tw_profile *profile; /* NULL after errors */
} tw_plate_file;

/* A name that a part answers to, and where it was given. */
typedef struct tw_part_name {
    const char *name;
    size_t part;
    bool whole; /* of a pair: stands for both */
} tw_part_name;

typedef struct tw_own_fitting {
    tw_fitting fitting;
    const tw_harness_source *source;
    tw_place place;
} tw_own_fitting;

typedef struct tw_harness_job {
    tw_arena *arena;
    tw_harness_file *file;
    tw_harness_source *met, **met_end, *done, **done_end;
    size_t source_count;
    size_t scales_listed; /* of file->scales: those of lists; plain ones stand behind them */
    size_t scale_room;    /* how many file->scales can hold */
    size_t own_count;
    tw_own_fitting *own;
    size_t name_count;
    tw_part_name *names; /* a pair has three */
    tw_plate_file *plates;
    tw_notes plate_errors;
    bool no_memory;
} tw_harness_job;

enum {
    TW_HARNESS_FILES_MAX = 100,
    TW_PIECES_MAX = 100,   /* plates in one part */
    TW_FITTINGS_MAX = 200, /* in one part */
    TW_SCALES_MAX = 100,
    TW_REPEATS_MAX = 100,
    TW_MEMBERS_MAX = 1000 /* of a set, or of parts weighed together */
};

/** Join what all files say into job->file; errors go to each file's reader. */
void tw_harness_join(tw_harness_job *job);
bool tw_harness_parts(tw_harness_job *job);
void tw_harness_fittings(tw_harness_job *job);
void tw_harness_scales(tw_harness_job *job);
void tw_harness_weighings(tw_harness_job *job);
void tw_harness_sets(tw_harness_job *job);
/** Arena blocks of the whole; remember a failure in job->no_memory. */
void *tw_harness_array(tw_harness_job *job, size_t count, size_t size);
/** The name of a part as it is given here, or NULL. */
const tw_part_name *tw_harness_name(const tw_harness_job *job, const char *name);
/** The part's name nearest to an unknown one, or NULL. */
const char *tw_harness_near_name(tw_harness_job *job, const char *name);
/** The same name an earlier item of another or the same file has: an error at the later one. */
void tw_harness_twice(tw_harness_source *source, tw_place place, const char *what, const char *name,
                      const tw_harness_source *first, tw_place first_place);
/** Tell which file a path is; false with an error when there is none. */
bool tw_file_identity(const char *path, unsigned long long *device, unsigned long long *inode);

/** As tw_harness_file_read(), from memory; `name` stands for the file. */
tw_status tw_harness_file_read_memory(const char *name, const char *data, size_t size,
                                      const tw_setting *settings, size_t setting_count,
                                      tw_harness_file **out, tw_notes *errors);
/** As tw_rules_file_read(), from memory. */
tw_status tw_rules_file_read_memory(const char *name, const char *data, size_t size,
                                    const tw_setting *settings, size_t setting_count,
                                    tw_rules_file **out, tw_notes *errors);

/* ---- readers of keys ----------------------------------------------------------------------- */

void tw_read_masses(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_names(tw_reader *, const tw_node *, const tw_key *, void *);
/** Names of trade kinds; the same list, spelled as in the fixed one. */
void tw_read_kinds(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_triple(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_scales(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_scale_check(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_own_fittings(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_includes(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_parts(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_piece(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_pieces(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_overlap(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_part_fittings(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_weighing(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_tare(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_together(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_sets(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_limits(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_where(tw_reader *, const tw_node *, const tw_key *, void *);

typedef struct tw_limit_keys {
    tw_limit_spec limit;
    int when;
    tw_name_list kinds;
    tw_place where_place;
} tw_limit_keys;

#endif
