/* Batches that nobody has sampled, samples that wait, results that somebody else has to read. */
#include "view_support.h"

#include "service/view_samples.h"

static void a_batch_is_due_until_it_is_sampled(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *growing = house_grow(&h, "C2", "100 kg");
    int64_t wet_ms = h.fixed.now_ms;
    house_wait(&h, "50 h");
    struct view v = view_as(&h, 4, "grower");
    json_t *out;
    assert_ok(view_samples_due(&v, &out));
    const json_t *one = json_array_get(at_key(out, "samples"), 0);
    assert_string_equal(text_at(one, "lot"), growing);
    assert_string_equal(text_at(one, "chamber"), "C2");
    assert_int_equal(number_at(one, "wet_ms"), wet_ms);
    assert_int_equal(number_at(one, "age_h"), 50);
    assert_int_equal(number_at(one, "due_ms"), wet_ms + 48 * HOUR_MS); /* the profile's least age */
    json_decref(out);
    house_sample(&h, growing);
    assert_ok(view_samples_due(&v, &out));
    assert_int_equal(json_array_size(at_key(out, "samples")), 0);
    json_decref(out);
    house_close(&h);
}

static bool owes(const json_t *open, const char *organism)
{
    size_t i;
    json_t *one;
    json_array_foreach(at_key(open, "owed"), i, one)
    {
        if (strcmp(json_string_value(one), organism) == 0) {
            return true;
        }
    }
    return false;
}

/* Samples: nothing is told of a swab, water owes its organism, a batch those of its markets. */
static void samples_wait_for_what_is_owed(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *growing = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "50 h");
    house_take(&h, "{'kind':'sample','what':'swab','place':'PACK'}");
    const char *swab = house_answer(&h, "sample");
    house_take(&h, "{'kind':'sample','what':'water','place':'WATER','volume':'100 mL'}");
    const char *water = house_answer(&h, "sample");
    const char *sample = house_sample(&h, growing);
    house_wait(&h, "30 h");
    struct view v = view_as(&h, 2, "quality");
    json_t *out;
    assert_ok(view_samples(&v, &out));
    const json_t *open = at_key(out, "open");
    assert_int_equal(json_array_size(open), 3);
    assert_string_equal(text_at(json_array_get(open, 0), "sample"), water);
    assert_true(owes(json_array_get(open, 0), "generic E. coli"));
    assert_string_equal(text_at(json_array_get(open, 0), "lot"), "");
    assert_string_equal(text_at(json_array_get(open, 0), "place"), "WATER");
    const json_t *batch = json_array_get(open, 1);
    assert_string_equal(text_at(batch, "sample"), sample);
    assert_string_equal(text_at(batch, "lot"), growing);
    assert_int_equal(number_at(batch, "age_h"), 30);
    assert_true(owes(batch, "Salmonella spp."));
    assert_true(owes(batch, "E. coli O157:H7"));
    assert_string_equal(text_at(json_array_get(open, 2), "sample"), swab);
    assert_int_equal(json_array_size(at_key(json_array_get(open, 2), "owed")), 0);
    json_decref(out);

    house_result(&h, sample, "Salmonella spp.", "presumptive");
    house_result(&h, sample, "E. coli O157:H7", "negative");
    house_result(&h, water, "generic E. coli", "negative");
    house_result(&h, swab, "Listeria spp.", "negative");
    v.now_ms = h.fixed.now_ms;
    assert_ok(view_samples(&v, &out));
    open = at_key(out, "open");
    assert_int_equal(json_array_size(open), 1);
    batch = json_array_get(open, 0);
    assert_true(json_is_true(at_key(batch, "presumptive")));
    assert_true(owes(batch, "Salmonella spp."));
    assert_false(owes(batch, "E. coli O157:H7"));
    assert_int_equal(json_array_size(at_key(out, "second")), 0);
    json_decref(out);
    house_close(&h);
}

static void a_typed_result_waits_for_another_reader(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *growing = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "50 h");
    const char *sample = house_sample(&h, growing);
    const char *report = house_report(&h);
    const char *told =
        "{'kind':'result','sample':'%s','organism':'Salmonella spp.','state':"
        "'negative','method':'FDA-SSIW-2015','report':'%s','by_hand':true,'person':2}";
    int64_t entry = house_take(&h, told, sample, report);
    struct view v = view_as(&h, 3, "quality");
    json_t *out;
    assert_ok(view_samples(&v, &out));
    assert_int_equal(json_array_size(at_key(out, "second")), 1);
    const json_t *one = json_array_get(at_key(out, "second"), 0);
    assert_string_equal(text_at(one, "sample"), sample);
    assert_string_equal(text_at(one, "organism"), "Salmonella spp.");
    assert_string_equal(text_at(one, "state"), "negative");
    assert_string_equal(text_at(one, "lot"), growing);
    assert_int_equal(number_at(one, "by"), 2);
    assert_int_equal(number_at(one, "entry"), entry);
    json_decref(out);
    house_take(&h,
               "{'kind':'second-reading','sample':'%s','organism':'Salmonella spp.','person':3}",
               sample);
    assert_ok(view_samples(&v, &out));
    assert_int_equal(json_array_size(at_key(out, "second")), 0);
    json_decref(out);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(samples_wait_for_what_is_owed),
        cmocka_unit_test(a_typed_result_waits_for_another_reader),
        cmocka_unit_test(a_batch_is_due_until_it_is_sampled),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
