/* command_rows.h: option rows that commands of several files have in common. */
#ifndef COMMAND_ROWS_H
#define COMMAND_ROWS_H

#include "cli_commands.h"
#include "cli_options.h"

/** "metric", "inch". */
extern const char *const tw_unit_choices[];
/** Sheets of a comparison, by tw_reason. */
extern const char *const tw_reason_choices[];
/** "forged", "plan". */
extern const char *const tw_wanted_choices[];
/** "sheet", "forged", "readings", "image": maps that a profile may give. */
extern const char *const tw_map_choices[];
/** Papers that a drawing is divided among, or a card is drawn on, by their names. */
extern const char *const tw_paper_choices[];
/** What every command that models a plate takes. */
extern const tw_option tw_model_options[];
/** Commands that weigh: commands_weigh.c; that plan work: commands_plan.c; that draw: commands_draw.c. Ended by a
 * row without name. */
extern const tw_command tw_weigh_commands[], tw_plan_commands[], tw_draw_commands[];

#define TW_AT(field) offsetof(tw_args, field)
#define TW_UNITS_ROW                                                                       \
    {                                                                                      \
        .name = "units", .letter = 'u', .kind = TW_OPTION_CHOICE, .target = TW_AT(units),  \
        .argument = "UNITS", .choices = tw_unit_choices,                                   \
        .help = "metric (default) or inch for text and pictures; JSON and CSV stay metric" \
    }
#define TW_JSON_ROW                                             \
    {                                                           \
        .name = "json", .letter = 'j', .target = TW_AT(json),   \
        .help = "print JSON: fields that do not apply are null" \
    }
#define TW_CSV_ROW                                                \
    {                                                             \
        .name = "csv", .target = TW_AT(csv),                      \
        .help = "print comma-separated rows, units in the header" \
    }

/** Of commands that plan work: which thickness is to be made. */
#define TW_WANTED_ROW(short)                                                                    \
    {                                                                                           \
        .name = "map", .letter = short, .kind = TW_OPTION_CHOICE, .target = TW_AT(wanted),      \
        .argument = "MAP", .choices = tw_wanted_choices,                                        \
        .help =                                                                                 \
            "what is to be made: forged or plan (default: the profile's plan where it has one)" \
    }
/** Which sheet. */
#define TW_STOCK_ROW(what)                                                                        \
    {                                                                                             \
        .name = "stock", .kind = TW_OPTION_TEXT, .target = TW_AT(stock), .argument = "THICKNESS", \
        .help = what " (default: the profile's): \"14 swg\", \"2 mm\""                            \
    }
/** A drawing to print. */
#define TW_PAPER_ROWS(what)   \
    {.name = "output",        \
     .letter = 'o',           \
     .kind = TW_OPTION_TEXT,  \
     .target = TW_AT(output), \
     .argument = "FILE.pdf",  \
     .help = "draw " what},   \
        TW_PICTURE_MORE_ROWS
/** How far metal may be moved. */
#define TW_LIMIT_ROWS                                                                           \
    {.name = "gather",                                                                          \
     .kind = TW_OPTION_TEXT,                                                                    \
     .target = TW_AT(gather),                                                                   \
     .argument = "SHARE",                                                                       \
     .help = "most that metal may be gathered thicker than the sheet (default \"10 %\")"},      \
    {                                                                                           \
        .name = "draw", .kind = TW_OPTION_TEXT, .target = TW_AT(draw_out), .argument = "SHARE", \
        .help = "most that metal may be drawn out thinner than the sheet (default \"50 %\")"    \
    }

/** Which of the plate's maps. */
#define TW_MAP_ROW(words)                                                             \
    {                                                                                 \
        .name = "map", .letter = 'm', .kind = TW_OPTION_CHOICE, .target = TW_AT(map), \
        .argument = "MAP", .choices = tw_map_choices, .help = words                   \
    }
/** Which sheet of a comparison. */
#define TW_AGAINST_ROW(words)                                                                 \
    {                                                                                         \
        .name = "against", .letter = 'a', .kind = TW_OPTION_CHOICE, .target = TW_AT(against), \
        .argument = "SHEET", .choices = tw_reason_choices, .help = words                      \
    }
/** Which parts of a harness. */
#define TW_CHOICE_ROWS                                                                            \
    {.name = "in",                                                                                \
     .kind = TW_OPTION_TEXT,                                                                      \
     .target = TW_AT(set),                                                                        \
     .argument = "SET",                                                                           \
     .help = "only the parts of a set that the file names (default: all parts)"},                 \
        {.name = "with",                                                                          \
         .kind = TW_OPTION_NAMES,                                                                 \
         .target = TW_AT(with),                                                                   \
         .argument = "PART",                                                                      \
         .help = "and this part, pair, kind or set; may be repeated"},                            \
    {                                                                                             \
        .name = "without", .kind = TW_OPTION_NAMES, .target = TW_AT(without), .argument = "PART", \
        .help = "but not this part, pair, kind or set; may be repeated"                           \
    }
/** Which records of originals. */
#define TW_RECORDS_ROWS                                                                 \
    {.name = "records",                                                                 \
     .letter = 'r',                                                                     \
     .kind = TW_OPTION_TEXT,                                                            \
     .target = TW_AT(records),                                                          \
     .argument = "FILE.csv",                                                            \
     .help = "records of your own instead of the shipped set"},                         \
    {                                                                                   \
        .name = "years", .letter = 'y', .kind = TW_OPTION_TEXT, .target = TW_AT(years), \
        .argument = "FROM..TO",                                                         \
        .help = "only records whose years meet these: 1450..1550, 1450.. or ..1550"     \
    }

#define TW_PICTURE_MORE_ROWS                                                               \
    {.name = "width",                                                                      \
     .letter = 'w',                                                                        \
     .kind = TW_OPTION_COUNT,                                                              \
     .target = TW_AT(width),                                                               \
     .argument = "PIXELS",                                                                 \
     .low = 600,                                                                           \
     .high = 20000,                                                                        \
     .help = "width of the picture (default 1600)"},                                       \
        {.name = "dpi",                                                                    \
         .kind = TW_OPTION_COUNT,                                                          \
         .target = TW_AT(dots_per_inch),                                                   \
         .argument = "DOTS",                                                               \
         .low = 30,                                                                        \
         .high = 2400,                                                                     \
         .help = "dots per inch of a PNG; gives its width too where --width does not"},    \
        {.name = "date",                                                                   \
         .kind = TW_OPTION_TEXT,                                                           \
         .target = TW_AT(date),                                                            \
         .argument = "TEXT",                                                               \
         .help = "date printed on the picture (default: the profile's, else none)"},       \
    {                                                                                      \
        .name = "describe", .target = TW_AT(describe),                                     \
        .help = "print what the drawing says, in words, in place of the text; needs no -o" \
    }
#define TW_PICTURE_ROWS(what)                                                               \
    {.name = "output",                                                                      \
     .letter = 'o',                                                                         \
     .kind = TW_OPTION_TEXT,                                                                \
     .target = TW_AT(output),                                                               \
     .argument = "FILE.png",                                                                \
     .help = "draw " what " (or FILE.svg, FILE.pdf); - for standard output, without text"}, \
        TW_PICTURE_MORE_ROWS
/** Of drawings with a map. */
#define TW_HATCH_ROW                                                    \
    {                                                                   \
        .name = "hatch", .target = TW_AT(hatch),                        \
        .help = "lines and dots in place of colours, for a photocopier" \
    }

#endif
