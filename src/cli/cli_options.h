/*
 * cli_options.h: options, commands and what was typed; included by cli_internal.h. Option rows and the
 * command table are the one source of parser, --help, manual page and completion.
 */
#ifndef CLI_OPTIONS_H
#define CLI_OPTIONS_H

#include "taperwright/base.h"
#include "taperwright/draw.h"
#include "taperwright/files.h"
#include "taperwright/profile.h"

/* ---- options and commands ---------------------------------------------------------------- */

typedef enum tw_option_kind {
    TW_OPTION_FLAG,    /**< bool */
    TW_OPTION_COUNT,   /**< size_t within low … high */
    TW_OPTION_TEXT,    /**< const char * */
    TW_OPTION_CHOICE,  /**< int: index into choices */
    TW_OPTION_CHOICES, /**< unsigned, may be repeated: bit 1 << index into choices */
    TW_OPTION_SETTING, /**< path=value, may be repeated: settings of tw_args */
    TW_OPTION_NAMES    /**< tw_name_list, may be repeated */
} tw_option_kind;

/** One option. A list of them ends with a row without name. */
typedef struct tw_option {
    const char *name; /**< without the dashes */
    char letter;      /**< short form, 0 for none */
    tw_option_kind kind;
    size_t target;        /**< offsetof in tw_args */
    const char *argument; /**< what stands for the value in help; NULL for a flag */
    const char *help;
    const char *const *choices; /**< of a choice or choices, ended by NULL; of a text or names, what
                                     completion offers */
    size_t low, high;           /**< of a count */
} tw_option;

struct tw_command;

/** Values of an option that may be repeated, borrowed from argv. */
typedef struct tw_name_list {
    size_t count;
    const char **names;
} tw_name_list;

/** What was typed. Every command reads the fields that its option rows name. */
typedef struct tw_args {
    const struct tw_command *command;
    const char **operands; /**< operand_count, borrowed from argv */
    tw_setting *settings;  /**< setting_count */
    size_t operand_count, setting_count;
    size_t grid, threads, width, trials, seed, suggest;
    bool help, json, csv, inertia, man, quick, budget;
    int units;         /**< tw_units */
    int against;       /**< tw_reason, −1 when not given */
    unsigned systems;  /**< bit 1 << tw_gauge_system, TW_GAUGE_SYSTEMS for metric; 0: not given */
    const char *sheet; /**< size of one on offer */
    bool all;
    int shell;         /**< tw_cli_shell, −1 when not given */
    const char *pages; /**< folder for the manual */
    const char *set;   /**< of parts that are in; NULL: all */
    const char *records, *years, *object;
    bool list, print, fittings;
    tw_name_list with, without;
    int map; /**< tw_map_kind, −1 when not given */
    const char *output, *cells, *date, *material, *near, *instrument, *rules;
    const char *weight, *by, *round, *least, *grade, *within;
    bool trade_off;
    int wanted; /**< tw_cli_wanted, −1 when not given */
    const char *stock;
    const char *gather, *draw_out; /**< shares */
    tw_name_list at, from_blank;
    size_t nodes;
    const char *step;
    int worked; /**< tw_worked, −1 when not given */
    const char *window, *reach;
    size_t points;
    const char *readings, *weighs, *log;
    int stage; /**< tw_stage, −1 when not given */
    int as;    /**< tw_cli_lesson */
    int keep;  /**< tw_keep */
    size_t frames;
    bool apart; /**< the command opens its drawings itself */
    size_t dots_per_inch;
    tw_name_list show;
    int of; /**< tw_view_quantity, 0 when not given */
    const char *line, *azimuth, *elevation, *exaggerate;
    bool hatch, describe;
    const char *page; /**< paper that a drawing at 1:1 is divided among; of a card to fill in */
    bool card;
    bool steps;
    const char *spacing;
    tw_name_list vary;
    const char *shard;
    bool resume;
    int what; /**< tw_cli_what, −1 when not given */
    tw_output
        *beside; /**< cells on their way, of a command that also draws; not from the command line */
    tw_words *words;             /**< what the drawing says, where --describe was given; owned */
    tw_missing_letters *missing; /**< of a drawing; the program's own */
} tw_args;

/** What `series` makes. */
typedef enum tw_cli_lesson {
    TW_CLI_POSTER,
    TW_CLI_FRAMES,
    TW_CLI_MOVING,
    TW_CLI_GUESS,
    TW_CLI_EXERCISE
} tw_cli_lesson;

enum { TW_EXAMPLES_MAX = 8 };
typedef struct tw_command {
    const char *name;
    const char *operands;            /**< as shown after the name; "" for none */
    size_t least, most;              /**< number of operands */
    const char *summary;             /**< one line */
    const char *about;               /**< a paragraph of help; lines under 80 letters */
    const tw_option *options, *more; /**< its own rows, and rows shared with others; NULL: none */
    tw_status (*run)(const tw_args *args, tw_notes *errors);
    const char *examples[TW_EXAMPLES_MAX]; /**< without the program's name; ended by NULL */
    bool hidden;                           /**< left out of help and completion */
} tw_command;

/** @return the n-th command, from 0, or NULL when there are not so many. */
const tw_command *tw_cli_command(size_t n);
const tw_command *tw_cli_command_find(const char *name);
/** @brief Walk the rows of a command: own, shared, then --help. @return row n, or NULL. */
const tw_option *tw_cli_option(const tw_command *command, size_t n);

/**
 * @brief Read the words after the command's name into args.
 * @param[out] args  pair with tw_cli_args_release(), also on failure
 * @return TW_OK; TW_ERR_USAGE; TW_ERR_MEMORY
 */
tw_status tw_cli_parse(const tw_command *command, int count, char **words, tw_args *args,
                       tw_error *err);
void tw_cli_args_release(tw_args *args);
/**
 * @brief A quantity above zero that an option names.
 * @param right      what would be right, for the advice: "1.0 mm"
 * @param otherwise  the value when text is NULL
 * @return TW_OK; TW_ERR_USAGE: wrong text is the command line's fault, not a file's
 */
tw_status tw_cli_quantity(const char *text, const char *option, tw_dimension dimension,
                          const char *right, double otherwise, double *value, tw_error *err);
/** @brief The same for any other reading of an option's text: its status, and where it stands. */
tw_status tw_cli_option_fault(tw_status status, const char *option, tw_error *err);

/* ---- help and manual --------------------------------------------------------------------- */

/** A kind of file that users write. */
typedef struct tw_file_keys {
    const char *name;  /**< as asked for: "harness-file" */
    const char *what;  /**< "a harness file" */
    const char *start; /**< how to begin one */
    const tw_key_info *(*keys)(size_t *count);
} tw_file_keys;
/** @return them, ended by a row without name. */
const tw_file_keys *tw_cli_file_keys(void);
/** Print all trade kinds, commas between; `line` begins each line, of at most `width` letters. */
void tw_cli_put_kinds(tw_output *out, const char *line, size_t width);
void tw_cli_help_all(tw_output *out);
void tw_cli_help_command(tw_output *out, const tw_command *command);
/** "-g, --grid CELLS" of a row into text. */
void tw_cli_option_head(const tw_option *option, char *text, size_t size);
typedef enum tw_cli_shell { TW_SHELL_BASH, TW_SHELL_ZSH, TW_SHELL_FISH } tw_cli_shell;
void tw_cli_completion(tw_output *out, tw_cli_shell shell);

#endif
