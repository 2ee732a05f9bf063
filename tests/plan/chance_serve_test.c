#include "instance.h"
#include "plan/chance_inner.h"
#include "support.h"

/* A bowl of 0.3 kg of one crop with 0.2 kg of another, stock and running lots alone, nothing left
 * to chance. */
struct scene {
    struct handmade h;
    struct plan_crop crops[2];
    struct plan_product products[2];
    struct plan_with with;
    struct chance_crop luck[2];
    struct chance chance;
};

static void scene_init(struct scene *s)
{
    *s = (struct scene){.luck = {{.yield_mean = 1}, {.yield_mean = 1}}};
    handmade_init(&s->h);
    s->crops[0] = s->crops[1] = s->h.crop;
    s->with = (struct plan_with){1, 0.2};
    s->products[0] = (struct plan_product){"bowl", 0, 0.6, 3, 0.3, &s->with, 1};
    s->products[1] = (struct plan_product){"pack", 1, 1, 3, 0, NULL, 0};
    s->h.p.crops = s->crops;
    s->h.p.products = s->products;
    s->h.p.crop_count = s->h.p.product_count = 2;
    for (int i = 0; i < 2; i++)
        s->h.running[i] = (struct plan_running){.lot = i == 0 ? "own" : "with",
                                                .chamber = i,
                                                .crop = i,
                                                .harvest_day = 2,
                                                .packed_kg = 30,
                                                .markets = 1,
                                                .ready_day = s->h.ready_day};
    s->h.p.running_count = 2;
}

/* Share of the first line that is met. */
static double met(struct arena *a, struct scene *s)
{
    struct chance_model model = {s->luck, 0, 7, 2};
    struct result r = plan_problem_check(&s->h.p);
    if (r.code == CODE_OK) r = chance_of(a, &s->h.p, NULL, 0, &model, &s->chance);
    if (r.code != CODE_OK) fail_msg("%s", result_sentence(a, &r));
    return s->chance.lines[0].share;
}

static void a_dish_is_met_as_far_as_all_its_crops_go(void **state)
{
    struct scene s;
    scene_init(&s);
    handmade_want(&s.h, 3, 100); /* 30 kg of its own crop, 20 kg of the other */
    assert_close(met(*state, &s), 1, 1e-9);
    /* 10 kg of the other are left and wasted; both were kept for a day */
    assert_close(s.chance.waste_kg.mean, 10, 1e-9);
    assert_close(s.chance.cost.mean, 10 * 0.5 + 50 * 0.1, 1e-9);
    s.h.running[1].packed_kg = 10;
    assert_close(met(*state, &s), 0.5, 1e-9);
    assert_close(s.chance.short_kg.mean, 15, 1e-9);
    s.h.running[1].packed_kg = 30;
    s.h.running[0].packed_kg = 12;
    assert_close(met(*state, &s), 0.4, 1e-9);
}

static void the_others_must_be_there_when_it_is_packed(void **state)
{
    struct scene s;
    scene_init(&s);
    handmade_want(&s.h, 4, 100);
    s.h.running[1].harvest_day = 3; /* a day after its own crop */
    assert_close(met(*state, &s), 0, 0);
    s.h.running[1].harvest_day = 2;
    s.h.running[0].harvest_day = 3; /* they wait for it */
    assert_close(met(*state, &s), 1, 1e-9);
    s.products[0].life_days = 2; /* but not for ever */
    assert_close(met(*state, &s), 0, 0);
}

static void what_is_packed_takes_nothing_more(void **state)
{
    struct scene s;
    scene_init(&s);
    s.h.p.running_count = 0;
    s.h.p.stock_count = 2;
    s.h.stock[0] = (struct plan_stock){"bowls", 0, 0, -1, 15, 1, s.h.ready_day, NULL, NULL, NULL};
    s.h.stock[1] = (struct plan_stock){"packs", 1, 1, -1, 20, 1, s.h.ready_day, NULL, NULL, NULL};
    handmade_want(&s.h, 1, 100);
    assert_close(met(*state, &s), 0.5, 1e-9);
    /* nor are packs of the other crop opened for it */
    s.h.stock[0].product = PLAN_NONE;
    assert_close(met(*state, &s), 0, 0);
    s.h.stock[1].product = PLAN_NONE;
    assert_close(met(*state, &s), 0.5, 1e-9);
}

/* The day washes all crops that go into it. */
static void a_day_washes_all_of_them(void **state)
{
    struct scene s;
    scene_init(&s);
    handmade_want(&s.h, 3, 100);
    s.h.days[2].wash_bed_kg = 50 * 1.25 / 2;
    assert_close(met(*state, &s), 0.5, 1e-9);
    /* and packs what the pieces weigh */
    s.h.days[2].wash_bed_kg = INFINITY;
    s.h.days[2].pack_kg = 24;
    assert_close(met(*state, &s), 0.4, 1e-9);
}

/* Together, when the last of them is there; each as young as it must be then. */
static void late_all_of_it_leaves_together(void **state)
{
    struct scene s;
    scene_init(&s);
    int later[PLAN_MARKETS_MAX] = {4};
    handmade_want(&s.h, 3, 100);
    s.h.running[1].ready_day = later;
    assert_close(met(*state, &s), 0, 0);
    assert_close(s.chance.lines[0].late_share, 0, 0);
    s.h.group.late_days = 1;
    s.h.group.late_cost_per_kg_day = 0.3;
    assert_close(met(*state, &s), 0, 0);
    assert_close(s.chance.lines[0].late_share, 1, 1e-9);
    assert_close(s.chance.late_kg.mean, 30, 1e-9);
    /* both kept for two days, and its own crop late */
    assert_close(s.chance.cost.mean, 10 * 0.5 + 50 * 2 * 0.1 + 30 * 0.3, 1e-9);
    /* the other crop is too old a day later, though not on the line's own */
    s.h.group.remaining_days = 1;
    s.products[0].life_days = 3;
    s.h.running[1].harvest_day = 1;
    later[0] = 3;
    assert_close(met(*state, &s), 1, 1e-9);
    later[0] = 4;
    assert_close(met(*state, &s), 0, 0);
    assert_close(s.chance.lines[0].late_share, 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(a_dish_is_met_as_far_as_all_its_crops_go),
        EACH(the_others_must_be_there_when_it_is_packed),
        EACH(what_is_packed_takes_nothing_more),
        EACH(a_day_washes_all_of_them),
        EACH(late_all_of_it_leaves_together),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_chance_serve", tests, NULL, NULL);
}
