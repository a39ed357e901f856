/* commands_draw.c: rows of the commands that draw, and no more. */
#include "cli_export.h"
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
    TW_AGAINST_ROW(
        "the sheet drawn beside it (default: as formed, else own stock, else strike thickness)"),
    TW_RECORDS_ROWS,
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
    TW_JSON_ROW,
    {0}};

static const char *const what_choices[] = {"thickness", "height", NULL};
_Static_assert(TW_CLI_THICKNESS == 0 && TW_CLI_HEIGHT == 1, "levels of a picture");

static const tw_option export_options[] = {
    {.name = "output",
     .letter = 'o',
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(output),
     .argument = "FILE",
     .help =
         "FILE.stl, .obj or .ply: a closed solid in mm, the PLY with thickness and colour; .png: "
         "levels of 16-bit grey; .csv: the map's nodes as rows"},
    TW_MAP_ROW("as thick as this map (default: readings when given, else image, forged, sheet)"),
    {.name = "what",
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(what),
     .argument = "WHAT",
     .choices = what_choices,
     .help = "levels of a .png: thickness (default) by tape, or height of the face over the bench"},
    {.name = "spacing",
     .kind = TW_OPTION_TEXT,
     .target = TW_AT(spacing),
     .argument = "LENGTH",
     .help = "of a solid, side of a triangle by tape (default: about 20000 corners to a face): \"2 "
             "mm\""},
    TW_JSON_ROW,
    {0}};

static const char *const of_choices[] = {"thickness", "difference", "spread", NULL};
_Static_assert(TW_OF_THICKNESS == 0 && TW_OF_DIFFERENCE == 1 && TW_OF_SPREAD == 2, "quantities");

static const char *const view_choices[] = {"tape",  "front", "solid", "section",
                                           "along", "share", NULL};

static const tw_option view_options[] = {
    TW_PICTURE_ROWS("it"),
    TW_HATCH_ROW,
    {.name = "show",
     .kind = TW_OPTION_NAMES,
     .target = TW_AT(show),
     .argument = "VIEW",
     .choices = view_choices,
     .help = "tape, front, solid, section, along or share; may be repeated (default: tape, solid, "
             "share, section)"},
    TW_MAP_ROW("sheet, forged, readings or image (default: forged, else readings, image, sheet)"),
    {.name = "of",
     .kind = TW_OPTION_CHOICE,
     .target = TW_AT(of),
     .argument = "QUANTITY",
     .choices = of_choices,
     .help = "thickness (default), difference (to the sheet beside it), spread (of readings)"},
    TW_AGAINST_ROW("sheet beside a forged map: strike-thickness, same-mass, own-stock or as-formed "
                   "(default: own stock, else strike thickness)"),
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
    {.name = "export",
     .operands = "PLATE.yaml",
     .least = 1,
     .most = 1,
     .options = export_options,
     .more = tw_model_options,
     .run = tw_cmd_export,
     .summary = "the plate for other programs: a closed solid (STL, OBJ, PLY), a grey PNG, rows",
     .about =
         "Writes the metal that is weighed, both faces and the walls along outline and holes, as "
         "one\n"
         "closed solid for printing, cutting or measuring in a general 3-D program, and says how "
         "its\n"
         "own volume compares with what was weighed. Triangles follow outline and holes; on a "
         "crease\n"
         "both sides end at the mitre. Turned edges and flutes are not in it.\n"
         "A PNG holds the map (or with --what height the face) as levels of 16-bit grey, unit and "
         "place\n"
         "in its text, to be worked on elsewhere and read back by a profile; a CSV the same as "
         "rows.\n"
         "A print or a casting of it shows the shape: it is not armour, whatever its thickness.",
     .examples = {"export profiles/breastplate.yaml -o breastplate.stl",
                  "export profiles/knee.yaml --map sheet --spacing \"3 mm\" -o knee.obj",
                  "export profiles/skull.yaml -o skull.ply --json",
                  "export profiles/knee.yaml -o knee-thickness.png",
                  "export profiles/knee.yaml --what height -o knee-height.png",
                  "export profiles/knee.yaml --grid 64 -o knee.csv"}},
    {0}};
