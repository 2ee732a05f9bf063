#include "fixture.h"

#include "service/health.h"

static json_t *health_of(struct site *s)
{
    struct plant *reader;
    json_t *health;
    assert_ok(plant_open_read(PLANT, &reader));
    assert_ok(health_read(reader, &s->arena, &health));
    plant_close(reader);
    return health;
}

static void it_names_the_tree_the_head_and_the_days_left(void **state)
{
    (void)state;
    struct site s;
    struct door *door;
    json_t *answer;
    site_open(&s);
    site_house(&s, NULL);
    json_t *health = health_of(&s);
    assert_int_equal(number_in(health, "size"), 2);
    assert_int_equal(strlen(text_in(health, "root")), 64);
    assert_true(json_is_null(json_object_get(health, "signed")));
    assert_true(json_is_null(json_object_get(health, "disk_days"))); /* one day says nothing */
    assert_true(json_is_null(json_object_get(json_object_get(health, "backup"), "at_ms")));
    json_decref(health);
    s.fixed.now_ms += INT64_C(3) * 86400000;
    assert_ok(door_open(PLANT, s.world, &door));
    assert_ok(post(door, take_of(&s, "{'kind':'place','code':'A','place_kind':'store'}")));
    assert_ok(ask(door, json_of(&s, "{'do':'sign','why':'shift'}"), &answer));
    door_close(door);
    health = health_of(&s);
    assert_int_equal(number_in(health, "size"), 3);
    assert_string_equal(text_in(health, "root"), text_in(answer, "root"));
    assert_int_equal(number_in(json_object_get(health, "signed"), "size"), 3);
    assert_true(number_in(health, "disk_days") > 0);
    json_decref(answer);
    json_decref(health);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(it_names_the_tree_the_head_and_the_days_left, folder_enter,
                                        folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
