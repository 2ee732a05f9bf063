#include "support.h"

#include <stdlib.h>

#include "base/random.h"
#include "plan/differ.h"

enum { MOST = 40 };

static const struct differ_start first[] = {
    {"radicle-1", "crop", "lot-a", 100, 104, 15000},
    {"radicle-2", "crop", "lot-a", 100, 104, 15000},
    {"radicle-3", "crop", "lot-a", 101, 105, 15000},
    {"radicle-4", "crop", "lot-a", 102, 106, 15000},
};

static const struct differ_start second[] = {
    {"radicle-1", "crop", "lot-a", 100, 104, 15000}, /* kept */
    {"radicle-2", "crop", "lot-a", 100, 104, 18000}, /* more seed */
    {"radicle-5", "crop", "lot-a", 102, 106, 15000}, /* from radicle-4 */
    {"radicle-1", "crop", "lot-b", 110, 114, 15000}, /* new: too far from the third */
};

static void each_kind_is_seen(void **state)
{
    struct differ_change *list;
    int count = differ_starts(*state, first, 4, second, 4, &list);
    static const enum differ_kind kinds[] = {DIFFER_KEPT, DIFFER_FILLED, DIFFER_GONE, DIFFER_MOVED,
                                             DIFFER_ADDED};
    assert_int_equal(count, 5);
    for (int i = 0; i < count; i++)
        assert_int_equal(list[i].kind, kinds[i]);
    assert_int_equal(list[2].before, 2);
    assert_int_equal(list[3].before, 3);
    assert_int_equal(list[3].after, 2);
    assert_string_equal(differ_kind_id(list[1].kind), "filled");
}

static int by_place(const void *x, const void *y)
{
    const struct differ_start *a = x, *b = y;
    if (a->day != b->day) return a->day < b->day ? -1 : 1;
    int c = strcmp(a->chamber, b->chamber);
    return c != 0 ? c : strcmp(a->item, b->item);
}

static int made_up(struct random *r, struct differ_start *out)
{
    static const char *const chambers[] = {"r-1", "r-2", "r-3", "r-4"},
                             *const items[] = {"bean", "pea"}, *const lots[] = {"", "a", "b"};
    int count = (int)random_below(r, MOST / 2), at = 0;
    for (int i = 0; i < count; i++) {
        struct differ_start s = {chambers[random_below(r, 4)],     items[random_below(r, 2)],
                                 lots[random_below(r, 3)],         (int32_t)random_below(r, 12),
                                 20 + (int32_t)random_below(r, 3), (int64_t)random_below(r, 4)};
        bool taken = false; /* a chamber starts once a day */
        for (int k = 0; k < at; k++)
            taken = taken || (out[k].day == s.day && strcmp(out[k].chamber, s.chamber) == 0);
        if (!taken) out[at++] = s;
    }
    return at;
}

/* What the difference says, done to the first plan by somebody who knows only the words of it:
 * take away what is gone, put what is moved or filled where it says, add what is added. */
static int apply(const struct differ_start *before, int before_count,
                 const struct differ_start *after, const struct differ_change *list, int count,
                 struct differ_start *out)
{
    struct differ_start now[MOST];
    bool is_there[MOST];
    int n = before_count;
    for (int i = 0; i < before_count; i++) {
        now[i] = before[i];
        is_there[i] = true;
    }
    for (int i = 0; i < count; i++) {
        const struct differ_change *c = &list[i];
        switch (c->kind) {
        case DIFFER_KEPT:
            break;
        case DIFFER_FILLED:
            now[c->before].seed_g = after[c->after].seed_g;
            now[c->before].seed_lot = after[c->after].seed_lot;
            break;
        case DIFFER_MOVED:
            now[c->before] = after[c->after];
            break;
        case DIFFER_GONE:
            is_there[c->before] = false;
            break;
        case DIFFER_ADDED:
            is_there[n] = true;
            now[n++] = after[c->after];
            break;
        }
    }
    int kept = 0;
    for (int i = 0; i < n; i++)
        if (is_there[i]) out[kept++] = now[i];
    return kept;
}

static void the_difference_done_to_one_plan_gives_the_other(void **state)
{
    struct random r;
    random_seed(&r, 7);
    for (int round = 0; round < 500; round++) {
        struct differ_start before[MOST], after[MOST], got[2 * MOST];
        struct differ_change *list;
        int m = made_up(&r, before), n = made_up(&r, after);
        int count = differ_starts(*state, before, m, after, n, &list);
        int k = apply(before, m, after, list, count, got);
        assert_int_equal(k, n);
        qsort(got, (size_t)k, sizeof *got, by_place);
        qsort(after, (size_t)n, sizeof *after, by_place);
        for (int i = 0; i < n; i++) {
            assert_int_equal(by_place(&got[i], &after[i]), 0);
            assert_int_equal(got[i].harvest_day, after[i].harvest_day);
            assert_int_equal(got[i].seed_g, after[i].seed_g);
            assert_string_equal(got[i].seed_lot, after[i].seed_lot);
        }
    }
}

static void a_plan_does_not_differ_from_itself(void **state)
{
    struct differ_change *list;
    assert_int_equal(differ_starts(*state, first, 4, first, 4, &list), 4);
    for (int i = 0; i < 4; i++)
        assert_int_equal(list[i].kind, DIFFER_KEPT);
    assert_int_equal(differ_starts(*state, NULL, 0, NULL, 0, &list), 0);
}

static void orders_met_otherwise_are_named(void **state)
{
    static const struct differ_line before[] = {
        {"O-1", "pack", "shops", 110, 100, 100, NULL},
        {"O-2", "pack", "shops", 111, 50, 20, NULL},
        {"", "pack", "shops", 112, 30, 30, NULL},
        {"O-3", "pack", "shops", 113, 10, 10, NULL},
    };
    static const struct differ_line after[] = {
        {"O-1", "pack", "shops", 110, 100, 100, NULL},
        {"O-2", "pack", "shops", 111, 50, 50, NULL},
        {"", "pack", "shops", 112, 30, 10, NULL},
        {"O-4", "pack", "shops", 113, 20, 0, NULL},
    };
    struct differ_met *list;
    assert_int_equal(differ_lines(*state, before, 4, after, 4, &list), 4);
    static const struct differ_met expected[] = {{1, 1}, {2, 2}, {-1, 3}, {3, -1}};
    for (int i = 0; i < 4; i++) {
        assert_int_equal(list[i].before, expected[i].before);
        assert_int_equal(list[i].after, expected[i].after);
    }
    assert_int_equal(differ_lines(*state, before, 4, before, 4, &list), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(each_kind_is_seen),
        EACH(the_difference_done_to_one_plan_gives_the_other),
        EACH(a_plan_does_not_differ_from_itself),
        EACH(orders_met_otherwise_are_named),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
