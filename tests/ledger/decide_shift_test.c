/* Handovers, health checks, tasks that were done. */
#include "stock.h"

#include "evidence.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static void a_handover_keeps_its_text(void **state)
{
    int64_t entry =
        house_take(&h, "{'kind':'handover','text':'C2 runs warm','shift':'night','person':4}");
    struct entry e = house_entry(&h, "handover");
    assert_int_equal(e.seq, entry);
    assert_non_null(strstr(e.body, "C2 runs warm"));
    house_take(&h, "{'kind':'handover','text':'nothing','person':7}"); /* no shift named */
    house_refused(&h, FIELD_MISSING, "{'kind':'handover','shift':'night'}");
    house_refused(&h, FIELD_RANGE, "{'kind':'handover','text':''}");
    house_refused(&h, ROLE_MISSING, "{'kind':'handover','text':'look','person':11}");
}

static int64_t task_of(const char *effect)
{
    return house_effect(&h, effect, 0, 1);
}

/* The one who did not pass is named in a task, and nothing else is kept. */
static void a_failed_health_check_asks_hygiene(void **state)
{
    house_take(&h, "{'kind':'health-check','about':5,'passed':true,'person':7}");
    assert_int_equal(house_in_entry(&h, h.lg->next_seq - 1, "keep-from-product"), 0);
    int64_t entry = house_take(&h, "{'kind':'health-check','about':5,'passed':false,'person':7}");
    assert_int_equal(house_in_entry(&h, entry, "keep-from-product"), 1);
    assert_string_equal(house_effect_text(&h, "task", 0, 2), "keep-from-product");
    assert_string_equal(house_effect_text(&h, "task", 0, 3), "5");
    house_refused(&h, PERSON_UNKNOWN, "{'kind':'health-check','about':99,'passed':true}");
    house_refused(&h, FIELD_UNKNOWN,
                  "{'kind':'health-check','about':5,'passed':false,'symptoms':'cough'}");
    house_refused(&h, FIELD_MISSING, "{'kind':'health-check','about':5}");
}

static void a_task_is_done_once(void **state)
{
    house_take(&h, "{'kind':'health-check','about':5,'passed':false,'person':7}");
    int64_t task = task_of("task");
    int64_t done = house_take(&h, "{'kind':'task-done','task':%lld,'person':7}", (long long)task);
    assert_string_equal(house_answer(&h, "task"), "keep-from-product");
    house_refused(&h, TASK_UNKNOWN,
                  house_text(&h, "{'kind':'task-done','task':%lld}", (long long)task));
    house_refused(&h, TASK_UNKNOWN, "{'kind':'task-done','task':3}");
    /* told by mistake: struck, it is open again */
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'not yet','person':7}", (long long)done);
    house_take(&h, "{'kind':'task-done','task':%lld,'person':7}", (long long)task);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_handover_keeps_its_text),
        T(a_failed_health_check_asks_hygiene),
        T(a_task_is_done_once),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
