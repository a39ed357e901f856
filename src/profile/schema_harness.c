/*
 * schema_harness.c: every key of harness files and of rules files, in the columns of schema_plate.c.
 * A part's four weighings take the same keys, so they are told once, under "weighed".
 */
#include "harness_file_internal.h"
#include "schema_rows.h"

/* clang-format off */
#define HARNESS(X) \
X(HARNESS, false, "", "format", "a whole number", "format of the file; 1 when not given", \
  tw_read_format, AT(tw_profile, format), 0, 0, NONE) \
X(HARNESS, false, "", "harness", "a name", "its name; needed in the file that is read first", \
  tw_read_text, AT(tw_profile, plate), 0, 0, NONE) \
X(HARNESS, false, "", "note", "a line", "shown on drawings", \
  tw_read_text, AT(tw_profile, note), 0, 0, NONE) \
X(HARNESS, false, "", "date", "a line", "printed on drawings as it stands", \
  tw_read_text, AT(tw_profile, date), 0, 0, NONE) \
X(HARNESS, false, "", "ruler", "mm, cm or in", "unit of bare numbers in at and balance only", \
  tw_read_word, AT(tw_profile, ruler), 0, TW_WORDS_RULER, NONE) \
X(HARNESS, false, "", "include", "a list of paths", \
  "further harness files, beside this one; their parts come first", \
  tw_read_includes, 0, 0, 0, NONE) \
X(HARNESS, false, "", "scales", "a list of scales", "what parts were weighed on", \
  tw_read_scales, 0, 0, 0, SCALES) \
X(SCALES, false, "scales[].", "name", "a name", "\"scale\" when not given", \
  tw_read_text, AT(tw_scale_spec, name), 0, 0, NONE) \
X(SCALES, true, "scales[].", "step", "a weight", "step of its display", \
  tw_read_number, AT(tw_scale_spec, step), 0, TW_NUMBER_MASS, NONE) \
X(SCALES, false, "scales[].", "most", "a weight", "the most it carries", \
  tw_read_number, AT(tw_scale_spec, most), 0, TW_NUMBER_MASS, NONE) \
X(SCALES, false, "scales[].", "least", "a weight", "least load it is meant for; 20 steps when not given", \
  tw_read_number, AT(tw_scale_spec, least), 0, TW_NUMBER_MASS, NONE) \
X(SCALES, false, "scales[].", "check", "{true, reads, uncertainty}", \
  "a known weight and what the scale reads with it: its error is taken out", \
  tw_read_scale_check, 0, 0, 0, SCALE_CHECK) \
X(SCALE_CHECK, true, "scales[].check.", "true", "a weight", "the known weight", \
  tw_read_number, AT(tw_scale_spec, check_true), 0, TW_NUMBER_MASS, NONE) \
X(SCALE_CHECK, true, "scales[].check.", "reads", "a weight", "what the scale reads with it", \
  tw_read_number, AT(tw_scale_spec, check_reads), 0, TW_NUMBER_MASS, NONE) \
X(SCALE_CHECK, false, "scales[].check.", "uncertainty", "a weight", \
  "standard uncertainty of the known weight; 0 when not given", \
  tw_read_number, AT(tw_scale_spec, check_uncertainty), 0, TW_NUMBER_MASS_SPREAD, NONE) \
X(HARNESS, false, "", "fittings", "a list of fittings", \
  "unit masses of one's own; \"taperwright stock --fittings\" lists the built-in ones", \
  tw_read_own_fittings, 0, 0, 0, OWN_FITTING) \
X(OWN_FITTING, true, "fittings[].", "fitting", "a name", "what it is called in parts", \
  tw_read_text, AT(tw_fitting_keys, name), AT(tw_fitting_keys, name_place), 0, NONE) \
X(OWN_FITTING, false, "fittings[].", "each", "a weight", "of one piece", \
  tw_read_number, AT(tw_fitting_keys, each), 0, TW_NUMBER_MASS, NONE) \
X(OWN_FITTING, false, "fittings[].", "per metre", "a weight", "of a metre of it", \
  tw_read_number, AT(tw_fitting_keys, per_length), 0, TW_NUMBER_MASS, NONE) \
X(OWN_FITTING, false, "fittings[].", "per square metre", "a weight", "of a square metre of it", \
  tw_read_number, AT(tw_fitting_keys, per_area), 0, TW_NUMBER_MASS, NONE) \
X(OWN_FITTING, false, "fittings[].", "uncertainty", "a weight", \
  "standard uncertainty of that weight; 5 % of it when not given", \
  tw_read_number, AT(tw_fitting_keys, uncertainty), AT(tw_fitting_keys, uncertainty_place), \
  TW_NUMBER_MASS_SPREAD, NONE) \
X(OWN_FITTING, false, "fittings[].", "what", "metal, strap or lining", \
  "when not given: pieces are metal, lengths are straps, areas are lining", \
  tw_read_word, AT(tw_fitting_keys, what), 0, TW_WORDS_FITTING, NONE) \
X(OWN_FITTING, false, "fittings[].", "source", "a line", "how the weight was found", \
  tw_read_text, AT(tw_fitting_keys, source), AT(tw_fitting_keys, source_place), 0, NONE) \
X(HARNESS, false, "", "parts", "a list of parts", "what the harness is made of", \
  tw_read_parts, 0, 0, 0, PART) \
X(PART, true, "parts[].", "name", "a name", "the part's own", \
  tw_read_text, AT(tw_part_keys, part.name), AT(tw_part_keys, name_place), 0, NONE) \
X(PART, false, "parts[].", "kind", "a trade kind", \
  "what piece of a harness it is, of the kinds below; its first plate's when not given", \
  tw_read_kind, AT(tw_part_keys, part.kind), AT(tw_part_keys, kind_place), 0, NONE) \
X(PART, false, "parts[].", "mirror", "yes or no", \
  "yes: a pair, NAME left and NAME right of the wearer, the right one mirrored; what is given is of one", \
  tw_read_yes, AT(tw_part_keys, part.mirror), 0, TW_WORDS_YES, NONE) \
X(PART, false, "parts[].", "plate", "a path, or {file, map, count, at, turn, tilt, lean, overlap}", \
  "the plate's profile, beside the harness file", \
  tw_read_piece, 0, AT(tw_part_keys, plate_place), 0, PIECE) \
X(PART, false, "parts[].", "plates", "a list of plates", "in place of plate, when there are several", \
  tw_read_pieces, 0, AT(tw_part_keys, plates_place), 0, PIECE) \
X(PIECE, true, "parts[].plates[].", "file", "a path", "the plate's profile, beside the harness file", \
  tw_read_text, AT(tw_piece_keys, piece.file), AT(tw_piece_keys, file_place), 0, NONE) \
X(PIECE, false, "parts[].plates[].", "map", "sheet, forged, readings or image", \
  "which thickness counts; readings, else image, else forged, else sheet when not given", \
  tw_read_word, AT(tw_piece_keys, piece.map), AT(tw_piece_keys, map_place), TW_WORDS_MAP, NONE) \
X(PIECE, false, "parts[].plates[].", "count", "a whole number", "that many alike; 1 when not given", \
  tw_read_count, AT(tw_piece_keys, piece.count), 0, 0, NONE) \
X(PIECE, false, "parts[].plates[].", "at", "[x, y, z]", \
  "where the profile's origin lies on the wearer: to the left, up, to the front", \
  tw_read_triple, AT(tw_piece_keys, piece.at), AT(tw_piece_keys, at_place), 0, NONE) \
X(PIECE, false, "parts[].plates[].", "turn", "an angle", \
  "about up: 0 when its outside faces the front (not given), 180 deg when it faces back", \
  tw_read_number, AT(tw_piece_keys, piece.turn), AT(tw_piece_keys, turn_place), TW_NUMBER_ANGLE, NONE) \
X(PIECE, false, "parts[].plates[].", "tilt", "an angle", "top forward; 0 when not given", \
  tw_read_number, AT(tw_piece_keys, piece.tilt), AT(tw_piece_keys, tilt_place), TW_NUMBER_ANGLE, NONE) \
X(PIECE, false, "parts[].plates[].", "lean", "an angle", "sideways, about its own front; 0 when not given", \
  tw_read_number, AT(tw_piece_keys, piece.lean), AT(tw_piece_keys, lean_place), TW_NUMBER_ANGLE, NONE) \
X(PIECE, false, "parts[].plates[].", "overlap", "{edge, by}", \
  "along which edge the next plate lies over or under it", \
  tw_read_overlap, 0, AT(tw_piece_keys, overlap_place), 0, OVERLAP) \
X(OVERLAP, true, "parts[].plates[].overlap.", "edge", "an edge's name", "of the plate's outline", \
  tw_read_text, AT(tw_piece_keys, piece.overlap_edge), AT(tw_piece_keys, edge_place), 0, NONE) \
X(OVERLAP, true, "parts[].plates[].overlap.", "by", "a length", "how far", \
  tw_read_number, AT(tw_piece_keys, piece.overlap), 0, TW_NUMBER_SIZE, NONE) \
X(PART, false, "parts[].", "weighed", "a weight, or {reads, on, tare} or {with, without, on}", \
  "what a scale read of the part", \
  tw_read_weighing, AT(tw_part_keys, weighed), 0, 0, WEIGHING) \
X(PART, false, "parts[].", "weighed pair", "as weighed", "of both of a pair on the pan", \
  tw_read_weighing, AT(tw_part_keys, pair), 0, 0, WEIGHING) \
X(PART, false, "parts[].", "weighed left", "as weighed", "of the wearer's left one of a pair", \
  tw_read_weighing, AT(tw_part_keys, left), 0, 0, WEIGHING) \
X(PART, false, "parts[].", "weighed right", "as weighed", "of the wearer's right one of a pair", \
  tw_read_weighing, AT(tw_part_keys, right), 0, 0, WEIGHING) \
X(WEIGHING, false, "parts[].weighed.", "reads", "a weight, or a list of repeats", "on the pan", \
  tw_read_masses, AT(tw_weighing_keys, reads), AT(tw_weighing_keys, reads_place), 0, NONE) \
X(WEIGHING, false, "parts[].weighed.", "with", "a weight, or a list of repeats", \
  "in place of reads: whoever holds the part, with it", \
  tw_read_masses, AT(tw_weighing_keys, with), AT(tw_weighing_keys, with_place), 0, NONE) \
X(WEIGHING, false, "parts[].weighed.", "without", "a weight, or a list of repeats", \
  "the same without it", \
  tw_read_masses, AT(tw_weighing_keys, without), AT(tw_weighing_keys, without_place), 0, NONE) \
X(WEIGHING, false, "parts[].weighed.", "on", "a scale's name", "needed when there are several", \
  tw_read_text, AT(tw_weighing_keys, on), AT(tw_weighing_keys, on_place), 0, NONE) \
X(WEIGHING, false, "parts[].weighed.", "step", "a weight", \
  "step of the display, when no scale is listed", \
  tw_read_number, AT(tw_weighing_keys, step), AT(tw_weighing_keys, step_place), TW_NUMBER_MASS, NONE) \
X(WEIGHING, false, "parts[].weighed.", "tare", "a weight, net or exact", \
  "of a container, as read; exact: the scale was set to nought; net when not given", \
  tw_read_tare, 0, AT(tw_weighing_keys, tare_place), 0, NONE) \
X(PART, false, "parts[].", "fittings", "a list of fittings", "rivets, straps, lining, of one of a pair", \
  tw_read_part_fittings, 0, 0, 0, FITTING) \
X(FITTING, true, "parts[].fittings[].", "fitting", "a name", "one of \"stock --fittings\", your own, or with its mass here", \
  tw_read_text, AT(tw_fitting_keys, name), AT(tw_fitting_keys, name_place), 0, NONE) \
X(FITTING, false, "parts[].fittings[].", "count", "a whole number", "how many; 1 when not given", \
  tw_read_count, AT(tw_fitting_keys, count), 0, 0, NONE) \
X(FITTING, false, "parts[].fittings[].", "length", "a length", "of what is weighed by length", \
  tw_read_number, AT(tw_fitting_keys, length), AT(tw_fitting_keys, length_place), TW_NUMBER_SIZE, NONE) \
X(FITTING, false, "parts[].fittings[].", "area", "an area", "of what is weighed by area", \
  tw_read_number, AT(tw_fitting_keys, area), AT(tw_fitting_keys, area_place), TW_NUMBER_AREA, NONE) \
X(FITTING, false, "parts[].fittings[].", "each", "a weight", "its own mass: of one piece", \
  tw_read_number, AT(tw_fitting_keys, each), 0, TW_NUMBER_MASS, NONE) \
X(FITTING, false, "parts[].fittings[].", "per metre", "a weight", "its own mass: of a metre", \
  tw_read_number, AT(tw_fitting_keys, per_length), 0, TW_NUMBER_MASS, NONE) \
X(FITTING, false, "parts[].fittings[].", "per square metre", "a weight", \
  "its own mass: of a square metre", \
  tw_read_number, AT(tw_fitting_keys, per_area), 0, TW_NUMBER_MASS, NONE) \
X(FITTING, false, "parts[].fittings[].", "uncertainty", "a weight", \
  "standard uncertainty of its own mass; 5 % of it when not given", \
  tw_read_number, AT(tw_fitting_keys, uncertainty), AT(tw_fitting_keys, uncertainty_place), \
  TW_NUMBER_MASS_SPREAD, NONE) \
X(FITTING, false, "parts[].fittings[].", "what", "metal, strap or lining", "what it counts as", \
  tw_read_word, AT(tw_fitting_keys, what), 0, TW_WORDS_FITTING, NONE) \
X(FITTING, false, "parts[].fittings[].", "source", "a line", "how its own mass was found", \
  tw_read_text, AT(tw_fitting_keys, source), AT(tw_fitting_keys, source_place), 0, NONE) \
X(PART, false, "parts[].", "height", "a length", "for comparison by size; its plates' when not given", \
  tw_read_number, AT(tw_part_keys, part.height), 0, TW_NUMBER_SIZE, NONE) \
X(PART, false, "parts[].", "width", "a length", "for comparison by size; its plates' when not given", \
  tw_read_number, AT(tw_part_keys, part.width), 0, TW_NUMBER_SIZE, NONE) \
X(PART, false, "parts[].", "balance", "[x, y, z]", \
  "balance point on the wearer of a part without plates", \
  tw_read_triple, AT(tw_part_keys, part.balance), AT(tw_part_keys, balance_place), 0, NONE) \
X(HARNESS, false, "", "weighed together", "a list of {parts, reads, on, …}", \
  "parts that were on the scale together", \
  tw_read_together, 0, 0, 0, TOGETHER) \
X(TOGETHER, true, "weighed together[].", "parts", "a list of names", "a pair's name is both of it", \
  tw_read_names, AT(tw_weighing_keys, parts), AT(tw_weighing_keys, parts_place), 0, NONE) \
X(TOGETHER, false, "weighed together[].", "reads", "a weight, or a list of repeats", "on the pan", \
  tw_read_masses, AT(tw_weighing_keys, reads), AT(tw_weighing_keys, reads_place), 0, NONE) \
X(TOGETHER, false, "weighed together[].", "with", "a weight, or a list of repeats", \
  "in place of reads: whoever holds the parts, with them", \
  tw_read_masses, AT(tw_weighing_keys, with), AT(tw_weighing_keys, with_place), 0, NONE) \
X(TOGETHER, false, "weighed together[].", "without", "a weight, or a list of repeats", \
  "the same without them", \
  tw_read_masses, AT(tw_weighing_keys, without), AT(tw_weighing_keys, without_place), 0, NONE) \
X(TOGETHER, false, "weighed together[].", "on", "a scale's name", "needed when there are several", \
  tw_read_text, AT(tw_weighing_keys, on), AT(tw_weighing_keys, on_place), 0, NONE) \
X(TOGETHER, false, "weighed together[].", "step", "a weight", \
  "step of the display, when no scale is listed", \
  tw_read_number, AT(tw_weighing_keys, step), AT(tw_weighing_keys, step_place), TW_NUMBER_MASS, NONE) \
X(TOGETHER, false, "weighed together[].", "tare", "a weight, net or exact", \
  "of a container, as read; exact: the scale was set to nought; net when not given", \
  tw_read_tare, 0, AT(tw_weighing_keys, tare_place), 0, NONE) \
X(HARNESS, false, "", "sets", "{name: [members], …}", \
  "named choices; members are parts, trade kinds, or sets named before", \
  tw_read_sets, 0, 0, 0, NONE)

#define RULES(X) \
X(RULES, false, "", "format", "a whole number", "format of the file; 1 when not given", \
  tw_read_format, AT(tw_profile, format), 0, 0, NONE) \
X(RULES, true, "", "rules", "a name", "whose least thicknesses these are", \
  tw_read_text, AT(tw_profile, plate), 0, 0, NONE) \
X(RULES, false, "", "note", "a line", "printed with them", \
  tw_read_text, AT(tw_profile, note), 0, 0, NONE) \
X(RULES, false, "", "date", "a line", "printed with them, as it stands", \
  tw_read_text, AT(tw_profile, date), 0, 0, NONE) \
X(RULES, true, "", "limits", "a list of limits", "the least thicknesses", \
  tw_read_limits, 0, 0, 0, LIMIT) \
X(LIMIT, false, "limits[].", "name", "a name", "\"limit 1\", … when not given", \
  tw_read_text, AT(tw_limit_keys, limit.name), 0, 0, NONE) \
X(LIMIT, true, "limits[].", "least", "a thickness", "the least thickness allowed", \
  tw_read_thickness, AT(tw_limit_keys, limit.least), 0, 0, NONE) \
X(LIMIT, false, "limits[].", "where", "everywhere, or zone NAME", \
  "zone NAME: in the strike zone of that name; everywhere when not given", \
  tw_read_where, AT(tw_limit_keys, limit.zone), AT(tw_limit_keys, where_place), 0, NONE) \
X(LIMIT, false, "limits[].", "when", "before forming or after forming", \
  "before forming: of the sheet as bought; after forming when not given", \
  tw_read_word, AT(tw_limit_keys, when), 0, TW_WORDS_WHEN, NONE) \
X(LIMIT, false, "limits[].", "kinds", "a list of trade kinds", "plates it is about; any when not given", \
  tw_read_kinds, AT(tw_limit_keys, kinds), 0, 0, NONE)

static const tw_key harness_keys[] = {HARNESS(TW_KEY_ROW)};
static const tw_key_info harness_infos[] = {HARNESS(TW_INFO_ROW)};
static const tw_key rules_keys[] = {RULES(TW_KEY_ROW)};
static const tw_key_info rules_infos[] = {RULES(TW_INFO_ROW)};
/* clang-format on */

tw_schema_table tw_schema_harness(void)
{
    return (tw_schema_table){sizeof harness_keys / sizeof *harness_keys, harness_keys,
                             harness_infos};
}

tw_schema_table tw_schema_rules(void)
{
    return (tw_schema_table){sizeof rules_keys / sizeof *rules_keys, rules_keys, rules_infos};
}

const tw_key_info *tw_harness_keys(size_t *count)
{
    *count = tw_schema_harness().count;
    return harness_infos;
}

const tw_key_info *tw_rules_keys(size_t *count)
{
    *count = tw_schema_rules().count;
    return rules_infos;
}
