/* What a plan of a hall that receives fruit says, and what orders are told by it. */
#include "hall.h"

static const json_t *find(const json_t *list, const char *key, const char *value)
{
    size_t i;
    json_t *o;
    json_array_foreach(list, i, o)
    {
        if (strcmp(json_string_value(json_object_get(o, key)), value) == 0) {
            return o;
        }
    }
    fail_msg("no %s %s", key, value);
    return NULL;
}

static int64_t number(const json_t *o, const char *key)
{
    return json_integer_value(json_object_get(o, key));
}

static void planned(struct house *h, struct planning_received *c, struct intake_outcome *x)
{
    hall_open(h);
    hall_receive(h, "HESPERIDIUM-1", "3 t");
    hall_order(h, "A", "LIME-BOX", 0, 900);
    hall_order(h, "B", "LIME-BOTTLE", 2, 300);
    hall_read(h, c);
    assert_ok(planning_received_make(&h->arena, c, 0, NULL, x));
}

/* Grams of an act on goods of a use, all days together. */
static int64_t flow(const json_t *plan, const char *act, const char *use)
{
    int64_t g = 0;
    size_t i;
    json_t *o;
    json_array_foreach(json_object_get(plan, "flows"), i, o)
    {
        const char *of = json_string_value(json_object_get(o, "use"));
        if (strcmp(json_string_value(json_object_get(o, "act")), act) == 0 && of != NULL &&
            strcmp(of, use) == 0) {
            g += number(o, "g");
        }
    }
    return g;
}

static void the_plan_is_told_day_by_day(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct intake_outcome x;
    planned(&h, &c, &x);
    json_t *plan = planning_received_json(&c, &x, &h.arena, "en");
    assert_string_equal(json_string_value(json_object_get(plan, "kind")), "received");
    assert_string_equal(json_string_value(json_object_get(plan, "first_day")), hall_day(&h, 0));
    const json_t *press = find(json_object_get(plan, "counted"), "use", "press");
    assert_true(json_is_false(json_object_get(press, "by_record")));
    assert_int_equal(number(json_array_get(json_object_get(press, "parts"), 0), "ppm"), 420000);
    assert_string_equal(json_string_value(json_object_get(press, "sentence")),
                        "press: 0 days of work in the record, too few to tell; the plan counts on "
                        "what the profile says, raw juice 42 %, feed 50 %.");
    /* a split gives 98 % of what it takes */
    int64_t sorted = flow(plan, "used", "sort HESPERIDIUM-1");
    assert_true(sorted > 1000000);
    assert_true(llabs(flow(plan, "made", "sort HESPERIDIUM-1") - sorted * 98 / 100) < 100);
    const json_t *cold = find(json_object_get(plan, "stores"), "store", "cold rooms"),
                 *tanks = find(json_object_get(plan, "stores"), "store", "tanks");
    assert_string_equal(json_string_value(json_object_get(tanks, "unit")), "L");
    assert_int_equal(number(tanks, "tanks"), 2);
    assert_int_equal(json_array_size(json_object_get(cold, "days")), 14);
    assert_int_equal(number(json_array_get(json_object_get(cold, "days"), 0), "limit_milli"),
                     15000000);
    const json_t *boxes = find(json_object_get(plan, "supply"), "item", "LIME-BOX");
    assert_int_equal(number(boxes, "booked"), 900);
    assert_int_equal(number(boxes, "pieces") + number(boxes, "short"), 900);
    assert_true(number(boxes, "short") > 0);
    assert_int_equal(json_array_size(json_object_get(plan, "machines")), 6);
    json_decref(plan);
    house_close(&h);
}

static void a_short_line_says_what_binds(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct intake_outcome x;
    planned(&h, &c, &x);
    json_t *plan = planning_received_json(&c, &x, &h.arena, "en"),
           *es = planning_received_json(&c, &x, &h.arena, "es");
    const json_t *s = find(json_object_get(plan, "shorts"), "order", "A"),
                 *t = find(json_object_get(es, "shorts"), "order", "A");
    const char *limit = json_string_value(json_object_get(s, "limit"));
    assert_true(strcmp(limit, "fruit") == 0 || strcmp(limit, "machine") == 0);
    assert_non_null(json_string_value(json_object_get(s, "which")));
    assert_non_null(strstr(json_string_value(json_object_get(s, "sentence")), "pieces short"));
    assert_string_not_equal(json_string_value(json_object_get(s, "sentence")),
                            json_string_value(json_object_get(t, "sentence")));
    const json_t *gain = find(json_object_get(plan, "gains"), "limit", limit);
    assert_true(number(gain, "step_milli") > 0);
    assert_non_null(strstr(json_string_value(json_object_get(gain, "sentence")), "more"));
    json_decref(plan);
    json_decref(es);
    house_close(&h);
}

/* Taking it tells the orders what they get; nothing else is booked. */
static void orders_are_told_what_they_get(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct intake_outcome x;
    planned(&h, &c, &x);
    json_t *command = planning_received_take(&c, &x, &h.arena);
    const json_t *a = find(json_object_get(command, "promises"), "order", "A");
    assert_int_equal(number(a, "pieces"), x.met_pieces[0]);
    assert_true(number(a, "pieces") < 900);
    assert_ok(house_send_json(&h, command));
    struct statement *q = store_prepare(h.store, Q_PLANNING_PROMISED);
    store_bind_int(q, 1, c.problem.first_day);
    bool row;
    int promises = 0;
    for (;;) {
        assert_ok(store_step(q, &row));
        if (!row) {
            break;
        }
        promises++;
    }
    assert_int_equal(promises, 2);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_plan_is_told_day_by_day),
        cmocka_unit_test(a_short_line_says_what_binds),
        cmocka_unit_test(orders_are_told_what_they_get),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
