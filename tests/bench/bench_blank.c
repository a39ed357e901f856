/*
 * bench_blank.c: layouts of a 60° cap of a ball of 150 mm at three mesh sizes: area prescribed by a
 * thickness that falls from 1.2 to 0.6 of the stock, and as formed. Beside the time its error: the
 * rim against its closed form, R√(2∫(t/t₀) sin φ dφ) = 134.8010 mm, and 0.9980 R. Prints
 *     blank KIND NODES MS STEPS FACTORISATIONS RIM_MM
 * with the median time. `bench_blank NODES` does one size, as formed; else all. The peer is
 * blank_scipy.py.
 */
#include "bench.h"

#include "taperwright/blank.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { RUNS = 3 };

static double falling(double across, double up, void *context)
{
    (void)context;
    return 1.2 - 0.6 * hypot(across, up) / 150 / (TW_PI / 3);
}

static double mean_radius(const tw_layout *layout)
{
    double middle[2], sum = 0;
    const size_t count = layout->mesh->loop_first[1];

    if (!tw_layout_to_blank(layout, (double[2]){0, 0}, middle))
        return NAN;
    for (size_t k = 0; k < count; k++) {
        const double *at = layout->blank[layout->mesh->loop_node[k]];
        sum += hypot(at[0] - middle[0], at[1] - middle[1]) / (double)count;
    }
    return sum;
}

static bool measure(const tw_form *form, bool prescribed, size_t nodes)
{
    const tw_layout_options options = {.nodes = nodes, .stock = 1};
    double took[RUNS];

    for (int run = 0; run < RUNS; run++) {
        const double start = bench_now_ms();
        tw_layout *layout = NULL;
        if ((prescribed ? tw_layout_prescribed(form, falling, NULL, &options, &layout, NULL)
                        : tw_layout_as_formed(form, &options, &layout, NULL)) != TW_OK)
            return false;
        took[run] = bench_now_ms() - start;
        if (run + 1 == RUNS)
            printf("blank %s %zu %.0f %u %u %.4f\n", prescribed ? "prescribed" : "formed",
                   layout->mesh->node_count, bench_median(took, RUNS), layout->steps,
                   layout->factorisations, mean_radius(layout));
        tw_layout_free(layout);
    }
    return true;
}

int main(int argc, char **argv)
{
    static const size_t sizes[] = {1300, 5000, 20000};
    char text[512];
    tw_profile *profile = NULL;
    tw_form *form = NULL;
    bool well;

    snprintf(text, sizeof text,
             "plate: cap\nface: middle\nmaterial: mild steel\nform: {bowl: {across: %.15g mm, up: "
             "%.15g mm, depth: 75 mm}}\nthickness: {sheet: 1 mm}\n",
             150 * sqrt(0.75), 150 * sqrt(0.75));
    well = tw_profile_read_memory("cap", text, strlen(text), NULL, 0, &profile, NULL) == TW_OK &&
           tw_form_build(profile, &form, NULL, NULL) == TW_OK;
    if (argc > 1)
        well = well && measure(form, false, (size_t)strtoul(argv[1], NULL, 10));
    for (size_t k = 0; argc < 2 && well && k < 2 * (sizeof sizes / sizeof *sizes); k++)
        well = measure(form, k % 2 == 0, sizes[k / 2]);
    tw_form_free(form);
    tw_profile_free(profile);
    return well ? 0 : 1;
}
