/* The book of one water: what was read of it, between two moments. */
#include "water.h"

static void meters_know_their_units_and_fields(void **state)
{
    for (int m = 0; m < METERS; m++) {
        assert_int_equal(water_meter_of(water_meters[m].unit), m);
        assert_int_equal(water_meter_named(water_meters[m].field), m);
    }
    assert_int_equal(water_meter_of("mg/L HOCl"), METERS);
    assert_int_equal(water_meter_named("hocl"), METERS);
}

static void what_was_read_between_two_moments(void **state)
{
    struct water_book b;
    int64_t first_ms = h.fixed.now_ms;
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'20 mg/L','ph':'7','temp':"
                   "'10 C','solids':'40 mg/L','make_up':'300 L/h','person':5}");
    house_wait(&h, "1 h");
    int64_t second =
        house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'1 mg/L','person':5}");
    house_take(&h, "{'kind':'water-reading','place':'WATER','chlorine':'9 mg/L','person':5}");
    assert_ok(water_book_read(h.store, &h.arena, "WASH", first_ms, h.fixed.now_ms, &b));
    assert_int_equal(b.read_count, 6); /* without the share of HOCl, which is worked out */
    assert_int_equal(b.reads[5].meter, METER_CHLORINE);
    assert_int_equal(b.reads[5].value, 1000);
    assert_int_equal(b.reads[5].entry, second);
    assert_false(b.reads[5].ok);
    assert_ok(water_book_read(h.store, &h.arena, "WASH", first_ms, h.fixed.now_ms - 1, &b));
    assert_int_equal(b.read_count, 5);
    for (size_t i = 0; i < b.read_count; i++) {
        if (b.reads[i].meter == METER_SOLIDS) {
            assert_int_equal(b.reads[i].value, 40000);
        }
        assert_true(b.reads[i].ok);
    }
}

static void the_rule_is_the_loops_else_that_of_its_kind(void **state)
{
    struct water_book b;
    const struct profile *p = h.lg->profile;
    assert_string_equal(water_rule_of(p, NULL, "wash-line")->name, "wash");
    assert_string_equal(water_rule_of(p, NULL, "water-system")->name, "supply");
    assert_null(water_rule_of(p, NULL, "chamber"));
    water_goes_round();
    assert_ok(water_book_read(h.store, &h.arena, "WASH", 0, 0, &b));
    const struct water_rule *rule =
        water_rule_of(p, water_loop_at(&b, h.fixed.now_ms), "wash-line");
    assert_string_equal(rule->name, "recycled");
    assert_int_equal(rule->giardia_milli, 500);
    assert_int_equal(rule->virus_milli, 2000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(meters_know_their_units_and_fields),
        T(what_was_read_between_two_moments),
        T(the_rule_is_the_loops_else_that_of_its_kind),
    };
    RUN(tests);
}
