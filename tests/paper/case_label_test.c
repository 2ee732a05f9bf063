#include "paper/case_label.h"

#include <ctype.h>

#include "../support.h"
#include "base/civil.h"
#include "programs.h"

static struct arena arena;

static int enter(void **state)
{
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    return folder_enter(state);
}

static int leave(void **state)
{
    arena_release(&arena);
    return folder_leave(state);
}

static const char *const market_lines[] = {"Rinse before use. Cook through before eating.",
                                           "Packed by hall 3, plant.example"};
static const char *const allergens[] = {"soybeans", "wheat", "sesame"};

static struct case_label good_label(void)
{
    return (struct case_label){
        .item_name = "Soybean sprouts, washed and trimmed",
        .lot_code = "P26066-1",
        .pack_day = day_from_ymd(2026, 3, 7),
        .best_before_day = day_from_ymd(2026, 3, 14),
        .date = LABEL_USE_BY,
        .net_mg = 250000,
        .pieces = 20,
        .allergens = allergens,
        .allergen_count = 1,
        .storage = "Keep at 1 to 4 °C",
        .case_number = "C-000123",
        .market_lines = market_lines,
        .market_line_count = 2,
        .gtin = "9520123456788",
    };
}

struct pdf {
    const uint8_t *bytes;
    size_t len;
};

static struct pdf make(const struct case_label *labels, size_t count,
                       const struct label_paper *paper)
{
    struct pdf pdf;
    assert_ok(case_label_pdf(&arena, labels, count, paper, &pdf.bytes, &pdf.len));
    return pdf;
}

static struct result refused(const struct case_label *label)
{
    const uint8_t *bytes = NULL;
    size_t len = 0;
    struct result r = case_label_pdf(&arena, label, 1, &(struct label_paper){0}, &bytes, &len);
    assert_null(bytes);
    return r;
}

static void people_read_the_label(void **state)
{
    struct case_label label = good_label();
    struct pdf pdf = make(&label, 1, &(struct label_paper){0});
    char text[8192];
    pdf_text(pdf.bytes, pdf.len, text, sizeof text);
    assert_has(text, "Soybean sprouts, washed and trimmed");
    assert_has(text, "LOT P26066-1");
    assert_has(text, "USE BY 14 March 2026");
    assert_has(text, "PACKED 7 March 2026");
    assert_has(text, "20 × 250 g = 5 kg");
    assert_has(text, "Keep at 1 to 4 °C");
    assert_has(text, "Contains soybeans");
    assert_has(text, "C-000123");
    assert_has(text, market_lines[0]);
    assert_has(text, market_lines[1]);
    assert_has(text, "GTIN 09520123456788");
    assert_has(text, "(01)09520123456788(17)260314");
    assert_has(text, "(10)P26066-1");
    assert_has(text, "(21)C-000123");
}

static void a_label_speaks_its_market_s_language(void **state)
{
    struct case_label label = good_label();
    struct pdf pdf = make(&label, 1, &(struct label_paper){.lang = "es"});
    char text[8192];
    pdf_text(pdf.bytes, pdf.len, text, sizeof text);
    assert_has(text, "LOTE P26066-1");
    assert_has(text, "FECHA DE CADUCIDAD 14 de marzo de 2026");
    assert_has(text, "ENVASADO 7 de marzo de 2026");
    assert_has(text, "Contiene soja");
    label.date = LABEL_BEST_BEFORE;
    label.allergen_count = 0;
    pdf = make(&label, 1, &(struct label_paper){.lang = "es"});
    pdf_text(pdf.bytes, pdf.len, text, sizeof text);
    assert_has(text, "CONSUMIR PREFERENTEMENTE ANTES DEL 14 de marzo de 2026");
    assert_has(text, "Sin alérgenos declarados");
}

/* In the made-up language every word of the catalogue stands in brackets; outside of them only what
 * the house wrote is left. */
static void nothing_on_a_label_is_from_elsewhere(void **state)
{
    struct case_label label = good_label();
    static const char *const own[] = {"Soybean sprouts, washed and trimmed", "Keep at 1 to 4 °C",
                                      "Rinse before use. Cook through before eating.",
                                      "Packed by hall 3, plant.example", "GTIN"};
    struct pdf pdf = make(&label, 1, &(struct label_paper){.lang = "xx"});
    char text[8192], left[8192];
    size_t n = 0;
    pdf_text(pdf.bytes, pdf.len, text, sizeof text);
    assert_has(text, "[LOT] P26066-1");
    assert_has(text, "[Coontaaiins] [sooybeeaans]");
    for (size_t i = 0; i < sizeof own / sizeof own[0]; i++) {
        char *at = strstr(text, own[i]);
        assert_non_null(at);
        memset(at, ' ', strlen(own[i]));
    }
    for (const char *c = text; *c != '\0'; c++) {
        const char *end = *c == '[' ? strchr(c, ']') : NULL;
        c = end != NULL ? end : c;
        left[n++] = end != NULL ? ' ' : *c;
    }
    left[n] = '\0';
    for (const char *c = left; *c != '\0'; c++) {
        if (isalpha((unsigned char)c[0]) && isalpha((unsigned char)c[1]) &&
            isalpha((unsigned char)c[2])) {
            fail_msg("%s", left);
        }
    }
}

static void scanners_read_the_label(void **state)
{
    struct case_label label = good_label();
    const char *const wanted[] = {"010952012345678817260314", "10P26066-1", "21C-000123"};
    static const int printers_dpi[] = {203, 300, 600};
    for (size_t i = 0; i < 3; i++) {
        struct pdf pdf = make(&label, 1, &(struct label_paper){.printer_dpi = printers_dpi[i]});
        assert_symbols(pdf.bytes, pdf.len, 1, printers_dpi[i], wanted, 3);
        /* and at a resolution that is not the printer's */
        assert_symbols(pdf.bytes, pdf.len, 1, 300, wanted, 3);
    }
}

static void best_before_has_its_own_identifier(void **state)
{
    struct case_label label = good_label();
    label.date = LABEL_BEST_BEFORE;
    label.allergen_count = 3;
    struct pdf pdf = make(&label, 1, &(struct label_paper){0});
    const char *const wanted[] = {"010952012345678815260314", "10P26066-1", "21C-000123"};
    assert_symbols(pdf.bytes, pdf.len, 1, 300, wanted, 3);
    char text[8192];
    pdf_text(pdf.bytes, pdf.len, text, sizeof text);
    assert_has(text, "BEST BEFORE 14 March 2026");
    assert_has(text, "Contains soybeans, wheat, sesame");
}

/* With more width fewer symbols are needed, and the separator shows behind the lot. */
static void wide_labels_need_fewer_symbols(void **state)
{
    struct case_label label = good_label();
    struct pdf pdf = make(&label, 1, &(struct label_paper){.width_mm = 210, .height_mm = 148});
    const char *const two[] = {"01095201234567881726031410P26066-1", "21C-000123"};
    assert_symbols(pdf.bytes, pdf.len, 1, 300, two, 2);
    pdf = make(&label, 1, &(struct label_paper){.width_mm = 148, .height_mm = 210});
    const char *const split[] = {"010952012345678817260314", "10P26066-1\x1d"
                                                             "21C-000123"};
    assert_symbols(pdf.bytes, pdf.len, 1, 300, split, 2);
}

static void without_a_gtin_the_case_number_is_in_the_bars(void **state)
{
    struct case_label label = good_label();
    label.gtin = NULL;
    label.allergen_count = 0;
    struct pdf pdf = make(&label, 1, &(struct label_paper){0});
    const char *const wanted[] = {"C-000123"};
    assert_symbols(pdf.bytes, pdf.len, 1, 300, wanted, 1);
    char text[8192];
    pdf_text(pdf.bytes, pdf.len, text, sizeof text);
    assert_has(text, "No allergens declared");
    assert_null(strstr(text, "GTIN"));
}

static void a_weighed_case_carries_its_weight(void **state)
{
    struct case_label label = good_label();
    label.net_mg = label.pieces = 0;
    label.weighed_net_mg = 4900000;
    label.weighed_decimals = 3;
    label.gtin = "99520123456781";
    struct pdf pdf = make(&label, 1, &(struct label_paper){0});
    const char *const wanted[] = {"019952012345678117260314", "3103004900", "10P26066-1",
                                  "21C-000123"};
    assert_symbols(pdf.bytes, pdf.len, 1, 300, wanted, 4);
    char text[8192];
    pdf_text(pdf.bytes, pdf.len, text, sizeof text);
    assert_has(text, "4.900 kg"); /* as exact as the scale */
    label.gtin = "9520123456788";
    assert_code(refused(&label), LABEL_GTIN_MEASURE);
    label = good_label();
    label.gtin = "99520123456781";
    assert_code(refused(&label), LABEL_GTIN_MEASURE);
    label.weighed_net_mg = 4900000;
    assert_code(refused(&label), LABEL_MEASURE);
}

static void many_labels_in_one_file(void **state)
{
    struct case_label labels[12];
    for (int i = 0; i < 12; i++) {
        labels[i] = good_label();
        labels[i].case_number = arena_printf(&arena, "C-%06d", 123 + i);
    }
    struct pdf pdf = make(labels, 12, &(struct label_paper){0});
    assert_int_equal(pdf_page_count(pdf.bytes, pdf.len), 12);
    const char *const wanted[] = {"010952012345678817260314", "10P26066-1", "21C-000134"};
    assert_symbols(pdf.bytes, pdf.len, 12, 300, wanted, 3);
    labels[7].gtin = "9520123456789";
    const uint8_t *bytes;
    size_t len;
    struct result r = case_label_pdf(&arena, labels, 12, &(struct label_paper){0}, &bytes, &len);
    assert_code(r, KEY_CHECK);
    assert_string_equal(r.field, "labels[7].gtin");
}

static void long_lots(void **state)
{
    struct case_label label = good_label();
    label.lot_code = "12345678901234567890";
    struct pdf pdf = make(&label, 1, &(struct label_paper){0});
    const char *const digits[] = {"010952012345678817260314", "1012345678901234567890",
                                  "21C-000123"};
    assert_symbols(pdf.bytes, pdf.len, 1, 300, digits, 3);
    /* twenty letters need 156 mm */
    label.lot_code = "ABCDEFGHIJKLMNOPQRST";
    struct result r = refused(&label);
    assert_code(r, SYMBOL_WIDE);
    assert_string_equal(r.field, "lot_code");
    pdf = make(&label, 1, &(struct label_paper){.width_mm = 210, .height_mm = 148});
    const char *const letters[] = {"010952012345678817260314", "10ABCDEFGHIJKLMNOPQRST",
                                   "21C-000123"};
    assert_symbols(pdf.bytes, pdf.len, 1, 300, letters, 3);
    label.gtin = NULL; /* the house's own bars hold the case number, and the lot is read */
    pdf = make(&label, 1, &(struct label_paper){0});
    char text[8192];
    pdf_text(pdf.bytes, pdf.len, text, sizeof text);
    assert_has(text, "LOT ABCDEFGHIJKLMNOPQRST");
    label = good_label();
    label.lot_code = "123456789012345678901";
    assert_code(refused(&label), ELEMENT_LENGTH);
}

static void names_of_any_script_and_length(void **state)
{
    struct case_label label = good_label();
    char text[8192];
    label.item_name = "Ростки сои Βλαστάρια σόγιας نبتة";
    struct pdf pdf = make(&label, 1, &(struct label_paper){0});
    pdf_words(pdf.bytes, pdf.len, text, sizeof text);
    assert_has(text, "Ростки сои");
    assert_has(text, "σόγιας");
    assert_has(text, "نبتة");
    label.item_name = "Seasoned soybean sprouts with sesame oil, chilli and soy sauce, ready to "
                      "eat as a side dish";
    pdf = make(&label, 1, &(struct label_paper){0});
    pdf_text(pdf.bytes, pdf.len, text, sizeof text);
    assert_has(text, label.item_name);
    const char *const wanted[] = {"010952012345678817260314", "10P26066-1", "21C-000123"};
    assert_symbols(pdf.bytes, pdf.len, 1, 300, wanted, 3);
    label.item_name =
        arena_printf(&arena, "%s, %s, %s", label.item_name, label.item_name, label.item_name);
    assert_code(refused(&label), LABEL_TEXT_LONG);
    label.item_name = "Sprouts \xf4\x8f\xbf\xbd";
    assert_code(refused(&label), PAPER_GLYPH);
    label.item_name = "Sprouts\a";
    assert_code(refused(&label), PAPER_TEXT);
}

static void the_same_label_gives_the_same_bytes(void **state)
{
    struct case_label label = good_label();
    struct pdf one = make(&label, 1, &(struct label_paper){.created_ms = 1772840730000});
    struct pdf two = make(&label, 1, &(struct label_paper){.created_ms = 1772840730000});
    assert_int_equal(one.len, two.len);
    assert_memory_equal(one.bytes, two.bytes, one.len);
}

static void bad_data_is_refused_with_its_field(void **state)
{
    struct case_label label = good_label();
    label.item_name = "";
    struct result r = refused(&label);
    assert_code(r, FIELD_MISSING);
    assert_string_equal(r.field, "item_name");
    label = good_label();
    label.storage = NULL;
    assert_code(refused(&label), FIELD_MISSING);
    label = good_label();
    label.lot_code = "P26 066";
    r = refused(&label);
    assert_code(r, ELEMENT_CHARACTER);
    assert_string_equal(result_sentence(&arena, &r),
                        "lot_code is \"P26 066\"; character 4 cannot stand behind (10) in a bar "
                        "code. Take it out.");
    label = good_label();
    label.best_before_day = label.pack_day - 1;
    r = refused(&label);
    assert_code(r, LABEL_DATES);
    assert_string_equal(result_sentence(&arena, &r),
                        "best_before_day: 6 March 2026 lies before the pack date 7 March 2026. "
                        "Correct one of them.");
    label = good_label();
    label.pack_day = day_from_ymd(1999, 1, 1);
    assert_code(refused(&label), FIELD_RANGE);
    label = good_label();
    label.pieces = 0;
    assert_code(refused(&label), FIELD_RANGE);
    label = good_label();
    label.net_mg = INT64_C(1000000001);
    assert_code(refused(&label), FIELD_RANGE);
    label = good_label();
    label.gtin = "952012345679";
    assert_code(refused(&label), KEY_CHECK);
    label = good_label();
    label.market_lines = (const char *const[]){"Fine", NULL};
    assert_code(refused(&label), FIELD_MISSING);
}

static void a_full_label_is_refused(void **state)
{
    struct case_label label = good_label();
    const char *lines[40];
    for (int i = 0; i < 40; i++) {
        lines[i] = "One more line that the market wants";
    }
    label.market_lines = lines;
    label.market_line_count = 40;
    assert_code(refused(&label), LABEL_ROOM);
}

static void the_paper_is_checked(void **state)
{
    struct case_label label = good_label();
    static const struct label_paper papers[] = {
        {.width_mm = 50, .height_mm = 148},
        {.width_mm = 105, .height_mm = 50},
        {.width_mm = 105},
        {.width_mm = 301, .height_mm = 148},
        {.printer_dpi = 99},
        {.printer_dpi = 2401},
    };
    const uint8_t *bytes;
    size_t len;
    for (size_t i = 0; i < sizeof papers / sizeof papers[0]; i++) {
        assert_code(case_label_pdf(&arena, &label, 1, &papers[i], &bytes, &len), FIELD_RANGE);
    }
    assert_code(case_label_pdf(&arena, &label, 0, &(struct label_paper){0}, &bytes, &len),
                FIELD_RANGE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(people_read_the_label, enter, leave),
        cmocka_unit_test_setup_teardown(a_label_speaks_its_market_s_language, enter, leave),
        cmocka_unit_test_setup_teardown(nothing_on_a_label_is_from_elsewhere, enter, leave),
        cmocka_unit_test_setup_teardown(scanners_read_the_label, enter, leave),
        cmocka_unit_test_setup_teardown(best_before_has_its_own_identifier, enter, leave),
        cmocka_unit_test_setup_teardown(wide_labels_need_fewer_symbols, enter, leave),
        cmocka_unit_test_setup_teardown(without_a_gtin_the_case_number_is_in_the_bars, enter,
                                        leave),
        cmocka_unit_test_setup_teardown(a_weighed_case_carries_its_weight, enter, leave),
        cmocka_unit_test_setup_teardown(many_labels_in_one_file, enter, leave),
        cmocka_unit_test_setup_teardown(long_lots, enter, leave),
        cmocka_unit_test_setup_teardown(names_of_any_script_and_length, enter, leave),
        cmocka_unit_test_setup_teardown(the_same_label_gives_the_same_bytes, enter, leave),
        cmocka_unit_test_setup_teardown(bad_data_is_refused_with_its_field, enter, leave),
        cmocka_unit_test_setup_teardown(a_full_label_is_refused, enter, leave),
        cmocka_unit_test_setup_teardown(the_paper_is_checked, enter, leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
