/*
 * stock_sheet.c: rectangles cut from a sheet. Shears cut right across, so that a sheet is divided by
 * one cut into columns that stand one way and columns that are turned; every such division is tried,
 * along either side of the sheet. Better packings of rectangles exist (pinwheels), but no pair of
 * shears cuts them.
 */
#include "stock_internal.h"

#include <math.h>

/* A box as long as the sheet fits it: lengths that went through a root miss by their last bits. */
#define ROUNDING 1e-9

static size_t times(double length, double part)
{
    return (size_t)floor(length / part * (1 + ROUNDING));
}

/* Columns `a` wide along `length`, each with as many as `height` takes, the rest turned. */
static size_t best_division(double length, double height, double a, double b)
{
    const size_t rows = times(height, b), turned = times(height, a), most = times(length, a);
    size_t best = 0;

    for (size_t columns = 0; columns <= most; columns++) {
        const double left = fmax(length - (double)columns * a, 0);
        const size_t count = columns * rows + times(left, b) * turned;
        best = count > best ? count : best;
    }
    return best;
}

size_t tw_boxes_in_sheet(const double sheet[2], const double box[2])
{
    const size_t along = best_division(sheet[0], sheet[1], box[0], box[1]);
    const size_t across = best_division(sheet[1], sheet[0], box[0], box[1]);

    return along > across ? along : across;
}

double tw_box_over_sheet(const double sheet[2], const double box[2])
{
    return fmin(fmax(box[0] / sheet[0], box[1] / sheet[1]),
                fmax(box[0] / sheet[1], box[1] / sheet[0]));
}
