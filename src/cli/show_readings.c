/* show_readings.c: readings of a plate as text in a maker's words, JSON and CSV. */
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 64, REMARKS = 320 };

static const struct {
    unsigned flag;
    const char *says;
} flags[] = {{TW_FLAG_DOUBLED, "may be a doubled echo"},
             {TW_FLAG_INNER, "inner layer, slag or split?"},
             {TW_FLAG_SLIP, "far off its neighbours: slip of hand?"},
             {TW_FLAG_REACH, "beyond the reach of its instrument"},
             {TW_FLAG_FACE, "given off the face"}};
enum { FLAGS = sizeof flags / sizeof *flags };

const char *tw_cli_flag_words(unsigned set)
{
    for (size_t k = 0; k < FLAGS; k++)
        if (set & flags[k].flag)
            return flags[k].says;
    return NULL;
}

static const char *kind_word(tw_instrument_kind kind)
{
    switch (kind) {
    case TW_CALIPER:
        return "caliper";
    case TW_MICROMETER:
        return "micrometer";
    case TW_ULTRASONIC:
        return "ultrasonic gauge";
    }
    return "instrument";
}

double tw_readings_left(const tw_cli_readings *found, size_t n)
{
    const tw_budget *budget = &found->surety.budget;
    double variance;

    if (!found->surety.given)
        return NAN;
    variance = budget->u * budget->u - found->readings_u_g * found->readings_u_g;
    return budget->coverage * sqrt(fmax(variance, 0) +
                                   found->suggestions[n].sd_after * found->suggestions[n].sd_after);
}

/* ---- where they came from --------------------------------------------------------------------- */

static void show_carried(tw_output *out, const tw_readings_spec *spec)
{
    const char *const rows[][2] = {{"object", spec->object},
                                   {"part", spec->part},
                                   {"measured by", spec->measured_by},
                                   {"date", spec->date},
                                   {"table", spec->file}};

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        if (rows[k][1])
            tw_output_print(out, NULL, "  %-14s  %s\n", rows[k][0], rows[k][1]);
    }
}

/* One that has readings; `head` stands before the first. */
static void show_instrument(tw_output *out, tw_units units, const tw_readings_spec *spec, size_t n,
                            const char **head)
{
    const tw_instrument *instrument = &spec->instruments[n];
    const char *kind = kind_word(instrument->kind);
    const int fine = units == TW_INCH ? 4 : instrument->resolution < 0.00999 ? 3 : 2;
    char words[2][WORDS];
    size_t count = 0;

    for (size_t k = 0; k < spec->reading_count; k++)
        count += spec->readings[k].instrument == n;
    if (count == 0)
        return;
    tw_output_print(out, NULL, "  %-14s  %s", *head, kind);
    *head = "";
    if (strcmp(tw_cli_instrument_word(instrument->kind), instrument->name) != 0)
        tw_output_print(out, NULL, " \"%s\"", instrument->name);
    if (instrument->serial)
        tw_output_print(out, NULL, ", serial %s", instrument->serial);
    tw_output_print(out, NULL, ": %zu reading%s in steps of %s", count, count == 1 ? "" : "s",
                    tw_write_thickness(instrument->resolution, units, fine, words[0], WORDS));
    if (isfinite(instrument->reach))
        tw_output_print(out, NULL, ", reaches %s in from an edge",
                        tw_write_length(instrument->reach, units, -1, words[0], WORDS));
    if (instrument->least > 0)
        tw_output_print(out, NULL, ", true from %s up",
                        tw_write_thickness(instrument->least, units, -1, words[0], WORDS));
    if (instrument->set_velocity > 0)
        tw_output_print(out, NULL, ", set to %.0f m/s", 1000 * instrument->set_velocity);
    if (instrument->metal_velocity > 0)
        tw_output_print(out, NULL, "%s metal of %.0f m/s",
                        instrument->set_velocity > 0 ? " for" : ",",
                        1000 * instrument->metal_velocity);
    if (instrument->tie_true > 0)
        tw_output_print(out, NULL, ", tied to %s by micrometer where it reads %s",
                        tw_write_thickness(instrument->tie_true, units, -1, words[0], WORDS),
                        tw_write_thickness(instrument->tie_reads, units, -1, words[1], WORDS));
    tw_output_print(out, NULL, "\n");
}

/* ---- the list --------------------------------------------------------------------------------- */

static void add_remark(char *out, size_t size, const char *remark)
{
    const size_t used = strlen(out);

    snprintf(out + used, size - used, "%s%s", used ? "; " : "", remark);
}

static void remarks_text(const tw_placed_reading *reading, tw_units units, char *out, size_t size)
{
    char words[2 * WORDS], length[WORDS];

    out[0] = '\0';
    if (!reading->used)
        add_remark(out, size, "left out");
    for (size_t k = 0; k < FLAGS; k++) {
        if (!(reading->flags & flags[k].flag))
            continue;
        snprintf(words, sizeof words, "%s", flags[k].says);
        if (flags[k].flag == TW_FLAG_FACE)
            snprintf(words, sizeof words, "given %s off the face",
                     tw_write_length(reading->off, units, -1, length, WORDS));
        add_remark(out, size, words);
    }
    if (reading->reading->repeats > 1) {
        snprintf(words, sizeof words, "mean of %zu, scattered by %s", reading->reading->repeats,
                 tw_write_thickness(reading->reading->spread, units, units == TW_INCH ? 4 : 3,
                                    length, WORDS));
        add_remark(out, size, words);
    }
}

/* "2.41 mm -> 2.35 mm" where velocity or tie changed it. */
static void read_text(const tw_placed_reading *reading, tw_units units, char *out, size_t size)
{
    char words[2][WORDS / 2];

    tw_write_thickness(reading->reading->thickness, units, -1, words[0], WORDS / 2);
    tw_write_thickness(reading->thickness, units, -1, words[1], WORDS / 2);
    if (strcmp(words[0], words[1]) == 0)
        snprintf(out, size, "%s", words[0]);
    else
        snprintf(out, size, "%s → %s", words[0], words[1]);
}

static void off_text(const tw_placed_reading *reading, tw_units units, char *out, size_t size)
{
    char words[WORDS];
    const double off = reading->left_out_error;

    if (!isfinite(off)) {
        snprintf(out, size, "-");
        return;
    }
    tw_write_thickness(fabs(off), units, -1, words, WORDS);
    snprintf(out, size, "%s%s", strpbrk(words, "123456789") ? (off < 0 ? "-" : "+") : "", words);
}

/* A column as wide as its widest text. */
static int widest(int least, const char *text)
{
    const int columns = (int)tw_cli_columns(text);

    return columns > least ? columns : least;
}

enum { NAME, AT, WRITTEN, THICKNESS, OFF, COLUMNS };

/* A reading's cells of the list. */
static void fill_cells(const tw_placed_reading *reading, tw_units units, bool inside,
                       char cells[COLUMNS][2 * WORDS])
{
    snprintf(cells[NAME], sizeof cells[NAME], "%.60s", reading->reading->name);
    tw_cli_place(reading->tape, units, cells[AT], sizeof cells[AT]);
    tw_cli_written(&reading->reading->at, inside, units, cells[WRITTEN], sizeof cells[WRITTEN]);
    read_text(reading, units, cells[THICKNESS], sizeof cells[THICKNESS]);
    off_text(reading, units, cells[OFF], sizeof cells[OFF]);
}

/* A line of the list: texts on the left, numbers on the right of their columns. */
static void show_line(tw_output *out, char cells[COLUMNS][2 * WORDS], const int wide[COLUMNS],
                      const char *remarks)
{
    tw_output_print(out, NULL, "  %-*s  %-*s", tw_cli_fit(wide[NAME], cells[NAME]), cells[NAME],
                    tw_cli_fit(wide[AT], cells[AT]), cells[AT]);
    if (wide[WRITTEN] > 0)
        tw_output_print(out, NULL, "  %-*s", tw_cli_fit(wide[WRITTEN], cells[WRITTEN]),
                        cells[WRITTEN]);
    tw_output_print(out, NULL, "  %*s  %*s%s%s\n", tw_cli_fit(wide[THICKNESS], cells[THICKNESS]),
                    cells[THICKNESS], tw_cli_fit(wide[OFF], cells[OFF]), cells[OFF],
                    remarks[0] ? "  " : "", remarks);
}

/* How places were written is shown where it is not how they are shown. */
static void show_list(tw_output *out, tw_units units, const tw_survey *survey,
                      const tw_readings_spec *spec)
{
    char heads[COLUMNS][2 * WORDS] = {"reading", "at", "as written", "thickness", "off the rest"};
    char cells[COLUMNS][2 * WORDS], remarks[REMARKS];
    bool written = spec->seen_inside;
    int wide[COLUMNS];

    for (size_t k = 0; k < survey->count; k++)
        written = written || survey->readings[k].reading->at.kind != TW_POINT_TAPE;
    for (int c = 0; c < COLUMNS; c++)
        wide[c] = (int)strlen(heads[c]);
    for (size_t k = 0; k < survey->count; k++) {
        fill_cells(&survey->readings[k], units, spec->seen_inside, cells);
        for (int c = 0; c < COLUMNS; c++)
            wide[c] = widest(wide[c], cells[c]);
    }
    if (!written)
        wide[WRITTEN] = 0;
    show_line(out, heads, wide, "");
    for (size_t k = 0; k < survey->count; k++) {
        fill_cells(&survey->readings[k], units, spec->seen_inside, cells);
        remarks_text(&survey->readings[k], units, remarks, sizeof remarks);
        show_line(out, cells, wide, remarks);
    }
}

/* ---- what they say ---------------------------------------------------------------------------- */

static void show_map(tw_output *out, tw_units units, const tw_cli_readings *found)
{
    static const char *const trends[] = {"one even thickness", "a plane", "the forged taper"};
    const tw_survey *survey = found->plate->survey;
    const tw_map *map = &found->map->map;
    const bool given = isfinite(found->plate->profile->readings.surface);
    char words[5][2 * WORDS];

    tw_output_print(out, NULL, "  %-14s  about %s; dents and pits scatter by %s (%s)\n",
                    "taken to be", trends[survey->trend],
                    tw_write_thickness(survey->surface, units, -1, words[0], WORDS),
                    survey->surface_estimated ? "from pairs that lie close together"
                    : given                   ? "as given"
                            : "the usual figure: too few pairs lie close together");
    tw_output_print(
        out, NULL, "  %-14s  mean %s, thinnest %s at %s, thickest %s at %s\n", "thickness",
        tw_write_thickness(found->map->weight.mean_thickness_mm, units, -1, words[0], WORDS),
        tw_write_thickness(map->thinnest, units, -1, words[1], WORDS),
        tw_cli_place(map->thinnest_at, units, words[2], sizeof words[2]),
        tw_write_thickness(map->thickest, units, -1, words[3], WORDS),
        tw_cli_place(map->thickest_at, units, words[4], sizeof words[4]));
}

/* A whole part of the plate, or how much of the mass's variance one more reading would take away, where
 * it is much. */
static void show_cause(tw_output *out, tw_units units, const tw_cli_readings *found)
{
    const tw_budget *budget = &found->surety.budget;
    const tw_survey *survey = found->plate->survey;
    const double before = found->readings_u_g;
    double after, share;
    char place[2 * WORDS];

    share = before * before / (budget->u * budget->u);
    if (tw_krige_about(survey->krige).trend_only && share >= 0.42) {
        /* one more reading would do as much in many places: none of them is the cause */
        tw_output_print(
            out, NULL,
            "                  %s of that ± comes from there being only %zu reading%s.\n",
            share >= 0.85   ? "Nearly all"
            : share >= 0.65 ? "Most"
                            : "Half",
            survey->used, survey->used == 1 ? "" : "s");
        return;
    }
    if (tw_show_where(out, found->plate, &found->where, share))
        return;
    if (found->suggestion_count > 0) {
        const double *tape = found->suggestions[0].tape;
        after = found->suggestions[0].sd_after;
        share = (before * before - after * after) / (budget->u * budget->u);
        if (share >= 0.28) {
            tw_output_print(out, NULL,
                            "                  %s of that ± comes from having no reading near %s",
                            share >= 0.65   ? "Most"
                            : share >= 0.42 ? "Half"
                                            : "A third",
                            tw_cli_place(tape, units, place, sizeof place));
            if (fabs(tape[0]) > 0.5)
                tw_output_print(out, NULL, ", to %s",
                                tw_cli_side(found->plate->profile->worn, tape[0]));
            tw_output_print(out, NULL, ".\n");
            return;
        }
    }
    tw_show_largest(out, budget);
}

static void show_mass(tw_output *out, tw_units units, const tw_cli_readings *found)
{
    const double mass = found->map->weight.mass_g;
    const double scale = found->plate->profile->scale;
    char words[2][2 * WORDS];

    if (found->surety.given) {
        tw_show_mass(out, units, found->plate, found->map, &found->surety);
        if (!found->plate->survey->few)
            show_cause(out, units, found);
        if (found->surety.compared)
            tw_show_agreement(out, units, found->plate, found->map, &found->surety);
        return;
    }
    tw_write_mass(mass, units, -1, words[0], WORDS);
    tw_output_print(out, NULL,
                    "  %-14s  %s, with no ± for the whole: all readings lie near the edge, and "
                    "what\n                  lies farther in is a guess. Give the scale weight, a "
                    "forged taper as trend, or read farther in.\n",
                    "mass", words[0]);
    if (scale > 0)
        tw_output_print(out, NULL,
                        "  %-14s  The scale says %s: believe it. The readings' map would have to "
                        "be %.0f %% %s.\n",
                        "scale", tw_write_mass(scale, units, -1, words[1], WORDS),
                        100 * fabs(scale / mass - 1), scale < mass ? "thinner" : "thicker");
}

static void show_next(tw_output *out, tw_units units, const tw_cli_readings *found)
{
    char words[2][2 * WORDS];

    tw_output_print(out, NULL, "  %-14s  with the %s, in this order:\n", "read next",
                    found->instrument->name);
    for (size_t k = 0; k < found->shown; k++) {
        const double *tape = found->suggestions[k].tape;
        const double left = tw_readings_left(found, k);
        tw_output_print(out, NULL, "                  %c  %s", (char)('A' + (int)k),
                        tw_cli_place(tape, units, words[0], sizeof words[0]));
        if (fabs(tape[0]) > 0.5)
            tw_output_print(out, NULL, ", to %s",
                            tw_cli_side(found->plate->profile->worn, tape[0]));
        if (found->plate->profile->readings.seen_inside)
            tw_output_print(out, NULL, ", seen from inside %s",
                            tw_cli_place((const double[2]){tape[0] == 0 ? 0 : -tape[0], tape[1]},
                                         units, words[0], sizeof words[0]));
        if (isfinite(left))
            tw_output_print(out, NULL, ": leaves ± %s",
                            tw_write_mass(left, units, units == TW_METRIC && left < 9.95 ? 1 : -1,
                                          words[1], sizeof words[1]));
        tw_output_print(out, NULL, "\n");
    }
}

void tw_show_readings_text(tw_output *out, const tw_args *args, const tw_cli_readings *found)
{
    const tw_units units = (tw_units)args->units;
    const tw_survey *survey = found->plate->survey;
    const tw_readings_spec *spec = &found->plate->profile->readings;
    const char *head = "taken with";

    tw_output_print(out, NULL, "%s, %zu reading%s\n", found->plate->profile->plate, survey->count,
                    survey->count == 1 ? "" : "s");
    show_carried(out, spec);
    for (size_t k = 0; k < spec->instrument_count; k++)
        show_instrument(out, units, spec, k, &head);
    if (spec->seen_inside)
        tw_output_print(out, NULL,
                        "  %-14s  inside: turned over, and shown here as seen from outside\n",
                        "seen from");
    show_list(out, units, survey, spec);
    if (survey->set_aside > 0)
        tw_output_print(
            out, NULL,
            "                  \"off the rest\" is judged without %s that look%s wrong; the "
            "map holds %s.\n",
            survey->set_aside == 1 ? "the one" : "those", survey->set_aside == 1 ? "s" : "",
            survey->set_aside == 1 ? "it" : "them");
    show_map(out, units, found);
    show_mass(out, units, found);
    if (args->suggest > 0 && found->shown == 0)
        tw_output_print(out, NULL, "  %-14s  no place is left that the %s can read\n", "read next",
                        found->instrument->name);
    else if (args->suggest > 0)
        show_next(out, units, found);
}
