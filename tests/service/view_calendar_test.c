/* When samples of what grows can be drawn, what is drawn, and where the samples are. */
#include "view_support.h"

#include <math.h>

#include "service/view_calendar.h"

static json_t *calendar(struct house *h)
{
    struct view v = view_as(h, 4, "grower");
    json_t *out;
    assert_ok(view_calendar(&v, &out));
    return out;
}

static const json_t *batch_of(const json_t *o, const char *lot)
{
    const json_t *batch = with_text(at_key(o, "batches"), "lot", lot);
    assert_non_null(batch);
    return batch;
}

/* The profile: 48 h at least. Ready 215.26 h after it was wet (computed here in view_today_test.c),
 * past the hour of harvest, which is six: cut at six of the next day. A sample must be drawn by
 * then less the way and the laboratory's time. */
static void a_batch_has_its_first_and_its_last_moment(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    int64_t wet_ms = h.fixed.now_ms;
    json_t *o = calendar(&h);
    const json_t *b = batch_of(o, lot);
    int64_t transit_ms = number_at(o, "transit_ms"), lab_ms = number_at(o, "lab_ms");
    assert_int_equal(transit_ms, h.lg->profile->lab_transit_ms);
    assert_int_equal(lab_ms, h.lg->profile->lab_time_ms);
    assert_int_equal(number_at(b, "wet_ms"), wet_ms);
    assert_int_equal(number_at(b, "earliest_ms"), wet_ms + 48 * (int64_t)HOUR_MS);
    int64_t ready_day = (wet_ms + 215 * (int64_t)HOUR_MS) / (24 * (int64_t)HOUR_MS);
    assert_int_equal(number_at(b, "harvest_ms"), ((ready_day + 1) * 24 + 6) * (int64_t)HOUR_MS);
    int64_t latest_ms = number_at(b, "harvest_ms") - transit_ms - lab_ms;
    assert_int_equal(number_at(b, "latest_ms"), latest_ms);
    assert_string_equal(text_at(b, "state"), "early");
    assert_true(json_array_size(at_key(b, "wants")) > 0);
    assert_true(number_at(b, "needed") >= 1);
    /* -ln 0.05 / (n V) cells a litre, rounded up: Poisson (computed here) */
    const json_t *want = json_array_get(at_key(b, "wants"), 0);
    double litres = (double)number_at(want, "volume_ml") / 1000;
    double level = -log(0.05) / (litres * (double)number_at(want, "samples")) * 1000;
    assert_true(fabs((double)number_at(want, "found_per_l_milli") - level) <= 1.0);
    /* exp(-n V) of one cell a litre (computed here) */
    double miss = exp(-litres * (double)number_at(want, "samples"));
    assert_int_equal(number_at(want, "miss_ppm"), (int64_t)ceil(miss * 1e6));
    assert_true(json_is_null(at_key(b, "miss_ppm"))); /* nothing was drawn */
    json_decref(o);
    h.fixed.now_ms = wet_ms + 48 * (int64_t)HOUR_MS;
    o = calendar(&h);
    assert_string_equal(text_at(batch_of(o, lot), "state"), "due");
    json_decref(o);
    h.fixed.now_ms = latest_ms + 1;
    o = calendar(&h);
    assert_string_equal(text_at(batch_of(o, lot), "state"), "late");
    json_decref(o);
    house_close(&h);
}

static void what_is_drawn_is_followed_to_its_result(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "60 h");
    json_t *o = calendar(&h);
    int64_t needed = number_at(batch_of(o, lot), "needed");
    json_decref(o);
    const char *sample = house_sample(&h, lot);
    for (int64_t i = 1; i < needed; i++) {
        house_sample(&h, lot);
    }
    house_take(&h,
               "{'kind':'custody','sample':'%s','to':'courier','temp':'4 C','seal':'whole',"
               "'person':4}",
               sample);
    o = calendar(&h);
    const json_t *b = batch_of(o, lot);
    assert_string_equal(text_at(b, "state"), "drawn");
    assert_int_equal(number_at(b, "counted"), needed);
    assert_int_equal(number_at(b, "miss_ppm"), (int64_t)ceil(exp(-(double)needed) * 1e6)); /* 1 L */
    const json_t *s = with_text(at_key(b, "samples"), "sample", sample);
    assert_non_null(s);
    assert_int_equal(json_array_size(at_key(s, "findings")), 0);
    const json_t *step = json_array_get(at_key(s, "custody"), 0);
    assert_string_equal(text_at(step, "to"), "courier");
    assert_int_equal(number_at(step, "temp_mc"), 4000);
    assert_string_equal(text_at(step, "seal"), "whole");
    assert_true(json_is_true(at_key(step, "ok")));
    const json_t *waits = with_text(at_key(o, "waiting"), "sample", sample);
    assert_non_null(waits);
    assert_true(json_is_false(at_key(waits, "late")));
    assert_int_equal(number_at(waits, "due_ms") - number_at(waits, "taken_ms"),
                     number_at(o, "transit_ms") + number_at(o, "lab_ms"));
    json_decref(o);
    house_result(&h, sample, "Salmonella spp.", "presumptive");
    o = calendar(&h);
    s = with_text(at_key(batch_of(o, lot), "samples"), "sample", sample);
    assert_string_equal(text_at(json_array_get(at_key(s, "findings"), 0), "state"), "presumptive");
    assert_true(
        json_is_true(at_key(with_text(at_key(o, "waiting"), "sample", sample), "presumptive")));
    json_decref(o);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_batch_has_its_first_and_its_last_moment),
        cmocka_unit_test(what_is_drawn_is_followed_to_its_result),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
