/* font.c: drawings have one font; where it is not installed another takes its place, and is told; so are
 * letters that no font has. */
#include "draw_internal.h"

#include <string.h>

const char tw_font_family[] = "DejaVu Sans";

bool tw_draw_font(char *family, size_t size)
{
    PangoContext *context = pango_font_map_create_context(pango_cairo_font_map_get_default());
    PangoFontDescription *wanted = pango_font_description_new();
    PangoFont *font;
    bool found = false;

    pango_font_description_set_family_static(wanted, tw_font_family);
    pango_font_description_set_absolute_size(wanted, 20 * PANGO_SCALE);
    font = pango_context_load_font(context, wanted);
    tw_format(family, size, "%s", "");
    if (font) {
        PangoFontDescription *got = pango_font_describe(font);
        const char *name = pango_font_description_get_family(got);
        tw_format(family, size, "%s", name ? name : "");
        found = strcmp(family, tw_font_family) == 0;
        pango_font_description_free(got);
        g_object_unref(font);
    }
    pango_font_description_free(wanted);
    g_object_unref(context);
    return found;
}

tw_status tw_font_check(tw_error *err)
{
    char family[128];

    if (tw_draw_font(family, sizeof family) || family[0])
        return TW_OK;
    tw_fail(err, TW_ERR_FILE, "no font is installed, and a drawing needs letters");
    tw_error_advise(err, NULL, "install %s (Debian: fonts-dejavu-core)", tw_font_family);
    return TW_ERR_FILE;
}

static void add_letter(gunichar letter, tw_missing_letters *missing)
{
    char text[8] = "";
    const size_t used = strlen(missing->text);

    if (!g_unichar_validate(letter))
        return;
    text[g_unichar_to_utf8(letter, text)] = '\0';
    if (!strstr(missing->text, text) && used + strlen(text) < sizeof missing->text)
        memcpy(missing->text + used, text, strlen(text) + 1);
}

/* A glyph of a letter that no font has is that letter's number with a flag (Pango, "Glyph Storage":
 * PANGO_GLYPH_UNKNOWN_FLAG). */
void tw_font_missing(PangoLayout *layout, tw_missing_letters *missing)
{
    if (pango_layout_get_unknown_glyphs_count(layout) == 0)
        return;
    for (GSList *lines = pango_layout_get_lines_readonly(layout); lines; lines = lines->next) {
        const PangoLayoutLine *line = lines->data;
        for (GSList *runs = line->runs; runs; runs = runs->next) {
            const PangoGlyphString *glyphs = ((const PangoLayoutRun *)runs->data)->glyphs;
            for (int k = 0; k < glyphs->num_glyphs; k++) {
                const PangoGlyph glyph = glyphs->glyphs[k].glyph;
                if (glyph != PANGO_GLYPH_EMPTY && (glyph & PANGO_GLYPH_UNKNOWN_FLAG))
                    add_letter(glyph & ~PANGO_GLYPH_UNKNOWN_FLAG, missing);
            }
        }
    }
}
