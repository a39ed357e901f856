/*
 * base.h: what every room stands on: status and error, quantities with units, vectors, one arena
 * per object, sums in a fixed order, root finding, a row-sharing loop.
 *
 * Units inside the library are mm, g, mm³, g/mm³ and radians. Nothing here prints, exits or keeps
 * state between calls; different objects may be used from different threads.
 */
#ifndef TAPERWRIGHT_BASE_H
#define TAPERWRIGHT_BASE_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Marks what the shared library exports; everything else stays inside it. */
#if defined(__GNUC__)
#define TW_API                 __attribute__((visibility("default")))
#define TW_PRINTF(text, first) __attribute__((format(printf, text, first)))
#else
#define TW_API
#define TW_PRINTF(text, first)
#endif

/** Builds a kernel a second time for processors with wider registers, chosen when the program is loaded:
 * nothing is contracted or summed in another order, so the bits are the same. Clang 14 cannot link
 * such pairs, and the chooser runs before the thread sanitizer is ready for it. */
#if defined(__x86_64__) && defined(__gnu_linux__) && defined(__OPTIMIZE__) && defined(__GNUC__) && \
    !defined(__clang__) && !defined(__SANITIZE_THREAD__)
#define TW_WIDE_CLONES __attribute__((target_clones("avx512f", "avx2", "default"), flatten))
#else
#define TW_WIDE_CLONES
#endif

#define TW_PI 3.14159265358979323846

/* ---- status and error ------------------------------------------------------------------ */

/* One row per status: name, exit code of the program, plain words. The enum, tw_status_text() and
 * tw_status_exit() are all made from this list, so they cannot drift apart. */
#define TW_STATUS_LIST(X)                                                 \
    X(TW_OK, 0, "done")                                                   \
    X(TW_ERR_UNIT, 1, "a quantity lacks its unit or has a wrong one")     \
    X(TW_ERR_SYNTAX, 1, "the text cannot be read")                        \
    X(TW_ERR_KEY, 1, "a key or name is unknown, missing or given twice")  \
    X(TW_ERR_DOMAIN, 1, "a value is outside its range")                   \
    X(TW_ERR_SHAPE, 1, "the shape is not possible")                       \
    X(TW_ERR_LIMIT, 1, "the input is too big")                            \
    X(TW_ERR_INPUT, 1, "an input is missing or is not what it should be") \
    X(TW_ERR_UNREACHABLE, 1, "the wanted value cannot be reached")        \
    X(TW_ERR_USAGE, 2, "the command line is wrong")                       \
    X(TW_ERR_MEMORY, 3, "memory ran out")                                 \
    X(TW_ERR_FILE, 3, "a file could not be read or written")              \
    X(TW_ERR_INTERRUPTED, 130, "stopped by the user")

typedef enum tw_status {
#define TW_STATUS_NAME(name, code, text) name,
    TW_STATUS_LIST(TW_STATUS_NAME)
#undef TW_STATUS_NAME
} tw_status;

/** What went wrong, where, and what would be right. Plain data: copy it, nothing to free. */
typedef struct tw_error {
    tw_status status;
    char file[256];    /**< "" when no file is involved */
    int line, column;  /**< from 1; 0 when unknown */
    char value[64];    /**< what was found, as written; "" when there is none */
    char message[256]; /**< what is wrong, inner cause first, then "in plate breast", … */
    char advice[160];  /**< what would be right: "write 1.6 mm"; "" when nothing helps */
    char source[160];  /**< the line of the file, for the caret; "" when unknown */
} tw_error;

/** A bounded list of errors or notes: the first TW_NOTES_MAX are kept, all are counted. */
#define TW_NOTES_MAX 20
typedef struct tw_notes {
    size_t count; /**< how many were added; items beyond TW_NOTES_MAX are only counted */
    tw_error items[TW_NOTES_MAX];
} tw_notes;

/** @return the plain words of a status, never NULL. */
TW_API const char *tw_status_text(tw_status status);
/** @return the program's exit code for a status: 0, 1, 2, 3 or 130. */
TW_API int tw_status_exit(tw_status status);

/**
 * @brief Set an error and return its status, for `return tw_fail(err, TW_ERR_DOMAIN, …)`.
 * @param[out] err     cleared, then filled with the status and the message; may be NULL
 * @param      message printf format of what is wrong
 */
TW_API tw_status tw_fail(tw_error *err, tw_status status, const char *message, ...) TW_PRINTF(3, 4);
/** @brief Add the value found and the advice to an error already set; either text may be NULL. */
TW_API void tw_error_advise(tw_error *err, const char *value, const char *advice, ...)
    TW_PRINTF(3, 4);
/** @brief Append an outer place to the message: ", in plate breast". err may be NULL. */
TW_API void tw_error_within(tw_error *err, const char *where, ...) TW_PRINTF(2, 3);
/** @brief Append a copy of an error to a list. notes may be NULL. */
TW_API void tw_notes_add(tw_notes *notes, const tw_error *item);
/** @brief Append all of one list to another, also what it only counted. Neither may be NULL. */
TW_API void tw_notes_join(tw_notes *to, const tw_notes *from);

/* ---- memory ---------------------------------------------------------------------------- */

/** Many small blocks, freed together. One per object, so that one call frees the object. */
typedef struct tw_arena tw_arena;
/** @return a new arena, or NULL when memory ran out. Pair with tw_arena_free(). */
TW_API tw_arena *tw_arena_new(void);
/** @brief Free the arena and everything in it; NULL is accepted. */
TW_API void tw_arena_free(tw_arena *arena);
/**
 * @return count × size zeroed bytes aligned for any type (64 bytes for blocks of 4 kB or more),
 * or NULL when the product overflows or memory ran out. count 0 gives a valid pointer.
 */
TW_API void *tw_arena_array(tw_arena *arena, size_t count, size_t size);
/** @return a copy of a string in the arena, or NULL when memory ran out. */
TW_API char *tw_arena_text(tw_arena *arena, const char *text);
/** @return bytes handed out so far, for tests and reports. */
TW_API size_t tw_arena_bytes(const tw_arena *arena);

/* ---- vectors --------------------------------------------------------------------------- */

static inline double tw_dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

static inline void tw_cross(const double a[3], const double b[3], double out[3])
{
    const double x = a[1] * b[2] - a[2] * b[1];
    const double y = a[2] * b[0] - a[0] * b[2];
    const double z = a[0] * b[1] - a[1] * b[0];
    out[0] = x;
    out[1] = y;
    out[2] = z;
}

/* ---- sums in a fixed order ------------------------------------------------------------- */

/** A running sum with Neumaier's compensation, so that order and size of terms cost no digits.
 * Source: A. Neumaier, "Rundungsfehleranalyse einiger Verfahren zur Summation endlicher
 * Summen", ZAMM 54 (1974). */
typedef struct tw_sum {
    double total, lost;
} tw_sum;

static inline void tw_sum_add(tw_sum *sum, double term)
{
    const double total = sum->total + term;
    const double high = sum->total >= 0 ? sum->total : -sum->total;
    const double size = term >= 0 ? term : -term;
    sum->lost += high >= size ? (sum->total - total) + term : (term - total) + sum->total;
    sum->total = total;
}

static inline double tw_sum_value(const tw_sum *sum)
{
    return sum->total + sum->lost;
}

/* ---- root finding ---------------------------------------------------------------------- */

typedef double (*tw_function)(double x, void *context);
/**
 * @brief Find x in [low, high] with function(x) = 0 by Brent's method.
 * @param      tolerance  the answer's bracket is at most this wide (plus rounding)
 * @param[out] root       written only when TW_OK is returned
 * @return TW_OK, or TW_ERR_UNREACHABLE when the ends do not bracket a root or a value is not finite
 * Source: R. P. Brent, Algorithms for Minimization without Derivatives (1973), chapter 4.
 */
TW_API tw_status tw_find_root(tw_function function, void *context, double low, double high,
                              double tolerance, double *root, tw_error *err);

/* ---- rows shared between threads --------------------------------------------------------- */

/** Work on rows [first, last); must touch nothing that another range writes. */
typedef void (*tw_rows)(size_t first, size_t last, void *context);
/**
 * @brief Call rows() over [0, count) in blocks of `block` rows, on `threads` threads.
 * The blocks are the same for any thread count, so sums kept per block and added up in block
 * order give the same bits. threads 0 means one per processor. Never fails: where a thread cannot
 * be started, the others do its share.
 */
TW_API void tw_for_rows(size_t count, size_t block, unsigned threads, tw_rows rows, void *context);

/** @return how many threads a request means: itself, or one per processor for 0; at most 64. */
TW_API unsigned tw_thread_count(unsigned threads);

/* ---- words ------------------------------------------------------------------------------- */

/**
 * @return the entry of `known` (count entries) nearest to `word` by letters changed, dropped,
 * added or swapped, or NULL when none is near enough to suggest (more than a third wrong).
 */
TW_API const char *tw_nearest_word(const char *word, const char *const *known, size_t count);
/** @return whether two names are one, letter case (of a to z) and blanks aside. */
TW_API bool tw_name_same(const char *a, const char *b);

/* ---- text ---------------------------------------------------------------------------------- */

/**
 * @brief snprintf() and vsnprintf() whose decimal point is a point whatever setlocale() said.
 * @return the length the whole text needs, as snprintf() does
 */
TW_API int tw_format(char *out, size_t size, const char *format, ...) TW_PRINTF(3, 4);
TW_API int tw_format_list(char *out, size_t size, const char *format, va_list arguments)
    TW_PRINTF(3, 0);

/** @return bytes of the well-formed UTF-8 letter at `at` with `left` bytes there, or 0 (The Unicode
 * Standard, table 3-7: no overlong forms, surrogates or values above U+10FFFF). */
TW_API size_t tw_utf8_letter(const unsigned char *at, size_t left);
/** @return whether a well-formed letter steers instead of being read: C0 and C1 controls except tab
 * and line ends, and the marks that turn the direction of text (U+202A…202E, U+2066…2069). */
TW_API bool tw_utf8_control(const unsigned char *at, size_t length);
/** @brief Make a text fit to be shown and to stand in JSON, in place: a letter that steers, a line end and,
 * unless `tabs` stay, a tab become one blank each, a byte that belongs to no well-formed letter a '?'. */
TW_API void tw_utf8_tidy(char *text, bool tabs);

/* ---- quantities with units --------------------------------------------------------------- */

/** What a quantity measures. Values come back in the unit named here. */
typedef enum tw_dimension {
    TW_LENGTH,        /**< mm: mm, cm, m, in, ", thou; fractions and mixed numbers "9 1/16 in" */
    TW_MASS,          /**< g: g, kg, mg, lb, oz, and "3 lb 2 oz" */
    TW_ANGLE,         /**< radians: deg, °, rad */
    TW_DENSITY,       /**< g/mm³: kg/m3, g/cm3, kg/m³, g/cm³, lb/in3 */
    TW_AREA,          /**< mm²: mm2, cm2, dm2, m2, in2, also with ² */
    TW_MASS_PER_AREA, /**< g/mm²: g/m2, kg/m2, lb/ft2 */
    TW_SHARE,         /**< 0…1 as a number: "%"; a bare number is a number, not percent */
    TW_GRADE,   /**< mm per mm: "1 mm in 60 mm", "1 in 60" (bare), "0.6 mm per 100 mm", "2 %" */
    TW_VELOCITY /**< mm/µs: m/s, km/s, mm/us, in/us; of sound in a metal */
} tw_dimension;

/** The unit of bare numbers in positions, from a profile's `ruler:`. */
typedef enum tw_ruler { TW_RULER_NONE, TW_RULER_MM, TW_RULER_CM, TW_RULER_IN } tw_ruler;

/**
 * @brief Read a quantity: number, unit, nothing else but blanks. Every locale reads the same.
 * @param      ruler  unit of a bare length; TW_RULER_NONE makes a bare length an error that shows
 *                    both cures (a unit, or `ruler:`)
 * @param[out] value  in the dimension's unit; written only when TW_OK is returned
 * @return TW_OK; TW_ERR_UNIT (missing, unknown or of another dimension, with what was meant);
 * TW_ERR_SYNTAX (not a number; a decimal comma shows the point); TW_ERR_DOMAIN (NaN, infinite)
 */
TW_API tw_status tw_quantity_read(const char *text, tw_dimension dimension, tw_ruler ruler,
                                  double *value, tw_error *err);

/** How text and pictures show quantities. JSON stays metric. */
typedef enum tw_units { TW_METRIC, TW_INCH } tw_units;

/* Writers: each fills `out` (size bytes, always ended) and returns it, so that calls can sit inside
 * a printf. Thickness: "1.63 mm" or "0.064 in". Length: "212 mm" or "8 11/32 in" (nearest 1/64).
 * Mass: "2.31 kg", "842 g" or "5 lb 1.5 oz". `decimals` < 0 means the usual number of them. */
TW_API char *tw_write_thickness(double mm, tw_units units, int decimals, char *out, size_t size);
TW_API char *tw_write_length(double mm, tw_units units, int decimals, char *out, size_t size);
TW_API char *tw_write_mass(double g, tw_units units, int decimals, char *out, size_t size);
TW_API char *tw_write_area(double mm2, tw_units units, char *out, size_t size);
/** Area of metal in work, in dm² however large, so that areas under each other compare: "11.5 dm²", or "178 in²".
 * `decimals` are of dm²; < 0: one, two under 1 dm². */
TW_API char *tw_write_work_area(double mm2, tw_units units, int decimals, char *out, size_t size);
/** Grade: "1 mm in 61 mm (1.6 mm per 100 mm)" or "1/64 in in 1 in"-style in inches. */
TW_API char *tw_write_grade(double mm_per_mm, tw_units units, char *out, size_t size);

#ifdef __cplusplus
}
#endif
#endif
