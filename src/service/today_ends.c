/* What ends soon or has ended: papers, approvals, trainings, health checks, retained samples; and
 * deliveries that wait to be inspected by sample. */
#include <string.h>

#include "ledger/listed.h"
#include "service/today.h"

/* Certificates, and approvals of suppliers, that end soon or have ended. */
static struct result papers(struct today *t, const char *kind)
{
    struct view *v = t->v;
    struct listed *list;
    size_t count;
    bool supplier = strcmp(kind, "supplier") == 0;
    int64_t ahead_ms = supplier ? v->profile->ahead.supplier_ms : v->profile->ahead.certificate_ms;
    TRY(listed_all(v->store, v->arena, kind, &list, &count));
    for (size_t i = 0; i < count; i++) {
        const struct listed *l = &list[i];
        if (l->until_ms > v->now_ms + ahead_ms) {
            continue;
        }
        bool ended = l->until_ms <= v->now_ms;
        const char *key = supplier ? ended ? "today.approval-ended" : "today.approval-ends"
                          : ended  ? "today.certificate-ended"
                                   : "today.certificate-ends";
        json_t *with = today_with(supplier ? "supplier" : "code", l->code);
        if (!supplier) {
            view_put(with, "certificate", json_string(listed_text(l, "certificate")));
        }
        today_add(t, &(struct today_line){.what = TODAY_CERTIFICATE,
                                          .about = arena_printf(v->arena, "%s/%s", kind, l->code),
                                          .by_ms = l->until_ms,
                                          .tone = ended ? "due" : NULL,
                                          .form = supplier ? "supplier-approval" : NULL,
                                          .page = "record",
                                          .with = with,
                                          .sentence =
                                              SAY(v, key, l->code, view_clock(v, l->until_ms),
                                                  supplier ? "" : listed_text(l, "certificate"))});
    }
    listed_free(list, count);
    return RESULT_OK;
}

/* The newest of each person that runs out: told to the person and to quality. */
static struct result people(struct today *t, const char *kind, int64_t ahead_ms)
{
    static const char *const keys[2][2][2] = {
        {{"today.health-ends", "today.health-ends-own"},
         {"today.health-ended", "today.health-ended-own"}},
        {{"today.training-ends", "today.training-ends-own"},
         {"today.training-ended", "today.training-ended-own"}},
    };
    struct view *v = t->v;
    bool training = strcmp(kind, "training") == 0;
    struct statement *q = store_prepare(v->store, Q_TODAY_RUNS_OUT);
    store_bind_text(q, 1, kind);
    store_bind_int(q, 2, v->now_ms + ahead_ms);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t person = store_int(q, 0), until_ms = store_int(q, 2);
        const char *code = arena_copy(v->arena, store_text(q, 1));
        const struct training *known = training ? profile_training(v->profile, code) : NULL;
        if (training && known == NULL) {
            continue; /* the profile asks for it no longer */
        }
        bool ended = until_ms <= v->now_ms, mine = person == v->person;
        const char *key = keys[training][ended][mine];
        json_t *with = today_with("training", training ? code : NULL);
        view_put(with, "about", json_integer(person));
        today_add(t, &(struct today_line){
                         .what = training ? TODAY_TRAINING : TODAY_FITNESS,
                         .about = arena_printf(v->arena, "%s/%lld", code, (long long)person),
                         .role = "quality",
                         .person = person,
                         .by_ms = until_ms,
                         .tone = ended ? "due" : NULL,
                         .with = with,
                         .sentence = SAY(v, key, training ? known->title : "",
                                         view_clock(v, until_ms), view_number(v, person))});
    }
}

static struct result retained(struct today *t)
{
    struct view *v = t->v;
    struct listed *list;
    size_t count;
    TRY(listed_all(v->store, v->arena, "retained", &list, &count));
    for (size_t i = 0; i < count; i++) {
        const struct listed *l = &list[i];
        if (l->until_ms > v->now_ms) {
            continue;
        }
        today_add(t, &(struct today_line){.what = TODAY_RETAINED,
                                          .about = l->code,
                                          .lot = l->about,
                                          .place = l->place,
                                          .by_ms = l->until_ms,
                                          .with = today_with("retained", l->code),
                                          .sentence = SAY(v, "today.retained", l->code, l->about,
                                                          l->place, view_clock(v, l->until_ms))});
    }
    listed_free(list, count);
    return RESULT_OK;
}

/* Deliveries received by the sack whose sample nobody has looked at yet. */
static struct result deliveries(struct today *t)
{
    struct view *v = t->v;
    struct statement *q = store_prepare(v->store, Q_TODAY_DELIVERIES);
    for (;;) {
        bool row;
        json_t *data = NULL;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char *lot = arena_copy(v->arena, store_text(q, 0));
        int64_t at_ms = store_int(q, 1);
        TRY(json_read_stored(store_text(q, 2), &data));
        int64_t samples = json_integer_value(json_object_get(data, "samples")),
                size = json_integer_value(json_object_get(data, "size"));
        json_decref(data);
        today_add(t, &(struct today_line){.what = TODAY_DELIVERY,
                                          .about = lot,
                                          .lot = lot,
                                          .role = profile_told(v->profile, "delivery-check"),
                                          .by_ms = at_ms,
                                          .with = today_with("lot", lot),
                                          .sentence =
                                              SAY(v, "today.delivery", lot, view_number(v, samples),
                                                  view_number(v, size))});
    }
}

struct result today_ends(struct today *t)
{
    const struct ahead *a = &t->v->profile->ahead;
    TRY(papers(t, "certificate"));
    TRY(papers(t, "supplier"));
    TRY(people(t, "training", a->training_ms));
    TRY(people(t, "health", a->health_ms));
    TRY(retained(t));
    return deliveries(t);
}
