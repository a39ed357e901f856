/* drawn.h: drawings as pixels, for tests that look at them. */
#ifndef DRAWN_H
#define DRAWN_H

#include "taperwright/draw.h"
#include "taperwright/files.h"

/** A new output for one drawing, in a file that nobody else sees. One at a time. */
tw_output *test_canvas(void);
/**
 * @brief What was drawn as PNG into test_canvas(), as pixels.
 * @param status  of the drawing; returned
 * @param[out] image  left alone unless status is TW_OK; pair with tw_image_release()
 */
tw_status test_drawn(tw_status status, tw_image *image);
/** @brief The bytes of any drawing instead, from malloc. */
tw_status test_drawn_bytes(tw_status status, char **bytes, size_t *size);

/** @return how many pairs of a drawing's texts overlap, by the ink of their letters; they are printed. */
size_t test_overlaps(const tw_words *words);
/** Fails unless no two texts of a drawing overlap, or when there is none. */
void test_assert_clear(const tw_words *words);

#endif
