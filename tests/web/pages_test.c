#include "../support.h"

#include "web/embedded.h"
#include "web/pages.h"

static struct arena arena;

static struct result ask(const struct pages *p, const char *path, struct call *c)
{
    c->arena = &arena;
    assert_ok(target_read(&arena, path, &c->target));
    return pages_answer(p, c);
}

static void the_page_stands_at_every_address_without_a_dot(void **state)
{
    (void)state;
    struct pages *p = pages_new();
    struct call root = {.arena = NULL}, deep = root, again = root;
    assert_ok(ask(p, "/", &root));
    assert_ok(ask(p, "/lots/M250-20900-01", &deep));
    assert_ptr_equal(root.bytes, deep.bytes);
    assert_string_equal(root.content_type, "text/html; charset=utf-8");
    assert_string_equal(root.cache_control, "no-cache");
    again.asked.if_none_match = root.etag;
    assert_ok(ask(p, "/", &again));
    assert_int_equal(again.status, 304);
    pages_free(p);
}

static const char *link_of(const struct call *c)
{
    const char *link = NULL;
    for (size_t i = 0; i < c->header_count; i++) {
        assert_null(link);
        link = strcmp(c->headers[i].name, "Link") == 0 ? c->headers[i].value : NULL;
    }
    return link;
}

#define AHEAD(what) "<" what ">; rel=preload; as=fetch; crossorigin"

/* Who opens the page is told what it will ask for; nothing of a person without a session. */
static void a_page_that_is_opened_names_its_first_questions(void **state)
{
    (void)state;
    struct pages *p = pages_new();
    struct call plain = {.lang = "en"};
    struct call opened = {.lang = "es", .asked = {.fetch_mode = "navigate"}};
    struct call mine = opened, deep, again, kept = {.lang = "en"};
    mine.asked.cookie = "plumule_session=abc";
    deep = again = mine;
    kept.asked = (struct asked){.fetch_mode = "cors", .cookie = "plumule_session=abc"};
    assert_ok(ask(p, "/", &plain));
    assert_null(link_of(&plain));
    assert_ok(ask(p, "/", &kept));
    assert_null(link_of(&kept));
    assert_ok(ask(p, "/", &opened));
    assert_string_equal(link_of(&opened), AHEAD("/words/es.json") ", " AHEAD("/api/v1/me?lang=en"));
    assert_ok(ask(p, "/", &mine));
    assert_string_equal(link_of(&mine),
                        AHEAD("/words/es.json") ", " AHEAD("/api/v1/me?lang=en") ", " AHEAD(
                            "/api/v1/today?lang=es"));
    assert_ok(ask(p, "/lots", &deep));
    assert_string_equal(link_of(&deep), link_of(&opened));
    again.asked.if_none_match = mine.etag;
    assert_ok(ask(p, "/", &again)); /* the page is there already, its questions are not */
    assert_int_equal(again.status, 304);
    assert_string_equal(link_of(&again), link_of(&mine));
    pages_free(p);
}

static void nothing_else_is_there(void **state)
{
    (void)state;
    struct pages *p = pages_new();
    static const char *const paths[] = {"/plant.db", "/app.js.map", "/words/xx.json",
                                        "/en.json",  "/index.htm",  "/web_pages.c"};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        struct call c = {.arena = NULL};
        assert_code(ask(p, paths[i], &c), ROUTE_UNKNOWN);
    }
    pages_free(p);
}

static void each_file_is_served_as_it_is(void **state)
{
    (void)state;
    struct pages *p = pages_new();
    for (size_t i = 0; i < web_pages_count; i++) {
        const struct embedded_file *file = &web_pages[i];
        struct call plain = {.arena = NULL}, squeezed = {.asked = {.accept_encoding = "gzip"}};
        bool words = strcmp(file->name, "en.json") == 0 || strcmp(file->name, "es.json") == 0;
        const char *path = arena_printf(&arena, "%s%s", words ? "/words/" : "/", file->name);
        assert_ok(ask(p, path, &plain));
        assert_int_equal(plain.bytes_len, file->len);
        assert_memory_equal(plain.bytes, embedded_bytes(&arena, file), file->len);
        assert_false(plain.gzipped);
        assert_ok(ask(p, path, &squeezed));
        assert_true(squeezed.bytes_len <= file->len);
        assert_string_equal(plain.etag, squeezed.etag);
    }
    pages_free(p);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_page_stands_at_every_address_without_a_dot),
        cmocka_unit_test(a_page_that_is_opened_names_its_first_questions),
        cmocka_unit_test(nothing_else_is_there),
        cmocka_unit_test(each_file_is_served_as_it_is),
    };
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    cmocka_set_message_output(CM_OUTPUT_TAP);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    arena_release(&arena);
    return failed;
}
