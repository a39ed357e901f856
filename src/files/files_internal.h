/* files_internal.h: shared inside the files room. */
#ifndef TW_FILES_INTERNAL_H
#define TW_FILES_INTERNAL_H

#include "taperwright/files.h"

/** @return plain words for an errno, the same in every locale and thread; NULL when unknown. */
const char *tw_errno_text(int number);
/** @brief Set an error that names a file and what the system said of it. */
tw_status tw_file_fail(tw_error *err, tw_status status, const char *path, const char *what,
                       int number);
/** @brief Bytes of an open file until its end, never more than the ceiling; *data ends with a NUL and is
 * from malloc. An empty one is an error. */
tw_status tw_file_read_open(int file, const char *path, size_t expected, size_t ceiling,
                            char **data, size_t *size, tw_error *err);
/** @brief Write all bytes, in one piece where the system takes them so. @return 0, or the errno. */
int tw_file_write_all(int file, const char *bytes, size_t size);
/** @brief Bring the name of a file to disk: fsync of its folder, where the file system can. */
void tw_file_sync_folder(const char *target);

/** A piece of a stream of pixels: `size` bytes from `from` on. */
typedef struct tw_png_strip {
    unsigned char *bytes;
    size_t from, size, raw; /* raw: before they were packed */
    unsigned long sum;      /* Adler-32 of these */
} tw_png_strip;
typedef struct tw_png_strips {
    size_t count;
    tw_png_strip *strips; /* one after the other they are what IDAT chunks hold */
} tw_png_strips;
/** @brief Pack pixels for IDAT chunks: the same bytes for any number of threads.
 * @param[out] out  pair with tw_png_strips_release(); empty on failure. @return TW_OK; TW_ERR_MEMORY */
tw_status tw_png_strips_pack(const tw_image *image, unsigned threads, tw_png_strips *out,
                             tw_error *err);
void tw_png_strips_release(tw_png_strips *strips);

#endif
