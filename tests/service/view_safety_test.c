/* The safety board: what is open, who does what next, what stops where, what a lot still lacks. */
#include "view_support.h"

#include "service/view_safety.h"

static json_t *board(struct house *h, int64_t person)
{
    struct view v = view_as(h, person, "quality");
    json_t *out;
    assert_ok(view_safety(&v, &out));
    return out;
}

static const json_t *only(const json_t *o, const char *key)
{
    const json_t *list = at_key(o, key);
    assert_int_equal(json_array_size(list), 1);
    return json_array_get(list, 0);
}

static void an_empty_house_has_nothing_open(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    json_t *o = board(&h, 2);
    assert_int_equal(number_at(o, "deviation_count"), 0);
    assert_int_equal(number_at(o, "waiting_count"), 0);
    assert_int_equal(json_array_size(at_key(o, "environments")), 0);
    assert_int_equal(json_array_size(at_key(o, "blocks")), 0);
    json_decref(o);
    house_close(&h);
}

static void a_deviation_says_who_does_what_next(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    int64_t entry = house_take(
        &h, "{'kind':'seal-check','place':'PACK','ok':false,'what':'open corner','person':5}");
    json_t *o = board(&h, 2);
    const json_t *d = only(o, "deviations");
    int64_t id = number_at(d, "deviation");
    assert_int_equal(number_at(d, "entry"), entry);
    assert_string_equal(text_at(d, "rule"), "check-failed");
    assert_string_equal(text_at(d, "place"), "PACK");
    assert_string_equal(text_at(d, "next"), "correct");
    assert_true(json_is_null(at_key(d, "action")));
    json_decref(o);
    house_take(&h,
               "{'kind':'corrective-action','deviation':%lld,'cause':'cold jaw',"
               "'correction':'heater changed','disposition':'rework','restart':'20 good seals',"
               "'person':2}",
               (long long)id);
    o = board(&h, 2);
    d = only(o, "deviations");
    assert_string_equal(text_at(d, "next"), "verify");
    assert_true(json_is_true(at_key(d, "mine"))); /* so another verifies it */
    const json_t *action = at_key(d, "action");
    assert_int_equal(number_at(action, "by"), 2);
    assert_string_equal(text_at(action, "cause"), "cold jaw");
    assert_string_equal(text_at(action, "correction"), "heater changed");
    assert_string_equal(text_at(action, "disposition"), "rework");
    assert_string_equal(text_at(action, "restart"), "20 good seals");
    json_decref(o);
    o = board(&h, 3);
    assert_true(json_is_false(at_key(only(o, "deviations"), "mine")));
    json_decref(o);
    house_take(&h, "{'kind':'verification','deviation':%lld,'ok':true,'person':3}", (long long)id);
    o = board(&h, 3);
    assert_int_equal(number_at(o, "deviation_count"), 0);
    json_decref(o);
    house_close(&h);
}

/* What was packed after the last good check of the seals is in the window of the one that failed.
 */
static void a_deviation_names_the_product_in_its_window(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'seal-check','place':'PACK','ok':true,'person':5}");
    struct house_batch b = house_batch(&h, "C1", false);
    house_take(&h, "{'kind':'seal-check','place':'PACK','ok':false,'what':'open','person':5}");
    json_t *o = board(&h, 2);
    const json_t *d = with_text(at_key(o, "deviations"), "rule", "check-failed");
    assert_non_null(d);
    int64_t from_ms = number_at(d, "from_ms");
    assert_true(from_ms > 0 && from_ms < h.fixed.now_ms);
    assert_true(number_at(d, "lot_count") >= 1);
    assert_string_equal(json_string_value(json_array_get(at_key(d, "lots"), 0)), b.packed);
    json_decref(o);
    house_close(&h);
}

static void what_stops_a_place_stands_there(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'duty','code':'BLADES','title':'Count the blades','duty_kind':'blades',"
                   "'every':'10 d','role':'maintenance','source':'house plan','place':'PACK',"
                   "'blocks':true,'person':7}");
    house_take(&h,
               "{'kind':'duty','code':'TRAPS','title':'Walk round the traps','duty_kind':'pest',"
               "'every':'1 d','role':'hygiene','source':'house plan','person':7}");
    house_wait(&h, "6 d");
    house_take(&h, "{'kind':'work-order','place':'WASH','code':'W1','what':'new belt','person':5}");
    json_t *o = board(&h, 2);
    const json_t *blocks = at_key(o, "blocks");
    assert_int_equal(json_array_size(blocks), 2); /* the traps stop nothing */
    const json_t *duty = with_text(blocks, "kind", "duty");
    assert_string_equal(text_at(duty, "place"), "PACK");
    assert_string_equal(text_at(duty, "sentence"), "Count the blades");
    assert_string_equal(text_at(duty, "form"), "duty-done");
    assert_string_equal(text_at(at_key(duty, "with"), "duty"), "BLADES");
    const json_t *order = with_text(blocks, "kind", "work-order");
    assert_string_equal(text_at(order, "place"), "WASH");
    assert_string_equal(text_at(order, "form"), "hand-back");
    assert_string_equal(text_at(at_key(order, "with"), "work_order"), "W1");
    assert_int_equal(number_at(order, "since_ms"), h.fixed.now_ms);
    json_decref(o);
    house_close(&h);
}

static void an_action_on_the_environment_says_what_closes_it(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h,
               "{'kind':'site','code':'SW-1','place':'PACK','zone':1,'surface':'belt','person':7}");
    house_take(&h, "{'kind':'sample','place':'PACK','what':'swab','location':'SW-1','person':7}");
    const char *swab = arena_copy(&h.arena, house_answer(&h, "sample"));
    house_result(&h, swab, "Listeria spp.", "confirmed-positive");
    json_t *o = board(&h, 2);
    const json_t *e = only(o, "environments");
    assert_string_equal(text_at(e, "place"), "PACK");
    assert_string_equal(text_at(e, "site"), "SW-1");
    assert_string_equal(text_at(e, "sample"), swab);
    assert_string_equal(text_at(e, "organism"), "Listeria spp.");
    assert_int_equal(number_at(e, "zone"), 1);
    assert_true(json_is_true(at_key(e, "product_hold")));
    assert_int_equal(number_at(e, "tasks"), 6); /* 21 CFR 112.146 (a) to (f) */
    assert_true(number_at(e, "clear") >= 3);
    json_decref(o);
    house_close(&h);
}

static void a_lot_that_waits_says_what_it_lacks(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", false);
    json_t *o = board(&h, 2);
    assert_int_equal(number_at(o, "waiting_count"), 1);
    const json_t *w = only(o, "waiting");
    assert_string_equal(text_at(w, "lot"), b.packed);
    const json_t *line = with_text(at_key(w, "unmet"), "clause", "reviewed");
    assert_non_null(line);
    assert_true(strlen(text_at(line, "sentence")) > 10);
    json_decref(o);
    house_review_all(&h);
    o = board(&h, 2);
    assert_int_equal(json_array_size(at_key(only(o, "waiting"), "unmet")), 0);
    json_decref(o);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_empty_house_has_nothing_open),
        cmocka_unit_test(a_deviation_says_who_does_what_next),
        cmocka_unit_test(a_deviation_names_the_product_in_its_window),
        cmocka_unit_test(what_stops_a_place_stands_there),
        cmocka_unit_test(an_action_on_the_environment_says_what_closes_it),
        cmocka_unit_test(a_lot_that_waits_says_what_it_lacks),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
