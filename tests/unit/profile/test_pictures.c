/* test_pictures.c: heights and thickness by pictures of 16-bit grey: scale and place from keys or from the
 * file's own text chunks, rows of points from pixels, and every fault at its key. */
#include "read.h"

#include "taperwright/files.h"

#include <stdlib.h>
#include <unistd.h>

enum { SIDE = 60 };

static char folder[64];
static char face_png[96], map_png[96];
static uint16_t levels[SIDE * SIDE];

static int begin(void **state)
{
    (void)state;
    snprintf(folder, sizeof folder, "/tmp/tw_pictures_XXXXXX");
    if (!mkdtemp(folder))
        return -1;
    snprintf(face_png, sizeof face_png, "%s/face.png", folder);
    snprintf(map_png, sizeof map_png, "%s/map.png", folder);
    return 0;
}

static int end(void **state)
{
    (void)state;
    unlink(face_png);
    unlink(map_png);
    return rmdir(folder);
}

static void write_levels(const char *path, size_t width, size_t height, const tw_png_text *texts,
                         size_t count)
{
    const tw_grey grey = {width, height, levels, count, (tw_png_text *)(uintptr_t)texts};
    tw_output *output = NULL;

    assert_int_equal(tw_output_begin(path, &output, NULL), TW_OK);
    assert_int_equal(tw_png_grey_write(output, &grey, NULL), TW_OK);
    assert_int_equal(tw_output_commit(output, NULL), TW_OK);
}

static tw_profile *read_with(const char *form, const char *thickness)
{
    char text[800];

    snprintf(text, sizeof text, "plate: t\nmaterial: mild steel\nform: %s\nthickness: %s\n", form,
             thickness);
    return read_ok(text, NULL, 0);
}

static void expect(const char *form, const char *thickness, tw_status status, int line,
                   const char *message, const char *advice)
{
    tw_notes errors;
    char text[800];

    snprintf(text, sizeof text, "plate: t\nmaterial: mild steel\nform: %s\nthickness: %s\n", form,
             thickness);
    read_bad(text, strlen(text), NULL, 0, &errors);
    for (size_t k = 0; k < errors.count; k++)
        if (errors.items[k].status == status && errors.items[k].line == line &&
            strstr(errors.items[k].message, message) && strstr(errors.items[k].advice, advice))
            return;
    fail_msg("\"%s\"; \"%s\"", errors.items[0].message, errors.items[0].advice);
}

/* "heights" or "image" with keys after its file. */
static const char *keyed(const char *what, const char *path, const char *keys)
{
    static char text[2][300];
    static int turn;

    turn = !turn;
    snprintf(text[turn], sizeof text[turn], "{%s: {file: %s%s}}", what, path, keys);
    return text[turn];
}

static const char bowl[] = "{bowl: {across: 20 mm, depth: 6 mm}}", sheet[] = "{sheet: 1 mm}";
static const char scale[] = ", mm per pixel: 1 mm, mm per level: 0.01 mm";

/* A roof z = 10 + 0.2·x + 0.1·y, x and y from the lower left corner; level = 100·z. */
static void fill_roof(size_t width, size_t height)
{
    for (size_t row = 0; row < height; row++)
        for (size_t k = 0; k < width; k++)
            levels[row * width + k] = (uint16_t)lround(1000 + 20 * ((double)k + 0.5) +
                                                       10 * ((double)height - (double)row - 0.5));
}

/* A plane comes through blocks, rim and border rows as it is; with a level of 0.01 mm and pixels of 1 mm
 * blocks are 0.7·0.01/0.001 = 7 → 2 pixels a side. */
static void a_plane_stays_a_plane(void **state)
{
    tw_profile *p;
    const tw_points_spec *spec;

    (void)state;
    fill_roof(40, 30);
    write_levels(face_png, 40, 30, NULL, 0);
    p = read_with(keyed("heights", face_png, scale), sheet);
    spec = &p->points;
    assert_int_equal(p->form, TW_FORM_POINTS);
    assert_string_equal(spec->file, face_png);
    assert_string_equal(spec->picture.file, face_png);
    assert_null(spec->line);
    assert_int_equal(spec->row_count, 15 + 2);
    for (size_t r = 0; r < spec->row_count; r++) {
        const tw_points_row *row = &spec->rows[r];
        const double y = r == 0 ? 0 : r == 16 ? 30 : 2 * (double)r - 1;
        assert_close(row->y, y, 1e-12);
        assert_close(spec->points[row->first][0], 0, 1e-12);
        assert_close(spec->points[row->first + row->count - 1][0], 40, 1e-12);
        for (size_t k = row->first; k < row->first + row->count; k++) {
            assert_true(k == row->first || spec->points[k][0] > spec->points[k - 1][0]);
            assert_close(spec->points[k][1], 10 + 0.2 * spec->points[k][0] + 0.1 * y, 1e-9);
        }
    }
    assert_close(spec->origin[0], 20, 1e-12); /* the middle of the lowest row */
    assert_close(spec->origin[1], 0, 1e-12);
    assert_true(isnan(spec->origin[2]));
    tw_profile_free(p);
}

static const tw_png_text own_texts[] = {
    {TW_PICTURE_QUANTITY, "height"}, {TW_PICTURE_UNIT, "mm"},   {TW_PICTURE_LEVEL, "0.02"},
    {TW_PICTURE_OFFSET, "-4"},       {TW_PICTURE_PIXEL, "0.5"}, {TW_PICTURE_PIXEL_UP, "0.4"},
    {TW_PICTURE_LEFT, "-10"},        {TW_PICTURE_TOP, "7.5"},   {TW_PICTURE_ORIGIN, "1 2.5 9"},
};
enum { OWN = sizeof own_texts / sizeof *own_texts };

static void a_file_says_its_scale_itself_and_keys_go_before(void **state)
{
    tw_profile *p;
    const tw_points_spec *spec;

    (void)state;
    fill_roof(40, 30);
    write_levels(face_png, 40, 30, own_texts, OWN);
    p = read_with(keyed("heights", face_png, ""), sheet);
    spec = &p->points;
    assert_close(spec->picture.across_step, 0.5, 0);
    assert_close(spec->picture.up_step, 0.4, 0);
    assert_close(spec->rows[0].y, 7.5 - 30 * 0.4, 1e-12);
    assert_close(spec->rows[spec->row_count - 1].y, 7.5, 1e-12);
    assert_close(spec->points[0][0], -10, 1e-12);
    /* level 1000 + 10·0 at the corner: −4 + 0.02·1000 */
    assert_close(spec->points[0][1], 16, 1e-9);
    assert_close(spec->origin[0], 1, 0);
    assert_close(spec->origin[1], 2.5, 0);
    assert_close(spec->origin[2], 9, 0);
    tw_profile_free(p);

    p = read_with(keyed("heights", face_png,
                        ", mm per pixel: 2 mm, mm per level: 0.1 mm, offset: 1 mm, left: 0 mm, "
                        "top: 60 mm, origin: [40 mm, 30 mm, 0 mm]"),
                  sheet);
    spec = &p->points;
    assert_close(spec->picture.up_step, 2, 0); /* the width given holds both ways */
    assert_close(spec->rows[0].y, 0, 1e-12);
    assert_close(spec->points[0][0], 0, 1e-12);
    assert_close(spec->points[0][1], 101, 1e-9);
    assert_close(spec->origin[0], 40, 0);
    tw_profile_free(p);
}

/* A disc of 25 pixels radius: its face ends, in the mean, where the disc does. */
static void a_round_rim_keeps_its_place(void **state)
{
    tw_profile *p;
    const tw_points_spec *spec;
    double worst = 0;

    (void)state;
    for (size_t row = 0; row < SIDE; row++)
        for (size_t k = 0; k < SIDE; k++)
            levels[row * SIDE + k] = hypot((double)k - 29.5, (double)row - 29.5) <= 25 ? 2000 : 0;
    write_levels(face_png, SIDE, SIDE, NULL, 0);
    p = read_with(keyed("heights", face_png, ", mm per pixel: 1 mm, mm per level: 0.001 mm"),
                  sheet);
    spec = &p->points;
    for (size_t r = 2; r + 2 < spec->row_count; r++) {
        const tw_points_row *row = &spec->rows[r];
        const double y = row->y - 30, half = sqrt(25 * 25 - y * y);
        const double slope = fmax(1, fabs(y) / half);
        worst = fmax(worst, fabs(30 - half - spec->points[row->first][0]) / slope);
        worst = fmax(worst, fabs(30 + half - spec->points[row->first + row->count - 1][0]) / slope);
    }
    print_message("rim off by %.2f pixels at most\n", worst);
    assert_true(worst < 0.6);
    tw_profile_free(p);
}

static void gaps_are_bridged_or_told(void **state)
{
    tw_profile *p;

    (void)state;
    fill_roof(40, 30);
    levels[12 * 40 + 20] = levels[12 * 40 + 21] = 0;
    write_levels(face_png, 40, 30, NULL, 0);
    p = read_with(keyed("heights", face_png, scale), sheet);
    for (size_t r = 0; r < p->points.row_count; r++)
        for (size_t k = 0; k < p->points.rows[r].count; k++) {
            const double *at = p->points.points[p->points.rows[r].first + k];
            assert_close(at[1], 10 + 0.2 * at[0] + 0.1 * p->points.rows[r].y, 0.006);
        }
    tw_profile_free(p);
    levels[12 * 40 + 22] = 0;
    write_levels(face_png, 40, 30, NULL, 0);
    expect(keyed("heights", face_png, scale), sheet, TW_ERR_SHAPE, 3,
           "a gap of 3 pixels at x 21.5 mm, y 17.5 mm", "holes");
    fill_roof(40, 30);
    memset(levels + 40 * 7, 0, 40 * sizeof *levels);
    write_levels(face_png, 40, 30, NULL, 0);
    expect(keyed("heights", face_png, scale), sheet, TW_ERR_SHAPE, 3, "no face at y 22.5 mm",
           "one piece");
    memset(levels, 0, sizeof levels);
    write_levels(face_png, 40, 30, NULL, 0);
    expect(keyed("heights", face_png, scale), sheet, TW_ERR_INPUT, 3, "every level of it is 0", "");
}

/* A large picture becomes no more points than a face may have. */
static void a_fine_picture_is_thinned_out(void **state)
{
    const size_t side = 1500;
    uint16_t *many = malloc(side * side * sizeof *many);
    const tw_grey grey = {side, side, many, 0, NULL};
    tw_output *output = NULL;
    tw_profile *p;

    (void)state;
    assert_non_null(many);
    for (size_t k = 0; k < side * side; k++)
        many[k] = 5000;
    assert_int_equal(tw_output_begin(face_png, &output, NULL), TW_OK);
    assert_int_equal(tw_png_grey_write(output, &grey, NULL), TW_OK);
    assert_int_equal(tw_output_commit(output, NULL), TW_OK);
    free(many);
    p = read_with(keyed("heights", face_png, ", mm per pixel: 0.2 mm, mm per level: 0.00001 mm"),
                  sheet);
    assert_true(p->points.row_count <= TW_POINTS_ROWS_MAX && p->points.row_count > 300);
    assert_true(p->points.point_count <= TW_POINTS_MAX);
    for (size_t r = 0; r < p->points.row_count; r++)
        assert_true(p->points.rows[r].count <= TW_POINTS_ROW_MAX);
    tw_profile_free(p);
}

static const tw_png_text map_texts[] = {
    {TW_PICTURE_QUANTITY, "thickness"}, {TW_PICTURE_LEVEL, "0.001"}, {TW_PICTURE_PIXEL, "1.5"},
    {TW_PICTURE_LEFT, "-45"},           {TW_PICTURE_TOP, "45"},
};

static void a_thickness_map_is_read(void **state)
{
    const tw_picture_spec *picture;
    tw_profile *p;

    (void)state;
    for (size_t k = 0; k < SIDE * SIDE; k++)
        levels[k] = (uint16_t)(1000 + k % 700);
    write_levels(map_png, SIDE, SIDE, map_texts, 5);
    p = read_with(bowl, keyed("image", map_png, ", uncertainty: 0.05 mm"));
    picture = &p->image.picture;
    assert_true(p->has_image && !p->has_sheet);
    assert_string_equal(picture->file, map_png);
    assert_memory_equal(p->image.levels, levels, sizeof levels);
    assert_close(picture->across_step, 1.5, 0);
    assert_close(picture->up_step, 1.5, 0);
    assert_close(picture->left, -45, 0);
    assert_close(picture->top, 45, 0);
    assert_close(picture->level_step, 0.001, 0);
    assert_close(picture->offset, 0, 0);
    assert_close(p->image.uncertainty, 0.05, 0);
    tw_profile_free(p);
    p = read_with(bowl, keyed("image", map_png, ", mm per level: 0.002 mm, offset: 0.1 mm"));
    assert_close(p->image.picture.level_step, 0.002, 0);
    assert_close(p->image.picture.offset, 0.1, 0);
    assert_true(isnan(p->image.uncertainty));
    tw_profile_free(p);
}

static void what_is_missing_is_told_with_both_cures(void **state)
{
    (void)state;
    fill_roof(40, 30);
    write_levels(face_png, 40, 30, NULL, 0);
    expect(keyed("heights", face_png, ", mm per pixel: 1 mm"), sheet, TW_ERR_KEY, 3,
           "has no scale: it does not say how many mm a level is", "mm per level: 0.001 mm");
    expect(keyed("heights", face_png, ", mm per pixel: 1 mm"), sheet, TW_ERR_KEY, 3, "no scale",
           "taperwright-mm-per-level");
    expect(keyed("heights", face_png, ", mm per level: 0.01 mm"), sheet, TW_ERR_KEY, 3,
           "how large a pixel is", "\"mm per pixel: 0.5 mm\", or give the file a text chunk");
    expect(bowl, keyed("image", face_png, scale), TW_ERR_KEY, 4,
           "has no place: it does not say where its left border lies", "taperwright-left-mm");
    expect(bowl,
           keyed("image", face_png, ", mm per pixel: 1 mm, mm per level: 0.001 mm, left: 0 mm"),
           TW_ERR_KEY, 4, "how far up its top border lies", "\"top: 420 mm\"");
    expect("{heights: {mm per pixel: 1 mm}}", sheet, TW_ERR_KEY, 3, "lacks \"file\"", "");
    expect("{heights: {file: none.png}}", sheet, TW_ERR_INPUT, 3, "no such file", "relative");
    expect(keyed("heights", face_png, ", mm per pixle: 1 mm"), sheet, TW_ERR_KEY, 3,
           "unknown key \"mm per pixle\"", "did you mean \"mm per pixel\"");
}

static void what_a_file_says_wrong_is_told(void **state)
{
    static const struct {
        tw_png_text text;
        const char *message, *advice;
    } cases[] = {
        {{TW_PICTURE_QUANTITY, "thickness"}, "a picture of thickness, where height", "image"},
        {{TW_PICTURE_UNIT, "inch"}, "\"taperwright-unit\" is \"inch\"", "in mm"},
        {{TW_PICTURE_LEVEL, "fine"}, "\"taperwright-mm-per-level\" is \"fine\"", "a number"},
        {{TW_PICTURE_LEVEL, "-0.1"}, "is \"-0.1\"", "a number"},
        {{TW_PICTURE_PIXEL, "1e99"}, "is \"1e99\"", "a number"},
        {{TW_PICTURE_ORIGIN, "1 2"}, "\"taperwright-origin-mm\" is \"1 2\"", "three numbers"},
    };

    (void)state;
    fill_roof(40, 30);
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_png_text texts[OWN];
        memcpy(texts, own_texts, sizeof texts);
        for (size_t j = 0; j < OWN; j++)
            if (strcmp(texts[j].keyword, cases[k].text.keyword) == 0)
                texts[j] = cases[k].text;
        write_levels(face_png, 40, 30, texts, OWN);
        expect(keyed("heights", face_png, ""), sheet, TW_ERR_INPUT, 3, cases[k].message,
               cases[k].advice);
    }
    write_levels(map_png, 40, 30, own_texts, OWN);
    expect(bowl, keyed("image", map_png, ""), TW_ERR_INPUT, 4,
           "a picture of height, where thickness is wanted", "heights");
    write_levels(map_png, 40, 30, NULL, 0);
    expect(
        bowl,
        keyed("image", map_png, ", mm per pixel: 1 mm, mm per level: 1 mm, left: 0 mm, top: 0 mm"),
        TW_ERR_DOMAIN, 4, "of metal", "is mm per level right?");
    expect(bowl,
           keyed("image", map_png,
                 ", mm per pixel: 1 mm, mm per level: 0.001 mm, left: 0 mm, top: 0 mm, offset: "
                 "-3 mm"),
           TW_ERR_DOMAIN, 4, "of metal", "is offset right?");
    expect("{heights: {file: a.png}, bowl: {across: 20 mm, depth: 6 mm}}", sheet, TW_ERR_KEY, 3,
           "a plate has one form, \"bowl\" or \"heights\"", "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plane_stays_a_plane),
        cmocka_unit_test(a_file_says_its_scale_itself_and_keys_go_before),
        cmocka_unit_test(a_round_rim_keeps_its_place),
        cmocka_unit_test(gaps_are_bridged_or_told),
        cmocka_unit_test(a_fine_picture_is_thinned_out),
        cmocka_unit_test(a_thickness_map_is_read),
        cmocka_unit_test(what_is_missing_is_told_with_both_cures),
        cmocka_unit_test(what_a_file_says_wrong_is_told),
    };

    return cmocka_run_group_tests(tests, begin, end);
}
