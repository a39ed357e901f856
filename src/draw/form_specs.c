/*
 * form_specs.c: what stands on the cards of plates measured in sections, of bowls and of flat plates. Keys stand
 * in the order of src/profile/templates.c, which a test holds them to. How to measure: common practice, no
 * source.
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
#define FACE                                                            \
    {                                                                   \
        "face", "face measured (tick one)", 58, "outside|middle|inside" \
    }
#define RULER                                                       \
    {                                                               \
        "ruler", "unit of all positions (tick one)", 44, "mm|cm|in" \
    }
#define SYMMETRIC                                     \
    {                                                 \
        "symmetric", "both sides alike", 38, "yes|no" \
    }

/* ---- common to several ------------------------------------------------------------------------------- */

static const tw_bench_box sheet_boxes[] = {
    {"sheet", "even sheet: mm, or 16 swg", 44, NULL},
    {"law", "from strike zone to edge it thins", 56, "straight|eased|held"},
    END_BOX};
static const tw_bench_box edge_boxes[] = {{"edge", "edge", 24, NULL},
                                          {"thickness", "thickness at it", 22, NULL},
                                          {"hold", "even so far in", 22, NULL},
                                          END_BOX};
static const tw_bench_box scale_boxes[] = {
    {"reads", "on the scale", 26, NULL}, {"step", "its step", 18, NULL}, END_BOX};
static const tw_bench_box date_boxes[] = {
    {"measured to", "tape good to ±", 22, NULL}, {"date", "date", 22, NULL}, END_BOX};
static const char zones_title[] = "Strike zones: thick where blows land";
static const char edges_title[] = "Thickness along edges";
static const char outline_title[] = "Outline: each edge as points by tape, in order round the "
                                    "plate; an edge begins where the one before it "
                                    "ends";
static const tw_bench_box outline_boxes[] = {{"edge", "edge, its name", 24, NULL},
                                             {"points", "across", 18, NULL},
                                             {"points", "up", 18, NULL},
                                             {"points", "across", 18, NULL},
                                             {"points", "up", 18, NULL},
                                             {"points", "across", 18, NULL},
                                             {"points", "up", 18, NULL},
                                             {"points", "across", 18, NULL},
                                             {"points", "up", 18, NULL},
                                             {"smooth", "smooth", 13, ""},
                                             END_BOX};
static const tw_bench_part outline_parts[] = {{.kind = TW_BENCH_PART_TABLE,
                                               .title = outline_title,
                                               .boxes = outline_boxes,
                                               .rows = 4,
                                               .grows = true,
                                               .width = 100},
                                              END_PART};

/* ---- loft ---------------------------------------------------------------------------------------------- */

static const tw_bench_box loft_head[] = {{"plate", "plate", 36, NULL},
                                         {"kind", "kind", 34, NULL},
                                         {"material", "metal", 32, NULL},
                                         {"worn", "worn", 78, "front|back|left|right"},
                                         END_BOX};
static const tw_bench_box loft_ticks[] = {FACE, RULER, SYMMETRIC, END_BOX};
static const tw_bench_box stations[] = {
    {"ruler", "ruler", 22, NULL},       {"width", "width", 20, NULL},
    {"centre", "centre", 20, NULL},     {"sides", "sides", 20, NULL},
    {"tape", "tape over it", 20, NULL}, END_BOX};
static const tw_bench_box keel_boxes[] = {
    {"stands", "keel: stands out by", 30, NULL}, {"width", "its width", 26, NULL}, END_BOX};
static const tw_bench_box strikes[] = {
    {"name", "name", 24, NULL},           {"at", "middle across", 18, NULL},
    {"at", "middle up", 18, NULL},        {"radius", "radius", 18, NULL},
    {"thickness", "thickness", 20, NULL}, END_BOX};
static const tw_bench_box turned_boxes[] = {{"edge", "turned edge", 20, NULL},
                                            {"roll", "roll ⌀", 18, NULL},
                                            {"wire", "wire ⌀", 18, NULL},
                                            END_BOX};
static const tw_bench_box hole_boxes[] = {{"at", "hole across", 18, NULL},
                                          {"at", "hole up", 18, NULL},
                                          {"radius", "radius", 18, NULL},
                                          END_BOX};
static const char loft_words[] =
    "Lay the plate outside up on a flat bench, wedges or bags under its sides until it does not "
    "rock.\n"
    "Ruler on the bench along its side, zero at station 1. Stations lie square to it.\n"
    "Centre and sides are heights over the bench: straightedge level across, read at eye level.\n"
    "Tape runs on the outside, along the surface, where the section is no plain arc.\n"
    "Measure to where a roll begins, not round it.";

static const tw_bench_part loft_head_parts[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = loft_head, .width = 100}, END_PART};
static const tw_bench_part loft_tick_parts[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = loft_ticks, .width = 100}, END_PART};
static const tw_bench_part loft_sketches[] = {{.kind = TW_BENCH_PART_SKETCH,
                                               .sketch = tw_sketch_loft,
                                               .height = 39,
                                               .width = 96,
                                               .grows = true},
                                              {.kind = TW_BENCH_PART_SKETCH,
                                               .sketch = tw_sketch_section,
                                               .height = 39,
                                               .width = 84,
                                               .grows = true},
                                              END_PART};
static const tw_bench_part loft_stations[] = {
    {.kind = TW_BENCH_PART_TABLE,
     .title = "Stations, from the ruler's zero up",
     .boxes = stations,
     .rows = 5,
     .grows = true,
     .numbered = true,
     .width = 103},
    {.kind = TW_BENCH_PART_WORDS, .words = loft_words, .width = 76},
    {.kind = TW_BENCH_PART_BOXES, .boxes = keel_boxes, .below = true},
    END_PART};
static const tw_bench_part loft_thickness[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = sheet_boxes, .width = 104},
    {.kind = TW_BENCH_PART_TABLE,
     .title = zones_title,
     .boxes = strikes,
     .rows = 2,
     .grows = true,
     .below = true},
    {.kind = TW_BENCH_PART_TABLE,
     .title = edges_title,
     .boxes = edge_boxes,
     .rows = 3,
     .grows = true,
     .width = 75},
    END_PART};
static const tw_bench_part loft_rest[] = {
    {.kind = TW_BENCH_PART_TABLE, .boxes = turned_boxes, .rows = 2, .grows = true, .width = 62},
    {.kind = TW_BENCH_PART_TABLE, .boxes = hole_boxes, .rows = 2, .grows = true, .width = 56},
    {.kind = TW_BENCH_PART_BOXES, .boxes = scale_boxes, .width = 60},
    {.kind = TW_BENCH_PART_BOXES, .boxes = date_boxes, .below = true},
    END_PART};
static const tw_bench_band loft_bands[] = {
    {loft_head_parts, 0}, {loft_tick_parts, 0}, {loft_sketches, 130}, {loft_stations, 5},
    {outline_parts, 4},   {loft_thickness, 4},  {loft_rest, 1},       {NULL, 0}};
static const char loft_line[] =
    "Type the boxes, in this order, into the profile of “taperwright new loft”. Across: from the "
    "centre line, + to the right as you face the outside; up: along it from station 1. Stations "
    "and places in the unit ticked, all else with its own; gauge readings: card “new readings”.";
const tw_bench_spec tw_bench_loft = {"loft", "Bench card: a plate measured in sections", loft_line,
                                     loft_bands};

/* ---- bowl ---------------------------------------------------------------------------------------------- */

static const tw_bench_box bowl_head[] = {{"plate", "plate", 28, NULL},
                                         {"kind", "kind", 24, NULL},
                                         {"material", "metal", 24, NULL},
                                         FACE,
                                         {"ruler", "unit (tick one)", 40, "mm|cm|in"},
                                         END_BOX};
static const tw_bench_box bowl_sizes[] = {
    {NULL, "rim to rim, across", 26, NULL},
    {"across", "half of it", 20, NULL},
    {NULL, "rim to rim, up", 26, NULL},
    {"up", "half of it", 20, NULL},
    {"depth", "depth", 20, NULL},
    {"profile", "shape from the side", 66, "round|full|cone|parabola"},
    END_BOX};
static const tw_bench_box bowl_over[] = {{"across", "tape over the crown, across", 40, NULL},
                                         {"up", "tape over the crown, up", 40, NULL},
                                         END_BOX};
static const tw_bench_box bowl_strikes[] = {{"name", "name", 26, NULL},
                                            {"from crown", "middle from crown", 18, NULL},
                                            {"toward", "toward, degrees", 18, NULL},
                                            {"radius", "radius", 18, NULL},
                                            {"thickness", "thickness", 20, NULL},
                                            END_BOX};
static const char bowl_words[] =
    "The crown: paper strips from rim to rim, across and up, each folded to its half; where the "
    "folds meet is the "
    "crown. Lay them again with the bowl turned round: the mark must not wander.\n"
    "Mark “up” on the rim. A place is so far from the crown by tape, straight along the surface, "
    "toward a bearing: "
    "0 is up, then clockwise as you look at the outside.";
static const char depth_words[] =
    "Depth: rim down on the bench, straightedge level over the crown, ruler square to the bench, "
    "read at eye level. "
    "Or rim up: straightedge across the rim, ruler down to the bottom; then the face measured is "
    "the inside.\n"
    "It must not rock: wedges under the rim. Measure to where a roll begins.\n"
    "Shape: round is part of a ball, full half of an egg. Or give the tape over the crown in place "
    "of the shape.";

static const tw_bench_part bowl_head_parts[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = bowl_head, .width = 100}, END_PART};
static const tw_bench_part bowl_sketches[] = {{.kind = TW_BENCH_PART_SKETCH,
                                               .sketch = tw_sketch_bowl,
                                               .height = 60,
                                               .width = 90,
                                               .grows = true},
                                              {.kind = TW_BENCH_PART_SKETCH,
                                               .sketch = tw_sketch_depth,
                                               .height = 60,
                                               .width = 90,
                                               .grows = true},
                                              END_PART};
static const tw_bench_part bowl_how[] = {
    {.kind = TW_BENCH_PART_WORDS, .words = bowl_words, .width = 90},
    {.kind = TW_BENCH_PART_WORDS, .words = depth_words, .width = 90},
    END_PART};
static const tw_bench_part bowl_size_parts[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = bowl_sizes, .width = 100},
    {.kind = TW_BENCH_PART_BOXES, .boxes = bowl_over, .below = true},
    END_PART};
static const tw_bench_part bowl_thickness[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = sheet_boxes, .width = 106},
    {.kind = TW_BENCH_PART_TABLE,
     .title = zones_title,
     .boxes = bowl_strikes,
     .rows = 4,
     .grows = true,
     .below = true},
    {.kind = TW_BENCH_PART_TABLE,
     .title = edges_title,
     .boxes = edge_boxes,
     .rows = 2,
     .grows = true,
     .width = 74},
    {.kind = TW_BENCH_PART_BOXES, .boxes = scale_boxes, .below = true},
    {.kind = TW_BENCH_PART_BOXES, .boxes = date_boxes, .below = true},
    END_PART};
static const tw_bench_band bowl_bands[] = {{bowl_head_parts, 0}, {bowl_sketches, 200},
                                           {bowl_how, 0},        {bowl_size_parts, 0},
                                           {bowl_thickness, 4},  {NULL, 0}};
static const char bowl_line[] = "Skulls, couters, poleyns, shield bosses. Type the boxes, in this "
                                "order, into the profile that “taperwright new bowl” writes. Every "
                                "length with its unit; gauge readings: on the card “new readings”.";
const tw_bench_spec tw_bench_bowl = {"bowl", "Bench card: a bowl", bowl_line, bowl_bands};

/* ---- flat ------------------------------------------------------------------------------------------------- */

static const tw_bench_box shape_boxes[] = {
    {NULL, "shape of the outline (tick one)", 76, "ellipse|rectangle|edges"},
    {"at", "middle across", 22, NULL},
    {"at", "middle up", 22, NULL},
    {"across", "half its width", 24, NULL},
    {"up", "half its height", 24, NULL},
    END_BOX};
static const char flat_words[] = "Lay the plate on the bench, outside up. Draw a centre line on "
                                 "card under it or in chalk, and choose a point "
                                 "on it from which up is counted: its middle, or its lower end.\n"
                                 "Across is + to the right. Below that point up is minus.\n"
                                 "An ellipse or rectangle needs its half sizes alone; any other "
                                 "outline is given by its edges, below.\n"
                                 "Measure to where a roll begins, not over it.";
static const tw_bench_part flat_sketches[] = {
    {.kind = TW_BENCH_PART_SKETCH,
     .sketch = tw_sketch_flat,
     .height = 62,
     .width = 100,
     .grows = true},
    {.kind = TW_BENCH_PART_WORDS, .words = flat_words, .width = 80},
    END_PART};
static const tw_bench_part shape_parts[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = shape_boxes, .width = 100}, END_PART};
static const tw_bench_part flat_thickness[] = {
    {.kind = TW_BENCH_PART_BOXES, .boxes = sheet_boxes, .width = 104},
    {.kind = TW_BENCH_PART_TABLE,
     .title = zones_title,
     .boxes = strikes,
     .rows = 3,
     .grows = true,
     .below = true},
    {.kind = TW_BENCH_PART_TABLE,
     .title = edges_title,
     .boxes = edge_boxes,
     .rows = 3,
     .grows = true,
     .width = 75},
    END_PART};
static const tw_bench_part flat_rest[] = {
    {.kind = TW_BENCH_PART_TABLE, .boxes = hole_boxes, .rows = 3, .width = 60},
    {.kind = TW_BENCH_PART_BOXES, .boxes = scale_boxes, .width = 60},
    {.kind = TW_BENCH_PART_BOXES, .boxes = date_boxes, .below = true},
    END_PART};
static const tw_bench_band flat_bands[] = {
    {bowl_head_parts, 0}, {flat_sketches, 150}, {shape_parts, 0}, {outline_parts, 3},
    {flat_thickness, 3},  {flat_rest, 0},       {NULL, 0}};
static const char flat_line[] =
    "Lames before they are bent, besagews, splints. Type the boxes, in this order, into the "
    "profile that “taperwright new flat” writes. Places in the unit ticked, all else with its own; "
    "gauge readings: on the card “new readings”.";
const tw_bench_spec tw_bench_flat = {"flat", "Bench card: a flat plate", flat_line, flat_bands};
