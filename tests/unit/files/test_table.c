/* Tables as people and spreadsheets write them: what is read, and that every wrong row is told. */
#include "folder.h"

static tw_table *read_ok(const char *text)
{
    tw_table *table = NULL;
    tw_notes errors;

    if (tw_table_read_memory("t.csv", text, strlen(text), &table, &errors) != TW_OK)
        fail_msg("line %d: %s", errors.items[0].line, errors.items[0].message);
    assert_int_equal(errors.count, 0);
    assert_string_equal(table->file, "t.csv");
    return table;
}

/* Cells joined by "|", rows by "/", to be seen at a glance. */
static void assert_table(const char *text, char separator, const char *header, const char *cells)
{
    tw_table *table = read_ok(text);
    char got[1024] = "";

    for (size_t c = 0; c < table->columns; c++)
        strcat(strcat(got, c ? "|" : ""), table->header[c]);
    assert_string_equal(got, header);
    got[0] = '\0';
    for (size_t k = 0; k < table->rows * table->columns; k++)
        strcat(strcat(got, k == 0 ? "" : k % table->columns ? "|" : "/"), table->cell[k]);
    assert_string_equal(got, cells);
    assert_int_equal(table->separator, separator);
    tw_table_free(table);
}

static void every_way_of_writing_gives_the_same_cells(void **state)
{
    (void)state;
    assert_table("a,b\n1,2\n3,4\n", ',', "a|b", "1|2/3|4");
    assert_table("\xEF\xBB\xBF"
                 "a,b\r\n1,2\r\n3,4\r\n",
                 ',', "a|b", "1|2/3|4");
    assert_table("a,b\r1,2\r3,4", ',', "a|b", "1|2/3|4");
    assert_table("a;b\n1;2\n3;4", ';', "a|b", "1|2/3|4");
    assert_table("a\tb\n1\t2\n3\t4\n", '\t', "a|b", "1|2/3|4");
    assert_table("a ,b \n 1 ,\" 2\" \n3,\t4\n", ',', "a|b", "1|2/3|4");
}

static void cells_stay_text(void **state)
{
    (void)state;
    /* decimal commas beside semicolons; the unit's comma in the header does not separate */
    assert_table("across, mm;t, mm\n1,5;\"2,25\"\n", ';', "across, mm|t, mm", "1,5|2,25");
    assert_table("a,b\n\"1,5\",\"say \"\"x\"\"\"\n", ',', "a|b", "1,5|say \"x\"");
    assert_table("a,b\n\"one\r\ntwo\",3\n4,5\n", ',', "a|b", "one\ntwo|3/4|5");
    assert_table("\"a;b\",c\n 1 , \" 2 \" \n", ',', "a;b|c", "1|2");
    assert_table("a,b\n,\"\"\n1,\n", ',', "a|b", "1|"); /* a row of nothing is a blank line */
    assert_table("a\n\"\"\"\"\n", ',', "a", "\"");
    assert_table("a,b\n5\" x,6\n", ',', "a|b", "5\" x|6"); /* inches: a quote inside is a letter */
    assert_table("a,b\n", ',', "a|b", "");
}

static void remarks_and_blank_lines_are_left_out(void **state)
{
    tw_table *table = read_ok("# invented\n\n  \na,b\n# x,y,z\n1,2\n\n,\n\"3\n\",4\n5,6");

    (void)state;
    assert_int_equal(table->rows, 3);
    assert_int_equal(table->header_line, 4);
    assert_int_equal(table->line[0], 6);
    assert_int_equal(table->line[1], 9);
    assert_int_equal(table->line[2], 11);       /* a cell of two lines stands between */
    assert_string_equal(table->cell[2], "3\n"); /* only blanks and tabs come off */
    tw_table_free(table);
    table = read_ok("a;b\r\n#\r\n1;2\r\n\r\n3;4\r\n");
    assert_int_equal(table->line[0], 3);
    assert_int_equal(table->line[1], 5);
    tw_table_free(table);
}

static void a_separator_told_is_no_header(void **state)
{
    (void)state;
    assert_table("sep=;\na;b\n1;2\n", ';', "a|b", "1|2");
    assert_table("sep=,\r\na;b\n1;2\n", ';', "a|b", "1|2"); /* the header row decides */
    assert_table("sep=", ',', "sep=", "");
    assert_table("sep=;x\n1;2\n", ';', "sep=|x", "1|2");
}

static void assert_placed(const tw_table *table, const char *cell, int line, int column,
                          const char *source)
{
    tw_error err = {0};

    tw_table_place(table, cell, &err);
    tw_table_place(table, cell, NULL);
    assert_string_equal(err.file, "t.csv");
    assert_int_equal(err.line, line);
    assert_int_equal(err.column, column);
    assert_string_equal(err.source, source);
}

/* Lines however they end, letters of several bytes, a cell of two lines, a last line without an end. */
static void a_cell_knows_its_place(void **state)
{
    tw_table *table = read_ok("a\xC3\xA9,b\r\"1\n2\", \xC3\xA9\r\n3,4\t5");

    (void)state;
    assert_placed(table, table->header[0], 1, 1, "a\xC3\xA9,b");
    assert_placed(table, table->header[1], 1, 4, "a\xC3\xA9,b");
    assert_placed(table, table->cell[0], 2, 2, "\"1");
    assert_placed(table, table->cell[1], 3, 5, "2\", \xC3\xA9");
    assert_placed(table, table->cell[2], 4, 1, "3,4 5");
    assert_placed(table, table->cell[3], 4, 3, "3,4 5"); /* a tab is one letter */
    tw_table_free(table);
}

/* A line too long to be shown is cut where a letter ends. */
static void a_long_line_is_cut_at_a_letter(void **state)
{
    for (size_t before = 0; before < 2; before++) {
        tw_error err = {0};
        char text[1000] = "a\n";
        tw_table *table;
        if (before)
            strcat(text, "x");
        while (strlen(text) < 600)
            strcat(text, "\xC3\xA9");
        table = read_ok(text);
        tw_table_place(table, table->cell[0], &err);
        assert_int_equal(strlen(err.source), sizeof err.source - (before ? 1 : 2));
        assert_memory_equal(err.source, text + 2, strlen(err.source));
        tw_table_free(table);
    }
    (void)state;
}

static tw_status read_bad(const char *text, size_t size, tw_notes *errors)
{
    tw_table *table = (tw_table *)(void *)errors;
    const tw_status status = tw_table_read_memory("t.csv", text, size, &table, errors);

    assert_ptr_equal(table, errors); /* untouched */
    assert_true(status != TW_OK && errors->count > 0);
    assert_int_equal(status, errors->items[0].status);
    assert_int_equal(tw_table_read_memory("t.csv", text, size, &table, NULL), status);
    return status;
}

typedef struct fault {
    const char *text;
    int line;
    tw_status status;
    const char *message, *advice;
} fault;

static void a_fault_is_told_with_its_line(void **state)
{
    static const fault faults[] = {
        {"", 0, TW_ERR_INPUT, "empty", "names the columns"},
        {"\xEF\xBB\xBF", 0, TW_ERR_INPUT, "empty", NULL},
        {"# only remarks\n\n", 0, TW_ERR_INPUT, "empty", NULL},
        {",,\n1,2,3\n", 1, TW_ERR_SYNTAX, "names no column", NULL},
        {"a,b\n1,2\n3\n", 3, TW_ERR_SYNTAX, "has 1 cells, the header row 2", "empty"},
        {"a,b\n1,6,2\n", 2, TW_ERR_SYNTAX, "has 3 cells, the header row 2", "point"},
        {"a;b\n1;6;2\n", 2, TW_ERR_SYNTAX, "has 3 cells", "separator"},
        {"a,b\n1,\"2\n3,4\n", 2, TW_ERR_SYNTAX, "never closed", "twice"},
        {"a,\"b\n1,2\n", 1, TW_ERR_SYNTAX, "never closed", NULL},
        {"a,b\n1,\"2\" x\n", 2, TW_ERR_SYNTAX, "follows the closing quote", "twice"},
        {"a,b\n1,2\n\"x\ny\"z,2\n", 4, TW_ERR_SYNTAX, "follows the closing quote", NULL},
        {"a,b\n1,\xE9\n", 2, TW_ERR_SYNTAX, "UTF-8", "UTF-8"},
        {"a,b\r\n1,\xC0\x80\r\n", 2, TW_ERR_SYNTAX, "UTF-8", NULL},
        {"\xFF\xFE"
         "a",
         1, TW_ERR_SYNTAX, "UTF-16", "UTF-8"},
        {"\xFE\xFF"
         "a",
         1, TW_ERR_SYNTAX, "UTF-16", NULL},
        {"\xFE"
         "a",
         1, TW_ERR_SYNTAX, "UTF-8", NULL},
        {"\xFF"
         "a",
         1, TW_ERR_SYNTAX, "UTF-8", NULL},
        {"a,b\n1,\x1B[2J\n", 2, TW_ERR_SYNTAX, "control", NULL},
        {"a,b\r1,2\r3\r", 3, TW_ERR_SYNTAX, "has 1 cells", NULL},
    };

    (void)state;
    for (size_t k = 0; k < sizeof faults / sizeof *faults; k++) {
        tw_notes errors;
        const tw_error *e = &errors.items[0];
        read_bad(faults[k].text, strlen(faults[k].text), &errors);
        if (errors.count != 1 || e->line != faults[k].line || e->status != faults[k].status ||
            !strstr(e->message, faults[k].message) || strcmp(e->file, "t.csv") != 0 ||
            (faults[k].advice && !strstr(e->advice, faults[k].advice)))
            fail_msg("fault %zu: %zu errors, line %d: %s; %s", k, errors.count, e->line, e->message,
                     e->advice);
    }
    {
        tw_notes errors;
        assert_int_equal(read_bad("a,b\n1,\0\n", 8, &errors), TW_ERR_SYNTAX); /* a NUL byte */
    }
}

/* Short, long and unclosed rows are all told, sound ones between them are no bother. */
static void no_fault_hides_another(void **state)
{
    static const int lines[] = {2, 4, 5, 7};
    char many[400] = "a,b\n";
    tw_notes errors;

    (void)state;
    read_bad("a,b\n1\n2,3\n4,5,6\n\"7,8\n9,10\n11,12,13\n", 35, &errors);
    assert_int_equal(errors.count, 4);
    for (size_t k = 0; k < 4; k++)
        assert_int_equal(errors.items[k].line, lines[k]);
    for (int k = 0; k < 30; k++)
        strcat(many, "1\n2,3\n");
    read_bad(many, strlen(many), &errors);
    assert_int_equal(errors.count, 30);
    assert_int_equal(errors.items[TW_NOTES_MAX - 1].line, 2 * TW_NOTES_MAX);
}

static void the_ceiling_holds(void **state)
{
    const size_t size = TW_TABLE_CEILING + 1;
    char *text = malloc(size);
    tw_notes errors;
    tw_table *table = NULL;
    const char *path = in_folder("big.csv", 0);
    FILE *file;

    (void)state;
    assert_non_null(text);
    memset(text, 'x', size);
    assert_int_equal(read_bad(text, size, &errors), TW_ERR_LIMIT);
    assert_int_equal(tw_table_read_memory("t.csv", text, size - 1, &table, &errors), TW_OK);
    assert_true(table->columns == 1 && table->rows == 0);
    tw_table_free(table);
    memset(text, ',', size); /* as many cells as bytes */
    text[0] = 'a';
    assert_int_equal(tw_table_read_memory("t.csv", text, size - 1, &table, &errors), TW_OK);
    assert_int_equal(table->columns, TW_TABLE_CEILING);
    tw_table_free(table);
    free(text);
    file = fopen(path, "w");
    assert_non_null(file);
    assert_int_equal(ftruncate(fileno(file), (off_t)size), 0);
    fclose(file);
    assert_int_equal(tw_table_read(path, &table, &errors), TW_ERR_LIMIT);
}

static void files_are_read(void **state)
{
    const char *path = in_folder("t.csv", 0);
    tw_notes errors;
    tw_table *table = NULL;

    (void)state;
    put(path, "a;b\n1;2\n");
    assert_int_equal(tw_table_read(path, &table, &errors), TW_OK);
    assert_string_equal(table->file, path);
    assert_string_equal(table->cell[1], "2");
    tw_table_free(table);
    table = NULL;
    put(path, "");
    assert_int_equal(tw_table_read(path, &table, &errors), TW_ERR_INPUT);
    assert_string_equal(errors.items[0].file, path);
    assert_int_equal(tw_table_read(in_folder("none.csv", 1), &table, &errors), TW_ERR_INPUT);
    assert_int_equal(tw_table_read(folder, &table, &errors), TW_ERR_INPUT);
    assert_int_equal(tw_table_read(folder, &table, NULL), TW_ERR_INPUT);
    assert_null(table);
    tw_table_free(NULL);
}

/* Property: any bytes give a table whose shape holds, or errors; never a crash. */
static void any_bytes_are_answered(void **state)
{
    static const char letters[] = "ab1,,;;\t\"\"\"\n\n\r # .\xC3\xA9";
    test_random random = test_random_begin("any_bytes_are_answered");

    (void)state;
    for (int k = 0; k < 30000; k++) {
        char text[64];
        const size_t size = (size_t)test_uniform(&random, 0, sizeof text);
        tw_notes errors;
        tw_table *table = NULL;
        for (size_t n = 0; n < size; n++)
            text[n] = letters[(size_t)test_uniform(&random, 0, sizeof letters - 1)];
        if (tw_table_read_memory("t.csv", text, size, &table, &errors) != TW_OK) {
            assert_true(errors.count > 0 && errors.items[0].message[0] && !table);
            continue;
        }
        for (size_t n = 0; n < table->columns * table->rows; n++)
            assert_true(strlen(table->cell[n]) < sizeof text);
        for (size_t n = 0; n < table->rows; n++)
            assert_true(table->line[n] >= 2 && (n == 0 || table->line[n] > table->line[n - 1]));
        tw_table_free(table);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_way_of_writing_gives_the_same_cells),
        cmocka_unit_test(cells_stay_text),
        cmocka_unit_test(remarks_and_blank_lines_are_left_out),
        cmocka_unit_test(a_separator_told_is_no_header),
        cmocka_unit_test(a_cell_knows_its_place),
        cmocka_unit_test(a_long_line_is_cut_at_a_letter),
        cmocka_unit_test(a_fault_is_told_with_its_line),
        cmocka_unit_test(no_fault_hides_another),
        cmocka_unit_test_setup_teardown(the_ceiling_holds, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(files_are_read, begin_folder, end_folder),
        cmocka_unit_test(any_bytes_are_answered),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
