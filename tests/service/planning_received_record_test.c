/* What was done with fruit, read from entries of a small record. */
#include "hall.h"

static bool is(double x, double wanted)
{
    return x > wanted - 1e-6 && x < wanted + 1e-6;
}

struct did {
    struct received_did *list;
    int count;
};

static struct did all(struct house *h, int64_t after)
{
    struct did out;
    assert_ok(received_read(h->store, &h->arena, &h->lg->profile->planning.received, after,
                            &out.list, &out.count));
    return out;
}

static const char *good_name(struct house *h, int good)
{
    return h->lg->profile->planning.received.goods[good].name;
}

static void a_sorting_is_the_use_of_what_it_took(void **state)
{
    (void)state;
    struct house h;
    hall_open(&h);
    hall_sorts(&h);
    hall_receive(&h, "HESPERIDIUM-1", "1500 kg");
    const char *lot = house_answer(&h, "lot");
    hall_sort(&h, lot, "1000 kg", 450, 300, 180, 50);
    struct did d = all(&h, 0);
    assert_int_equal(d.count, 2);
    assert_int_equal(d.list[0].act, RECEIVED_CAME);
    assert_true(is(d.list[0].kg, 1500));
    const struct received_did *used = &d.list[1];
    assert_int_equal(used->act, RECEIVED_USED);
    assert_string_equal(good_name(&h, used->good), "limes of HESPERIDIUM-1");
    assert_string_equal(h.lg->profile->planning.received.uses[used->use].name,
                        "sort HESPERIDIUM-1");
    assert_true(is(used->kg, 1000));
    assert_true(is(used->given_kg[0], 450) && is(used->given_kg[3], 50));
    assert_int_equal(used->day, h.fixed.now_ms / HALL_DAY_MS);
    assert_int_equal(used->born, used->day);
    house_close(&h);
}

/* Of what takes the same good the use is told by what came of it. */
static void the_use_is_told_by_what_came_of_it(void **state)
{
    (void)state;
    struct house h;
    hall_open(&h);
    hall_sorts(&h);
    house_take(&h, "{'kind':'place','code':'LINE-9','place_kind':'pack-line'}");
    house_take(&h, "{'kind':'item','code':'LIME-NET','item_kind':'packed','net':'1 kg',"
                   "'pieces_per_case':10,'life_days':20,'source_item':'LIME-1'}");
    hall_receive(&h, "HESPERIDIUM-1", "1 t");
    const char *firsts = hall_sort(&h, house_answer(&h, "lot"), NULL, 500, 300, 150, 30);
    int64_t after = house_entry(&h, "grade").seq;
    house_take(&h,
               "{'kind':'pack','inputs':[{'lot':'%s','mass':'200 kg'}],'item':"
               "'LIME-NET','pieces':195,'mean_net':'1010 g','place':'LINE-9','markets':['house']}",
               firsts);
    struct did d = all(&h, after);
    assert_int_equal(d.count, 1);
    assert_string_equal(h.lg->profile->planning.received.uses[d.list[0].use].name,
                        "pack nets of firsts");
    assert_true(is(d.list[0].kg, 200) && is(d.list[0].given_kg[0], 195 * 1.01));
    house_close(&h);
}

static void what_left_is_no_use(void **state)
{
    (void)state;
    struct house h;
    hall_open(&h);
    hall_sorts(&h);
    hall_receive(&h, "HESPERIDIUM-1", "1 t");
    const char *firsts = hall_sort(&h, house_answer(&h, "lot"), NULL, 500, 300, 150, 30);
    int64_t after = house_entry(&h, "grade").seq;
    house_take(&h, "{'kind':'destroy','lot':'%s','mass':'20 kg','to':'compost','reason':'soft'}",
               firsts);
    struct did d = all(&h, after);
    assert_int_equal(d.count, 1);
    assert_int_equal(d.list[0].act, RECEIVED_LEFT);
    assert_int_equal(d.list[0].use, PLAN_NONE);
    assert_true(is(d.list[0].kg, 20));
    house_close(&h);
}

static void what_is_struck_was_not_done(void **state)
{
    (void)state;
    struct house h;
    hall_open(&h);
    hall_sorts(&h);
    hall_receive(&h, "HESPERIDIUM-1", "1 t");
    hall_sort(&h, house_answer(&h, "lot"), NULL, 500, 300, 150, 30);
    assert_int_equal(all(&h, 0).count, 2);
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'typed twice'}",
               (long long)house_entry(&h, "grade").seq);
    assert_int_equal(all(&h, 0).count, 1);
    house_close(&h);
}

static void a_day_begins_after_the_last_entry_before_it(void **state)
{
    (void)state;
    struct house h;
    int64_t before;
    hall_open(&h);
    int32_t day = (int32_t)(h.fixed.now_ms / HALL_DAY_MS);
    hall_receive(&h, "HESPERIDIUM-1", "1 t");
    int64_t last = house_entry(&h, "receive").seq;
    assert_ok(received_before(h.store, h.lg->profile, day, &before));
    assert_true(before < last);
    house_wait(&h, "1 d");
    assert_ok(received_before(h.store, h.lg->profile, day + 1, &before));
    assert_int_equal(before, last);
    assert_int_equal(all(&h, before).count, 0);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sorting_is_the_use_of_what_it_took),
        cmocka_unit_test(the_use_is_told_by_what_came_of_it),
        cmocka_unit_test(what_left_is_no_use),
        cmocka_unit_test(what_is_struck_was_not_done),
        cmocka_unit_test(a_day_begins_after_the_last_entry_before_it),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
