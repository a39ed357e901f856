/* solid_words.c: where the viewer of a plate stands, and what the picture can and cannot tell. */
#include "solid_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Degrees as written: whole ones, or one decimal. */
static void degrees(double value, char out[24])
{
    const double rounded = round(10 * value) / 10;

    tw_format(out, 24, fabs(rounded - round(rounded)) < 0.05 ? "%.0f°" : "%.1f°", rounded);
}

/* "the wearer's left", "the right". */
static void side_words(const tw_sight *solid, bool right, char *out, size_t size)
{
    const char *names[2];

    if (tw_page_sides(solid->plate->profile->worn, &names[0], &names[1]))
        snprintf(out, size, "the %s", names[right]);
    else
        snprintf(out, size, "the %s", right ? "right" : "left");
}

/* Round the plate: 0 in front … 180 behind, to the right or left. */
static void round_words(const tw_sight *solid, double turn, char *out, size_t size)
{
    const double away = fabs(turn);
    char side[40], angle[24];

    side_words(solid, turn > 0, side, sizeof side);
    if (away < 0.05)
        snprintf(out, size, "in front");
    else if (away > 179.95)
        snprintf(out, size, "behind");
    else if (fabs(away - 90) < 0.05)
        snprintf(out, size, "%s", side);
    else {
        degrees(away < 90 ? away : 180 - away, angle);
        snprintf(out, size, away < 90 ? "%s to %s" : "behind, %s to %s", angle, side);
    }
}

void tw_sight_from_words(const tw_sight *solid, char *out, size_t size)
{
    const double turn = solid->azimuth - 360 * round(solid->azimuth / 360);
    const double high = fmin(fabs(solid->elevation), 90);
    char where[96], angle[24];

    round_words(solid, turn, where, sizeof where);
    degrees(high, angle);
    if (high < 0.05)
        snprintf(out, size, "Seen from %s", where);
    else if (high > 89.95)
        snprintf(out, size, "Seen from straight %s", solid->elevation > 0 ? "above" : "below");
    else
        snprintf(out, size, "Seen from %s, %s %s", fabs(turn) < 0.05 ? "in front" : where, angle,
                 solid->elevation > 0 ? "above" : "below");
}

void tw_sight_words(const tw_sight *solid, char *out, size_t size)
{
    const double turn = solid->azimuth - 360 * round(solid->azimuth / 360);
    const bool in_front = fabs(turn) < 0.05 && fabs(solid->elevation) < 0.05;
    const bool both = solid->value && solid->thickness && tw_sight_colours_inside(solid);
    const char *how = solid->hatch ? "hatched" : "coloured";
    char face[120];

    if (!solid->value)
        tw_format(face, sizeof face, "Plain steel; no thickness is %s.", how);
    else if (!solid->thickness)
        tw_format(face, sizeof face, "The face alone, without its thickness.");
    else if (both)
        tw_format(face, sizeof face, "Both faces are %s; cut edges are plain.", how);
    else
        tw_format(face, sizeof face, "The outer face is %s; inner face and cut edges are plain.",
                  how);
    snprintf(out, size, "%s%s %s", face,
             !solid->shaded || solid->hatch ? ""
             : solid->value ? " Lit from the upper left: colours are a little darker than in the "
                              "bar where the face "
                              "turns away."
                            : " Lit from the upper left.",
             in_front ? "Widths and heights are true; lengths over the curve are longer."
                      : "What leans away from the plane of the view looks shorter than it is.");
}
