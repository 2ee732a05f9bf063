/* Packing: the checks of a line, its runs, and what was packed. */
#include "view_support.h"

#include "service/view_packing.h"

static json_t *packing(struct house *h)
{
    struct view v = view_as(h, 5, "line");
    json_t *out;
    assert_ok(view_packing(&v, &out));
    return out;
}

static const json_t *check_of(const json_t *out, const char *kind)
{
    const json_t *line = with_text(at_key(out, "lines"), "place", "PACK");
    assert_non_null(line);
    const json_t *check = with_text(at_key(line, "checks"), "kind", kind);
    assert_non_null(check);
    return check;
}

static void a_packed_lot_stands_with_its_weights(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", true);
    json_t *out = packing(&h);
    assert_int_equal(json_array_size(at_key(out, "lots")), 1);
    const json_t *lot = json_array_get(at_key(out, "lots"), 0);
    assert_string_equal(text_at(lot, "lot"), b.packed);
    assert_string_equal(text_at(lot, "place"), "PACK");
    assert_int_equal(number_at(lot, "pieces"), 800);
    assert_int_equal(number_at(lot, "declared_mg"), 250000);
    assert_int_equal(number_at(lot, "mean_net_mg"), 251000); /* 200.8 kg in 800 packs */
    assert_int_equal(number_at(lot, "giveaway_mg"), 800 * 1000);
    assert_string_equal(text_at(lot, "state"), "held"); /* waits for its laboratory */
    assert_string_equal(text_at(at_key(lot, "label"), "state"), "good");
    assert_true(number_at(at_key(lot, "label"), "entry") > 0);
    json_decref(out);
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    out = packing(&h);
    assert_string_equal(text_at(json_array_get(at_key(out, "lots"), 0), "state"), "released");
    json_decref(out);
    house_close(&h);
}

static void a_check_is_due_when_something_was_packed_since(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    json_t *out = packing(&h);
    assert_string_equal(text_at(check_of(out, "metal-check"), "state"), "none");
    assert_int_equal(json_array_size(at_key(out, "runs")), 0);
    json_decref(out);
    house_batch(&h, "C1", false); /* with good checks before and after the packing */
    out = packing(&h);
    const json_t *metal = check_of(out, "metal-check");
    assert_string_equal(text_at(metal, "state"), "good");
    assert_int_equal(number_at(metal, "at_ms"), h.fixed.now_ms);
    assert_string_equal(text_at(check_of(out, "seal-check"), "state"), "none");
    json_decref(out);
    house_wait(&h, "50 min");
    house_take(&h, "{'kind':'metal-check','place':'METAL','fe':'missed','non_fe':'rejected',"
                   "'steel':'rejected'}");
    out = packing(&h);
    assert_string_equal(text_at(check_of(out, "metal-check"), "state"), "bad");
    assert_string_equal(text_at(check_of(out, "metal-check"), "tone"), "stopped");
    json_decref(out);
    house_close(&h);
}

static void a_run_sums_what_it_gave(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'run-start','place':'PACK','family':'mung','carry_over':'90 s'}");
    const char *run = house_answer(&h, "run");
    json_t *out = packing(&h);
    const json_t *line = with_text(at_key(out, "lines"), "place", "PACK");
    assert_string_equal(text_at(line, "run"), run);
    const json_t *one = with_text(at_key(out, "runs"), "run", run);
    assert_int_equal(number_at(one, "pieces"), 0);
    assert_true(json_is_null(at_key(one, "mean_net_mg")));
    assert_true(json_is_null(at_key(one, "end_ms")));
    json_decref(out);
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'run-end','run':'%s'}", run);
    out = packing(&h);
    assert_true(json_is_null(at_key(with_text(at_key(out, "lines"), "place", "PACK"), "run")));
    one = with_text(at_key(out, "runs"), "run", run);
    assert_int_equal(number_at(one, "end_ms"), h.fixed.now_ms);
    json_decref(out);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_packed_lot_stands_with_its_weights),
        cmocka_unit_test(a_check_is_due_when_something_was_packed_since),
        cmocka_unit_test(a_run_sums_what_it_gave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
