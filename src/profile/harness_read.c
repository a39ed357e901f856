/*
 * harness_read.c: readers of a harness file's keys. They only take down what is written; whether the
 * names in it are known is told when all files are joined.
 */
#include "harness_file_internal.h"

#include <math.h>
#include <string.h>

/* ---- short lists --------------------------------------------------------------------------- */

/* False with an error when a list is longer than anyone needs. */
static bool is_short(tw_reader *reader, const tw_node *node, size_t most, const char *what)
{
    const tw_node *beyond = node->first;

    if (node->kind != TW_NODE_LIST || node->count <= most)
        return true;
    for (size_t k = 0; k < most; k++)
        beyond = beyond->next;
    tw_reader_fault(reader, beyond->place, TW_ERR_LIMIT, NULL, NULL, "more than %zu %s", most,
                    what);
    return false;
}

void tw_read_masses(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_mass_list *list = target;
    size_t count = 1, n = 0;

    if (node->kind != TW_NODE_LIST) {
        list->grams = tw_reader_array(reader, 1, sizeof *list->grams);
        if (list->grams)
            list->count =
                tw_value_number(reader, node, key->name, TW_NUMBER_MASS, list->grams) ? 1 : 0;
        return;
    }
    if (!is_short(reader, node, TW_REPEATS_MAX, "repeats"))
        return;
    list->grams = tw_read_list(reader, node, key->name, sizeof *list->grams, &count);
    if (!list->grams)
        return;
    if (count == 0)
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL, "write [1610 g, 1615 g]",
                        "the list of repeats is empty");
    for (const tw_node *child = node->first; child; child = child->next)
        n += tw_value_number(reader, child, key->name, TW_NUMBER_MASS, &list->grams[n]);
    list->count = n;
}

void tw_read_names(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_name_list *list = target;
    const bool one = node->kind == TW_NODE_TEXT; /* a list of one may leave out its brackets */
    const tw_node *child = one ? node : node->first;
    size_t count = 1;

    if (!is_short(reader, node, TW_MEMBERS_MAX, "names"))
        return;
    list->names = one ? tw_reader_array(reader, 1, sizeof *list->names)
                      : tw_read_list(reader, node, key->name, sizeof *list->names, &count);
    list->places = list->names ? tw_reader_array(reader, count, sizeof *list->places) : NULL;
    if (!list->places)
        return;
    list->count = count;
    for (size_t n = 0; n < count; n++, child = child->next) {
        list->places[n] = child->place;
        if (tw_read_line(reader, child, key->name))
            list->names[n] = child->text;
    }
}

void tw_read_kinds(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_name_list *list = target;
    const tw_node *child = node->kind == TW_NODE_TEXT ? node : node->first;

    tw_read_names(reader, node, key, list);
    for (size_t n = 0; n < list->count; n++, child = child->next)
        if (list->names[n]) {
            list->names[n] = NULL;
            tw_read_kind(reader, child, key, &list->names[n]);
        }
}

void tw_read_triple(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    double *out = target;

    if (node->kind != TW_NODE_LIST || node->count != 3) {
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, node->text,
                        "write [x, y, z]: to the wearer's left, up, to the front",
                        "%s takes three positions", key->name);
        return;
    }
    for (const tw_node *child = node->first; child; child = child->next, out++)
        tw_value_number(reader, child, key->name, TW_NUMBER_POSITION, out);
}

/* ---- scales -------------------------------------------------------------------------------- */

void tw_read_scale_check(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_scale_spec *scale = target;
    double ratio;

    if (!tw_read_map(reader, node, key->inside, "check", scale) || !(scale->check_true > 0) ||
        !(scale->check_reads > 0))
        return;
    ratio = scale->check_reads / scale->check_true;
    if (!(ratio > 0.8 && ratio < 1.25))
        tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, NULL,
                        "true is the known weight, reads what the scale shows with it",
                        "the scale is off by more than a fifth");
    else if (scale->check_uncertainty >= scale->check_true)
        tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, NULL,
                        "give the standard uncertainty, as 1 g",
                        "the known weight's uncertainty is as large as the weight");
}

void tw_read_scales(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_harness_source *source = reader->into;
    tw_scale_spec *scale;

    (void)target;
    if (!is_short(reader, node, TW_SCALES_MAX, "scales"))
        return;
    scale = tw_read_list(reader, node, key->name, sizeof *scale, &source->scale_count);
    source->scales = scale;
    for (const tw_node *child = node->first; scale && child; child = child->next, scale++) {
        scale->name = "scale";
        tw_read_map(reader, child, key->inside, "scale", scale);
        scale->place = child->place;
        if (scale->most > 0 && scale->least >= scale->most)
            tw_reader_fault(reader, child->place, TW_ERR_DOMAIN, NULL, NULL,
                            "the least load of the scale is not below the most it carries");
        if (scale->most > 0 && scale->step >= scale->most)
            tw_reader_fault(reader, child->place, TW_ERR_DOMAIN, NULL,
                            "give the step of the display, as 5 g",
                            "the scale's step is as large as the most it carries");
    }
}

/* ---- fittings ------------------------------------------------------------------------------ */

static void read_fitting(tw_reader *reader, const tw_node *node, tw_group group,
                         tw_fitting_keys *out)
{
    const size_t before = reader->errors.count;
    const int given = (tw_tree_find(node, "each") != NULL) +
                      (tw_tree_find(node, "per metre") != NULL) +
                      (tw_tree_find(node, "per square metre") != NULL);
    double mass;

    out->uncertainty = NAN;
    out->what = -1;
    out->place = node->place;
    if (!tw_read_map(reader, node, group, "fitting", out) || reader->errors.count > before) {
        out->faulty = true;
        return;
    }
    mass = out->each + out->per_length + out->per_area;
    if (given > 1)
        tw_reader_fault(reader, node->place, TW_ERR_KEY, out->name,
                        "keep one of: each, per metre, per square metre",
                        "the fitting's mass is given more than once");
    else if (given == 0 && group == TW_GROUP_OWN_FITTING)
        tw_reader_fault(reader, node->place, TW_ERR_KEY, out->name,
                        "add \"each: 21 g\", \"per metre: 95 g\" or \"per square metre: 900 g\"",
                        "the fitting lacks its mass");
    else if (given == 0 && (out->uncertainty_place.line || out->source_place.line))
        tw_reader_fault(reader,
                        out->uncertainty_place.line ? out->uncertainty_place : out->source_place,
                        TW_ERR_KEY, NULL, "add \"each: 21 g\", or leave it out",
                        "uncertainty and source go with a mass that is given here");
    else if (given == 1 && out->uncertainty >= mass)
        tw_reader_fault(reader, out->uncertainty_place, TW_ERR_DOMAIN, NULL,
                        "give the standard uncertainty, as 1 g",
                        "the fitting's uncertainty is as large as its mass");
    out->faulty = reader->errors.count > before;
}

void tw_read_own_fittings(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_harness_source *source = reader->into;
    tw_fitting_keys *made;

    (void)target;
    if (!is_short(reader, node, TW_FITTINGS_MAX, "fittings"))
        return;
    made = tw_read_list(reader, node, key->name, sizeof *made, &source->own_count);
    source->own = made;
    for (const tw_node *child = node->first; made && child; child = child->next)
        read_fitting(reader, child, key->inside, made++);
}

void tw_read_part_fittings(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_part_keys *part = target;
    tw_fitting_keys *made;

    if (!is_short(reader, node, TW_FITTINGS_MAX, "fittings in one part"))
        return;
    made = tw_read_list(reader, node, key->name, sizeof *made, &part->fitting_count);
    part->fittings = made;
    for (const tw_node *child = node->first; made && child; child = child->next)
        read_fitting(reader, child, key->inside, made++);
}

/* ---- weighings ----------------------------------------------------------------------------- */

void tw_read_tare(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_weighing_keys *keys = target;

    if (!tw_read_line(reader, node, key->name))
        return;
    keys->tare_exact = strcmp(node->text, "exact") == 0;
    if (!keys->tare_exact && strcmp(node->text, "net") != 0)
        tw_value_number(reader, node, key->name, TW_NUMBER_MASS, &keys->tare);
}

void tw_read_weighing(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_weighing_keys *keys = target;
    const size_t before = reader->errors.count;

    keys->place = node->place;
    if (node->kind == TW_NODE_MAP) {
        tw_read_map(reader, node, key->inside, key->name, keys);
    } else {
        tw_read_masses(reader, node, key, &keys->reads);
        keys->reads_place = node->place;
    }
    keys->faulty = reader->errors.count > before;
}

void tw_read_together(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_harness_source *source = reader->into;
    tw_weighing_keys *made;

    (void)target;
    if (!is_short(reader, node, TW_PARTS_MAX, "weighings of parts together"))
        return;
    made = tw_read_list(reader, node, key->name, sizeof *made, &source->together_count);
    source->together = made;
    for (const tw_node *child = node->first; made && child; child = child->next, made++) {
        const size_t before = reader->errors.count;
        tw_read_map(reader, child, key->inside, "weighed together", made);
        made->place = child->place;
        made->faulty = reader->errors.count > before;
    }
}

/* ---- parts --------------------------------------------------------------------------------- */

void tw_read_overlap(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_read_map(reader, node, key->inside, key->name, target);
}

static void read_piece(tw_reader *reader, const tw_node *node, tw_group group, tw_piece_keys *out)
{
    const size_t before = reader->errors.count;
    tw_place turned;

    out->piece.count = 1;
    out->piece.place = node->place;
    if (node->kind == TW_NODE_TEXT) {
        out->file_place = node->place;
        if (tw_read_line(reader, node, "plate"))
            out->piece.file = node->text;
    } else {
        tw_read_map(reader, node, group, "plate", out);
    }
    turned = out->turn_place.line   ? out->turn_place
             : out->tilt_place.line ? out->tilt_place
                                    : out->lean_place;
    out->piece.map_given = out->map_place.line != 0;
    out->piece.placed = out->at_place.line != 0;
    if (turned.line != 0 && !out->piece.placed)
        tw_reader_fault(reader, turned, TW_ERR_KEY, NULL, "add \"at: [x, y, z]\"",
                        "a plate is turned but has no place on the wearer");
    out->faulty = reader->errors.count > before;
}

void tw_read_piece(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_part_keys *part = target;
    tw_piece_keys *piece = tw_reader_array(reader, 1, sizeof *piece);

    if (!piece)
        return;
    read_piece(reader, node, key->inside, piece);
    if (part->pieces) /* plates, which come after it in the rows, stay with their error */
        return;
    part->pieces = piece;
    part->piece_count = 1;
}

void tw_read_pieces(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_part_keys *part = target;
    tw_piece_keys *piece;

    if (part->plate_place.line != 0) {
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL, "put all of them into plates",
                        "a part has a plate or plates, not both");
        return;
    }
    if (!is_short(reader, node, TW_PIECES_MAX, "plates in one part"))
        return;
    piece = tw_read_list(reader, node, key->name, sizeof *piece, &part->piece_count);
    part->pieces = piece;
    for (const tw_node *child = node->first; piece && child; child = child->next)
        read_piece(reader, child, key->inside, piece++);
}

void tw_read_parts(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_harness_source *source = reader->into;
    tw_part_keys *part;

    (void)target;
    if (!is_short(reader, node, TW_PARTS_MAX, "parts"))
        return;
    part = tw_read_list(reader, node, key->name, sizeof *part, &source->part_count);
    source->parts = part;
    for (const tw_node *child = node->first; part && child; child = child->next, part++) {
        tw_read_map(reader, child, key->inside, "part", part);
        part->part.place = child->place;
        if (part->kind_place.line == 0 && child->kind == TW_NODE_MAP &&
            tw_key_misspelt(child, key->inside, "kind"))
            part->kind_place = child->place; /* told already */
        part->part.placed = part->balance_place.line != 0;
    }
}

/* ---- the rest ------------------------------------------------------------------------------ */

void tw_read_includes(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_harness_source *source = reader->into;

    (void)target;
    if (is_short(reader, node, TW_HARNESS_FILES_MAX, "files included"))
        tw_read_names(reader, node, key, &source->include);
}

void tw_read_sets(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_harness_source *source = reader->into;
    tw_set_keys *set;

    (void)target;
    if (node->kind != TW_NODE_MAP) {
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, node->text,
                        "write {NAME: [members], …}", "sets takes names with lists of members");
        return;
    }
    set = tw_reader_array(reader, node->count, sizeof *set);
    source->sets = set;
    source->set_count = set ? node->count : 0;
    for (const tw_node *child = node->first; set && child; child = child->next, set++) {
        set->name = child->key;
        set->place = child->key_place;
        if (child->kind == TW_NODE_LIST ? child->count == 0
                                        : child->kind == TW_NODE_TEXT && !*child->text)
            tw_reader_fault(reader, child->place, TW_ERR_KEY, NULL,
                            "name its parts, or leave the set out", "set \"%s\" is empty",
                            set->name);
        else
            tw_read_names(reader, child, key, &set->members);
    }
}
