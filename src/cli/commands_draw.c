/* commands_draw.c: rows of the commands that draw, and no more. */
#include "command_rows.h"

static const char *const lesson_choices[] = {"poster", "frames",   "moving",
                                             "guess",  "exercise", NULL};
static const char *const keep_choices[] = {"grams", "stock", "strike", NULL};

static const tw_option client_options[] = {
    TW_PAPER_ROWS("the sheet on one A4, as .pdf, .svg or .png"),
    TW_HATCH_ROW,
    {.name = "quick",
     .letter = 'q',
     .target = TW_AT(quick),
     .help = "leave out sheet as formed and ±, which take longest"},
    {.name = "against",
     .letter = 'a',
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(against),
     .argument = "SHEET",
     .choices = tw_reason_choices,
     .help =
         "the sheet drawn beside it (default: as formed, else own stock, else strike thickness)"},
    {.name = "records",
     .letter = 'r',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(records),
     .argument = "FILE.csv",
     .help = "records of your own instead of the shipped set"},
    {.name = "years",
     .letter = 'y',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(years),
     .argument = "FROM..TO",
     .help = "only records whose years meet these: 1450..1550, 1450.. or ..1550"},
    TW_UNITS_ROW,
    {0}};

static const tw_option series_options[] = {
    {.name = "as",
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(as),
     .argument = "WHAT",
     .choices = lesson_choices,
     .help = "poster (default), frames (a file each), moving (an animated PNG), guess (two pages: "
             "guess, "
             "then see), exercise (questions, answers on page 2)"},
    {.name = "keep",
     .letter = 'k',
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(keep),
     .argument = "WHAT",
     .choices = keep_choices,
     .help = "grams (default): every frame weighs the same; stock: from the profile's own sheet; "
             "strike: "
             "from sheet as thick as the thickest strike zone"},
    {.name = "frames",
     .letter = 'n',
     .kind = TW_OPTION_COUNT,
     .target = TW_AT(frames),
     .argument = "N",
     .low = TW_FRAMES_MIN,
     .high = TW_FRAMES_MAX,
     .help = "how many frames (default 6)"},
    TW_PICTURE_ROWS("it"),
    TW_HATCH_ROW,
    TW_UNITS_ROW,
    TW_JSON_ROW,
    {0}};

static const char *const of_choices[] = {"thickness", "difference", "spread", NULL};
static const char *const drawn_choices[] = {"sheet", "forged", "readings", "image", NULL};
_Static_assert(TW_OF_THICKNESS == 0 && TW_OF_DIFFERENCE == 1 && TW_OF_SPREAD == 2, "quantities");

static const tw_option view_options[] = {
    TW_PICTURE_ROWS("it"),
    TW_HATCH_ROW,
    {.name = "show",
     .kind = TW_OPTION_NAMES,
     .target = TW_AT(show),
     .argument = "VIEW",
     .help = "tape, front, solid, section, along or share; may be repeated (default: tape, solid, "
             "share, section)"},
    {.name = "map",
     .letter = 'm',
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(map),
     .argument = "MAP",
     .choices = drawn_choices,
     .help = "sheet, forged or readings (default: forged, else readings, else sheet)"},
    {.name = "of",
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(of),
     .argument = "QUANTITY",
     .choices = of_choices,
     .help = "thickness (default), difference (to the sheet beside it), spread (of readings)"},
    {.name = "against",
     .letter = 'a',
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(against),
     .argument = "SHEET",
     .choices = tw_reason_choices,
     .help = "sheet beside a forged map: strike-thickness, same-mass, own-stock or as-formed "
             "(default: own stock, else strike thickness)"},
    {.name = "line",
     .letter = 'l',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(line),
     .argument = "LINE",
     .help =
         "tape line of section and along: \"across at 200 mm\", \"up at 60 mm\", \"[0 mm, 40 mm] "
         "to [50 mm, 300 mm]\" (default: centre)"},
    {.name = "azimuth",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(azimuth),
     .argument = "DEG",
     .help = "where solid is seen from: degrees to the right of its front, under 0 to the left "
             "(default 35)"},
    {.name = "elevation",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(elevation),
     .argument = "DEG",
     .help = "and degrees above it, under 0 below (default 20)"},
    {.name = "exaggerate",
     .letter = 'x',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(exaggerate),
     .argument = "N",
     .help =
         "draw a section's thickness N times in its second drawing (default: so that it reads)"},
    TW_JSON_ROW,
    TW_CSV_ROW,
    {0}};

const tw_command tw_draw_commands[] = {
    {.name = "view",
     .operands = "PLATE.yaml",
     .least = 1,
     .most = 1,
     .options = view_options,
     .more = tw_model_options,
     .run = tw_cmd_view,
     .summary = "a plate in pictures: by tape, shaded, cut, along a line, by area",
     .about = "Draws views on one page, on one scale. A section is drawn twice: thickness\n"
              "true, and so many times thicker that it reads; both say which. Straight lines\n"
              "are straight in tape coordinates, as the tape lies; bare numbers in --line are\n"
              "in the profile's ruler. Without -o, prints thickness along the line and the\n"
              "shares of the face by thickness.",
     .examples = {"view profiles/breastplate.yaml -o views.png",
                  "view profiles/breastplate.yaml --show section --line \"across at 200 mm\" "
                  "-o section.pdf",
                  "view profiles/skull.yaml --show solid --azimuth -40 --elevation 25 -o skull.png",
                  "view profiles/breastplate.yaml --line \"[0, 40] to [120, 360]\"",
                  "view profiles/curators-breast.yaml --of spread --show tape -o spread.png"}},
    {.name = "client",
     .operands = "PLATE.yaml",
     .least = 1,
     .most = 1,
     .options = client_options,
     .more = tw_model_options,
     .run = tw_cmd_client,
     .summary = "one A4 that goes to a client with the piece",
     .about = "Says what the piece is, draws it forged beside sheet, tells the grams in words, "
              "sets it among\n"
              "records of originals of its kind, and says what the figures are and are not. "
              "Without -o,\n"
              "prints the same in words. Without a kind in the profile no records are met.\n"
              "Thickness here is bookkeeping, not a protection rating.",
     .examples = {"client profiles/breastplate.yaml -o client.pdf",
                  "client profiles/breastplate.yaml --years 1450..1550 --units inch",
                  "client profiles/knee.yaml --quick --hatch -o client.png"}},
    {.name = "series",
     .operands = "PLATE.yaml",
     .least = 1,
     .most = 1,
     .options = series_options,
     .more = tw_model_options,
     .run = tw_cmd_series,
     .summary = "teach with a plate: from even sheet to full taper, guess, exercise",
     .about =
         "Shows one plate in even steps from even sheet to its forged map, by default with the "
         "same\n"
         "grams in every frame: they stay, and move. Frames between are the two mixed, place by\n"
         "place. Frames, and pages as PNG or SVG, are files of their own: FILE-1.png, FILE-2.png.\n"
         "Thickness here is bookkeeping, not a protection rating.",
     .examples = {"series profiles/breastplate.yaml -o poster.pdf",
                  "series profiles/breastplate.yaml --keep strike --frames 4",
                  "series profiles/breastplate.yaml --as moving --frames 9 -o taper.png",
                  "series profiles/breastplate.yaml --as guess -o guess.pdf",
                  "series profiles/breastplate.yaml --as exercise -o exercise.pdf"}},
    {0}};
