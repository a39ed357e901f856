/*
 * commands.c: the one table of commands. Parser, --help, manual page and completion walk these
 * rows; tests fail when a row has no help or a command no example.
 */
#include "cli_plan.h"
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
const char *const tw_paper_choices[] = {"a4", "letter", "a3", "tabloid", "legal", "a2", "a1", NULL};
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
    TW_CHOICE_ROWS,
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
     .choices = tw_paper_choices,
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
    const tw_command *const lists[] = {tw_weigh_commands, tw_plan_commands, tw_draw_commands,
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
