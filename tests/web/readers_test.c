#include "client.h"

#include "trace/graph.h"
#include "web/readers.h"

static struct client client;

static void tell_place(const char *code)
{
    json_t *answer = NULL,
           *request =
               take_of(&client.site, "{'kind':'place','code':'%s','place_kind':'store'}", code);
    assert_ok(serving_ask(client.serving, request, &answer));
    json_decref(answer);
    json_decref(request);
}

static void a_reading_does_not_move_and_the_next_one_sees_more(void **state)
{
    (void)state;
    struct readers *readers;
    struct reading one, two;
    client_open(&client);
    client.site.sent = 100;
    assert_ok(readers_open(PLANT, client.site.world, &readers));
    assert_ok(reading_begin(readers, true, &one));
    int64_t size = one.size;
    assert_non_null(one.profile);
    assert_non_null(one.graph);
    assert_string_equal(one.profile->name, "sprout-house");
    tell_place("A");
    assert_ok(reading_begin(readers, false, &two));
    assert_int_equal(two.size, size + 1);
    assert_null(two.graph);
    assert_ptr_equal(two.profile, one.profile); /* one for all */
    assert_non_null(one.sentences);
    assert_ptr_equal(two.sentences, one.sentences);
    assert_non_null(one.day_orders);
    assert_ptr_equal(two.day_orders, one.day_orders);
    assert_int_equal(one.size, size);
    reading_end(&two);
    reading_end(&one);
    assert_ok(reading_begin(readers, true, &one)); /* the graph follows */
    assert_int_equal(one.size, size + 1);
    reading_end(&one);
    assert_ok(reading_take(readers, &one));
    assert_null(one.profile);
    assert_null(one.sentences);
    reading_end(&one);
    readers_close(readers);
    client_close(&client);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_reading_does_not_move_and_the_next_one_sees_more,
                                        folder_enter, folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
