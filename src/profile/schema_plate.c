/*
 * schema_plate.c: every key of a plate's profile in one list; harness and rules files have theirs in
 * schema_harness.c. Reading, the suggestion for an unknown key, the paths that settings may name and the
 * manual's reference are all made from these rows, so they cannot drift apart.
 *
 * Columns: group of the map it stands in, required, path up to the key, key, what it takes, help, reader, offset in the
 * group's struct, offset of the place (0 for none), detail for the reader, group inside.
 * A path that begins with "point" is about any value that takes a point given by keys.
 */
#include "profile_internal.h"
#include "schema_rows.h"

/* clang-format off */
/* What both kinds of picture take. */
#define PICTURE_ROWS(X, GROUP, path, what) \
X(GROUP, true, path, "file", "a path", what, \
  tw_read_text, AT(tw_picture_keys, file), AT(tw_picture_keys, file_place), 0, NONE) \
X(GROUP, false, path, "mm per level", "a length", \
  "step from one level to the next: 0.001 mm; by the file's text chunk taperwright-mm-per-level when not given", \
  tw_read_number, AT(tw_picture_keys, level), 0, TW_NUMBER_LEVEL, NONE) \
X(GROUP, false, path, "offset", "a length", \
  "what level 0 would be: value = offset + level * mm per level; by the chunk taperwright-offset-mm, or 0, when not given", \
  tw_read_number, AT(tw_picture_keys, offset), 0, TW_NUMBER_POSITION, NONE) \
X(GROUP, false, path, "mm per pixel", "a length", \
  "width of a pixel: 0.5 mm; by the chunk taperwright-mm-per-pixel when not given", \
  tw_read_number, AT(tw_picture_keys, pixel), 0, TW_NUMBER_SIZE, NONE) \
X(GROUP, false, path, "mm per pixel up", "a length", \
  "height of a pixel; by the chunk taperwright-mm-per-pixel-up, or its width, when not given", \
  tw_read_number, AT(tw_picture_keys, pixel_up), 0, TW_NUMBER_SIZE, NONE)

#define SCHEMA(X) \
X(TOP, false, "", "format", "a whole number", "format of the file; 1 when not given", \
  tw_read_format, AT(tw_profile, format), 0, 0, NONE) \
X(TOP, true, "", "plate", "a name", "the plate's name", \
  tw_read_text, AT(tw_profile, plate), 0, 0, NONE) \
X(TOP, false, "", "kind", "a trade kind", "what piece of a harness it is, of the kinds below", \
  tw_read_kind, AT(tw_profile, kind), 0, 0, NONE) \
X(TOP, true, "", "material", "a metal of the table, or {name, density, uncertainty}", \
  "what it is made of: mild steel, …", tw_read_material, 0, 0, 0, MATERIAL) \
X(MATERIAL, true, "material.", "name", "a name", "the metal; one of the table needs no density", \
  tw_read_text, AT(tw_material_keys, name), 0, 0, NONE) \
X(MATERIAL, false, "material.", "density", "a density", "its own density: 7850 kg/m3", \
  tw_read_number, AT(tw_material_keys, density), AT(tw_material_keys, density_place), \
  TW_NUMBER_DENSITY, NONE) \
X(MATERIAL, false, "material.", "uncertainty", "a density", \
  "standard uncertainty of the density; the table's, or 0, when not given", \
  tw_read_number, AT(tw_material_keys, uncertainty), 0, TW_NUMBER_DENSITY_SPREAD, NONE) \
X(TOP, false, "", "worn", "front, back, left or right", \
  "side of the wearer; drawings then name the wearer's left and right", \
  tw_read_word, AT(tw_profile, worn), 0, TW_WORDS_WORN, NONE) \
X(TOP, false, "", "face", "outside, middle or inside", \
  "which face was measured; outside when not given", \
  tw_read_word, AT(tw_profile, face), 0, TW_WORDS_FACE, NONE) \
X(TOP, false, "", "ruler", "mm, cm or in", "unit of bare numbers in positions and stations only", \
  tw_read_word, AT(tw_profile, ruler), 0, TW_WORDS_RULER, NONE) \
X(TOP, false, "", "symmetric", "yes or no", \
  "what is given on the + side of the centre line stands on the other side too", \
  tw_read_yes, AT(tw_profile, symmetric), 0, TW_WORDS_YES, NONE) \
X(TOP, false, "", "form", "flat, or {flat: {}}, {bowl: …}, {loft: …}, {points: …} or {heights: …}", \
  "the face's shape in space; needed unless an area is given", \
  tw_read_form, 0, 0, 0, FORM) \
X(FORM, false, "form.", "flat", "{}", "a flat plate", \
  tw_read_flat, 0, 0, 0, FLAT) \
X(FORM, false, "form.", "bowl", "keys", "a dished plate, its tape origin at the crown", \
  tw_read_bowl, 0, 0, 0, BOWL) \
X(BOWL, true, "form.bowl.", "across", "a length", "half-width in plan", \
  tw_read_number, AT(tw_bowl_spec, across), 0, TW_NUMBER_SIZE, NONE) \
X(BOWL, false, "form.bowl.", "up", "a length", "half-height in plan; as across when not given", \
  tw_read_number, AT(tw_bowl_spec, up), 0, TW_NUMBER_SIZE, NONE) \
X(BOWL, true, "form.bowl.", "depth", "a length", "from the rim's plane to the crown", \
  tw_read_number, AT(tw_bowl_spec, depth), 0, TW_NUMBER_SIZE, NONE) \
X(BOWL, false, "form.bowl.", "profile", "round, full, cone or parabola", \
  "round (part of a ball) when not given; full is half an ellipsoid", \
  tw_read_word, AT(tw_bowl_spec, profile), 0, TW_WORDS_BOWL, NONE) \
X(BOWL, false, "form.bowl.", "over", "{across, up}", \
  "tape over the crown, in place of a profile", tw_read_over, 0, 0, 0, OVER) \
X(OVER, true, "form.bowl.over.", "across", "a length", "tape over the crown, rim to rim, across", \
  tw_read_number, AT(tw_bowl_spec, over_across), 0, TW_NUMBER_SIZE, NONE) \
X(OVER, true, "form.bowl.over.", "up", "a length", "tape over the crown, rim to rim, up", \
  tw_read_number, AT(tw_bowl_spec, over_up), 0, TW_NUMBER_SIZE, NONE) \
X(FORM, false, "form.", "loft", "a list of stations, at least 2, by ascending ruler", \
  "sections across the plate, face up on a bench", tw_read_loft, 0, 0, 0, STATION) \
X(STATION, true, "form.loft[].", "ruler", "a position", "where the section stands along the bench", \
  tw_read_number, AT(tw_station, ruler), 0, TW_NUMBER_POSITION, NONE) \
X(STATION, false, "form.loft[].", "width", "a measure", "side to side; needed without heights", \
  tw_read_number, AT(tw_station, width), 0, TW_NUMBER_MEASURE, NONE) \
X(STATION, false, "form.loft[].", "centre", "a height, or open", \
  "height of the centre line over the bench; open where there is no metal on it", \
  tw_read_centre, 0, 0, 0, NONE) \
X(STATION, false, "form.loft[].", "sides", "a height", "height of both sides over the bench", \
  tw_read_number, AT(tw_station, sides), 0, TW_NUMBER_POSITION, NONE) \
X(STATION, false, "form.loft[].", "tape", "a measure", \
  "width by tape over the face: fuller or flatter than a circle", \
  tw_read_number, AT(tw_station, tape), 0, TW_NUMBER_MEASURE, NONE) \
X(STATION, false, "form.loft[].", "heights", "a list of pairs [out, up]", \
  "out from the centre, up from the bench, in place of width and centre", \
  tw_read_heights, 0, 0, 0, NONE) \
X(FORM, false, "form.", "keel", "{stands, width}", "a crease up the centre line of a loft", \
  tw_read_keel, 0, 0, 0, KEEL) \
X(KEEL, true, "form.keel.", "stands", "a length", "how far the keel stands over the round section", \
  tw_read_number, AT(tw_loft_spec, keel_stands), 0, TW_NUMBER_SIZE, NONE) \
X(KEEL, true, "form.keel.", "width", "a length", "over which width it rises", \
  tw_read_number, AT(tw_loft_spec, keel_width), 0, TW_NUMBER_SIZE, NONE) \
X(FORM, false, "form.", "points", "{file or table, origin}", \
  "a face by a grid of points, cut from a scan or measured with an arm; x right, y up, z over the bench", \
  tw_read_scan, 0, 0, 0, POINTS) \
X(POINTS, false, "form.points.", "file", "a path", \
  "a CSV table of the points, beside the profile: columns x [mm], y [mm], z [mm]; points of equal y " \
  "(to 0.1 mm) follow each other along the section and make a row, or those of one word in a " \
  "column row (y to 1 mm)", \
  tw_read_text, AT(tw_scan_keys, file), AT(tw_scan_keys, file_place), 0, NONE) \
X(POINTS, false, "form.points.", "table", "a table of several lines", \
  "the same table in the profile itself, in place of a file", \
  tw_read_table, AT(tw_scan_keys, table), AT(tw_scan_keys, table_place), 0, NONE) \
X(POINTS, false, "form.points.", "origin", "[x, y, z] or {x, y, z}", \
  "tape origin: the centre line crosses every row at this x, up is 0 at this y; " \
  "midway between the ends of the lowest row when not given", \
  tw_read_origin, AT(tw_scan_keys, origin), AT(tw_scan_keys, origin_place), 0, NONE) \
X(FORM, false, "form.", "heights", "{file, mm per pixel, mm per level, …}", \
  "a face by a picture of its heights over the bench, 16-bit grey; x right, y up, row 0 at the top", \
  tw_read_height_map, 0, 0, 0, HEIGHTS) \
PICTURE_ROWS(X, HEIGHTS, "form.heights.", \
  "a PNG of 16-bit grey, beside the profile; level 0 is no face, and gaps of up to 2 pixels are bridged;" \
  " blocks of pixels become points as rounding to levels asks for") \
X(HEIGHTS, false, "form.heights.", "left", "a position", \
  "x of the picture's left border; by the chunk taperwright-left-mm, or 0, when not given", \
  tw_read_number, AT(tw_picture_keys, left), 0, TW_NUMBER_POSITION, NONE) \
X(HEIGHTS, false, "form.heights.", "top", "a position", \
  "y of its top border; by the chunk taperwright-top-mm when not given, else its lower border is y 0", \
  tw_read_number, AT(tw_picture_keys, top), 0, TW_NUMBER_POSITION, NONE) \
X(HEIGHTS, false, "form.heights.", "origin", "[x, y, z] or {x, y, z}", \
  "tape origin, as that of points; by the chunk taperwright-origin-mm when not given", \
  tw_read_origin, AT(tw_heights_keys, origin), AT(tw_heights_keys, origin_place), 0, NONE) \
X(TOP, false, "", "outline", "rim, {rectangle: …}, {ellipse: …} or a list of edges", \
  "where the plate ends; rim (the form's own boundary) when not given", \
  tw_read_outline, 0, 0, 0, OUTLINE) \
X(OUTLINE, false, "outline.", "rectangle", "{at, across, up}", "edges lower, right, upper, left", \
  tw_read_shape, 0, 0, TW_SHAPE_RECTANGLE, OUTLINE_SHAPE) \
X(OUTLINE, false, "outline.", "ellipse", "{at, across, up}", "one edge, rim", \
  tw_read_shape, 0, 0, TW_SHAPE_ELLIPSE, OUTLINE_SHAPE) \
X(OUTLINE_SHAPE, true, "outline.ellipse.", "at", "a point", "its middle", \
  tw_read_point, AT(tw_shape, at), 0, 0, POINT) \
X(OUTLINE_SHAPE, true, "outline.ellipse.", "across", "a length", "half size across", \
  tw_read_number, AT(tw_shape, across), 0, TW_NUMBER_SIZE, NONE) \
X(OUTLINE_SHAPE, true, "outline.ellipse.", "up", "a length", "half size up", \
  tw_read_number, AT(tw_shape, up), 0, TW_NUMBER_SIZE, NONE) \
X(EDGE, false, "outline[].", "edge", "a name", "\"edge 1\", … when not given", \
  tw_read_text, AT(tw_edge_keys, edge.name), 0, 0, NONE) \
X(EDGE, false, "outline[].", "points", "a list of points", "in order round the plate", \
  tw_read_points, AT(tw_edge_keys, edge.points), AT(tw_edge_keys, points_place), \
  AT(tw_edge_keys, edge.point_count), POINT) \
X(EDGE, false, "outline[].", "along", "rim", "in place of points: follows the form's boundary", \
  tw_read_word, AT(tw_edge_keys, along), AT(tw_edge_keys, along_place), TW_WORDS_ALONG, NONE) \
X(EDGE, false, "outline[].", "smooth", "yes or no", "a curve through the points; no when not given", \
  tw_read_yes, AT(tw_edge_keys, edge.smooth), 0, TW_WORDS_YES, NONE) \
X(EDGE, false, "outline[].", "corner", "a length", "radius that rounds the corners", \
  tw_read_number, AT(tw_edge_keys, edge.corner), 0, TW_NUMBER_SIZE, NONE) \
X(TOP, false, "", "thickness", "{sheet, tolerance, forged, image, readings}", "how thick the metal is", \
  tw_read_inside, 0, 0, 0, THICKNESS) \
X(THICKNESS, false, "thickness.", "sheet", "a thickness", "even sheet: 1.6 mm, 16 swg", \
  tw_read_stock, 0, 0, 0, NONE) \
X(THICKNESS, false, "thickness.", "tolerance", "{standard, class, width} or {bound}", \
  "how far the bought sheet may be from its thickness", tw_read_tolerance, 0, 0, 0, TOLERANCE) \
X(TOLERANCE, false, "thickness.tolerance.", "standard", "EN 10131 or EN 10051", \
  "cold-rolled (yield below 260 MPa), or hot-rolled", \
  tw_read_word, AT(tw_tolerance_keys, standard), 0, TW_WORDS_STANDARD, NONE) \
X(TOLERANCE, false, "thickness.tolerance.", "class", "normal or special; or A, B, C or D", \
  "of EN 10131, normal when not given; or of EN 10051, A when not given", \
  tw_read_word, AT(tw_tolerance_keys, grade), AT(tw_tolerance_keys, grade_place), \
  TW_WORDS_CLASS, NONE) \
X(TOLERANCE, false, "thickness.tolerance.", "width", "a length", \
  "of the sheet as rolled; up to 1200 mm when not given", \
  tw_read_number, AT(tw_tolerance_keys, width), AT(tw_tolerance_keys, width_place), \
  TW_NUMBER_SIZE, NONE) \
X(TOLERANCE, false, "thickness.tolerance.", "bound", "a length", \
  "in place of a standard: the sheet is within this of its thickness", \
  tw_read_number, AT(tw_tolerance_keys, bound), 0, TW_NUMBER_SIZE, NONE) \
X(THICKNESS, false, "thickness.", "forged", "{strike, edges, law, band}", \
  "hammered: thick where struck, thin at the edges", tw_read_forged, 0, 0, 0, FORGED) \
X(FORGED, false, "thickness.forged.", "strike", "a list of strike zones", "where metal is kept thick", \
  tw_read_strikes, 0, 0, 0, STRIKE) \
X(STRIKE, false, "thickness.forged.strike[].", "name", "a name", "\"strike 1\", … when not given", \
  tw_read_text, AT(tw_strike_keys, strike.name), 0, 0, NONE) \
X(STRIKE, false, "thickness.forged.strike[].", "at", "a point", "middle of a disc or an ellipse", \
  tw_read_point, AT(tw_strike_keys, shape.at), AT(tw_strike_keys, shape.at_place), 0, POINT) \
X(STRIKE, false, "thickness.forged.strike[].", "radius", "a length on the plate", "a disc", \
  tw_read_number, AT(tw_strike_keys, shape.radius), 0, TW_NUMBER_SIZE, NONE) \
X(STRIKE, false, "thickness.forged.strike[].", "across", "a length on the plate", \
  "an ellipse: half size across", \
  tw_read_number, AT(tw_strike_keys, shape.across), 0, TW_NUMBER_SIZE, NONE) \
X(STRIKE, false, "thickness.forged.strike[].", "up", "a length on the plate", \
  "an ellipse: half size up", \
  tw_read_number, AT(tw_strike_keys, shape.up), 0, TW_NUMBER_SIZE, NONE) \
X(STRIKE, false, "thickness.forged.strike[].", "points", "a list of points, at least 3", "a polygon", \
  tw_read_points, AT(tw_strike_keys, shape.points), AT(tw_strike_keys, shape.points_place), \
  AT(tw_strike_keys, shape.point_count), POINT) \
X(STRIKE, false, "thickness.forged.strike[].", "line", "a list of points, at least 2", \
  "a band along a line", \
  tw_read_points, AT(tw_strike_keys, shape.line), AT(tw_strike_keys, shape.line_place), \
  AT(tw_strike_keys, shape.line_count), POINT) \
X(STRIKE, false, "thickness.forged.strike[].", "width", "a length on the plate", "of a line", \
  tw_read_number, AT(tw_strike_keys, shape.width), 0, TW_NUMBER_SIZE, NONE) \
X(STRIKE, true, "thickness.forged.strike[].", "thickness", "a thickness", "kept all over the zone", \
  tw_read_thickness, AT(tw_strike_keys, strike.thickness), \
  AT(tw_strike_keys, strike.thickness_place), 0, NONE) \
X(STRIKE, false, "thickness.forged.strike[].", "hold", "a length on the plate", \
  "kept even that far round the zone; 0 when not given", \
  tw_read_number, AT(tw_strike_keys, strike.hold), 0, TW_NUMBER_HOLD, NONE) \
X(FORGED, false, "thickness.forged.", "edges", "a list of edges", "how thin they are hammered", \
  tw_read_edge_thicknesses, 0, 0, 0, EDGE_THICKNESS) \
X(EDGE_THICKNESS, true, "thickness.forged.edges[].", "edge", "an edge's name, or all", \
  "all is every edge of the outline, never a hole", \
  tw_read_text, AT(tw_edge_thickness, edge), AT(tw_edge_thickness, place), 0, NONE) \
X(EDGE_THICKNESS, true, "thickness.forged.edges[].", "thickness", "a thickness", "at the edge", \
  tw_read_thickness, AT(tw_edge_thickness, thickness), AT(tw_edge_thickness, thickness_place), \
  0, NONE) \
X(EDGE_THICKNESS, false, "thickness.forged.edges[].", "hold", "a length on the plate", \
  "kept even that far in from the edge; 0 when not given", \
  tw_read_number, AT(tw_edge_thickness, hold), 0, TW_NUMBER_HOLD, NONE) \
X(FORGED, false, "thickness.forged.", "law", "straight, eased or held", \
  "how the thickness falls from zone to edge; straight when not given", \
  tw_read_word, AT(tw_forged_keys, forged.law), 0, TW_WORDS_LAW, NONE) \
X(FORGED, false, "thickness.forged.", "band", "a length on the plate", \
  "law held only: even to within this of the edge; 40 mm when not given", \
  tw_read_number, AT(tw_forged_keys, forged.band), AT(tw_forged_keys, band_place), \
  TW_NUMBER_SIZE, NONE) \
X(THICKNESS, false, "thickness.", "image", "{file, mm per pixel, mm per level, …}", \
  "a map by a picture of 16-bit grey, laid out by tape as the plate is seen from outside", \
  tw_read_image, 0, 0, 0, IMAGE) \
PICTURE_ROWS(X, IMAGE, "thickness.image.", \
  "a PNG of 16-bit grey, beside the profile; level 0 is no metal," \
  " and metal up to 2 pixels beyond the others has the thickness of the nearest") \
X(IMAGE, false, "thickness.image.", "left", "a position", \
  "across of the picture's left border; by the chunk taperwright-left-mm when not given", \
  tw_read_number, AT(tw_picture_keys, left), 0, TW_NUMBER_POSITION, NONE) \
X(IMAGE, false, "thickness.image.", "top", "a position", \
  "up of its top border; by the chunk taperwright-top-mm when not given", \
  tw_read_number, AT(tw_picture_keys, top), 0, TW_NUMBER_POSITION, NONE) \
X(IMAGE, false, "thickness.image.", "uncertainty", "a length", \
  "standard uncertainty common to the whole map, beside the step of its levels; 0 when not given", \
  tw_read_number, AT(tw_image_keys, uncertainty), 0, TW_NUMBER_HOLD, NONE) \
X(THICKNESS, false, "thickness.", "readings", "{instruments, points or file, …}", \
  "measured on the plate with a gauge", \
  tw_read_readings, 0, 0, 0, READINGS) \
X(READINGS, false, "thickness.readings.", "trend", "even, plane or forged", \
  "shape that the thickness is taken to vary about; even when not given", \
  tw_read_word, AT(tw_readings_keys, spec.trend), AT(tw_readings_keys, trend_place), TW_WORDS_TREND, NONE) \
X(READINGS, false, "thickness.readings.", "surface", "a length", \
  "standard scatter of dents and pits; from readings close together, or 0.10 mm, when not given", \
  tw_read_number, AT(tw_readings_keys, spec.surface), 0, TW_NUMBER_HOLD, NONE) \
X(READINGS, false, "thickness.readings.", "seen from", "outside or inside", \
  "inside: across, bearings, and along of an edge that the outline does not list, were taken looking at the inside, and are turned over; outside when not given", \
  tw_read_word, AT(tw_readings_keys, seen_inside), 0, TW_WORDS_SEEN, NONE) \
X(READINGS, true, "thickness.readings.", "instruments", "a list of instruments", \
  "what the thickness was measured with", \
  tw_read_instruments, 0, 0, 0, INSTRUMENT) \
X(INSTRUMENT, false, "thickness.readings.instruments[].", "name", "a name", \
  "its kind when not given", \
  tw_read_text, AT(tw_instrument, name), 0, 0, NONE) \
X(INSTRUMENT, true, "thickness.readings.instruments[].", "kind", "caliper, micrometer or ultrasonic", \
  "what it is", \
  tw_read_word, AT(tw_instrument, kind), 0, TW_WORDS_INSTRUMENT, NONE) \
X(INSTRUMENT, true, "thickness.readings.instruments[].", "resolution", "a length", \
  "step of its display or scale: 0.05 mm", \
  tw_read_number, AT(tw_instrument, resolution), 0, TW_NUMBER_SIZE, NONE) \
X(INSTRUMENT, false, "thickness.readings.instruments[].", "uncertainty", "a length", \
  "standard uncertainty beyond its step; 0 when not given", \
  tw_read_number, AT(tw_instrument, uncertainty), 0, TW_NUMBER_HOLD, NONE) \
X(INSTRUMENT, false, "thickness.readings.instruments[].", "reach", "a length", \
  "how far in from an edge it reaches; anywhere when not given", \
  tw_read_number, AT(tw_instrument, reach), 0, TW_NUMBER_SIZE, NONE) \
X(INSTRUMENT, false, "thickness.readings.instruments[].", "least", "a length", \
  "thinnest it reads true: thinner metal may read double", \
  tw_read_number, AT(tw_instrument, least), 0, TW_NUMBER_SIZE, NONE) \
X(INSTRUMENT, false, "thickness.readings.instruments[].", "foot", "a length", \
  "diameter of its foot or anvils", \
  tw_read_number, AT(tw_instrument, foot), 0, TW_NUMBER_SIZE, NONE) \
X(INSTRUMENT, false, "thickness.readings.instruments[].", "set velocity", "a velocity", \
  "ultrasonic: of sound, as the gauge was set: 5900 m/s", \
  tw_read_number, AT(tw_instrument, set_velocity), 0, TW_NUMBER_VELOCITY, NONE) \
X(INSTRUMENT, false, "thickness.readings.instruments[].", "metal velocity", "a velocity", \
  "ultrasonic: of sound in the plate's metal", \
  tw_read_number, AT(tw_instrument, metal_velocity), 0, TW_NUMBER_VELOCITY, NONE) \
X(INSTRUMENT, false, "thickness.readings.instruments[].", "tie", "{true, reads}", \
  "ultrasonic: one spot measured by micrometer and by the gauge, in place of a metal velocity", \
  tw_read_tie, 0, 0, 0, TIE) \
X(TIE, true, "thickness.readings.instruments[].tie.", "true", "a length", \
  "by micrometer", \
  tw_read_number, AT(tw_instrument, tie_true), 0, TW_NUMBER_READING, NONE) \
X(TIE, true, "thickness.readings.instruments[].tie.", "reads", "a length", \
  "by the gauge", \
  tw_read_number, AT(tw_instrument, tie_reads), 0, TW_NUMBER_READING, NONE) \
X(INSTRUMENT, false, "thickness.readings.instruments[].", "serial", "a line", \
  "its number, for reports", \
  tw_read_text, AT(tw_instrument, serial), 0, 0, NONE) \
X(READINGS, false, "thickness.readings.", "file", "a path", \
  "a CSV table of readings, beside the profile; columns: thickness; across and up, or edge, along and in, or from crown and toward, or x, y and z; and as wanted name, instrument, repeats and spread, leave out, remark. Units in the header: across [mm]. Rows of one name at one place are repeats", \
  tw_read_text, AT(tw_readings_keys, spec.file), AT(tw_readings_keys, file_place), 0, NONE) \
X(READINGS, false, "thickness.readings.", "points", "a list of readings", \
  "where and how thick", \
  tw_read_reading_points, 0, AT(tw_readings_keys, points_place), 0, READING) \
X(READING, false, "thickness.readings.points[].", "name", "a name", \
  "its number when not given", \
  tw_read_text, AT(tw_reading_keys, reading.name), 0, 0, NONE) \
X(READING, true, "thickness.readings.points[].", "at", "a point", \
  "where it was taken", \
  tw_read_point, AT(tw_reading_keys, reading.at), 0, 0, POINT) \
X(READING, true, "thickness.readings.points[].", "thickness", "a length, or a list of repeats", \
  "as read; repeats are averaged and their spread is kept", \
  tw_read_repeats, 0, 0, 0, NONE) \
X(READING, false, "thickness.readings.points[].", "instrument", "a name", \
  "which of the list; needed when there are several", \
  tw_read_text, AT(tw_reading_keys, instrument), AT(tw_reading_keys, instrument_place), 0, NONE) \
X(READING, false, "thickness.readings.points[].", "leave out", "yes or no", \
  "yes: shown but not used", \
  tw_read_yes, AT(tw_reading_keys, reading.leave_out), 0, TW_WORDS_YES, NONE) \
X(READINGS, false, "thickness.readings.", "object", "a line", \
  "what was measured, for reports", \
  tw_read_text, AT(tw_readings_keys, spec.object), 0, 0, NONE) \
X(READINGS, false, "thickness.readings.", "part", "a line", \
  "which part of it", \
  tw_read_text, AT(tw_readings_keys, spec.part), 0, 0, NONE) \
X(READINGS, false, "thickness.readings.", "measured by", "a line", \
  "who measured", \
  tw_read_text, AT(tw_readings_keys, spec.measured_by), 0, 0, NONE) \
X(READINGS, false, "thickness.readings.", "date", "a line", \
  "when", \
  tw_read_text, AT(tw_readings_keys, spec.date), 0, 0, NONE) \
X(TOP, false, "", "turned edges", "a list of turned edges", "edges rolled over, with or without wire: on top of the plate, which is measured up to where " \
  "the roll begins; roping (the roll filed or chased to look like cord) adds none", \
  tw_read_turned, 0, 0, 0, TURNED) \
X(TURNED, true, "turned edges[].", "edge", "an edge's name, or all", "which edge", \
  tw_read_text, AT(tw_turned_edge, edge), AT(tw_turned_edge, place), 0, NONE) \
X(TURNED, true, "turned edges[].", "roll", "a length", "outside diameter of the roll", \
  tw_read_number, AT(tw_turned_edge, roll), 0, TW_NUMBER_SIZE, NONE) \
X(TURNED, false, "turned edges[].", "wire", "a length", "diameter of the wire in it", \
  tw_read_number, AT(tw_turned_edge, wire), 0, TW_NUMBER_SIZE, NONE) \
X(TOP, false, "", "flutes", "a list of flutes", \
  "bands of flutes by tape: metal as thick as the map's mean is added; as listed, never mirrored", \
  tw_read_flutes, 0, 0, 0, FLUTES) \
X(FLUTES, true, "flutes[].", "length", "a length", "of the flutes, along them", \
  tw_read_number, AT(tw_flutes_spec, length), 0, TW_NUMBER_SIZE, NONE) \
X(FLUTES, true, "flutes[].", "over", "a length", "tape across all of them, down into every groove", \
  tw_read_number, AT(tw_flutes_spec, over), 0, TW_NUMBER_SIZE, NONE) \
X(FLUTES, true, "flutes[].", "straight", "a length", "tape across all of them, over the ridges", \
  tw_read_number, AT(tw_flutes_spec, straight), 0, TW_NUMBER_SIZE, NONE) \
X(TOP, false, "", "holes", "a list of holes", "cut out of the plate", \
  tw_read_holes, 0, 0, 0, HOLE) \
X(HOLE, false, "holes[].", "at", "a point", "middle of a disc or an ellipse", \
  tw_read_point, AT(tw_shape_keys, at), AT(tw_shape_keys, at_place), 0, POINT) \
X(HOLE, false, "holes[].", "radius", "a length on the plate", "a round hole", \
  tw_read_number, AT(tw_shape_keys, radius), 0, TW_NUMBER_SIZE, NONE) \
X(HOLE, false, "holes[].", "across", "a length on the plate", "an ellipse: half size across", \
  tw_read_number, AT(tw_shape_keys, across), 0, TW_NUMBER_SIZE, NONE) \
X(HOLE, false, "holes[].", "up", "a length on the plate", "an ellipse: half size up", \
  tw_read_number, AT(tw_shape_keys, up), 0, TW_NUMBER_SIZE, NONE) \
X(HOLE, false, "holes[].", "points", "a list of points, at least 3", "a polygon", \
  tw_read_points, AT(tw_shape_keys, points), AT(tw_shape_keys, points_place), \
  AT(tw_shape_keys, point_count), POINT) \
X(HOLE, false, "holes[].", "rectangle", "{at, across, up}", "a rectangle, by half sizes", \
  tw_read_shape, AT(tw_shape_keys, rectangle), 0, TW_SHAPE_RECTANGLE, HOLE_RECTANGLE) \
X(HOLE_RECTANGLE, true, "holes[].rectangle.", "at", "a point", "its middle", \
  tw_read_point, AT(tw_shape, at), 0, 0, POINT) \
X(HOLE_RECTANGLE, true, "holes[].rectangle.", "across", "a length on the plate", "half size across", \
  tw_read_number, AT(tw_shape, across), 0, TW_NUMBER_SIZE, NONE) \
X(HOLE_RECTANGLE, true, "holes[].rectangle.", "up", "a length on the plate", "half size up", \
  tw_read_number, AT(tw_shape, up), 0, TW_NUMBER_SIZE, NONE) \
X(TOP, false, "", "checks", "a list of tape checks", "measured on the plate, compared with the form", \
  tw_read_checks, 0, 0, 0, CHECK) \
X(CHECK, true, "checks[].", "from", "a point", "where the tape begins", \
  tw_read_point, AT(tw_tape_check, from), 0, 0, POINT) \
X(CHECK, true, "checks[].", "to", "a point", "where it ends", \
  tw_read_point, AT(tw_tape_check, to), 0, 0, POINT) \
X(CHECK, true, "checks[].", "tape", "a length", "what it read", \
  tw_read_number, AT(tw_tape_check, tape), 0, TW_NUMBER_SIZE, NONE) \
X(TOP, false, "", "area", "an area, or {value, uncertainty}", \
  "of a plate without a form", \
  tw_read_area, 0, 0, 0, AREA) \
X(AREA, true, "area.", "value", "an area", \
  "the face, one side", \
  tw_read_number, AT(tw_area_keys, value), 0, TW_NUMBER_AREA, NONE) \
X(AREA, false, "area.", "uncertainty", "an area", \
  "standard uncertainty, about half of what it may be off by; 2 % of the area when not given", \
  tw_read_number, AT(tw_area_keys, uncertainty), 0, TW_NUMBER_AREA_SPREAD, NONE) \
X(TOP, false, "", "paper", "{weight, sheet, step}", \
  "in place of an area: paper wrapped over the plate, trimmed and weighed", \
  tw_read_paper, 0, 0, 0, PAPER) \
X(PAPER, true, "paper.", "weight", "a weight", \
  "of the trimmed paper", \
  tw_read_number, AT(tw_paper_keys, weight), 0, TW_NUMBER_MASS, NONE) \
X(PAPER, true, "paper.", "sheet", "a weight per area", \
  "of the paper: 80 g/m2, taken as good to 2 %", \
  tw_read_number, AT(tw_paper_keys, sheet), 0, TW_NUMBER_PAPER, NONE) \
X(PAPER, false, "paper.", "step", "a weight", \
  "step of the scale it was weighed on; when not given, by the last digit of the weight in grams", \
  tw_read_number, AT(tw_paper_keys, step), 0, TW_NUMBER_MASS, NONE) \
X(TOP, false, "", "scale", "a weight, or {reads, step, tare, uncertainty}", \
  "the plate's own weight as read on a scale", \
  tw_read_scale, 0, 0, 0, SCALE) \
X(SCALE, true, "scale.", "reads", "a weight", \
  "what it reads", \
  tw_read_number, AT(tw_scale_keys, reads), 0, TW_NUMBER_MASS, NONE) \
X(SCALE, false, "scale.", "step", "a weight", \
  "step of its display; 10 g when not given", \
  tw_read_number, AT(tw_scale_keys, step), 0, TW_NUMBER_MASS, NONE) \
X(SCALE, false, "scale.", "tare", "net or exact", \
  "net: zero and plate are each rounded to the step; exact: the plate only; net when not given", \
  tw_read_word, AT(tw_scale_keys, tare_exact), AT(tw_scale_keys, tare_place), TW_WORDS_TARE, NONE) \
X(SCALE, false, "scale.", "uncertainty", "a weight", \
  "standard uncertainty beyond the step; all of it when no step is given", \
  tw_read_number, AT(tw_scale_keys, uncertainty), 0, TW_NUMBER_MASS_SPREAD, NONE) \
X(TOP, false, "", "plan", "{least, grade or within, weight, by, zones, edges}", \
  "what taperwright plan is to keep; its options go before these", \
  tw_read_plan, 0, 0, 0, PLAN) \
X(PLAN, false, "plan.", "least", "a thickness", \
  "everywhere; the thinnest that is asked for anywhere when not given", \
  tw_read_number, AT(tw_plan_spec, least), 0, TW_NUMBER_SIZE, NONE) \
X(PLAN, false, "plan.", "grade", "a grade", "steepest: 1 mm in 60 mm", \
  tw_read_number, AT(tw_plan_spec, grade), AT(tw_plan_spec, grade_place), TW_NUMBER_GRADE, NONE) \
X(PLAN, false, "plan.", "within", "a length", \
  "in place of a grade: from the thickest zone to the thinnest edge over this length", \
  tw_read_number, AT(tw_plan_spec, within), AT(tw_plan_spec, within_place), TW_NUMBER_SIZE, NONE) \
X(PLAN, false, "plan.", "weight", "a weight", "of the plate at most", \
  tw_read_number, AT(tw_plan_spec, weight), 0, TW_NUMBER_MASS, NONE) \
X(PLAN, false, "plan.", "by", "strike.NAME, strike.all, edges.NAME or edges.all", \
  "what the weight changes; strike.all when not given", \
  tw_read_text, AT(tw_plan_spec, by), 0, 0, NONE) \
X(PLAN, false, "plan.", "zones", "a list of {zone, least}", \
  "what the plan keeps in strike zones, in place of their thickness in the forged map", \
  tw_read_keeps, AT(tw_plan_keys, zones), 0, AT(tw_plan_keys, zone_count), KEEP_ZONE) \
X(KEEP_ZONE, true, "plan.zones[].", "zone", "a strike zone's name, or all", \
  "all is every strike zone that no other entry names; with symmetric a name means both sides", \
  tw_read_text, AT(tw_plan_keep, strike), AT(tw_plan_keep, place), 0, NONE) \
X(KEEP_ZONE, true, "plan.zones[].", "least", "a thickness", "kept all over the zone", \
  tw_read_thickness, AT(tw_plan_keep, least), 0, 0, NONE) \
X(PLAN, false, "plan.", "edges", "a list of {edge, least}", \
  "what the plan keeps along edges, in place of their thickness in the forged map", \
  tw_read_keeps, AT(tw_plan_keys, edges), 0, AT(tw_plan_keys, edge_count), KEEP_EDGE) \
X(KEEP_EDGE, true, "plan.edges[].", "edge", "an edge's name, or all", \
  "all is every edge of the outline that no other entry names, never a hole", \
  tw_read_text, AT(tw_plan_keep, edge), AT(tw_plan_keep, place), 0, NONE) \
X(KEEP_EDGE, true, "plan.edges[].", "least", "a thickness", \
  "at the edge; one without a thickness in the forged map may be named too", \
  tw_read_thickness, AT(tw_plan_keep, least), 0, 0, NONE) \
X(TOP, false, "", "stock", "a thickness", \
  "of the sheet that the forged plate is made from; thickness.sheet when not given", \
  tw_read_work_stock, 0, 0, 0, NONE) \
X(TOP, false, "", "worked", "flat or raised", \
  "flat: drawn thin in the flat or as it is shaped, counted from the sheet; raised: shaped first, then " \
  "thinned, counted from the sheet as formed; flat when not given", \
  tw_read_word, AT(tw_profile, worked), 0, TW_WORDS_WORKED, NONE) \
X(TOP, false, "", "losses", "{heats, scale, polish, trim}", \
  "metal that goes on the way from sheet to finished plate; the blank carries it", \
  tw_read_losses, 0, 0, 0, LOSSES) \
X(LOSSES, false, "losses.", "heats", "a whole number", \
  "how often it is heated, annealing too: each burns scale off; 0 to 100", \
  tw_read_heats, AT(tw_losses_spec, heats), 0, 0, NONE) \
X(LOSSES, false, "losses.", "scale", "a length, or {value, uncertainty}", \
  "burnt off each side in each heat", \
  tw_read_loss, AT(tw_losses_spec, scale), 0, 0, LOSS) \
X(LOSSES, false, "losses.", "polish", "a length, or {value, uncertainty}", \
  "ground and polished off each side, in all", \
  tw_read_loss, AT(tw_losses_spec, polish), 0, 0, LOSS) \
X(LOSS, true, "losses.polish.", "value", "a length", "off each side", \
  tw_read_number, AT(tw_loss, value), 0, TW_NUMBER_LOSS, NONE) \
X(LOSS, false, "losses.polish.", "uncertainty", "a length", \
  "standard uncertainty of the value; when not given, half of the value is taken as a bound", \
  tw_read_number, AT(tw_loss, uncertainty), 0, TW_NUMBER_LOSS, NONE) \
X(LOSSES, false, "losses.", "trim", "a length", \
  "width of the strip along the outline that is cut off at the end", \
  tw_read_number, AT(tw_losses_spec, trim.value), 0, TW_NUMBER_HOLD, NONE) \
X(TOP, false, "", "weighed", "{blank, rough, finished}", \
  "what the metal weighed on the way", \
  tw_read_weighed, 0, 0, 0, WEIGHED) \
X(WEIGHED, false, "weighed.", "blank", "a weight", "cut, before any work", \
  tw_read_number, AT(tw_weighed_spec, blank), 0, TW_NUMBER_MASS, NONE) \
X(WEIGHED, false, "weighed.", "rough", "a weight", "hammered, before polishing and trimming", \
  tw_read_number, AT(tw_weighed_spec, rough), 0, TW_NUMBER_MASS, NONE) \
X(WEIGHED, false, "weighed.", "finished", "a weight", "trimmed and polished", \
  tw_read_number, AT(tw_weighed_spec, finished), 0, TW_NUMBER_MASS, NONE) \
X(TOP, false, "", "measured to", "a length", \
  "bound of every length of the form: tape and ruler are good to this; of a scan, its longest side; 1 mm when not given", \
  tw_read_number, AT(tw_profile, measured_to), 0, TW_NUMBER_HOLD, NONE) \
X(TOP, false, "", "date", "a line", "printed on drawings as it stands", \
  tw_read_text, AT(tw_profile, date), 0, 0, NONE) \
X(TOP, false, "", "note", "a line", "shown on drawings", \
  tw_read_text, AT(tw_profile, note), 0, 0, NONE) \
X(POINT, false, "point.", "edge", "an edge's name", "a point on an edge", \
  tw_read_text, AT(tw_point_keys, edge), 0, 0, NONE) \
X(POINT, false, "point.", "along", "a position", "along the edge from its first point; one that the outline does not list (rim, the sides of a rectangle) runs anticlockwise seen from outside, a rim from its right, and as seen from inside for readings seen from there", \
  tw_read_number, AT(tw_point_keys, along), 0, TW_NUMBER_POSITION, NONE) \
X(POINT, false, "point.", "in", "a position", "in from the edge; 0 when not given", \
  tw_read_number, AT(tw_point_keys, in), 0, TW_NUMBER_POSITION, NONE) \
X(POINT, false, "point.", "x", "a position", "in space: to the right", \
  tw_read_number, AT(tw_point_keys, x), 0, TW_NUMBER_POSITION, NONE) \
X(POINT, false, "point.", "y", "a position", "in space: up along the bench", \
  tw_read_number, AT(tw_point_keys, y), 0, TW_NUMBER_POSITION, NONE) \
X(POINT, false, "point.", "z", "a position", "in space: over the bench", \
  tw_read_number, AT(tw_point_keys, z), 0, TW_NUMBER_POSITION, NONE) \
X(POINT, false, "point.", "from crown", "a position", "bowls: by tape from the crown", \
  tw_read_number, AT(tw_point_keys, crown), 0, TW_NUMBER_POSITION, NONE) \
X(POINT, false, "point.", "toward", "an angle", "bowls: 0 is up, clockwise seen from outside", \
  tw_read_number, AT(tw_point_keys, toward), 0, TW_NUMBER_ANGLE, NONE)

static const tw_key keys[] = {SCHEMA(TW_KEY_ROW)};
static const tw_key_info infos[] = {SCHEMA(TW_INFO_ROW)};
/* clang-format on */

tw_schema_table tw_schema_plate(void)
{
    return (tw_schema_table){sizeof keys / sizeof *keys, keys, infos};
}

const tw_key_info *tw_profile_keys(size_t *count)
{
    *count = tw_schema_plate().count;
    return infos;
}
