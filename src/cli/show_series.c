/* show_series.c: frames of a series, and an exercise, as text and JSON. */
#include "cli_compare.h"

void tw_show_series_text(tw_output *out, tw_units units, const tw_series *series)
{
    char sheet[48];

    tw_write_thickness(series->sheet_mm, units, -1, sheet, sizeof sheet);
    tw_output_print(out, NULL, "%s: %zu frames from even sheet of %s to the forged map, %s kept\n",
                    series->plate->profile->plate, series->count, sheet,
                    tw_keep_word(series->keep));
    tw_output_print(out, NULL, "  frame  taper       grams   thinnest   thickest  gained   lost\n");
    for (size_t k = 0; k < series->count; k++) {
        const tw_frame_map *frame = &series->frames[k];
        char mass[48], thin[48], thick[48], gained[48], lost[48];
        tw_write_mass(frame->weight.mass_g, units, -1, mass, sizeof mass);
        tw_write_thickness(frame->thinnest, units, -1, thin, sizeof thin);
        tw_write_thickness(frame->thickest, units, -1, thick, sizeof thick);
        tw_write_mass(frame->gained_g, units, -1, gained, sizeof gained);
        tw_write_mass(frame->lost_g, units, -1, lost, sizeof lost);
        tw_output_print(out, NULL, "  %5zu  %3.0f %%  %10s %10s %10s  %6s %6s\n", k + 1,
                        100 * frame->share, mass, thin, thick, gained, lost);
    }
    tw_output_print(
        out, NULL,
        "Gained and lost: grams more and less than in the first frame, place by place.\n");
}

json_t *tw_show_series_json(const tw_series *series)
{
    json_t *frames = json_array();

    for (size_t k = 0; k < series->count; k++) {
        const tw_frame_map *frame = &series->frames[k];
        json_array_append_new(frames,
                              json_pack("{s:f, s:f, s:f, s:f, s:f, s:f}", "share", frame->share,
                                        "mass_g", frame->weight.mass_g, "thinnest_mm",
                                        frame->thinnest, "thickest_mm", frame->thickest, "gained_g",
                                        frame->gained_g, "lost_g", frame->lost_g));
    }
    return json_pack("{s:i, s:s, s:s, s:s, s:f, s:o}", "format", 1, "version", TW_VERSION, "plate",
                     series->plate->profile->plate, "keep", tw_keep_word(series->keep), "sheet_mm",
                     series->sheet_mm, "frames", frames);
}

void tw_show_exercise_text(tw_output *out, tw_units units, const tw_exercise *exercise)
{
    const tw_weight *weight = &exercise->forged->weight;
    char mass[48], even[48], mean[48], mean_mass[48], grade[96], tape[48];

    tw_write_mass(weight->mass_g, units, -1, mass, sizeof mass);
    tw_write_thickness(tw_comparison_row(&exercise->comparison, TW_REASON_SAME_MASS)->sheet_mm,
                       units, -1, even, sizeof even);
    tw_write_thickness(exercise->mean_mm, units, -1, mean, sizeof mean);
    tw_write_mass(exercise->mean_g, units, -1, mean_mass, sizeof mean_mass);
    tw_write_grade(exercise->grade, units, grade, sizeof grade);
    tw_write_length(exercise->tape_mm, units, units == TW_METRIC ? 0 : -1, tape, sizeof tape);
    tw_output_print(out, NULL, "%s, %s: five places to gauge\n", exercise->plate->profile->plate,
                    mass);
    for (size_t k = 0; k < TW_EXERCISE_POINTS; k++) {
        char across[48], up[48], reading[48];
        tw_write_length(exercise->at[k][0], units, units == TW_METRIC ? 0 : -1, across,
                        sizeof across);
        tw_write_length(exercise->at[k][1], units, units == TW_METRIC ? 0 : -1, up, sizeof up);
        tw_write_thickness(exercise->reading[k], units, -1, reading, sizeof reading);
        tw_output_print(out, NULL, "  %c  %s across, %s up: %s\n", (char)('A' + (int)k), across, up,
                        reading);
    }
    tw_output_print(out, NULL, "mean of the five: %s; times area and density: %s\n", mean,
                    mean_mass);
    tw_output_print(out, NULL, "taper from A to %c, %s of tape: %s\n",
                    (char)('A' + (int)exercise->thin), tape, grade);
    tw_output_print(out, NULL, "even sheet of the same weight: %s\n", even);
}

json_t *tw_show_exercise_json(const tw_exercise *exercise)
{
    json_t *points = json_array();

    for (size_t k = 0; k < TW_EXERCISE_POINTS; k++) {
        const char letter[2] = {(char)('A' + (int)k), '\0'};
        json_array_append_new(points, json_pack("{s:s, s:[f, f], s:f}", "point", letter, "at_mm",
                                                exercise->at[k][0], exercise->at[k][1],
                                                "thickness_mm", exercise->reading[k]));
    }
    return json_pack("{s:i, s:s, s:s, s:f, s:o, s:f, s:f, s:f, s:f, s:f}", "format", 1, "version",
                     TW_VERSION, "plate", exercise->plate->profile->plate, "mass_g",
                     exercise->forged->weight.mass_g, "points", points, "mean_mm",
                     exercise->mean_mm, "mean_mass_g", exercise->mean_g, "tape_mm",
                     exercise->tape_mm, "grade_mm_per_mm", exercise->grade, "same_mass_sheet_mm",
                     tw_comparison_row(&exercise->comparison, TW_REASON_SAME_MASS)->sheet_mm);
}
