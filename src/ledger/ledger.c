#include "ledger/ledger.h"

#include <string.h>

#include "base/check.h"
#include "base/text.h"
#include "base/uuid.h"
#include "ledger/consequence.h"
#include "ledger/daybook.h"
#include "ledger/draft.h"
#include "ledger/fit.h"
#include "ledger/view.h"

static const struct act acts[] = {
#define ACT(name, function, roles) {name, function, roles},
#include "ledger/acts.def"
#undef ACT
};

const struct act *act_find(const char *name)
{
    for (size_t i = 0; i < sizeof acts / sizeof acts[0]; i++) {
        if (text_is(acts[i].name, name)) {
            return &acts[i];
        }
    }
    return NULL;
}

struct result draft_only(struct draft *d, const char *what, const char *const *names)
{
    static const char *const envelope[] = {"kind",   "uuid",   "person",      "mode", "at",
                                           "reason", "device", "device_time", "note"};
    const char *key;
    json_t *value;
    json_object_foreach((json_t *)(uintptr_t)d->cmd->body, key, value)
    {
        bool known = false;
        for (size_t i = 0; i < sizeof envelope / sizeof envelope[0] && !known; i++) {
            known = text_is(envelope[i], key);
        }
        for (size_t i = 0; names[i] != NULL && !known; i++) {
            known = text_is(names[i], key);
        }
        if (!known) {
            return FAIL1(FIELD_UNKNOWN, key, what);
        }
    }
    return RESULT_OK;
}

/* The first entries of a new house make its first person and take in its profile; nobody could have
 * been asked before. */
static struct result may(struct ledger *lg, struct arena *a, const struct command *cmd,
                         const struct act *act)
{
    const char *role;
    bool active, found;
    TRY(person_role(lg->store, a, cmd->person, &role, &active, &found));
    if (lg->next_seq == 1 && strcmp(cmd->kind, "person") == 0) {
        return RESULT_OK;
    }
    const char *roles = cmd->step != NULL ? cmd->step->roles : act->roles;
    if (found && active && list_has(roles, role)) {
        return RESULT_OK;
    }
    const char *number = arena_printf(a, "%lld", (long long)cmd->person);
    return found && active ? FAIL3(ROLE_MISSING, "person", number, role, roles)
                           : FAIL1(PERSON_UNKNOWN, "person", number);
}

static struct result repeated(struct ledger *lg, struct arena *a, const struct command *cmd,
                              json_t **out, bool *out_is)
{
    struct entry before;
    TRY(entry_by_uuid(lg->store, a, cmd->uuid, &before, out_is));
    if (!*out_is) {
        return RESULT_OK;
    }
    if (!hash_equal(&before.digest, &cmd->digest)) {
        return FAIL2(UUID_REUSED, "uuid", uuid_text(a, cmd->uuid),
                     arena_printf(a, "%lld", (long long)before.seq));
    }
    TRY(answer_compose(lg->store, a, before.seq, out));
    json_object_set_new(*out, "repeated", json_true());
    return RESULT_OK;
}

struct result ledger_take(struct ledger *lg, const json_t *command, const struct command_sum *sum,
                          struct arena *a, json_t **out_answer, bool *out_dirty)
{
    struct command cmd;
    bool is_repeat = false;
    *out_answer = NULL;
    *out_dirty = false;
    if (lg->world.now_ms(lg->world.self) >= lg->profile_until_ms) {
        TRY(ledger_profile_load(lg));
    }
    TRY(command_read(lg, command, sum, a, &cmd));
    TRY(repeated(lg, a, &cmd, out_answer, &is_repeat));
    if (is_repeat) {
        return RESULT_OK;
    }
    const struct act *act = act_find(cmd.act);
    CHECK(act != NULL); /* command_read looked it up */
    TRY(may(lg, a, &cmd, act));
    struct draft d;
    draft_init(&d, lg, a, &cmd);
    struct result r = draft_fit(&d);
    if (r.code == CODE_OK) {
        r = act->decide(&d);
    }
    if (r.code == CODE_OK) {
        *out_dirty = true;
        r = draft_take(&d, 0);
    }
    int64_t seq = d.seq;
    if (r.code == CODE_OK && strcmp(cmd.kind, "profile") == 0) {
        r = ledger_profile_load(lg); /* what follows is judged by the new one */
    }
    if (r.code == CODE_OK) {
        r = consequences_after(lg, a, &cmd, seq);
    }
    if (r.code == CODE_OK && lg->next_seq > seq + 1) {
        r = answer_compose(lg->store, a, seq, out_answer);
    } else if (r.code == CODE_OK) {
        *out_answer = json_incref(d.answer);
    }
    draft_release(&d);
    return r;
}

static void head_bytes(const struct head *h, uint8_t out[56])
{
    /* size and time big-endian, then the root: a fixed layout that any program can rebuild */
    for (int i = 0; i < 8; i++) {
        out[i] = (uint8_t)((uint64_t)h->size >> (56 - 8 * i));
        out[8 + i] = (uint8_t)((uint64_t)h->signed_ms >> (56 - 8 * i));
    }
    memcpy(out + 16, h->root.b, 32);
    memcpy(out + 48, "plumule1", 8);
}

/* A tree that has not grown since it was signed keeps the head it has. */
static struct result head_standing(struct ledger *lg, struct head *out, bool *out_found)
{
    struct statement *q = store_prepare(lg->store, Q_HEAD_BY_SIZE);
    store_bind_int(q, 1, out->size);
    TRY(store_step(q, out_found));
    bool row = *out_found;
    if (row) {
        size_t key_len, signature_len;
        const void *key = store_bytes(q, 4, &key_len),
                   *signature = store_bytes(q, 5, &signature_len);
        out->signed_ms = store_int(q, 2);
        memcpy(out->public_key, key, key_len == 32 ? 32 : 0);
        memcpy(out->signature, signature, signature_len == 64 ? 64 : 0);
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result ledger_sign_head(struct ledger *lg, const struct sign_key *key, const char *why,
                               struct head *out)
{
    *out = (struct head){.size = (int64_t)lg->tree.size,
                         .root = merkle_edge_root(&lg->tree),
                         .signed_ms = lg->world.now_ms(lg->world.self),
                         .why = why};
    bool found;
    TRY(head_standing(lg, out, &found));
    if (found) {
        return RESULT_OK;
    }
    memcpy(out->public_key, key->public_key, sizeof out->public_key);
    uint8_t bytes[56];
    head_bytes(out, bytes);
    sign_bytes(key, bytes, sizeof bytes, out->signature);
    struct statement *q = store_prepare(lg->store, Q_HEAD_PUT);
    store_bind_int(q, 1, out->size);
    store_bind_bytes(q, 2, out->root.b, 32);
    store_bind_int(q, 3, out->signed_ms);
    store_bind_text(q, 4, why);
    store_bind_bytes(q, 5, out->public_key, 32);
    store_bind_bytes(q, 6, out->signature, 64);
    bool row = true;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

bool head_holds(const struct head *h)
{
    uint8_t bytes[56];
    head_bytes(h, bytes);
    return sign_holds(h->public_key, bytes, sizeof bytes, h->signature);
}
