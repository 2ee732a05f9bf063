#include "service/view_samples.h"

#include <string.h>

#include "base/check.h"
#include "ledger/finding.h"
#include "ledger/sample.h"
#include "service/view_inner.h"

enum { LOOK_BACK_DAYS = 30 }; /* common practice: a laboratory has answered long before */

/* The longest of the least ages that the markets ask for. */
static int64_t least_age_ms(const struct profile *p, const char *markets)
{
    int64_t age_ms = 0;
    for (size_t i = 0; i < p->market_count; i++) {
        const struct market *m = &p->markets[i];
        bool meant = markets[0] == '\0' || list_has(markets, m->name);
        age_ms = meant && m->min_age_ms > age_ms ? m->min_age_ms : age_ms;
    }
    return age_ms;
}

struct result view_samples_due(struct view *v, json_t **out)
{
    json_t *list = json_array();
    json_t *o = json_pack("{s:o}", "samples", list);
    CHECK(o != NULL);
    struct statement *q = store_prepare(v->store, Q_SAMPLE_DUE);
    bool row;
    for (;;) {
        struct result r = store_step(q, &row);
        if (r.code != CODE_OK) {
            json_decref(o);
            return r;
        }
        if (!row) {
            *out = o;
            return RESULT_OK;
        }
        int64_t wet_ms = store_int(q, 2);
        view_append(list,
                    json_pack("{s:s,s:s,s:I,s:I,s:I}", "lot", store_text(q, 0), "chamber",
                              store_text(q, 1), "wet_ms", (json_int_t)wet_ms, "age_h",
                              (json_int_t)((v->now_ms - wet_ms) / 3600000), "due_ms",
                              (json_int_t)(wet_ms + least_age_ms(v->profile, store_text(q, 3)))));
    }
}

/* ---- what the laboratory still owes, and what somebody else has to read */

struct recent {
    int64_t id, taken_ms;
    const char *code, *what, *lot, *item, *place, *location, *markets;
    struct evidence e;
};

struct lists {
    json_t *presumptive, *owing, *untold, *second;
};

static bool is_final(enum finding_stand stand)
{
    return stand == STAND_NEGATIVE || stand == STAND_POSITIVE || stand == STAND_INVALID;
}

static void owe(const struct view *v, const struct recent *s, const char *organism, json_t *owed,
                bool *inout_presumptive)
{
    const char *confirms = confirming_methods(v->profile, organism, v->arena);
    enum finding_stand stand = finding_standing(&s->e, 0, organism, confirms).stand;
    size_t i;
    json_t *one;
    json_array_foreach(owed, i, one)
    {
        if (strcmp(json_string_value(one), organism) == 0) {
            return;
        }
    }
    if (!is_final(stand)) {
        view_append(owed, json_string(organism));
        *inout_presumptive = *inout_presumptive || stand == STAND_PRESUMPTIVE;
    }
}

static void owe_all(const struct view *v, const struct recent *s, json_t *owed,
                    bool *out_presumptive)
{
    *out_presumptive = false;
    if (strcmp(s->what, "water") == 0) {
        owe(v, s, WATER_ORGANISM, owed, out_presumptive);
    }
    for (size_t i = 0; s->lot[0] != '\0' && i < v->profile->market_count; i++) {
        const struct market *m = &v->profile->markets[i];
        bool meant = s->markets[0] == '\0' || list_has(s->markets, m->name);
        for (size_t k = 0; meant && list_has(m->what, s->what) && k < m->organism_count; k++) {
            owe(v, s, m->organisms[k].organism, owed, out_presumptive);
        }
    }
}

static void add_open(const struct view *v, const struct recent *s, struct lists *lists)
{
    bool presumptive;
    json_t *owed = json_array();
    owe_all(v, s, owed, &presumptive);
    bool owes = json_array_size(owed) > 0;
    if (!owes && s->e.finding_count > 0) {
        json_decref(owed);
        return;
    }
    view_append(presumptive ? lists->presumptive
                : owes      ? lists->owing
                            : lists->untold,
                json_pack("{s:s,s:s,s:o,s:o,s:o,s:s,s:I,s:I,s:b,s:o}", "sample", s->code, "what",
                          s->what, "lot", view_text(s->lot), "item", view_text(s->item), "place",
                          view_text(s->place), "location", s->location, "taken_ms",
                          (json_int_t)s->taken_ms, "age_h",
                          (json_int_t)((v->now_ms - s->taken_ms) / 3600000), "presumptive",
                          (int)presumptive, "owed", owed));
}

/* As decide_result.c asks before it takes a second reading. */
static void add_second(const struct view *v, const struct recent *s, json_t *second)
{
    for (size_t i = 0; i < s->e.finding_count; i++) {
        const struct evidence_finding *f = &s->e.findings[i];
        const char *confirms = confirming_methods(v->profile, f->organism, v->arena);
        struct standing now = finding_standing(&s->e, 0, f->organism, confirms);
        if (now.row == f && f->by_hand && f->report && now.second == NULL) {
            view_append(second, json_pack("{s:s,s:s,s:s,s:o,s:o,s:I,s:I,s:I}", "sample", s->code,
                                          "organism", f->organism, "state", f->state, "lot",
                                          view_text(s->lot), "place", view_text(s->place), "by",
                                          (json_int_t)f->person, "at_ms", (json_int_t)f->at_ms,
                                          "entry", (json_int_t)f->entry));
        }
    }
}

static struct result read_recent(struct view *v, struct lists *lists)
{
    int64_t since;
    bool row;
    TRY(view_entry_since(v, v->now_ms - INT64_C(86400000) * LOOK_BACK_DAYS, &since));
    struct statement *q = store_prepare(v->store, Q_SAMPLE_RECENT);
    store_bind_int(q, 1, since * LEDGER_IDS_PER_ENTRY);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct recent s = {.id = store_int(q, 0),
                           .code = arena_copy(v->arena, store_text(q, 1)),
                           .what = arena_copy(v->arena, store_text(q, 2)),
                           .lot = arena_copy(v->arena, store_text(q, 3)),
                           .item = arena_copy(v->arena, store_text(q, 4)),
                           .place = arena_copy(v->arena, store_text(q, 5)),
                           .location = arena_copy(v->arena, store_text(q, 6)),
                           .taken_ms = store_int(q, 7),
                           .markets = arena_copy(v->arena, store_text(q, 8))};
        TRY(evidence_of_sample(v->store, v->arena, s.id, s.code, &s.e));
        add_open(v, &s, lists);
        add_second(v, &s, lists->second);
    }
}

struct result view_samples(struct view *v, json_t **out)
{
    TRY(view_samples_due(v, out));
    struct lists lists = {json_array(), json_array(), json_array(), json_array()};
    struct result r = v->profile != NULL ? read_recent(v, &lists) : RESULT_OK;
    json_array_extend(lists.presumptive, lists.owing);
    json_array_extend(lists.presumptive, lists.untold);
    json_decref(lists.owing);
    json_decref(lists.untold);
    view_put(*out, "open", lists.presumptive);
    view_put(*out, "second", lists.second);
    if (r.code != CODE_OK) {
        json_decref(*out);
    }
    return r;
}
