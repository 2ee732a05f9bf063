/* A deviation is closed by two people: one says what was found, done and decided about the product,
 * another verifies it (Codex HACCP principles 5 and 6, CXC 1-1969: published (seen) in its front
 * matter, wording from memory). */
#include <string.h>

#include "base/check.h"
#include "ledger/listed.h"

enum { TEXT_MAX = 1000 };

struct open_deviation {
    int64_t id, lot;
    const char *rule, *place, *code; /* code: the id as text */
};

static struct result deviation_named(struct draft *d, struct open_deviation *out)
{
    bool row;
    TRY(json_get_int(d->cmd->body, "deviation", "deviation", JSON_NEEDED, 1, INT64_MAX / 4,
                     &out->id));
    out->code = arena_printf(d->arena, "%lld", (long long)out->id);
    struct statement *q = store_prepare(d->store, Q_DEVIATION_OPEN);
    store_bind_int(q, 1, out->id);
    TRY(store_step(q, &row));
    if (!row) {
        return FAIL1(DEVIATION_UNKNOWN, "deviation", out->code);
    }
    const char *place = store_text(q, 3);
    out->rule = arena_copy(d->arena, store_text(q, 1));
    out->lot = store_int(q, 2);
    out->place = place != NULL ? arena_copy(d->arena, place) : NULL;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result decide_corrective(struct draft *d)
{
    static const char *const names[] = {"deviation",   "cause",   "correction",
                                        "disposition", "restart", NULL};
    const json_t *o = d->cmd->body;
    const char *cause, *correction, *disposition, *restart = "";
    struct open_deviation v;
    TRY(draft_only(d, "a corrective action", names));
    TRY(deviation_named(d, &v));
    TRY(listed_words(o, "cause", TEXT_MAX, JSON_NEEDED, &cause));
    TRY(listed_words(o, "correction", TEXT_MAX, JSON_NEEDED, &correction));
    TRY(listed_choice(o, "disposition", "no-product,release,rework,divert,destroy", JSON_NEEDED,
                      &disposition));
    TRY(listed_words(o, "restart", TEXT_MAX, JSON_OPTIONAL, &restart));
    noted_add(d, 0,
              &(struct noting){.kind = "corrective",
                               .code = v.code,
                               .place = v.place,
                               .lot = v.lot,
                               .person = d->cmd->person,
                               .ok = true,
                               .data = json_pack("{s:s,s:s,s:s,s:s}", "cause", cause, "correction",
                                                 correction, "disposition", disposition, "restart",
                                                 restart)});
    json_object_set_new(d->answer, "deviation", json_integer(v.id));
    return RESULT_OK;
}

/* The newest corrective action of a deviation; a verification that failed takes it away. */
static struct result standing_action(struct draft *d, const char *code, int64_t *out_person,
                                     int64_t *out_entry)
{
    static const char *const kinds[] = {"corrective", "verification"};
    int64_t entry[2] = {0, 0}, person[2] = {0, 0};
    for (size_t i = 0; i < 2; i++) {
        struct statement *q = store_prepare(d->store, Q_NOTED_LAST);
        store_bind_text(q, 1, kinds[i]);
        store_bind_text(q, 2, code);
        bool row;
        TRY(store_step(q, &row));
        if (row) {
            entry[i] = store_int(q, 0);
            person[i] = store_int(q, 4);
        }
        while (row) {
            TRY(store_step(q, &row));
        }
    }
    *out_entry = entry[0] > entry[1] ? entry[0] : 0;
    *out_person = person[0];
    return RESULT_OK;
}

struct result decide_verification(struct draft *d)
{
    static const char *const names[] = {"deviation", "ok", "what", NULL};
    const json_t *o = d->cmd->body;
    const char *what = "";
    struct open_deviation v;
    int64_t person, entry;
    bool ok = false;
    TRY(draft_only(d, "a verification", names));
    TRY(deviation_named(d, &v));
    TRY(json_get_bool(o, "ok", "ok", JSON_NEEDED, &ok));
    TRY(listed_words(o, "what", TEXT_MAX, ok ? JSON_OPTIONAL : JSON_NEEDED, &what));
    TRY(standing_action(d, v.code, &person, &entry));
    if (entry == 0) {
        return FAIL1(CORRECTIVE_MISSING, "deviation", v.code);
    }
    if (person == d->cmd->person) {
        return FAIL1(SECOND_PERSON, "person", arena_printf(d->arena, "%lld", (long long)person));
    }
    noted_add(
        d, 0,
        &(struct noting){.kind = "verification",
                         .code = v.code,
                         .place = v.place,
                         .lot = v.lot,
                         .person = d->cmd->person,
                         .ok = ok,
                         .data = json_pack("{s:I,s:s}", "of", (json_int_t)entry, "what", what)});
    if (ok) {
        draft_add(d, EFFECT_DEVIATION_CLOSED, "iin", v.id, d->cmd->happened_ms);
    }
    json_object_set_new(d->answer, "deviation", json_integer(v.id));
    json_object_set_new(d->answer, "closed", json_boolean(ok));
    return RESULT_OK;
}
