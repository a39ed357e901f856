/*
 * records.c: recorded weights of originals, a row each. Pounds and ounces are held against grams; where
 * they differ by more than their roundings the record is kept out, and which is right is not chosen.
 */
#include "ledger.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void tw_originals_warn(tw_originals *set, const tw_original *record, const char *message, ...)
{
    char text[256];
    va_list arguments;
    tw_error note;

    va_start(arguments, message);
    tw_format_list(text, sizeof text, message, arguments);
    va_end(arguments);
    tw_fail(&note, TW_OK, "%s", text);
    if (*set->file) {
        tw_format(note.file, sizeof note.file, "%s", set->file);
        note.line = record ? record->line : 0;
    }
    tw_notes_add(&set->warnings, &note);
    set->warning_count = set->warnings.count;
}

/* Half of the last digit printed, `one` being what a whole one is worth. */
static double half_digit(const char *text, double one)
{
    const char *point = NULL;
    double half = 0.5 * one;

    for (const char *at = text; *at; at++) {
        if (*at == '.')
            point = at;
        else if (*at == ' ' && at[1] >= '0' && at[1] <= '9')
            point = NULL; /* the digits behind it are the last */
    }
    while (point && *++point >= '0' && *point <= '9')
        half /= 10;
    return half;
}

/* Pounds and ounces against grams: they may differ by both roundings, not by more. Which of them is
 * right cannot be told from the record. */
static bool check_pounds(tw_ledger *in, tw_original *record)
{
    static const double ounce = 453.59237 / 16;
    char pointed[64];
    const char *cell =
        tw_ledger_pointed(in, tw_ledger_cell(in, TW_LEDGER_POUNDS), pointed, sizeof pointed);
    const double one = in->columns[TW_LEDGER_MASS].unit[0] ? in->columns[TW_LEDGER_MASS].one : 1;
    char why[80], mass[64];
    double allowed, allowed_pounds;
    tw_error err;

    record->pounds_g = NAN;
    if (!*cell)
        return true;
    if (tw_quantity_read(cell, TW_MASS, TW_RULER_NONE, &record->pounds_g, &err) != TW_OK) {
        record->pounds_g = NAN;
        tw_ledger_cell_fault(in, TW_LEDGER_POUNDS, &err);
        return true;
    }
    /* a bare "4 lb" means no ounces over, "85.5 lb" a tenth of a pound */
    if (!strstr(cell, "oz") && !strchr(cell, '.'))
        allowed = ounce / 2;
    else
        allowed = half_digit(cell, strstr(cell, "oz") ? ounce : 16 * ounce);
    allowed_pounds = allowed;
    /* a rounding within ±h has the standard deviation h/√3 */
    allowed += record->u_g > 0
                   ? sqrt(3) * record->u_g
                   : half_digit(tw_ledger_pointed(in, tw_ledger_cell(in, TW_LEDGER_MASS), mass,
                                                  sizeof mass),
                                one);
    if (isnan(record->g)) { /* pounds alone: their mass, with their rounding */
        record->g = record->pounds_g;
        record->from_pounds = true;
        if (isnan(record->u_g))
            record->u_g = allowed_pounds / sqrt(3);
        return true;
    }
    if (!(fabs(record->pounds_g - record->g) > allowed))
        return true;
    tw_originals_warn(in->set, record,
                      "%s (%s): %s are %.0f g, but its grams say %.0f g; kept out of comparisons, "
                      "as either may be wrong",
                      record->object ? record->object : "record",
                      record->title ? record->title : "no title", cell, record->pounds_g,
                      record->g);
    if (!record->use)
        return true;
    record->use = false;
    tw_format(why, sizeof why, "pounds and grams disagree by %.0f g",
              fabs(record->pounds_g - record->g));
    record->why = tw_arena_text(in->set->arena, why);
    return record->why != NULL;
}

/* ---- rows -------------------------------------------------------------------------------------- */

static bool read_kinds(tw_ledger *in, tw_original *record)
{
    const tw_original *above = record > in->set->rows ? record - 1 : NULL;
    const size_t columns = in->table->columns,
                 at = in->row * columns + in->columns[TW_LEDGER_KINDS].at;
    tw_error err;
    tw_status status;

    if (above && above->kinds && strcmp(in->table->cell[at], in->table->cell[at - columns]) == 0) {
        record->kind_count = above->kind_count;
        record->kinds = above->kinds;
        return true;
    }
    status = tw_kinds_read(in->table->cell[at], in->set->arena, &record->kind_count, &record->kinds,
                           &err);
    if (status != TW_OK && status != TW_ERR_MEMORY)
        tw_ledger_cell_fault(in, TW_LEDGER_KINDS, &err);
    return status != TW_ERR_MEMORY;
}

static void read_years(tw_ledger *in, tw_original *record)
{
    record->year_from = tw_ledger_year(in, TW_LEDGER_FROM);
    record->year_to = tw_ledger_year(in, TW_LEDGER_TO);
    if (record->year_to == 0)
        record->year_to = record->year_from;
    else if (record->year_from == 0)
        record->year_from = record->year_to;
    if (record->year_from > record->year_to)
        tw_ledger_fault(in, tw_ledger_line(in), TW_ERR_DOMAIN, NULL, "exchange them",
                        "the years run backward: from %d to %d", record->year_from,
                        record->year_to);
}

/* false when memory ran out. */
static bool read_record(tw_ledger *in, tw_original *record)
{
    static const char *const said[] = {"not said", "in", "out", NULL};
    static const char *const uses[] = {"yes", "no", NULL};
    const size_t before = in->faults;

    record->line = tw_ledger_line(in);
    if (!tw_ledger_keep(in, TW_LEDGER_INSTITUTION, &record->institution) ||
        !tw_ledger_keep(in, TW_LEDGER_OBJECT, &record->object) ||
        !tw_ledger_keep(in, TW_LEDGER_TITLE, &record->title) ||
        !tw_ledger_keep(in, TW_LEDGER_WHY, &record->why) ||
        !tw_ledger_keep(in, TW_LEDGER_NOTE, &record->note) ||
        !tw_ledger_keep(in, TW_LEDGER_LICENCE, &record->licence) ||
        !tw_ledger_keep(in, TW_LEDGER_SOURCE, &record->source) || !read_kinds(in, record))
        return false;
    if (!record->object && !record->title)
        tw_ledger_fault(in, record->line, TW_ERR_KEY, NULL, "give its number or a title",
                        "the record has no name to cite it by");
    record->straps =
        (tw_said)tw_ledger_word(in, TW_LEDGER_STRAPS, said, "write in, out or not said");
    record->lining =
        (tw_said)tw_ledger_word(in, TW_LEDGER_LINING, said, "write in, out or not said");
    record->height = tw_ledger_number(in, TW_LEDGER_HEIGHT);
    record->width = tw_ledger_number(in, TW_LEDGER_WIDTH);
    read_years(in, record);
    record->g = tw_ledger_number(in, TW_LEDGER_MASS);
    if (!*tw_ledger_cell(in, TW_LEDGER_MASS) && !*tw_ledger_cell(in, TW_LEDGER_POUNDS))
        tw_ledger_fault(in, record->line, TW_ERR_KEY, NULL, "give it, or leave the row out",
                        "the record has no mass");
    record->u_g = tw_ledger_number(in, TW_LEDGER_UNCERTAINTY);
    record->use = tw_ledger_word(in, TW_LEDGER_USE, uses, "write yes or no") == 0;
    if (record->use)
        record->why = NULL;
    else if (!record->why)
        record->why = "left out by its own row";
    return in->faults > before || check_pounds(in, record);
}

static tw_status read_rows(tw_ledger *in)
{
    const tw_table *table = in->table;

    if (table->rows == 0)
        tw_ledger_fault(in, table->header_line, TW_ERR_INPUT, NULL,
                        "give each recorded weight a row", "the table has no record");
    if (table->rows > TW_ORIGINALS_MAX)
        tw_ledger_fault(in, table->line[TW_ORIGINALS_MAX], TW_ERR_LIMIT, NULL, NULL,
                        "the table has %zu records; at most %d are read", table->rows,
                        TW_ORIGINALS_MAX);
    if (in->faults > 0)
        return in->first;
    in->set->rows = tw_arena_array(in->set->arena, table->rows, sizeof *in->set->rows);
    if (!in->set->rows)
        return TW_ERR_MEMORY;
    for (in->row = 0; in->row < table->rows; in->row++)
        if (!read_record(in, &in->set->rows[in->row]))
            return TW_ERR_MEMORY;
    in->set->count = table->rows;
    return in->faults > 0 ? in->first : TW_OK;
}

tw_status tw_originals_from_table(const tw_table *table, const char *file, tw_originals **out,
                                  tw_notes *errors)
{
    tw_ledger in = {.table = table, .errors = errors};
    tw_arena *arena = tw_arena_new();
    tw_status status = TW_ERR_MEMORY;
    tw_error err;

    in.set = arena ? tw_arena_array(arena, 1, sizeof *in.set) : NULL;
    if (in.set) {
        in.set->arena = arena;
        in.set->file = tw_arena_text(arena, file);
        if (in.set->file)
            status = tw_ledger_columns(&in) ? read_rows(&in) : in.first;
        if (status == TW_OK)
            status = tw_originals_cross_check(in.set);
    }
    if (status == TW_OK) {
        *out = in.set;
        return TW_OK;
    }
    if (status == TW_ERR_MEMORY) {
        tw_fail(&err, status, "memory ran out while reading the records");
        tw_notes_add(errors, &err);
    }
    tw_arena_free(arena);
    return status;
}

/* ---- public ------------------------------------------------------------------------------------ */

tw_status tw_originals_read(const char *path, tw_originals **out, tw_notes *errors)
{
    tw_table *table = NULL;
    tw_status status = tw_table_read_under(path, TW_ORIGINALS_CEILING, &table, errors);

    if (status == TW_OK)
        status = tw_originals_from_table(table, path, out, errors);
    tw_table_free(table);
    return status;
}

tw_status tw_originals_shipped(tw_originals **out, tw_error *err)
{
    size_t size;
    const char *text = tw_originals_text(&size);
    tw_notes *errors = calloc(1, sizeof *errors);
    tw_table *table = NULL;
    tw_status status;

    if (!errors)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    status = tw_table_read_memory("the shipped set", text, size, &table, errors);
    if (status == TW_OK)
        status = tw_originals_from_table(table, "", out, errors);
    if (status != TW_OK && err && errors->count > 0)
        *err = errors->items[0];
    tw_table_free(table);
    free(errors);
    return status;
}

void tw_originals_free(tw_originals *originals)
{
    if (originals)
        tw_arena_free(originals->arena);
}
