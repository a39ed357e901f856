/*
 * slope.c: how a plate's mass answers to small changes of its thickness, cell by cell: the rule of
 * cell.c differentiated. dV/dt of a cell is its area as it lies at the face that moves,
 * 1 + 2Hs + Ks² (outside face given: the inner one, s = −t), and with the middle face given the half
 * of both. A crease piece, slope·S₂ with S₂ = power[2]·t², goes half to each side.
 */
#include "weigh_internal.h"

#include <math.h>

void tw_cell_mass_slopes(const tw_grid *grid, const double *thickness, const double *node,
                         tw_face_side face, double density, double *slope)
{
    const tw_rule rule = tw_rule_of(face);
    const size_t cells = tw_grid_cells(grid);

    for (size_t k = 0; k < cells; k++) {
        const double t = thickness[k];
        slope[k] = grid->area[k] > 0 ? density * grid->area[k] *
                                           (1 + t * (2 * grid->mean_curvature[k] * rule.power[2] +
                                                     t * grid->gauss_curvature[k] * rule.power[3]))
                                     : 0;
    }
    for (size_t k = 0; k < grid->crease_count; k++) {
        const tw_crease *crease = &grid->creases[k];
        if (tw_crease_mitred(grid, crease)) {
            const double t = tw_crease_thickness(grid, crease, node);
            const double half =
                density * crease->length * tan(0.5 * crease->turn) * rule.power[2] * t;
            slope[crease->left_cell] += half;
            slope[crease->right_cell] += half;
        }
    }
}
