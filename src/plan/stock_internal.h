/* stock_internal.h: what the files that rank sheets share. */
#ifndef STOCK_INTERNAL_H
#define STOCK_INTERNAL_H

#include "taperwright/plan.h"

/** One sheet, and how far it is from possible. */
typedef struct tw_stock_row {
    tw_stock_choice choice;
    double miss; /**< 0 when possible; else logarithm of an area or thickness ratio, see stock.c */
} tw_stock_row;

/**
 * @brief How many rectangles of one size lie side by side in a sheet: columns one way round and then,
 * in what is left, columns turned by a right angle, whichever division holds most. Nothing is left for
 * a saw: shears take none.
 * @param sheet, box  two sides each [mm], > 0
 */
size_t tw_boxes_in_sheet(const double sheet[2], const double box[2]);

/** @return the factor by which the box is too long for the sheet, turned as fits best; <= 1: fits. */
double tw_box_over_sheet(const double sheet[2], const double box[2]);

/**
 * @brief Put a sentence to every row; rows stand in their order.
 * @return TW_OK; TW_ERR_MEMORY
 */
tw_status tw_stock_reasons(const tw_blank *blank, const tw_stock_request *request,
                           tw_stock_row *rows, size_t count, tw_arena *arena, tw_error *err);

#endif
