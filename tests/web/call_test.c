#include "../support.h"

#include "web/call.h"

static struct arena arena;

static const char *text_in(const json_t *o, const char *name)
{
    return json_string_value(json_object_get(o, name));
}

static void a_failure_becomes_a_problem(void **state)
{
    (void)state;
    struct result r = result_at(FAIL1(LOT_UNKNOWN, "lot", "M250"), 3, 4);
    json_t *p = call_problem(&arena, "es", &r, 404);
    assert_string_equal(text_in(p, "type"), "about:blank");
    assert_string_equal(text_in(p, "title"), "Not Found");
    assert_string_equal(text_in(p, "code"), "lot-unknown");
    assert_string_equal(text_in(p, "field"), "lot");
    assert_non_null(strstr(text_in(p, "detail"), "lote M250"));
    assert_string_equal(json_string_value(json_array_get(json_object_get(p, "values"), 0)), "M250");
    assert_int_equal(json_integer_value(json_object_get(p, "line")), 3);
    json_decref(p);
}

static void faults_of_the_machine_tell_no_paths(void **state)
{
    (void)state;
    struct result r = FAIL2(FILE_OPEN, "", "/srv/house/plant.db", "no such file");
    json_t *p = call_problem(&arena, "en", &r, 500);
    char *text = json_dumps(p, 0);
    assert_null(strstr(text, "srv"));
    assert_null(strstr(text, "no such file"));
    free(text);
    json_decref(p);
}

static void whole_numbers_only(void **state)
{
    (void)state;
    int64_t value = 0;
    assert_ok(call_number("200", "limit", 1, 200, &value));
    assert_int_equal(value, 200);
    static const char *const bad[] = {"", "0", "201", "-1", "1.5", "1e2", " 1", "9999999999999999"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_code(call_number(bad[i], "limit", 1, 200, &value), FIELD_RANGE);
    }
    assert_int_equal(value, 200);
}

static void the_next_page_is_linked(void **state)
{
    (void)state;
    struct call c = {.arena = &arena};
    assert_ok(target_read(&arena, "/api/v1/lots?q=a%20b&cursor=old", &c.target));
    c.out = json_pack("{s:s}", "next", "5/6");
    call_next(&c);
    assert_int_equal(c.header_count, 1);
    assert_string_equal(c.headers[0].name, "Link");
    assert_string_equal(c.headers[0].value, "</api/v1/lots?q=a%20b&cursor=5%2F6>; rel=\"next\"");
    json_decref(c.out);
    c.out = json_pack("{s:n}", "next");
    call_next(&c);
    assert_int_equal(c.header_count, 1);
    json_decref(c.out);
    call_retry_after(&c, 0);
    assert_string_equal(c.headers[1].value, "1");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_failure_becomes_a_problem),
        cmocka_unit_test(faults_of_the_machine_tell_no_paths),
        cmocka_unit_test(whole_numbers_only),
        cmocka_unit_test(the_next_page_is_linked),
    };
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    cmocka_set_message_output(CM_OUTPUT_TAP);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    arena_release(&arena);
    return failed;
}
