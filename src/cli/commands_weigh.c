/* commands_weigh.c: rows of the commands that weigh what there is: plates, readings, harnesses, and beside sheet. */
#include "command_rows.h"

#include <stdint.h>

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
     .help = "a row for each of these: \"1.0 mm..2.0 mm/0.1 mm\", \"1/16 in..1/8 in/1/32 in\" or "
             "\"16 swg, "
             "1.2 mm\"; may be repeated, the last varies fastest"},
    {.name = "output",
     .letter = 'o',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(output),
     .argument = "FILE",
     .help = "write rows to a new FILE as they are done (default: print them)"},
    {.name = "resume",
     .letter = 'r',
     .target = TW_AT(resume),
     .help = "go on where FILE ends; its last row, and the first of every plate whose own file "
             "changed since, are made again and must come out the same"},
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

static const tw_option harness_options[] = {
    TW_CHOICE_ROWS, TW_PICTURE_ROWS("the grams as bars by part"), TW_JSON_ROW, TW_CSV_ROW, {0}};

const tw_command tw_weigh_commands[] = {
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
