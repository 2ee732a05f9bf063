#include "service/planning_received_chance.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "base/words.h"
#include "service/planning_inner.h"
#include "service/planning_received_inner.h"
#include "service/planning_received_luck.h"

static json_int_t ppm(double share)
{
    return (json_int_t)llround(share * 1e6);
}

static const char *percent(struct arena *a, double share)
{
    return decimal_text(a, llround(share * 1000), 1, false);
}

static json_t *lines_json(const struct planning_received *c, const struct intake_chance *x,
                          struct arena *a, const char *lang)
{
    json_t *list = json_array();
    for (int i = 0; i < c->problem.line_count; i++) {
        const struct plan_line *l = &c->problem.lines[i];
        json_t *o = json_pack("{s:s?,s:s,s:s,s:s,s:I}", "order", planning_order(&c->demand, i),
                              "item", c->problem.products[l->product].code, "group",
                              planning_group_text(&c->demand, a, lang, l->group), "day",
                              planning_received_day(c, a, l->day), "pieces", (json_int_t)l->pieces);
        CHECK(o != NULL);
        planning_chance_say(o, &x->lines[i], 0, a, lang);
        json_array_append_new(list, o);
    }
    return list;
}

static json_t *days_json(const struct planning_received *c, const struct intake_chance *x,
                         struct arena *a, const char *lang)
{
    json_t *list = json_array();
    for (int d = 0; d < c->problem.day_count; d++) {
        bool is_wanted = false;
        for (int i = 0; i < c->problem.line_count; i++) {
            is_wanted =
                is_wanted || (c->problem.lines[i].day == d && c->problem.lines[i].pieces > 0);
        }
        if (is_wanted) {
            json_t *o = json_pack("{s:s}", "day", planning_received_day(c, a, d));
            CHECK(o != NULL);
            planning_chance_say(o, &x->days[d], 0, a, lang);
            json_array_append_new(list, o);
        }
    }
    return list;
}

static void learnt_add(json_t *list, const char *name, int seen, bool known, const char *sentence)
{
    json_t *o = json_pack("{s:s,s:i,s:b,s:s}", "name", name, "seen", seen, "known", known,
                          "sentence", sentence);
    CHECK(o != NULL);
    json_array_append_new(list, o);
}

static void learnt_deliveries(const struct planning_received *c, const struct intake_luck *luck,
                              struct arena *a, const char *lang, json_t *list)
{
    const struct intake_problem *p = &c->problem;
    for (int i = 0; i < p->delivery_count; i++) {
        const struct intake_came_list *came = &luck->came[i];
        bool standing = planning_received_standing(c, i), told = false;
        for (int k = 0; k < i; k++) {
            told = told || luck->came[k].list == came->list;
        }
        if (told) {
            continue;
        }
        const char *good = p->goods[p->deliveries[i].good].code,
                   *name = standing ? WORDS(a, lang, "received.learnt.standing", good)
                                    : WORDS(a, lang, "received.learnt.agreed", good),
                   *seen = arena_printf(a, "%d", came->count);
        double share = 0;
        int in_time = 0;
        for (int k = 0; k < came->count; k++) {
            share += came->list[k].share / came->count;
            in_time += came->list[k].late_days == 0 && came->list[k].share > 0;
        }
        bool known = came->count >= INTAKE_LUCK_MIN;
        learnt_add(list, name, came->count, known,
                   known ? WORDS(a, lang, "received.learnt.deliveries", name, seen,
                                 arena_printf(a, "%d", in_time), percent(a, share))
                         : WORDS(a, lang, "received.learnt.deliveries-few", name, seen));
    }
}

static json_t *learnt_json(const struct planning_received *c, const struct intake_luck *luck,
                           struct arena *a, const char *lang)
{
    json_t *list = json_array();
    for (int u = 0; u < c->problem.use_count; u++) {
        learnt_add(list, c->problem.uses[u].code, c->learnt[u].days, c->learnt[u].is_known,
                   planning_received_counts_on(c, u, a, lang));
    }
    learnt_deliveries(c, luck, a, lang, list);
    return list;
}

void planning_received_chance_put(const struct planning_received *c, const struct intake_luck *luck,
                                  const struct intake_chance *chance, struct arena *a,
                                  const char *lang, json_t *plan)
{
    double wanted = chance->wanted_kg.mean, missed = chance->short_kg.mean;
    json_t *lines = lines_json(c, chance, a, lang);
    planning_chance_percent(lines, json_object_get(plan, "orders"));
    planning_chance_percent(lines, json_object_get(plan, "shorts"));
    json_t *o =
        json_pack("{s:i,s:I,s:I,s:I,s:I,s:o,s:o,s:o}", "futures", chance->future_count, "share_ppm",
                  wanted > 0 ? ppm(1 - missed / wanted) : ppm(1), "share_error_ppm",
                  wanted > 0 ? ppm(chance->short_kg.error / wanted) : ppm(0), "short_g",
                  (json_int_t)llround(missed * 1000), "no_room_g",
                  (json_int_t)llround(chance->no_room_kg.mean * 1000), "lines", lines, "days",
                  days_json(c, chance, a, lang), "learnt", learnt_json(c, luck, a, lang));
    CHECK(o != NULL);
    json_object_set_new(plan, "chance", o);
}
