/*
 * bench_start.c: what no program that draws words can be quicker than: its own start, and finding a
 * font and setting one line with it.
 *     bench_start            starts and ends, all libraries loaded
 *     bench_start layout     sets one line by Pango and prints its width and height in pixels
 */
#include <pango/pangocairo.h>
#include <stdio.h>
#include <string.h>

int main(int argc, char **argv)
{
    cairo_surface_t *surface;
    cairo_t *canvas;
    PangoLayout *layout;
    PangoFontDescription *font;
    int width, height;

    if (argc < 2 || strcmp(argv[1], "layout") != 0)
        return 0;
    surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 16, 16);
    canvas = cairo_create(surface);
    layout = pango_cairo_create_layout(canvas);
    font = pango_font_description_from_string("DejaVu Sans 12");
    pango_layout_set_font_description(layout, font);
    pango_layout_set_text(layout, "2.20 mm", -1);
    pango_layout_get_pixel_size(layout, &width, &height);
    printf("layout %d %d\n", width, height);
    pango_font_description_free(font);
    g_object_unref(layout);
    cairo_destroy(canvas);
    cairo_surface_destroy(surface);
    return width > 0 ? 0 : 1;
}
