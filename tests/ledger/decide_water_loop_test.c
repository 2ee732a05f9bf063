/* How a water works, as it is told. */
#include "water.h"

static struct water_book book(const char *place)
{
    struct water_book b;
    assert_ok(water_book_read(h.store, &h.arena, place, 0, h.fixed.now_ms, &b));
    return b;
}

static void a_loop_is_kept_as_it_is_told(void **state)
{
    house_take(&h, "{'kind':'water-loop','place':'WASH','rule':'recycled','volume':'2000 L',"
                   "'measure':'turbidity','fresh':'0.4 NTU','decay':'0.05 /h','change_every':'2 d',"
                   "'person':2}");
    struct water_book b = book("WASH");
    const struct water_loop *l = water_loop_at(&b, h.fixed.now_ms);
    assert_non_null(l);
    assert_string_equal(l->rule, "recycled");
    assert_int_equal(l->measure, METER_TURBIDITY);
    assert_int_equal(l->volume_ml, 2000000);
    assert_int_equal(l->fresh_milli, 400);
    assert_int_equal(l->decay_milli, 50);
    assert_int_equal(l->change_ms, 172800000);
    assert_null(water_loop_at(&b, h.fixed.now_ms - 1));
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'water-loop','place':'WASH','volume':'2000 L','active':false,'person':"
                   "2}");
    b = book("WASH");
    assert_int_equal(b.loop_count, 2);
    assert_null(water_loop_at(&b, h.fixed.now_ms));
    assert_non_null(water_loop_at(&b, h.fixed.now_ms - 1));
}

static void what_a_loop_does_not_take(void **state)
{
    const char *loop = "{'kind':'water-loop','place':'WASH','volume':'2000 L',%s,'person':2}";
    house_refused(&h, FIELD_CHOICE, house_text(&h, loop, "'rule':'none'"));
    house_refused(&h, FIELD_CHOICE, house_text(&h, loop, "'measure':'chlorine'"));
    house_refused(&h, FIELD_MISSING, house_text(&h, loop, "'fresh':'1 NTU'"));
    house_refused(&h, UNIT_BAD, house_text(&h, loop, "'measure':'solids','fresh':'1 NTU'"));
    house_refused(&h, FIELD_RANGE, house_text(&h, loop, "'change_every':'0 d'"));
    house_refused(&h, FIELD_RANGE, house_text(&h, loop, "'decay':'-1 /h'"));
    house_refused(&h, FIELD_RANGE,
                  "{'kind':'water-loop','place':'WASH','volume':'0 L','person':2}");
    house_refused(&h, ROLE_MISSING,
                  "{'kind':'water-loop','place':'WASH','volume':'2000 L','person':5}");
}

static void tanks_by_code(void **state)
{
    const char *tank = "{'kind':'water-segment','code':'%s','place':'WASH','volume':'%s','flow':"
                       "'50 L/min','baffling':'%s','person':2}";
    house_take(&h, tank, "B", "500 L", "0.5");
    house_take(&h, tank, "A", "400 L", "0.1");
    house_take(&h, tank, "A", "450 L", "0.1");
    struct water_book b = book("WASH");
    assert_int_equal(b.tank_count, 3);
    assert_string_equal(b.tanks[0].code, "A");
    assert_int_equal(b.tanks[1].volume_ml, 450000);
    assert_int_equal(b.tanks[2].baffling_milli, 500);
    assert_int_equal(b.tanks[2].flow_ml_min, 50000);
    house_refused(&h, FIELD_RANGE, house_text(&h, tank, "A", "1 L", "0.009"));
    house_refused(&h, FIELD_RANGE, house_text(&h, tank, "A", "1 L", "1.1"));
    house_refused(&h, FIELD_RANGE, house_text(&h, tank, "a b", "1 L", "0.1"));
}

static void a_change_or_a_clean_makes_it_new(void **state)
{
    int64_t changed;
    assert_ok(water_changed(h.store, "WASH", h.fixed.now_ms, &changed));
    assert_int_equal(changed, 0);
    house_take(&h, "{'kind':'water-change','place':'WASH','person':5}");
    int64_t first_ms = h.fixed.now_ms;
    house_wait(&h, "2 h");
    assert_ok(water_changed(h.store, "WASH", h.fixed.now_ms, &changed));
    assert_int_equal(changed, first_ms);
    house_take(&h,
               "{'kind':'clean','place':'WASH','start':'%s','end':'%s','agent':'chlorine',"
               "'strength':'150 mg/L','contact':'2 min','rinsed':true,'inspected':'pass','person':"
               "7}",
               house_time(&h, -30), house_time(&h, -10));
    assert_ok(water_changed(h.store, "WASH", h.fixed.now_ms, &changed));
    assert_int_equal(changed, h.fixed.now_ms - 600000);
    assert_ok(water_changed(h.store, "WASH", first_ms, &changed));
    assert_int_equal(changed, first_ms);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_loop_is_kept_as_it_is_told),
        T(what_a_loop_does_not_take),
        T(tanks_by_code),
        T(a_change_or_a_clean_makes_it_new),
    };
    RUN(tests);
}
