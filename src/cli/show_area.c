/* show_area.c: a plate that gives only its area and its weight: how thick it is on average. */
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>
#include <stdio.h>

enum { WORDS = 64 };

/* The gauge nearest to a thickness among the systems that the metal is sold by. */
static tw_stock nearest_gauge(const tw_profile *profile, double mm)
{
    const tw_material *metal = tw_material_find(profile->material);
    const bool ferrous = !metal || metal->ferrous;
    tw_stock best = {0};

    for (int system = 0; system < TW_GAUGE_SYSTEMS; system++) {
        const tw_stock stock = tw_stock_nearest(mm, (tw_gauge_system)system);
        if ((system == TW_GAUGE_AWG) == ferrous || !stock.by_gauge)
            continue;
        if (!best.by_gauge || fabs(stock.thickness - mm) < fabs(best.thickness - mm))
            best = stock;
    }
    return best;
}

/* A sheet as it is named where it is sold: one of the metric series in mm. */
static const char *stock_words(const tw_stock *stock, tw_units units, char *out, size_t size)
{
    char inches[WORDS / 2];

    if (stock->by_gauge || units == TW_METRIC)
        return tw_stock_write(stock, units, out, size);
    tw_stock_write(stock, units, inches, sizeof inches);
    tw_format(out, size, "%.2f mm (%s)", stock->thickness, inches);
    return out;
}

/* The two sheets that may have been bought, the nearer first. */
static void show_stock(tw_output *out, tw_units units, const tw_profile *profile, double mm)
{
    const tw_stock metric = tw_stock_nearest(mm, TW_GAUGE_SYSTEMS);
    const tw_stock gauge = nearest_gauge(profile, mm);
    const bool by_gauge =
        gauge.by_gauge && fabs(gauge.thickness - mm) < fabs(metric.thickness - mm);
    char words[WORDS];

    tw_output_print(out, NULL, "; nearest sheet %s",
                    stock_words(by_gauge ? &gauge : &metric, units, words, sizeof words));
    if (gauge.by_gauge)
        tw_output_print(out, NULL, " or %s",
                        stock_words(by_gauge ? &metric : &gauge, units, words, sizeof words));
    tw_output_print(out, NULL, "\n");
}

void tw_show_area_text(tw_output *out, const tw_args *args, const tw_profile *profile,
                       const tw_budget *budget)
{
    const tw_units units = (tw_units)args->units;
    const bool sure = !args->quick && isfinite(budget->expanded) && budget->expanded > 0;
    char words[2 * WORDS];

    tw_output_print(out, NULL, "%s, by its area and scale weight\n", profile->plate);
    tw_output_print(out, NULL, "  mass            %s as read on the scale\n",
                    tw_write_mass(profile->scale, units, -1, words, WORDS));
    tw_output_print(out, NULL, "  face area       %s\n",
                    tw_write_area(profile->area, units, words, WORDS));
    tw_output_print(out, NULL, "  thickness       %s%s on average",
                    tw_cli_thickness_within(budget->value, sure ? budget->expanded : NAN, units,
                                            words, sizeof words),
                    sure ? " (95 %)" : "");
    show_stock(out, units, profile, budget->value);
    if (sure)
        tw_show_largest(out, budget);
    if (args->budget)
        tw_show_budget(out, units, budget, false);
}

json_t *tw_show_area_json(const tw_args *args, const tw_profile *profile, const tw_budget *budget)
{
    json_t *thickness = json_pack("{s:n,s:n,s:o,s:n,s:n}", "min", "min_at_mm", "mean",
                                  tw_json_number(budget->value), "max", "max_at_mm");
    json_t *map = json_pack(
        "{s:n,s:o,s:n,s:o,s:o,s:n,s:n,s:o,s:n,s:[],s:n,s:n,s:n,s:o}", "map", "mass_g",
        tw_json_number(profile->scale), "numerical_error_g", "volume_mm3",
        tw_json_number(profile->scale / profile->density), "face_area_mm2",
        tw_json_number(profile->area), "centroid_mm", "inertia_g_mm2", "thickness_mm", thickness,
        "steepest_grade_mm_per_100mm", "zones", "uncertainty", "uncertainty_missing", "agreement",
        "mean_thickness_uncertainty", args->quick ? json_null() : tw_budget_json(budget, false));

    return tw_weigh_document(profile->plate, json_null(),
                             json_pack("[o]", tw_extra_json(map, NULL)));
}

/* The mass is the scale's own, and its ± that of the scale's rows of the budget. */
static double scale_u(const tw_budget *budget)
{
    tw_sum square = {0, 0};

    for (size_t k = 0; k < budget->count; k++) {
        const tw_budget_row *row = &budget->rows[k];
        if (row->kind == TW_ROW_SCALE_READING || row->kind == TW_ROW_SCALE_CALIBRATION)
            tw_sum_add(&square, row->u * row->u);
    }
    return sqrt(tw_sum_value(&square));
}

void tw_show_area_csv(tw_output *out, const tw_profile *profile, const tw_budget *budget)
{
    const double mean = profile->scale / (profile->area * profile->density);
    const double u = budget ? scale_u(budget) : NAN;
    const double values[] = {profile->scale,
                             NAN,
                             profile->scale / profile->density,
                             profile->area,
                             mean,
                             NAN,
                             NAN,
                             NAN,
                             NAN,
                             NAN,
                             NAN,
                             u,
                             tw_student_t(0.95, INFINITY) * u,
                             budget ? budget->u : NAN,
                             budget ? budget->expanded : NAN};

    tw_weigh_csv_row(out, profile->plate, "", "", values, sizeof values / sizeof *values);
}
