/* What ends soon, and deliveries to inspect, on Today. */
#include "todays.h"

#include "stock.h"

static void papers_are_told_a_month_ahead(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *until = civil_text(&h.arena, h.fixed.now_ms + 40 * (int64_t)DAY_MS, 0);
    house_take(&h,
               "{'kind':'certificate','code':'CERT-1','certificate':'audit','supplier':'RADICLE',"
               "'until':'%s','person':2}",
               until);
    json_t *lines = todays_lines(&h, 2, "quality");
    assert_null(with_text(lines, "key", "certificate:certificate/CERT-1"));
    json_decref(lines);
    house_wait(&h, "10 d");
    lines = todays_lines(&h, 2, "quality");
    const json_t *line = with_text(lines, "key", "certificate:certificate/CERT-1");
    assert_non_null(line);
    assert_string_equal(text_at(line, "tone"), "waiting");
    assert_non_null(strstr(text_at(line, "sentence"), "CERT-1, audit, ends on"));
    json_decref(lines);
    house_wait(&h, "30 d");
    lines = todays_lines(&h, 2, "quality");
    line = with_text(lines, "key", "certificate:certificate/CERT-1");
    assert_string_equal(text_at(line, "tone"), "due");
    assert_non_null(strstr(text_at(line, "sentence"), "ended on"));
    json_decref(lines);
    house_close(&h);
}

/* Trained in February for a year: told thirty days before, to the person and to quality. */
static void a_training_is_told_to_the_person_and_to_quality(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_wait(&h, "334 d");
    json_t *lines = todays_lines(&h, 4, "grower");
    assert_null(with_text(lines, "what", "training"));
    json_decref(lines);
    house_wait(&h, "2 d");
    lines = todays_lines(&h, 7, "hygiene");
    const json_t *line = with_text(lines, "key", "training:cleaning/7");
    assert_non_null(line);
    assert_non_null(
        strstr(text_at(line, "sentence"), "Your training Cleaning and sanitising ends"));
    assert_string_equal(text_at(line, "tone"), "waiting");
    assert_null(with_text(lines, "key", "training:cleaning/4")); /* not theirs */
    json_decref(lines);
    house_take(&h, "{'kind':'training','about':7,'training':'cleaning','passed':true,'person':1}");
    lines = todays_lines(&h, 7, "hygiene");
    assert_null(with_text(lines, "key", "training:cleaning/7"));
    assert_non_null(with_text(lines, "key", "training:sampling/7"));
    json_decref(lines);
    lines = todays_lines(&h, 2, "quality"); /* everybody's, so in one line */
    line = with_text(lines, "key", "training:many");
    assert_non_null(line);
    json_decref(lines);
    house_close(&h);
}

static void a_certificate_of_fitness_is_told_before_it_keeps_away(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *until = civil_text(&h.arena, h.fixed.now_ms + 40 * (int64_t)DAY_MS, 0);
    house_take(&h, "{'kind':'health-check','about':5,'passed':true,'until':'%s','person':7}",
               until);
    house_take(&h, "{'kind':'health-check','about':4,'passed':true,'person':7}");
    json_t *lines = todays_lines(&h, 5, "line");
    assert_null(with_text(lines, "what", "fitness"));
    json_decref(lines);
    house_wait(&h, "11 d");
    lines = todays_lines(&h, 5, "line");
    const json_t *line = with_text(lines, "what", "fitness");
    assert_non_null(strstr(text_at(line, "sentence"), "Your certificate of fitness ends on"));
    json_decref(lines);
    lines = todays_lines(&h, 2, "quality");
    line = with_text(lines, "what", "fitness");
    assert_non_null(strstr(text_at(line, "sentence"), "of person 5 ends on"));
    assert_int_equal(number_at(todays_with(line), "about"), 5);
    json_decref(lines);
    lines = todays_lines(&h, 4, "grower"); /* a morning's check does not run out */
    assert_null(with_text(lines, "what", "fitness"));
    json_decref(lines);
    house_wait(&h, "30 d");
    lines = todays_lines(&h, 5, "line");
    line = with_text(lines, "what", "fitness");
    assert_string_equal(text_at(line, "tone"), "due");
    json_decref(lines);
    house_close(&h);
}

static void a_delivery_is_told_until_it_is_inspected(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'500 kg',"
                   "'place':'STORE','sacks':20,'lot':'SEED-9','person':6}");
    json_t *lines = todays_lines(&h, 6, "intake");
    const json_t *line = with_text(lines, "what", "delivery");
    assert_string_equal(text_at(line, "sentence"),
                        "Inspect delivery SEED-9: look at 3 of its 20 sacks.");
    assert_string_equal(text_at(todays_with(line), "lot"), "SEED-9");
    json_decref(lines);
    lines = todays_lines(&h, 5, "line");
    assert_null(with_text(lines, "what", "delivery"));
    json_decref(lines);
    house_take(&h, "{'kind':'delivery-check','lot':'SEED-9','inspected':3,'bad':0,'person':6}");
    lines = todays_lines(&h, 6, "intake");
    assert_null(with_text(lines, "what", "delivery"));
    json_decref(lines);
    house_close(&h);
}

static void a_sample_kept_long_enough_may_go(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    const char *until = civil_text(&h.arena, h.fixed.now_ms + 5 * (int64_t)DAY_MS, 0);
    house_take(&h,
               "{'kind':'retain','units':['%s'],'place':'COLD','until':'%s','code':'K1',"
               "'person':2}",
               house_case(&h, packed, 1).code, until);
    json_t *lines = todays_lines(&h, 2, "quality");
    assert_null(with_text(lines, "what", "retained"));
    json_decref(lines);
    house_wait(&h, "6 d");
    lines = todays_lines(&h, 2, "quality");
    const json_t *line = with_text(lines, "what", "retained");
    assert_string_equal(text_at(todays_with(line), "retained"), "K1");
    json_decref(lines);
    house_take(&h, "{'kind':'retain-end','retained':'K1','what':'composted','person':2}");
    lines = todays_lines(&h, 2, "quality");
    assert_null(with_text(lines, "what", "retained"));
    json_decref(lines);
    house_close(&h);
}

/* The six actions on Listeria go to whom the profile names. */
static void tasks_are_told_to_their_roles(void **state)
{
    (void)state;
    static const struct {
        int64_t person;
        const char *role;
        int64_t tasks;
    } rows[] = {{5, "line", 3}, {7, "hygiene", 4}, {10, "maintenance", 1}, {9, "planner", 0}};
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'environment','place':'PACK','product_hold':true,'organism':"
                   "'Listeria spp.','person':2}");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        json_t *lines = todays_lines(&h, rows[i].person, rows[i].role);
        size_t k;
        json_t *line;
        int64_t tasks = 0;
        json_array_foreach(lines, k, line)
        {
            tasks += strcmp(text_at(line, "what"), "task") == 0;
        }
        assert_int_equal(tasks, rows[i].tasks);
        json_decref(lines);
    }
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(papers_are_told_a_month_ahead),
        cmocka_unit_test(a_training_is_told_to_the_person_and_to_quality),
        cmocka_unit_test(a_certificate_of_fitness_is_told_before_it_keeps_away),
        cmocka_unit_test(a_delivery_is_told_until_it_is_inspected),
        cmocka_unit_test(a_sample_kept_long_enough_may_go),
        cmocka_unit_test(tasks_are_told_to_their_roles),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
