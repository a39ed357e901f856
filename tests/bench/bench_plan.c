/*
 * bench_plan.c: the least graded map of a 60° cap of a ball of 150 mm with two strike zones and its rim,
 * and the greatest thickness that a weight leaves. Prints, by medians in ms,
 *     plan NODES THREADS MARCHED OWN LEAST FITTED TRIAL MASS_G WORST_MM
 * MARCHED marches every distance, OWN takes those that the plate's forged map was made from; LEAST plans
 * the map, weighs and judges it, and makes it once more on a grid half as fine; FITTED is the same within
 * a weight; TRIAL one further map and its mass. WORST is against distances over the ball, R·angle.
 *     reach NODES THREADS MS TRIALS
 * is one quantity changed until the forged map has a weight.
 */
#include "bench.h"

#include "plan/plan_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { RUNS = 5, TRIALS = 40 };
static const double R = 150, G = 1 / 60.0, LEAST = 1;
static const double zones[2][4] = {{-40, 30, 25, 2.4},
                                   {50, -20, 20, 2.0}}; /* at, radius, thickness */

/* Angle between two places by tape from the crown. */
static double angle(const double a[2], const double b[2])
{
    const double p = hypot(a[0], a[1]) / R, q = hypot(b[0], b[1]) / R;
    const double turn = atan2(a[0], a[1]) - atan2(b[0], b[1]);

    return acos(fmin(1, fmax(-1, cos(p) * cos(q) + sin(p) * sin(q) * cos(turn))));
}

static double worst_of(const tw_grid *grid, const double *t)
{
    double worst = 0;

    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        const double at[2] = {tw_grid_across(grid, n % grid->nu), tw_grid_up(grid, n / grid->nu)};
        const double rim = R * TW_PI / 3 - hypot(at[0], at[1]);
        double exact = fmax(LEAST, 1.4 - G * fmax(rim, 0));
        for (int k = 0; k < 2; k++)
            exact = fmax(exact, zones[k][3] - G * fmax(R * angle(at, zones[k]) - zones[k][2], 0));
        if (grid->level[n] < 0)
            worst = fmax(worst, fabs(t[n] - exact));
    }
    return worst;
}

static bool measure_plan(const tw_plate *plate, unsigned threads)
{
    tw_plan_request request = {
        .least_mm = LEAST, .grade = G, .within_mm = NAN, .weight_g = NAN, .round_mm = 0.05};
    double took[5][RUNS], mass = 0, worst = 0, sum = 0;
    size_t nodes = plate->grid->nu * plate->grid->nv;
    tw_plate bare = *plate;

    bare.taper = NULL;

    for (int run = 0; run < RUNS; run++) {
        tw_plan *plan = NULL;
        tw_least least, fitted;
        tw_trial trial;
        double required[8], at = bench_now_ms();
        if (tw_plan_open(&bare, threads, &plan, NULL) != TW_OK)
            return false;
        took[0][run] = bench_now_ms() - at;
        tw_plan_free(plan);
        at = bench_now_ms();
        if (tw_plan_open(plate, threads, &plan, NULL) != TW_OK)
            return false;
        took[4][run] = bench_now_ms() - at;
        at = bench_now_ms();
        if (tw_plan_least(plan, &request, &least, NULL) != TW_OK)
            return false;
        took[1][run] = bench_now_ms() - at;
        mass = least.weight.mass_g;
        worst = worst_of(plate->grid, least.map.node);
        request.weight_g = 0.97 * mass;
        at = bench_now_ms();
        if (tw_plan_least(plan, &request, &fitted, NULL) != TW_OK)
            return false;
        took[2][run] = bench_now_ms() - at;
        request.weight_g = NAN;
        if (tw_trial_make(plan, plan->arena, &trial, NULL) != TW_OK)
            return false;
        at = bench_now_ms();
        for (int k = 0; k < TRIALS; k++) {
            for (size_t j = 0; j < plan->count; j++)
                required[j] = plan->fields[j].asked - 0.01 * k;
            sum += tw_trial_mass(plan, &trial, required, LEAST, G);
        }
        took[3][run] = (bench_now_ms() - at) / TRIALS;
        tw_least_release(&least);
        tw_least_release(&fitted);
        tw_plan_free(plan);
    }
    printf("plan %zu %u %.2f %.2f %.2f %.2f %.3f %.3f %.5f\n", nodes, threads,
           bench_median(took[0], RUNS), bench_median(took[4], RUNS), bench_median(took[1], RUNS),
           bench_median(took[2], RUNS), bench_median(took[3], RUNS), mass, worst);
    return sum > 0;
}

static bool measure_reach(const tw_plate *plate, unsigned threads)
{
    const double own = tw_plate_map_of(plate, TW_MAP_FORGED)->weight.mass_g;
    double took[RUNS];
    size_t trials = 0;

    for (int run = 0; run < RUNS; run++) {
        const double at = bench_now_ms();
        tw_reach reach;
        if (tw_plan_reach(plate, "strike.all", 0.97 * own, 0, threads, &reach, NULL) != TW_OK)
            return false;
        took[run] = bench_now_ms() - at;
        trials = reach.trials;
        tw_reach_release(&reach);
    }
    printf("reach %zu %u %.2f %zu\n", plate->grid->nu * plate->grid->nv, threads,
           bench_median(took, RUNS), trials);
    return true;
}

int main(int argc, char **argv)
{
    const size_t nodes = argc > 1 ? (size_t)strtoul(argv[1], NULL, 10) : 512;
    const tw_plate_options options = {.cells = nodes - 1};
    tw_profile *profile = NULL;
    tw_plate *plate = NULL;
    char text[1024];
    bool well;

    snprintf(text, sizeof text,
             "plate: cap\nmaterial: mild steel\nruler: mm\nform: {bowl: {across: %.15g mm, up: "
             "%.15g mm, depth: 75 mm}}\nthickness:\n  forged:\n    strike:\n"
             "      - {name: one, at: [-40, 30], radius: 25 mm, thickness: 2.4 mm}\n"
             "      - {name: two, at: [50, -20], radius: 20 mm, thickness: 2.0 mm}\n"
             "    edges: [{edge: all, thickness: 1.4 mm}]\n",
             150 * sqrt(0.75), 150 * sqrt(0.75));
    well = tw_profile_read_memory("cap", text, strlen(text), NULL, 0, &profile, NULL) == TW_OK &&
           tw_plate_build(profile, &options, &plate, NULL) == TW_OK;
    for (unsigned threads = 1; well && threads <= 2; threads++)
        well = measure_plan(plate, threads) && measure_reach(plate, threads);
    tw_plate_free(plate);
    tw_profile_free(profile);
    return well ? 0 : 1;
}
