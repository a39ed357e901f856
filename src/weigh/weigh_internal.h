/* weigh_internal.h: the rule of a solid cell and its sums, shared inside the weigh room. */
#ifndef WEIGH_INTERNAL_H
#define WEIGH_INTERNAL_H

#include "taperwright/weigh.h"

/** Coefficients of the rule for a thickness of 1 mm: (s₁ᵏ − s₀ᵏ) for k = 2 … 5, and the ends. */
typedef struct tw_rule {
    double power[6]; /**< [1] is 1, [0] is not used */
    double low, high;
} tw_rule;
tw_rule tw_rule_of(tw_face_side face);

/** Volume of the metal over 1 mm² of face [mm]: ∫(1 + 2Hs + Ks²) ds from s₀ to s₁. */
static inline double tw_layer_volume(const tw_rule *rule, double mean, double gauss, double t)
{
    return t * (1 + t * (mean * rule->power[2] + t * gauss * (rule->power[3] / 3)));
}

/** What is summed over a plate, about an origin near it. */
enum {
    TW_VOLUME,
    TW_FIRST_X,
    TW_FIRST_Y,
    TW_FIRST_Z,
    TW_SECOND_XX,
    TW_SECOND_XY,
    TW_SECOND_XZ,
    TW_SECOND_YY,
    TW_SECOND_YZ,
    TW_SECOND_ZZ,
    TW_FACE_AREA,
    TW_FACE_THICKNESS, /**< area × thickness */
    TW_TERMS
};

enum { TW_CHUNK = 256 };
/**
 * @brief Sum cells [first, last), at most TW_CHUNK of them.
 * @param[out] terms  TW_TERMS plain sums
 * @return whether a cell may be unsound: a thickness not above zero, or a fold
 */
bool tw_cells_sum(const tw_grid *grid, const double *thickness, const tw_rule *rule,
                  const double origin[3], size_t first, size_t last, double *terms);

/** A crease piece that is mitred: metal on both sides. */
static inline bool tw_crease_mitred(const tw_grid *grid, const tw_crease *crease)
{
    return crease->left_cell != SIZE_MAX && crease->right_cell != SIZE_MAX &&
           grid->area[crease->left_cell] > 0 && grid->area[crease->right_cell] > 0;
}
static inline double tw_crease_thickness(const tw_grid *grid, const tw_crease *crease,
                                         const double *node)
{
    return 0.5 * (node[crease->node] + node[crease->node + grid->nu]);
}
/** Volume that the mitre of a crease piece adds (> 0 where sides part, < 0 where they overlap). */
double tw_crease_volume(const tw_crease *crease, const tw_rule *rule, double t);
/** @brief The same with moments, added to `terms`. */
void tw_crease_sum(const tw_crease *crease, const tw_rule *rule, double t, const double origin[3],
                   tw_sum *terms);

/** What is wrong with a plate: the first cell without thickness, the worst fold. */
typedef struct tw_fault {
    size_t bare_cell, fold_cell; /**< SIZE_MAX when there is none */
    double fold_reach;           /**< metal's reach towards the hollow side, in radii: ≥ 1 */
} tw_fault;
tw_fault tw_fault_none(void);
/** @brief Look at each of the cells [first, last) and keep the first bare one and worst fold. */
void tw_cells_examine(const tw_grid *grid, const double *thickness, const tw_rule *rule,
                      size_t first, size_t last, tw_fault *fault);
/** @brief Join what a later range of cells found to what earlier ones did. */
void tw_fault_join(tw_fault *fault, const tw_fault *later);
/** @return TW_OK, TW_ERR_DOMAIN for a bare cell, TW_ERR_SHAPE for a fold, with the place. */
tw_status tw_fault_tell(const tw_fault *fault, const tw_grid *grid, const double *thickness,
                        const tw_rule *rule, tw_error *err);

/** @brief Where a cell's sampling point lies on the tape. */
void tw_cell_tape(const tw_grid *grid, size_t cell, double tape[2]);
/** @brief Check density and the thickness along creases, which the loop over cells does not see. */
tw_status tw_inputs_check(const tw_grid *grid, const double *node, double density, tw_error *err);

#endif
