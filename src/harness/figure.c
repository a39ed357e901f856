/*
 * figure.c: masses whose uncertainty keeps its causes by name, so that sums over parts add what they
 * share straight and the rest as squares.
 *
 *   y = Σ fⱼ·mⱼ,  part of cause i in y: pᵢ = Σ fⱼ·pᵢⱼ,  u² = Σ pᵢ²
 *
 * which is JCGM 100:2008, 5.2.2, equation 16 with correlation 1 (or −1) between parts of one cause and
 * 0 between causes. Effective degrees of freedom: u⁴/Σ(pᵢ⁴/νᵢ), Welch–Satterthwaite, equation G.2b, over
 * merged causes (equation numbers from memory).
 *
 * Causes stand by rising name: adding is one merge, from the back, in place. How much room a list has
 * follows from its count, so the struct stays plain.
 */
#include "harness_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

enum { ROOM_LEAST = 8 };

/* Room that a list of so many causes has: the next power of two. */
static size_t room_for(size_t count)
{
    size_t room = ROOM_LEAST;

    if (count == 0)
        return 0;
    while (room < count)
        room *= 2;
    return room;
}

/* Makes room for `count` causes; those that are there stay. */
static tw_status grow(tw_figure *figure, tw_arena *arena, size_t count, tw_error *err)
{
    tw_cause *causes;

    if (count <= room_for(figure->count))
        return TW_OK;
    causes = tw_arena_array(arena, room_for(count), sizeof *causes);
    if (!causes)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu causes of uncertainty", count);
    if (figure->count > 0)
        memcpy(causes, figure->causes, figure->count * sizeof *causes);
    figure->causes = causes;
    return TW_OK;
}

/* First cause whose name is not before `name`. */
static size_t find_cause(const tw_figure *figure, const char *name)
{
    size_t low = 0, high = figure->count;

    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (strcmp(figure->causes[middle].name, name) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static void merge_into(tw_cause *cause, double part_g, double freedom)
{
    cause->part_g += part_g;
    cause->freedom = fmin(cause->freedom, freedom);
}

tw_figure tw_figure_zero(void)
{
    return (tw_figure){0};
}

tw_status tw_figure_cause(tw_figure *figure, tw_arena *arena, const char *name, double part_g,
                          double freedom, tw_error *err)
{
    const size_t at = find_cause(figure, name);
    const char *copy;
    tw_status status;

    assert(freedom > 0);
    if (at < figure->count && strcmp(figure->causes[at].name, name) == 0) {
        merge_into(&figure->causes[at], part_g, freedom);
        return TW_OK;
    }
    if (part_g == 0)
        return TW_OK;
    status = grow(figure, arena, figure->count + 1, err);
    if (status != TW_OK)
        return status;
    copy = tw_arena_text(arena, name);
    if (!copy)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a cause of uncertainty");
    memmove(&figure->causes[at + 1], &figure->causes[at],
            (figure->count - at) * sizeof *figure->causes);
    figure->causes[at] = (tw_cause){copy, part_g, freedom};
    figure->count++;
    return TW_OK;
}

static bool in_order(const tw_figure *figure)
{
    for (size_t k = 1; k < figure->count; k++)
        if (strcmp(figure->causes[k - 1].name, figure->causes[k].name) >= 0)
            return false;
    return true;
}

/* How many of the term's causes the sum does not have yet. */
static size_t count_new(const tw_figure *sum, const tw_figure *term)
{
    size_t fresh = 0, i = 0;

    for (size_t j = 0; j < term->count; j++) {
        int order = -1;
        while (i < sum->count && (order = strcmp(sum->causes[i].name, term->causes[j].name)) < 0)
            i++;
        fresh += i >= sum->count || order != 0;
    }
    return fresh;
}

/* Both in order. */
static tw_status merge(tw_figure *sum, tw_arena *arena, const tw_figure *term, double factor,
                       tw_error *err)
{
    const size_t fresh = count_new(sum, term);
    size_t i = sum->count, j = term->count, to = sum->count + fresh;
    const char **names = tw_arena_array(arena, fresh, sizeof *names);
    tw_status status = grow(sum, arena, sum->count + fresh, err);
    size_t named = fresh;

    if (status != TW_OK)
        return status;
    /* names first: a sum stays whole when memory runs out */
    for (size_t k = term->count, m = sum->count; names && k-- > 0;) {
        while (m > 0 && strcmp(sum->causes[m - 1].name, term->causes[k].name) > 0)
            m--;
        if (m > 0 && strcmp(sum->causes[m - 1].name, term->causes[k].name) == 0)
            continue;
        if (!(names[--named] = tw_arena_text(arena, term->causes[k].name)))
            names = NULL;
    }
    if (!names)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for causes of uncertainty");
    named = fresh;
    while (j > 0) {
        const tw_cause *cause = &term->causes[j - 1];
        const int order = i > 0 ? strcmp(sum->causes[i - 1].name, cause->name) : -1;
        if (order > 0) {
            sum->causes[--to] = sum->causes[--i];
        } else if (order == 0) {
            sum->causes[--to] = sum->causes[--i];
            merge_into(&sum->causes[to], factor * cause->part_g, cause->freedom);
            j--;
        } else {
            sum->causes[--to] = (tw_cause){names[--named], factor * cause->part_g, cause->freedom};
            j--;
        }
    }
    assert(to == i && named == 0);
    sum->count += fresh;
    return TW_OK;
}

tw_status tw_figure_add(tw_figure *sum, tw_arena *arena, const tw_figure *term, double factor,
                        tw_error *err)
{
    tw_status status = TW_OK;

    assert(sum != term && in_order(sum));
    if (in_order(term)) {
        status = merge(sum, arena, term, factor, err);
    } else { /* a list made by hand */
        for (size_t k = 0; status == TW_OK && k < term->count; k++)
            status = tw_figure_cause(sum, arena, term->causes[k].name,
                                     factor * term->causes[k].part_g, term->causes[k].freedom, err);
    }
    if (status == TW_OK)
        sum->g += factor * term->g;
    return status;
}

double tw_figure_u(const tw_figure *figure)
{
    tw_sum square = {0, 0};

    if (!tw_figure_is(figure))
        return NAN;
    for (size_t k = 0; k < figure->count; k++)
        tw_sum_add(&square, figure->causes[k].part_g * figure->causes[k].part_g);
    return sqrt(tw_sum_value(&square));
}

double tw_figure_expanded(const tw_figure *figure)
{
    const double u = tw_figure_u(figure);
    double lost = 0; /* 1/freedom */

    if (!(u > 0))
        return u;
    for (size_t k = 0; k < figure->count; k++) {
        const double share = figure->causes[k].part_g / u;
        lost += share * share * share * share / figure->causes[k].freedom;
    }
    return u * tw_student_t(0.95, lost > 0 ? 1 / lost : INFINITY);
}
