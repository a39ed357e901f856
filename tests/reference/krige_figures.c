/* krige_figures.c: prints the readings, points and results of a few krigings for krige_numpy.py, one
 * number list a line. Fixed scale and amplitude. */
#include <math.h>
#include <stdio.h>

#include "taperwright/thickness.h"

enum { READINGS = 60, POINTS = 80 };

/* A fixed sequence in 0…1: fractions of multiples of irrational numbers. */
static double fraction(int i, double step)
{
    return fmod((double)(i + 1) * step, 1);
}

static void place(double across, double up, size_t p, double at[3], double *basis)
{
    at[0] = across;
    at[1] = up;
    at[2] = sqrt(150.0 * 150.0 - across * across - up * up);
    basis[0] = 1;
    if (p > 1) {
        basis[1] = across;
        basis[2] = up;
    }
}

static void print_list(const char *name, size_t count, const double *list)
{
    printf("%s", name);
    for (size_t i = 0; i < count; i++)
        printf(" %.17g", list[i]);
    printf("\n");
}

static int print_case(size_t p, double scale, double amplitude, double surface)
{
    double at[READINGS][3], value[READINGS], noise[READINGS], basis[READINGS * 3];
    double node[POINTS][3], node_basis[POINTS * 3], weight[POINTS], mean[POINTS], sd[POINTS];
    double error[READINGS], error_sd[READINGS], sum[2];
    tw_krige *krige;

    for (int i = 0; i < READINGS; i++) {
        place(180 * fraction(i, 0.6180339887) - 90, 180 * fraction(i, 0.7548776662) - 90, p, at[i],
              basis + (size_t)i * p);
        value[i] = 2 - 1e-4 * at[i][0] * at[i][0] * 0.5 + 0.2 * sin(at[i][1] / 30) +
                   0.2 * (fraction(i, 0.5698402910) - 0.5);
        noise[i] = 0.02 + 0.05 * fraction(i, 0.3247179572);
    }
    for (int i = 0; i < POINTS; i++) {
        place(190 * fraction(i, 0.4142135624) - 95, 190 * fraction(i, 0.7320508076) - 95, p,
              node[i], node_basis + (size_t)i * p);
        weight[i] = 0.01 * fraction(i, 0.2360679775);
    }
    const tw_krige_data data = {.count = READINGS,
                                .position = at,
                                .value = value,
                                .noise = noise,
                                .surface = surface,
                                .basis_count = p,
                                .basis = basis,
                                .scale = scale,
                                .amplitude = amplitude};
    if (tw_krige_fit(&data, &krige, NULL) != TW_OK ||
        tw_krige_predict(krige, POINTS, node, node_basis, 1, mean, sd, NULL) != TW_OK ||
        tw_krige_sum(krige, POINTS, node, node_basis, weight, 1, sum, sum + 1, NULL) != TW_OK ||
        tw_krige_leave_one_out(krige, error, error_sd, NULL) != TW_OK)
        return 1;
    const tw_krige_summary about = tw_krige_about(krige);
    const double settings[] = {(double)p, scale, amplitude, surface, about.log_likelihood};
    print_list("case", 5, settings);
    print_list("at", READINGS * 3, &at[0][0]);
    print_list("value", READINGS, value);
    print_list("noise", READINGS, noise);
    print_list("basis", READINGS * p, basis);
    print_list("node", POINTS * 3, &node[0][0]);
    print_list("node_basis", POINTS * p, node_basis);
    print_list("weight", POINTS, weight);
    print_list("mean", POINTS, mean);
    print_list("sd", POINTS, sd);
    print_list("sum", 2, sum);
    print_list("error", READINGS, error);
    print_list("error_sd", READINGS, error_sd);
    print_list("end", 0, NULL);
    tw_krige_free(krige);
    return 0;
}

int main(void)
{
    return print_case(1, 60, 0.4, 0.05) || print_case(3, 60, 0.4, 0.05) ||
           print_case(3, 15, 0.2, 0.1) || print_case(1, 300, 1.2, 0);
}
