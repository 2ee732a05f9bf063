#include "fixture.h"

static void the_bell_rings_for_what_was_taken_alone(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant;
    struct serving *serving;
    json_t *answer = NULL;
    site_open(&s);
    site_bare(&s);
    assert_ok(plant_open_write(PLANT, s.world, &plant));
    assert_ok(serving_start(plant, &serving));
    assert_string_equal(serving_folder(serving), PLANT);
    assert_int_equal(serving_rung(serving), 0);
    assert_int_equal(serving_wait(serving, 0, 1), 0); /* nothing rang in time */
    json_t *request = take_of(&s, "{'kind':'place','code':'A','place_kind':'store'}");
    assert_ok(serving_ask(serving, request, &answer));
    json_decref(answer);
    json_decref(request);
    assert_int_equal(serving_wait(serving, 0, 60000), 1); /* at once */
    request = take_of(&s, "{'kind':'moult'}");
    assert_code(serving_ask(serving, request, &answer), KIND_UNKNOWN);
    json_decref(request);
    assert_int_equal(serving_rung(serving), 1);
    serving_ring(serving);
    assert_int_equal(serving_wait(serving, 1, 60000), 2);
    serving_stop(serving);
    plant_close(plant);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_bell_rings_for_what_was_taken_alone, folder_enter,
                                        folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
