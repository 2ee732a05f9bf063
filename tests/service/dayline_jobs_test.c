/* What of the record becomes a job of the day. */
#include "dayline_support.h"

/* 100 kg of mung in C2; ready 215.26 h after it was started: on the ninth day (computed here:
 * 10 h and 1950 / 9.5 h). */
static const char *grown(struct house *h, int *out_days)
{
    const char *lot = house_grow(h, "C2", "100 kg");
    double ready_h = (double)h->fixed.now_ms / HOUR_MS + 10 + 1950.0 / 9.5;
    int32_t day = (int32_t)((ready_h + 18) / 24); /* harvests are at six */
    *out_days = day - (int32_t)house_day(h);
    return lot;
}

static void a_chamber_belongs_to_the_day_it_is_ready_on(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    int days;
    dayline_open(&h);
    const char *lot = grown(&h, &days);
    dayline_of(&h, days, &d);
    assert_int_equal(d.job_count, 1);
    assert_string_equal(d.jobs[0].chamber, "C2");
    assert_string_equal(d.jobs[0].lot, lot);
    assert_int_equal(d.jobs[0].mg, INT64_C(800000000));
    assert_true(d.jobs[0].packed_kg > 500 && d.jobs[0].packed_kg < 800);
    dayline_of(&h, days - 1, &d);
    assert_int_equal(d.job_count, 0);
    dayline_of(&h, days + 1, &d);
    assert_int_equal(d.job_count, 0);
    /* what nobody harvested then is a job of today until it is */
    house_wait(&h, "12 d");
    dayline_of(&h, 0, &d);
    assert_int_equal(d.job_count, 1);
    dayline_of(&h, 1, &d);
    assert_int_equal(d.job_count, 0);
    house_close(&h);
}

static void what_is_held_goes_with_no_truck(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    int days;
    dayline_open(&h);
    const char *lot = grown(&h, &days);
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use','release'],"
               "'needs':'decision','reason':'smell'}",
               lot);
    dayline_order(&h, "1", "COTYLEDON", "MUNG250", days + 1, 400);
    dayline_of(&h, days, &d);
    assert_true(d.jobs[0].is_held);
    assert_int_equal(d.problem.need_count, 0);
    house_close(&h);
}

/* Harvested and washed by the record: these stay, the rest follows from now on. */
static void what_has_begun_stays_as_it_was_told(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "9 d");
    int64_t harvested_ms = h.fixed.now_ms;
    house_take(&h,
               "{'kind':'harvest','lot':'%s','share':'rest','mass':'790 kg','instrument':"
               "'SCALE','place':'WASH'}",
               lot);
    const char *out = house_answer(&h, "lot");
    house_wait(&h, "30 min");
    const char *from = civil_text(&h.arena, h.fixed.now_ms - 20 * 60000, 0);
    house_take(&h,
               "{'kind':'wash','place':'WASH','start':'%s','inputs':[{'lot':'%s'}],"
               "'outputs':[{'role':'main','mass':'760 kg','instrument':'SCALE'},"
               "{'role':'hulls','mass':'40 kg','instrument':'SCALE'}]}",
               from, out);
    dayline_of(&h, 0, &d);
    assert_int_equal(d.job_count, 1);
    assert_true(d.jobs[0].is_harvested);
    assert_int_equal(d.jobs[0].mg, INT64_C(790000000));
    const struct day_run *harvest = dayline_run(&d, "C2", "harvest"),
                         *wash = dayline_run(&d, "C2", "wash"),
                         *trim = dayline_run(&d, "C2", "trim");
    assert_true(harvest->is_begun && wash->is_begun && !trim->is_begun);
    assert_true(dayline_ms(&d, harvest->start) == harvested_ms);
    assert_int_equal(wash->end - wash->start, 20);
    assert_int_equal(wash->end, d.problem.now_min);
    assert_true(trim->start >= d.problem.now_min);
    house_close(&h);
}

/* The profile works one wash line at once; what was told at another stands on a row of its own, and
 * what follows goes on the first. */
static void a_run_told_at_another_line_stands_there(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    house_take(&h, "{'kind':'place','code':'WASH2','place_kind':'wash-line'}");
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_grow(&h, "C3", "100 kg");
    house_wait(&h, "9 d");
    house_take(&h,
               "{'kind':'harvest','lot':'%s','share':'rest','mass':'790 kg','instrument':"
               "'SCALE','place':'WASH2'}",
               lot);
    const char *out = house_answer(&h, "lot");
    house_wait(&h, "30 min");
    house_take(&h,
               "{'kind':'wash','place':'WASH2','inputs':[{'lot':'%s'}],"
               "'outputs':[{'role':'main','mass':'760 kg','instrument':'SCALE'},"
               "{'role':'hulls','mass':'40 kg','instrument':'SCALE'}]}",
               out);
    dayline_of(&h, 0, &d);
    const struct day_run *here = dayline_run(&d, "C2", "wash"),
                         *next = dayline_run(&d, "C3", "wash");
    assert_true(here->is_begun);
    assert_string_equal(d.places[1][here->machine], "WASH2");
    assert_string_equal(d.places[1][next->machine], "WASH");
    assert_true(next->start < DAY_MINUTES_MAX);
    house_close(&h);
}

/* A packed lot is stock: its chamber is through, and gives no truck anything twice. */
static void what_is_packed_is_through(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "9 d");
    house_pack(&h, lot);
    dayline_of(&h, 0, &d);
    assert_int_equal(d.job_count, 1);
    assert_true(dayline_run(&d, "C2", "pack")->is_begun);
    assert_true(d.jobs[0].packed_kg == 0);
    for (int k = 0; k < d.problem.stage_count; k++) {
        const struct day_run *run = &d.sequence->runs[k];
        assert_true(run->start == DAY_NOT_BEGUN || run->is_begun);
    }
    house_close(&h);
}

static void planned_starts_come_when_they_are_ripe(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    dayline_plan(&h);
    dayline_of(&h, AHEAD, &d);
    assert_int_equal(d.job_count, 3);
    assert_null(d.jobs[0].lot);
    dayline_of(&h, AHEAD - 1, &d);
    assert_int_equal(d.job_count, 0);
    /* soaked by now: the chamber itself says when it is ready */
    house_grow(&h, "C2", "100 kg");
    dayline_of(&h, AHEAD, &d);
    assert_int_equal(d.job_count, 2);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_chamber_belongs_to_the_day_it_is_ready_on),
        cmocka_unit_test(what_is_held_goes_with_no_truck),
        cmocka_unit_test(what_has_begun_stays_as_it_was_told),
        cmocka_unit_test(a_run_told_at_another_line_stands_there),
        cmocka_unit_test(what_is_packed_is_through),
        cmocka_unit_test(planned_starts_come_when_they_are_ripe),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
