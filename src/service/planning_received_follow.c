/* What the plan of fruit taken last gives as things stand now. */
#include <math.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "plan/intake_follow.h"
#include "service/planning_received_inner.h"

struct result planning_received_taken(struct store *s, struct planning_received_taken *out)
{
    struct statement *q = store_prepare(s, Q_NOTED_LAST);
    *out = (struct planning_received_taken){.given = false};
    store_bind_text(q, 1, "plan-flows");
    store_bind_text(q, 2, "plan");
    for (bool row = true; row;) {
        TRY(store_step(q, &row));
        if (row && !out->given) {
            json_t *data = NULL;
            TRY(json_read_stored(store_text(q, 5), &data));
            out->flows = json_incref(json_object_get(data, "flows"));
            json_decref(data);
            out->given = true;
            out->entry = store_int(q, 0);
            out->at_ms = store_int(q, 2);
        }
    }
    return RESULT_OK;
}

static const char *text_of(const json_t *o, const char *key)
{
    const char *text = json_string_value(json_object_get(o, key));
    return text != NULL ? text : "";
}

static void want_delivery(const struct intake_problem *p, const json_t *o, int day, double kg,
                          struct intake_wanted *w)
{
    for (int i = 0; i < p->delivery_count; i++) {
        const struct intake_delivery *d = &p->deliveries[i];
        if (d->day == day && strcmp(d->key, text_of(o, "of")) == 0 &&
            strcmp(p->goods[d->good].code, text_of(o, "good")) == 0) {
            w->turn_kg[i] += kg;
            return;
        }
    }
}

/* The index of the day of birth that a flow names; what has none left is of the oldest. */
static int birth_of(const struct intake_frame *f, const json_t *o)
{
    int32_t born;
    struct result r = day_read(text_of(o, "born"), "born", &born);
    int birth = f->birth_count - 1;
    while (birth > 0 && (r.code != CODE_OK || f->births[birth] != born - f->p->first_day)) {
        birth--;
    }
    return birth;
}

/* What the profile no longer knows by that name is left out. */
static void want(const struct intake_frame *f, const json_t *o, struct intake_wanted *w)
{
    const struct intake_problem *p = f->p;
    const char *act = text_of(o, "act");
    double kg = (double)json_integer_value(json_object_get(o, "mg")) * 1e-6;
    int32_t given;
    struct result r = day_read(text_of(o, "day"), "day", &given);
    CHECK(r.code == CODE_OK); /* the ledger has read it */
    int day = given - p->first_day, days = p->day_count;
    if (day < 0 || day >= days) {
        return;
    }
    if (strcmp(act, "turned") == 0) {
        want_delivery(p, o, day, kg, w);
    }
    for (int i = 0; i < p->offer_count && strcmp(act, "bought") == 0; i++) {
        w->buy_kg[i * days + day] += strcmp(p->offers[i].code, text_of(o, "of")) == 0 ? kg : 0;
    }
    for (int i = 0; i < p->use_count && strcmp(act, "used") == 0; i++) {
        bool same = strcmp(p->uses[i].code, text_of(o, "use")) == 0;
        w->use_kg[(i * f->birth_count + birth_of(f, o)) * days + day] += same ? kg : 0;
    }
    for (int i = 0; i < p->good_count && strcmp(act, "leaves") == 0; i++) {
        w->out_kg[i * days + day] += strcmp(p->goods[i].code, text_of(o, "good")) == 0 ? kg : 0;
    }
}

/* What is bought comes as any fruit does: what came since the plan was taken beyond what was still
 * to come of today's standing agreements. */
static double bought_kg(const struct planning_received *c, int64_t since, int good)
{
    double standing = 0, before = 0, after = 0;
    for (size_t i = 0; i < c->rules->delivery_count; i++) {
        const struct received_delivery *d = &c->rules->deliveries[i];
        bool comes = (d->weekdays >> day_weekday(c->problem.first_day) & 1U) != 0;
        standing += d->good == good && comes ? (double)d->mg * 1e-6 : 0;
    }
    for (int i = 0; i < c->today_count; i++) {
        const struct received_did *did = &c->today[i];
        if (did->act == RECEIVED_CAME && did->good == good) {
            *(did->entry > since ? &after : &before) += did->kg;
        }
    }
    return fmax(0, after - fmax(0, standing - before));
}

/* What was done since the plan was taken is not done again. */
static void less_done(const struct planning_received *c, const struct intake_frame *f,
                      int64_t since, struct intake_wanted *w)
{
    const struct intake_problem *p = &c->problem;
    int days = p->day_count;
    for (int i = 0; i < c->today_count; i++) {
        const struct received_did *did = &c->today[i];
        double *out_kg = &w->out_kg[did->good * days];
        if (did->entry <= since) {
            continue;
        }
        if (did->act == RECEIVED_USED) {
            intake_wanted_done(f, w, did->use, did->born - p->first_day, did->kg);
        }
        *out_kg -= did->act == RECEIVED_LEFT ? fmin(*out_kg, did->kg) : 0;
    }
    for (int g = 0; g < p->good_count; g++) {
        double bought = bought_kg(c, since, g);
        for (int i = 0; i < p->offer_count; i++) {
            double less = p->offers[i].good == g ? fmin(bought, w->buy_kg[i * days]) : 0;
            w->buy_kg[i * days] -= less;
            bought -= less;
        }
    }
}

void planning_received_follow(struct arena *a, const struct planning_received *c,
                              const struct planning_received_taken *taken,
                              struct intake_outcome *out)
{
    const struct intake_problem *p = &c->problem;
    const struct intake_frame *f = intake_frame_make(a, p);
    struct intake_wanted *w = intake_wanted_new(a, f);
    size_t i;
    json_t *o;
    json_array_foreach(taken->flows, i, o)
    {
        want(f, o, w);
    }
    less_done(c, f, taken->entry, w);
    *out = (struct intake_outcome){.solver = RESULT_OK};
    intake_measure(a, intake_follow(a, f, w, NULL), out);
    out->shorts = ARENA_ARRAY(a, struct intake_short, (size_t)p->line_count + 1);
    for (int k = 0; k < p->line_count; k++) {
        int64_t pieces = p->lines[k].pieces - out->met_pieces[k];
        if (pieces > 0) {
            out->shorts[out->short_count++] =
                (struct intake_short){.line = k, .pieces = pieces, .bar = {INTAKE_WHOLE, 0}};
        }
    }
}

/* today */

static int64_t planned_mg(const struct planning_received_taken *taken, const char *day,
                          const char *act, const char *key, const char *name)
{
    size_t i;
    json_t *o;
    int64_t mg = 0;
    json_array_foreach(taken->flows, i, o)
    {
        bool same = strcmp(text_of(o, "day"), day) == 0 && strcmp(text_of(o, "act"), act) == 0 &&
                    strcmp(text_of(o, key), name) == 0;
        mg += same ? json_integer_value(json_object_get(o, "mg")) : 0;
    }
    return mg;
}

static void today_add(json_t *list, const char *act, const char *good, const char *use,
                      int64_t planned, double done_kg)
{
    int64_t done = llround(done_kg * 1e6), left = planned > done ? planned - done : 0;
    if (planned + done < 500) {
        return; /* less than a gram */
    }
    json_t *o =
        json_pack("{s:s,s:s,s:s?,s:I,s:I,s:I}", "act", act, "good", good, "use", use, "planned_g",
                  (json_int_t)((planned + 500) / 1000), "done_g", (json_int_t)((done + 500) / 1000),
                  "left_g", (json_int_t)((left + 500) / 1000));
    CHECK(o != NULL);
    json_array_append_new(list, o);
}

static double done_kg(const struct planning_received *c, int64_t since, enum received_act act,
                      int good, int use)
{
    double sum = 0;
    for (int i = 0; i < c->today_count; i++) {
        const struct received_did *did = &c->today[i];
        bool same = did->act == act && did->use == use && (use != PLAN_NONE || did->good == good);
        sum += same && did->entry > since ? did->kg : 0;
    }
    return sum;
}

json_t *planning_received_today(const struct planning_received *c,
                                const struct planning_received_taken *taken, struct arena *a)
{
    const struct intake_problem *p = &c->problem;
    json_t *list = json_array();
    const char *day = planning_received_day(c, a, 0);
    for (int g = 0; g < p->good_count; g++) {
        const char *good = p->goods[g].code;
        int64_t planned = planned_mg(taken, day, "bought", "good", good);
        today_add(list, "bought", good, NULL, planned, bought_kg(c, taken->entry, g));
    }
    for (int u = 0; u < p->use_count; u++) {
        int64_t planned = planned_mg(taken, day, "used", "use", p->uses[u].code);
        today_add(list, "used", p->goods[p->uses[u].good].code, p->uses[u].code, planned,
                  done_kg(c, taken->entry, RECEIVED_USED, PLAN_NONE, u));
    }
    static const struct {
        const char *name;
        enum received_act act;
    } ends[] = {{"leaves", RECEIVED_LEFT}, {"sold", RECEIVED_SOLD}};
    for (int g = 0; g < p->good_count * 2; g++) {
        const char *good = p->goods[g / 2].code, *act = ends[g % 2].name;
        today_add(list, act, good, NULL, planned_mg(taken, day, act, "good", good),
                  done_kg(c, taken->entry, ends[g % 2].act, g / 2, PLAN_NONE));
    }
    return list;
}
