/* test_write.c: files of a solid, byte by byte, in any locale. */
#include "solids.h"

#include <locale.h>
#include <unistd.h>

typedef tw_status (*writer)(const tw_solid *solid, const char *title, tw_output *out,
                            tw_error *err);

static tw_status write_ply(const tw_solid *solid, const char *title, tw_output *out, tw_error *err)
{
    return tw_solid_write_ply(solid, title, NULL, out, err);
}

static void colour(double position, unsigned char rgb[3])
{
    rgb[0] = rgb[1] = (unsigned char)(255 * position);
    rgb[2] = 7;
}

static tw_status write_coloured(const tw_solid *solid, const char *title, tw_output *out,
                                tw_error *err)
{
    return tw_solid_write_ply(solid, title, colour, out, err);
}

/* What a writer writes; free() it. */
static char *written(writer write, const tw_solid *solid, const char *title, size_t *size)
{
    char path[] = "/tmp/taperwright-solid-XXXXXX";
    tw_output *out = NULL;
    char *data = NULL;

    close(mkstemp(path));
    assert_int_equal(tw_output_begin(path, &out, NULL), TW_OK);
    assert_int_equal(write(solid, title, out, NULL), TW_OK);
    assert_int_equal(tw_output_commit(out, NULL), TW_OK);
    assert_int_equal(tw_file_read(path, 64 << 20, &data, size, NULL), TW_OK);
    unlink(path);
    return data;
}

static tw_solid *small_solid(void)
{
    plate_made made =
        plate_of("outside", 1.5, 16, "form: {bowl: {across: 50 mm, up: 40 mm, depth: 30 mm}}");
    tw_solid *solid = solid_of(&made, 12);

    plate_free(&made);
    return solid;
}

static uint32_t number_at(const char *data)
{
    const unsigned char *at = (const unsigned char *)data;

    return at[0] | (uint32_t)at[1] << 8 | (uint32_t)at[2] << 16 | (uint32_t)at[3] << 24;
}

static float float_at(const char *data)
{
    const uint32_t bits = number_at(data);
    float value;

    memcpy(&value, &bits, sizeof value);
    return value;
}

static void stl_is_binary_and_holds_every_triangle(void **state)
{
    tw_solid *solid = small_solid();
    size_t size = 0;
    char *data = written(tw_solid_write_stl, solid, "solid \"Kürass\"\nforged", &size);

    (void)state;
    assert_int_equal(size, 84 + 50 * solid->triangle_count);
    assert_memory_equal(data, "taperwright STL in mm: solid \"K?rass\"?forged   ", 46);
    assert_int_equal(number_at(data + 80), solid->triangle_count);
    for (size_t t = 0; t < solid->triangle_count; t++) {
        const char *at = data + 84 + 50 * t;
        double length = 0;
        for (int c = 0; c < 3; c++)
            length += (double)float_at(at + 4 * c) * (double)float_at(at + 4 * c);
        assert_close(length, 1, 1e-5);
        for (int k = 0; k < 9; k++)
            assert_true(float_at(at + 12 + 4 * k) ==
                        solid->vertex[solid->triangle[t][k / 3]][k % 3]);
        assert_true(at[48] == 0 && at[49] == 0);
    }
    free(data);
    tw_solid_free(solid);
}

static void obj_gives_the_floats_back_in_any_locale(void **state)
{
    static const char *const locales[] = {"C", "de_DE.UTF-8", "fr_FR.UTF-8"};
    tw_solid *solid = small_solid();
    size_t size = 0;
    char *plain = written(tw_solid_write_obj, solid, "cup", &size);
    const char *at = strstr(plain, "\nv ");

    (void)state;
    for (size_t n = 0; n < solid->vertex_count; n++) {
        float v[3];
        assert_non_null(at);
        assert_int_equal(sscanf(at, "\nv %f %f %f", &v[0], &v[1], &v[2]), 3);
        assert_memory_equal(v, solid->vertex[n], sizeof v);
        at = strchr(at + 1, '\n');
    }
    for (size_t t = 0; t < solid->triangle_count; t++) {
        unsigned k[3];
        assert_int_equal(sscanf(at, "\nf %u %u %u", &k[0], &k[1], &k[2]), 3);
        for (int c = 0; c < 3; c++)
            assert_int_equal(k[c], solid->triangle[t][c] + 1);
        at = strchr(at + 1, '\n');
    }
    assert_string_equal(at, "\n");
    assert_non_null(strstr(plain, "# units: mm"));
    for (size_t k = 1; k < sizeof locales / sizeof *locales; k++) {
        char *other;
        size_t other_size = 0;
        if (!setlocale(LC_ALL, locales[k]))
            continue;
        other = written(tw_solid_write_obj, solid, "cup", &other_size);
        setlocale(LC_ALL, "C");
        assert_int_equal(size, other_size);
        assert_memory_equal(plain, other, size);
        free(other);
    }
    free(plain);
    tw_solid_free(solid);
}

static void ply_holds_thickness_and_colour(void **state)
{
    tw_solid *solid = small_solid();

    (void)state;
    solid->thickness[3] = solid->thinnest = 1;
    for (int coloured = 0; coloured < 2; coloured++) {
        const size_t each = coloured ? 19 : 16;
        size_t size = 0;
        char *data = written(coloured ? write_coloured : write_ply, solid, "cup", &size);
        const char *body = strstr(data, "end_header\n"), *at;
        assert_memory_equal(data, "ply\nformat binary_little_endian 1.0\n", 36);
        assert_non_null(body);
        assert_true((strstr(data, "property uchar red") != NULL) == coloured);
        body += strlen("end_header\n");
        assert_int_equal(size - (size_t)(body - data),
                         each * solid->vertex_count + 13 * solid->triangle_count);
        for (size_t n = 0; n < solid->vertex_count; n++) {
            at = body + each * n;
            for (int c = 0; c < 3; c++)
                assert_true(float_at(at + 4 * c) == solid->vertex[n][c]);
            assert_true(float_at(at + 12) == solid->thickness[n]);
            if (coloured)
                assert_int_equal((unsigned char)at[16], n == 3 ? 0 : 255);
        }
        at = body + each * solid->vertex_count;
        for (size_t t = 0; t < solid->triangle_count; t++, at += 13) {
            assert_int_equal(at[0], 3);
            for (int k = 0; k < 3; k++)
                assert_int_equal(number_at(at + 1 + 4 * k), solid->triangle[t][k]);
        }
        free(data);
    }
    tw_solid_free(solid);
}

static void full_disk_is_told(void **state)
{
    static const writer writers[] = {tw_solid_write_stl, tw_solid_write_obj, write_ply};
    tw_solid *solid = small_solid();

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        tw_output *out = NULL;
        tw_error err = {.message = ""};
        tw_status status = tw_output_begin("/dev/full", &out, &err);
        if (status == TW_OK) {
            status = writers[k](solid, "cup", out, &err);
            if (status == TW_OK)
                status = tw_output_commit(out, &err);
            else
                tw_output_abandon(out);
        }
        assert_int_equal(status, TW_ERR_FILE);
    }
    tw_solid_free(solid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(stl_is_binary_and_holds_every_triangle),
        cmocka_unit_test(obj_gives_the_floats_back_in_any_locale),
        cmocka_unit_test(ply_holds_thickness_and_colour),
        cmocka_unit_test(full_disk_is_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
