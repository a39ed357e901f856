/*
 * templates.c: a profile to begin with for each form, and for a plate without one; a harness file, which
 * reads without any plate beside it; a rules file. Every template is an invented workshop order
 * and says so; sizes are ordinary ones for such a piece (common practice, no source).
 */
#include "profile_internal.h"

/* clang-format off */
static const char flat_text[] =
    "# A flat plate: lames before they are bent, besagews, splints, test plates.\n"
    "# Invented workshop order, made up to show the keys: change the numbers to your own.\n"
    "format: 1\n"
    "plate: besagew\n"
    "kind: besagew\n"
    "material: mild steel\n"
    "face: outside                  # which face was measured: outside, middle or inside\n"
    "ruler: mm                      # unit of bare numbers in positions; everything else says its own\n"
    "form: flat\n"
    "outline:\n"
    "  ellipse: {at: [0, 0], across: 75 mm, up: 75 mm}     # half sizes; its one edge is called rim\n"
    "thickness:\n"
    "  sheet: 16 swg                # the even sheet to compare with\n"
    "  forged:                      # thick where blows land, thinner to the edge\n"
    "    strike:\n"
    "      - {name: boss, at: [0, 0], radius: 20 mm, thickness: 2 mm}\n"
    "    edges:\n"
    "      - {edge: all, thickness: 1.2 mm}\n"
    "    law: straight              # or eased, or held with a band\n"
    "holes:\n"
    "  - {at: [0, 60], radius: 2.5 mm}                     # for the point it hangs by\n"
    "note: invented workshop order\n";

static const char bowl_text[] =
    "# A dished plate: skulls, couters, poleyns, shield bosses, besagews with a boss.\n"
    "# Invented workshop order, made up to show the keys: change the numbers to your own.\n"
    "format: 1\n"
    "plate: skull\n"
    "kind: skull\n"
    "material: mild steel\n"
    "face: outside                  # which face was measured: outside, middle or inside\n"
    "ruler: mm                      # unit of bare numbers in positions; everything else says its own\n"
    "form:\n"
    "  bowl:                        # laid on a bench, rim down\n"
    "    across: 95 mm              # half-width of the rim\n"
    "    up: 115 mm                 # half-length of the rim\n"
    "    depth: 110 mm              # from the bench to the crown\n"
    "    profile: full              # round, full, cone or parabola\n"
    "    # over: {across: 322 mm, up: 353 mm}   # or: tape over the crown, in place of profile\n"
    "outline: rim                   # the bowl's own rim\n"
    "thickness:\n"
    "  sheet: 1.6 mm                # the even sheet to compare with\n"
    "  forged:                      # thick where blows land, thinner to the edge\n"
    "    strike:\n"
    "      - {name: crown, at: [0, 0], radius: 55 mm, thickness: 2.2 mm}\n"
    "      - {name: brow, at: {from crown: 120 mm, toward: 0 deg}, across: 50 mm, up: 18 mm,\n"
    "         thickness: 2 mm}\n"
    "    edges:\n"
    "      - {edge: rim, thickness: 1.2 mm, hold: 5 mm}\n"
    "    law: straight              # or eased, or held with a band\n"
    "checks:                        # tape on the real plate, compared with the form\n"
    "  - {from: [0, 0], to: {from crown: 60 mm, toward: 90 deg}, tape: 60 mm}\n"
    "note: invented workshop order\n";

static const char loft_text[] =
    "# A plate measured in sections: breastplates, backplates, tassets, cuisses, greaves, pauldrons.\n"
    "# Invented workshop order, made up to show the keys: change the numbers to your own.\n"
    "format: 1\n"
    "plate: breast\n"
    "kind: breastplate\n"
    "material: mild steel\n"
    "worn: front\n"
    "face: outside                  # which face was measured: outside, middle or inside\n"
    "ruler: mm                      # unit of bare numbers in positions and stations\n"
    "symmetric: yes                 # outline, zones and holes: the + side is given, the other made\n"
    "form:\n"
    "  loft:                        # face up on a bench, ruler along it\n"
    "    - {ruler: 0,   width: 300, centre: 70,  sides: 0}\n"
    "    - {ruler: 120, width: 345, centre: 104, sides: 0}\n"
    "    - {ruler: 220, width: 360, centre: 118, sides: 0}\n"
    "    - {ruler: 320, width: 340, centre: 106, sides: 0}\n"
    "    - {ruler: 400, width: 310, centre: 80,  sides: 0}\n"
    "  keel: {stands: 6 mm, width: 40 mm}\n"
    "outline:                       # half of it, from the centre line round to the centre line\n"
    "  - {edge: lower, points: [[0, 12], [80, 14], [150, 24]], smooth: yes}\n"
    "  - {edge: side, points: [[150, 24], [196, 100], [200, 190]], smooth: yes}\n"
    "  - {edge: arm, points: [[200, 190], [140, 250], [118, 340]], smooth: yes}\n"
    "  - {edge: upper, points: [[118, 340], [60, 332], [0, 330]], smooth: yes}\n"
    "thickness:\n"
    "  sheet: 16 swg                # the even sheet to compare with\n"
    "  forged:                      # thick where blows land, thinner to the edges\n"
    "    strike:\n"
    "      - {name: heart, at: [0, 230], radius: 60 mm, thickness: 2.6 mm}\n"
    "      - {name: flank, at: [110, 130], across: 30 mm, up: 45 mm, thickness: 2 mm}\n"
    "    edges:\n"
    "      - {edge: lower, thickness: 1.4 mm}\n"
    "      - {edge: side, thickness: 1.1 mm}\n"
    "      - {edge: arm, thickness: 1.2 mm, hold: 6 mm}\n"
    "      - {edge: upper, thickness: 1.4 mm}\n"
    "    law: straight              # or eased, or held with a band\n"
    "turned edges:\n"
    "  - {edge: upper, roll: 8 mm, wire: 4 mm}\n"
    "  - {edge: arm, roll: 8 mm, wire: 4 mm}\n"
    "holes:\n"
    "  - {at: [104, 320], radius: 2.5 mm}\n"
    "note: invented workshop order\n";

static const char points_text[] =
    "# A plate from a scan, or led over with a measuring arm: any plate that lies face up.\n"
    "# Invented workshop order, made up to show the keys: change the numbers to your own.\n"
    "format: 1\n"
    "plate: couter\n"
    "kind: couter\n"
    "material: mild steel\n"
    "face: outside                  # which face was measured: outside, middle or inside\n"
    "ruler: mm                      # unit of bare numbers in positions; the table names its own\n"
    "form:\n"
    "  points:                      # x to the right, y up, z over the bench, seen from outside\n"
    "    # file: couter.csv         # in place of the table below: a CSV file beside this one\n"
    "    table: |\n"
    "      # Sections square to y: points of equal y follow each other and make a row.\n"
    "      # A point every 3 to 5 mm is plenty, rows may have different numbers of them.\n"
    "      x [mm], y [mm], z [mm]\n"
    "      -58, -60, 0\n"
    "      -30, -60, 23\n"
    "        0, -60, 31\n"
    "       30, -60, 23\n"
    "       58, -60, 0\n"
    "      -66, -20, 6\n"
    "      -36, -20, 39\n"
    "        0, -20, 51\n"
    "       36, -20, 39\n"
    "       66, -20, 6\n"
    "      -66, 20, 6\n"
    "      -36, 20, 39\n"
    "        0, 20, 51\n"
    "       36, 20, 39\n"
    "       66, 20, 6\n"
    "      -58, 60, 0\n"
    "      -30, 60, 23\n"
    "        0, 60, 31\n"
    "       30, 60, 23\n"
    "       58, 60, 0\n"
    "    origin: [0, 0, 52]         # where the tape begins; the centre line runs through it\n"
    "outline: rim                   # as far as the points go; edges lower, right, upper, left\n"
    "thickness:\n"
    "  sheet: 1.6 mm                # the even sheet to compare with\n"
    "  forged:                      # thick where blows land, thinner to the edges\n"
    "    strike:\n"
    "      - {name: point, at: [0, 0], radius: 20 mm, thickness: 2 mm}\n"
    "    edges:\n"
    "      - {edge: all, thickness: 1.2 mm}\n"
    "    law: straight              # or eased, or held with a band\n"
    "note: invented workshop order\n";

static const char area_text[] =
    "# A plate of four lines: name, metal, area and weight give its mean thickness. No drawing needed.\n"
    "# Invented numbers, made up to show the keys: change them to your own.\n"
    "plate: tasset\n"
    "material: mild steel\n"
    "area: {value: 5.2 dm2, uncertainty: 0.05 dm2}     # of one face; half of what you doubt it by\n"
    "scale: {reads: 655 g, step: 1 g}                  # the plate alone, and the step of the display\n"
    "# In place of the area: wrap paper over the plate, trim it to the edge, weigh the paper.\n"
    "# paper: {weight: 4.2 g, sheet: 80 g/m2, step: 0.1 g}\n";

static const char harness_text[] =
    "# A harness: its parts, what a scale says of them, what hangs on them.\n"
    "# Invented workshop order, made up to show the keys: change the numbers to your own.\n"
    "format: 1\n"
    "harness: foot cuirass\n"
    "ruler: mm                      # unit of bare numbers in at and balance\n"
    "scales:\n"
    "  - {name: parcel, step: 5 g, most: 30 kg, check: {true: 5 kg, reads: 5.025 kg}}\n"
    "  - {name: kitchen, step: 1 g, most: 5 kg, least: 20 g}\n"
    "  - {name: floor, step: 50 g}\n"
    "fittings:                      # your own unit masses; the usual ones are built in\n"
    "  - {fitting: side buckle, each: 21 g, uncertainty: 1 g, source: ten weighed together}\n"
    "# include: [arms.yaml]         # further harness files; their parts come first\n"
    "parts:\n"
    "  - name: breast\n"
    "    kind: breastplate\n"
    "    # plate: breast.yaml       # its profile, beside this file; or with its place on the wearer\n"
    "    # (to the left, up, to the front):\n"
    "    # plate: {file: breast.yaml, map: forged, at: [0, 250, 80], tilt: 8 deg}\n"
    "    weighed: {reads: [2310 g, 2315 g], on: parcel}    # twice, the scale cleared between\n"
    "    fittings:\n"
    "      - {fitting: side buckle, count: 2}\n"
    "      - {fitting: rivet 5 mm, count: 6}\n"
    "      - {fitting: strap 30 mm, length: 400 mm}\n"
    "      - {fitting: hook, each: 30 g}                   # a mass of its own\n"
    "    balance: [0, 250, 90]      # a part without plates: where it balances on the wearer\n"
    "  - name: back\n"
    "    kind: backplate\n"
    "    # plate: {file: back.yaml, at: [0, 250, -90], turn: 180 deg}\n"
    "    weighed: {reads: 1980 g, on: parcel}\n"
    "    balance: [0, 250, -80]\n"
    "  - name: fauld\n"
    "    kind: fauld\n"
    "    # plates: [{file: fauld-lame.yaml, count: 3, overlap: {edge: upper, by: 22 mm}}]\n"
    "    weighed: {with: 78.20 kg, without: 77.05 kg, on: floor}    # held in the arms\n"
    "  - name: tasset\n"
    "    kind: tasset\n"
    "    mirror: yes                # two: tasset left and tasset right of the wearer\n"
    "    # plate: tasset.yaml       # of one\n"
    "    weighed pair: {reads: 1030 g, on: kitchen, tare: 12 g}\n"
    "    height: 240 mm\n"
    "    width: 210 mm\n"
    "# weighed together: [{parts: [breast, fauld], reads: 3.480 kg, on: parcel}]\n"
    "sets:                          # parts, trade kinds, or sets named before\n"
    "  body: [breast, back]\n"
    "  with tassets: [body, fauld, tasset]\n"
    "note: invented workshop order\n";

static const char rules_text[] =
    "# Least thicknesses, as an event or a club asks for them.\n"
    "# Invented rules, made up to show the keys: copy the numbers of the rules you are held to.\n"
    "format: 1\n"
    "rules: an invented event\n"
    "limits:\n"
    "  - {name: chest, least: 1.5 mm, where: zone heart, kinds: [breastplate]}\n"
    "  - {name: everywhere, least: 1.0 mm, where: everywhere, when: after forming}\n"
    "  - {name: stock, least: 16 swg, when: before forming}    # of the sheet as bought\n"
    "note: invented rules\n";

/* clang-format on */

#define PLATE TW_TEMPLATE_PLATE
static const tw_template templates[] = {
    {"flat", "lames before bending, besagews, splints, small shields, test plates", PLATE,
     flat_text},
    {"bowl", "skulls, couters, poleyns, shield bosses, domed besagews", PLATE, bowl_text},
    {"loft", "breastplates, backplates, tassets, cuisses, greaves, pauldrons, long lames", PLATE,
     loft_text},
    {"points", "any plate that was scanned, or led over with a measuring arm", PLATE, points_text},
    {"area", "owners who hold a scale weight and no drawing", PLATE, area_text},
    {"readings", "a plate as it was made, by gauge readings", PLATE, tw_readings_template},
    {"harness", "many parts, modelled and weighed, added up", TW_TEMPLATE_HARNESS, harness_text},
    {"rules", "least thicknesses asked for by others", TW_TEMPLATE_RULES, rules_text},
};

const tw_template *tw_templates(size_t *count)
{
    *count = sizeof templates / sizeof *templates;
    return templates;
}
