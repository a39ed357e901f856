/* commands_plan.c: rows of the commands that plan work: a map, a blank, steps, a gauge card. */
#include "command_rows.h"

static const char *const stage_choices[] = {"hammer", "finish", NULL};
static const char *const goal_choices[] = {"forged", "plan", NULL};

static const tw_option plan_options[] = {
    {.name = "weight",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(weight),
     .argument = "WEIGHT",
     .help = "what the plate is to weigh, or with a grade to weigh at most: \"2.2 kg\""},
    {.name = "by",
     .letter = 'b',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(by),
     .argument = "NAME",
     .help = "what a weight changes: strike.NAME, strike.all, edges.NAME, edges.all, hold, band, "
             "sheet (default with a grade: strike.all)"},
    {.name = "grade",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(grade),
     .argument = "GRADE",
     .help = "plan the lightest map nowhere steeper than this: \"1 mm in 60 mm\""},
    {.name = "within",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(within),
     .argument = "LENGTH",
     .help = "in place of a grade: from the thickest zone to the thinnest edge over this length"},
    {.name = "least",
     .letter = 'l',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(least),
     .argument = "THICKNESS",
     .help = "least thickness everywhere (default: the thinnest asked for anywhere)"},
    {.name = "round",
     .letter = 'r',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(round),
     .argument = "STEP",
     .help = "what the gauge reads (default 0.05 mm; 1 mm for hold and band)"},
    {.name = "trade-off",
     .target = TW_AT(trade_off),
     .help = "also print the mass by thickness and grade; with --csv only that"},
    {.name = "cells",
     .letter = 'c',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(cells),
     .argument = "FILE.csv",
     .help = "write every cell of the planned map"},
    {.name = "readings",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(readings),
     .argument = "FILE.csv",
     .help = "hold readings of the work against what is wanted: grams to move, to trim, to grind"},
    {.name = "stage",
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(stage),
     .argument = "STAGE",
     .choices = stage_choices,
     .help = "of readings: hammer (default: metal can still be moved) or finish (ground down)"},
    {.name = "window",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(window),
     .argument = "THICKNESS",
     .help = "of readings: how far off what is wanted may be left (default 0.10 mm)"},
    {.name = "weighs",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(weighs),
     .argument = "WEIGHT",
     .help = "of readings: what the plate weighs now, all that stands over its outline with it"},
    {.name = "log",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(log),
     .argument = "FILE.csv",
     .help = "add these readings to the log of the work and print it; without readings only print"},
    {.name = "map",
     .letter = 'm',
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(wanted),
     .argument = "MAP",
     .choices = goal_choices,
     .help = "of readings: what is wanted, forged or plan (default: the profile's plan, if any)"},
    TW_PICTURE_ROWS("the planned map, or the work by its readings"),
    TW_JSON_ROW,
    TW_CSV_ROW,
    {0}};

const tw_command tw_plan_commands[] = {
    {.name = "plan",
     .operands = "PLATE.yaml",
     .least = 1,
     .most = 1,
     .options = plan_options,
     .more = tw_model_options,
     .run = tw_cmd_plan,
     .summary = "thicknesses that reach a weight; the lightest map under a steepest grade",
     .about =
         "With --weight and --by, changes one quantity of the profile until the plate weighs "
         "that.\n"
         "With --grade or --within, plans the lightest map that is as thick as the profile's\n"
         "strike zones and edges ask for and nowhere steeper; with --weight too, says the\n"
         "greatest thickness that fits, and what more weight or a gentler grade would do.\n"
         "What is not typed is taken from the profile's plan: {grade, least, weight, by};\n"
         "its zones and edges stand in place of the forged map's thicknesses.\n"
         "Numbers are rounded to what a gauge reads, and the mass is of the rounded ones.\n"
         "With --readings, holds readings of the work (a gauge card filled in, or any table of\n"
         "across, up, thickness) against that map, with the profile's losses: what to do at each\n"
         "point, and grams to move, to trim and to grind apart, since a hammer takes none off.\n"
         "All between the points is an estimate. Metal drawn far hardens and cracks: anneal it;\n"
         "cut sheet is sharp; grind and heat where air moves.\n"
         "Thickness here is bookkeeping, not a protection rating.",
     .examples = {"plan profiles/breastplate.yaml --weight \"2.2 kg\" --by edges.all",
                  "plan profiles/breastplate.yaml --weight \"2.2 kg\" --by strike.chest --json",
                  "plan profiles/breastplate.yaml --least \"0.9 mm\" --grade \"1 mm in 60 mm\"",
                  "plan profiles/breastplate.yaml --grade \"1 mm in 60 mm\" --weight \"2.1 kg\" "
                  "--trade-off",
                  "plan profiles/breastplate.yaml --readings profiles/breastplate-work.csv",
                  "plan profiles/breastplate.yaml --readings profiles/breastplate-work.csv --stage "
                  "finish --weighs \"1.9 kg\" --json"}},
    {0}};
