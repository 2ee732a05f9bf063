/* Which releases rest on something, and what judging them again says. */
#include "fixture/evidence.h"

#include "ledger/judge.h"

static struct house h;
static struct house_batch b;
static int64_t release;

static int set_up(void **state)
{
    house_open(&h);
    b = house_batch(&h, "C1", true);
    release = house_take(&h, "{'kind':'release','person':2,'lot':'%s','markets':['US']}", b.packed);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static struct id_set lots_of(const char *code)
{
    struct id_set lots = id_set_new(&h.arena);
    id_set_add(&lots, house_lot(&h, code));
    return lots;
}

static void releases_are_found_by_lot_and_by_when(void **state)
{
    struct id_set lots = lots_of(b.packed), others = lots_of(b.growing);
    struct resting *list;
    size_t count;
    assert_ok(releases_of(h.store, &h.arena, &lots, INT64_MIN, &list, &count));
    assert_int_equal(count, 1);
    assert_int_equal(list[0].release, release);
    assert_string_equal(list[0].markets, "US");
    assert_int_equal(list[0].decided_ms, h.fixed.now_ms);
    assert_ok(releases_of(h.store, &h.arena, &lots, h.fixed.now_ms, &list, &count));
    assert_int_equal(count, 0);
    assert_ok(releases_of(h.store, &h.arena, &others, INT64_MIN, &list, &count));
    assert_int_equal(count, 0);
}

static void a_release_names_its_evidence(void **state)
{
    struct id_set lots = id_set_new(&h.arena), none = id_set_new(&h.arena),
                  treated = id_set_new(&h.arena);
    int64_t treatment = house_entry(&h, "heat-treat").seq, attach = house_entry(&h, "attach").seq;
    assert_ok(releases_naming(h.store, &h.arena, treatment, &lots));
    assert_int_equal(lots.count, 1);
    assert_true(id_set_has(&lots, house_lot(&h, b.packed)));
    lots = id_set_new(&h.arena);
    assert_ok(releases_naming(
        h.store, &h.arena, 1,
        &lots)); /* the first person: nothing rests on him, though many numbers hold a 1 */
    assert_int_equal(lots.count, 0);
    struct resting *list;
    size_t count;
    lots = lots_of(b.packed);
    assert_ok(releases_of(h.store, &h.arena, &lots, INT64_MIN, &list, &count));
    assert_false(resting_names(&list[0], &none));
    id_set_add(&treated, attach);
    assert_false(resting_names(&list[0], &treated));
    id_set_add(&treated, treatment);
    assert_true(resting_names(&list[0], &treated));
}

static void void_evidence_opens_what_the_clauses_leave_closed(void **state)
{
    struct id_set lots = lots_of(b.packed), gone_evidence = id_set_new(&h.arena);
    struct resting *list;
    struct judged *judged;
    size_t count;
    struct result why = FAIL2(INSTRUMENT_WRONG, "", "PROBE-1", "900");
    assert_ok(releases_of(h.store, &h.arena, &lots, INT64_MIN, &list, &count));
    assert_ok(judge_again(h.store, h.lg->profile, &h.arena, list, count, NULL, NULL, &judged));
    assert_true(judged[0].met);
    assert_true(judged[0].here);
    assert_int_equal(judged[0].gone_count, 0);
    judged_release(judged, count);
    id_set_add(&gone_evidence, house_entry(&h, "heat-treat").seq);
    assert_ok(
        judge_again(h.store, h.lg->profile, &h.arena, list, count, &gone_evidence, &why, &judged));
    assert_false(judged[0].met);
    assert_string_equal(judged[0].needs, "paper");
    assert_int_equal(json_array_size(judged[0].open), 1);
    judged_release(judged, count);
}

static void what_left_is_added_up_by_customer(void **state)
{
    house_take(&h, "{'kind':'ship','person':8,'customer':'COTYLEDON','units':['%s-0001']}",
               b.packed);
    house_take(&h, "{'kind':'ship','person':8,'customer':'COTYLEDON','units':['%s-0002..%s-0003']}",
               b.packed, b.packed);
    struct gone *gone;
    size_t count;
    assert_ok(gone_of(h.store, &h.arena, house_lot(&h, b.packed), &gone, &count));
    assert_int_equal(count, 1);
    assert_string_equal(gone[0].customer, "COTYLEDON");
    assert_int_equal(gone[0].pieces, 120);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(releases_are_found_by_lot_and_by_when),
        TEST(a_release_names_its_evidence),
        TEST(void_evidence_opens_what_the_clauses_leave_closed),
        TEST(what_left_is_added_up_by_customer),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
