#include "../support.h"

#include "web/parse.h"

static struct arena arena;

static void assert_bad(const char *text)
{
    struct target t;
    assert_code(target_read(&arena, text, &t), TARGET_BAD);
}

static void a_target_is_read_part_by_part(void **state)
{
    (void)state;
    struct target t;
    assert_ok(target_read(&arena, "/api/v1/lots/M%20250?q=a%26b&lang=es&empty=&plus=a+b", &t));
    assert_int_equal(t.segment_count, 4);
    assert_string_equal(t.segment[3], "M 250");
    assert_string_equal(t.path, "/api/v1/lots/M%20250");
    assert_string_equal(target_query(&t, "q"), "a&b");
    assert_string_equal(target_query(&t, "empty"), "");
    assert_string_equal(target_query(&t, "plus"), "a b");
    assert_null(target_query(&t, "other"));
    assert_ok(target_read(&arena, "/", &t));
    assert_int_equal(t.segment_count, 0);
}

static void no_way_leads_out_of_the_addresses(void **state)
{
    (void)state;
    static const char *const ways[] = {
        "/../etc/passwd", "/a/../b", "/%2e%2e/b",  "/..%2fb",    "/a%2fb",
        "/a\\b",          "/%5c",    "//a",        "/a//b",      "/a/",
        "/./a",           "a",       "",           "http://x/a", "/%00",
        "/%zz",           "/%",      "/%4",        "/a#b",       "/\xff",
        "/\xc0\xaf",      "/%c0%af", "/%ed%a0%80", "/a\x01",     "/a?b=%",
        "/a?b=1&b=2",     "/a?%ff=1"};
    for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
        assert_bad(ways[i]);
    }
    assert_bad("/1/2/3/4/5/6/7/8/9");
    assert_bad("/a?1&2&3&4&5&6&7&8&9&10&11&12&13&14&15&16&17");
}

static void one_cookie_is_found(void **state)
{
    (void)state;
    assert_string_equal(cookie_find(&arena, "a=1; b=x-Y_2; ab=3", "b"), "x-Y_2");
    assert_string_equal(cookie_find(&arena, "b=x ", "b"), "x");
    assert_null(cookie_find(&arena, "a=1; b=1; b=2", "b")); /* which one is ours? */
    assert_null(cookie_find(&arena, "b=\"x\"", "b"));
    assert_null(cookie_find(&arena, "b=", "b"));
    assert_null(cookie_find(&arena, "xb=1", "b"));
    assert_null(cookie_find(&arena, NULL, "b"));
    assert_null(cookie_find(&arena, ";;; ;", "b"));
}

static void tags_are_compared_weakly(void **state)
{
    (void)state;
    assert_true(etag_matches("W/\"1\"", "W/\"1\""));
    assert_true(etag_matches("\"1\"", "W/\"1\""));
    assert_true(etag_matches("\"0\", W/\"1\"", "\"1\""));
    assert_true(etag_matches("*", "\"1\""));
    assert_false(etag_matches("\"11\"", "\"1\""));
    assert_false(etag_matches("\"1", "\"1\""));
    assert_false(etag_matches(NULL, "\"1\""));
    assert_false(etag_matches("", "\"1\""));
}

static void what_a_client_takes(void **state)
{
    (void)state;
    assert_true(takes_gzip("gzip"));
    assert_true(takes_gzip("br, GZIP;q=0.5"));
    assert_false(takes_gzip("gzip;q=0"));
    assert_false(takes_gzip("gzip; q=0.000, br"));
    assert_false(takes_gzip("gzipped"));
    assert_false(takes_gzip(NULL));
    assert_string_equal(language_wanted("es-MX,en;q=0.8"), "es");
    assert_string_equal(language_wanted("de, en-US;q=0.7"), "en");
    assert_string_equal(language_wanted("es;q=0, en"), "en");
    assert_null(language_wanted("de"));
    assert_null(language_wanted(NULL));
}

static void a_host_is_a_name_without_its_port(void **state)
{
    (void)state;
    assert_string_equal(host_name(&arena, "Plant.Example:8410"), "plant.example");
    assert_string_equal(host_name(&arena, "127.0.0.1"), "127.0.0.1");
    assert_string_equal(host_name(&arena, "[::1]:80"), "::1");
    static const char *const bad[] = {"",       "a b", "a:",  "a:x",     "a:123456", "[::1",
                                      "[::1]x", "a/b", ":80", "a@b.c:1", "a:1:2",    "\xc3\xa9"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_null(host_name(&arena, bad[i]));
    }
    assert_null(host_name(&arena, NULL));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_target_is_read_part_by_part),
        cmocka_unit_test(no_way_leads_out_of_the_addresses),
        cmocka_unit_test(one_cookie_is_found),
        cmocka_unit_test(tags_are_compared_weakly),
        cmocka_unit_test(what_a_client_takes),
        cmocka_unit_test(a_host_is_a_name_without_its_port),
    };
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    cmocka_set_message_output(CM_OUTPUT_TAP);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    arena_release(&arena);
    return failed;
}
