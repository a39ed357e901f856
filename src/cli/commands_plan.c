/* commands_plan.c: rows of the commands that plan work: a map, a blank, steps, a gauge card. */
#include "command_rows.h"

static const char *const stage_choices[] = {"hammer", "finish", NULL};

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
     .help = "also print the mass by thickness and grade; with --csv only that; with -o draw "
             "that, not the map"},
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
     .choices = tw_wanted_choices,
     .help = "of readings: what is wanted, forged or plan (default: the profile's plan, if any)"},
    TW_PICTURE_ROWS("the planned map, or the work by its readings"),
    TW_HATCH_ROW,
    TW_JSON_ROW,
    TW_CSV_ROW,
    {0}};

static const tw_option blank_options[] = {
    TW_WANTED_ROW('m'),
    TW_STOCK_ROW("sheet to cut it from"),
    TW_LIMIT_ROWS,
    {.name = "at",
     .kind = TW_OPTION_NAMES,
     .target = TW_AT(at),
     .argument = "POINT",
     .help = "where a point of the plate lies on the blank: \"[120 mm, 200 mm]\"; may be repeated"},
    {.name = "from-blank",
     .kind = TW_OPTION_NAMES,
     .target = TW_AT(from_blank),
     .argument = "POINT",
     .help = "where a point of the blank lies on the plate; may be repeated"},
    {.name = "nodes",
     .kind = TW_OPTION_COUNT,
     .target = TW_AT(nodes),
     .argument = "N",
     .low = TW_MESH_NODES_MIN,
     .high = TW_MESH_NODES_MAX,
     .help = "of the mesh it is laid out with (default 5000)"},
    TW_PAPER_ROWS("the blank at 1:1 as .pdf or .svg, or a picture of it as .png"),
    {.name = "paper",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(page),
     .argument = "PAPER",
     .choices = tw_paper_choices,
     .help =
         "divide the PDF among pages that overlap: a4, letter, a3, tabloid, legal, a2, a1, \"roll "
         "610 mm\" (default: one, a page as large as it takes)"},
    {.name = "steps",
     .target = TW_AT(steps),
     .help = "draw on it where each step of thinning begins, as \"steps\" divides them"},
    {.name = "points",
     .letter = 'p',
     .kind = TW_OPTION_COUNT,
     .target = TW_AT(points),
     .argument = "N",
     .low = 1,
     .high = TW_CARD_POINTS_MAX,
     .help = "draw on it N points to gauge, as \"card\" chooses them"},
    TW_JSON_ROW,
    {.name = "csv",
     .target = TW_AT(csv),
     .help = "print the lines to cut along as comma-separated rows, x and y in mm"},
    {0}};

static const char *const worked_choices[] = {"flat", "raised", NULL};

static const tw_option steps_options[] = {
    TW_WANTED_ROW('m'),
    TW_STOCK_ROW("sheet to begin with"),
    {.name = "step",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(step),
     .argument = "THICKNESS",
     .help =
         "thickness of a step (default: a whole number of 0.05 mm, at most 6 steps): \"0.3 mm\""},
    {.name = "worked",
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(worked),
     .argument = "HOW",
     .choices = worked_choices,
     .help = "flat or raised: count from flat sheet, or from sheet as raising leaves it (default: "
             "the profile's worked, else flat)"},
    TW_PICTURE_ROWS("the steps on the plate and on its blank"),
    TW_HATCH_ROW,
    TW_JSON_ROW,
    TW_CSV_ROW,
    {0}};

static const tw_option card_options[] = {
    TW_WANTED_ROW('m'),
    TW_STOCK_ROW("sheet that the work begins with"),
    {.name = "points",
     .letter = 'p',
     .kind = TW_OPTION_COUNT,
     .target = TW_AT(points),
     .argument = "N",
     .low = 1,
     .high = TW_CARD_POINTS_MAX,
     .help = "how many (default 12): zones first, then the thinnest place, then for the mass"},
    {.name = "window",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(window),
     .argument = "THICKNESS",
     .help = "how far off what is wanted may be left (default \"0.1 mm\")"},
    {.name = "reach",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(reach),
     .argument = "LENGTH",
     .help = "how far in from the edge the instrument reaches (default: anywhere): \"60 mm\""},
    TW_PAPER_ROWS("the card to print on A4 and fill in, as .pdf, .svg or .png (its first page)"),
    TW_JSON_ROW,
    {.name = "csv",
     .target = TW_AT(csv),
     .help = "print a table of readings whose thicknesses are left to fill in"},
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
    {.name = "blank",
     .operands = "PLATE.yaml",
     .least = 1,
     .most = 1,
     .options = blank_options,
     .more = tw_model_options,
     .run = tw_cmd_blank,
     .summary = "the flat blank to cut: size, weight, where it stretches, drawn at 1:1",
     .about =
         "Lays the plate out flat so that every place has the metal that its thickness takes, "
         "with\n"
         "what scale, polish and trim take off on the way (losses in the profile). Says what it\n"
         "weighs as cut, where metal has to be gathered or drawn out beyond what a hammer does, "
         "and\n"
         "which sheet would avoid that. Points are found both ways; the drawing is 1:1.\n"
         "With --paper it is divided among pages that a printer takes: they overlap 10 mm, marks\n"
         "show where they meet, an overview comes first, every page has bars to hold a ruler to.\n"
         "It is an estimate of least work: cut it in card first. Cut sheet is sharp: wear gloves.\n"
         "Thickness here is bookkeeping, not a protection rating.",
     .examples =
         {"blank profiles/breastplate.yaml --stock \"2 mm\"",
          "blank profiles/breastplate.yaml --stock \"14 swg\" -o blank.pdf",
          "blank profiles/cuirass/tasset.yaml --stock \"2 mm\" --paper a4 --points 8 -o tasset.pdf",
          "blank profiles/breastplate.yaml --at \"[0 mm, 285 mm]\" --json",
          "blank profiles/skull.yaml --csv"}},
    {.name = "steps",
     .operands = "PLATE.yaml",
     .least = 1,
     .most = 1,
     .options = steps_options,
     .more = tw_model_options,
     .run = tw_cmd_steps,
     .summary = "the courses in which a sheet is thinned to the map: where, how far, what it moves",
     .about =
         "Divides the thinning from the sheet to the wanted map into courses, from the strike\n"
         "zone outward. A course takes everything outside its line down to one thickness by\n"
         "gauge, or to what is wanted there. A hammer takes no metal off: grams are told as\n"
         "moved. What has to be gathered, and what scale, polish and trim take, is told apart.\n"
         "An estimate of least work. Drawing out hardens metal until it cracks: anneal between\n"
         "steps, work hot metal where air moves, and retire a plate that cracks.",
     .examples = {"steps profiles/breastplate.yaml --stock \"2 mm\"",
                  "steps profiles/breastplate.yaml --stock \"14 swg\" --step \"0.3 mm\" --json",
                  "steps profiles/knee.yaml --worked raised --units inch",
                  "steps profiles/skull.yaml --csv"}},
    {.name = "card",
     .operands = "PLATE.yaml",
     .least = 1,
     .most = 1,
     .options = card_options,
     .more = tw_model_options,
     .run = tw_cmd_card,
     .summary = "points to gauge on the way, what is wanted there, and within what window",
     .about = "Chooses points to gauge while a plate is hammered and finished: one to each strike\n"
              "zone, one where the plate ends thinnest, then those that make its mass surest.\n"
              "Places are whole numbers of a tape, 6 mm clear of edges and holes, off creases.\n"
              "A window is wanted ± --window, but never under what a strike zone or the plan\n"
              "requires. Hammered is finished and what the profile's losses say polish takes off.\n"
              "With --csv, prints a table to fill in beside the work, then to be read by\n"
              "\"plan --readings\".\n"
              "Cut edges are sharp; metal that is drawn far hardens and cracks: anneal it.\n"
              "Thickness here is bookkeeping, not a protection rating.",
     .examples = {"card profiles/breastplate.yaml",
                  "card profiles/breastplate.yaml --points 20 --reach \"60 mm\" --json",
                  "card profiles/knee.yaml --units inch", "card profiles/skull.yaml --csv"}},
    {0}};
