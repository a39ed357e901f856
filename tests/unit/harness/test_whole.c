/* From a file to sums: a small invented order, read from a folder made for it. */
#include "fixture.h"

#include <stdlib.h>
#include <unistd.h>

static const char BREAST[] =
    "format: 1\n"
    "plate: upper breast\n"
    "kind: breastplate\n"
    "material: mild steel\n"
    "ruler: mm\n"
    "form: flat\n"
    "outline: {rectangle: {at: [0, 0], across: 150 mm, up: 100 mm}}\n"
    "thickness:\n"
    "  sheet: 1.6 mm\n"
    "  forged:\n"
    "    strike: [{name: heart, at: [0, 0], radius: 60 mm, thickness: 2 mm}]\n"
    "    edges: [{edge: all, thickness: 1.2 mm}]\n";
static const char TASSET[] = "format: 1\n"
                             "plate: tasset\n"
                             "kind: tasset\n"
                             "material: mild steel\n"
                             "ruler: mm\n"
                             "form: flat\n"
                             "outline: {rectangle: {at: [0, 0], across: 80 mm, up: 120 mm}}\n"
                             "thickness: {sheet: 1.5 mm}\n";
static const char ARMS[] = "format: 1\n"
                           "harness: arms\n"
                           "parts:\n"
                           "  - name: vambrace\n"
                           "    kind: vambrace\n"
                           "    mirror: yes\n"
                           "    weighed left: {reads: 610 g, step: 5 g}\n"
                           "    weighed right: {reads: 605 g, step: 5 g}\n";
static const char HARNESS[] =
    "format: 1\n"
    "harness: small order\n"
    "ruler: mm\n"
    "note: \"Invented.\"\n"
    "scales:\n"
    "  - {name: parcel, step: 5 g, most: 30 kg, check: {true: 5 kg, reads: 5.025 kg, uncertainty: "
    "1 g}}\n"
    "  - {name: kitchen, step: 1 g, most: 5 kg, least: 20 g}\n"
    "  - {name: floor, step: 50 g}\n"
    "include: [arms.yaml]\n"
    "parts:\n"
    "  - name: upper breast\n"
    "    kind: breastplate\n"
    "    plate: {file: upper-breast.yaml, map: forged, at: [0, 300, 80], tilt: 8 deg}\n"
    "    weighed: {reads: [745 g, 750 g], on: parcel}\n"
    "    fittings: [{fitting: hook, each: 30 g, count: 2}]\n"
    "  - name: fauld\n"
    "    kind: fauld\n"
    "    weighed: {with: [78.20 kg, 78.25 kg], without: [77.05 kg, 77.05 kg], on: floor}\n"
    "    balance: [0, 100, 90]\n"
    "  - name: tasset\n"
    "    kind: tasset\n"
    "    mirror: yes\n"
    "    plate: {file: tasset.yaml, at: [110, -60, 90]}\n"
    "    weighed pair: {reads: 462 g, on: kitchen, tare: 12 g}\n"
    "sets:\n"
    "  body: [upper breast]\n"
    "  with tassets: [body, fauld, tasset]\n";

static const struct {
    const char *name, *text;
} files[] = {{"upper-breast.yaml", BREAST},
             {"tasset.yaml", TASSET},
             {"arms.yaml", ARMS},
             {"harness.yaml", HARNESS}};
enum { FILES = sizeof files / sizeof *files };

static void path_of(const char *folder, const char *name, char path[128])
{
    (void)snprintf(path, 128, "%s/%s", folder, name);
}

static int folder_begin(void **state)
{
    static char folder[] = "/tmp/taperwright-harness-XXXXXX";
    char path[128];

    if (!mkdtemp(folder))
        return -1;
    *state = folder;
    for (size_t k = 0; k < FILES; k++) {
        FILE *out;
        path_of(folder, files[k].name, path);
        out = fopen(path, "w");
        if (!out || fputs(files[k].text, out) < 0 || fclose(out) != 0)
            return -1;
    }
    return 0;
}

static int folder_end(void **state)
{
    char path[128];

    for (size_t k = 0; k < FILES; k++) {
        path_of(*state, files[k].name, path);
        (void)unlink(path);
    }
    return rmdir(*state);
}

static void a_file_becomes_a_sum(void **state)
{
    tw_harness_file *file = NULL;
    tw_harness *h;
    tw_notes errors = {0};
    tw_total total;
    char path[128];
    const tw_plate_options options = {.cells = 64, .threads = 1};
    const double f = 5000.0 / 5025;
    tw_error err;

    path_of(*state, "harness.yaml", path);
    if (tw_harness_file_read(path, NULL, 0, &file, &errors) != TW_OK)
        fail_msg("%s: %s", errors.items[0].file, errors.items[0].message);
    if (tw_harness_build(file, &options, &h, &err) != TW_OK)
        fail_msg("%s", err.message);
    assert_int_equal(h->part_count, 6); /* arms first: two vambraces */
    assert_string_equal(h->parts[0].name, "vambrace left");
    assert_string_equal(h->parts[2].name, "upper breast");
    assert_int_equal(h->plate_count, 2);
    assert_close(h->parts[2].weighing.net.g, 747.5 * f, 1e-9);
    assert_close(h->parts[2].fittings.g, 60, 1e-12);
    assert_close(h->parts[2].sheet_g, 300 * 200 * 1.6 * 7.85e-3, 1e-6);
    assert_true(h->parts[2].forged_g > 300 * 200 * 1.2 * 7.85e-3);
    assert_non_null(find_note(&h->notes, "scale parcel reads 0.5 % high"));
    assert_non_null(find_note(&h->notes, "fauld: weighed by difference"));
    assert_null(find_note(&h->notes, "vambrace left: "));

    total = fixture_total(h, NULL);
    assert_close(total.sum.g, 610 + 605 + 747.5 * f + 1175 + 450, 1e-9);
    assert_int_equal(total.counted[4], TW_COUNTED_TOGETHER);
    assert_close(total.figure[4].g, 225, 1e-9);
    assert_false(total.has_balance); /* vambraces have no place */
    tw_total_release(&total);

    total = fixture_total(h, &(tw_choice){.set = "with tassets"});
    assert_int_equal(total.in_count, 4);
    assert_close(total.sum.g, 747.5 * f + 1175 + 450, 1e-9);
    assert_true(total.has_balance);
    assert_close(total.balance[0], 0, 1e-9);
    assert_close(total.balance[1],
                 (h->parts[2].balance[1] * 747.5 * f + 100 * 1175 - 60 * 450) / total.sum.g, 1e-6);
    tw_total_release(&total);
    tw_harness_free(h);
    tw_harness_file_free(file);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_file_becomes_a_sum)};

    return cmocka_run_group_tests(tests, folder_begin, folder_end);
}
