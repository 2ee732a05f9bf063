#include "paper/barcode.h"

#include <math.h>

#include "../support.h"

static struct arena arena;

static int arena_open(void **state)
{
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    return 0;
}

static int arena_shut(void **state)
{
    arena_release(&arena);
    return 0;
}

static const struct gs1_element sscc = {"00", "952012345678912345", "sscc"};

static struct barcode lot_symbol(const char *lot)
{
    const struct gs1_element elements[] = {
        {"01", "09520123456788", "gtin"}, {"17", "261231", "use_by"}, {"10", lot, "lot"}};
    struct barcode b;
    assert_ok(barcode_gs1_128(&arena, elements, 3, &b));
    return b;
}

/* Bars and spaces of Code 128 are one to four modules, six of them to each sign of eleven, and
 * seven to the stop sign of thirteen. */
static void the_widths_make_whole_signs(void **state)
{
    struct barcode b = lot_symbol("P26066-1");
    assert_int_equal(b.width_count % 6, 1);
    int sum = 0, sign = 0;
    for (size_t i = 0; i < b.width_count; i++) {
        assert_in_range(b.widths[i], 1, 4);
        sum += b.widths[i];
        sign += b.widths[i];
        if (i % 6 == 5 && i + 2 < b.width_count) {
            assert_int_equal(sign, 11);
            sign = 0;
        }
    }
    assert_int_equal(sign, 13);
    assert_int_equal(sum, b.modules);
    assert_int_equal((b.modules - 13) % 11, 0);
}

/* Computed here: (105 + 1*102 + 2*00 + 3*09 + ...) mod 103 = 64 for this SSCC. The pattern of
 * value 64 is taken from a symbol that holds it as data: "6464". */
static void the_check_sign_is_the_computed_one(void **state)
{
    const struct gs1_element other = {"00", "095201234567891235", "sscc"};
    struct barcode b, six;
    assert_ok(barcode_gs1_128(&arena, &other, 1, &b));
    assert_ok(barcode_code_128(&arena, "6464", "text", &six));
    const int values[] = {105, 102, 0, 9, 52, 1, 23, 45, 67, 89, 12, 35};
    int sum = values[0];
    for (int i = 1; i < 12; i++) {
        sum += i * values[i];
    }
    assert_int_equal(sum % 103, 64);
    assert_int_equal(b.width_count, 13 * 6 + 7);
    assert_memory_equal(b.widths + 12 * 6, six.widths + 6, 6);
}

/* Computed here with the encoder: start, FNC1, ten pairs, check and stop are 156 modules. */
static void widths_on_paper(void **state)
{
    struct barcode b;
    assert_ok(barcode_gs1_128(&arena, &sscc, 1, &b));
    assert_int_equal(b.modules, 13 * 11 + 13);
    assert_true(fabs(barcode_width_mm(&b, 0.495) - 87.12) < 1e-9);
    assert_string_equal(b.readable, "(00)952012345678912345");
    assert_string_equal(b.scanned, "00952012345678912345");
    assert_int_equal(lot_symbol("ABCDEFGH").modules, 288);
    assert_int_equal(lot_symbol("ABC12345").modules, 277);
    assert_int_equal(lot_symbol("12345678").modules, 233);
}

static void forty_eight_characters_and_no_more(void **state)
{
    struct gs1_element elements[] = {{"01", "09520123456788", "gtin"},
                                     {"10", "ABCDEFGHIJKLMNOPQRST", "lot"},
                                     {"21", "C-00012", "case"}};
    struct barcode b;
    assert_ok(barcode_gs1_128(&arena, elements, 3, &b));
    assert_int_equal(strlen(b.scanned), 48);
    elements[2].value = "C-000123";
    struct result r = barcode_gs1_128(&arena, elements, 3, &b);
    assert_code(r, SYMBOL_LONG);
    assert_string_equal(r.value[1], "49");
}

static void plain_text_is_checked(void **state)
{
    struct barcode b;
    assert_ok(barcode_code_128(&arena, "C-000123", "case_number", &b));
    assert_false(b.gs1);
    assert_string_equal(b.scanned, "C-000123");
    assert_ok(barcode_code_128(&arena, " !~[]()", "case_number", &b));
    struct result r = barcode_code_128(&arena, "C-\t", "case_number", &b);
    assert_code(r, SYMBOL_CHARACTER);
    assert_int_equal(r.column, 3);
    assert_code(barcode_code_128(&arena, "Nº 7", "case_number", &b), SYMBOL_CHARACTER);
    assert_code(barcode_code_128(&arena, "\x7f", "case_number", &b), SYMBOL_CHARACTER);
    assert_code(barcode_code_128(&arena, "", "case_number", &b), SYMBOL_LENGTH);
    const char forty[] = "abcdefghijabcdefghijabcdefghijabcdefghij";
    assert_ok(barcode_code_128(&arena, forty, "case_number", &b));
    assert_code(barcode_code_128(&arena, arena_printf(&arena, "%sk", forty), "case_number", &b),
                SYMBOL_LENGTH);
}

/* 203 dpi: 4 dots = 0.5005 mm; 300: 6 = 0.508; 600: 12 = 0.508 (computed here). */
static void modules_are_whole_dots(void **state)
{
    struct barcode b;
    int dots;
    assert_ok(barcode_gs1_128(&arena, &sscc, 1, &b));
    assert_ok(barcode_module_dots(&b, 105, 203, "sscc", &dots));
    assert_int_equal(dots, 4);
    assert_ok(barcode_module_dots(&b, 105, 300, "sscc", &dots));
    assert_int_equal(dots, 6);
    assert_ok(barcode_module_dots(&b, 105, 600, "sscc", &dots));
    assert_int_equal(dots, 12);
}

/* 176 modules of 0.508 mm are 89.408 mm. */
static void gs1_bars_do_not_shrink(void **state)
{
    struct barcode b;
    int dots;
    assert_ok(barcode_gs1_128(&arena, &sscc, 1, &b));
    assert_ok(barcode_module_dots(&b, 89.409, 300, "sscc", &dots));
    struct result r = barcode_module_dots(&b, 89.407, 300, "sscc", &dots);
    assert_code(r, SYMBOL_WIDE);
    assert_string_equal(result_sentence(&arena, &r),
                        "The bar code (00)952012345678912345 is 89.4 mm wide at its narrowest; "
                        "there are 89.4 mm. Use a wider label or a shorter sscc.");
    /* wide paper does not help past 165.10 mm: (409 + 20) * 0.508 */
    struct barcode wide = lot_symbol("ABCDEFGHIJKLMNOPQRST");
    assert_true(barcode_width_mm(&wide, 0.508) > 165.10);
    assert_code(barcode_module_dots(&wide, 300, 300, "lot", &dots), SYMBOL_WIDE);
}

static void house_bars_shrink_to_a_quarter_millimetre(void **state)
{
    struct barcode b;
    int dots;
    assert_ok(barcode_code_128(&arena, "abcdefghijabcdefghijabcdefghij", "text", &b));
    assert_int_equal(b.modules, 32 * 11 + 13); /* with start and check */
    assert_ok(barcode_module_dots(&b, 300, 300, "text", &dots));
    assert_int_equal(dots, 6);
    assert_ok(barcode_module_dots(&b, 105, 300, "text", &dots));
    assert_int_equal(dots, 3); /* 0.254 mm */
    assert_code(barcode_module_dots(&b, 97, 300, "text", &dots), SYMBOL_WIDE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_widths_make_whole_signs, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(the_check_sign_is_the_computed_one, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(widths_on_paper, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(forty_eight_characters_and_no_more, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(plain_text_is_checked, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(modules_are_whole_dots, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(gs1_bars_do_not_shrink, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(house_bars_shrink_to_a_quarter_millimetre, arena_open,
                                        arena_shut),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
