/*
 * commands.c: the one table of commands. Parser, --help, manual page and completion walk these
 * rows; tests fail when a row has no help or a command no example.
 */
#include "command_rows.h"

#include <stdint.h>
#include <string.h>

const char *const tw_unit_choices[] = {"metric", "inch", NULL};
const char *const tw_wanted_choices[] = {"forged", "plan", NULL};
const char *const tw_reason_choices[] = {"strike thickness", "same mass", "own stock", "as formed",
                                         NULL};
static const char *const system_choices[] = {"msg", "uss", "swg",    "bwg",
                                             "bg",  "awg", "metric", NULL};
const char *const tw_map_choices[] = {"sheet", "forged", "readings", "image", NULL};
static const char *const shell_choices[] = {"bash", "zsh", "fish", NULL};
/* The index of a choice is the enum's value. */
_Static_assert(sizeof system_choices / sizeof *system_choices == TW_GAUGE_SYSTEMS + 2, "systems");
_Static_assert(TW_MAP_SHEET == 0 && TW_MAP_FORGED == 1 && TW_MAP_READINGS == 2 && TW_MAP_IMAGE == 3,
               "maps");
_Static_assert(TW_CLI_WANTED_FORGED == 0 && TW_CLI_WANTED_PLAN == 1, "wanted maps");
_Static_assert(TW_SHELL_BASH == 0 && TW_SHELL_ZSH == 1 && TW_SHELL_FISH == 2, "shells");
_Static_assert(TW_METRIC == 0 && TW_INCH == 1, "units");
_Static_assert(TW_REASON_STRIKE == 0 && TW_REASON_SAME_MASS == 1 && TW_REASON_STOCK == 2 &&
                   TW_REASON_AS_FORMED == 3,
               "reasons");

const tw_option tw_model_options[] = {
    {.name = "grid",
     .letter = 'g',
     .kind = TW_OPTION_COUNT,
     .target = TW_AT(grid),
     .argument = "CELLS",
     .low = TW_GRID_MIN,
     .high = TW_GRID_MAX,
     .help = "cells along the longer tape side (default: fine enough for 0.02 %)"},
    {.name = "set",
     .letter = 's',
     .kind = TW_OPTION_SETTING,
     .argument = "PATH=VALUE",
     .help = "replace a value of the profile for this run; may be repeated"},
    {.name = "threads",
     .letter = 't',
     .kind = TW_OPTION_COUNT,
     .target = TW_AT(threads),
     .argument = "N",
     .low = 0,
     .high = 64,
     .help = "threads to use (default 0: one per processor); results are the same"},
    TW_UNITS_ROW,
    {0}};

static const tw_option weigh_options[] = {
    TW_JSON_ROW,
    TW_CSV_ROW,
    {.name = "inertia",
     .letter = 'i',
     .target = TW_AT(inertia),
     .help = "also print the moments of inertia about the balance point"},
    {.name = "cells",
     .letter = 'c',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(cells),
     .argument = "FILE.csv",
     .help = "write every cell of the forged (else read, else image, else sheet) map for sums of "
             "your own"},
    {.name = "quick",
     .letter = 'q',
     .target = TW_AT(quick),
     .help = "leave out how sure the mass is, which takes most of the time"},
    {.name = "budget",
     .letter = 'b',
     .target = TW_AT(budget),
     .help = "also print the parts of the ±, with grams and share"},
    {.name = "monte-carlo",
     .kind = TW_OPTION_COUNT,
     .target = TW_AT(trials),
     .argument = "TRIALS",
     .low = 1000,
     .high = 10000000,
     .help = "also draw the inputs at random this many times and weigh each"},
    {.name = "seed",
     .kind = TW_OPTION_COUNT,
     .target = TW_AT(seed),
     .argument = "N",
     .low = 0,
     .high = 4294967295u,
     .help = "seed of those trials (default 0); the same seed gives the same trials"},
    {0}};

static const tw_option batch_options[] = {
    {.name = "vary",
     .letter = 'v',
     .kind = TW_OPTION_NAMES,
     .target = TW_AT(vary),
     .argument = "PATH=VALUES",
     .help = "a row for each of these: \"1.0 mm..2.0 mm/0.1 mm\" or \"16 swg, 1.2 mm\"; may be "
             "repeated, the last varies fastest"},
    {.name = "output",
     .letter = 'o',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(output),
     .argument = "FILE",
     .help = "write rows to a new FILE as they are done (default: print them)"},
    {.name = "resume",
     .letter = 'r',
     .target = TW_AT(resume),
     .help = "go on where FILE ends; its last row is made again and must come out the same"},
    {.name = "shard",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(shard),
     .argument = "I/N",
     .help = "the rows I, I + N and so on: the part of one machine of N"},
    {.name = "budget",
     .letter = 'b',
     .target = TW_AT(budget),
     .help = "also the 95 % interval of every mass, which takes most of the time"},
    {.name = "json",
     .letter = 'j',
     .target = TW_AT(json),
     .help = "a JSON object a line instead of CSV: fields that do not apply are null"},
    TW_CSV_ROW,
    {0}};

static const tw_option readings_options[] = {
    TW_PICTURE_ROWS("the map with its readings, and how sure it is"),
    TW_HATCH_ROW,
    {.name = "suggest",
     .kind = TW_OPTION_COUNT,
     .target = TW_AT(suggest),
     .argument = "N",
     .low = 1,
     .high = 26,
     .help = "the next N places whose readings would tell most about the mass"},
    {.name = "instrument",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(instrument),
     .argument = "NAME",
     .help = "take those with this one (default: of the profile's, the one that reaches farthest)"},
    TW_JSON_ROW,
    TW_CSV_ROW,
    {0}};

static const tw_option compare_options[] = {
    TW_PICTURE_ROWS("forged, sheet and difference"),
    TW_HATCH_ROW,
    TW_AGAINST_ROW("one sheet only: strike-thickness, same-mass, own-stock or as-formed"),
    {.name = "quick",
     .letter = 'q',
     .target = TW_AT(quick),
     .help = "leave out sheet as formed, which takes some of the time"},
    TW_JSON_ROW,
    TW_CSV_ROW,
    {.name = "inertia",
     .letter = 'i',
     .target = TW_AT(inertia),
     .help = "also print how the moments of inertia change"},
    {0}};

#define CHOICE_ROWS                                                                               \
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

static const tw_option harness_options[] = {
    CHOICE_ROWS, TW_PICTURE_ROWS("the grams as bars by part"), TW_JSON_ROW, TW_CSV_ROW, {0}};
static const tw_option limits_options[] = {
    {.name = "rules",
     .letter = 'r',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(rules),
     .argument = "FILE.yaml",
     .help = "the least thicknesses of an event's rule book, as you wrote them down"},
    TW_MAP_ROW(
        "hold this map against them (default: readings when given, else image, forged, sheet)"),
    TW_JSON_ROW,
    TW_CSV_ROW,
    {0}};

static const tw_option originals_options[] = {
    CHOICE_ROWS,
    TW_MAP_ROW(
        "of a plate, weigh this map (default: readings when given, else image, forged, sheet)"),
    TW_RECORDS_ROWS,
    {.name = "object",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(object),
     .argument = "WORD",
     .help = "only records with this word in their title: armet"},
    {.name = "list",
     .letter = 'l',
     .target = TW_AT(list),
     .help = "also list the records, each cited"},
    {.name = "print",
     .target = TW_AT(print),
     .help = "print the shipped set as CSV, to start one of your own from"},
    TW_PICTURE_ROWS("the records and the own mass along a mass axis"),
    TW_JSON_ROW,
    TW_CSV_ROW,
    {0}};

static const tw_option new_options[] = {
    {.name = "output",
     .letter = 'o',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(output),
     .argument = "FILE",
     .help = "write to a new FILE.yaml (an existing one is never replaced); with --card draw "
             "FILE.pdf, FILE.svg or FILE.png"},
    {.name = "card",
     .target = TW_AT(card),
     .help = "draw a card to print and fill in by hand at the bench, in the order of the profile; "
             "with a plate, that plate by tape to mark readings on"},
    {.name = "paper",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(page),
     .argument = "PAPER",
     .help = "of the card: a4 (default), letter, or larger"},
    TW_UNITS_ROW,
    TW_PICTURE_MORE_ROWS,
    {0}};

static const tw_option stock_options[] = {
    {.name = "material",
     .letter = 'm',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(material),
     .argument = "METAL",
     .help = "metal whose density gives the mass (default: mild steel)"},
    {.name = "near",
     .letter = 'n',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(near),
     .argument = "THICKNESS",
     .help = "only the sheets nearest to a thickness: \"1.6 mm\", \"1/16 in\", \"16 swg\""},
    {.name = "system",
     .letter = 'y',
     .kind = TW_OPTION_CHOICES,
     .target = TW_AT(systems),
     .argument = "SYSTEM",
     .choices = system_choices,
     .help = "only msg, uss, swg, bwg, bg, awg or metric; may be repeated (default: all; of a "
             "plate, metric and the system of its own sheet)"},
    {.name = "fittings",
     .letter = 'f',
     .target = TW_AT(fittings),
     .help = "instead: grams of rivets, buckles, straps and linings that a harness file may name"},
    TW_WANTED_ROW(0),
    {.name = "sheet",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(sheet),
     .argument = "SIZE",
     .help = "of a plate: size of the sheet on offer, \"1000 mm x 500 mm\": how many blanks it "
             "holds, and its offcut"},
    TW_LIMIT_ROWS,
    {.name = "all",
     .letter = 'a',
     .target = TW_AT(all),
     .help = "of a plate: every sheet, also those that are not possible, with the reason"},
    TW_JSON_ROW,
    TW_CSV_ROW,
    {0}};

static const tw_option manual_options[] = {
    {.name = "man", .target = TW_AT(man), .help = "print a manual page (man macros)"},
    {.name = "pages",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(pages),
     .argument = "FOLDER",
     .help = "write all manual pages into a folder"},
    {.name = "completion",
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(shell),
     .argument = "SHELL",
     .choices = shell_choices,
     .help = "print the completion script of a shell: bash, zsh or fish"},
    {0}};

static const tw_command plate_commands[] = {
    {.name = "weigh",
     .operands = "PLATE.yaml...",
     .least = 1,
     .most = SIZE_MAX,
     .options = weigh_options,
     .more = tw_model_options,
     .run = tw_cmd_weigh,
     .summary = "mass, balance point and thickness of plates",
     .about = "Weighs every thickness map that a profile gives: even sheet, forged from strike\n"
              "zones to edges, or from gauge readings, with a 95 % interval from density, stock,\n"
              "readings, measures and sums. Several plates give one text or a JSON list; when\n"
              "one profile is wrong, all its errors are printed and nothing is weighed.\n"
              "Turned edges and flutes are told on top: they are not in the plate's own grams.\n"
              "A plate with only `area:` and `scale:` gets its mean thickness.",
     .examples = {"weigh profiles/breastplate.yaml",
                  "weigh --json profiles/breastplate.yaml profiles/skull.yaml",
                  "weigh --set thickness.sheet=\"1.5 mm\" --units inch profiles/breastplate.yaml",
                  "weigh --budget profiles/breastplate.yaml", "weigh profiles/owners-tasset.yaml",
                  "weigh --grid 128 --cells cells.csv profiles/test-plate.yaml"}},
    {.name = "batch",
     .operands = "PLATE.yaml...",
     .least = 1,
     .most = SIZE_MAX,
     .options = batch_options,
     .more = tw_model_options,
     .run = tw_cmd_batch,
     .summary = "many plates, or one in many variations: a line of figures each",
     .about = "Weighs every plate in every combination of what varies and writes one line each,\n"
              "in order, shared out between processors. A plate that is wrong has its line too,\n"
              "with what is wrong; the rest goes on, and the exit code is 1 at the end.\n"
              "Ctrl-C keeps the lines that are done, and --resume goes on from there. Lines of\n"
              "shards, sorted by their number, are those of the whole. difference_g is sheet\n"
              "less forged.",
     .examples = {"batch profiles/breastplate.yaml profiles/skull.yaml --grid 64",
                  "batch profiles/breastplate.yaml --grid 64 --vary thickness.sheet=\"1.0 mm..2.0 "
                  "mm/0.25 mm\"",
                  "batch profiles/knee.yaml -g 48 -v thickness.sheet=\"16 swg, 18 swg\" -v "
                  "material=\"mild steel, copper\" -o knees.csv",
                  "batch profiles/knee.yaml -g 48 -v thickness.sheet=\"1..2/0.5 mm\" --shard 2/3 "
                  "--json"}},
    {.name = "readings",
     .operands = "PLATE.yaml",
     .least = 1,
     .most = 1,
     .options = readings_options,
     .more = tw_model_options,
     .run = tw_cmd_readings,
     .summary = "gauge readings: the map they give, how sure, where to read next",
     .about = "Lists the readings with what looks wrong about them (nothing is dropped: write\n"
              "`leave out: yes` yourself), the map and mass they give with its 95 % interval,\n"
              "whether the scale weight agrees, and where the next reading is worth most.\n"
              "Each reading is also foretold from all others: how far off it is tells slips.",
     .examples = {"readings profiles/curators-breast.yaml",
                  "readings --suggest 4 -o readings.png profiles/curators-breast.yaml",
                  "readings --json profiles/curators-breast.yaml"}},
    {.name = "compare",
     .operands = "PLATE.yaml",
     .least = 1,
     .most = 1,
     .options = compare_options,
     .more = tw_model_options,
     .run = tw_cmd_compare,
     .summary = "a forged plate against even sheet: grams, where they sit, balance",
     .about = "Sets the forged plate beside even sheet of the same face: as thick as the strike\n"
              "zone, of the same mass, and the profile's own sheet when it gives one. Last stands\n"
              "the own sheet (else the one nearest in mass) as forming leaves it: laid out flat\n"
              "with the least work, an estimate of what hammer and stake do to it at the least.\n"
              "difference_g is sheet minus forged; centroid_shift_mm is forged minus sheet.\n"
              "Thickness here is bookkeeping, not a protection rating.",
     .examples = {"compare profiles/breastplate.yaml",
                  "compare profiles/breastplate.yaml -o breastplate.png",
                  "compare --against same-mass --json profiles/breastplate.yaml"}},
    {.name = "harness",
     .operands = "HARNESS.yaml",
     .least = 1,
     .most = 1,
     .options = harness_options,
     .more = tw_model_options,
     .run = tw_cmd_harness,
     .summary = "many parts, modelled and weighed, in or out, added up",
     .about =
         "Adds up the parts of a harness, each by its weighing where there is one and by its\n"
         "model where there is none, with straps, rivets and linings; says which parts are in,\n"
         "which have no figure, where the models and the scale differ, where the grams of\n"
         "even sheet come from, and how the balance moves when a part is taken off.",
     .examples = {"harness profiles/cuirass.yaml", "harness profiles/cuirass.yaml --in body",
                  "harness profiles/cuirass.yaml --without tasset -o bars.png",
                  "harness profiles/cuirass.yaml --json"}},
    {0}};

static const tw_command other_commands[] = {
    {.name = "limits",
     .operands = "PLATE.yaml",
     .least = 1,
     .most = 1,
     .options = limits_options,
     .more = tw_model_options,
     .run = tw_cmd_limits,
     .summary = "a plate's thinnest places beside an event's least thicknesses",
     .about =
         "A limit binds the thinnest place it holds at, with its uncertainty: met when the\n"
         "thinnest less its ± is not under it, under when the thinnest with its ± is, in\n"
         "doubt between. Of readings ± is the map's own, of sheet the tolerance it was bought\n"
         "with; even sheet on a form is in doubt too when dishing would thin its middle under\n"
         "the limit. A forged map is what was asked for: met as drawn. The exit code is 0 whatever "
         "comes out, as\n"
         "the question was a right one; scripts read the verdicts from --json.\n"
         "The event's rule book and inspector decide; a gauge on the finished plate, not\n"
         "this program, tells what it is.",
     .examples = {"limits profiles/breastplate.yaml --rules profiles/invented-rules.yaml",
                  "limits --map sheet --json --rules profiles/invented-rules.yaml "
                  "profiles/breastplate.yaml",
                  "limits --rules profiles/invented-rules.yaml profiles/curators-breast.yaml"}},
    {.name = "originals",
     .operands = "[HARNESS.yaml|PLATE.yaml]",
     .least = 0,
     .most = 1,
     .options = originals_options,
     .more = tw_model_options,
     .run = tw_cmd_originals,
     .summary = "a harness or a plate beside recorded weights of originals",
     .about =
         "Sets the parts that are in beside records that cover the same kinds, as often: as a\n"
         "whole where there is one, and part by part. Records that contradict themselves are\n"
         "kept out. The set is what it is: inside or outside its spread is said, no more.\n"
         "Without a file, says what the set holds and what is odd about its records.",
     .examples = {"originals", "originals --years 1450..1550 --object sallet --list",
                  "originals profiles/breastplate.yaml", "originals --print"}},
    {.name = "check",
     .operands = "PLATE.yaml...",
     .least = 1,
     .most = SIZE_MAX,
     .more = tw_model_options,
     .run = tw_cmd_check,
     .summary = "read profiles and print their sizes back",
     .about =
         "Reads each profile, builds its form and prints the overall sizes, what was adjusted,\n"
         "and how far each tape check is off. It judges the profile, not the plate.",
     .examples = {"check profiles/breastplate.yaml",
                  "check profiles/breastplate.yaml profiles/skull.yaml profiles/knee.yaml"}},
    {.name = "new",
     .operands = "[FORM [PLATE.yaml]]",
     .least = 0,
     .most = 2,
     .options = new_options,
     .run = tw_cmd_new,
     .summary = "print a commented profile, or a card to fill in by hand, to start from",
     .about =
         "Without FORM, lists the forms and the parts of a harness they suit.\n"
         "With --card, draws one page to print and fill in beside the plate: what to measure and\n"
         "how, as sketches, and boxes in the order in which the profile takes them. With readings\n"
         "and a plate's profile, draws that plate laid out by tape, to mark points on paper\n"
         "instead of on an object, with rows for their readings; it needs no thickness yet.",
     .examples = {"new", "new area", "new bowl", "new loft -o my-breastplate.yaml",
                  "new loft --card -o loft-card.pdf",
                  "new readings --card --paper letter -o card.pdf",
                  "new readings profiles/breastplate.yaml --card -o marking.pdf"}},
    {.name = "stock",
     .operands = "[PLATE.yaml]",
     .least = 0,
     .most = 1,
     .options = stock_options,
     .more = tw_model_options,
     .run = tw_cmd_stock,
     .summary = "gauge tables, grams of fittings; which sheet to begin a plate with",
     .about =
         "A gauge number is a name: the same number differs between systems. Mass is thickness\n"
         "times density, never the weight printed in a gauge table.\n"
         "With a plate, ranks sheets to begin its planned or forged map with: by the least work\n"
         "that the metal takes, an estimate; possible ones first. Blanks carry the profile's\n"
         "losses and trim; rectangles are counted as shears cut them, no saw cut between.\n"
         "work: over the first row's; parts: thinnest and thickest place over the sheet's\n"
         "thickness; stretches: lengths on the plate over those in the blank, least and most.\n"
         "Metal drawn out far hardens and cracks unless it is annealed on the way.",
     .examples = {"stock", "stock --near \"1.6 mm\"", "stock --system swg --units inch",
                  "stock --system awg --material copper --json", "stock --fittings",
                  "stock profiles/breastplate.yaml",
                  "stock profiles/breastplate.yaml --sheet \"1000 mm x 500 mm\" --all"}},
    {.name = "help",
     .operands = "[COMMAND | profile | harness-file | rules-file]",
     .least = 0,
     .most = 1,
     .run = tw_cmd_help,
     .summary = "what the program does, one of its commands, or the keys of a profile",
     .about =
         "Prints the same as --help; \"help profile\" every key of a plate profile, what it takes\n"
         "and what it means, \"help harness-file\" and \"help rules-file\" those of the other "
         "files.",
     .examples = {"help", "help weigh", "help profile", "help harness-file"}},
    {.name = "manual",
     .operands = "[NAME]",
     .least = 0,
     .most = 1,
     .options = manual_options,
     .run = tw_cmd_manual,
     .summary = "manual pages and completion scripts",
     .hidden = true,
     .about = "Used when the program is built and packaged.",
     .examples = {"manual --man", "manual --man weigh", "manual --completion bash"}},
    {0}};

const tw_command *tw_cli_command(size_t n)
{
    const tw_command *const lists[] = {plate_commands, tw_plan_commands, tw_draw_commands,
                                       other_commands};

    for (size_t k = 0; k < sizeof lists / sizeof *lists; k++) {
        for (const tw_command *row = lists[k]; row->name; row++) {
            if (n-- == 0)
                return row;
        }
    }
    return NULL;
}

const tw_command *tw_cli_command_find(const char *name)
{
    const tw_command *row;

    for (size_t n = 0; (row = tw_cli_command(n)); n++) {
        if (strcmp(row->name, name) == 0)
            return row;
    }
    return NULL;
}
