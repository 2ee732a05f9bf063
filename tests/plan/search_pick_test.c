/* Which moves the search looks at: each is one that can be, and of two crops that are packed
 * together every kind comes up. */
#include "untied.h"

#include <stdlib.h>

#include "plan/construct.h"
#include "plan/search_pick.h"

enum { PICKS = 20000 };

static bool is_option(const struct search *s, int option)
{
    return option == PLAN_NONE || (option >= 0 && option < s->f->option_count);
}

static void check_move(const struct search *s, struct search_move m)
{
    assert_true(is_option(s, m.from) && is_option(s, m.to));
    assert_true(m.from == PLAN_NONE || (s->counts[m.from] > 0 && m.from != m.to));
    assert_int_equal(m.leaves == PLAN_NONE, m.enters == PLAN_NONE);
    if (m.enters != PLAN_NONE) {
        int running = s->f->choices[m.enters].running;
        assert_int_equal(s->f->choices[m.leaves].running, running);
        assert_int_equal(m.leaves, s->f->first_choice[running] + s->choices[running]);
    }
}

static void one_chamber_or_one_choice(void **state)
{
    struct plan_frame *f = plan_frame_make(*state, instance_make(*state, 9, &instance_choices));
    struct search *s = untied_search(*state, f, 9, 2000);
    int added = 0, dropped = 0, moved = 0, chosen = 0;
    for (int i = 0; i < PICKS; i++) {
        struct search_move m = search_pick_move(s);
        check_move(s, m);
        chosen += m.enters != PLAN_NONE;
        added += m.enters == PLAN_NONE && m.from == PLAN_NONE && m.to != PLAN_NONE;
        dropped += m.enters == PLAN_NONE && m.from != PLAN_NONE && m.to == PLAN_NONE;
        moved += m.enters == PLAN_NONE && m.from != PLAN_NONE && m.to != PLAN_NONE;
    }
    assert_true(added > PICKS / 100 && dropped > PICKS / 100 && moved > PICKS / 100);
    assert_true(chosen > PICKS / 100);
    search_release(s);
}

static int day_of(const struct search *s, int option)
{
    return s->options[option].day;
}

static bool about_together(const struct search *s, int x, int y)
{
    return abs(s->options[x].harvest_day - s->options[y].harvest_day) <= 2;
}

/* One more of each, one less, both as many days on, each on the other's place. */
static void two_crops_that_are_packed_together(void **state)
{
    struct plan_frame *f = plan_frame_make(*state, instance_make(*state, 3, &instance_bowls));
    const struct plan *plan = plan_construct(*state, f);
    struct search_prices prices = search_prices_new(*state, f);
    struct search *s = search_new(*state, f, &prices, 3);
    search_start_from(s, plan->counts, plan->choices);
    int added = 0, dropped = 0, shifted = 0, exchanged = 0;
    assert_true(f->dish_count > 0 && s->started_count > 1);
    for (int i = 0; i < PICKS; i++) {
        struct search_move pair[2];
        int n = search_pick_pair(s, pair);
        check_move(s, pair[0]);
        if (n == 1) continue;
        check_move(s, pair[1]);
        assert_int_equal(pair[0].from == PLAN_NONE, pair[1].from == PLAN_NONE);
        assert_int_equal(pair[0].to == PLAN_NONE, pair[1].to == PLAN_NONE);
        if (pair[0].from == PLAN_NONE || pair[0].to == PLAN_NONE) {
            bool adds = pair[0].from == PLAN_NONE;
            int x = adds ? pair[0].to : pair[0].from, y = adds ? pair[1].to : pair[1].from;
            assert_true(s->options[x].flow != s->options[y].flow && about_together(s, x, y));
            *(adds ? &added : &dropped) += 1;
            continue;
        }
        int was = s->options[pair[0].from].flow, is = s->options[pair[0].to].flow;
        if (was == is) {
            assert_true(s->options[pair[1].from].flow != was);
            assert_int_equal(s->options[pair[1].to].flow, s->options[pair[1].from].flow);
            assert_int_equal(day_of(s, pair[1].to) - day_of(s, pair[1].from),
                             day_of(s, pair[0].to) - day_of(s, pair[0].from));
            assert_true(about_together(s, pair[0].from, pair[1].from));
            shifted++;
        } else {
            assert_int_equal(s->options[pair[1].from].flow, is);
            assert_int_equal(s->options[pair[1].to].flow, was);
            assert_true(about_together(s, pair[0].from, pair[1].to));
            assert_true(about_together(s, pair[0].to, pair[1].from));
            exchanged++;
        }
    }
    assert_true(added > 50 && dropped > 50 && shifted > 50 && exchanged > 50);
    search_release(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(one_chamber_or_one_choice),
        EACH(two_crops_that_are_packed_together),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_search_pick", tests, NULL, NULL);
}
