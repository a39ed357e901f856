/*
 * files.h: bytes in and out. Whole files read under a ceiling; outputs that appear whole or not at
 * all; files that only grow; CSV tables; PNG pictures with text chunks, in colour and in grey levels.
 */
#ifndef TAPERWRIGHT_FILES_H
#define TAPERWRIGHT_FILES_H

#include "taperwright/base.h"

#ifdef __cplusplus
extern "C" {
#endif

/**
 * @brief Read a whole regular file into memory.
 * @param      ceiling  largest size accepted, bytes
 * @param[out] data     size bytes and a closing NUL, from malloc: free() it; untouched on failure
 * @return TW_OK; TW_ERR_INPUT (missing, a directory, not a regular file or pipe, empty);
 * TW_ERR_LIMIT (over the ceiling, told without reading it); TW_ERR_FILE (no permission, I/O)
 */
TW_API tw_status tw_file_read(const char *path, size_t ceiling, char **data, size_t *size,
                              tw_error *err);

/** An output on its way to disk: bytes collect in a temporary file in the target's folder, which
 * is fsynced and renamed onto the target when it is committed, and removed otherwise. */
typedef struct tw_output tw_output;
/**
 * @brief Begin an output. "-" is standard output (bytes are kept back until the commit).
 * @return TW_OK; TW_ERR_FILE (no permission, no such folder, target is a directory); TW_ERR_MEMORY
 * A target that is no regular file (/dev/full, a pipe) is written straight, without a rename.
 */
TW_API tw_status tw_output_begin(const char *path, tw_output **out, tw_error *err);
/** @brief Add bytes; a failure is remembered and told by the commit too. */
TW_API tw_status tw_output_write(tw_output *output, const void *bytes, size_t size, tw_error *err);
TW_API tw_status tw_output_print(tw_output *output, tw_error *err, const char *format, ...)
    TW_PRINTF(3, 4);
/** @brief Flush, fsync, rename, free. On failure the old file is whole and nothing is left over. */
TW_API tw_status tw_output_commit(tw_output *output, tw_error *err);
/** @brief Give up: nothing is left over. NULL is accepted. */
TW_API void tw_output_abandon(tw_output *output);

/** @brief Begin an output that no file is behind: tw_output_take() gives its bytes. Pair with
 * tw_output_abandon(). @return TW_OK; TW_ERR_MEMORY */
TW_API tw_status tw_output_hold(tw_output **out, tw_error *err);
/**
 * @brief The bytes written to such an output since the last time, and begin anew.
 * @param[out] bytes  size of them; borrowed until the next write
 * @return TW_OK; TW_ERR_MEMORY when not all of them could be held
 */
TW_API tw_status tw_output_take(tw_output *output, const char **bytes, size_t *size, tw_error *err);

/** An entry on its way to the end of a file that only grows. */
typedef struct tw_append tw_append;
/**
 * @brief Open a file to add to it, made when it is not there, and keep others of this kind from it
 * until the commit (an advisory lock; waits for theirs).
 * @param      ceiling  largest size accepted, bytes
 * @param[out] out      pair with tw_append_commit() or tw_append_abandon()
 * @param[out] text     what stands there, size bytes and a NUL; borrowed until then, or until bytes are added. Of what is no
 *                      regular file nothing is read
 * @return TW_OK; TW_ERR_FILE (no permission, no such folder, a directory, I/O); TW_ERR_LIMIT;
 * TW_ERR_INTERRUPTED (while waiting); TW_ERR_MEMORY
 */
TW_API tw_status tw_append_begin(const char *path, size_t ceiling, tw_append **out,
                                 const char **text, size_t *size, tw_error *err);
/**
 * @brief Add bytes in one write, fsync, free. Nothing that stands there is changed; a last line
 * without its end, left by a kill, is closed off first (an open quote of it too).
 * @param bytes  whole lines: size > 0, the last byte a line end
 * @return TW_OK: the bytes are on disk; else the file is as it was, or ends in a torn line when not even
 * that could be had
 */
TW_API tw_status tw_append_commit(tw_append *append, const char *bytes, size_t size, tw_error *err);
/**
 * @brief Add bytes as tw_append_commit() does, and stay open to add more.
 * @param sync  brought to disk before the call comes back; else a power cut may take them, a kill does not
 */
TW_API tw_status tw_append_add(tw_append *append, const char *bytes, size_t size, bool sync,
                               tw_error *err);
/** @brief Bring to disk what was added without. @return TW_OK; TW_ERR_FILE */
TW_API tw_status tw_append_sync(tw_append *append, tw_error *err);
/** @brief Keep the first `size` bytes of what stands there, at most its size, and drop the rest.
 * @return TW_OK; TW_ERR_FILE, and all of it stays */
TW_API tw_status tw_append_keep(tw_append *append, size_t size, tw_error *err);
/** @brief Give up; NULL is accepted. A file made by tw_append_begin() stays, empty. */
TW_API void tw_append_abandon(tw_append *append);
/** @brief tw_file_read() of such a file: one that is not there, or empty, is TW_OK with size 0. */
TW_API tw_status tw_append_read(const char *path, size_t ceiling, char **data, size_t *size,
                                tw_error *err);

/** A table of text cells: CSV as spreadsheets and people write it. Plain data in one arena. */
typedef struct tw_table {
    const char *file;     /**< for errors */
    size_t columns, rows; /**< rows without the header */
    const char **header;  /**< columns names, blanks around them off */
    const char **cell;    /**< rows·columns, row by row, unquoted, blanks around them off */
    int *line;            /**< rows: line of the file on which the row begins */
    int header_line;      /**< the same of the header row */
    char separator;       /**< ',', ';' or tab, as found in the header row */
    const char *text;     /**< the bytes as read, without byte order mark, ended by NUL */
    const char *cells;    /**< the copy that cells lie in, each at its own place of text */
    tw_arena *arena;
} tw_table;
enum { TW_TABLE_CEILING = 16 << 20 };
/**
 * @brief Read a CSV table (RFC 4180 quoting; separator ',', ';' or tab told from the header row; BOM,
 * CRLF, a first line "sep=;", blank lines and lines that begin with '#' accepted; UTF-8).
 * @param[out] errors  every short, long or unclosed row, up to TW_NOTES_MAX; may be NULL
 * @return TW_OK; TW_ERR_SYNTAX with the row's line; what tw_file_read() returns
 */
TW_API tw_status tw_table_read(const char *path, tw_table **out, tw_notes *errors);
/** @brief The same under another ceiling [bytes] than TW_TABLE_CEILING. */
TW_API tw_status tw_table_read_under(const char *path, size_t ceiling, tw_table **out,
                                     tw_notes *errors);
/** @brief The same from memory; `name` stands for the file in errors. */
TW_API tw_status tw_table_read_memory(const char *name, const char *data, size_t size,
                                      tw_table **out, tw_notes *errors);
TW_API void tw_table_free(tw_table *table);
/** @brief Set file, line, column (in letters) and source line of an error already set to those of a
 * cell: an element of table->header or table->cell. err may be NULL. */
TW_API void tw_table_place(const tw_table *table, const char *cell, tw_error *err);

/** Pixels, 8 bits each of red, green, blue; rows top down, 3·width bytes each, no padding. */
typedef struct tw_image {
    size_t width, height;
    unsigned char *pixels; /**< 3·width·height, from malloc */
} tw_image;
TW_API void tw_image_release(tw_image *image);

/** A text chunk of a PNG: keyword of Latin-1 letters, text in UTF-8. */
typedef struct tw_png_text {
    const char *keyword, *text;
} tw_png_text;
/**
 * @brief Write an image as PNG into an output.
 * @param dots_per_inch  written as the pHYs chunk when > 0
 * @param texts          text_count chunks, may be NULL when 0
 * @param threads        0: one per processor; the same bytes for any number
 */
TW_API tw_status tw_png_write(tw_output *output, const tw_image *image, double dots_per_inch,
                              const tw_png_text *texts, size_t text_count, unsigned threads,
                              tw_error *err);
/**
 * @brief Write frames of one size as an animated PNG that goes on and on; programs that know no animation
 * show the first frame.
 * @param hold_ms  count: how long each is shown [ms], at most 65535
 * @return TW_OK; TW_ERR_DOMAIN (sizes differ); TW_ERR_LIMIT (a side over 32767, too long); TW_ERR_MEMORY; as
 * tw_output_write()
 */
TW_API tw_status tw_png_write_moving(tw_output *output, const tw_image *frames,
                                     const unsigned *hold_ms, size_t count,
                                     const tw_png_text *texts, size_t text_count, tw_error *err);

/** Levels of grey, 16 bits each; rows top down, no padding. */
typedef struct tw_grey {
    size_t width, height;
    uint16_t *levels; /**< width·height, from malloc */
    size_t text_count;
    tw_png_text *texts; /**< text_count, both words of each from one block; from malloc */
} tw_grey;
enum {
    TW_GREY_CEILING = 64 << 20,       /**< largest file read [bytes] */
    TW_GREY_SIDE_MAX = 16384,         /**< levels along a side */
    TW_GREY_LEVELS_MAX = 4096 * 4096, /**< in all */
    TW_GREY_TEXTS_MAX = 100,          /**< text chunks read; more are left out */
    TW_GREY_TEXT_MAX = 4096           /**< longest text kept [bytes]; longer ones are left out */
};
TW_API void tw_grey_release(tw_grey *grey);
/** @brief Write levels as a PNG of 16-bit grey with its texts. Nothing of it is kept or changed.
 * @return TW_OK; TW_ERR_LIMIT (a side is 0, or too many levels); as tw_output_write() */
TW_API tw_status tw_png_grey_write(tw_output *output, const tw_grey *grey, tw_error *err);
/**
 * @brief Read a PNG of 16-bit grey: levels as they stand, texts of tEXt, zTXt and iTXt chunks in UTF-8. Its
 * size is judged before anything is unpacked, and by its bytes: no more is taken from the heap than they can
 * fill.
 * @param[out] out  written only when TW_OK is returned; pair with tw_grey_release()
 * @return TW_OK; TW_ERR_INPUT (no PNG; 8 bits, colour, a palette, transparency, interlaced, cut off,
 * damaged: each says what was found and what would be right); TW_ERR_LIMIT; TW_ERR_MEMORY; as tw_file_read()
 */
TW_API tw_status tw_png_grey_read(const char *path, tw_grey *out, tw_error *err);
/** @brief The same from memory; `name` stands for the file in errors. */
TW_API tw_status tw_png_grey_read_memory(const char *name, const void *data, size_t size,
                                         tw_grey *out, tw_error *err);
/** @return the text of a keyword, or NULL. */
TW_API const char *tw_grey_text(const tw_grey *grey, const char *keyword);

#ifdef __cplusplus
}
#endif
#endif
