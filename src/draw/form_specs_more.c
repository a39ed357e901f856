/*
 * form_specs_more.c: what stands on the cards of plates by points, by area, and of gauge readings. Keys stand in
 * the order of src/profile/templates.c and template_readings.c, which a test holds them to. How to measure:
 * common practice, no source; the doubled echo of thin metal is told by makers of ultrasonic gauges.
 */
#include "form_card.h"

#define END_BOX       \
    {                 \
        .label = NULL \
    }
#define END_PART                  \
    {                             \
        .kind = TW_BENCH_PART_END \
    }

static const tw_bench_box head[] = {
    {"plate", "plate", 28, NULL},
    {"kind", "kind", 24, NULL},
    {"material", "metal", 24, NULL},
    {"face", "face measured (tick one)", 58, "outside|middle|inside"},
    {"ruler", "unit (tick one)", 40, "mm|cm|in"},
    END_BOX};
static const tw_bench_part head_parts[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = head, .width = 100}, END_PART};

/* ---- readings -------------------------------------------------------------------------------------------- */

static const tw_bench_box instrument[] = {
    {"name", "instrument", 36, NULL},
    {"kind", "its kind (tick one)", 82, "caliper|micrometer|ultrasonic"},
    {"resolution", "step of its display", 26, NULL},
    {"foot", "⌀ of its foot", 24, NULL},
    END_BOX};
static const tw_bench_box echo[] = {{"set velocity", "set velocity", 22, NULL},
                                    {NULL, "or tied at this spot", 30, NULL},
                                    {"true", "by micrometer", 24, NULL},
                                    {"reads", "by the gauge", 22, NULL},
                                    {"seen from", "places seen from", 46, "outside|inside"},
                                    {"surface", "dents, pits ±", 22, NULL},
                                    END_BOX};
static const tw_bench_box reading[] = {
    {"name", "point", 18, NULL},       {"across", "across, or from crown", 18, NULL},
    {"up", "up, or toward", 18, NULL}, {"thickness", "thickness, mm", 18, NULL},
    {"remark", "remark", 18, NULL},    END_BOX};
static const tw_bench_box reading_foot[] = {
    {"object", "object", 40, NULL}, {"measured by", "measured by", 40, NULL},
    {"date", "date", 26, NULL},     {"reads", "the plate alone, on the scale", 42, NULL},
    {"step", "its step", 20, NULL}, END_BOX};
static const char reading_words[] =
    "Mark the points on card or on tape laid over the plate. Nothing is written on an object that "
    "is not yours: "
    "its owner's or curator's rules come first.\n"
    "Near an edge: come in 10 mm, past burr and roll, which read thick, and chamfer, which reads "
    "thin. Calipers reach no farther in than their jaws.\n"
    "Ultrasonic: through bare metal, probe rocked to its least reading. Let a doubled echo not "
    "fool you: a thin "
    "place that reads twice its neighbours is gauged again, by micrometer where one reaches.\n"
    "Read three times where it matters; a dent can be half a millimetre deep.";
static const tw_bench_part instrument_parts[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = instrument, .width = 100},
    {.kind = TW_BENCH_PART_BOXES, .boxes = echo, .below = true},
    END_PART};
static const tw_bench_part reading_how[] = {
    {.kind = TW_BENCH_PART_SKETCH,
     .sketch = tw_sketch_readings,
     .height = 36,
     .width = 74,
     .grows = true},
    {.kind = TW_BENCH_PART_WORDS, .words = reading_words, .width = 108},
    END_PART};
static const tw_bench_part reading_tables[] = {{.kind = TW_BENCH_PART_TABLE,
                                                .boxes = reading,
                                                .rows = 15,
                                                .grows = true,
                                                .numbered = true,
                                                .width = 90},
                                               {.kind = TW_BENCH_PART_TABLE,
                                                .boxes = reading,
                                                .rows = 15,
                                                .grows = true,
                                                .numbered = true,
                                                .goes_on = true,
                                                .width = 90},
                                               END_PART};
static const tw_bench_part reading_foot_parts[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = reading_foot, .width = 100}, END_PART};
static const tw_bench_band reading_bands[] = {{head_parts, 0},         {instrument_parts, 0},
                                              {reading_how, 40},       {reading_tables, 10},
                                              {reading_foot_parts, 0}, {NULL, 0}};
const tw_bench_spec tw_bench_readings = {"readings", "Bench card: gauge readings",
                                         "Type the boxes into the profile that “taperwright new "
                                         "readings” writes; the rows as they are into its CSV.",
                                         reading_bands};

/* ---- area --------------------------------------------------------------------------------------------------- */

static const tw_bench_box plates[] = {{"plate", "plate", 27, NULL},
                                      {"material", "metal", 22, NULL},
                                      {"value", "area, where it is known", 19, NULL},
                                      {"uncertainty", "good to ±", 18, NULL},
                                      {"weight", "paper, trimmed: weight", 19, NULL},
                                      {"sheet", "paper, g/m²", 18, NULL},
                                      {"step", "step of that scale", 18, NULL},
                                      {"reads", "plate alone: weight", 20, NULL},
                                      {"step", "step of that scale", 18, NULL},
                                      END_BOX};
static const tw_bench_box whole[] = {{NULL, "whole sheets", 20, NULL},
                                     {NULL, "one is wide", 24, NULL},
                                     {NULL, "and long", 24, NULL},
                                     {NULL, "together they weigh", 32, NULL},
                                     {NULL, "g/m² = g ÷ (sheets × m wide × m long)", 62, NULL},
                                     END_BOX};
static const tw_bench_box area_notes[] = {{NULL, "date", 30, NULL},
                                          {NULL, "measured by", 46, NULL},
                                          {NULL, "straps, lining, buckles off?", 44, "yes|no"},
                                          {NULL, "remark", 52, NULL},
                                          END_BOX};
static const char area_words[] =
    "1 Wrap paper over the outside in pieces that lie flat, taped "
    "edge to edge, never one over another, with little tape: it is weighed too. Narrow "
    "gores over a bowl.\n"
    "2 Trim it to the plate's edge; where an edge is rolled, to where "
    "the roll begins. Cut out the holes that "
    "count.\n"
    "3 Weigh all of the paper with a kitchen scale that shows 0.1 g, "
    "or use heavy paper: 160 g/m² halves what the "
    "scale's step leaves in doubt.";
static const char whole_words[] =
    "The paper's g/m²: what the pack says is good to some 4 %. Better: weigh ten whole sheets of "
    "it together. "
    "A sheet of A4 is 0.210 m × 0.297 m, of Letter 0.216 m × 0.279 m: 80 g/m² are 5.0 g and 4.8 g "
    "a sheet.\n"
    "Weigh the plate alone, straps and lining off. Give either the area or the paper.";
static const tw_bench_part area_sketches[] = {{.kind = TW_BENCH_PART_SKETCH,
                                               .sketch = tw_sketch_paper,
                                               .height = 52,
                                               .width = 100,
                                               .grows = true},
                                              END_PART};
static const tw_bench_part area_how[] = {
    {.kind = TW_BENCH_PART_WORDS, .words = area_words, .width = 90},
    {.kind = TW_BENCH_PART_WORDS, .words = whole_words, .width = 90},
    END_PART};
static const tw_bench_part whole_parts[] = {{.kind = TW_BENCH_PART_BOXES,
                                             .title = "What a square metre of the paper weighs",
                                             .boxes = whole,
                                             .width = 100},
                                            END_PART};
static const tw_bench_part plates_parts[] = {{.kind = TW_BENCH_PART_TABLE,
                                              .title = "Plates, one a row; a profile each",
                                              .boxes = plates,
                                              .rows = 8,
                                              .grows = true,
                                              .width = 100},
                                             END_PART};
static const tw_bench_part area_notes_parts[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = area_notes, .width = 100}, END_PART};
static const tw_bench_band area_bands[] = {{area_sketches, 100},  {area_how, 0},
                                           {whole_parts, 0},      {plates_parts, 14},
                                           {area_notes_parts, 0}, {NULL, 0}};
const tw_bench_spec tw_bench_area = {
    "area", "Bench card: plates by area and weight",
    "No drawing needed: area and weight give a mean thickness. Type "
    "a row, in this order, into the profile that "
    "“taperwright new area” writes. Every figure with its unit.",
    area_bands};

/* ---- points ------------------------------------------------------------------------------------------------- */

static const tw_bench_box point[] = {
    {"x", "x", 20, NULL}, {"y", "y", 18, NULL}, {"z", "z", 18, NULL}, END_BOX};
static const tw_bench_box origin[] = {
    {"origin", "tape begins at: x", 28, NULL},
    {"origin", "y", 18, NULL},
    {"origin", "z", 18, NULL},
    {"sheet", "even sheet: mm, or 16 swg", 42, NULL},
    {"law", "from strike zone to edge it thins", 56, "straight|eased|held"},
    END_BOX};
static const tw_bench_box strikes[] = {
    {"name", "strike zone", 26, NULL},    {"at", "middle across", 18, NULL},
    {"at", "middle up", 18, NULL},        {"radius", "radius", 18, NULL},
    {"thickness", "thickness", 20, NULL}, END_BOX};
static const tw_bench_box edges[] = {
    {"edge", "edge", 26, NULL}, {"thickness", "thickness at it", 24, NULL}, END_BOX};
static const tw_bench_box last[] = {{"reads", "plate alone, on the scale", 40, NULL},
                                    {"step", "its step", 20, NULL},
                                    {"date", "date", 30, NULL},
                                    {NULL, "measured by, with", 60, NULL},
                                    END_BOX};
static const char points_words[] = "For a plate led over with a measuring arm, or with ruler and "
                                   "straightedge on a squared bench: x to the right, "
                                   "y up the plate, z over the bench.\n"
                                   "Points of equal y follow each other and make a row. Rows may "
                                   "have different numbers of points; every 20 to "
                                   "30 mm by hand, closer where it bends.\n"
                                   "Begin and end a row at the plate's edge, where a roll begins. "
                                   "Wedges under the plate until it does not rock, "
                                   "and never move it between rows.";
static const tw_bench_part points_sketches[] = {
    {.kind = TW_BENCH_PART_SKETCH,
     .sketch = tw_sketch_points,
     .height = 50,
     .width = 90,
     .grows = true},
    {.kind = TW_BENCH_PART_WORDS, .words = points_words, .width = 90},
    END_PART};
static const tw_bench_part points_tables[] = {{.kind = TW_BENCH_PART_TABLE,
                                               .boxes = point,
                                               .rows = 9,
                                               .grows = true,
                                               .numbered = true,
                                               .width = 56},
                                              {.kind = TW_BENCH_PART_TABLE,
                                               .boxes = point,
                                               .rows = 9,
                                               .grows = true,
                                               .numbered = true,
                                               .goes_on = true,
                                               .width = 56},
                                              {.kind = TW_BENCH_PART_TABLE,
                                               .boxes = point,
                                               .rows = 9,
                                               .grows = true,
                                               .numbered = true,
                                               .goes_on = true,
                                               .width = 56},
                                              END_PART};
static const tw_bench_part origin_parts[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = origin, .width = 100}, END_PART};
static const tw_bench_part points_thickness[] = {
    {.kind = TW_BENCH_PART_TABLE, .boxes = strikes, .rows = 2, .width = 100},
    {.kind = TW_BENCH_PART_TABLE, .boxes = edges, .rows = 2, .width = 60},
    END_PART};
static const tw_bench_part last_parts[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = last, .width = 100}, END_PART};
static const tw_bench_band points_bands[] = {
    {head_parts, 0},       {points_sketches, 100}, {points_tables, 8}, {origin_parts, 0},
    {points_thickness, 0}, {last_parts, 0},        {NULL, 0}};
static const char points_line[] = "Type the boxes, in this order, into the profile that "
                                  "“taperwright new points” writes. Places in the unit "
                                  "ticked, all else with its own.";
const tw_bench_spec tw_bench_points = {"points", "Bench card: a plate by points in space",
                                       points_line, points_bands};
