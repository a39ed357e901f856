/*
 * checks.c: records held against each other. Nothing is dropped here: what looks like one weighing
 * told twice, or a whole that is not the sum of its parts, is said and left to the reader. Sorted
 * lists, so that 200,000 records take no longer than reading them.
 */
#include "originals_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { GROUP_MAX = 60, PARTS_MAX = 64 };

static const char *text(const char *word)
{
    return word ? word : "";
}

static int compare_lines(const tw_original *a, const tw_original *b)
{
    return (a->line > b->line) - (a->line < b->line);
}

static const char *name_of(const tw_original *record)
{
    return record->object ? record->object : record->title;
}

/* ---- told twice ---------------------------------------------------------------------------------- */

/* Objects are counted under one number, parts of them by what follows it: "50.237.1a-e, h-i". */
static size_t stem_length(const char *object)
{
    size_t length = strspn(object, "0123456789.");

    while (length > 0 && object[length - 1] == '.')
        length--;
    return length;
}

static int compare_stems(const tw_original *a, const tw_original *b)
{
    const char *left = text(a->object), *right = text(b->object);
    const size_t left_length = stem_length(left), right_length = stem_length(right);

    if (left_length != right_length)
        return left_length < right_length ? -1 : 1;
    return strncmp(left, right, left_length);
}

/* By mass, institution, stem of the object's number. */
static int by_stem(const void *a, const void *b)
{
    const tw_original *left = *(const tw_original *const *)a;
    const tw_original *right = *(const tw_original *const *)b;
    int order;

    if (left->g != right->g)
        return left->g < right->g ? -1 : 1;
    order = strcmp(text(left->institution), text(right->institution));
    if (order == 0)
        order = compare_stems(left, right);
    return order != 0 ? order : compare_lines(left, right);
}

static double height_key(const tw_original *record)
{
    return isnan(record->height) ? 0 : record->height;
}

/* By mass, height, kinds. */
static int by_size(const void *a, const void *b)
{
    const tw_original *left = *(const tw_original *const *)a;
    const tw_original *right = *(const tw_original *const *)b;
    int order;

    if (left->g != right->g)
        return left->g < right->g ? -1 : 1;
    if (height_key(left) != height_key(right))
        return height_key(left) < height_key(right) ? -1 : 1;
    order = tw_kinds_compare(left->kinds, left->kind_count, right->kinds, right->kind_count);
    return order != 0 ? order : compare_lines(left, right);
}

static bool same_object(const tw_original *a, const tw_original *b)
{
    return strcmp(text(a->institution), text(b->institution)) == 0 &&
           strcmp(text(a->object), text(b->object)) == 0;
}

static bool same_title(const tw_original *a, const tw_original *b)
{
    return strcmp(text(a->title), text(b->title)) == 0;
}

static void find_same_stem(tw_originals *set, const tw_original **sorted)
{
    qsort(sorted, set->count, sizeof *sorted, by_stem);
    for (size_t k = 1; k < set->count; k++) {
        const tw_original *a = sorted[k - 1], *b = sorted[k];
        if (a->g != b->g || !a->object || !b->object || stem_length(a->object) == 0 ||
            strcmp(text(a->institution), text(b->institution)) != 0 || compare_stems(a, b) != 0 ||
            strcmp(a->object, b->object) == 0)
            continue;
        tw_originals_warn(set, b,
                          "%s and %s: two records of one object with the same %.0f g; is it one "
                          "weighing told twice?",
                          a->object, b->object, b->g);
    }
}

static void find_same_size(tw_originals *set, const tw_original **sorted)
{
    qsort(sorted, set->count, sizeof *sorted, by_size);
    for (size_t k = 1; k < set->count; k++) {
        const tw_original *a = sorted[k - 1], *b = sorted[k];
        const bool one = same_object(a, b);
        if (a->g != b->g || height_key(a) != height_key(b) || a->kind_count == 0 ||
            tw_kinds_compare(a->kinds, a->kind_count, b->kinds, b->kind_count) != 0)
            continue;
        if (one && same_title(a, b))
            tw_originals_warn(set, b, "%s: the same %.0f g stand in two rows (lines %d and %d)",
                              name_of(b), b->g, a->line, b->line);
        else if (!one && !isnan(b->height))
            tw_originals_warn(set, b,
                              "%s and %s: the same mass, %.0f g, and the same height, %.0f mm; one "
                              "may have been copied from the other",
                              name_of(a), name_of(b), b->g, b->height);
    }
}

/* ---- wholes and parts --------------------------------------------------------------------------- */

static int by_object(const void *a, const void *b)
{
    const tw_original *left = *(const tw_original *const *)a;
    const tw_original *right = *(const tw_original *const *)b;
    int order = strcmp(text(left->institution), text(right->institution));

    if (order == 0)
        order = strcmp(text(left->object), text(right->object));
    return order != 0 ? order : compare_lines(left, right);
}

/* All of a's pieces are among b's. */
static bool within(const tw_kind_count *a, size_t a_count, const tw_kind_count *b, size_t b_count)
{
    for (size_t k = 0; k < a_count; k++) {
        size_t n = 0;
        while (n < b_count && b[n].kind != a[k].kind)
            n++;
        if (n == b_count || b[n].count < a[k].count)
            return false;
    }
    return true;
}

static double rounding(const tw_original *record)
{
    return record->u_g > 0 ? record->u_g : 0.3; /* of a gram: 1/√12 */
}

/* One whole against the other records of its object. Said when the parts are all of it and do not add
 * up, or only some of it and already weigh more; roundings count within their largest, √3 u. */
static void hold_against_parts(tw_originals *set, const tw_original **group, size_t count,
                               const tw_original *whole)
{
    const size_t pieces = tw_kinds_pieces(whole->kinds, whole->kind_count);
    tw_kind_count listed[PARTS_MAX];
    size_t used = 0, parts = 0;
    double sum = 0, allowed = sqrt(3) * rounding(whole), gap;
    bool all;

    for (size_t k = 0; k < count; k++) {
        const tw_original *part = group[k];
        if (part == whole || part->kind_count == 0 || used + part->kind_count > PARTS_MAX ||
            tw_kinds_pieces(part->kinds, part->kind_count) >= pieces)
            continue;
        memcpy(listed + used, part->kinds, part->kind_count * sizeof *listed);
        used += part->kind_count;
        sum += part->g;
        allowed += sqrt(3) * rounding(part);
        parts++;
    }
    used = tw_kinds_sort(listed, used);
    if (parts == 0 || !within(listed, used, whole->kinds, whole->kind_count))
        return;
    all = tw_kinds_compare(listed, used, whole->kinds, whole->kind_count) == 0;
    gap = whole->g - sum;
    if (all ? fabs(gap) <= allowed : gap >= -allowed)
        return;
    tw_originals_warn(set, whole,
                      "%s: its %zu parts weighed apart add up to %.0f g, the whole is recorded as "
                      "%.0f g: %.0f g %s",
                      name_of(whole), parts, sum, whole->g, fabs(gap),
                      gap > 0 ? "are in no part" : "too many in the parts");
}

static void find_gaps(tw_originals *set, const tw_original **sorted)
{
    size_t end;

    qsort(sorted, set->count, sizeof *sorted, by_object);
    for (size_t begin = 0; begin < set->count; begin = end) {
        for (end = begin + 1; end < set->count && same_object(sorted[begin], sorted[end]);)
            end++;
        if (!sorted[begin]->object || end - begin < 2 || end - begin > GROUP_MAX)
            continue;
        for (size_t k = begin; k < end; k++)
            if (tw_kinds_pieces(sorted[k]->kinds, sorted[k]->kind_count) > 1)
                hold_against_parts(set, sorted + begin, end - begin, sorted[k]);
    }
}

tw_status tw_originals_cross_check(tw_originals *set)
{
    const tw_original **sorted = malloc(set->count * sizeof *sorted);

    if (!sorted)
        return TW_ERR_MEMORY;
    for (size_t k = 0; k < set->count; k++)
        sorted[k] = &set->rows[k];
    find_same_stem(set, sorted);
    find_same_size(set, sorted);
    find_gaps(set, sorted);
    free(sorted);
    return TW_OK;
}
