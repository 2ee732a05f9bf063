/* Actions on the environment by real commands. */
#include "fixture/evidence.h"

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

static const char *swab_of(const char *place, const char *state)
{
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'sample','what':'swab','place':'%s','person':7}", place);
    const char *code = house_answer(&h, "sample");
    house_result(&h, code, "Listeria spp.", state);
    return code;
}

/* 21 CFR 112.146(a)-(f) (published (seen)): six things at least on a detection of Listeria. */
static void listeria_asks_for_six_things(void **state)
{
    int64_t entry =
        house_take(&h, "{'kind':'environment','place':'PACK','product_hold':true,'organism':'"
                       "Listeria spp.','person':7}");
    assert_int_equal(house_in_entry(&h, entry, "\"listeria-"), 6);
    entry = house_take(&h, "{'kind':'environment','place':'PACK','product_hold':false,'person':7}");
    assert_int_equal(house_in_entry(&h, entry, "[\"task\""), 0); /* a broken lamp is not Listeria */
}

/* Three negative swabs in a row on the site close an action: common practice. */
static void an_action_is_closed_by_swabs(void **state)
{
    house_take(&h, "{'kind':'environment','place':'PACK','product_hold':true,'organism':'Listeria "
                   "spp.','person':7}");
    int64_t id = house_number(&h, "environment");
    const char *format = "{'kind':'environment','close':%lld,'person':7,'reason':'%s'}";
    swab_of("PACK", "negative");
    swab_of("PACK", "negative");
    assert_code(house_send(&h, format, (long long)id, "all clean"), ENVIRONMENT_SWABS);
    swab_of("PACK", "pending");
    assert_code(house_send(&h, format, (long long)id, "all clean"), ENVIRONMENT_SWABS);
    assert_string_equal(h.refusal.value[1], "0"); /* the last one is not negative */
    swab_of("PACK", "negative");
    swab_of("COLD", "negative");
    swab_of("PACK", "negative");
    assert_string_equal(h.refusal.value[2], "3");
    assert_code(house_send(&h, format, (long long)id, "all clean"), ENVIRONMENT_SWABS);
    swab_of("PACK", "negative");
    assert_code(house_send(&h, format, (long long)id, ""), FIELD_MISSING);
    house_take(&h, format, (long long)id, "all clean");
    assert_code(house_send(&h, format, (long long)id, "all clean"), ENVIRONMENT_UNKNOWN);
}

static void holding_product_is_a_decision(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(&h,
               "{'kind':'environment','place':'PACK','product_hold':true,'organism':'Listeria "
               "spp.','from':'%s','person':7}",
               civil_text(&h.arena, h.fixed.now_ms - 3600000, 0));
    int64_t id = house_number(&h, "environment");
    assert_string_equal(house_unmet(&h, b.packed, "US")->clause, "environment");
    const char *format = "{'kind':'environment','decide':%lld,'product_hold':%s,'person':%d,"
                         "'reason':'%s'}";
    assert_code(house_send(&h, format, (long long)id, "false", 7, "not on the belt"), ROLE_MISSING);
    assert_code(house_send(&h, format, (long long)id, "false", 2, ""), FIELD_MISSING);
    int64_t entry = house_take(&h, format, (long long)id, "false", 2, "not on the belt");
    assert_int_equal(house_in_entry(&h, entry, "[\"task\""), 0); /* the six stand already */
    assert_null(house_unmet(&h, b.packed, "US"));
    int64_t next = house_number(&h, "environment");
    assert_code(house_send(&h, format, (long long)id, "true", 2, "again"), ENVIRONMENT_UNKNOWN);
    house_take(&h, format, (long long)next, "true", 7, "found on the belt"); /* anybody may hold */
    assert_string_equal(house_unmet(&h, b.packed, "US")->clause, "environment");
    assert_code(house_send(&h, "{'kind':'environment','close':%lld,'person':7,'reason':'done'}",
                           (long long)house_number(&h, "environment")),
                ENVIRONMENT_SWABS);
}

static void an_open_action_holds_what_was_packed_there(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(&h, "{'kind':'environment','place':'PACK','product_hold':false,'person':7}");
    assert_null(house_unmet(&h, b.packed, "US"));
    house_take(&h,
               "{'kind':'environment','place':'PACK','product_hold':true,'from':'%s','person':7}",
               civil_text(&h.arena, h.fixed.now_ms - 3600000, 0));
    int64_t id = house_number(&h, "environment");
    const struct clause_line *line = house_unmet(&h, b.packed, "US");
    assert_string_equal(line->clause, "environment");
    assert_string_equal(line->lot_code, b.packed);
    /* no organism is named, so a reason is enough */
    house_take(&h, "{'kind':'environment','close':%lld,'person':7,'reason':'lamp was whole'}",
               (long long)id);
    assert_null(house_unmet(&h, b.packed, "US"));
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(listeria_asks_for_six_things),
        T(an_action_is_closed_by_swabs),
        T(an_open_action_holds_what_was_packed_there),
        T(holding_product_is_a_decision),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
