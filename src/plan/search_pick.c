#include "plan/search_pick.h"

enum { REACH_DAYS = 3, CHOICE_EVERY = 12 };
/* Two chambers: how far apart they are harvested, how long one is looked for. */
enum { PAIR_DAYS = 2, PAIR_TRIES = 8 };

static int pick(struct search *s, int n)
{
    return (int)random_below(&s->random, (uint64_t)n);
}

/* A running lot on another day; a start where the chamber is free then, or one less where it is
 * not. */
static struct search_move pick_choice(struct search *s)
{
    const struct plan_frame *f = s->f;
    const struct plan_problem *p = f->p;
    struct search_move m = SEARCH_NO_MOVE;
    int running = s->choosing[pick(s, s->choosing_count)];
    int first = f->first_choice[running], count = f->first_choice[running + 1] - first;
    int now = s->choices[running];
    m.leaves = first + now;
    m.enters = first + (now + 1 + pick(s, count - 1)) % count;
    int old_day = f->choices[m.leaves].day + p->cleaning_days;
    int new_day = f->choices[m.enters].day + p->cleaning_days;
    if (f->option_count == 0 || new_day == old_day || pick(s, 3) == 0) return m;
    if (new_day < old_day) {
        int day = new_day + pick(s, old_day - new_day), crop = pick(s, p->crop_count);
        if (day >= p->day_count) return m;
        int at = s->first_option[day * p->crop_count + crop];
        int room = s->first_option[day * p->crop_count + crop + 1] - at;
        if (room > 0) m.to = at + pick(s, room);
    } else if (s->started_count > 0) {
        int from = s->started[pick(s, s->started_count)];
        const struct search_option *o = &s->options[from];
        bool meets = o->pool == f->pool_of_chamber[p->running[running].chamber] &&
                     o->day < new_day && o->last_day + p->cleaning_days > old_day;
        if (meets) m.from = from;
    }
    return m;
}

struct search_move search_pick_move(struct search *s)
{
    const struct plan_frame *f = s->f;
    if (s->choosing_count > 0 && (f->option_count == 0 || pick(s, CHOICE_EVERY) == 0))
        return pick_choice(s);
    int kind = pick(s, 16), crops = f->p->crop_count;
    struct search_move m = SEARCH_NO_MOVE;
    if (kind < 3 || s->started_count == 0) {
        m.to = pick(s, f->option_count);
        return m;
    }
    m.from = s->started[pick(s, s->started_count)];
    if (kind < 5) return m;
    const struct search_option *o = &s->options[m.from];
    int day = o->day + pick(s, 2 * REACH_DAYS + 1) - REACH_DAYS;
    int crop = kind < 11 ? o->flow : pick(s, crops);
    if (day < 0 || day >= f->p->day_count) return m;
    int first = s->first_option[day * crops + crop];
    int room = s->first_option[day * crops + crop + 1] - first;
    if (room > 0) m.to = first + pick(s, room);
    if (m.to == m.from) m.to = PLAN_NONE;
    return m;
}

/* Chambers of two crops */

static int pick_option(struct search *s, int day, int crop)
{
    int crops = s->f->p->crop_count;
    if (day < 0 || day >= s->f->p->day_count) return PLAN_NONE;
    int first = s->first_option[day * crops + crop];
    int room = s->first_option[day * crops + crop + 1] - first;
    return room > 0 ? first + pick(s, room) : PLAN_NONE;
}

/* An option of the crop, or one with a chamber, that is harvested about when the given one is. */
static int pick_near(struct search *s, int option, int crop, bool is_started)
{
    const struct search_option *o = &s->options[option];
    for (int i = 0; i < PAIR_TRIES; i++) {
        int day = o->day + pick(s, 2 * REACH_DAYS + 1) - REACH_DAYS;
        int at = is_started ? s->started[pick(s, s->started_count)] : pick_option(s, day, crop);
        if (at == PLAN_NONE || s->options[at].flow != crop) continue;
        int apart = s->options[at].harvest_day - o->harvest_day;
        if (apart >= -PAIR_DAYS && apart <= PAIR_DAYS) return at;
    }
    return PLAN_NONE;
}

/* What goes with a chamber that is moved: one of the other crop by as many days, or, where the
 * chamber is given to the other crop, one of that to the first. */
static void pick_moved(struct search *s, struct search_move m, int other, struct search_move *with)
{
    const struct search_option *from = &s->options[m.from], *to = &s->options[m.to];
    bool is_shift = from->flow == to->flow;
    with->from = pick_near(s, is_shift ? m.from : m.to, other, true);
    if (with->from == PLAN_NONE) return;
    int day = s->options[with->from].day + to->day - from->day;
    with->to = is_shift ? pick_option(s, day, other) : pick_near(s, m.from, from->flow, false);
}

int search_pick_pair(struct search *s, struct search_move pair[2])
{
    const struct plan_frame *f = s->f;
    const struct plan_dish *dish = &f->dishes[pick(s, f->dish_count)];
    int with = f->cells[dish->first + pick(s, dish->count)].crop, own = f->cells[dish->own].crop;
    pair[0] = search_pick_move(s);
    pair[1] = SEARCH_NO_MOVE;
    int from = pair[0].from, to = pair[0].to, one = from != PLAN_NONE ? from : to;
    if (pair[0].enters != PLAN_NONE || one == PLAN_NONE) return 1;
    int crop = s->options[one].flow, other = crop == with ? own : with;
    if ((crop != own && crop != with) || crop == other) return 1;
    if (from != PLAN_NONE && to != PLAN_NONE) {
        bool is_within = s->options[to].flow == crop || s->options[to].flow == other;
        if (is_within) pick_moved(s, pair[0], other, &pair[1]);
        return pair[1].to != PLAN_NONE && pair[1].to != pair[1].from ? 2 : 1;
    }
    int at = pick_near(s, one, other, from != PLAN_NONE);
    *(from != PLAN_NONE ? &pair[1].from : &pair[1].to) = at;
    return at != PLAN_NONE ? 2 : 1;
}
