/* Sheets by their names, and the metals. */
#include "support.h"

#include "taperwright/material.h"

static void thicknesses_are_read_and_printed(void **state)
{
    static const struct {
        const char *text, *metric, *inch;
        double mm;
    } rows[] = {
        {"1.6 mm", "1.60 mm", "0.063 in", 1.6},
        {"1/16 in", "1.59 mm", "0.062 in", 1.5875},
        {"0.064 in", "1.63 mm", "0.064 in", 1.6256},
        {"16 swg", "16 swg (1.63 mm)", "16 swg (0.064 in)", 1.6256},
        {"16swg", "16 swg (1.63 mm)", "16 swg (0.064 in)", 1.6256},
        {" 16 ga. SWG ", "16 swg (1.63 mm)", "16 swg (0.064 in)", 1.6256},
        {"16 gauge msg", "16 msg (1.52 mm)", "16 msg (0.060 in)", 2.5 / 41.82 * 25.4},
        {"18 bg", "18 bg (1.26 mm)", "18 bg (0.050 in)", 1.2573},
        {"16 awg", "16 awg (1.29 mm)", "16 awg (0.051 in)", 1.2908},
    };

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        tw_stock stock = {0};
        char out[64];
        assert_int_equal(tw_stock_read(rows[k].text, NULL, &stock, NULL), TW_OK);
        assert_close(stock.thickness, rows[k].mm, 1e-4);
        assert_int_equal(stock.by_gauge, strchr(rows[k].metric, '(') != NULL);
        assert_string_equal(tw_stock_write(&stock, TW_METRIC, out, sizeof out), rows[k].metric);
        if (k != 1) /* 0.0625 lies on the tie */
            assert_string_equal(tw_stock_write(&stock, TW_INCH, out, sizeof out), rows[k].inch);
    }
}

static void refuse(const char *text, const char *metal, tw_status status, const char *advice)
{
    const tw_material *material = metal ? tw_material_find(metal) : NULL;
    tw_stock stock = {.thickness = 77};
    tw_error err = {0};

    if (tw_stock_read(text, material, &stock, &err) != status || !strstr(err.advice, advice) ||
        stock.thickness < 77 || stock.thickness > 77)
        fail_msg("\"%s\": %d \"%s\" -> \"%s\"", text, err.status, err.message, err.advice);
    assert_string_equal(err.value, text);
}

static void a_number_alone_lists_what_it_would_be(void **state)
{
    static const char *const shown[] = {"16 mm",
                                        "16 msg (1.52 mm)",
                                        "16 uss (1.59 mm)",
                                        "16 swg (1.63 mm)",
                                        "16 bwg (1.65 mm)",
                                        "16 bg (1.59 mm)"};

    (void)state;
    for (size_t k = 0; k < sizeof shown / sizeof *shown; k++) {
        refuse("16", "mild steel", TW_ERR_UNIT, shown[k]);
        if (k > 0)
            refuse("16 ga", "mild steel", TW_ERR_UNIT, shown[k]);
    }
    refuse("16", "copper", TW_ERR_UNIT, "16 awg (1.29 mm)");
    refuse("16 gauge", NULL, TW_ERR_UNIT, "16 awg (1.29 mm)");
    refuse("1.6", NULL, TW_ERR_UNIT, "1.6 mm or 1.6 in");
    refuse("1/16", NULL, TW_ERR_UNIT, "1/16 in");
    refuse("2 ga", NULL, TW_ERR_UNIT, "mm or in");
}

static void what_no_sheet_can_be_is_refused(void **state)
{
    tw_error err;
    tw_stock stock;

    (void)state;
    refuse("16 awg", "mild steel", TW_ERR_DOMAIN, "16 swg (1.63 mm)");
    refuse("16 awg", "stainless 304", TW_ERR_DOMAIN, "mm");
    assert_int_equal(tw_stock_read("16 awg", tw_material_find("mild steel"), &stock, &err),
                     TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "no mild steel"));
    assert_int_equal(tw_stock_read("16 awg", tw_material_find("cartridge brass"), &stock, &err),
                     TW_OK);
    refuse("30 swg", NULL, TW_ERR_DOMAIN, "8 to 26");
    refuse("17 bg", NULL, TW_ERR_DOMAIN, "16, 18 and 20");
    refuse("0 mm", NULL, TW_ERR_DOMAIN, "1.6 mm");
    refuse("-1 mm", NULL, TW_ERR_DOMAIN, "1.6 mm");
    refuse("1e-300 mm", NULL, TW_ERR_DOMAIN, "1.6 mm");
    refuse("0.009 mm", NULL, TW_ERR_DOMAIN, "1.6 mm");
    refuse("50.1 mm", NULL, TW_ERR_DOMAIN, "1.6 mm");
    refuse("1,6 mm", NULL, TW_ERR_SYNTAX, "1.6 mm");
    refuse("16 g", NULL, TW_ERR_UNIT, "16 swg");
    refuse("16 galv", NULL, TW_ERR_UNIT, "16 swg");
    refuse("16.5 swg", NULL, TW_ERR_UNIT, "16 swg");
    refuse("16 swg 2", NULL, TW_ERR_UNIT, "16 swg");
}

static void the_nearest_sheet_is_of_the_system_asked(void **state)
{
    tw_stock stock = tw_stock_nearest(1.63, TW_GAUGE_SYSTEMS);
    size_t count;
    const double *series = tw_metric_stock(&count);

    (void)state;
    assert_false(stock.by_gauge);
    assert_close(stock.thickness, 1.6, 0);
    stock = tw_stock_nearest(1.6, TW_GAUGE_SWG);
    assert_true(stock.by_gauge && stock.system == TW_GAUGE_SWG && stock.number == 16);
    assert_close(stock.thickness, 1.6256, 1e-12);
    for (size_t k = 1; k < count; k++)
        assert_true(series[k] > series[k - 1]);
}

static void metals_are_found_as_a_workshop_types_them(void **state)
{
    static const struct {
        const char *name;
        double density; /* kg/m³ */
        bool ferrous;
    } rows[] = {{"mild steel", 7850, true},       {"Medium Carbon Steel", 7850, true},
                {"springsteel", 7850, true},      {"wrought iron", 7700, true},
                {"stainless 304", 7900, true},    {"titanium", 4510, false},
                {"titanium 6al-4v", 4430, false}, {"aluminium 6061", 2700, false},
                {"aluminum 7075", 2810, false},   {"cartridge brass", 8530, false},
                {" copper ", 8890, false}};
    size_t count;
    const tw_material *all = tw_materials(&count);

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        const tw_material *metal = tw_material_find(rows[k].name);
        assert_non_null(metal);
        assert_close(metal->density, rows[k].density * 1e-6, 1e-15);
        assert_int_equal(metal->ferrous, rows[k].ferrous);
    }
    for (size_t k = 0; k < count; k++) {
        assert_true(all[k].density_low <= all[k].density && all[k].density <= all[k].density_high);
        assert_close(all[k].density_uncertainty,
                     (all[k].density_high - all[k].density_low) / (2 * sqrt(3)), 1e-15);
        assert_true(tw_material_find(all[k].name) == &all[k]);
        assert_true(strlen(all[k].source) > 10);
    }
    assert_null(tw_material_find("mithril"));
    assert_string_equal(tw_material_nearest("mild stele"), "mild steel");
    assert_string_equal(tw_material_nearest("Stainless"), "stainless 304");
    assert_null(tw_material_nearest("mithril"));
    assert_null(tw_material_nearest(""));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(thicknesses_are_read_and_printed),
        cmocka_unit_test(a_number_alone_lists_what_it_would_be),
        cmocka_unit_test(what_no_sheet_can_be_is_refused),
        cmocka_unit_test(the_nearest_sheet_is_of_the_system_asked),
        cmocka_unit_test(metals_are_found_as_a_workshop_types_them),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
