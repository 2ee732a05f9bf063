/* Days on which the house is closed, in a planning problem: nothing is soaked, harvested, packed or
 * dispatched then, and what is wanted leaves on the open day before. */
#include "base/check.h"
#include "base/civil.h"
#include "base/words.h"
#include "ledger/closing.h"
#include "service/planning_inner.h"

static void close_day(struct plan_day *day, unsigned what)
{
    if ((what & CLOSES_SOAK) != 0) {
        day->treat_seed_kg = day->soak_seed_kg = 0;
        day->starts_max = 0;
    }
    if ((what & CLOSES_HARVEST) != 0) {
        day->harvest_bed_kg = day->wash_bed_kg = 0;
        day->harvests_max = 0;
    }
    if ((what & CLOSES_PACK) != 0) {
        day->pack_kg = 0;
    }
}

unsigned planning_closed(const struct reading *r, int day)
{
    return closing_of(r->profile, r->first_day + day);
}

void planning_read_closed(struct reading *r)
{
    struct plan_problem *o = &r->out->problem;
    bool *is_shut = ARENA_ARRAY(r->arena, bool, (size_t)o->day_count);
    struct planning_closed *closed =
        ARENA_ARRAY(r->arena, struct planning_closed, (size_t)o->day_count);
    for (int d = 0; d < o->day_count; d++) {
        const struct closing *why = closing_on(r->profile, r->first_day + d, ~0U);
        closed[d].what = planning_closed(r, d);
        closed[d].reason = why != NULL ? arena_copy(r->arena, why->reason) : NULL;
        is_shut[d] = (closed[d].what & CLOSES_DISPATCH) != 0;
    }
    o->is_shut = is_shut;
    r->out->closed = closed;
}

void planning_read_closing(struct reading *r, struct plan_day *days)
{
    planning_read_closed(r);
    for (int d = 0; d < r->out->problem.day_count; d++) {
        close_day(&days[d], r->out->closed[d].what);
    }
}

int planning_harvest_open(const struct reading *r, int day)
{
    while (day < r->out->problem.day_count &&
           (planning_closed(r, day) & (CLOSES_HARVEST | CLOSES_PACK)) != 0) {
        day++;
    }
    return day;
}

struct demand_holiday *planning_closed_days(const struct reading *r, int32_t from, int32_t to,
                                            const struct demand_holiday *others, int *inout_count)
{
    size_t room = (size_t)*inout_count + (size_t)(to - from + 1);
    struct demand_holiday *list = ARENA_ARRAY(r->arena, struct demand_holiday, room + 1);
    int count = 0;
    for (; count < *inout_count; count++) {
        list[count] = others[count];
    }
    for (int32_t day = from; day <= to; day++) {
        if ((closing_of(r->profile, day) & CLOSES_DISPATCH) != 0) {
            list[count++] = (struct demand_holiday){.day = day, .group = PLAN_NONE, .factor = 0};
        }
    }
    *inout_count = count;
    return list;
}

const char *planning_closed_what(struct arena *a, const char *lang, unsigned what)
{
    const char *text = "";
    for (unsigned bit = CLOSES_SOAK; bit <= CLOSES_DISPATCH; bit <<= 1) {
        if ((what & bit) == 0) {
            continue;
        }
        const char *word = words_of(a, lang, "closes.", closing_id((enum closes)bit), "");
        text = text[0] == '\0' ? word : arena_printf(a, "%s, %s", text, word);
    }
    return text;
}

json_t *planning_closed_json(struct arena *a, const char *lang, int32_t day, unsigned what,
                             const char *reason)
{
    if (what == 0) {
        return json_null();
    }
    json_t *list = json_array();
    for (unsigned bit = CLOSES_SOAK; bit <= CLOSES_DISPATCH; bit <<= 1) {
        if ((what & bit) != 0) {
            json_array_append_new(list, json_string(closing_id((enum closes)bit)));
        }
    }
    json_t *o = json_pack("{s:o,s:s,s:s}", "what", list, "reason", reason, "sentence",
                          WORDS(a, lang, "plan.closed", words_day(a, lang, day),
                                planning_closed_what(a, lang, what), reason));
    CHECK(o != NULL);
    return o;
}

const char *planning_wanted_day(const struct planning_case *c, struct arena *a, int line)
{
    const struct plan_line *x = &c->problem.lines[line];
    return x->moved_days > 0 ? day_text(a, c->problem.first_day + x->day + x->moved_days) : NULL;
}
