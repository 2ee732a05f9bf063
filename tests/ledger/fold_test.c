/* What an entry's effects do to the derived tables, what takes them back, and what is no effect. */
#include "fixture/stock.h"

#include "ledger/fold.h"

static struct house h;

/* Everything is folded into a record in use, in a transaction that is thrown away. */
static int set_up(void **state)
{
    house_open(&h);
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'100 kg',"
                   "'place':'STORE','lot':'S1'}");
    assert_ok(store_begin(h.store));
    return 0;
}

static int tear_down(void **state)
{
    store_rollback(h.store);
    house_close(&h);
    return 0;
}

enum { SEQ = 900 }; /* of an entry that is not there yet */

static json_t *effects_of(const char *text)
{
    char *quoted = arena_copy(&h.arena, text);
    json_t *effects;
    for (char *at = quoted; *at != '\0'; at++) {
        *at = *at == '\'' ? '"' : *at;
    }
    assert_ok(json_read(quoted, strlen(quoted), 1 << 16, &effects));
    return effects;
}

static struct result fold(int64_t seq, const char *text)
{
    json_t *effects = effects_of(text);
    struct result r = fold_effects(h.store, seq, effects);
    json_decref(effects);
    return r;
}

static void every_effect_has_a_name_of_its_own(void **state)
{
    for (int i = 0; i < EFFECT_COUNT; i++) {
        assert_true(effect_name(i)[0] != '\0');
        for (int k = 0; k < i; k++) {
            assert_string_not_equal(effect_name(i), effect_name(k));
        }
    }
    assert_string_equal(effect_name(EFFECT_STRIKE), "strike");
    assert_string_equal(effect_name(EFFECT_PLACE), "place");
    assert_string_equal(effect_fields(EFFECT_PLACE), "tttttiie");
    assert_null(effect_fields(EFFECT_LOT_PLACE)); /* it changes a row */
    assert_null(effect_fields(EFFECT_STRIKE));
}

static void a_row_gets_its_fields_and_its_entry(void **state)
{
    struct lot lot;
    bool found;
    assert_ok(fold(SEQ, "[['lot',3686400,'L-1','MUNG','growing',null,5,20514,null,null,null,null,"
                        "'US',null]]"));
    assert_ok(lot_by_code(h.store, &h.arena, "L-1", &lot, &found));
    assert_true(found);
    assert_int_equal(lot.id, 3686400);
    assert_string_equal(lot.kind, "growing");
    assert_null(lot.place);
    assert_string_equal(lot.markets, "US");
    assert_int_equal(lot.entry, SEQ);
}

static void a_movement_moves_balances(void **state)
{
    int64_t lot = house_lot(&h, "S1"), waste = house_account(&h, "waste", "mg");
    assert_ok(fold(SEQ, arena_printf(&h.arena,
                                     "[['movement',0,%lld,null,'mg',-7,'weighed',null,null,null,0]"
                                     ",['movement',1,null,'waste','mg',7,'difference',null,null,"
                                     "null,0]]",
                                     (long long)lot)));
    assert_int_equal(house_balance(&h, "S1", UNIT_MG), 100000000 - 7);
    assert_int_equal(house_account(&h, "waste", "mg"), waste + 7);
}

/* The inverse carries the old values, last changed first. */
static void a_change_is_taken_back_by_its_inverse(void **state)
{
    int64_t lot = house_lot(&h, "S1");
    json_t *effects = effects_of(
        arena_printf(&h.arena,
                     "[['lot_place',%lld,'TREAT','STORE'],['task',1,'look','x',null,null,0,null],"
                     "['lot_place',%lld,'SOAK','TREAT'],['lot_closed',%lld,77,null]]",
                     (long long)lot, (long long)lot, (long long)lot));
    json_t *back = json_array();
    assert_ok(fold_effects(h.store, SEQ, effects));
    assert_string_equal(house_lot_row(&h, "S1").place, "SOAK");
    assert_true(house_closed(&h, "S1"));
    fold_inverse(effects, back);
    assert_int_equal(json_array_size(back), 3); /* what only adds a row is undone by a strike */
    assert_string_equal(json_canonical(&h.arena, back),
                        arena_printf(&h.arena,
                                     "[[\"lot_closed\",%lld,null,77],[\"lot_place\",%lld,\"TREAT\","
                                     "\"SOAK\"],[\"lot_place\",%lld,\"STORE\",\"TREAT\"]]",
                                     (long long)lot, (long long)lot, (long long)lot));
    assert_ok(fold_effects(h.store, SEQ + 1, back));
    assert_string_equal(house_lot_row(&h, "S1").place, "STORE");
    assert_false(house_closed(&h, "S1"));
    json_decref(back);
    json_decref(effects);
}

static void a_strike_takes_rows_and_amounts_away(void **state)
{
    struct place place;
    bool found;
    int64_t lot = house_lot(&h, "S1"), waste = house_account(&h, "waste", "mg");
    assert_ok(fold(SEQ, arena_printf(&h.arena,
                                     "[['place','R1','R1','room','',null,0,1],"
                                     "['movement',0,%lld,null,'mg',-7,'weighed',null,null,null,0],"
                                     "['movement',1,null,'waste','mg',7,'difference',null,null,"
                                     "null,0]]",
                                     (long long)lot)));
    assert_ok(fold(SEQ + 1, "[['strike',900]]"));
    assert_int_equal(house_balance(&h, "S1", UNIT_MG), 100000000);
    assert_int_equal(house_account(&h, "waste", "mg"), waste);
    assert_ok(place_by_code(h.store, &h.arena, "R1", &place, &found));
    assert_false(found);
    assert_ok(place_by_code(h.store, &h.arena, "STORE", &place, &found));
    assert_true(found); /* of another entry */
}

static void what_has_another_shape_is_damage(void **state)
{
    static const char *const bad[] = {
        "{}",
        "[7]",
        "[[]]",
        "[['nothing',1]]",
        "[['place','R1','R1','room','',null,0]]",     /* one short */
        "[['place','R1','R1','room','',null,0,1,2]]", /* one too many */
        "[['place','R1','R1','room','',null,'0',1]]", /* a text for a number */
        "[['place','R1',5,'room','',null,0,1]]",      /* a number for a text */
        "[['profile','xy','p',0]]",                   /* no hex */
        "[['lot_place',1,'A']]",                      /* without the old value */
        "[['lot_place','1','A','B']]",                /* no id */
        "[['strike','900']]",
        "[['strike']]",
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_code(fold(SEQ, bad[i]), STORE_DAMAGED);
    }
    struct place place;
    bool found;
    assert_ok(place_by_code(h.store, &h.arena, "R1", &place, &found));
    assert_false(found);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(every_effect_has_a_name_of_its_own),
        T(a_row_gets_its_fields_and_its_entry),
        T(a_movement_moves_balances),
        T(a_change_is_taken_back_by_its_inverse),
        T(a_strike_takes_rows_and_amounts_away),
        T(what_has_another_shape_is_damage),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
