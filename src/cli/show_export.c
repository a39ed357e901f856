/* show_export.c: what `export` wrote, as text and JSON. */
#include "cli_export.h"
#include "cli_internal.h"

#include <math.h>
#include <string.h>

enum { WORDS = 64 };

/* "0.02 g more than weighed" */
static const char *beside(double g, char words[WORDS])
{
    if (fabs(g) < 0.005)
        return "as weighed";
    tw_format(words, WORDS, "%.2f g %s than weighed", fabs(g), g > 0 ? "more" : "less");
    return words;
}

static void show_flat(tw_output *out, const tw_cli_export *found)
{
    const tw_profile *profile = found->plate->profile;

    if (found->kind == TW_EXPORT_PNG && found->what == TW_CLI_HEIGHT)
        tw_output_print(out, NULL,
                        "%s, heights of the %s face over x and y: %s\n"
                        "  16-bit grey; what a level is and where it lies stand in its text.\n",
                        profile->plate,
                        profile->face == TW_FACE_OUTSIDE  ? "outside"
                        : profile->face == TW_FACE_MIDDLE ? "middle"
                                                          : "inside",
                        found->file);
    else
        tw_output_print(out, NULL, "%s, %s map by tape, %zu nodes across and %zu up: %s\n%s",
                        profile->plate, tw_map_word(found->map->map.kind), found->plate->grid->nu,
                        found->plate->grid->nv, found->file,
                        found->kind == TW_EXPORT_CSV
                            ? ""
                            : "  16-bit grey; what a level is and where it "
                              "lies stand in its text.\n");
}

static json_t *number_of(const tw_cli_export *found, double value)
{
    return found->solid ? tw_json_number(value) : json_null();
}

static json_t *numbers_of(const tw_cli_export *found, const double value[3])
{
    return found->solid ? tw_json_numbers(value, 3) : json_null();
}

static json_t *count_of(const tw_cli_export *found, size_t count)
{
    return found->solid ? json_integer((json_int_t)count) : json_null();
}

void tw_show_export_text(tw_output *out, tw_units units, const tw_cli_export *found)
{
    const tw_solid *solid = found->solid;
    const tw_solid_weight *weight = &found->weight;
    const tw_solid_size *size = &weight->size;
    char words[2][WORDS], side[3][WORDS];

    if (!solid) {
        show_flat(out, found);
        return;
    }
    for (int c = 0; c < 3; c++)
        tw_write_length(size->high[c] - size->low[c], units, -1, side[c], WORDS);
    tw_output_print(out, NULL, "%s, %s map: %s\n", found->plate->profile->plate,
                    tw_map_word(found->map->map.kind), found->file);
    tw_output_print(out, NULL,
                    "  solid           closed, of %zu triangles between %zu corners, %s apart by "
                    "tape\n",
                    solid->triangle_count, solid->vertex_count,
                    tw_write_length(solid->spacing, units, -1, words[0], WORDS));
    tw_output_print(out, NULL, "  size            %s wide, %s high, %s deep\n", side[0], side[1],
                    side[2]);
    tw_output_print(out, NULL, "  volume          %.3f cm³, weighed %.3f cm³\n",
                    size->volume_mm3 / 1000, found->map->weight.volume_mm3 / 1000);
    tw_output_print(out, NULL, "  mass            %s, %s (numerical error of that %.2f g)\n",
                    tw_write_mass(weight->mass_g, units, -1, words[0], WORDS),
                    beside(weight->difference_g, words[1]), found->map->weight.numerical_error_g);
    tw_output_print(
        out, NULL, "  units           millimetres, x to the viewer's right, y up, z out%s\n",
        found->kind == TW_EXPORT_STL
            ? "; the file cannot say so, so tell\n                  the program that reads it"
            : "");
    tw_output_print(out, NULL, "A print shows the shape and its thickness. It is not armour.\n");
}

/* The keys are promised to scripts: add, never rename. */
json_t *tw_show_export_json(const tw_cli_export *found)
{
    const tw_solid *solid = found->solid;
    const tw_solid_size *size = &found->weight.size;
    const tw_weight *weighed = &found->map->weight;

    return json_pack(
        "{s:i,s:s,s:o,s:o,s:o,s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}",
        "format", 1, "version", TW_VERSION, "plate", tw_json_text(found->plate->profile->plate),
        "map",
        found->kind == TW_EXPORT_PNG && found->what == TW_CLI_HEIGHT
            ? json_null()
            : tw_json_text(tw_map_word(found->map->map.kind)),
        "file", tw_json_text(found->file), "kind", tw_cli_export_word(found->kind), "what",
        found->kind == TW_EXPORT_PNG
            ? tw_json_text(found->what == TW_CLI_HEIGHT ? "height" : "thickness")
            : json_null(),
        "triangles", count_of(found, solid ? solid->triangle_count : 0), "vertices",
        count_of(found, solid ? solid->vertex_count : 0), "spacing_mm",
        number_of(found, solid ? solid->spacing : 0), "off_face_mm",
        number_of(found, solid ? solid->off_face : 0), "volume_mm3",
        number_of(found, size->volume_mm3), "area_mm2", number_of(found, size->area_mm2), "mass_g",
        number_of(found, found->weight.mass_g), "weighed_g", tw_json_number(weighed->mass_g),
        "difference_g", number_of(found, found->weight.difference_g), "numerical_error_g",
        tw_json_number(weighed->numerical_error_g), "centroid_mm",
        numbers_of(found, size->centroid_mm), "low_mm", numbers_of(found, size->low), "high_mm",
        numbers_of(found, size->high));
}
