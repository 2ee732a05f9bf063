/* The shift's sheets, read back by somebody else's program. */
#include "../paper/programs.h"
#include "pages.h"

#include "base/file.h"
#include "service/proof.h"
#include "service/sheets.h"
#include "stock.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return folder_enter(state);
}

static int tear_down(void **state)
{
    house_close(&h);
    return folder_leave(state);
}

static const char *read_sheet(const char *lang, enum sheets_kind kind, int32_t day)
{
    struct view v = house_view(&h, lang);
    const uint8_t *pdf;
    size_t len;
    char *text = arena_alloc(&h.arena, 32768);
    assert_ok(sheets_make(&v, kind, day, &pdf, &len));
    pdf_text(pdf, len, text, 32768);
    return text;
}

static int32_t today(void)
{
    return day_of_house(h.fixed.now_ms, 0, 4 * 60);
}

/* 2026-03-02 is day 61 of its year (computed here: 31 + 28 + 2). */
static void starts_with_their_codes(void **state)
{
    (void)state;
    house_take(&h, "{'kind':'plan-take','starts':[{'day':'2026-03-02','place':'C1','item':'MUNG',"
                   "'seed':'100 kg','grow_days':7},{'day':'2026-03-03','place':'C2','item':'MUNG',"
                   "'seed':'90 kg','grow_days':7}]}");
    const char *text = read_sheet("en", SHEETS_SOAK, today());
    assert_has(text, "To soak 2 March 2026; printed 2 March 2026 04:00 +00:00");
    assert_has(text, "C1 MUNG 100 kg MUNG26061-C1");
    assert_null(strstr(text, "C2")); /* another day's */
    assert_has(text, "page 1 of 1");
    assert_has(read_sheet("en", SHEETS_SOAK, today() + 1), "C2 MUNG 90 kg MUNG26062-C2");
}

static void chambers_with_their_lots(void **state)
{
    (void)state;
    const char *growing = house_grow(&h, "C2", "100 kg");
    const char *started = civil_short(&h.arena, h.fixed.now_ms);
    house_wait(&h, "6 d");
    const char *text = read_sheet("en", SHEETS_HARVEST, today());
    assert_has(text, house_text(&h, "C2 %s %s MUNG26067-C2-H", growing, started));
    assert_has(read_sheet("es", SHEETS_HARVEST, today()), "Para cosechar");
}

static void checks_and_weights(void **state)
{
    (void)state;
    const char *text = read_sheet("en", SHEETS_CHECKS, today());
    assert_has(text, "Check the metal detector METAL");
    assert_has(text, "Read a cold room COLD");
    assert_has(text, "Check a label");
    assert_has(read_sheet("en", SHEETS_WEIGHTS, today()), "MUNG250 250 g MUNG25026061-P");
}

/* The foot names the tree; once a head was signed, that one. */
static void the_foot_names_the_tree(void **state)
{
    (void)state;
    const uint8_t seed[32] = {7};
    struct sign_key key;
    struct head head;
    struct hash root;
    int64_t size = h.lg->next_seq - 1;
    assert_ok(proof_root(h.store, size, &root));
    assert_has(read_sheet("en", SHEETS_CHECKS, today()),
               house_text(&h, "Daybook: %lld entries, root %s", (long long)size,
                          hex_text(&h.arena, root.b, 32)));
    sign_key_from_seed(seed, &key);
    assert_ok(store_begin(h.store));
    assert_ok(ledger_sign_head(h.lg, &key, "shift", &head));
    assert_ok(store_commit(h.store));
    assert_has(read_sheet("en", SHEETS_CHECKS, today()),
               house_text(&h, "Daybook: signed head of %lld entries, root", (long long)size));
}

static void a_folder_of_them(void **state)
{
    (void)state;
    struct view v = house_view(&h, "en");
    assert_ok(sheets_write(&v, "papers/shift", today()));
    for (int i = 0; i < SHEETS_COUNT; i++) {
        const char *name = sheets_name((enum sheets_kind)i);
        assert_true(file_exists(house_text(&h, "papers/shift/2026-03-02-%s.pdf", name)));
        assert_int_equal(sheets_named(name), i);
    }
    assert_int_equal(sheets_named("other"), SHEETS_COUNT);
    assert_ok(file_write("in-the-way", "x", 1, 0644));
    struct result r = sheets_write(&v, "in-the-way/shift", today());
    assert_true(r.code != CODE_OK);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(starts_with_their_codes), TEST(chambers_with_their_lots), TEST(checks_and_weights),
        TEST(the_foot_names_the_tree), TEST(a_folder_of_them),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
