/* results.c: how results leave the program: JSON, CSV, files that may not be replaced. */
#include "cli_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

static bool is_file(const char *path, const struct stat *file)
{
    struct stat found;

    return stat(path, &found) == 0 && found.st_dev == file->st_dev && found.st_ino == file->st_ino;
}

tw_status tw_cli_output_allowed(const tw_args *args, const char *path, tw_error *err)
{
    const char *dot = strrchr(path, '.');
    struct stat target;
    bool input = false;

    if (strcmp(path, "-") == 0 || stat(path, &target) != 0)
        return TW_OK;
    for (size_t k = 0; k < args->operand_count; k++)
        input = input || is_file(args->operands[k], &target);
    if (input || (args->records && is_file(args->records, &target))) {
        tw_fail(err, TW_ERR_USAGE, "%s is the input itself and is not replaced", path);
        tw_error_advise(err, path, "name another output file");
        return TW_ERR_USAGE;
    }
    if (dot && (strcasecmp(dot, ".yaml") == 0 || strcasecmp(dot, ".yml") == 0)) {
        tw_fail(err, TW_ERR_USAGE, "%s exists and may be a profile; it is not replaced", path);
        tw_error_advise(err, path, "name another output file");
        return TW_ERR_USAGE;
    }
    return TW_OK;
}

/* Bytes on their way, and what the output said when it took no more. */
typedef struct cells_to {
    tw_output *out;
    tw_error err;
} cells_to;

static tw_status put_bytes(void *context, const char *bytes, size_t size)
{
    cells_to *to = context;

    return tw_output_write(to->out, bytes, size, &to->err);
}

tw_status tw_cli_cells_write(tw_output *out, const tw_grid *grid, const tw_map *map, tw_error *err)
{
    cells_to to = {.out = out};
    const tw_status status = tw_cells_write(grid, map, put_bytes, &to, err);

    if (status != TW_OK && to.err.status != TW_OK)
        *err = to.err; /* it knows the file and the reason */
    return status;
}

tw_status tw_cli_finish(tw_output *out, tw_status status, tw_error *err)
{
    if (status == TW_OK && tw_cli_interrupted())
        status = tw_fail(err, TW_ERR_INTERRUPTED, "stopped by the user");
    if (status == TW_OK)
        return tw_output_commit(out, err);
    tw_output_abandon(out);
    return status;
}

tw_status tw_cli_finish_both(tw_output **text, tw_output **file, tw_status status, tw_error *err)
{
    if (*text)
        status = tw_cli_finish(*text, status, err);
    *text = NULL;
    if (*file)
        status = tw_cli_finish(*file, status, err);
    *file = NULL;
    return status;
}

/* Adding 0.0 turns −0 into 0, here and below. */
json_t *tw_json_number(double value)
{
    return isfinite(value) ? json_real(value + 0.0) : json_null();
}

json_t *tw_json_numbers(const double *values, size_t count)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < count; k++) {
        if (json_array_append_new(list, tw_json_number(values[k])) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return list;
}

json_t *tw_json_text(const char *text)
{
    return text ? json_string(text) : json_null();
}

static int write_json(const char *bytes, size_t size, void *out)
{
    return tw_output_write(out, bytes, size, NULL) == TW_OK ? 0 : -1;
}

static tw_status print(json_t *document, size_t layout, tw_output *out, tw_error *err)
{
    /* 15 digits: 1.6 stays 1.6, and no measured quantity has more. */
    const size_t flags = layout | JSON_REAL_PRECISION(15);
    int bad;

    if (!document)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    bad = json_dump_callback(document, write_json, out, flags);
    json_decref(document);
    if (bad)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out while JSON was written");
    return tw_output_print(out, err, "\n");
}

tw_status tw_json_print(json_t *document, tw_output *out, tw_error *err)
{
    return print(document, JSON_INDENT(2), out, err);
}

tw_status tw_json_print_line(json_t *document, tw_output *out, tw_error *err)
{
    return print(document, JSON_COMPACT, out, err);
}

void tw_csv_text(tw_output *out, const char *text, bool last)
{
    if (!text)
        text = "";
    if (strpbrk(text, ",\"\r\n")) {
        tw_output_print(out, NULL, "\"");
        for (const char *letter = text; *letter; letter++)
            tw_output_write(out, *letter == '"' ? "\"\"" : letter, *letter == '"' ? 2 : 1, NULL);
        tw_output_print(out, NULL, "\"");
    } else {
        tw_output_print(out, NULL, "%s", text);
    }
    tw_output_print(out, NULL, last ? "\n" : ",");
}

void tw_csv_number(tw_output *out, double value, bool last)
{
    if (isfinite(value))
        tw_output_print(out, NULL, "%.15g", value + 0.0);
    tw_output_print(out, NULL, last ? "\n" : ",");
}

/* +across is the right of someone facing the outside. On the wearer's front that is his left; on
 * his left side it is toward his back. Derived here. */
const char *tw_cli_side(tw_worn worn, double toward)
{
    static const char *const words[][2] = {
        [TW_WORN_NOT_SAID] = {"the right", "the left"},
        [TW_WORN_FRONT] = {"the wearer's left", "the wearer's right"},
        [TW_WORN_BACK] = {"the wearer's right", "the wearer's left"},
        [TW_WORN_LEFT] = {"the wearer's back", "the wearer's front"},
        [TW_WORN_RIGHT] = {"the wearer's front", "the wearer's back"},
    };
    return words[worn][toward >= 0 ? 0 : 1];
}

char *tw_cli_mass(const tw_weight *weight, tw_units units, char *out, size_t size)
{
    const double error = weight->numerical_error_g;
    /* No more digits than anyone weighs to: of small plates 0.01 g, of others 0.1 g or 0.01 oz. */
    const bool small = weight->mass_g < 100;
    const double least = units == TW_INCH ? 0.01 * 28.35 : small ? 0.01 : 0.1;
    const int decimals = units == TW_INCH ? 2 : weight->mass_g < 1000 ? 1 : 3;
    char mass[48], share[48];

    tw_write_mass(weight->mass_g, units, decimals, mass, sizeof mass);
    if (isfinite(error) && error < least)
        snprintf(out, size, "%s, numerical error under %s", mass,
                 units == TW_INCH ? "0.01 oz"
                 : small          ? "0.01 g"
                                  : "0.1 g");
    else if (isfinite(error))
        snprintf(
            out, size, "%s ± %s numerical", mass,
            tw_write_mass(error, units, units == TW_INCH || small ? 2 : 1, share, sizeof share));
    else
        snprintf(out, size, "%s", mass);
    return out;
}
