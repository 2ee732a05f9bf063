/* Batches that nobody has sampled. */
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_batch_is_due_until_it_is_sampled),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
