/*
 * reader_internal.h: how any file that users write is read, whatever it is about. Text goes through four
 * steps: bytes are checked (text.c), YAML becomes a tree of plain nodes (tree.c), settings replace nodes of
 * it (settings.c), and the rows of the schema (schema.c) read the tree into structs (reader.c, values.c).
 * What the rows of a plate read is in profile_internal.h, of harness and rules files in
 * harness_file_internal.h.
 */
#ifndef READER_INTERNAL_H
#define READER_INTERNAL_H

#include "taperwright/files.h"
#include "taperwright/profile.h"

/* ---- the tree ------------------------------------------------------------------------------ */

/* No profile nests deeper than ten or has a map of more than thirty keys; the limits keep a hostile
 * file from costing more than its bytes. */
enum { TW_NEST_MAX = 32, TW_MAP_MAX = 100 };

typedef enum tw_node_kind { TW_NODE_TEXT, TW_NODE_MAP, TW_NODE_LIST } tw_node_kind;

/** A piece of YAML. Lives in the profile's arena. */
typedef struct tw_node tw_node;
struct tw_node {
    tw_node_kind kind;
    const char *key;       /**< its key in the map it stands in, else NULL */
    const char *text;      /**< of TW_NODE_TEXT; clean of control characters but line ends */
    size_t count;          /**< children */
    tw_node *first, *last; /**< children in order; keys of a map are distinct */
    tw_node *next;         /**< sibling */
    tw_place place;        /**< of the value; line −k in the k-th setting */
    tw_place key_place;
};

/* ---- the reader ---------------------------------------------------------------------------- */

/** One reading: the profile being filled and the errors so far. A file of another kind is read with
 * a profile as its document, for name, text, ruler and settings. */
typedef struct tw_reader {
    tw_profile *profile;
    const struct tw_document_kind *kind;
    void *into;                  /**< what a harness or rules file fills; NULL for a plate */
    const tw_node *root;         /**< what is read; NULL before */
    tw_arena *arena;             /**< the profile's */
    tw_notes errors;             /**< by place: the foremost TW_NOTES_MAX, all are counted */
    tw_place kept[TW_NOTES_MAX]; /**< where each of them stands */
    bool no_memory;              /**< an allocation failed; what is read so far is of no use */
    const tw_material *metal;    /**< row of the table, or NULL */
    const char *table;           /**< not NULL: errors are about this file */
    const tw_table *sheet;       /**< with `cell`: while it is read */
    const char *cell;            /**< not NULL: the cell that errors are about */
    tw_place table_place;        /**< else where in it they are */
    const char *table_source;    /**< that line's text; NULL when not known */
    bool outline_in_doubt;       /**< form or outline has an error: edge names cannot be judged */
} tw_reader;

/** A list of words with the enumerators they stand for, in order from 0. */
typedef struct tw_words {
    const char *what; /**< "a face" */
    size_t count;
    const char *const *words;
} tw_words;

/** Add an error at a place. value and advice may be NULL. */
void tw_reader_fault(tw_reader *reader, tw_place place, tw_status status, const char *value,
                     const char *advice, const char *message, ...) TW_PRINTF(6, 7);
/** Add an error another room has set, with the key it is about put in front of the message. */
void tw_reader_pass(tw_reader *reader, tw_place place, const char *key, const tw_error *err);
/** Arena blocks that remember a failure in reader->no_memory. */
void *tw_reader_array(tw_reader *reader, size_t count, size_t size);
char *tw_reader_text(tw_reader *reader, const char *format, ...) TW_PRINTF(2, 3);

/* ---- text.c -------------------------------------------------------------------------------- */

/** Check that bytes are text: UTF-8, no NUL, no control characters. Fills err's line and column. */
tw_status tw_text_check(const char *data, size_t size, tw_error *err);
/** The first line of more than TW_LINE_MAX bytes, or 0. Within one line the YAML library keeps every
 * token it has read until it knows whether they make a key, at some 400 bytes each. */
enum { TW_LINE_MAX = 16384 };
int tw_text_long_line(const char *data, size_t size);
/** True when brackets stand open deeper than any text that is merely odd; place is the bracket that
 * goes too deep. Inside brackets the YAML library keeps tokens the same way, over all lines. */
enum { TW_NEST_SCAN = 200 };
bool tw_text_too_deep(const char *data, size_t size, tw_place *place);
/** The line of a text, cut to fit; "" beyond its end. Tabs stay, or become blanks like other
 * control characters. */
void tw_text_line(const char *text, int line, char *out, size_t size, bool tabs);
/** Copy with control characters as blanks, cut at a whole letter with "…" when it does not fit. */
void tw_text_tidy(const char *text, char *out, size_t size);

/* ---- tree.c -------------------------------------------------------------------------------- */

/** Read one YAML document, from the file (setting 0) or the value of the setting-th setting.
 * @return the root, or NULL after adding an error (or with reader->no_memory set) */
tw_node *tw_tree_read(tw_reader *reader, const char *data, size_t size, size_t setting);
/** The value of a key; NULL when there is none, or the node is no map. */
tw_node *tw_tree_find(const tw_node *map, const char *key);
void tw_tree_append(tw_node *parent, tw_node *child);

/* ---- schema.c ------------------------------------------------------------------------------ */

/** The maps of a profile: each row of the schema belongs to one. */
typedef enum tw_group {
    TW_GROUP_NONE,
    TW_GROUP_TOP,
    TW_GROUP_MATERIAL,
    TW_GROUP_FORM,
    TW_GROUP_FLAT,
    TW_GROUP_BOWL,
    TW_GROUP_OVER,
    TW_GROUP_STATION,
    TW_GROUP_KEEL,
    TW_GROUP_POINTS,
    TW_GROUP_HEIGHTS,
    TW_GROUP_OUTLINE,
    TW_GROUP_OUTLINE_SHAPE,
    TW_GROUP_EDGE,
    TW_GROUP_THICKNESS,
    TW_GROUP_FORGED,
    TW_GROUP_STRIKE,
    TW_GROUP_EDGE_THICKNESS,
    TW_GROUP_IMAGE,
    TW_GROUP_TURNED,
    TW_GROUP_HOLE,
    TW_GROUP_HOLE_RECTANGLE,
    TW_GROUP_CHECK,
    TW_GROUP_TOLERANCE,
    TW_GROUP_READINGS,
    TW_GROUP_INSTRUMENT,
    TW_GROUP_TIE,
    TW_GROUP_READING,
    TW_GROUP_AREA,
    TW_GROUP_PAPER,
    TW_GROUP_SCALE,
    TW_GROUP_FLUTES,
    TW_GROUP_PLAN,
    TW_GROUP_KEEP_ZONE,
    TW_GROUP_KEEP_EDGE,
    TW_GROUP_LOSSES,
    TW_GROUP_LOSS,
    TW_GROUP_WEIGHED,
    TW_GROUP_POINT,
    TW_GROUP_HARNESS, /* from here on: of harness files */
    TW_GROUP_SCALES,
    TW_GROUP_SCALE_CHECK,
    TW_GROUP_OWN_FITTING,
    TW_GROUP_PART,
    TW_GROUP_PIECE,
    TW_GROUP_OVERLAP,
    TW_GROUP_WEIGHING,
    TW_GROUP_FITTING,
    TW_GROUP_TOGETHER,
    TW_GROUP_RULES, /* from here on: of rules files */
    TW_GROUP_LIMIT,
    TW_GROUPS
} tw_group;

/** A kind of file: where its keys begin, and what it is called in errors. */
typedef struct tw_document_kind {
    tw_group top;
    const char *what;  /**< "the profile" */
    const char *begin; /**< "plate: NAME" */
} tw_document_kind;

typedef struct tw_key tw_key;
/** Reads a node into the struct of the row's group. */
typedef void (*tw_read)(tw_reader *reader, const tw_node *node, const tw_key *key, void *target);
/** One row of the schema. */
struct tw_key {
    tw_group group;   /**< the map it stands in */
    const char *name; /**< the key */
    tw_read read;
    size_t where;    /**< offset of the value in the group's struct; 0 for readers that know */
    size_t place;    /**< offset of its tw_place, 0 for none (no struct begins with one) */
    int detail;      /**< what `read` needs: a list of words, a kind of length, … */
    tw_group inside; /**< group of the map, or of the maps in the list, it takes */
    bool required;
};
/** How settings name the items of a list of maps. */
typedef struct tw_naming {
    const char *key;     /**< the key that holds an item's name, NULL for numbers only */
    const char *unnamed; /**< items without a name are "WORD n"; NULL when they have none */
} tw_naming;

/** Rows of one kind of file, and the same for people, in one order. */
typedef struct tw_schema_table {
    size_t count;
    const tw_key *keys;
    const tw_key_info *infos;
} tw_schema_table;
/** The table that holds a group's rows. */
tw_schema_table tw_schema_of(tw_group group);
/** Those of plates (schema_plate.c), of harness files and of rules files (schema_harness.c). */
tw_schema_table tw_schema_plate(void);
tw_schema_table tw_schema_harness(void);
tw_schema_table tw_schema_rules(void);
const tw_key *tw_schema_find(tw_group group, const char *name);
/** The name of a group's keys nearest to a word, or NULL. */
const char *tw_schema_nearest(tw_group group, const char *word);
tw_naming tw_schema_naming(tw_group group);

/* ---- document.c and settings.c -------------------------------------------------------------------- */

/** An empty profile in an arena, with copies of name, text and settings; NULL without memory. */
tw_profile *tw_document_new(tw_arena *arena, const char *name, const char *data, size_t size,
                            const tw_setting *settings, size_t setting_count);
/** Check the bytes, read the tree, apply the settings: reader->root, or NULL after errors. */
const tw_node *tw_document_root(tw_reader *reader, const char *data, size_t size);
/** @brief Say so when the file is of another kind than is wanted. @return whether it is */
bool tw_document_mistaken(tw_reader *reader, const tw_node *root);
/** @brief The bytes of a file that users write, from malloc; a failure is the only error in the list. */
tw_status tw_document_load(const char *path, char **data, size_t *size, tw_notes *errors);
/** A path relative to the document's own; NULL without memory. */
const char *tw_document_beside(tw_reader *reader, const char *file);
/** The status of a reading so far: of its first error, or TW_ERR_MEMORY. */
tw_status tw_reader_status(const tw_reader *reader);
/** The only error of a reading for which memory ran out. */
void tw_reader_memory(const char *name, const char *what, tw_notes *errors);
/** Replace nodes of the tree as the settings say. */
void tw_settings_apply(tw_reader *reader, tw_node *root);

/* ---- reader.c ------------------------------------------------------------------------------ */

/** Read a map into a struct by the rows of a group; false when it is no map. Unknown and missing
 * keys are errors. */
bool tw_read_map(tw_reader *reader, const tw_node *node, tw_group group, const char *what,
                 void *target);
/** A key that stands there under a name that is nearly it: the error about that name is enough. */
bool tw_key_misspelt(const tw_node *map, tw_group group, const char *name);
/** Room for the items of a list: count zeroed structs of a size; NULL when it is no list (an error
 * is added) or memory ran out. */
void *tw_read_list(tw_reader *reader, const tw_node *node, const char *what, size_t size,
                   size_t *count);
/** False with an error when the node is not a single, non-empty line of text. */
bool tw_read_line(tw_reader *reader, const tw_node *node, const char *what);

/* ---- values.c ------------------------------------------------------------------------------ */

/** Kinds of numbers. */
typedef enum tw_number_kind {
    TW_NUMBER_POSITION, /**< any length; bare with `ruler:` */
    TW_NUMBER_MEASURE,  /**< a station's length above 0; bare with `ruler:` */
    TW_NUMBER_SIZE,     /**< a length above 0, own unit */
    TW_NUMBER_HOLD,     /**< a length from 0, own unit */
    TW_NUMBER_ANGLE,
    TW_NUMBER_MASS,
    TW_NUMBER_AREA,
    TW_NUMBER_DENSITY,
    TW_NUMBER_DENSITY_SPREAD,
    TW_NUMBER_PAPER,
    TW_NUMBER_MASS_SPREAD,
    TW_NUMBER_AREA_SPREAD,
    TW_NUMBER_READING, /**< a thickness as an instrument shows it, own unit */
    TW_NUMBER_VELOCITY,
    TW_NUMBER_GRADE,
    TW_NUMBER_LOSS, /**< off one side, own unit */
    TW_NUMBER_LEVEL /**< a step of a picture's levels, own unit */
} tw_number_kind;
/** Read a number of a kind; NaN stays out. @return false after adding an error */
bool tw_value_number(tw_reader *reader, const tw_node *node, const char *what, tw_number_kind kind,
                     double *out);
/** What a kind of number measures. */
tw_dimension tw_number_dimension(tw_number_kind kind);
bool tw_value_yes(tw_reader *reader, const tw_node *node, bool *out);
bool tw_value_word(tw_reader *reader, const tw_node *node, const tw_words *words, int *out);
bool tw_value_thickness(tw_reader *reader, const tw_node *node, const char *what, tw_stock *out);

/** The lists of words, by which rows of the schema name them. */
typedef enum tw_word_list {
    TW_WORDS_FACE,
    TW_WORDS_WORN,
    TW_WORDS_RULER,
    TW_WORDS_BOWL,
    TW_WORDS_LAW,
    TW_WORDS_YES,
    TW_WORDS_ALONG,
    TW_WORDS_INSTRUMENT,
    TW_WORDS_TREND,
    TW_WORDS_SEEN,
    TW_WORDS_TARE,
    TW_WORDS_STANDARD,
    TW_WORDS_CLASS,
    TW_WORDS_MAP,
    TW_WORDS_FITTING,
    TW_WORDS_WHEN,
    TW_WORDS_WORKED
} tw_word_list;

void tw_read_format(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_text(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_word(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_yes(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_number(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_thickness(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_stock(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_work_stock(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_kind(tw_reader *, const tw_node *, const tw_key *, void *);
/** A whole number from 1 into a size_t. */
void tw_read_count(tw_reader *, const tw_node *, const tw_key *, void *);

#endif
