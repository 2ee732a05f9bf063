/* Sets of numbers, and walks along the edges. */
#include "fixture.h"

#include "base/random.h"
#include "ledger/kin.h"

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

/* Against a plain array, with numbers that share their low bits as ids of one entry do. */
static void a_set_keeps_each_number_once_in_order(void **state)
{
    enum { COUNT = 3000 };
    static int64_t plain[COUNT];
    size_t count = 0;
    struct random r;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct id_set set = id_set_new(&a);
    random_seed(&r, 7);
    assert_false(id_set_has(&set, 0));
    for (int i = 0; i < COUNT; i++) {
        int64_t id = (int64_t)random_below(&r, 900) * 4096 - 4096 * 10;
        bool known = false;
        for (size_t k = 0; k < count; k++) {
            known = known || plain[k] == id;
        }
        assert_int_equal(id_set_has(&set, id), known);
        assert_int_equal(id_set_add(&set, id), !known);
        if (!known) {
            plain[count++] = id;
        }
    }
    assert_int_equal(set.count, count);
    for (size_t k = 0; k < count; k++) {
        assert_int_equal(set.id[k], plain[k]);
        assert_int_equal(id_set_at(&set, plain[k]), k);
    }
    arena_release(&a);
}

static void walks_reach_what_the_record_reaches(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    const char *packed = house_pack(&h, growing);
    int64_t start = house_lot(&h, growing), end = house_lot(&h, packed);
    struct id_set onward = id_set_new(&h.arena), back = id_set_new(&h.arena);
    id_set_add(&onward, start);
    id_set_add(&back, end);
    assert_ok(kin_onward(h.store, &onward));
    assert_ok(kin_back(h.store, &back));
    struct statement *q = store_prepare(h.store, Q_TRACE_REACH_FORWARD);
    store_bind_int(q, 1, start);
    size_t count = 0;
    bool row;
    for (;;) {
        assert_ok(store_step(q, &row));
        if (!row) {
            break;
        }
        assert_true(id_set_has(&onward, store_int(q, 0)));
        count++;
    }
    assert_int_equal(onward.count, count);
    assert_true(id_set_has(&back, start));
    assert_true(id_set_has(&back, house_lot(&h, h.seed)));
    assert_false(id_set_has(&onward, house_lot(&h, h.seed)));
}

/* Two lots that went into each other's making are walked once. */
static void a_walk_over_several_starts_meets_each_lot_once(void **state)
{
    const char *one = house_grow(&h, "C1", "100 kg"), *two = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "7 d");
    house_take(&h, "{'kind':'harvest','lot':'%s','mass':'800 kg','place':'WASH'}", one);
    const char *a = house_answer(&h, "lot");
    house_take(&h, "{'kind':'harvest','lot':'%s','mass':'800 kg','place':'WASH'}", two);
    const char *b = house_answer(&h, "lot");
    house_take(&h,
               "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s'},{'lot':'%s'}],'outputs':[{'"
               "role':'main','mass':'1500 kg'},"
               "{'role':'hulls','mass':'100 kg'}]}",
               a, b);
    struct id_set lots = id_set_new(&h.arena);
    id_set_add(&lots, house_lot(&h, one));
    id_set_add(&lots, house_lot(&h, two));
    assert_ok(kin_onward(h.store, &lots));
    assert_int_equal(lots.count, 6); /* two batches, two harvests, washed, hulls */
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_set_keeps_each_number_once_in_order),
        TEST(walks_reach_what_the_record_reaches),
        TEST(a_walk_over_several_starts_meets_each_lot_once),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
