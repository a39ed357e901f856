/* Let the n-th request for memory fail until the picture is read; and bombs, told without any request. */
#include "grey.h"

#include "allocation.h"

static void every_failed_request_is_told(void **state)
{
    const tw_grey grey = small_grey();
    size_t size;
    char *data = grey_bytes(&grey, &size);
    tw_status status = TW_ERR_MEMORY;
    tw_grey back = {0};
    long tries = 0;

    (void)state;
    for (; status != TW_OK; tries++) {
        tw_error err = {0};
        test_allow(tries);
        status = tw_png_grey_read_memory("x.png", data, size, &back, &err);
        test_allow(-1);
        if (status != TW_OK) {
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_int_equal(err.status, TW_ERR_MEMORY);
            assert_null(back.levels);
        }
    }
    assert_true(tries > 2);
    tw_grey_release(&back);
    free(data);
}

static void writing_without_memory_is_told(void **state)
{
    const tw_grey grey = small_grey();
    const char *path = in_folder("x.png", 0);
    tw_output *output = NULL;

    (void)state;
    for (long tries = 0; tries < 2; tries++) {
        assert_int_equal(tw_output_begin(path, &output, NULL), TW_OK);
        test_allow(tries);
        assert_int_equal(tw_png_grey_write(output, &grey, NULL), TW_ERR_MEMORY);
        test_allow(-1);
        tw_output_abandon(output);
    }
}

/* The header of a real picture with another size; checksums are not even looked at. */
static void bombs_are_told_before_memory_is_asked_for(void **state)
{
    static const struct {
        unsigned width, height;
        tw_status status;
        const char *message;
    } cases[] = {
        {4096, 4096, TW_ERR_INPUT, "cannot hold 4096 by 4096"},
        {16384, 1024, TW_ERR_INPUT, "cannot hold"},
        {4097, 4096, TW_ERR_LIMIT, "4097 by 4096 pixels"},
        {16385, 1, TW_ERR_LIMIT, "16385 by 1 pixels"},
        {0x7FFFFFFF, 0x7FFFFFFF, TW_ERR_LIMIT, "2147483647 by 2147483647"},
        {0xFFFFFFFF, 0xFFFFFFFF, TW_ERR_LIMIT, "4294967295 by 4294967295"},
        {0, 7, TW_ERR_INPUT, "0 by 7"},
    };
    const tw_grey grey = small_grey();
    size_t size;
    char *data = grey_bytes(&grey, &size);

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_grey back = {0};
        tw_error err = {0};
        tw_status status;
        for (int byte = 0; byte < 4; byte++) {
            data[16 + byte] = (char)(cases[k].width >> (24 - 8 * byte));
            data[20 + byte] = (char)(cases[k].height >> (24 - 8 * byte));
        }
        test_allow(0);
        status = tw_png_grey_read_memory("bomb.png", data, size, &back, &err);
        test_allow(-1);
        assert_int_equal(status, cases[k].status);
        if (!strstr(err.message, cases[k].message))
            fail_msg("%s", err.message);
    }
    free(data);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_failed_request_is_told),
        cmocka_unit_test(writing_without_memory_is_told),
        cmocka_unit_test(bombs_are_told_before_memory_is_asked_for),
    };

    return cmocka_run_group_tests(tests, begin_folder, end_folder);
}
