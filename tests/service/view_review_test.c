/* Records that wait for review: all but one's own, by what they are about. */
#include "view_support.h"

#include "service/view_review.h"

static int64_t count_of(struct house *h, int64_t person)
{
    struct view v = view_as(h, person, "quality");
    int64_t count, listed = 0;
    json_t *out, *batch;
    size_t i;
    assert_ok(view_review_count(&v, &count));
    assert_ok(view_review(&v, &out));
    json_array_foreach(at_key(out, "batches"), i, batch)
    {
        listed += (int64_t)json_array_size(at_key(batch, "entries"));
    }
    json_decref(out);
    assert_int_equal(count, listed);
    return count;
}

static void what_others_told_waits(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    assert_int_equal(count_of(&h, 2), 0);
    house_clean(&h, "WASH", 0); /* by person 1 */
    int64_t entry = h.lg->next_seq - 1;
    assert_int_equal(count_of(&h, 1), 0);
    assert_int_equal(count_of(&h, 2), 1);
    struct view v = view_as(&h, 2, "quality");
    json_t *out;
    assert_ok(view_review(&v, &out));
    const json_t *batch = json_array_get(at_key(out, "batches"), 0);
    assert_string_equal(text_at(batch, "batch"), "WASH");
    const json_t *row = json_array_get(at_key(batch, "entries"), 0);
    assert_int_equal(number_at(row, "entry"), entry);
    assert_int_equal(number_at(row, "by"), 1);
    assert_string_equal(text_at(row, "kind"), "clean");
    assert_string_equal(text_at(row, "sentence"), "Clean and sanitise: WASH");
    assert_string_equal(text_at(row, "place"), "WASH");
    json_decref(out);
    house_take(&h, "{'kind':'review','entries':[%lld],'person':2}", (long long)entry);
    assert_int_equal(count_of(&h, 2), 0);
    assert_int_equal(count_of(&h, 3), 0);
    house_close(&h);
}

static void what_was_struck_waits_no_longer(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_clean(&h, "WASH", 0);
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'wrong place'}",
               (long long)(h.lg->next_seq - 1));
    assert_int_equal(count_of(&h, 2), 0);
    house_close(&h);
}

/* A result stands under its batch, and names its sample. */
static void a_result_stands_under_its_batch(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "49 h");
    const char *sample = house_sample(&h, growing);
    house_result(&h, sample, "Salmonella spp.", "negative"); /* by person 2 */
    struct view v = view_as(&h, 3, "quality");
    json_t *out;
    assert_ok(view_review(&v, &out));
    const json_t *batch = with_text(at_key(out, "batches"), "batch", growing);
    assert_non_null(batch);
    const json_t *row = with_text(at_key(batch, "entries"), "kind", "result");
    assert_non_null(row);
    assert_string_equal(text_at(row, "about"), sample);
    assert_string_equal(json_string_value(json_array_get(at_key(row, "lots"), 0)), growing);
    json_decref(out);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_others_told_waits),
        cmocka_unit_test(what_was_struck_waits_no_longer),
        cmocka_unit_test(a_result_stands_under_its_batch),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
