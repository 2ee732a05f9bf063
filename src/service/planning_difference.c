/* How one plan differs from another, in words and for a picture. */
#include <math.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "base/words.h"
#include "plan/differ.h"
#include "service/change_reader.h"
#include "service/planning_board.h"
#include "service/planning_change.h"

struct two {
    struct arena *a;
    const char *lang;
    struct differ_start *starts[2];
    struct differ_line *lines[2];
    int start_count[2], line_count[2];
};

static void starts_planned(struct two *t, int side, const struct planning_case *c,
                           const struct plan_outcome *outcome)
{
    const struct plan_problem *p = &c->problem;
    t->start_count[side] = outcome->start_count;
    t->starts[side] = ARENA_ARRAY(t->a, struct differ_start, (size_t)outcome->start_count + 1);
    for (int i = 0; i < outcome->start_count; i++) {
        const struct plan_placed *s = &outcome->starts[i];
        const char *lot = s->part_count > 0 ? planning_seed_lot(c, s->parts[0].lot) : NULL;
        t->starts[side][i] = (struct differ_start){.chamber = p->chambers[s->chamber].code,
                                                   .item = p->crops[s->crop].code,
                                                   .seed_lot = lot != NULL ? lot : "",
                                                   .day = p->first_day + s->day,
                                                   .harvest_day = p->first_day + s->harvest_day,
                                                   .seed_g = llround(s->seed_kg * 1000.0)};
    }
}

static void starts_taken(struct two *t, int side, const struct planning_case *c)
{
    const struct plan_problem *p = &c->problem;
    t->start_count[side] = p->taken_count;
    t->starts[side] = ARENA_ARRAY(t->a, struct differ_start, (size_t)p->taken_count + 1);
    for (int i = 0; i < p->taken_count; i++) {
        const struct plan_taken *s = &p->taken[i];
        t->starts[side][i] = (struct differ_start){
            .chamber = p->chambers[s->chamber].code,
            .item = p->crops[s->crop].code,
            .seed_lot = s->seed_lot != PLAN_NONE ? p->seed_lots[s->seed_lot].code : "",
            .day = p->first_day + s->day,
            .harvest_day = p->first_day + s->day + p->crops[s->crop].ways[s->way].grow_days,
            .seed_g = llround(s->seed_kg * 1000.0)};
    }
}

/* ---- what starts bring, shared out as those taken are */

/* As the record would have it once the plan is taken: whole grams, and the first lot. */
static struct plan_taken taken_of(const struct plan_problem *p, const struct plan_placed *s)
{
    struct plan_taken x = {.day = s->day,
                           .chamber = s->chamber,
                           .crop = s->crop,
                           .way = s->way,
                           .seed_kg = (double)llround(s->seed_kg * 1000.0) / 1000.0,
                           .seed_lot = s->part_count > 0 ? s->parts[0].lot : PLAN_NONE};
    if (s->taken != PLAN_NONE) {
        const struct plan_taken *was = &p->taken[s->taken];
        x.seed_lot = was->seed_lot == PLAN_NONE ? PLAN_NONE : x.seed_lot;
    }
    return x;
}

/* Those taken before in their old order, so that the same starts are the same problem. */
static void take_starts(struct arena *a, const struct plan_outcome *outcome, struct plan_problem *p)
{
    struct plan_taken *list = ARENA_ARRAY(a, struct plan_taken, (size_t)outcome->start_count + 1);
    int count = 0;
    for (int i = 0; i < p->taken_count; i++) {
        for (int k = 0; k < outcome->start_count; k++) {
            if (outcome->starts[k].taken == i) {
                list[count++] = taken_of(p, &outcome->starts[k]);
            }
        }
    }
    for (int k = 0; k < outcome->start_count; k++) {
        if (outcome->starts[k].taken == PLAN_NONE) {
            list[count++] = taken_of(p, &outcome->starts[k]);
        }
    }
    p->taken = list;
    p->taken_count = count;
}

const int64_t *planning_met_at_once(const struct planning_case *c,
                                    const struct plan_outcome *outcome, struct arena *a)
{
    struct plan_problem p = planning_standing(&c->problem);
    struct plan_running *running = change_copy(a, p.running, p.running_count, 0, sizeof *running);
    struct plan_outcome out;
    for (int i = 0; i < p.running_count; i++) {
        running[i].told = outcome->improvement.plan->choices[i];
    }
    p.running = running;
    take_starts(a, outcome, &p);
    struct result r = plan_make(a, &p, NULL, &out);
    CHECK(r.code == CODE_OK); /* the starts of a plan are starts of its problem */
    return out.met_pieces;
}

static void lines_of(struct two *t, int side, const struct planning_case *c, const int64_t *met)
{
    const struct plan_problem *p = &c->problem;
    t->line_count[side] = p->line_count;
    t->lines[side] = ARENA_ARRAY(t->a, struct differ_line, (size_t)p->line_count + 1);
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *x = &p->lines[i];
        t->lines[side][i] =
            (struct differ_line){.key = x->key != NULL ? x->key : "",
                                 .standing = x->standing,
                                 .item = c->names.items[x->product],
                                 .group = planning_group_text(c, t->a, t->lang, x->group),
                                 .day = p->first_day + x->day,
                                 .pieces = x->pieces,
                                 .met = met[i]};
    }
}

static json_t *start_json(const struct two *t, const struct differ_start *s)
{
    if (s == NULL) {
        return json_null();
    }
    json_t *o =
        json_pack("{s:s,s:s,s:s,s:I,s:s?}", "day", day_text(t->a, s->day), "harvest",
                  day_text(t->a, s->harvest_day), "chamber", s->chamber, "seed_g",
                  (json_int_t)s->seed_g, "lot", s->seed_lot[0] != '\0' ? s->seed_lot : NULL);
    CHECK(o != NULL);
    return o;
}

static const char *said_day(const struct two *t, int32_t day)
{
    return words_day(t->a, t->lang, day);
}

static const char *seed_text(const struct two *t, const struct differ_start *s)
{
    const char *mass = mass_text(t->a, s->seed_g * 1000, 100000);
    return s->seed_lot[0] != '\0' ? WORDS(t->a, t->lang, "plan.differ.of-lot", mass, s->seed_lot)
                                  : mass;
}

static const char *start_sentence(const struct two *t, enum differ_kind kind,
                                  const struct differ_start *x, const struct differ_start *y)
{
    const struct differ_start *s = y != NULL ? y : x;
    const char *day = said_day(t, s->day), *harvest = said_day(t, s->harvest_day);
    switch (kind) {
    case DIFFER_ADDED:
        return WORDS(t->a, t->lang, "plan.differ.added", day, s->chamber, s->item, seed_text(t, s),
                     harvest);
    case DIFFER_GONE:
        return WORDS(t->a, t->lang, "plan.differ.gone", day, s->chamber, s->item, seed_text(t, s));
    case DIFFER_MOVED:
        if (x->day == s->day && strcmp(x->chamber, s->chamber) == 0) {
            return WORDS(t->a, t->lang, "plan.differ.cut", s->item, day, s->chamber, harvest,
                         said_day(t, x->harvest_day));
        }
        return WORDS(t->a, t->lang, "plan.differ.moved", s->item, said_day(t, x->day), x->chamber,
                     day, s->chamber, harvest);
    case DIFFER_FILLED:
        return WORDS(t->a, t->lang, "plan.differ.filled", day, s->chamber, s->item, seed_text(t, x),
                     seed_text(t, s));
    case DIFFER_KEPT:
        break;
    }
    return WORDS(t->a, t->lang, "plan.differ.kept", day, s->chamber, s->item);
}

static json_t *starts_json(const struct two *t, int counts[5])
{
    struct differ_change *list;
    int count = differ_starts(t->a, t->starts[0], t->start_count[0], t->starts[1],
                              t->start_count[1], &list);
    json_t *out = json_array();
    for (int i = 0; i < count; i++) {
        const struct differ_start *x = list[i].before >= 0 ? &t->starts[0][list[i].before] : NULL,
                                  *y = list[i].after >= 0 ? &t->starts[1][list[i].after] : NULL;
        counts[list[i].kind]++;
        json_t *o = json_pack("{s:s,s:s,s:o,s:o,s:s}", "kind", differ_kind_id(list[i].kind), "item",
                              (y != NULL ? y : x)->item, "before", start_json(t, x), "after",
                              start_json(t, y), "sentence", start_sentence(t, list[i].kind, x, y));
        CHECK(o != NULL);
        json_array_append_new(out, o);
    }
    return out;
}

static json_t *met_json(const struct differ_line *x)
{
    return x == NULL
               ? json_null()
               : json_pack("{s:I,s:I}", "pieces", (json_int_t)x->pieces, "met", (json_int_t)x->met);
}

static const char *line_sentence(const struct two *t, const struct differ_line *x,
                                 const struct differ_line *y)
{
    const struct differ_line *l = y != NULL ? y : x;
    const char *day = said_day(t, l->day);
    const char *who =
        l->standing != NULL ? WORDS(t->a, t->lang, "plan.differ.standing", l->standing, l->group)
        : l->key[0] != '\0' ? WORDS(t->a, t->lang, "plan.differ.order", l->key, l->group)
                            : WORDS(t->a, t->lang, "plan.differ.forecast", l->group);
    const char *was = x != NULL ? arena_printf(t->a, "%lld", (long long)x->met) : "–",
               *is = y != NULL ? arena_printf(t->a, "%lld", (long long)y->met) : "–",
               *wanted = arena_printf(t->a, "%lld", (long long)l->pieces);
    return WORDS(t->a, t->lang, "plan.differ.line", who, l->item, day, was, is, wanted);
}

static json_t *lines_json(const struct two *t)
{
    struct differ_met *list;
    int count =
        differ_lines(t->a, t->lines[0], t->line_count[0], t->lines[1], t->line_count[1], &list);
    json_t *out = json_array();
    for (int i = 0; i < count; i++) {
        const struct differ_line *x = list[i].before >= 0 ? &t->lines[0][list[i].before] : NULL,
                                 *y = list[i].after >= 0 ? &t->lines[1][list[i].after] : NULL,
                                 *l = y != NULL ? y : x;
        json_t *o = json_pack("{s:s?,s:s?,s:s,s:s,s:s,s:o,s:o,s:s}", "order",
                              l->key[0] != '\0' && l->standing == NULL ? l->key : NULL, "standing",
                              l->standing, "item", l->item, "group", l->group, "day",
                              day_text(t->a, l->day), "before", met_json(x), "after", met_json(y),
                              "sentence", line_sentence(t, x, y));
        CHECK(o != NULL);
        json_array_append_new(out, o);
    }
    return out;
}

json_t *planning_lines_differ(struct arena *a, const char *lang, struct differ_line *before,
                              int before_count, struct differ_line *after, int after_count)
{
    struct two t = {
        .a = a, .lang = lang, .lines = {before, after}, .line_count = {before_count, after_count}};
    return lines_json(&t);
}

static int day_before(const struct planning_case *before, const struct plan_outcome *met,
                      bool taken, const char *lot)
{
    const struct plan_problem *p = &before->problem;
    for (int i = 0; i < p->running_count; i++) {
        const struct plan_running *x = &p->running[i];
        if (x->other_count > 0 && strcmp(x->lot, lot) == 0) {
            int choice = taken ? x->told : met->improvement.plan->choices[i];
            return p->first_day + plan_running_day(x, choice);
        }
    }
    return PLAN_NONE;
}

/* Lots that grow and are harvested on another day. */
static json_t *harvests_json(const struct two *t, const struct planning_case *before,
                             const struct plan_outcome *met, bool taken,
                             const struct planning_case *after, const struct plan_outcome *outcome)
{
    const struct plan_problem *p = &after->problem;
    json_t *out = json_array();
    for (int i = 0; i < p->running_count; i++) {
        const struct plan_running *x = &p->running[i];
        if (x->other_count == 0) {
            continue;
        }
        int was = day_before(before, met, taken, x->lot);
        int is = p->first_day + plan_running_day(x, outcome->improvement.plan->choices[i]);
        if (was == PLAN_NONE || was == is) {
            continue;
        }
        const char *from = day_text(t->a, was), *to = day_text(t->a, is);
        const char *chamber = p->chambers[x->chamber].code;
        json_t *o = json_pack("{s:s,s:s,s:s,s:s,s:s}", "lot", x->lot, "chamber", chamber, "before",
                              from, "after", to, "sentence",
                              WORDS(t->a, t->lang, "plan.differ.harvest", x->lot, chamber,
                                    said_day(t, is), said_day(t, was)));
        CHECK(o != NULL);
        json_array_append_new(out, o);
    }
    return out;
}

json_t *planning_difference(const struct planning_case *before, const struct plan_outcome *met,
                            bool taken, const struct planning_case *after,
                            const struct plan_outcome *outcome, struct arena *a, const char *lang)
{
    struct two t = {.a = a, .lang = lang};
    const int64_t *after_met = outcome->met_pieces;
    if (taken) {
        starts_taken(&t, 0, before);
        after_met = planning_met_at_once(after, outcome, a);
    } else {
        starts_planned(&t, 0, before, met);
    }
    starts_planned(&t, 1, after, outcome);
    lines_of(&t, 0, before, met->met_pieces);
    lines_of(&t, 1, after, after_met);
    int counts[5] = {0};
    json_t *starts = starts_json(&t, counts);
    json_t *out =
        json_pack("{s:i,s:i,s:i,s:i,s:i,s:o,s:o}", "kept", counts[DIFFER_KEPT], "filled",
                  counts[DIFFER_FILLED], "moved", counts[DIFFER_MOVED], "gone", counts[DIFFER_GONE],
                  "added", counts[DIFFER_ADDED], "starts", starts, "lines", lines_json(&t));
    CHECK(out != NULL);
    json_object_set_new(out, "harvests", harvests_json(&t, before, met, taken, after, outcome));
    return out;
}
