#include "../support.h"

#include "web/guard.h"

static struct arena arena;
static const char *const names[] = {"127.0.0.1", "plant.example"};

static struct call call_of(enum method method)
{
    return (struct call){.arena = &arena,
                         .method = method,
                         .asked = {.host = "127.0.0.1:8410",
                                   .origin = "http://127.0.0.1:8410",
                                   .fetch_site = "same-origin",
                                   .content_type = "application/json; charset=utf-8",
                                   .plumule = "1"}};
}

static struct result check(struct call c)
{
    return guard_check(&c, names, 2);
}

static void a_name_that_is_not_ours_is_refused(void **state)
{
    (void)state;
    struct call c = call_of(METHOD_GET);
    assert_ok(check(c));
    c.asked.host = "PLANT.example";
    assert_ok(check(c));
    static const char *const others[] = {"evil.example", "plant.example.evil.example",
                                         "127.0.0.1@x", "", "127.0.0.2"};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        c.asked.host = others[i];
        assert_code(check(c), HOST_WRONG);
    }
    c.asked.host = NULL;
    assert_code(check(c), HOST_WRONG);
}

static void only_our_own_pages_tell_us_something(void **state)
{
    (void)state;
    struct call good = call_of(METHOD_POST), c = good;
    assert_ok(check(c));
    c.asked.origin = NULL; /* a program that is no browser */
    c.asked.fetch_site = NULL;
    assert_ok(check(c));
    static const char *const origins[] = {"null",
                                          "http://evil.example",
                                          "https://127.0.0.1:8410",
                                          "http://127.0.0.1",
                                          "http://127.0.0.1:8411",
                                          ""};
    for (size_t i = 0; i < sizeof origins / sizeof origins[0]; i++) {
        c = good;
        c.asked.origin = origins[i];
        assert_code(check(c), ORIGIN_WRONG);
    }
    c = good;
    c.asked.fetch_site = "cross-site";
    assert_code(check(c), ORIGIN_WRONG);
    c.asked.fetch_site = "same-site";
    assert_code(check(c), ORIGIN_WRONG);
    c = good;
    c.asked.plumule = NULL;
    assert_code(check(c), HEADER_MISSING);
    c.asked.plumule = "2";
    assert_code(check(c), HEADER_MISSING);
}

static void a_body_is_json(void **state)
{
    (void)state;
    struct call c = call_of(METHOD_POST);
    static const char *const types[] = {"text/plain", "application/x-www-form-urlencoded",
                                        "application/jsonp", NULL};
    for (size_t i = 0; i < sizeof types / sizeof types[0]; i++) {
        c.asked.content_type = types[i];
        assert_code(check(c), MEDIA_TYPE_WRONG);
    }
    c.method = METHOD_DELETE; /* has none */
    assert_ok(check(c));
}

static void cookies_are_kept_from_scripts_and_other_sites(void **state)
{
    (void)state;
    assert_string_equal(cookie_text(&arena, false, "a", "b", -1),
                        "a=b; Path=/; HttpOnly; SameSite=Strict");
    assert_string_equal(cookie_text(&arena, true, "a", "b", 60),
                        "__Host-a=b; Path=/; HttpOnly; SameSite=Strict; Secure; Max-Age=60");
    assert_string_equal(cookie_name(true, "a", &arena), "__Host-a");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_name_that_is_not_ours_is_refused),
        cmocka_unit_test(only_our_own_pages_tell_us_something),
        cmocka_unit_test(a_body_is_json),
        cmocka_unit_test(cookies_are_kept_from_scripts_and_other_sites),
    };
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    cmocka_set_message_output(CM_OUTPUT_TAP);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    arena_release(&arena);
    return failed;
}
