/* What a scanned code is, and a case by its code. */
#include "view_support.h"

#include "service/view_lots.h"

static void found(struct house *h, const char *scan, const char *kind, const char *code)
{
    struct view v = view_as(h, 5, "line");
    json_t *out;
    assert_ok(view_find(&v, scan, &out));
    assert_string_equal(text_at(out, "kind"), kind);
    assert_string_equal(text_at(out, "code"), code);
    json_decref(out);
}

static void a_scan_is_what_the_house_calls_it(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", true);
    const char *one = arena_printf(&h.arena, "%s-0001", b.packed);
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    house_take(&h, "{'kind':'ship','customer':'COTYLEDON','units':['%s']}", one);
    found(&h, b.packed, "lot", b.packed);
    found(&h, one, "unit", one);
    found(&h, "WASH", "place", "WASH");
    found(&h, b.sample, "sample", b.sample);
    found(&h, "P-4", "person", "P-4");
    found(&h, "P-44", "", "P-44");
    found(&h, "P-4x", "", "P-4x");
    found(&h, "nothing", "", "nothing");
    /* as on a case label: what is narrowest is meant */
    found(&h, arena_printf(&h.arena, "(01)09520123456788(10)%s(21)%s", b.packed, one), "unit", one);
    found(&h,
          arena_printf(&h.arena,
                       "]C1010952012345678815260401"
                       "10%s\x1d"
                       "21none",
                       b.packed),
          "lot", b.packed);
    found(&h, "(01)09520123456788", "", "(01)09520123456788");
    house_close(&h);
}

static void a_case_tells_where_it_went(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", true);
    const char *one = arena_printf(&h.arena, "%s-0001", b.packed);
    struct view v = view_as(&h, 5, "line");
    json_t *unit;
    assert_ok(view_unit(&v, one, &unit));
    assert_string_equal(text_at(unit, "state"), "here");
    assert_string_equal(text_at(unit, "lot"), b.packed);
    assert_int_equal(number_at(unit, "pieces"), 40);
    assert_int_equal(json_array_size(at_key(unit, "holds")), 1);
    assert_true(json_is_null(at_key(unit, "customer")));
    json_decref(unit);
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    house_take(&h, "{'kind':'ship','customer':'COTYLEDON','units':['%s']}", one);
    assert_ok(view_unit(&v, one, &unit));
    assert_string_equal(text_at(unit, "state"), "shipped");
    assert_string_equal(text_at(unit, "customer"), "COTYLEDON");
    assert_true(strlen(text_at(unit, "shipment")) > 0);
    assert_int_equal(json_array_size(at_key(unit, "holds")), 0);
    json_decref(unit);
    assert_code(view_unit(&v, "NONE-0001", &unit), UNIT_UNKNOWN);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_scan_is_what_the_house_calls_it),
        cmocka_unit_test(a_case_tells_where_it_went),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
