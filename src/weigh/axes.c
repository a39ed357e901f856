/*
 * axes.c: principal moments and axes of inertia: eigenvalues of a symmetric 3×3 matrix by Jacobi's
 * rotations, which stay exact to rounding however close the moments lie together.
 * Source: C. G. J. Jacobi, Crelle's Journal 30 (1846); the rotation as commonly written, from the
 * smaller root of x² + 2x·cot(2φ) − 1 = 0.
 */
#include "taperwright/weigh.h"

#include <math.h>

/* Turns rows and columns p, q so that matrix[p][q] becomes zero. */
static void rotate(double matrix[3][3], double axes[3][3], int p, int q)
{
    const double off = matrix[p][q];
    const double cot = 0.5 * (matrix[q][q] - matrix[p][p]) / off; /* cot 2φ; may be infinite */
    const double tangent = copysign(1 / (fabs(cot) + hypot(1, cot)), cot);
    const double c = 1 / hypot(1, tangent), s = tangent * c;
    const int r = 3 - p - q;
    const double rp = matrix[r][p], rq = matrix[r][q];

    matrix[p][p] -= tangent * off;
    matrix[q][q] += tangent * off;
    matrix[p][q] = matrix[q][p] = 0;
    matrix[r][p] = matrix[p][r] = c * rp - s * rq;
    matrix[r][q] = matrix[q][r] = s * rp + c * rq;
    for (int k = 0; k < 3; k++) {
        const double ap = axes[p][k], aq = axes[q][k];
        axes[p][k] = c * ap - s * aq;
        axes[q][k] = s * ap + c * aq;
    }
}

void tw_principal_axes(const double inertia[3][3], double moments[3], double axes[3][3])
{
    static const int pair[3][2] = {{0, 1}, {0, 2}, {1, 2}};
    double matrix[3][3], turned[3][3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    int order[3] = {0, 1, 2};

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            matrix[i][j] = 0.5 * (inertia[i][j] + inertia[j][i]);
    for (int sweep = 0; sweep < 30; sweep++) { /* 6 are enough: convergence is quadratic */
        bool done = true;
        for (int k = 0; k < 3; k++) {
            const int p = pair[k][0], q = pair[k][1];
            if (fabs(matrix[p][q]) > 1e-17 * (fabs(matrix[p][p]) + fabs(matrix[q][q]))) {
                rotate(matrix, turned, p, q);
                done = false;
            }
        }
        if (done)
            break;
    }
    for (int k = 0; k < 2; k++) /* ascending; equal moments keep the order of x, y, z */
        for (int n = 0; n < 2; n++)
            if (matrix[order[n + 1]][order[n + 1]] < matrix[order[n]][order[n]]) {
                const int swap = order[n];
                order[n] = order[n + 1];
                order[n + 1] = swap;
            }
    for (int k = 0; k < 3; k++) {
        int largest = 0;
        moments[k] = matrix[order[k]][order[k]];
        for (int i = 0; i < 3; i++) {
            axes[k][i] = turned[order[k]][i];
            if (fabs(axes[k][i]) > fabs(axes[k][largest]) * (1 + 1e-9))
                largest = i;
        }
        if (axes[k][largest] < 0) /* one direction of the two: the largest part is positive */
            for (int i = 0; i < 3; i++)
                axes[k][i] = -axes[k][i];
    }
    tw_cross(axes[0], axes[1], axes[2]); /* right-handed */
}
