/* What if the house worked otherwise: closed and open days, harvests in parts. */
#include "plans.h"

#include "base/civil.h"
#include "ledger/closing.h"

static struct house h;
static struct planning_case was, now;

static int set_up(void **state)
{
    (void)state;
    plans_open_order(&h, &was);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

/* One change, without its braces and "what if"; %s in it is a day. */
static struct result changed(const char *text, int days)
{
    const char *at = strstr(text, "%s");
    const char *with = at == NULL ? text
                                  : arena_printf(&h.arena, "%.*s%s%s", (int)(at - text), text,
                                                 plans_day(&h, days), at + 2);
    now = was;
    return plans_change(&h, &now, arena_printf(&h.arena, "{'changes':[{%s}]}", with));
}

/* What is wanted on it leaves on the day before, and nothing is worked on it. */
static void a_closed_day_is_planned_round(void **state)
{
    (void)state;
    int64_t next = h.lg->next_seq;
    assert_ok(changed("'what':'closed-day','day':'%s','reason':'the fair'", 14));
    assert_int_equal(now.closed[14].what,
                     CLOSES_SOAK | CLOSES_HARVEST | CLOSES_PACK | CLOSES_DISPATCH);
    assert_string_equal(now.closed[14].reason, "the fair");
    assert_int_equal(now.closed[13].what, 0);
    assert_true(now.problem.is_shut[14] && !now.problem.is_shut[13]);
    assert_int_equal(now.problem.days[14].starts_max, 0);
    assert_true(now.problem.days[14].pack_kg == 0 && now.problem.days[13].pack_kg > 0);
    assert_true(now.problem.works[0].limit[14] == 0);
    assert_int_equal(now.problem.lines[0].day, 13);
    assert_int_equal(now.problem.lines[0].moved_days, 1);
    assert_int_equal(was.problem.lines[0].day, 14);
    assert_true(!was.problem.is_shut[14] && was.problem.days[14].starts_max > 0);
    assert_int_equal(h.lg->next_seq, next); /* nothing was written */
}

static void only_one_kind_of_work_may_be_closed(void **state)
{
    (void)state;
    assert_ok(changed("'what':'closed-day','day':'%s','of':'soak'", 5));
    assert_int_equal(now.closed[5].what, CLOSES_SOAK);
    assert_int_equal(now.problem.days[5].starts_max, 0);
    assert_true(now.problem.days[5].pack_kg > 0 && !now.problem.is_shut[5]);
    assert_code(changed("'what':'closed-day','day':'%s','of':'sleep'", 5), FIELD_CHOICE);
    assert_code(changed("'what':'closed-day','day':'%s'", 500), FIELD_RANGE);
    assert_code(changed("'what':'closed-day','day':'%s'", -1), FIELD_RANGE);
    assert_code(changed("'what':'closed-day'", 0), FIELD_MISSING);
}

/* A row of a week of which one day is opened: the others stay closed, on their weekdays. */
static void an_open_day_is_cut_out_of_what_the_profile_closes(void **state)
{
    int32_t first = was.problem.first_day;
    struct closing rows[] = {
        {first + 2, first + 8, 127, CLOSES_PACK, "inventory"},
        {INT32_MIN, INT32_MAX, 1U << day_weekday(first + 4), CLOSES_DISPATCH, "no trucks"}};
    struct profile with = *h.lg->profile;
    struct planning_wish wish = {.keep = PLANNING_KEEP_BALANCE};
    (void)state;
    with.planning.closings = rows;
    with.planning.closing_count = 2;
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &was));
    assert_int_equal(was.closed[4].what, CLOSES_PACK | CLOSES_DISPATCH);
    json_t *changes = json_pack("[{s:s,s:s}]", "what", "open-day", "day", plans_day(&h, 4));
    now = was;
    wish.changes = changes;
    assert_ok(planning_change(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &wish, &now));
    json_decref(changes);
    for (int d = 0; d < 10; d++) {
        assert_int_equal(now.closed[d].what, d == 4 ? 0 : was.closed[d].what);
    }
    assert_int_equal(now.closed[3].what, CLOSES_PACK);
    assert_int_equal(now.closed[5].what, CLOSES_PACK);
    assert_int_equal(now.closed[11].what, CLOSES_DISPATCH);
    assert_true(now.problem.days[4].pack_kg > 0 && was.problem.days[4].pack_kg == 0);
    assert_int_equal(rows[0].to_day, first + 8); /* the profile's own stays */
}

/* A week of holidays in one change, and the profile's own week cut by some days of it. */
static void days_are_closed_and_opened_from_one_to_another(void **state)
{
    int32_t first = was.problem.first_day;
    struct closing rows[] = {{first + 2, first + 8, 127, CLOSES_PACK, "inventory"}};
    struct profile with = *h.lg->profile;
    struct planning_wish wish = {.keep = PLANNING_KEEP_BALANCE};
    (void)state;
    json_t *changes = json_pack("[{s:s,s:s,s:s,s:s}]", "what", "closed-day", "day",
                                plans_day(&h, 3), "to", plans_day(&h, 9), "of", "soak");
    now = was;
    wish.changes = changes;
    assert_ok(planning_change(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &wish, &now));
    json_decref(changes);
    for (int d = 0; d < was.problem.day_count; d++) {
        assert_int_equal(now.closed[d].what, d >= 3 && d <= 9 ? CLOSES_SOAK : 0);
        assert_true(d < 3 || d > 9 || now.problem.days[d].starts_max == 0);
    }
    with.planning.closings = rows;
    with.planning.closing_count = 1;
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &was));
    changes = json_pack("[{s:s,s:s,s:s}]", "what", "open-day", "day", plans_day(&h, 4), "to",
                        plans_day(&h, 6));
    now = was;
    wish.changes = changes;
    assert_ok(planning_change(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &wish, &now));
    json_decref(changes);
    for (int d = 0; d < was.problem.day_count; d++) {
        bool is_closed = d == 2 || d == 3 || d == 7 || d == 8;
        assert_int_equal(now.closed[d].what, is_closed ? CLOSES_PACK : 0);
    }
    changes = json_pack("[{s:s,s:s,s:s}]", "what", "closed-day", "day", plans_day(&h, 4), "to",
                        plans_day(&h, 3));
    wish.changes = changes;
    assert_code(planning_change(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &wish, &now),
                FIELD_RANGE);
    json_decref(changes);
}

static void a_crop_in_parts_and_at_once(void **state)
{
    (void)state;
    int crop = was.problem.products[0].crop;
    assert_ok(changed("'what':'parts','item':'MUNG','share_ppm':600000,'days':2,"
                      "'yield_milli':1100",
                      0));
    const struct plan_way *way = &now.problem.crops[crop].ways[0];
    assert_int_equal(plan_way_harvests(way), 2);
    assert_int_equal(plan_way_harvest_days(way, 1), way->grow_days + 2);
    assert_true(way->parts[1].share > 0.39 && way->parts[1].share < 0.41);
    assert_true(way->parts[1].yield_factor > 1.09 && way->parts[1].yield_factor < 1.11);
    assert_int_equal(plan_way_harvests(&was.problem.crops[crop].ways[0]), 1);
    assert_ok(changed("'what':'parts','item':'MUNG','share_ppm':600000,'days':2", 0));
    assert_true(now.problem.crops[crop].ways[0].parts[1].yield_factor == 1);
    was = now; /* it asks for all at once on top of the parts: the last change counts */
    assert_ok(plans_change(&h, &now,
                           "{'changes':[{'what':'parts','item':'MUNG','share_ppm':600000,"
                           "'days':2},{'what':'parts','item':'MUNG','share_ppm':1000000}]}"));
    assert_int_equal(plan_way_harvests(&now.problem.crops[crop].ways[0]), 1);
    assert_code(changed("'what':'parts','item':'HULLS','share_ppm':1000000", 0), ITEM_UNKNOWN);
    assert_code(changed("'what':'parts','item':'MUNG','share_ppm':0", 0), FIELD_RANGE);
    assert_code(changed("'what':'parts','item':'MUNG','share_ppm':5", 0), FIELD_MISSING);
}

/* A crop in parts has days of its own: the profile's other days are not kept beside them. */
static void a_crop_in_parts_is_not_harvested_early_or_late(void **state)
{
    struct item_early_late early_late[] = {{.item = "MUNG", .days = -1, .yield = 900}};
    struct profile with = *h.lg->profile;
    struct planning_wish wish = {.keep = PLANNING_KEEP_BALANCE};
    (void)state;
    with.planning.early_late = early_late;
    with.planning.early_late_count = 1;
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &was));
    int crop = was.problem.products[0].crop;
    assert_int_equal(was.problem.crops[crop].way_count, 2);
    json_t *changes = json_pack("[{s:s,s:s,s:i,s:i}]", "what", "parts", "item", "MUNG", "share_ppm",
                                500000, "days", 1);
    now = was;
    wish.changes = changes;
    assert_ok(planning_change(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &wish, &now));
    json_decref(changes);
    assert_int_equal(now.problem.crops[crop].way_count, 1);
    assert_int_equal(plan_way_harvests(&now.problem.crops[crop].ways[0]), 2);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_closed_day_is_planned_round),
        TEST(only_one_kind_of_work_may_be_closed),
        TEST(an_open_day_is_cut_out_of_what_the_profile_closes),
        TEST(days_are_closed_and_opened_from_one_to_another),
        TEST(a_crop_in_parts_and_at_once),
        TEST(a_crop_in_parts_is_not_harvested_early_or_late),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
