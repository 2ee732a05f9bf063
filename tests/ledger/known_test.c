/* The record as it was known. */
#include "fixture.h"

#include "ledger/known.h"

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

static void the_record_as_it_was_known(void **state)
{
    int64_t entry = house_take(&h, "{'kind':'receive','person':6,'supplier':'RADICLE','supplier_"
                                   "lot':'A7','item':'MUNGSEED','mass':"
                                   "'100 kg','place':'STORE','lot':'S1'}");
    int64_t size = h.lg->next_seq - 1;
    struct hash root = merkle_edge_root(&h.lg->tree);
    house_take(&h, "{'kind':'strike','person':6,'entry':%lld,'reason':'misread'}",
               (long long)entry);
    struct store *then;
    struct lot lot;
    bool found;
    int64_t mg;
    assert_ok(known_on(h.store, size, &then));
    assert_ok(lot_by_code(then, &h.arena, "S1", &lot, &found));
    assert_true(found);
    assert_ok(balance_of(then, lot.id, UNIT_MG, &mg));
    assert_int_equal(mg, 100000000);
    struct ledger *lg;
    assert_ok(ledger_open(then, world_fixed(&h.fixed), &lg)); /* with its profile and its tree */
    struct hash root_then = merkle_edge_root(&lg->tree);
    assert_memory_equal(root_then.b, root.b, 32);
    assert_non_null(lg->profile);
    assert_int_equal(lg->next_seq, size + 1);
    ledger_close(lg);
    store_close(then);
    assert_ok(known_on(h.store, size + 1, &then));
    assert_ok(lot_by_code(then, &h.arena, "S1", &lot, &found));
    assert_false(found);
    store_close(then);
    assert_code(known_on(h.store, size + 2, &then), TREE_SIZE);
    assert_code(known_on(h.store, -1, &then), TREE_SIZE);
    assert_ok(known_on(h.store, 0, &then));
    store_close(then);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(the_record_as_it_was_known),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
