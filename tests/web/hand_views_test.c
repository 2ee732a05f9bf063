#include "client.h"

#include "shape.h"
#include "web/openapi.h"
#include "web/route.h"

static struct client client;

static int begin(void **state)
{
    if (folder_enter(state) != 0) {
        return 1;
    }
    client_open(&client);
    return 0;
}

static int end(void **state)
{
    client_close(&client);
    return folder_leave(state);
}

/* A path that can be asked: names of things that are there, where the house has some. */
static const char *askable(const struct route *route)
{
    static const char *const with[][2] = {
        {"entry", "/api/v1/daybook/2"},
        {"ask", "/api/v1/ask?about=entry&of=2"},
        {"find", "/api/v1/find?code=M-1"},
        {"trace", "/api/v1/trace?code=M-1&direction=back"},
        {"trace_why", "/api/v1/trace/why?code=M-1&direction=back&lot=M-2"},
        {"recall", "/api/v1/recall?code=M-1"},
        {"days", "/api/v1/days?from=2026-03-01&to=2026-03-09"},
        {"waters", "/api/v1/waters?from=2026-03-01&to=2026-03-09"},
        {"schedule", "/api/v1/schedule?per_round=3"},
        {"sheet", "/api/v1/sheets/harvest.pdf"},
        {"order", "/api/v1/orders/line?key=K-1"},
        {"inspection", "/api/v1/inspection?form=receive&supplier=S-1&item=MUNGSEED&sacks=20"},
    };
    for (size_t i = 0; i < sizeof with / sizeof with[0]; i++) {
        if (strcmp(with[i][0], route->name) == 0) {
            return with[i][1];
        }
    }
    char *path = arena_copy(&client.site.arena, route->path);
    for (char *p = path; *p != '\0'; p++) {
        *p = *p == '{' || *p == '}' ? 'x' : *p;
    }
    return path;
}

static void every_reading_route_answers_in_its_shape(void **state)
{
    (void)state;
    json_t *document = openapi_document();
    const json_t *schemas = json_object_get(json_object_get(document, "components"), "schemas");
    size_t good = 0;
    sign_in(&client, 1);
    for (size_t i = 0; i < route_count(); i++) {
        const struct route *route = route_at(i);
        if (route->method != METHOD_GET || strcmp(route->name, "events") == 0) {
            continue;
        }
        struct reply r = get(&client, askable(route));
        bool json = strchr(route->out, '/') == NULL;
        if (r.status != 200 && r.status != 404) {
            print_error("%s: %d %s\n", route->name, r.status, r.body);
            fail();
        }
        if (r.status == 200 && !json) {
            assert_non_null(strstr(header_in(&client, &r, "Content-Type"), route->out));
        } else if (!has_shape(schemas, r.status == 200 ? route->out : "Problem", r.json)) {
            print_error("%s: %s\n", route->name, r.body);
            fail();
        }
        good += r.status == 200;
    }
    assert_true(good >= 18);
    json_decref(document);
}

static void nobody_reads_without_signing_in(void **state)
{
    (void)state;
    for (size_t i = 0; i < route_count(); i++) {
        const struct route *route = route_at(i);
        if (route->method == METHOD_GET && strcmp(route->who, "anyone") != 0) {
            assert_problem(get(&client, askable(route)), 401, "sign-in-needed");
        }
    }
}

/* The plan as in tests/ledger/acceptance_test.c. */
static void the_inspection_of_what_comes_is_told(void **state)
{
    (void)state;
    sign_in(&client, 1);
    struct reply r = get(&client, "/api/v1/inspection?form=receive&supplier=S-1&item=MUNGSEED");
    assert_status(r, 200);
    assert_string_equal(text_in(r.json, "inspection"), "normal");
    assert_true(json_is_null(json_object_get(r.json, "samples")));
    r = get(&client, "/api/v1/inspection?form=receive&supplier=S-1&item=MUNGSEED&sacks=300");
    assert_int_equal(number_in(r.json, "samples"), 20);
    assert_int_equal(number_in(r.json, "reject"), 3);
    r = get(&client, "/api/v1/inspection");
    assert_true(json_is_null(json_object_get(r.json, "inspection")));
    assert_problem(get(&client, "/api/v1/inspection?form=receive&sacks=0"), 422, "field-range");
}

static void pages_of_the_daybook_are_linked(void **state)
{
    (void)state;
    sign_in(&client, 1);
    struct reply r = get(&client, "/api/v1/daybook?limit=2");
    assert_int_equal(json_array_size(json_object_get(r.json, "entries")), 2);
    const char *link = header_in(&client, &r, "Link");
    assert_non_null(link);
    assert_string_equal(link + strcspn(link, ">"), ">; rel=\"next\"");
    const char *next = arena_copy_n(&client.site.arena, link + 1, strcspn(link, ">") - 1);
    int64_t last = number_in(json_array_get(json_object_get(r.json, "entries"), 1), "entry");
    r = get(&client, next);
    assert_status(r, 200);
    assert_int_equal(number_in(json_array_get(json_object_get(r.json, "entries"), 0), "entry"),
                     last - 1);
    assert_problem(get(&client, "/api/v1/daybook?limit=201"), 422, "field-range");
    assert_problem(get(&client, "/api/v1/daybook?limit=x"), 422, "field-range");
    assert_problem(get(&client, "/api/v1/daybook/0"), 422, "field-range");
    assert_problem(get(&client, "/api/v1/daybook/99"), 404, "entry-unknown");
}

static void a_plan_is_worked_out_behind_the_page(void **state)
{
    (void)state;
    sign_in(&client, 6);
    assert_problem(post_to(&client, "/api/v1/plan", "{'seconds':0}"), 403, "role-missing");
    sign_in(&client, 1);
    assert_problem(post_to(&client, "/api/v1/plan", "{'seconds':9999}"), 422, "field-range");
    struct reply r = post_to(&client, "/api/v1/plan", "{'seconds':0}");
    assert_status(r, 202);
    const char *path =
        arena_printf(&client.site.arena, "/api/v1/plan/jobs/%s", text_in(r.json, "job"));
    for (int i = 0; i < 600; i++) {
        r = get(&client, path);
        assert_status(r, 200);
        if (strcmp(text_in(r.json, "state"), "working") != 0) {
            break;
        }
        usleep(50000);
    }
    assert_string_not_equal(text_in(r.json, "state"), "working");
    assert_int_equal(number_in(r.json, "share_ppm"), 1000000);
    assert_problem(get(&client, "/api/v1/plan/jobs/moult"), 404, "job-unknown");
    assert_status(send_to(&client, "DELETE", path, NULL, NULL), 200);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(every_reading_route_answers_in_its_shape, begin, end),
        cmocka_unit_test_setup_teardown(nobody_reads_without_signing_in, begin, end),
        cmocka_unit_test_setup_teardown(the_inspection_of_what_comes_is_told, begin, end),
        cmocka_unit_test_setup_teardown(pages_of_the_daybook_are_linked, begin, end),
        cmocka_unit_test_setup_teardown(a_plan_is_worked_out_behind_the_page, begin, end),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
