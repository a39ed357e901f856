/*
 * picture.c: a picture of 16-bit grey beside a profile, and what its levels and pixels mean: by keys of the
 * profile, else by what the file says itself in its text chunks. A thickness map is read here whole; heights
 * become rows of points in heights.c.
 */
#include "profile_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double THICKEST = 100; /* [mm]: beyond it a step of levels is mistaken; chosen here */

typedef struct meaning {
    tw_reader *reader;
    const tw_picture_keys *keys;
    const tw_grey *grey;
    const char *path;
} meaning;

static void fault(const meaning *m, const char *value, const char *advice, const char *message)
{
    tw_reader_fault(m->reader, m->keys->file_place, TW_ERR_INPUT, value, advice, "file \"%s\": %s",
                    m->path, message);
}

/* ---- what the file says itself ----------------------------------------------------------------- */

static void bad_text(const meaning *m, const char *keyword, const char *text, const char *wants)
{
    char message[160];

    snprintf(message, sizeof message, "its text chunk \"%s\" is \"%.40s\"", keyword, text);
    fault(m, text, wants, message);
}

/* A key's value, else the chunk's, else NaN; bounds are those of the key. False after an error. */
static bool choose(const meaning *m, double given, const char *keyword, double least, double most,
                   double *out)
{
    const char *text = tw_grey_text(m->grey, keyword);
    double value;

    *out = given;
    if (!isnan(given) || !text)
        return true;
    if (tw_quantity_read(text, TW_LENGTH, TW_RULER_MM, &value, NULL) != TW_OK ||
        !(value >= least && value <= most)) {
        bad_text(m, keyword, text, "write a number of mm, or give it in the profile");
        return false;
    }
    *out = value;
    return true;
}

static bool check_words(const meaning *m, const char *quantity)
{
    const char *what = tw_grey_text(m->grey, TW_PICTURE_QUANTITY);
    const char *unit = tw_grey_text(m->grey, TW_PICTURE_UNIT);
    char message[160];

    if (what && strcmp(what, quantity) != 0) {
        snprintf(message, sizeof message, "it is a picture of %.40s, where %s is wanted", what,
                 quantity);
        fault(m, what,
              strcmp(what, "height") == 0      ? "give it to form: {heights: …}"
              : strcmp(what, "thickness") == 0 ? "give it to thickness: {image: …}"
                                               : NULL,
              message);
        return false;
    }
    if (unit && strcmp(unit, "mm") != 0) {
        bad_text(m, TW_PICTURE_UNIT, unit, "numbers of a picture are in mm");
        return false;
    }
    return true;
}

static bool need(const meaning *m, double value, const char *key, const char *example,
                 const char *message, const char *keyword)
{
    char advice[160];

    if (!isnan(value))
        return true;
    snprintf(advice, sizeof advice, "add \"%s: %s\", or give the file a text chunk \"%s\"", key,
             example, keyword);
    tw_reader_fault(m->reader, m->keys->file_place, TW_ERR_KEY, NULL, advice, "file \"%s\" %s",
                    m->path, message);
    return false;
}

static bool find_scale(const meaning *m, tw_picture_spec *out)
{
    const tw_picture_keys *keys = m->keys;
    bool whole = choose(m, keys->pixel, TW_PICTURE_PIXEL, 1e-3, 1e4, &out->across_step);

    /* a key for both goes before the file's own for one */
    if (isnan(keys->pixel_up) && !isnan(keys->pixel))
        out->up_step = keys->pixel;
    else
        whole = choose(m, keys->pixel_up, TW_PICTURE_PIXEL_UP, 1e-3, 1e4, &out->up_step) && whole;
    whole = choose(m, keys->level, TW_PICTURE_LEVEL, 1e-6, 10, &out->level_step) && whole;
    whole = choose(m, keys->offset, TW_PICTURE_OFFSET, -1e4, 1e4, &out->offset) && whole;
    whole = choose(m, keys->left, TW_PICTURE_LEFT, -1e4, 1e4, &out->left) && whole;
    whole = choose(m, keys->top, TW_PICTURE_TOP, -1e4, 1e4, &out->top) && whole;
    if (!whole)
        return false;
    if (isnan(out->up_step))
        out->up_step = out->across_step;
    if (isnan(out->offset))
        out->offset = 0;
    whole = need(m, out->across_step, "mm per pixel", "0.5 mm",
                 "has no scale: it does not say how large a pixel is", TW_PICTURE_PIXEL);
    return need(m, out->level_step, "mm per level", "0.001 mm",
                "has no scale: it does not say how many mm a level is", TW_PICTURE_LEVEL) &&
           whole;
}

/* ---- the picture --------------------------------------------------------------------------------- */

void tw_picture_keys_init(tw_picture_keys *keys)
{
    memset(keys, 0, sizeof *keys);
    keys->pixel = keys->pixel_up = keys->level = NAN;
    keys->offset = keys->left = keys->top = NAN;
}

static bool has_levels(const tw_grey *grey)
{
    for (size_t k = 0; k < grey->width * grey->height; k++)
        if (grey->levels[k] > 0)
            return true;
    return false;
}

bool tw_picture_beside(tw_reader *reader, const tw_picture_keys *keys, const char *quantity,
                       tw_grey *grey, tw_picture_spec *out)
{
    meaning m = {reader, keys, grey, NULL};
    tw_error err;
    tw_status status;

    if (!keys->file) /* told already */
        return false;
    m.path = tw_document_beside(reader, keys->file);
    if (!m.path)
        return false;
    status = tw_png_grey_read(m.path, grey, &err);
    if (status != TW_OK) {
        if (status == TW_ERR_MEMORY)
            reader->no_memory = true;
        tw_reader_fault(reader, keys->file_place, status, m.path,
                        err.advice[0] ? err.advice : "its path is relative to the profile's folder",
                        "file \"%s\": %s", m.path, err.message);
        return false;
    }
    *out = (tw_picture_spec){
        .file = m.path, .width = grey->width, .height = grey->height, .place = keys->file_place};
    if (!check_words(&m, quantity) || !find_scale(&m, out))
        return false;
    if (has_levels(grey))
        return true;
    fault(&m, NULL, "level 0 is nothing there; any other counts", "every level of it is 0");
    return false;
}

/* ---- thickness ------------------------------------------------------------------------------------ */

static bool check_image(tw_reader *reader, const tw_picture_keys *keys, const tw_grey *grey,
                        const tw_picture_spec *spec)
{
    const meaning m = {reader, keys, grey, spec->file};
    unsigned low = 65535, high = 0;
    double least, most;
    char message[160];
    bool placed =
        need(&m, spec->left, "left", "-150 mm",
             "has no place: it does not say where its left border lies across", TW_PICTURE_LEFT);

    placed = need(&m, spec->top, "top", "420 mm",
                  "has no place: it does not say how far up its top border lies", TW_PICTURE_TOP) &&
             placed;
    for (size_t k = 0; k < grey->width * grey->height; k++) {
        const unsigned level = grey->levels[k];
        if (level > 0) {
            low = level < low ? level : low;
            high = level > high ? level : high;
        }
    }
    least = spec->offset + low * spec->level_step;
    most = spec->offset + high * spec->level_step;
    if (least > 0 && most <= THICKEST)
        return placed;
    snprintf(message, sizeof message, "its levels would be %.3g mm to %.3g mm of metal", least,
             most);
    tw_reader_fault(reader, keys->file_place, TW_ERR_DOMAIN, NULL,
                    least > 0 ? "is mm per level right? Plate is at most 100 mm thick here"
                              : "level 0 is no metal; all others have to be above zero: is offset "
                                "right?",
                    "file \"%s\": %s", spec->file, message);
    return false;
}

void tw_read_image(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_image_map_spec *spec = &reader->profile->image;
    tw_image_keys keys = {.uncertainty = NAN};
    tw_grey grey = {0};
    uint16_t *levels;

    (void)target;
    tw_picture_keys_init(&keys.picture);
    if (!tw_read_map(reader, node, key->inside, key->name, &keys))
        return;
    spec->uncertainty = keys.uncertainty;
    if (tw_picture_beside(reader, &keys.picture, "thickness", &grey, &spec->picture) &&
        check_image(reader, &keys.picture, &grey, &spec->picture)) {
        const size_t count = grey.width * grey.height;
        levels = tw_reader_array(reader, count, sizeof *levels);
        if (levels)
            memcpy(levels, grey.levels, count * sizeof *levels);
        spec->levels = levels;
        reader->profile->has_image = levels != NULL;
    }
    tw_grey_release(&grey);
}
