#include "service/planning_floor.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/departure.h"
#include "ledger/evidence.h"
#include "plan/differ.h"
#include "service/chamber.h"
#include "service/view_inner.h"

enum { STARTS_MAX = 20000, AHEAD_DAYS = 14 };

struct planned {
    int64_t entry, seed_mg;
    int32_t day, grow_days;
    const char *place, *item;
    bool counts; /* of the plan in force on its day, or made under an earlier one of that day */
};

struct made {
    int64_t entry, seed_mg, harvest_mg;
    int64_t expected_mg;      /* by the standard, on the day it was harvested first */
    int32_t day, harvest_day; /* harvest_day 0: not emptied yet */
    const char *lot, *place, *item;
};

enum kind { KEPT, FILLED, MOVED_CHAMBER, MOVED_DAY, GONE, ADDED, WAITING, KINDS };

static const char *const kind_ids[KINDS] = {"kept", "filled", "moved-chamber", "moved-day",
                                            "gone", "added",  "waiting"};

/* What was told of a start. */
struct told {
    const char *place, *day, *why, *what; /* what may be NULL */
    int64_t entry, by;
};

struct floor {
    struct view *v;
    int32_t from, to, today;
    struct planned *planned;
    struct made *made;
    int planned_count, made_count;
    struct told *told; /* the newest last */
    size_t told_count;
};

static struct result read_planned(struct floor *f)
{
    struct arena *a = f->v->arena;
    f->planned = ARENA_ARRAY(a, struct planned, STARTS_MAX);
    struct statement *q = store_prepare(f->v->store, Q_FLOOR_PLANNED);
    store_bind_int(q, 1, f->from);
    store_bind_int(q, 2, f->to);
    for (bool row = true; row;) {
        TRY(store_step(q, &row));
        if (row && f->planned_count < STARTS_MAX) {
            f->planned[f->planned_count++] =
                (struct planned){.entry = store_int(q, 0),
                                 .day = (int32_t)store_int(q, 1),
                                 .place = arena_copy(a, store_text(q, 2)),
                                 .item = arena_copy(a, store_text(q, 3)),
                                 .seed_mg = store_int(q, 4),
                                 .grow_days = (int32_t)store_int(q, 5)};
        }
    }
    return RESULT_OK;
}

/* The standard yield of its own day; once it is emptied, what the profile says of the day on which
 * it was harvested. A day that it says nothing of bears the standard. */
static struct result expect(const struct floor *f, int64_t start_ms, int64_t first_ms,
                            struct made *m)
{
    const struct profile *p = f->v->profile;
    const struct crop *crop = profile_crop(p, m->item);
    double off_yield = 1;
    if (crop != NULL && m->harvest_day != 0) {
        int off_days;
        TRY(chamber_days_off(p, crop, start_ms, first_ms, &off_days));
        double said = chamber_off_yield(p, m->item, off_days);
        off_yield = said > 0 ? said : 1;
    }
    if (crop != NULL) {
        double whole_mg = (double)m->seed_mg * (double)crop->expansion_std / 1000.0;
        m->expected_mg = llround(whole_mg * off_yield);
    }
    return RESULT_OK;
}

static struct result read_made(struct floor *f)
{
    struct arena *a = f->v->arena;
    f->made = ARENA_ARRAY(a, struct made, STARTS_MAX);
    struct statement *q = store_prepare(f->v->store, Q_FLOOR_MADE);
    store_bind_int(q, 1, f->from);
    store_bind_int(q, 2, f->to);
    for (bool row = true; row;) {
        TRY(store_step(q, &row));
        if (row && f->made_count < STARTS_MAX) {
            bool emptied = !store_is_null(q, 6) && !store_is_null(q, 7);
            struct made *m = &f->made[f->made_count++];
            *m = (struct made){.entry = store_int(q, 0),
                               .lot = arena_copy(a, store_text(q, 1)),
                               .day = (int32_t)store_int(q, 2),
                               .place = arena_copy(a, store_text(q, 3)),
                               .item = arena_copy(a, store_text(q, 4)),
                               .seed_mg = store_int(q, 5),
                               .harvest_day = emptied ? (int32_t)store_int(q, 7) : 0,
                               .harvest_mg = emptied ? store_int(q, 8) : 0};
            TRY(expect(f, store_int(q, 9), store_int(q, 10), m));
        }
    }
    return RESULT_OK;
}

/* It may be told some days before the start was to be. */
static struct result read_told(struct floor *f)
{
    struct arena *a = f->v->arena;
    int64_t since_ms;
    TRY(view_day_start(f->v, f->from - AHEAD_DAYS, &since_ms));
    struct statement *q = store_prepare(f->v->store, Q_FLOOR_DEPARTURES);
    store_bind_text(q, 1, DEPARTURE_NOTED);
    store_bind_int(q, 2, since_ms);
    for (;;) {
        bool row;
        json_t *data = NULL;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        TRY(json_read_stored(store_text(q, 2), &data));
        const char *what = json_string_value(json_object_get(data, "what"));
        struct told *t = evidence_grow(a, &f->told, &f->told_count, sizeof *f->told);
        *t = (struct told){.entry = store_int(q, 0),
                           .place = arena_copy(a, store_text(q, 1)),
                           .day = arena_copy(a, json_string_value(json_object_get(data, "day"))),
                           .why = arena_copy(a, json_string_value(json_object_get(data, "why"))),
                           .what = what != NULL ? arena_copy(a, what) : NULL,
                           .by = store_int(q, 3)};
        json_decref(data);
    }
}

/* NULL: nobody told. */
static const struct told *told_of(const struct floor *f, const struct planned *p,
                                  const struct made *m)
{
    const char *place = p != NULL ? p->place : m->place;
    const char *day = day_text(f->v->arena, p != NULL ? p->day : m->day);
    for (size_t i = f->told_count; i > 0; i--) {
        const struct told *t = &f->told[i - 1];
        if (strcmp(t->place, place) == 0 && strcmp(t->day, day) == 0) {
            return t;
        }
    }
    return NULL;
}

static bool same_start(const struct planned *p, const struct made *m)
{
    return p->day == m->day && strcmp(p->place, m->place) == 0 && strcmp(p->item, m->item) == 0;
}

/* Which planned starts the floor is measured by. */
static struct result choose(struct floor *f)
{
    for (int32_t day = f->from; day <= f->to; day++) {
        int64_t entry;
        struct statement *q = store_prepare(f->v->store, Q_FLOOR_IN_FORCE);
        store_bind_int(q, 1, day);
        TRY(view_first(q, 0, &entry));
        for (int i = 0; i < f->planned_count; i++) {
            f->planned[i].counts |= f->planned[i].day == day && f->planned[i].entry == entry;
        }
    }
    for (int k = 0; k < f->made_count; k++) {
        int best = -1;
        bool counted = false;
        for (int i = 0; i < f->planned_count; i++) {
            if (!same_start(&f->planned[i], &f->made[k])) {
                continue;
            }
            counted = counted || f->planned[i].counts;
            best = f->planned[i].entry < f->made[k].entry ? i : best;
        }
        if (!counted && best >= 0) {
            f->planned[best].counts = true;
        }
    }
    return RESULT_OK;
}

static int64_t grams(int64_t mg)
{
    return (mg + 500) / 1000;
}

static int pair(const struct floor *f, struct differ_change **out, int *planned_of)
{
    struct arena *a = f->v->arena;
    struct differ_start *x = ARENA_ARRAY(a, struct differ_start, (size_t)f->planned_count + 1),
                        *y = ARENA_ARRAY(a, struct differ_start, (size_t)f->made_count + 1);
    int n = 0;
    for (int i = 0; i < f->planned_count; i++) {
        const struct planned *p = &f->planned[i];
        if (p->counts) {
            planned_of[n] = i;
            x[n++] = (struct differ_start){.chamber = p->place,
                                           .item = p->item,
                                           .seed_lot = "",
                                           .day = p->day,
                                           .seed_g = grams(p->seed_mg)};
        }
    }
    for (int k = 0; k < f->made_count; k++) {
        const struct made *m = &f->made[k];
        y[k] = (struct differ_start){.chamber = m->place,
                                     .item = m->item,
                                     .seed_lot = "",
                                     .day = m->day,
                                     .seed_g = grams(m->seed_mg)};
    }
    return differ_starts(a, x, n, y, f->made_count, out);
}

static enum kind kind_of(const struct floor *f, const struct planned *p, const struct made *m)
{
    if (m == NULL) {
        return p->day >= f->today ? WAITING : GONE;
    }
    if (p == NULL) {
        return ADDED;
    }
    if (p->day != m->day) {
        return MOVED_DAY;
    }
    if (strcmp(p->place, m->place) != 0) {
        return MOVED_CHAMBER;
    }
    double off = fabs((double)(m->seed_mg - p->seed_mg));
    return off <= FLOOR_SEED_SHARE * (double)p->seed_mg ? KEPT : FILLED;
}

static const char *start_sentence(const struct floor *f, enum kind kind, const struct planned *p,
                                  const struct made *m)
{
    struct view *v = f->v;
    const char *place = p != NULL ? p->place : m->place, *item = p != NULL ? p->item : m->item;
    const char *day = words_day(v->arena, v->lang, p != NULL ? p->day : m->day);
    const char *was = p != NULL ? view_mass(v, p->seed_mg) : "",
               *is = m != NULL ? view_mass(v, m->seed_mg) : "", *there = m != NULL ? m->place : "",
               *then = m != NULL ? words_day(v->arena, v->lang, m->day) : "";
    switch (kind) {
    case KEPT:
        return SAY(v, "floor.kept", place, day, item, is);
    case FILLED:
        return SAY(v, "floor.filled", place, day, item, is, was);
    case MOVED_CHAMBER:
        return SAY(v, "floor.moved-chamber", place, day, item, there);
    case MOVED_DAY:
        return SAY(v, "floor.moved-day", place, day, item, there, then);
    case GONE:
        return SAY(v, "floor.gone", place, day, item, was);
    case ADDED:
        return SAY(v, "floor.added", place, day, item, is);
    default:
        return SAY(v, "floor.waiting", place, day, item, was);
    }
}

static json_t *day_json(const struct floor *f, int32_t day)
{
    return day != 0 ? json_string(day_text(f->v->arena, day)) : json_null();
}

static json_t *told_json(const struct told *t)
{
    if (t == NULL) {
        return json_null();
    }
    json_t *o = json_pack("{s:s,s:s?,s:I,s:I}", "reason", t->why, "what", t->what, "entry",
                          (json_int_t)t->entry, "by", (json_int_t)t->by);
    CHECK(o != NULL);
    return o;
}

static json_t *start_json(const struct floor *f, enum kind kind, const struct planned *p,
                          const struct made *m, const struct told *t)
{
    bool emptied = m != NULL && m->harvest_day != 0;
    json_t *o = json_object();
    view_put(o, "kind", json_string(kind_ids[kind]));
    view_put(o, "item", json_string(p != NULL ? p->item : m->item));
    view_put(o, "day", day_json(f, p != NULL ? p->day : m->day));
    view_put(o, "place", json_string(p != NULL ? p->place : m->place));
    view_put(o, "planned_g", view_int(p != NULL, p != NULL ? grams(p->seed_mg) : 0));
    view_put(o, "made_day", day_json(f, m != NULL ? m->day : 0));
    view_put(o, "made_place", view_text(m != NULL ? m->place : NULL));
    view_put(o, "made_g", view_int(m != NULL, m != NULL ? grams(m->seed_mg) : 0));
    view_put(o, "lot", view_text(m != NULL ? m->lot : NULL));
    view_put(o, "due", day_json(f, p != NULL ? p->day + p->grow_days : 0));
    view_put(o, "harvested", day_json(f, emptied ? m->harvest_day : 0));
    view_put(o, "harvest_g", view_int(emptied, emptied ? grams(m->harvest_mg) : 0));
    view_put(o, "expected_g", view_int(m != NULL, m != NULL ? grams(m->expected_mg) : 0));
    view_put(o, "departure", told_json(t));
    view_put(o, "sentence", json_string(start_sentence(f, kind, p, m)));
    return o;
}

struct tally {
    const char *item;
    int64_t planned, kinds[KINDS], emptied, started;
    double seed_diff_g, planned_g, harvest_days, harvest_mg, expected_mg; /* of those started */
};

static struct tally *tally_of(struct tally *list, size_t *count, const char *item)
{
    for (size_t i = 0; i < *count; i++) {
        if (strcmp(list[i].item, item) == 0) {
            return &list[i];
        }
    }
    list[*count] = (struct tally){.item = item};
    return &list[(*count)++];
}

static void tally_add(struct tally *t, enum kind kind, const struct planned *p,
                      const struct made *m)
{
    t->kinds[kind]++;
    t->planned += p != NULL;
    if (p != NULL && m != NULL) {
        t->started++;
        t->seed_diff_g += (double)(m->seed_mg - p->seed_mg) / 1000.0;
        t->planned_g += (double)p->seed_mg / 1000.0;
        if (m->harvest_day != 0) {
            t->emptied++;
            t->harvest_days += m->harvest_day - (p->day + p->grow_days);
            t->harvest_mg += (double)m->harvest_mg;
            t->expected_mg += (double)m->expected_mg;
        }
    }
}

static json_t *tally_json(const struct tally *t)
{
    double emptied = t->emptied > 0 ? (double)t->emptied : 1;
    json_t *o = json_pack(
        "{s:s,s:I,s:I,s:I,s:I,s:I,s:I,s:I,s:I,s:I,s:I,s:I}", "item", t->item, "planned",
        (json_int_t)t->planned, "kept", (json_int_t)t->kinds[KEPT], "filled",
        (json_int_t)t->kinds[FILLED], "moved_chamber", (json_int_t)t->kinds[MOVED_CHAMBER],
        "moved_day", (json_int_t)t->kinds[MOVED_DAY], "gone", (json_int_t)t->kinds[GONE], "added",
        (json_int_t)t->kinds[ADDED], "waiting", (json_int_t)t->kinds[WAITING], "seed_diff_g",
        (json_int_t)(t->started > 0 ? llround(t->seed_diff_g / (double)t->started) : 0), "emptied",
        (json_int_t)t->emptied, "harvest_days",
        (json_int_t)llround(t->harvest_days / emptied * 10));
    view_put(o, "harvest_ppm",
             view_int(t->expected_mg > 0,
                      t->expected_mg > 0 ? llround(t->harvest_mg / t->expected_mg * 1e6) : 0));
    return o;
}

/* Departures of one reason. */
struct cause {
    const char *why; /* NULL: nobody told */
    int64_t filled, moved, gone, added;
};

struct telling {
    const struct floor *f;
    json_t *starts; /* NULL: nobody reads them */
    struct tally *tallies;
    size_t tally_count;
    struct cause *causes;
    size_t cause_count;
};

static void cause_add(struct telling *x, enum kind kind, const struct told *t)
{
    struct cause *c = NULL;
    for (size_t i = 0; i < x->cause_count; i++) {
        const char *why = x->causes[i].why;
        bool same = why == NULL || t == NULL ? why == NULL && t == NULL : strcmp(why, t->why) == 0;
        c = same ? &x->causes[i] : c;
    }
    if (kind == KEPT || kind == WAITING) {
        return;
    }
    if (c == NULL) {
        c = evidence_grow(x->f->v->arena, &x->causes, &x->cause_count, sizeof *x->causes);
        *c = (struct cause){.why = t != NULL ? t->why : NULL};
    }
    c->filled += kind == FILLED;
    c->moved += kind == MOVED_CHAMBER || kind == MOVED_DAY;
    c->gone += kind == GONE;
    c->added += kind == ADDED;
}

static void tell(struct telling *x)
{
    const struct floor *f = x->f;
    struct arena *a = f->v->arena;
    struct differ_change *list;
    int *planned_of = ARENA_ARRAY(a, int, (size_t)f->planned_count + 1);
    int count = pair(f, &list, planned_of);
    x->tallies = ARENA_ARRAY(a, struct tally, (size_t)count + 1);
    for (int i = count - 1; i >= 0; i--) { /* newest first */
        const struct planned *p =
            list[i].before >= 0 ? &f->planned[planned_of[list[i].before]] : NULL;
        const struct made *m = list[i].after >= 0 ? &f->made[list[i].after] : NULL;
        enum kind kind = kind_of(f, p, m);
        const char *item = p != NULL ? p->item : m->item;
        const struct told *t = told_of(f, p, m);
        tally_add(tally_of(x->tallies, &x->tally_count, item), kind, p, m);
        cause_add(x, kind, t);
        if (x->starts != NULL) {
            view_append(x->starts, start_json(f, kind, p, m, t));
        }
    }
}

static struct result read_floor(struct floor *f)
{
    TRY(read_planned(f));
    TRY(read_made(f));
    TRY(read_told(f));
    return choose(f);
}

struct result floor_learn(struct view *v, struct floor_seed **out, size_t *out_count)
{
    int32_t today = view_day(v, v->now_ms);
    struct floor f = {.v = v, .from = today - FLOOR_LEARN_DAYS + 1, .to = today, .today = today};
    struct telling x = {.f = &f};
    TRY(read_floor(&f));
    tell(&x);
    *out = ARENA_ARRAY(v->arena, struct floor_seed, x.tally_count + 1);
    *out_count = 0;
    for (size_t i = 0; i < x.tally_count; i++) {
        const struct tally *t = &x.tallies[i];
        if (t->started > 0) {
            double all = (double)(t->started + FLOOR_SEED_BEFORE) / (double)t->started;
            (*out)[(*out_count)++] =
                (struct floor_seed){t->item, -t->seed_diff_g / (t->planned_g * all)};
        }
    }
    return RESULT_OK;
}

static json_t *crops_json(const struct telling *x, const struct floor_seed *seed, size_t count)
{
    json_t *list = json_array();
    for (size_t i = 0; i < x->tally_count; i++) {
        const struct tally *t = &x->tallies[i];
        double less = 0;
        for (size_t k = 0; k < count; k++) {
            less = strcmp(seed[k].item, t->item) == 0 ? seed[k].less : less;
        }
        json_t *o = tally_json(t);
        view_put(o, "seed_counted_ppm", json_integer((json_int_t)llround((1 - less) * 1e6)));
        view_append(list, o);
    }
    return list;
}

static json_t *reasons_json(const struct telling *x)
{
    json_t *list = json_array();
    for (size_t i = 0; i < x->cause_count; i++) {
        const struct cause *c = &x->causes[i];
        view_append(list, json_pack("{s:s?,s:I,s:I,s:I,s:I}", "reason", c->why, "filled",
                                    (json_int_t)c->filled, "moved", (json_int_t)c->moved, "gone",
                                    (json_int_t)c->gone, "added", (json_int_t)c->added));
    }
    return list;
}

struct result view_floor(struct view *v, int32_t from, int32_t to, json_t **out)
{
    struct floor f = {.v = v, .from = from, .today = view_day(v, v->now_ms)};
    f.to = to < f.today ? to : f.today;
    if (to < from || to - from >= FLOOR_DAYS_MAX) {
        return FAIL2(FIELD_RANGE, "to", day_text(v->arena, to), "from the first day to 92 days");
    }
    struct floor_seed *seed;
    size_t seed_count;
    TRY(floor_learn(v, &seed, &seed_count));
    TRY(read_floor(&f));
    struct telling x = {.f = &f, .starts = json_array()};
    tell(&x);
    *out = json_pack("{s:s,s:s,s:o,s:o,s:o}", "from", day_text(v->arena, from), "to",
                     day_text(v->arena, f.to), "crops", crops_json(&x, seed, seed_count), "reasons",
                     reasons_json(&x), "starts", x.starts);
    CHECK(*out != NULL);
    return RESULT_OK;
}
