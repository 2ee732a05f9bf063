/* Shared by the tests of this room: a mapping and a file from texts, read and planned. */
#ifndef TESTS_FEED_SUPPORT_H
#define TESTS_FEED_SUPPORT_H

#include "../ledger/mapping_support.h"

#include "base/civil.h"
#include "feed/feed.h"

struct fixture {
    struct arena arena;
    json_t *data;
    struct mapping mapping;
    struct feed_content content;
    struct feed_report report;
    json_t *commands;
};

static struct fixture fx;

static inline int set_up(void **state)
{
    fx = (struct fixture){0};
    arena_init(&fx.arena, ARENA_LIMIT_DEFAULT);
    struct result r =
        civil_zone_use("Asia/Tokyo"); /* the house's zone must not matter to a file's */
    assert_int_equal(r.code, CODE_OK);
    return 0;
}

static inline void forget_content(void)
{
    feed_release(&fx.content);
    json_decref(fx.commands);
    fx.commands = NULL;
}

static inline int tear_down(void **state)
{
    forget_content();
    json_decref(fx.data);
    arena_release(&fx.arena);
    return 0;
}

/* The mapping, with ' for ". */
static inline struct result map(const char *kind, const char *data)
{
    return map_text(&fx.arena, kind, data, &fx.data, &fx.mapping);
}

static inline void map_ok(const char *kind, const char *data)
{
    struct result r = map(kind, data);
    if (r.code != CODE_OK) {
        fail_msg("%s", result_sentence(&fx.arena, &r));
    }
}

static inline struct result read_bytes(const char *bytes, size_t len)
{
    struct feed_file file = {.name = "file.csv", .bytes = bytes, .len = len};
    forget_content();
    return feed_read(&fx.arena, &fx.mapping, &file, &fx.content);
}

static inline struct result read_file(const char *text)
{
    return read_bytes(text, strlen(text));
}

static inline void read_ok(const char *text)
{
    struct result r = read_file(text);
    if (r.code != CODE_OK) {
        fail_msg("%s", result_sentence(&fx.arena, &r));
    }
}

#define assert_refused(text, name, at_line, at_column)               \
    do {                                                             \
        struct result r_ = read_file(text);                          \
        assert_string_equal(code_id(r_.code), code_id(CODE_##name)); \
        assert_int_equal(r_.line, at_line);                          \
        assert_int_equal(r_.column, at_column);                      \
    } while (0)

static inline struct result plan(const struct feed_known *known)
{
    json_decref(fx.commands);
    fx.commands = NULL;
    return feed_plan(&fx.arena, &fx.mapping, &fx.content, known, &fx.report, &fx.commands);
}

static inline void plan_ok(const struct feed_known *known)
{
    struct result r = plan(known);
    if (r.code != CODE_OK) {
        fail_msg("%s", result_sentence(&fx.arena, &r));
    }
}

static inline const char *text_of(const json_t *object, const char *name)
{
    const char *text = json_string_value(json_object_get(object, name));
    return text != NULL ? text : "(none)";
}

static inline const json_t *command(size_t index)
{
    assert_true(index < json_array_size(fx.commands));
    return json_array_get(fx.commands, index);
}

/* A command without what every one has. */
static inline const char *canonical(const json_t *command)
{
    json_t *copy = json_copy((json_t *)(uintptr_t)command);
    json_object_del(copy, "uuid");
    json_object_del(copy, "device");
    const char *text = json_canonical(&fx.arena, copy);
    json_decref(copy);
    return text;
}

#define FEED_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

#endif
