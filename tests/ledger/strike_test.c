/* What a strike takes out of the record, before anybody decides on it. */
#include "fixture.h"

#include "ledger/strike.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static void what_an_entry_made_is_named_by_kind(void **state)
{
    house_pack(&h, house_grow(&h, "C1", "100 kg"));
    int64_t pack = house_entry(&h, "pack").seq;
    struct strike k;
    size_t lots = 0, units = 0;
    assert_ok(strike_read(h.store, &h.arena, &pack, 1, &k));
    for (size_t i = 0; i < k.made_count; i++) {
        lots += k.made[i].kind == MADE_LOT;
        units += k.made[i].kind == MADE_UNIT;
        if (k.made[i].kind == MADE_LOT) {
            assert_string_equal(k.made[i].lot_kind, "packed");
            assert_string_equal(k.made[i].item, "MUNG250");
        }
    }
    assert_int_equal(lots, 1);
    assert_int_equal(units, 20);
    strike_release(&k);
    int64_t none = 9999;
    assert_code(strike_read(h.store, &h.arena, &none, 1, &k), ENTRY_UNKNOWN);
    strike_release(&k);
}

static void what_the_record_concluded_goes_with_its_cause(void **state)
{
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'100 "
                   "kg','place':'STORE','lot':'S1'}");
    const char *packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    int64_t ship = house_take(
        &h, "{'kind':'ship','mode':'tell','customer':'COTYLEDON','units':['%s-0001']}", packed);
    int64_t scope = house_number(&h, "consequences.0.entry");
    struct strike k;
    assert_ok(strike_read(h.store, &h.arena, &ship, 1, &k));
    assert_int_equal(k.count, 2);
    assert_int_equal(k.list[0].entry.seq, scope); /* newest first */
    assert_true(id_set_has(&k.entries, ship));
    strike_release(&k);
}

static void dependants_are_listed_once_and_in_order(void **state)
{
    house_pack(&h, house_grow(&h, "C1", "100 kg"));
    int64_t entries[] = {house_entry(&h, "harvest").seq, house_entry(&h, "wash").seq};
    struct dependants d;
    assert_ok(strike_dependants(h.store, &h.arena, entries, 2, &d));
    assert_int_equal(d.count, 1);
    assert_string_equal(d.list[0].kind, "sort");
    json_t *json = dependants_json(&d);
    assert_string_equal(json_canonical(&h.arena, json),
                        arena_printf(&h.arena,
                                     "[{\"entry\":%lld,\"kind\":\"sort\",\"lot\":\"%s\"}]",
                                     (long long)d.list[0].entry, d.list[0].lot));
    json_decref(json);
    assert_ok(strike_dependants(h.store, &h.arena, entries, 1, &d));
    assert_int_equal(d.count, 1);
    assert_string_equal(d.list[0].kind, "wash");
    struct dependant five[5];
    for (int i = 0; i < 5; i++) {
        five[i] = (struct dependant){.entry = i + 1, .kind = "wash", .lot = "L"};
    }
    assert_string_equal(dependants_text(&h.arena, &(struct dependants){.list = five, .count = 5}),
                        "1 wash (L), 2 wash (L), 3 wash (L) and 2 more");
}

static void what_would_stand_below_zero_is_told(void **state)
{
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'100 "
                   "kg','place':'STORE','lot':'S1'}");
    int64_t count = house_take(&h, "{'kind':'count','lot':'S1','mass':'130 kg','place':'STORE'}");
    house_take(&h, "{'kind':'destroy','lot':'S1','mass':'105 kg','to':'waste','reason':'wet'}");
    struct strike k;
    struct below *below;
    size_t n;
    assert_ok(strike_read(h.store, &h.arena, &count, 1, &k));
    assert_ok(strike_below(h.store, &h.arena, &k, &below, &n));
    assert_int_equal(n, 1);
    assert_string_equal(below[0].unit, "mg");
    assert_int_equal(below[0].short_by, 5000000);
    strike_moved(&h.arena, &k, &below, &n);
    assert_int_equal(n, 1);
    assert_int_equal(below[0].short_by, 30000000);
    strike_release(&k);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(what_an_entry_made_is_named_by_kind),
        TEST(what_the_record_concluded_goes_with_its_cause),
        TEST(dependants_are_listed_once_and_in_order),
        TEST(what_would_stand_below_zero_is_told),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
