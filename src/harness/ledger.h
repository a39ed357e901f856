/* ledger.h: a table of records being read: its columns, and its cells as numbers, years and words. */
#ifndef TW_LEDGER_H
#define TW_LEDGER_H

#include "originals_internal.h"

typedef enum tw_ledger_column {
    TW_LEDGER_INSTITUTION,
    TW_LEDGER_OBJECT,
    TW_LEDGER_TITLE,
    TW_LEDGER_KINDS,
    TW_LEDGER_STRAPS,
    TW_LEDGER_LINING,
    TW_LEDGER_HEIGHT,
    TW_LEDGER_WIDTH,
    TW_LEDGER_FROM,
    TW_LEDGER_TO,
    TW_LEDGER_MASS,
    TW_LEDGER_UNCERTAINTY,
    TW_LEDGER_POUNDS,
    TW_LEDGER_USE,
    TW_LEDGER_WHY,
    TW_LEDGER_NOTE,
    TW_LEDGER_LICENCE,
    TW_LEDGER_SOURCE,
    TW_LEDGER_COLUMNS
} tw_ledger_column;

enum { TW_LEDGER_UNIT = 24 };

/** One column of the table. */
typedef struct tw_column {
    bool there, told; /* told: that it lacks its unit */
    size_t at;
    char unit[TW_LEDGER_UNIT]; /* "" when each cell carries its own */
    double one;                /* how much one of it is */
    const char *above, *kept;  /* the cell last copied, and its copy */
} tw_column;

/** A table on its way to records. */
typedef struct tw_ledger {
    const tw_table *table;
    tw_originals *set;
    tw_notes *errors;
    size_t faults, row;
    tw_status first;
    tw_column columns[TW_LEDGER_COLUMNS];
} tw_ledger;

/** @brief Add an error of the table; value and advice may be NULL. */
void tw_ledger_fault(tw_ledger *in, int line, tw_status status, const char *value,
                     const char *advice, const char *message, ...) TW_PRINTF(6, 7);
/** @brief Add an error of a cell of the present row, its column named. */
void tw_ledger_cell_fault(tw_ledger *in, tw_ledger_column which, tw_error *err);
/** @brief Find the columns in the header row. @return false after an error */
bool tw_ledger_columns(tw_ledger *in);
/** @return line of the present row. */
int tw_ledger_line(const tw_ledger *in);
/** @return the present row's cell, "" where there is no such column. */
const char *tw_ledger_cell(const tw_ledger *in, tw_ledger_column which);
/** @return the cell, or in `out` "2.5" for its "2,5" in a table whose cells are not parted by commas. */
const char *tw_ledger_pointed(const tw_ledger *in, const char *cell, char *out, size_t size);
/** @brief A copy that lives as long as the set; NULL of an empty cell. @return false without memory */
bool tw_ledger_keep(tw_ledger *in, tw_ledger_column which, const char **out);
/** @return the number in mm or g; NaN where the cell is empty or wrong. */
double tw_ledger_number(tw_ledger *in, tw_ledger_column which);
/** @return the year; 0 where the cell is empty or wrong. */
int tw_ledger_year(tw_ledger *in, tw_ledger_column which);
/** @return the index of the word; 0 where the cell is empty or wrong. */
int tw_ledger_word(tw_ledger *in, tw_ledger_column which, const char *const *words,
                   const char *advice);

#endif
