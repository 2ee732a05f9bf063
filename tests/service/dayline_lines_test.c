/* The lines of a day: their places, when nobody works, what stands on them. */
#include "dayline_support.h"

#include "service/view_dayline.h"

static void places_are_those_of_the_record(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    house_take(&h, "{'kind':'place','code':'PACK2','place_kind':'pack-line'}");
    house_take(&h, "{'kind':'place','code':'TRIM2','place_kind':'trimmer'}");
    dayline_of(&h, 0, &d);
    assert_int_equal(d.problem.stage_count, 6);
    assert_int_equal(d.problem.stages[0].machine_count, 1);
    assert_null(d.places[0][0]); /* hands */
    assert_string_equal(d.places[1][0], "WASH");
    assert_int_equal(d.problem.stages[2].machine_count, 2); /* every trimmer */
    assert_string_equal(d.places[2][1], "TRIM2");
    assert_int_equal(d.problem.stages[4].machine_count, 0); /* the cold room */
    assert_false(d.problem.stages[4].is_staffed);
    assert_int_equal(d.problem.stages[5].machine_count, 1); /* the profile works one at once */
    house_close(&h);
}

/* Three breaks, and the night shift that does not work the lines: 20:00 until the day's end. */
static void pauses_are_breaks_and_shifts_off(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    dayline_of(&h, 0, &d);
    assert_int_equal(d.problem.pause_count, 3 * 4); /* of the day, and of two after it */
    for (int day = 0; day < 3; day++) {
        const struct day_span *of_day = &d.problem.pauses[day * 4];
        int begins = day * 24 * 60;
        assert_int_equal(of_day[0].from, begins + 5 * 60);
        assert_int_equal(of_day[0].to, begins + 5 * 60 + 20);
        assert_int_equal(of_day[3].from, begins + 16 * 60);
        assert_int_equal(of_day[3].to, begins + 24 * 60);
    }
    house_close(&h);
}

static void pauses_that_meet_become_one(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    struct profile p = *h.lg->profile;
    struct line_pause pauses[] = {{19 * 60 + 30, 60}};
    struct view v = view_as(&h, 9, "planner");
    p.lines.pauses = pauses;
    p.lines.pause_count = 1;
    v.profile = &p;
    assert_ok(dayline_read(&v, (int32_t)house_day(&h), &d));
    assert_int_equal(d.problem.pause_count, 3);
    assert_int_equal(d.problem.pauses[0].from, 15 * 60 + 30);
    assert_int_equal(d.problem.pauses[0].to, 24 * 60);
    house_close(&h);
}

/* Ten minutes of work a day, across its end: what they do not hold goes on a day later. */
static void work_past_the_end_pauses_on_the_next_day_too(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    dayline_plan(&h);
    struct profile p = *h.lg->profile;
    struct line_pause pauses[] = {{4 * 60 + 5, 23 * 60 + 50}}; /* the house day begins at four */
    struct view v = view_as(&h, 9, "planner");
    p.lines.pauses = pauses;
    p.lines.pause_count = 1;
    p.lines.shifts = "";
    v.profile = &p;
    assert_ok(dayline_read(&v, (int32_t)house_day(&h) + AHEAD, &d));
    const int first = d.sequence->order[0], second = d.sequence->order[1];
    const struct day_run *runs = d.sequence->runs;
    const int stages = d.problem.stage_count;
    assert_int_equal(d.problem.jobs[first].minutes[0], 20);
    assert_int_equal(runs[first * stages].start, 24 * 60 - 5);
    assert_int_equal(runs[first * stages].end, 2 * 24 * 60 + 5);
    assert_int_equal(runs[second * stages].start, 3 * 24 * 60 - 5);
    /* and what is shown of them is what the work meets */
    json_t *o;
    assert_ok(view_dayline(&v, (int32_t)house_day(&h) + AHEAD, &o));
    assert_int_equal(json_array_size(at_key(o, "pauses")), 3);
    json_decref(o);
    house_close(&h);
}

static const struct day_change *change(const struct dayline *d, int stage, int from, int to)
{
    return &d->problem.stages[stage].changes[from * d->problem.family_count + to];
}

/* Wash: 30 min of cleaning, 45 where soy is left behind; the pack line has a row of its own for
 * that. */
static void an_allergen_left_behind_takes_the_longer_clean(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    dayline_plan(&h);
    dayline_of(&h, AHEAD, &d);
    int soy = d.problem.jobs[dayline_job_at(&d, "C1")].family,
        mung = d.problem.jobs[dayline_job_at(&d, "C2")].family;
    assert_int_equal(d.problem.family_count, 2);
    assert_string_equal(d.families[soy].allergens, "soy");
    assert_int_equal(d.families[soy].colour, 3);
    assert_int_equal(change(&d, 1, mung, soy)->clean_min, 30);
    assert_int_equal(change(&d, 1, soy, mung)->clean_min, 45);
    assert_int_equal(change(&d, 1, mung, mung)->clean_min, 0);
    assert_int_equal(change(&d, 5, soy, mung)->clean_min, 60);
    assert_int_equal(change(&d, 5, soy, mung)->change_min, 15);
    assert_int_equal(change(&d, 0, soy, mung)->clean_min, 0);
    house_close(&h);
}

/* Until it is cleaned. */
static void what_stood_on_a_line_last_is_seen(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "9 d");
    house_pack(&h, lot);
    dayline_of(&h, 0, &d);
    int family = d.problem.stages[5].machines[0].family;
    assert_true(family >= 0);
    assert_string_equal(d.families[family].family, "mung");
    assert_int_equal(d.problem.stages[0].machines[0].family, DAY_CLEANED);
    house_wait(&h, "10 min");
    house_take(&h,
               "{'kind':'clean','place':'PACK','start':'%s','end':'%s','agent':'chlorine',"
               "'strength':'150 mg/L','contact':'120 s','rinsed':true,'inspected':'pass',"
               "'person':7}",
               civil_text(&h.arena, h.fixed.now_ms - 300000, 0),
               civil_text(&h.arena, h.fixed.now_ms, 0));
    house_wait(&h, "1 min");
    dayline_of(&h, 0, &d);
    assert_int_equal(d.problem.stages[5].machines[0].family, DAY_CLEANED);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(places_are_those_of_the_record),
        cmocka_unit_test(pauses_are_breaks_and_shifts_off),
        cmocka_unit_test(pauses_that_meet_become_one),
        cmocka_unit_test(work_past_the_end_pauses_on_the_next_day_too),
        cmocka_unit_test(an_allergen_left_behind_takes_the_longer_clean),
        cmocka_unit_test(what_stood_on_a_line_last_is_seen),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
