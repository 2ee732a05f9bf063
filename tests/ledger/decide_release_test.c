/* Release by real commands: refused while anything is missing, kept with its clauses. */
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

static bool is_held(const char *lot, const char *stop)
{
    struct hold *holds;
    size_t count;
    assert_ok(holds_on(h.store, &h.arena, house_lot(&h, lot), 0, stop, &holds, &count));
    return count > 0;
}

static struct result release(const char *lot, const char *markets)
{
    return house_send(&h, "{'kind':'release','lot':'%s','markets':[%s],'person':2}", lot, markets);
}

static void a_complete_pack_is_released(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    assert_null(house_unmet(&h, b.packed, "US"));
    assert_true(is_held(b.packed, "load"));
    int64_t size = (int64_t)h.lg->tree.size;
    assert_ok(release(b.packed, "'US'"));
    /* kept with what it rests on */
    assert_int_equal(house_number(&h, "tree_size"), size);
    assert_true(house_number(&h, "clauses") > 10);
    assert_int_equal(house_number(&h, "lifted"), 1);
    assert_false(is_held(b.packed, "load"));
    assert_int_equal(house_count(&h, Q_SCOPE_RELEASES, house_lot(&h, b.packed), NULL),
                     house_number(&h, "entry"));
    house_take(&h, "{'kind':'ship','customer':'COTYLEDON','units':['%s-0001..%s-0004'],'person':8}",
               b.packed, b.packed);
}

static void an_unreviewed_record_keeps_it_back(void **state)
{
    struct house_batch b = house_batch(&h, "C1", false);
    assert_code(release(b.packed, "'US'"), RELEASE_UNMET);
    assert_string_equal(h.refusal.value[0], b.packed);
    assert_true(is_held(b.packed, "load"));
    assert_string_equal(house_unmet(&h, b.packed, "US")->clause, "seed-treated");
    house_review_all(&h);
    assert_ok(release(b.packed, "'US'"));
}

static void another_market_asks_for_more(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    assert_code(release(b.packed, "'EU'"), RELEASE_MARKET); /* it was packed for the US */
    assert_code(release(b.packed, "'MOON'"), MARKET_UNKNOWN);
    assert_code(release(b.packed, ""), FIELD_MISSING);
    assert_string_equal(house_unmet(&h, b.packed, "EU")->clause, "sampled");
    /* the batch itself may go to any, but has one sample of five */
    assert_code(release(b.growing, "'US','EU'"), RELEASE_UNMET);
    assert_non_null(strstr(h.refusal.value[2], "sampled"));
    assert_ok(release(b.growing, "'US'"));
}

static void only_quality_and_managers_release(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    assert_code(
        house_send(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':5}", b.packed),
        ROLE_MISSING);
}

static void a_hold_for_another_reason_stays(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(
        &h,
        "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['release'],'needs':'review',"
        "'reason':'odd smell','person':2}",
        b.packed);
    assert_code(release(b.packed, "'US'"), HELD);
    assert_true(is_held(b.packed, "load")); /* the laboratory's hold was not lifted either */
}

static void a_laboratory_hold_over_another_batch_is_not_lifted_in_passing(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    struct lot seed;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, b.seed, &seed, &found));
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'100 "
               "kg','place':'STORE','supplier_lot':'%s'}",
               seed.supplier_code);
    house_take(&h,
               "{'kind':'grow','mode':'tell','chamber':'C2','item':'MUNG','inputs':[{'lot':'%s'}]}",
               house_answer(&h, "lot"));
    const char *other = house_answer(&h, "lot");
    house_take(
        &h,
        "{'kind':'hold','hold_kind':'laboratory','supplier_lot':'RADICLE/%s','stops':['load'],"
        "'needs':'negative','reason':'seed test','person':2}",
        seed.supplier_code);
    assert_code(release(b.packed, "'US'"), RELEASE_HOLD_WIDE);
    assert_string_equal(h.refusal.value[2], other);
    assert_true(is_held(b.packed, "load"));
}

static void a_pending_retest_opens_the_clause_again(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_result(&h, b.sample, "Salmonella spp.", "presumptive");
    house_review_all(&h);
    assert_code(release(b.packed, "'US'"), RELEASE_UNMET);
    assert_string_equal(house_unmet(&h, b.packed, "US")->clause, "negative");
    assert_string_equal(house_unmet(&h, b.packed, "US")->lot_code, b.growing);
}

static void a_struck_clean_opens_the_clause_again(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_clean(&h, "SORT", 0); /* after the sorting: no help */
    int64_t entry = 0;
    for (int64_t seq = 1; seq < h.lg->next_seq; seq++) {
        struct entry e;
        bool found;
        assert_ok(entry_by_seq(h.store, &h.arena, seq, &e, &found));
        if (strcmp(e.kind, "clean") == 0 && strstr(e.body, "\"SORT\"") != NULL && entry == 0) {
            entry = seq;
        }
    }
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'it was another line','person':2}",
               (long long)entry);
    const struct clause_line *line = house_unmet(&h, b.packed, "US");
    assert_string_equal(line->clause, "clean");
    assert_string_equal(line->place, "SORT");
    assert_int_equal(line->reason.code, CODE_CLAUSE_CLEAN_MISSING);
    assert_int_equal(line->way_count, 2);
}

static void a_split_pack_needs_no_second_check(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(&h, "{'kind':'split','units':['%s-0001..%s-0004']}", b.packed, b.packed);
    const char *part = house_answer(&h, "lot");
    assert_null(house_unmet(&h, part, "US"));
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_complete_pack_is_released),
        T(an_unreviewed_record_keeps_it_back),
        T(another_market_asks_for_more),
        T(only_quality_and_managers_release),
        T(a_hold_for_another_reason_stays),
        T(a_laboratory_hold_over_another_batch_is_not_lifted_in_passing),
        T(a_pending_retest_opens_the_clause_again),
        T(a_struck_clean_opens_the_clause_again),
        T(a_split_pack_needs_no_second_check),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
