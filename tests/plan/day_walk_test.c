/* A day played through: by hand, and by chance against the rules. */
#include "support.h"

#include "day_support.h"

/* Two chambers of mung and one of soy over harvest, wash, cooling and packing. */
struct house {
    struct day_stage stages[4];
    struct day_job jobs[3];
    struct day_change changes[4];
    struct day_truck trucks[2];
    struct day_need needs[3];
    struct day_span pauses[1];
    struct day_problem p;
};

static void house(struct house *h)
{
    static const int minutes[4] = {30, 20, 45, 40};
    *h = (struct house){.trucks = {{"first", 300, 15, 2}, {"second", 400, 0, 1}},
                        .needs = {{0, 0}, {1, 1}, {2, 1}},
                        .pauses = {{0, 60}}};
    h->changes[1] = (struct day_change){10, 5}; /* mung to soy */
    h->changes[2] = (struct day_change){40, 5}; /* back: an allergen is left behind */
    for (int k = 0; k < 4; k++) {
        h->stages[k] = (struct day_stage){.code = "stage",
                                          .machine_count = 1,
                                          .is_staffed = true,
                                          .overlap_min = DAY_APART,
                                          .wait_max = DAY_NO_LIMIT,
                                          .changes = h->changes};
        h->stages[k].machines[0].family = DAY_CLEANED;
    }
    h->stages[0].changes = NULL;
    h->stages[2].machine_count = 0;
    h->stages[2].is_staffed = false;
    for (int j = 0; j < 3; j++) {
        h->jobs[j] = (struct day_job){.code = "chamber", .family = j == 2};
        memcpy(h->jobs[j].minutes, minutes, sizeof minutes);
        for (int k = 0; k < 4; k++) {
            h->jobs[j].begun[k].start = DAY_NOT_BEGUN;
        }
    }
    h->p = (struct day_problem){.stages = h->stages,
                                .jobs = h->jobs,
                                .trucks = h->trucks,
                                .needs = h->needs,
                                .pauses = h->pauses,
                                .stage_count = 4,
                                .job_count = 3,
                                .truck_count = 2,
                                .need_count = 3,
                                .pause_count = 1,
                                .family_count = 2};
}

static const struct day_run *run(const struct day_sequence *s, int job, int stage)
{
    return &s->runs[job * s->p->stage_count + stage];
}

static struct day_sequence *walked(struct arena *a, struct house *h, int first, int second)
{
    struct day_sequence *s = day_sequence_new(a, &h->p);
    assert_int_equal(day_check(&h->p).code, CODE_OK);
    s->order[0] = first;
    s->order[1] = second;
    s->order[2] = 3 - first - second;
    day_walk(s, h->p.job_count);
    day_feasible(s);
    return s;
}

/* All figures computed here, by hand. */
static void a_day_by_hand(void **state)
{
    struct house h;
    house(&h);
    struct day_sequence *s = walked(*state, &h, 0, 1);
    /* nobody works before minute 60 */
    assert_int_equal(run(s, 0, 0)->start, 60);
    assert_int_equal(run(s, 0, 1)->start, 90);
    assert_int_equal(run(s, 0, 2)->start, 110); /* cold room at once */
    assert_int_equal(run(s, 0, 3)->start, 155);
    assert_int_equal(run(s, 0, 3)->end, 195);
    assert_int_equal(run(s, 1, 3)->start, 195); /* cooled at 185, the line is free at 195 */
    assert_int_equal(run(s, 1, 3)->cause, DAY_BY_MACHINE);
    /* soy: washed 150..170 needs 15 min from 140 on: 155..175; cooled 220; packed after 235 and 15
     */
    assert_int_equal(run(s, 2, 1)->setup_start, 140);
    assert_int_equal(run(s, 2, 1)->clean_end, 150);
    assert_int_equal(run(s, 2, 1)->start, 155);
    assert_int_equal(run(s, 2, 3)->start, 250);
    assert_int_equal(s->ready[0], 210);
    assert_int_equal(s->ready[1], 290);
    assert_int_equal(s->score.setup_min, 30);
    assert_int_equal(s->score.end_min, 290);
    assert_true(s->score.late == 0);
}

static void soy_in_between_costs_the_long_clean(void **state)
{
    struct house h;
    house(&h);
    struct day_sequence *s = walked(*state, &h, 0, 2);
    assert_int_equal(s->score.setup_min, 2 * (15 + 45));
}

static void what_has_begun_stays(void **state)
{
    struct house h;
    house(&h);
    h.p.now_min = 130;
    h.jobs[1].begun[0] = (struct day_begun){.start = 70, .end = 95};
    h.jobs[1].begun[1] = (struct day_begun){.start = 100, .end = DAY_GOES_ON};
    h.stages[1].machines[0].family = 0;
    struct day_sequence *s = walked(*state, &h, 1, 0);
    assert_int_equal(run(s, 1, 0)->end, 95);
    assert_int_equal(run(s, 1, 1)->end, 130); /* its 20 minutes are over, and it still goes on */
    assert_int_equal(run(s, 0, 0)->start, 130);
    assert_int_equal(run(s, 1, 2)->start, 130);
}

/* The wash may not be long before the packing: it waits at the chamber instead. */
static void it_is_held_back_rather_than_left_to_wait(void **state)
{
    struct house h;
    house(&h);
    h.jobs[0].minutes[3] = 100;
    h.stages[3].wait_max = 10;
    struct day_sequence *s = walked(*state, &h, 0, 1);
    assert_int_equal(s->score.over_min, 0);
    assert_int_equal(run(s, 1, 3)->start, 255);
    assert_int_equal(run(s, 1, 2)->end, 245);
    assert_int_equal(run(s, 1, 0)->cause, DAY_BY_HOLDING);
    /* begun already: it waits, and that is said */
    house(&h);
    h.jobs[0].minutes[3] = 100;
    h.stages[3].wait_max = 10;
    h.p.now_min = 240;
    h.jobs[1].begun[0] = (struct day_begun){.start = 60, .end = 90};
    h.jobs[1].begun[1] = (struct day_begun){.start = 90, .end = 110};
    h.jobs[1].begun[2] = (struct day_begun){.start = 110, .end = 155};
    /* the first, not begun, is washed, cooled and packed 335..435: the second was cool at 155 */
    s = walked(*state, &h, 1, 0);
    assert_int_equal(run(s, 1, 3)->start, 240);
    assert_int_equal(s->score.over_min, 240 - 155 - 10);
}

static void rules_hold_on_days_by_chance(void **state)
{
    struct random r;
    random_seed(&r, 7);
    for (int i = 0; i < 400; i++) {
        struct day_kind kind = {.jobs = 1 + i % 9,
                                .stages = 1 + i % 5,
                                .trucks = i % 4,
                                .machines = i % 2 == 0,
                                .families = i % 3 != 0,
                                .pauses = i % 5 != 0,
                                .overlaps = i % 7 == 0,
                                .limits = i % 4 == 1,
                                .begun = i % 6 == 5};
        struct day_problem *p = day_random(*state, &r, &kind);
        p->blocks = NULL; /* in the order of their numbers, whatever their families */
        struct day_sequence *s = day_sequence_new(*state, p);
        day_walk(s, p->job_count);
        day_feasible(s);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(a_day_by_hand),
        EACH(soy_in_between_costs_the_long_clean),
        EACH(it_is_held_back_rather_than_left_to_wait),
        EACH(rules_hold_on_days_by_chance),
        EACH(what_has_begun_stays),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
