/* One chamber: what its logger measured and what is foretold from it. */
#include "logs.h"
#include "view_support.h"

#include "service/view_chambers.h"
#include "service/view_log.h"

static json_t *chamber_of(struct house *h, const char *code)
{
    struct view v = view_as(h, 4, "grower");
    json_t *out;
    assert_ok(view_chamber(&v, code, &out));
    return out;
}

static const json_t *last_of(const json_t *list)
{
    assert_true(json_array_size(list) > 0);
    return json_array_get(list, json_array_size(list) - 1);
}

static void without_a_log_the_set_point_foretells(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *lot = house_grow(&h, "C1", "100 kg");
    house_take(&h, "{'kind':'water','lot':'%s','source':'WATER','litres':'1200 L'}", lot);
    json_t *c = chamber_of(&h, "C1");
    assert_int_equal(json_array_size(at_key(c, "measured")), 0);
    const json_t *first = json_array_get(at_key(c, "predicted"), 0),
                 *last = last_of(at_key(c, "predicted"));
    assert_int_equal(number_at(first, "heat_ch"), 0);
    assert_int_equal(number_at(last, "t_ms"), number_at(c, "ready_ms"));
    assert_int_equal(number_at(last, "heat_ch"), 1950); /* the profile's goal */
    /* a degree to either side of 9.5 over 205.26 h (computed here) */
    assert_in_range(number_at(last, "heat_ch_low"), 1744, 1745);
    assert_in_range(number_at(last, "heat_ch_high"), 2155, 2156);
    const json_t *limit = with_text(at_key(c, "limits"), "name", "set point");
    assert_non_null(limit);
    assert_int_equal(number_at(limit, "temp_mc"), 19500);
    assert_int_equal(json_array_size(at_key(c, "waterings")), 1);
    assert_int_equal(number_at(last_of(at_key(c, "waterings")), "litres"), 1200);
    assert_string_equal(text_at(last_of(at_key(c, "uses")), "lot"), lot);
    assert_true(json_is_null(at_key(last_of(at_key(c, "uses")), "emptied_ms")));
    json_decref(c);
    house_close(&h);
}

/* Two hours at 24.5 C instead of 19.5 from the end of the lead, up to the last reading ten minutes
 * before the hour: it is ready sooner. */
static void what_was_measured_counts(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_wait(&h, "50 min"); /* the start falls on a whole hour */
    house_grow(&h, "C1", "100 kg");
    int64_t start_ms = h.fixed.now_ms;
    assert_int_equal(start_ms % HOUR_MS, 0);
    house_wait(&h, "12 h");
    logs_seal(&h, "chamber-1", start_ms + 10 * HOUR_MS, 24500);
    logs_seal(&h, "chamber-1", start_ms + 11 * HOUR_MS, 24500);
    json_t *c = chamber_of(&h, "C1");
    assert_true(json_array_size(at_key(c, "measured")) >= 10);
    assert_int_equal(number_at(last_of(at_key(c, "measured")), "temp_mc"), 24500);
    assert_int_equal(number_at(c, "temp_mc"), 24500);
    assert_int_equal(number_at(c, "temp_ms"), start_ms + 11 * HOUR_MS + 3000000);
    assert_int_equal(number_at(last_of(at_key(c, "predicted")), "heat_ch"), 1950);
    /* 110 minutes at 14.5 an hour, the rest of 1950 at 9.5: 204.298 h (computed here) */
    int64_t ready_ms = number_at(c, "ready_ms") - start_ms - 10 * HOUR_MS;
    assert_in_range(ready_ms, 204.297 * HOUR_MS, 204.299 * HOUR_MS);
    json_decref(c);
    house_close(&h);
}

static void a_chamber_that_is_none_is_refused(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 4, "grower");
    json_t *out;
    assert_code(view_chamber(&v, "C9", &out), PLACE_UNKNOWN);
    assert_code(view_chamber(&v, "WASH", &out), PLACE_KIND);
    house_close(&h);
}

static void the_log_of_another_place_is_not_taken(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 4, "grower");
    struct view_log_point last, *points;
    size_t count;
    bool any;
    int64_t hour_ms = h.fixed.now_ms - 3 * HOUR_MS;
    logs_seal(&h, "c2", hour_ms, 21000);
    assert_ok(view_log_last(&v, "C1", &last, &any));
    assert_false(any);
    assert_ok(view_log_last(&v, "C2", &last, &any));
    assert_true(any);
    assert_int_equal(last.temp_mc, 21000);
    assert_ok(view_log_read(&v, "C2", hour_ms, hour_ms + HOUR_MS, 2, &points, &count));
    assert_int_equal(count, 2); /* the means of half an hour each */
    assert_int_equal(points[0].temp_mc, 21000);
    assert_true(points[0].t_ms < points[1].t_ms);
    assert_ok(
        view_log_read(&v, "C2", hour_ms + HOUR_MS, hour_ms + 2 * HOUR_MS, 2, &points, &count));
    assert_int_equal(count, 0);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_log_the_set_point_foretells),
        cmocka_unit_test(what_was_measured_counts),
        cmocka_unit_test(a_chamber_that_is_none_is_refused),
        cmocka_unit_test(the_log_of_another_place_is_not_taken),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
