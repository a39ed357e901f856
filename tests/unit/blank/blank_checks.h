/* blank_checks.h: forms in short for the tests of the blank room, and what they ask of a layout. */
#ifndef BLANK_CHECKS_H
#define BLANK_CHECKS_H

#include "support.h"

#include "taperwright/blank.h"

/** A profile with its form; pair with shape_free(). */
typedef struct shape {
    tw_profile *profile;
    tw_form *form;
} shape;

/** @param face "middle" so that layouts are of the form itself */
static inline shape shape_of(const char *face, const char *form)
{
    shape s = {NULL, NULL};
    tw_notes errors = {0};
    tw_error err = {.message = ""};
    char text[4096];

    assert_true(snprintf(text, sizeof text,
                         "plate: drawn\nruler: mm\nface: %s\nmaterial: mild steel\n%s\n"
                         "thickness: {sheet: 1 mm}\n",
                         face, form) < (int)sizeof text);
    if (tw_profile_read_memory("drawn.yaml", text, strlen(text), NULL, 0, &s.profile, &errors) !=
            TW_OK ||
        tw_form_build(s.profile, &s.form, NULL, &err) != TW_OK) {
        print_error("%s\n%s%s\n", text, errors.items[0].message, err.message);
        fail();
    }
    return s;
}

static inline shape shape_read(const char *path)
{
    shape s = {NULL, NULL};

    assert_int_equal(tw_profile_read(path, NULL, 0, &s.profile, NULL), TW_OK);
    assert_int_equal(tw_form_build(s.profile, &s.form, NULL, NULL), TW_OK);
    return s;
}

static inline void shape_free(shape *s)
{
    tw_form_free(s->form);
    tw_profile_free(s->profile);
}

/** Round bowl: cap of a ball of radius R up to an angle from the crown. */
static inline shape shape_cap(const char *face, double R, double angle)
{
    char form[256];

    snprintf(form, sizeof form, "form: {bowl: {across: %.17g mm, up: %.17g mm, depth: %.17g mm}}",
             R * sin(angle), R * sin(angle), R * (1 - cos(angle)));
    return shape_of(face, form);
}

/** As formed when `thickness` is NULL. */
static inline tw_layout *lay_out(const shape *s, tw_thickness_at thickness, void *context,
                                 size_t nodes, double stock)
{
    const tw_layout_options options = {.nodes = nodes, .stock = stock};
    tw_error err = {.message = ""};
    tw_layout *layout = NULL;

    if (thickness)
        tw_layout_prescribed(s->form, thickness, context, &options, &layout, &err);
    else
        tw_layout_as_formed(s->form, &options, &layout, &err);
    if (!layout)
        print_error("%s\n", err.message);
    assert_non_null(layout);
    return layout;
}

/** The same thickness everywhere. */
static inline double even_thickness(double across, double up, void *thickness)
{
    (void)across;
    (void)up;
    return *(double *)thickness;
}

static inline double triangle_area(const double a[2], const double b[2], const double c[2])
{
    return 0.5 * ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));
}

static inline void assert_none_turned_over(const tw_layout *layout)
{
    const tw_mesh *mesh = layout->mesh;

    for (size_t t = 0; t < mesh->triangle_count; t++) {
        const uint32_t *k = mesh->triangle[t];
        assert_true(triangle_area(layout->blank[k[0]], layout->blank[k[1]], layout->blank[k[2]]) >
                    0);
    }
}

/** Distance of the outer boundary from the blank of the tape origin: least, mean, greatest. */
static inline void rim_radii(const tw_layout *layout, double radius[3])
{
    const tw_mesh *mesh = layout->mesh;
    const size_t count = mesh->loop_first[1];
    double middle[2];

    assert_true(tw_layout_to_blank(layout, (double[2]){0, 0}, middle));
    radius[0] = INFINITY;
    radius[1] = radius[2] = 0;
    for (size_t k = 0; k < count; k++) {
        const double *at = layout->blank[mesh->loop_node[k]];
        const double r = hypot(at[0] - middle[0], at[1] - middle[1]);
        radius[0] = fmin(radius[0], r);
        radius[1] += r / (double)count;
        radius[2] = fmax(radius[2], r);
    }
}

static inline double crown_thickness(const tw_layout *layout)
{
    for (size_t n = 0; n < layout->mesh->node_count; n++)
        if (layout->mesh->tape[n][0] == 0 && layout->mesh->tape[n][1] == 0)
            return layout->thickness[n];
    fail();
    return 0;
}

#endif
