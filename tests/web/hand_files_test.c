/* Files, the order book and the profile over HTTP. The first argument is the program that reads
 * files. Nobody serves the local socket here, so that files are only tried; taking one is a matter
 * of tests/service/import_run_test.c and of the browser tests. */
#include "client.h"

#include "base/digest.h"

static struct client client;
static const char *program;

static int begin(void **state)
{
    if (folder_enter(state) != 0) {
        return 1;
    }
    client_open_with(&client, &(struct web_options){.program = program});
    return 0;
}

static int end(void **state)
{
    client_close(&client);
    return folder_leave(state);
}

static struct reply file_in(const char *kind, const char *source, const char *file)
{
    struct arena *a = &client.site.arena;
    return post_to(&client, arena_printf(a, "/api/v1/files/%s", kind),
                   arena_printf(a, "{'source':'%s','name':'a.csv','try':true,'bytes_b64':'%s'}",
                                source, base64_text(a, file, strlen(file))));
}

static void map_the_shop(void)
{
    sign_in(&client, 1);
    assert_status(
        post_to(&client, "/api/v1/entries",
                "{'kind':'mapping','uuid':'8a3c2f10-5f0e-4f62-9d0a-1f2b3c4d5e6f','person':1,"
                "'source':'shop','for':'orders','data':{'columns':{'customer':'Who','item':'What',"
                "'day':'Day','pieces':'Packs'},'delimiter':';'}}"),
        200);
}

static void a_file_is_tried_and_its_faults_have_a_place(void **state)
{
    (void)state;
    map_the_shop();
    struct reply r = file_in("orders", "shop", "Who;What;Day;Packs\nHILUM-7;M250;2026-03-09;400\n");
    assert_status(r, 200);
    assert_int_equal(number_in(r.json, "new"), 1);
    assert_true(json_is_false(json_object_get(r.json, "booked")));
    r = file_in("orders", "shop", "Who;What;Day;Packs\nHILUM-7;M250;2026-02-30;400\n");
    assert_problem(r, 422, "feed-date");
    assert_int_equal(number_in(r.json, "line"), 2);
    assert_int_equal(number_in(r.json, "column"), 14);
    assert_problem(file_in("orders", "nobody", "Who\n"), 404, "mapping-missing");
    assert_problem(file_in("moult", "shop", "Who\n"), 422, "field-choice");
    assert_problem(post_to(&client, "/api/v1/files/orders", "{'source':'shop','name':'a'}"), 422,
                   "field-missing");
    client.session = NULL;
    assert_problem(file_in("orders", "shop", "Who\n"), 401, "sign-in-needed");
}

static void mappings_and_orders_are_listed(void **state)
{
    (void)state;
    map_the_shop();
    struct reply r = get(&client, "/api/v1/mappings");
    assert_status(r, 200);
    assert_string_equal(text_in(json_array_get(json_object_get(r.json, "mappings"), 0), "source"),
                        "shop");
    r = get(&client, "/api/v1/orders?from=2026-03-02&to=2026-03-09");
    assert_status(r, 200);
    assert_int_equal(json_array_size(json_object_get(r.json, "days")), 0);
    assert_problem(get(&client, "/api/v1/orders?from=2026-03-09&to=2026-03-02"), 422,
                   "field-range");
    assert_problem(get(&client, "/api/v1/orders/line?key=C1%2F4711"), 404, "order-unknown");
    assert_problem(get(&client, "/api/v1/orders/line"), 422, "field-missing");
}

static void the_profile_can_be_fetched_by_its_digest(void **state)
{
    (void)state;
    sign_in(&client, 2);
    struct reply limits = get(&client, "/api/v1/limits");
    struct reply r = get(&client, "/api/v1/profile.json");
    assert_status(r, 200);
    assert_non_null(strstr(header_in(&client, &r, "Content-Disposition"), "sprout-house.json"));
    struct hash digest = digest_sha256(r.body, r.body_len);
    assert_string_equal(hex_text(&client.site.arena, digest.b, sizeof digest.b),
                        text_in(json_object_get(limits.json, "profile"), "digest"));
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_file_is_tried_and_its_faults_have_a_place, begin, end),
        cmocka_unit_test_setup_teardown(mappings_and_orders_are_listed, begin, end),
        cmocka_unit_test_setup_teardown(the_profile_can_be_fetched_by_its_digest, begin, end),
    };
    assert_int_equal(argc, 2);
    program = argv[1];
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
