#include "instance.h"
#include "support.h"

#include "base/words.h"
#include "plan/margin.h"

static struct plan_margin margin_one(struct arena *a, struct handmade *h, int64_t *pieces,
                                     struct plan_outcome *x)
{
    struct plan_margin *list;
    struct plan_short_margin *of;
    plan_of(a, &h->p, NULL, x);
    assert_true(x->short_count >= 1);
    assert_int_equal(plan_margins(a, &h->p, x->shorts, x->short_count, 10, &list, &of), 1);
    assert_int_equal(of[0].margin, 0);
    *pieces = of[0].pieces;
    return list[0];
}

/* One start brings at most 100 kg, two chambers 200. */
static void one_more_chamber_gives_what_it_can_hold(void **state)
{
    struct handmade h;
    struct plan_outcome x;
    int64_t pieces;
    handmade_init(&h);
    h.product.life_days = 1;
    handmade_want(&h, 5, 280);
    struct plan_margin m = margin_one(*state, &h, &pieces, &x);
    assert_int_equal(m.limit, PLAN_LIMIT_CHAMBERS);
    assert_int_equal(pieces, 80);
    assert_close(m.gained_kg, 80, 1e-9);
    assert_close(m.units, 10, 1e-9); /* ten days */
    assert_string_equal(plan_margin_sentence(*state, "en", &h.p, &m, pieces),
                        "One more chamber would give 80 more pieces of it and 80 kg more packed in "
                        "all, 8 kg a chamber-day.");
    h.p.chamber_count = 3; /* and the chamber does give it */
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.short_count, 0);
}

static void a_kilogram_of_seed_gives_its_yield(void **state)
{
    struct handmade h;
    struct plan_outcome x;
    int64_t pieces;
    handmade_init(&h);
    handmade_want(&h, 6, 90);
    h.lots[0].kg = 10;
    struct plan_margin m = margin_one(*state, &h, &pieces, &x);
    assert_int_equal(m.limit, PLAN_LIMIT_SEED);
    assert_close(m.step, 10, 1e-9); /* the least filling */
    assert_int_equal(pieces, 40);
    assert_close(m.gained_kg / m.units, 4, 1e-9);
}

/* A chamber harvested in parts is filled to the top: less seed than that would give nothing. */
static void seed_for_parts_is_a_full_chamber(void **state)
{
    static const struct plan_part parts[2] = {{0, 0.4, 1}, {1, 0.6, 1}};
    struct handmade h;
    struct plan_outcome x;
    int64_t pieces;
    handmade_init(&h);
    h.ways[0].parts = parts;
    h.ways[0].part_count = 2;
    handmade_want(&h, 4, 80); /* the first part of a start of today is all that is in time */
    h.lots[0].kg = 20;
    struct plan_margin m = margin_one(*state, &h, &pieces, &x);
    assert_int_equal(m.limit, PLAN_LIMIT_SEED);
    assert_close(m.step, 20, 1e-9);
    assert_int_equal(pieces, 40);
    assert_close(m.gained_kg, 40, 1e-9);
}

/* A better plan than the one made at once is short of less: no more than that is gained. */
static void no_more_is_gained_than_is_short(void **state)
{
    struct handmade h;
    struct plan_outcome x;
    struct plan_margin *list;
    struct plan_short_margin *of;
    handmade_init(&h);
    h.product.life_days = 1;
    handmade_want(&h, 5, 280);
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.short_count, 1);
    x.shorts[0].pieces = 30;
    assert_int_equal(plan_margins(*state, &h.p, x.shorts, 1, 10, &list, &of), 1);
    assert_int_equal(of[0].pieces, 30);
    assert_close(list[0].gained_kg, 80, 1e-9);
}

static void approval_is_worth_what_waits_for_it(void **state)
{
    struct handmade h;
    struct plan_outcome x;
    int64_t pieces;
    handmade_init(&h);
    handmade_want(&h, 6, 90);
    h.lots[0].markets = 0;
    struct plan_margin m = margin_one(*state, &h, &pieces, &x);
    assert_int_equal(m.limit, PLAN_LIMIT_APPROVAL);
    assert_close(m.step, 1000, 1e-9);
    assert_int_equal(pieces, 90);
    assert_string_equal(plan_margin_sentence(*state, "en", &h.p, &m, pieces),
                        "Approval of the 1000 kg of seed that are here would give 90 more pieces "
                        "of it and 90 kg more packed in all, 0.1 kg a kilogram of seed.");
}

/* Ten hours wash 100 kg: an hour more a day washes 10 kg, 8 kg packed, on the day where it binds.
 */
static void an_hour_of_washing(void **state)
{
    struct handmade h;
    struct plan_outcome x;
    int64_t pieces;
    handmade_init(&h);
    h.product.life_days = 1;
    handmade_want(&h, 6, 90);
    for (int d = 0; d < h.p.day_count; d++)
        h.days[d].wash_bed_kg = 100;
    struct plan_margin m = margin_one(*state, &h, &pieces, &x);
    assert_int_equal(m.limit, PLAN_LIMIT_WASHING);
    assert_close(m.step, 10, 1e-9);
    assert_int_equal(pieces, 8);
    assert_int_equal(m.from_day, m.to_day);
    assert_close(m.units, 1, 1e-9);
}

/* Half an hour of people packs 25 kg, an hour and a half 75: 50 more on the day where it binds. */
static void an_hour_of_people(void **state)
{
    struct handmade h;
    struct plan_outcome x;
    int64_t pieces;
    handmade_init(&h);
    h.product.life_days = 1;
    handmade_want(&h, 6, 90);
    h.p.work_count = 1;
    h.work.code = "hours of people";
    h.work_per_kg = 0.02;
    for (int d = 0; d < h.p.day_count; d++)
        h.work_limit[d] = 0.5;
    struct plan_margin m = margin_one(*state, &h, &pieces, &x);
    assert_int_equal(m.limit, PLAN_LIMIT_WORK);
    assert_close(m.step, 1, 1e-9);
    assert_close(m.units, 1, 1e-9);
    assert_int_equal(pieces, 50);
    assert_close(m.gained_kg, 50, 1e-9);
    const char *on = words_day(*state, "en", h.p.first_day + m.from_day);
    assert_string_equal(plan_margin_sentence(*state, "en", &h.p, &m, pieces),
                        arena_printf(*state,
                                     "1 more a day of hours of people on %s would give 50 more "
                                     "pieces of it and 50 kg more packed in all, 50 kg for each.",
                                     on));
    for (int d = 0; d < h.p.day_count; d++)
        h.work_limit[d] = 1.5; /* and the hour does give it */
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.shorts[0].pieces, 15);
}

/* A day of 450 kg of trimming gets 10 more, one of 4500 kg 100: what is given is spread over them.
 */
static void a_work_s_step_is_a_round_share_of_its_day(void **state)
{
    static const struct {
        double limit, per_kg, step;
    } cases[] = {{8, 0.2, 1}, {96, 2.4, 1}, {450, 11.25, 10}, {4500, 112.5, 100}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct handmade h;
        struct plan_outcome x;
        int64_t pieces;
        handmade_init(&h);
        h.product.life_days = 1;
        h.product.net_kg = 0.01;
        handmade_want(&h, 6, 9000);
        h.p.work_count = 1;
        h.work_per_kg = cases[i].per_kg;
        for (int d = 0; d < h.p.day_count; d++)
            h.work_limit[d] = cases[i].limit; /* 40 kg */
        struct plan_margin m = margin_one(*state, &h, &pieces, &x);
        assert_close(m.step, cases[i].step, 1e-9);
        assert_true(m.gained_kg > 0 && m.gained_kg <= cases[i].step / cases[i].per_kg + 0.01);
    }
}

/* Washing and people hold each other up: both are named. */
static void a_work_is_lifted_together_with_what_binds_beside_it(void **state)
{
    struct handmade h;
    struct plan_outcome x;
    int64_t pieces;
    handmade_init(&h);
    h.product.life_days = 1;
    handmade_want(&h, 6, 90);
    h.p.work_count = 1;
    h.work.code = "hours of people";
    h.work_per_kg = 0.02;
    for (int d = 0; d < h.p.day_count; d++) {
        h.work_limit[d] = 1;          /* 50 kg packed */
        h.days[d].wash_bed_kg = 62.5; /* of 50 kg packed */
    }
    struct plan_margin m = margin_one(*state, &h, &pieces, &x);
    assert_close(m.gained_kg, 0, 1e-9);
    assert_close(m.together_kg, 5, 1e-9); /* an hour of washing: 6.25 kg, 5 packed */
    const char *says = plan_margin_sentence(*state, "en", &h.p, &m, pieces);
    assert_non_null(strstr(says, "together with one more of"));
    assert_non_null(strstr(says, "hours of people"));
}

/* Washing and packing hold each other up: neither alone helps, both together do. */
static void limits_that_bind_together_are_lifted_together(void **state)
{
    struct handmade h;
    struct plan_outcome x;
    int64_t pieces;
    handmade_init(&h);
    h.product.life_days = 1;
    handmade_want(&h, 6, 90);
    for (int d = 0; d < h.p.day_count; d++) {
        h.days[d].wash_bed_kg = 100; /* 80 kg packed */
        h.days[d].pack_kg = 80;
    }
    struct plan_margin m = margin_one(*state, &h, &pieces, &x);
    assert_close(m.gained_kg, 0, 1e-9);
    assert_int_equal(pieces, 0);
    assert_close(m.together_kg, 8, 1e-9);
    const char *says = plan_margin_sentence(*state, "en", &h.p, &m, pieces);
    assert_non_null(strstr(says, "alone would give nothing more; together with one more of the "
                                 "hours of"));
}

/* 30 dishes lack a tenth of a kg of sesame each. */
static void what_lacks_of_an_ingredient(void **state)
{
    struct handmade h;
    struct plan_outcome x;
    int64_t pieces;
    handmade_init(&h);
    h.p.products = &h.products[1];
    h.p.ingredient_count = 1;
    h.ingredient_per_piece[0] = 0.1;
    h.ingredient.lot_count = 1;
    h.ingredient_lots[0] = (struct plan_ingredient_lot){17.5, -5, 90};
    handmade_want(&h, 6, 200);
    struct plan_margin m = margin_one(*state, &h, &pieces, &x);
    assert_int_equal(m.limit, PLAN_LIMIT_INGREDIENT);
    assert_close(m.step, 3, 1e-9); /* 2.5 kg, in whole kg */
    assert_int_equal(pieces, 25);
    assert_close(m.gained_kg, 12.5, 1e-9); /* of half a kg */
    assert_string_equal(plan_margin_sentence(*state, "en", &h.p, &m, pieces),
                        "3 kg more of sesame would give 25 more pieces of it and 12.5 kg more "
                        "packed in all, 4.2 kg a kilogram of it.");
    h.ingredient_lots[0].kg += 3;
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.short_count, 0);
}

static void what_no_step_can_help_has_none(void **state)
{
    struct handmade h;
    struct plan_outcome x;
    struct plan_margin *list;
    struct plan_short_margin *of;
    handmade_init(&h);
    handmade_want(&h, 3, 40); /* grows four days */
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(plan_margins(*state, &h.p, x.shorts, x.short_count, 10, &list, &of), 0);
    assert_int_equal(of[0].margin, PLAN_NONE);
}

/* The gain is that of planning the changed problem itself, whatever it is: on made-up problems the
 * margin of chambers agrees with a problem that has one more. */
static void gains_agree_with_the_changed_problem(void **state)
{
    int seen = 0;
    for (uint64_t seed = 1; seed <= 40; seed++) {
        struct plan_problem *p = instance_make(*state, seed, &instance_plain);
        struct plan_outcome x, y;
        struct plan_margin *list;
        struct plan_short_margin *of;
        plan_of(*state, p, NULL, &x);
        int count = plan_margins(*state, p, x.shorts, x.short_count, 10, &list, &of);
        for (int k = 0; k < count; k++) {
            assert_true(list[k].gained_kg >= 0);
            if (list[k].limit != PLAN_LIMIT_CHAMBERS) continue;
            struct plan_problem q = *p;
            struct plan_chamber chambers[10] = {{0}};
            memcpy(chambers, p->chambers, (size_t)p->chamber_count * sizeof *chambers);
            chambers[q.chamber_count++] = (struct plan_chamber){.code = "more"};
            q.chambers = chambers;
            plan_of(*state, &q, NULL, &y);
            double more = 0;
            for (int i = 0; i < p->line_count; i++)
                more += (double)(y.met_pieces[i] - x.met_pieces[i]) *
                        p->products[p->lines[i].product].net_kg;
            assert_close(list[k].gained_kg, fmax(0, more), 1e-9);
            seen++;
        }
    }
    assert_true(seen >= 5);
}

/* Two chambers bring 200 kg by day 5 and, harvested and cleaned, 200 more by day 9. */
static void the_rest_is_promised_for_a_later_day(void **state)
{
    struct handmade h;
    struct plan_outcome x;
    struct plan_promise *list;
    handmade_init(&h);
    h.product.life_days = 1;
    handmade_want(&h, 4, 250);
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(plan_promises(*state, &h.p, x.shorts, x.short_count, &list), 1);
    assert_int_equal(list[0].line, 0);
    assert_int_equal(list[0].pieces, 50);
    assert_int_equal(list[0].day, 9);
    h.lots[0].kg = 40; /* enough for the first, none for the rest */
    assert_int_equal(plan_promises(*state, &h.p, x.shorts, x.short_count, &list), 1);
    assert_int_equal(list[0].day, PLAN_NONE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(one_more_chamber_gives_what_it_can_hold),
        EACH(a_kilogram_of_seed_gives_its_yield),
        EACH(seed_for_parts_is_a_full_chamber),
        EACH(no_more_is_gained_than_is_short),
        EACH(approval_is_worth_what_waits_for_it),
        EACH(an_hour_of_washing),
        EACH(an_hour_of_people),
        EACH(a_work_s_step_is_a_round_share_of_its_day),
        EACH(a_work_is_lifted_together_with_what_binds_beside_it),
        EACH(limits_that_bind_together_are_lifted_together),
        EACH(what_lacks_of_an_ingredient),
        EACH(what_no_step_can_help_has_none),
        EACH(gains_agree_with_the_changed_problem),
        EACH(the_rest_is_promised_for_a_later_day),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
