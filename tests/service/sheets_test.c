/* The shift's sheets, read back by somebody else's program. */
#include "../paper/programs.h"
#include "pages.h"
#include "runs.h"

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
    assert_ok(sheets_make(&v, kind, (struct sheets_span){.day = day}, &pdf, &len));
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

static const char *read_shift(const char *lang, enum sheets_kind kind, int32_t day,
                              const char *name)
{
    struct view v = house_view(&h, lang);
    struct shift shift;
    const uint8_t *pdf;
    size_t len;
    char *text = arena_alloc(&h.arena, 32768);
    assert_ok(shift_named(v.profile, &h.arena, day, name, &shift));
    struct sheets_span span = {.day = day, .shift = &shift};
    assert_ok(sheets_make(&v, kind, span, &pdf, &len));
    pdf_text(pdf, len, text, 32768);
    return text;
}

/* The house soaks at 20:00, when its night shift begins. */
static void a_shift_has_its_own_starts(void **state)
{
    (void)state;
    house_take(&h, "{'kind':'plan-take','starts':[{'day':'2026-03-02','place':'C1','item':'MUNG',"
                   "'seed':'100 kg','grow_days':7}]}");
    assert_null(strstr(read_shift("en", SHEETS_SOAK, today(), "early"), "100 kg"));
    assert_null(strstr(read_shift("en", SHEETS_SOAK, today(), "late"), "100 kg"));
    const char *text = read_shift("en", SHEETS_SOAK, today(), "night");
    assert_has(text, "C1 MUNG 100 kg MUNG26061-C1");
    assert_has(text, "Night shift, 2 March 2026, 20:00 to 04:00; printed 2 March 2026 04:00");
    assert_has(read_shift("es", SHEETS_CHECKS, today(), "early"),
               "Turno de mañana, 2 de marzo de 2026, de 04:00 a 12:00");
}

/* What an earlier shift of the day was to start and did not goes on to the next. */
static void what_was_not_started_goes_on(void **state)
{
    (void)state;
    struct profile_shift two[] = {{"first", 4 * 60}, {"second", 21 * 60}};
    struct profile p = *h.lg->profile;
    struct view v = house_view(&h, "en");
    struct shift second;
    const uint8_t *pdf;
    size_t len;
    char text[32768];
    p.shifts = two;
    p.shift_count = 2;
    v.profile = &p;
    house_take(&h, "{'kind':'plan-take','starts':[{'day':'2026-03-02','place':'C1','item':'MUNG',"
                   "'seed':'100 kg','grow_days':7},{'day':'2026-03-02','place':'C2','item':'MUNG',"
                   "'seed':'90 kg','grow_days':7}]}");
    house_grow(&h, "C2", "90 kg");
    assert_ok(shift_named(&p, &h.arena, today(), "second", &second));
    struct sheets_span span = {.day = today(), .shift = &second};
    assert_ok(sheets_make(&v, SHEETS_SOAK, span, &pdf, &len));
    pdf_text(pdf, len, text, sizeof text);
    assert_has(text, "C1 MUNG 100 kg");
    assert_null(strstr(text, "C2 MUNG"));
}

/* From the shift in which the plan has it harvested on. */
static void a_shift_has_the_chambers_that_are_ready(void **state)
{
    (void)state;
    const struct profile *p = h.lg->profile;
    const char *growing = house_grow(&h, "C2", "100 kg");
    struct chamber_run *runs;
    size_t count;
    int64_t due_ms;
    runs_of(&h, NULL, &runs, &count);
    assert_int_equal(count, 1);
    assert_ok(chamber_due(p, profile_crop(p, "MUNG"), &runs[0], h.fixed.now_ms, &due_ms));
    struct shift shift = shift_at(p, &h.arena, due_ms);
    struct shift before = shift_at(p, &h.arena, shift.start_ms - 1);
    assert_null(strstr(read_shift("en", SHEETS_HARVEST, before.day, before.name), growing));
    assert_has(read_shift("en", SHEETS_HARVEST, shift.day, shift.name), growing);
}

/* Each run with room for the clock, cleans between them, trucks below. 800 kg of mung are harvested
 * from 6:00 to 6:20; soy is packed after a clean of half an hour (computed here). */
static void the_day_in_its_order(void **state)
{
    (void)state;
    house_take(&h, "{'kind':'item','code':'SOY','item_kind':'growing','family':'soy',"
                   "'allergens':['soy']}");
    house_take(&h, "{'kind':'plan-take','starts':[{'day':'2026-03-02','place':'C1','item':'SOY',"
                   "'seed':'100 kg','grow_days':7},{'day':'2026-03-02','place':'C2','item':'MUNG',"
                   "'seed':'100 kg','grow_days':7}]}");
    const char *text = read_sheet("en", SHEETS_DAY, today() + 7);
    assert_has(text, "Day's sequence 9 March 2026");
    assert_has(text, "06:00 06:20 Harvest C2 MUNG 800 kg");
    assert_has(text, "06:40 07:15 Wash WASH clean, change over"); /* 30 and 5 minutes */
    assert_has(text, "Pack PACK clean, change over");
    assert_has(text, "Pack PACK C1 SOY 600 kg");
    assert_has(text, "Truck retail, cut-off 11:00: nothing of it comes from this day's chambers.");
    assert_has(read_sheet("es", SHEETS_DAY, today() + 7), "Orden del día");
    assert_has(read_sheet("en", SHEETS_DAY, today()), "Day's sequence 2 March 2026");
}

static void a_shift_has_its_part_of_the_day(void **state)
{
    (void)state;
    house_take(&h, "{'kind':'plan-take','starts':[{'day':'2026-03-02','place':'C2','item':'MUNG',"
                   "'seed':'100 kg','grow_days':7}]}");
    assert_has(read_shift("en", SHEETS_DAY, today() + 7, "early"), "06:00 06:20 Harvest C2");
    assert_null(strstr(read_shift("en", SHEETS_DAY, today() + 7, "late"), "Harvest C2"));
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

/* 12 % of volume with 1.2 kg/L: 100 mg/L of available chlorine in 100 L take 83.3 mL, that is 100
 * g; 200 mg/L the double (computed here). */
static void doses_by_the_strength_of_each_lot(void **state)
{
    (void)state;
    house_take(&h, "{'kind':'chemical','person':2,'code':'CH-7','agent':'sanitiser','best_before':"
                   "'2027-01-01T00:00:00Z','form':'volume-percent','substance':"
                   "'sodium-hypochlorite','strength':'12 %%','strength_of':'available-chlorine',"
                   "'density':'1.2 kg/L'}");
    house_take(&h, "{'kind':'chemical','person':2,'code':'CH-8','agent':'unknown','best_before':"
                   "'2027-01-01T00:00:00Z'}");
    const char *text = read_sheet("en", SHEETS_DOSES, today());
    assert_has(text, "CH-7");
    assert_has(text, "100.0 g = 83.3 mL");
    assert_has(text, "200.0 g = 166.7 mL");
    assert_has(text, "Never mix hypochlorite with acid");
    assert_null(strstr(text, "CH-8")); /* nothing says how strong it is */
    house_take(&h, "{'kind':'titration','person':2,'chemical':'CH-7','strength':'10 %%','low':"
                   "'9 %%','high':'14 %%'}");
    assert_has(read_sheet("en", SHEETS_DOSES, today()), "120.0 g = 100 mL");
    assert_has(read_sheet("es", SHEETS_DOSES, today()), "gas cloro");
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
    assert_ok(sheets_write(&v, "papers/shift", (struct sheets_span){.day = today()}));
    for (int i = 0; i < SHEETS_COUNT; i++) {
        const char *name = sheets_name((enum sheets_kind)i);
        assert_true(file_exists(house_text(&h, "papers/shift/2026-03-02-%s.pdf", name)));
        assert_int_equal(sheets_named(name), i);
    }
    assert_int_equal(sheets_named("other"), SHEETS_COUNT);
    struct shift early;
    assert_ok(shift_named(v.profile, &h.arena, today(), "early", &early));
    struct sheets_span span = {.day = today(), .shift = &early};
    assert_ok(sheets_write(&v, "papers/shift", span));
    assert_true(file_exists("papers/shift/2026-03-02-early-soak.pdf"));
    assert_ok(file_write("in-the-way", "x", 1, 0644));
    struct result r = sheets_write(&v, "in-the-way/shift", (struct sheets_span){.day = today()});
    assert_true(r.code != CODE_OK);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(starts_with_their_codes),
        TEST(a_shift_has_its_own_starts),
        TEST(what_was_not_started_goes_on),
        TEST(a_shift_has_the_chambers_that_are_ready),
        TEST(chambers_with_their_lots),
        TEST(checks_and_weights),
        TEST(the_day_in_its_order),
        TEST(a_shift_has_its_part_of_the_day),
        TEST(the_foot_names_the_tree),
        TEST(a_folder_of_them),
        TEST(doses_by_the_strength_of_each_lot),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
