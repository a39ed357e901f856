/*
 * stock.c: which sheet to begin with. One layout serves every sheet (derived here):
 *
 * Let s = ε₁ + ε₂ and d = ε₁ − ε₂ be sum and difference of the principal logarithmic strains from
 * sheet to plate. Metal keeps its volume, so that a place of thickness t made of a sheet t₀ has
 * s = ln(t₀/t), prescribed; and the work per volume of metal is
 *
 *     (4/3)(ε₁² + ε₁ε₂ + ε₂²) = s² + d²/3,
 *
 * in which only d is free. Another sheet t₁ adds c = ln(t₁/t₀) to every s. A blank grown by √(t₀/t₁) in
 * all lengths does just that and leaves every d as it was, so that the shape of least work for one
 * sheet is the shape of least work for all, and
 *
 *     work(t₁) = work(t₀) + 2c·Σ V·s + c²·Σ V,      V the metal's volume about a node.
 *
 * Stretches (plate length / blank length) grow by √(t₁/t₀), parts of the sheet's thickness by t₀/t₁.
 * The trim strip keeps its width w while the blank within it grows: a strip round a closed line of
 * length L that turns once has the area L·w + π·w² (J. Steiner, 1840, from memory), which carries the
 * strip of the layout's own sheet to the others; the least rectangle, kept in its direction, grows without
 * the strip and has it added on both sides.
 *
 * Sheets that are not possible stand by how far they miss, all as logarithms of a thickness or
 * an area so that one measure holds them: the worst of (part gathered to ÷ limit), (limit ÷ part
 * drawn to) and (rectangle too long for the sheet)².
 */
#include "plan_internal.h"
#include "stock_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Range of sheets that are considered when none is asked for, of mean and greatest thickness. */
#define LOW_OF_MEAN       0.7
#define HIGH_OF_THICKEST  1.5
#define SAME_THICKNESS_MM 1e-9

/* What every row is worked out from. */
typedef struct basis {
    const tw_blank *blank;
    const tw_stock_request *request;
    const tw_profile *profile;
    bool tabled;        /* tables of tolerances are of steel sheet */
    double volume;      /* Σ V [mm³] */
    double strained;    /* Σ V·s, s from the layout's sheet */
    double line_length; /* of the outer net line [mm] */
    double *slope;      /* of every cell: grams to a mm of thickness */
} basis;

static double length_of(const double (*line)[2], size_t count)
{
    tw_sum sum = {0, 0};

    for (size_t k = 0; k < count; k++) {
        const double *a = line[k], *b = line[k + 1 < count ? k + 1 : 0];
        tw_sum_add(&sum, hypot(b[0] - a[0], b[1] - a[1]));
    }
    return tw_sum_value(&sum);
}

static basis basis_of(const tw_blank *blank, const tw_stock_request *request)
{
    const tw_layout *layout = blank->layout;
    const tw_profile *profile = blank->goal->plate->profile;
    const tw_material *metal = profile->material ? tw_material_find(profile->material) : NULL;
    tw_sum volume = {0, 0}, strained = {0, 0};

    for (size_t n = 0; n < layout->mesh->node_count; n++) {
        const double V = layout->mesh->area[n] * layout->area_ratio[n] * layout->stock;
        tw_sum_add(&volume, V);
        tw_sum_add(&strained, -V * log(layout->area_ratio[n]));
    }
    return (basis){blank,
                   request,
                   profile,
                   !metal || metal->ferrous,
                   tw_sum_value(&volume),
                   tw_sum_value(&strained),
                   length_of((const double(*)[2])blank->line, blank->line_first[1]),
                   NULL};
}

/* ---- one row ------------------------------------------------------------------------------------ */

static void fill_flat(const basis *from, tw_stock_choice *row)
{
    const tw_blank *blank = from->blank;
    const double *sheet = from->request->sheet_mm;
    const double grown = blank->layout->stock / row->stock.thickness, longer = sqrt(grown);
    const double w = blank->goal->trim_mm, own = from->line_length * w + TW_PI * w * w;
    const double strip = w > 0 ? (longer * from->line_length * w + TW_PI * w * w) / own : 1;
    const double per_area = row->stock.thickness * from->profile->density;
    double whole;

    row->blank_area_mm2 =
        (blank->net_area_mm2 + blank->turn_area_mm2) * grown + blank->trim_area_mm2 * strip;
    row->blank_g = row->blank_area_mm2 * per_area;
    for (int c = 0; c < 2; c++)
        row->box_mm[c] = (blank->box_mm[c] - 2 * w) * longer + 2 * w;
    whole = row->box_mm[0] * row->box_mm[1];
    row->offcut_share = NAN;
    row->offcut_g = NAN;
    if (sheet[0] > 0) {
        row->per_sheet = tw_boxes_in_sheet(sheet, row->box_mm);
        whole = row->per_sheet > 0 ? sheet[0] * sheet[1] : 0;
    }
    if (whole > 0) {
        const double cut = row->blank_area_mm2 * (sheet[0] > 0 ? (double)row->per_sheet : 1);
        row->offcut_share = 1 - cut / whole;
        row->offcut_g = (whole - cut) * per_area;
    }
}

static void fill_metal(const basis *from, tw_stock_choice *row)
{
    const tw_blank *blank = from->blank;
    const tw_layout *layout = blank->layout;
    const double t = row->stock.thickness, ratio = t / layout->stock, c = log(ratio);
    const tw_held held =
        tw_hold_against_sheet(blank->goal, from->slope, t, blank->gather, blank->draw);

    row->gather_g = held.gather_g;
    row->draw_g = held.draw_g;
    row->gathered_share = held.gathered_share;
    row->drawn_share = held.drawn_share;
    row->thickest_part = blank->thickest_part / ratio;
    row->thinnest_part = blank->thinnest_part / ratio;
    row->over = tw_gathered_over(row->thickest_part, blank->gather);
    row->under = tw_drawn_under(row->thinnest_part, blank->draw);
    row->mean_stretch = sqrt(layout->face_area / layout->blank_area * ratio);
    row->most_stretch = layout->most_stretch * sqrt(ratio);
    row->least_stretch = layout->least_stretch * sqrt(ratio);
    row->work = fmax(layout->work + 2 * c * from->strained + c * c * from->volume, 0);
}

static double miss_of(const basis *from, const tw_stock_choice *row)
{
    const tw_blank *blank = from->blank;
    const double *sheet = from->request->sheet_mm;
    double miss = 0;

    if (row->over)
        miss = fmax(miss, log(row->thickest_part / (1 + blank->gather)));
    if (row->under)
        miss = fmax(miss, log((1 - blank->draw) / row->thinnest_part));
    if (sheet[0] > 0 && row->per_sheet == 0)
        miss = fmax(miss, 2 * log(tw_box_over_sheet(sheet, row->box_mm)));
    return miss;
}

static tw_stock_row row_of(const basis *from, const tw_stock *stock, bool own)
{
    tw_stock_row row = {.choice = {.stock = *stock, .own = own}};
    tw_stock_choice *choice = &row.choice;

    fill_flat(from, choice);
    fill_metal(from, choice);
    choice->tolerance_by = TW_USUAL_SHARE;
    if (from->tabled)
        choice->tolerance_by = tw_tolerance_usual(stock->thickness, &choice->tolerance_mm);
    if (choice->tolerance_by == TW_USUAL_SHARE)
        choice->tolerance_mm = NAN;
    choice->possible = !choice->over && !choice->under &&
                       (from->request->sheet_mm[0] == 0 || choice->per_sheet > 0) &&
                       !from->blank->layout->overlaps;
    row.miss = miss_of(from, choice);
    return row;
}

/* ---- the sheets --------------------------------------------------------------------------------- */

/** Sheets within a range, the profile's own among them once. */
typedef struct sheets {
    const basis *from;
    double low, high;
    size_t count, listed; /* listed: of the systems asked for */
    bool own_met;
    tw_stock_row *rows;
} sheets;

static bool is_own(const tw_profile *profile, const tw_stock *stock)
{
    const tw_stock *own = &profile->sheet;

    if (!profile->has_sheet || own->by_gauge != stock->by_gauge)
        return false;
    return own->by_gauge ? own->system == stock->system && own->number == stock->number
                         : fabs(own->thickness - stock->thickness) < SAME_THICKNESS_MM;
}

static void consider(sheets *all, const tw_stock *stock)
{
    const bool own = is_own(all->from->profile, stock);

    if (stock->thickness < all->low - SAME_THICKNESS_MM ||
        stock->thickness > all->high + SAME_THICKNESS_MM)
        return;
    all->rows[all->count++] = row_of(all->from, stock, own);
    all->listed++;
    all->own_met = all->own_met || own;
}

static unsigned systems_of(const tw_profile *profile, unsigned systems)
{
    if (systems != 0)
        return systems;
    systems = 1u << TW_GAUGE_SYSTEMS;
    if (profile->has_sheet && profile->sheet.by_gauge)
        systems |= 1u << profile->sheet.system;
    return systems;
}

static void consider_all(sheets *all, unsigned systems)
{
    size_t count;
    const double *series = tw_metric_stock(&count);

    for (size_t k = 0; k < count && (systems & (1u << TW_GAUGE_SYSTEMS)) != 0; k++)
        consider(all, &(tw_stock){.thickness = series[k], .system = TW_GAUGE_SYSTEMS});
    for (int system = 0; system < TW_GAUGE_SYSTEMS; system++)
        for (int n = TW_GAUGE_FIRST; n <= TW_GAUGE_LAST && (systems & (1u << system)) != 0; n++) {
            tw_stock stock = {.by_gauge = true, .system = (tw_gauge_system)system, .number = n};
            if (tw_gauge_thickness(stock.system, n, NULL, &stock.thickness, NULL) == TW_OK)
                consider(all, &stock);
        }
    if (all->from->profile->has_sheet && !all->own_met && all->listed > 0)
        all->rows[all->count++] = row_of(all->from, &all->from->profile->sheet, true);
}

static int by_number(double a, double b)
{
    return (a > b) - (a < b);
}

/* A total order, so that any sort gives the same list. */
static int by_rank(const void *left, const void *right)
{
    const tw_stock_row *a = left, *b = right;
    const tw_stock *p = &a->choice.stock, *q = &b->choice.stock;
    int order = b->choice.possible - a->choice.possible;

    if (order == 0 && !a->choice.possible)
        order = by_number(a->miss, b->miss);
    if (order == 0)
        order = by_number(a->choice.work, b->choice.work);
    if (order == 0)
        order = by_number(p->thickness, q->thickness);
    if (order == 0)
        order = p->by_gauge - q->by_gauge;
    if (order == 0)
        order = (int)p->system - (int)q->system;
    return order != 0 ? order : p->number - q->number;
}

static tw_status check(const tw_stock_request *request, const sheets *all, tw_error *err)
{
    const double *sheet = request->sheet_mm;

    if ((sheet[0] != 0 || sheet[1] != 0) &&
        !(sheet[0] > 0 && sheet[1] > 0 && isfinite(sheet[0]) && isfinite(sheet[1]))) {
        tw_fail(err, TW_ERR_DOMAIN, "the size of a sheet is two lengths above 0, not %g × %g mm",
                sheet[0], sheet[1]);
        tw_error_advise(err, NULL, "write 1000 mm x 2000 mm, for example");
        return TW_ERR_DOMAIN;
    }
    if (all->low > 0 && all->low <= all->high)
        return TW_OK;
    return tw_fail(err, TW_ERR_DOMAIN, "sheets from %.3g to %.3g mm are no range", all->low,
                   all->high);
}

tw_status tw_stock_rank(const tw_blank *blank, const tw_stock_request *request,
                        tw_stock_ranking *out, tw_error *err)
{
    const tw_layout *layout = blank->layout;
    basis from = basis_of(blank, request);
    const double mean = layout->blank_area * layout->stock / layout->face_area;
    sheets all = {.from = &from,
                  .low = request->low_mm != 0 ? request->low_mm : LOW_OF_MEAN * mean,
                  .high = request->high_mm != 0 ? request->high_mm
                                                : HIGH_OF_THICKEST * layout->thickest};
    tw_stock_ranking ranking = {0};
    size_t room;
    tw_status status = check(request, &all, err);

    assert(out);
    if (status != TW_OK)
        return status;
    tw_metric_stock(&room);
    room += TW_GAUGE_SYSTEMS * (TW_GAUGE_LAST - TW_GAUGE_FIRST + 1) + 1;
    ranking.arena = tw_arena_new();
    if (ranking.arena) {
        all.rows = tw_arena_array(ranking.arena, room, sizeof *all.rows);
        from.slope =
            tw_arena_array(ranking.arena, tw_grid_cells(blank->goal->plate->grid), sizeof(double));
    }
    if (!all.rows || !from.slope) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the sheets of a ranking");
        goto done;
    }
    tw_cell_mass_slopes(blank->goal->plate->grid, blank->goal->before.cell,
                        blank->goal->before.node, from.profile->face, from.profile->density,
                        from.slope);
    consider_all(&all, systems_of(from.profile, request->systems));
    if (all.listed == 0) {
        status = tw_fail(err, TW_ERR_DOMAIN, "no sheet of these systems is from %.3g to %.3g mm",
                         all.low, all.high);
        tw_error_advise(err, NULL, "take another system, or the metric series");
        goto done;
    }
    qsort(all.rows, all.count, sizeof *all.rows, by_rank);
    status = tw_stock_reasons(blank, request, all.rows, all.count, ranking.arena, err);
    ranking.choices = tw_arena_array(ranking.arena, all.count, sizeof *ranking.choices);
    if (status == TW_OK && !ranking.choices)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the sheets of a ranking");
    if (status != TW_OK)
        goto done;
    for (ranking.count = 0; ranking.count < all.count; ranking.count++)
        ranking.choices[ranking.count] = all.rows[ranking.count].choice;
    *out = ranking;
    ranking.arena = NULL;
done:
    tw_arena_free(ranking.arena);
    return status;
}

void tw_stock_ranking_release(tw_stock_ranking *ranking)
{
    if (!ranking)
        return;
    tw_arena_free(ranking->arena);
    memset(ranking, 0, sizeof *ranking);
}
