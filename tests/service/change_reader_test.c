/* Changes of a what-if as they are read. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "service/change_reader.h"

static struct arena arena;

static int set_up(void **state)
{
    (void)state;
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    arena_release(&arena);
    return 0;
}

struct thing {
    const char *code;
    int weight;
};

static const struct thing things[] = {{"bud", 3}, {"leaf", 5}};

struct seen {
    const char *order; /* of what was made, by first letters */
    int thing, day, otherwise;
    int64_t count;
};

static struct result first_stage(const struct change *x, void *self)
{
    struct seen *seen = self;
    seen->order = arena_printf(x->arena, "%sf", seen->order);
    return RESULT_OK;
}

static struct result second_stage(const struct change *x, void *self)
{
    struct seen *seen = self;
    seen->order = arena_printf(x->arena, "%ss", seen->order);
    TRY(change_named(x, "thing", CHANGE_LIST(things, 2, FIELD_CHOICE), &seen->thing));
    TRY(change_day(x, "day", &seen->day));
    TRY(change_day_or(x, "from", -7, &seen->otherwise));
    return change_int(x, "count", 1, 9, &seen->count);
}

static const struct change_kind list[] = {
    {"second", second_stage, {"what", "thing", "day", "from", "count", NULL}, 1},
    {"first", first_stage, {"what", NULL}, 0},
};
static const struct change_kinds kinds = {list, 2};

/* 2026-03-02 is day 0 of 10; ' for ". */
static struct result read_all(const char *text, struct seen *seen)
{
    struct change at = {.arena = &arena, .first_day = 20514, .day_count = 10};
    char *all = arena_copy(&arena, text);
    for (char *c = all; *c != '\0'; c++) {
        *c = *c == '\'' ? '"' : *c;
    }
    json_t *changes = json_loads(all, 0, NULL);
    assert_non_null(changes);
    *seen = (struct seen){.order = ""};
    struct result r = change_each(&at, changes, &kinds, 0, seen);
    if (r.code == CODE_OK) {
        r = change_each(&at, changes, &kinds, 1, seen);
    }
    json_decref(changes);
    return r;
}

static void stages_are_made_in_turn_and_fields_are_read(void **state)
{
    struct seen seen;
    (void)state;
    struct result r = read_all("[{'what':'second','thing':'leaf','day':'2026-03-05','count':4},"
                               "{'what':'first'}]",
                               &seen);
    assert_int_equal(r.code, CODE_OK);
    assert_string_equal(seen.order, "fs");
    assert_int_equal(seen.thing, 1);
    assert_int_equal(seen.day, 3);
    assert_int_equal(seen.otherwise, -7);
    assert_int_equal(seen.count, 4);
    r = read_all("[]", &seen);
    assert_int_equal(r.code, CODE_OK);
    assert_string_equal(seen.order, "");
}

static void what_is_wrong_is_named_with_its_place(void **state)
{
    static const struct {
        const char *text, *field, *choices;
        enum code code;
    } cases[] = {
        {"[{'what':'third'}]", "changes[0].what", "second, first", CODE_FIELD_CHOICE},
        {"[{'what':'first'},3]", "changes[1]", NULL, CODE_FIELD_TYPE},
        {"[{'what':'first','day':'2026-03-05'}]", "changes[0].day", NULL, CODE_FIELD_UNKNOWN},
        {"[{'what':'second','thing':'root'}]", "changes[0].thing", "bud, leaf", CODE_FIELD_CHOICE},
        {"[{'what':'second','thing':'bud'}]", "changes[0].day", NULL, CODE_FIELD_MISSING},
        {"[{'what':'second','thing':'bud','day':'2026-03-12'}]", "changes[0].day", NULL,
         CODE_FIELD_RANGE},
        {"[{'what':'second','thing':'bud','day':'2026-03-01'}]", "changes[0].day", NULL,
         CODE_FIELD_RANGE},
        {"[{'what':'second','thing':'bud','day':'2026-03-11','count':10}]", "changes[0].count",
         NULL, CODE_FIELD_RANGE},
    };
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct seen seen;
        struct result r = read_all(cases[i].text, &seen);
        assert_int_equal(r.code, cases[i].code);
        assert_string_equal(r.field, cases[i].field);
        if (cases[i].choices != NULL) {
            assert_string_equal(r.value[1], cases[i].choices);
        }
    }
}

static void a_copy_has_room_and_leaves_the_list(void **state)
{
    (void)state;
    struct thing *copy = change_copy(&arena, things, 2, 1, sizeof *copy);
    copy[0].weight = 8;
    copy[2] = (struct thing){"root", 1};
    assert_int_equal(things[0].weight, 3);
    assert_int_equal(copy[1].weight, 5);
    assert_int_equal(change_find(CHANGE_LIST(copy, 3, ITEM_UNKNOWN), "root"), 2);
    assert_int_equal(change_find(CHANGE_LIST(copy, 3, ITEM_UNKNOWN), "hull"), 3);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(stages_are_made_in_turn_and_fields_are_read),
        TEST(what_is_wrong_is_named_with_its_place),
        TEST(a_copy_has_room_and_leaves_the_list),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
