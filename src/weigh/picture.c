/*
 * picture.c: a thickness map as levels of grey and as a CSV grid, node by node of the grid from the top
 * down. Pixels are nodes, not points of a raster of their own, so that reading a picture back on the same
 * grid gives the same numbers but for rounding to levels; where a step across differs from a step up, the
 * text chunks give both. A node has a thickness when it lies in metal, or at a corner of a cell that has
 * some: cells on the outline are read between all four.
 */
#include "picture_internal.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

/* ---- shared with the face ------------------------------------------------------------------------- */

void tw_picture_say(tw_picture *picture, const char *keyword, const char *format, ...)
{
    char *word = picture->words[picture->grey.text_count];
    va_list arguments;

    assert(picture->grey.text_count < TW_PICTURE_TEXTS);
    va_start(arguments, format);
    tw_format_list(word, sizeof picture->words[0], format, arguments);
    va_end(arguments);
    picture->texts[picture->grey.text_count] = (tw_png_text){keyword, word};
    picture->grey.text_count++;
    picture->grey.texts = picture->texts;
}

void tw_picture_title(tw_picture *picture, const tw_plate *plate, const char *what)
{
    const char *name = plate->profile->plate ? plate->profile->plate : "plate";

    tw_picture_say(picture, "Title", "%.150s: %s", name, what);
    tw_picture_say(picture, "Software", "taperwright");
}

double tw_picture_step(double span)
{
    double step = 1e-4;

    for (int k = 0; span / step > 65534; k++) /* 1, 2, 5, 10, … */
        step *= k % 3 == 1 ? 2.5 : 2;
    return step;
}

/* ---- the map ---------------------------------------------------------------------------------------- */

/* Is a node in metal, or at a corner of a cell with metal? */
static bool has_thickness(const tw_grid *grid, size_t i, size_t j)
{
    const size_t columns = grid->nu - 1, rows = grid->nv - 1;

    if (grid->level[j * grid->nu + i] <= 0)
        return true;
    for (size_t v = j > 0 ? j - 1 : 0; v <= j && v < rows; v++)
        for (size_t u = i > 0 ? i - 1 : 0; u <= i && u < columns; u++)
            if (grid->area[v * columns + u] > 0)
                return true;
    return false;
}

static double thickest_of(const tw_map *map)
{
    double most = 0;

    for (size_t j = 0; j < map->grid->nv; j++)
        for (size_t i = 0; i < map->grid->nu; i++)
            if (has_thickness(map->grid, i, j))
                most = fmax(most, map->node[j * map->grid->nu + i]);
    return most;
}

static void say_map(tw_picture *picture, const tw_plate *plate, const tw_map *map, double step)
{
    const tw_grid *grid = map->grid;
    char what[80];

    snprintf(what, sizeof what, "thickness, %s map", tw_map_word(map->kind));
    tw_picture_title(picture, plate, what);
    tw_picture_say(
        picture, "Description",
        "Thickness [mm] = level x mm per level; level 0 is no metal. Laid out by tape, as "
        "one faces the outside: rows run from the top down.");
    tw_picture_say(picture, TW_PICTURE_QUANTITY, "thickness");
    tw_picture_say(picture, TW_PICTURE_UNIT, "mm");
    tw_picture_say(picture, TW_PICTURE_LEVEL, "%.12g", step);
    tw_picture_say(picture, TW_PICTURE_OFFSET, "0");
    tw_picture_say(picture, TW_PICTURE_PIXEL, "%.17g", grid->across_step);
    tw_picture_say(picture, TW_PICTURE_PIXEL_UP, "%.17g", grid->up_step);
    tw_picture_say(picture, TW_PICTURE_LEFT, "%.17g", grid->across_min - 0.5 * grid->across_step);
    tw_picture_say(picture, TW_PICTURE_TOP, "%.17g",
                   tw_grid_up(grid, grid->nv - 1) + 0.5 * grid->up_step);
}

tw_status tw_map_write_png(const tw_plate *plate, const tw_plate_map *map, tw_output *out,
                           tw_error *err)
{
    const tw_grid *grid = plate->grid;
    const double most = thickest_of(&map->map), step = tw_picture_step(most);
    tw_picture *picture;
    tw_status status;

    assert(plate && map && out && map->map.grid == grid);
    if (!(most <= 65535 * 0.1)) {
        status = tw_fail(err, TW_ERR_DOMAIN, "%g mm is too thick for a picture", most);
        tw_error_advise(err, NULL, "levels reach %g m", 65535 * 0.1 / 1000);
        return status;
    }
    picture = calloc(1, sizeof *picture);
    if (picture)
        picture->grey.levels = calloc(grid->nu * grid->nv, sizeof *picture->grey.levels);
    if (!picture || !picture->grey.levels) {
        free(picture);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of %zu by %zu levels", grid->nu,
                       grid->nv);
    }
    picture->grey.width = grid->nu;
    picture->grey.height = grid->nv;
    for (size_t j = 0; j < grid->nv; j++)
        for (size_t i = 0; i < grid->nu; i++)
            if (has_thickness(grid, i, j))
                picture->grey.levels[(grid->nv - 1 - j) * grid->nu + i] =
                    (uint16_t)fmax(1, fmin(round(map->map.node[j * grid->nu + i] / step), 65535));
    say_map(picture, plate, &map->map, step);
    status = tw_png_grey_write(out, &picture->grey, err);
    free(picture->grey.levels);
    free(picture);
    return status;
}

/* ---- CSV --------------------------------------------------------------------------------------------- */

tw_status tw_map_write_grid(const tw_plate *plate, const tw_plate_map *map, tw_output *out,
                            tw_error *err)
{
    const tw_grid *grid = plate->grid;
    tw_status status = tw_output_print(out, err, "across_mm,up_mm,x_mm,y_mm,z_mm,thickness_mm\n");

    assert(map->map.grid == grid);
    for (size_t j = grid->nv; j-- > 0 && status == TW_OK;)
        for (size_t i = 0; i < grid->nu && status == TW_OK; i++) {
            const size_t n = j * grid->nu + i;
            char thickness[32] = "";
            if (has_thickness(grid, i, j))
                tw_format(thickness, sizeof thickness, "%.17g", map->map.node[n]);
            status = tw_output_print(out, err, "%.17g,%.17g,%.17g,%.17g,%.17g,%s\n",
                                     tw_grid_across(grid, i), tw_grid_up(grid, j), grid->x[n],
                                     grid->y[n], grid->z[n], thickness);
        }
    return status;
}
