/*
 * bench_png.c: encoding the comparison's picture alone, written to /dev/null: no drawing can be
 * quicker than its own file. Give it a profile and the picture's width:
 *     bench_png PROFILE.yaml [WIDTH [PIXELS.ppm]]
 * Prints
 *     png WIDTH HEIGHT MS
 * with the median time. The third argument keeps the pixels, so that png_pillow.py can encode the
 * same picture.
 */
#include "bench.h"
#include "drawn.h"

#include "taperwright/compare.h"
#include "taperwright/draw.h"
#include "taperwright/files.h"
#include "taperwright/profile.h"
#include "taperwright/weigh.h"

#include <stdint.h>
#include <stdio.h>

enum { RUNS = 9 };

static tw_status picture(const char *path, size_t width, tw_image *image, tw_error *err)
{
    const tw_draw_options options = {.width = width, .which = SIZE_MAX};
    tw_notes notes = {0};
    tw_profile *profile = NULL;
    tw_plate *plate = NULL;
    tw_comparison comparison;
    tw_status status = tw_profile_read(path, NULL, 0, &profile, &notes);

    if (status != TW_OK) {
        *err = notes.items[0];
        return status;
    }
    status = tw_plate_build(profile, NULL, &plate, err);
    if (status == TW_OK)
        status = tw_compare(plate, 0, &comparison, err);
    if (status == TW_OK)
        status = test_drawn(
            tw_draw_comparison(&comparison, TW_PAPER_PNG, &options, test_canvas(), err), image);
    tw_plate_free(plate);
    tw_profile_free(profile);
    return status;
}

static tw_status encode(const tw_image *image, double *took, tw_error *err)
{
    tw_output *out = NULL;
    tw_status status = tw_output_begin("/dev/null", &out, err);
    double start;

    if (status != TW_OK)
        return status;
    start = bench_now_ms();
    status = tw_png_write(out, image, 0, NULL, 0, 1, err);
    if (status != TW_OK) {
        tw_output_abandon(out);
        return status;
    }
    status = tw_output_commit(out, err);
    *took = bench_now_ms() - start;
    return status;
}

static tw_status keep(const tw_image *image, const char *path, tw_error *err)
{
    tw_output *out = NULL;
    tw_status status = tw_output_begin(path, &out, err);

    if (status != TW_OK)
        return status;
    tw_output_print(out, err, "P6 %zu %zu 255\n", image->width, image->height);
    tw_output_write(out, image->pixels, 3 * image->width * image->height, err);
    return tw_output_commit(out, err); /* tells an earlier failure too */
}

int main(int argc, char **argv)
{
    const size_t width = argc > 2 ? (size_t)strtoul(argv[2], NULL, 10) : 1600;
    tw_error error = {.message = ""};
    tw_image image = {0};
    double took[RUNS];
    tw_status status;

    if (argc < 2) {
        fprintf(stderr, "usage: bench_png PROFILE.yaml [WIDTH [PIXELS.ppm]]\n");
        return 2;
    }
    status = picture(argv[1], width, &image, &error);
    for (int k = 0; status == TW_OK && k < RUNS; k++)
        status = encode(&image, &took[k], &error);
    if (status == TW_OK && argc > 3)
        status = keep(&image, argv[3], &error);
    if (status == TW_OK)
        printf("png %zu %zu %.3f\n", image.width, image.height, bench_median(took, RUNS));
    else
        fprintf(stderr, "bench_png: %s\n", error.message);
    tw_image_release(&image);
    return status == TW_OK ? 0 : 1;
}
