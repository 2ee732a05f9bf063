/* What the plan of fruit taken last gives as things stand now. */
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

void planning_received_follow(struct arena *a, const struct planning_received *c,
                              const json_t *flows, struct intake_outcome *out)
{
    const struct intake_problem *p = &c->problem;
    const struct intake_frame *f = intake_frame_make(a, p);
    struct intake_wanted *w = intake_wanted_new(a, f);
    size_t i;
    json_t *o;
    json_array_foreach(flows, i, o)
    {
        want(f, o, w);
    }
    *out = (struct intake_outcome){.solver = RESULT_OK};
    intake_measure(a, intake_follow(a, f, w), out);
    out->shorts = ARENA_ARRAY(a, struct intake_short, (size_t)p->line_count + 1);
    for (int k = 0; k < p->line_count; k++) {
        int64_t pieces = p->lines[k].pieces - out->met_pieces[k];
        if (pieces > 0) {
            out->shorts[out->short_count++] =
                (struct intake_short){.line = k, .pieces = pieces, .bar = {INTAKE_WHOLE, 0}};
        }
    }
}
