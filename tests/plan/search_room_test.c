/* What the search counts, counted anew. */
#include "untied.h"

/* Counted anew from the counts, whatever the search believes. */
static void limits_hold(const struct search *s)
{
    const struct plan_frame *f = s->f;
    const struct plan_problem *p = f->p;
    for (int q = 0; q < f->pool_count; q++)
        for (int d = 0; d < f->span_days; d++) {
            int busy = f->busy_fixed[q * f->span_days + d];
            for (int o = 0; o < f->option_count; o++) {
                const struct plan_option *x = &f->options[o];
                if (x->pool == q && x->day <= d && d < x->last_day + p->cleaning_days)
                    busy += s->counts[o];
            }
            int usable = 0;
            for (int i = 0; i < f->pools[q].chamber_count; i++) {
                int c = f->pools[q].chambers[i];
                bool out = d < plan_chamber_free_day(p, c, s->choices);
                for (int o = 0; o < p->chambers[c].outage_count; o++)
                    out = out || (p->chambers[c].outages[o].from_day <= d &&
                                  d <= p->chambers[c].outages[o].to_day);
                usable += !out;
            }
            assert_true(busy <= usable || busy == 0);
        }
    for (int d = 0; d < p->day_count; d++) {
        int starts = 0, harvests = 0, told = 0;
        double seed_kg = 0;
        for (int o = 0; o < f->option_count; o++) {
            starts += f->options[o].day == d ? s->counts[o] : 0;
            for (int k = 0; k < f->options[o].harvest_count; k++)
                harvests += f->options[o].harvests[k].day == d ? s->counts[o] : 0;
            seed_kg += f->options[o].day == d ? s->counts[o] * f->options[o].seed_min_kg : 0;
        }
        for (int i = 0; i < p->running_count; i++) {
            harvests += plan_running_day(&p->running[i], s->choices[i]) == d;
            told += plan_running_day(&p->running[i], p->running[i].told) == d;
        }
        for (int i = 0; i < f->fixed_count; i++)
            for (int k = 0; k < f->fixed[i].harvest_count; k++) {
                harvests += f->fixed[i].harvests[k].day == d;
                told += f->fixed[i].harvests[k].day == d;
            }
        if (starts > 0) assert_true(starts <= p->days[d].starts_max);
        if (starts > 0) assert_true(seed_kg <= p->days[d].treat_seed_kg + 1e-6);
        assert_true(harvests <= p->days[d].harvests_max || harvests <= told);
    }
}

static void counts_keep_every_limit(void **state)
{
    for (uint64_t seed = 1; seed <= 14; seed++) {
        struct plan_frame *f = plan_frame_make(
            *state, instance_make(*state, seed, seed <= 8 ? &instance_small : &instance_choices));
        struct search *s = untied_search(*state, f, seed, 2000);
        assert_true(s->tried > 100);
        limits_hold(s);
        search_start_from(s, s->best_counts, s->best_choices);
        assert_memory_equal(s->counts, s->best_counts, (size_t)f->option_count * sizeof *s->counts);
        assert_memory_equal(s->choices, s->best_choices,
                            (size_t)f->p->running_count * sizeof *s->choices);
        assert_close(s->cost, s->best_cost, 1e-6);
        search_release(s);
        arena_clear(*state);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(counts_keep_every_limit),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_search_room", tests, NULL, NULL);
}
