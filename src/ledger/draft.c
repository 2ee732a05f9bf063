#include "ledger/draft.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/text.h"
#include "ledger/daybook.h"
#include "ledger/draft_inner.h"
#include "ledger/fold.h"

void draft_init(struct draft *d, struct ledger *lg, struct arena *a, const struct command *cmd)
{
    *d = (struct draft){.lg = lg,
                        .store = lg->store,
                        .arena = a,
                        .cmd = cmd,
                        .profile = lg->profile,
                        .seq = lg->next_seq};
    d->effects = json_array();
    d->answer = json_object();
    d->deviations = json_array();
    CHECK(d->effects != NULL && d->answer != NULL && d->deviations != NULL);
}

void draft_release(struct draft *d)
{
    json_decref(d->effects);
    json_decref(d->answer);
    json_decref(d->deviations);
    d->effects = d->answer = d->deviations = NULL;
}

int64_t draft_id(struct draft *d)
{
    CHECK(d->ids <
          LEDGER_IDS_PER_ENTRY); /* commands that make many things are capped where they are read */
    return d->seq * LEDGER_IDS_PER_ENTRY + d->ids++;
}

void draft_add(struct draft *d, enum effect effect, const char *format, ...)
{
    json_t *e = json_array();
    json_array_append_new(e, json_string(effect_name((int)effect)));
    va_list args;
    va_start(args, format);
    for (const char *f = format; *f != '\0'; f++) {
        json_t *v = NULL;
        const char *text;
        switch (*f) {
        case 'i':
            v = json_integer(va_arg(args, int64_t));
            break;
        case 'o': {
            int64_t value = va_arg(args, int64_t);
            v = value != 0 ? json_integer(value) : json_null();
            break;
        }
        case 't':
            text = va_arg(args, const char *);
            v = text != NULL ? json_string(text) : json_null();
            break;
        case 'b':
            v = json_string(
                hex_text(d->arena, va_arg(args, const struct hash *), sizeof(struct hash)));
            break;
        default:
            CHECK(*f == 'n');
            v = json_null();
        }
        CHECK(v != NULL); /* NULL: a text that is not UTF-8; what comes in by JSON always is */
        json_array_append_new(e, v);
    }
    va_end(args);
    json_array_append_new(d->effects, e);
}

struct result draft_deviation(struct draft *d, const char *rule, int64_t lot, const char *place,
                              int64_t from_ms, int64_t to_ms, struct result failure)
{
    enum {
        IDS_KEPT = 512
    }; /* for what the rest of the entry makes: a decision writes fewer rows after its last rule */
    CHECK(failure.code != CODE_OK);
    if (d->ids > LEDGER_IDS_PER_ENTRY - IDS_KEPT) {
        return FAIL0(COMMAND_LONG, "");
    }
    json_t *what =
        json_pack("{s:s,s:s,s:[s,s,s]}", "code", code_id(failure.code), "field", failure.field,
                  "values", failure.value[0], failure.value[1], failure.value[2]);
    CHECK(what != NULL);
    draft_add(d, EFFECT_DEVIATION, "itottoon", draft_id(d), rule, lot, place,
              json_canonical(d->arena, what), from_ms, to_ms);
    json_object_set_new(what, "rule", json_string(rule));
    json_array_append_new(d->deviations, what);
    return RESULT_OK;
}

struct result draft_break(struct draft *d, const char *rule, int64_t lot, const char *place,
                          int64_t from_ms, int64_t to_ms, struct result failure)
{
    CHECK(failure.code != CODE_OK);
    return d->cmd->mode == MODE_ASK ? failure
                                    : draft_deviation(d, rule, lot, place, from_ms, to_ms, failure);
}

int64_t draft_step(struct draft *d, const char *place, int64_t run, int64_t start_ms,
                   int64_t end_ms, int64_t lot, const char *note)
{
    int64_t id = draft_id(d);
    draft_add(d, EFFECT_STEP, "itttoiiot", id, d->cmd->kind, d->cmd->act, place, run, start_ms,
              end_ms, lot, note);
    return id;
}

void draft_step_lot(struct draft *d, int64_t step, int64_t lot, const char *side, int64_t mg,
                    int64_t from_ms, int64_t to_ms)
{
    draft_add(d, EFFECT_STEP_LOT, "iitiii", step, lot, side, mg, from_ms, to_ms);
}

void draft_task(struct draft *d, const char *kind, const char *what, int64_t lot, const char *place,
                int64_t due_ms)
{
    draft_add(d, EFFECT_TASK, "ittotin", draft_id(d), kind, what, lot, place, due_ms);
}

const char *draft_hold(struct draft *d, const char *kind, const char *stops, const char *needs,
                       const char *reason, int64_t run, int64_t from_ms, int64_t to_ms,
                       int64_t *out_id)
{
    int64_t id = draft_id(d);
    const char *code =
        arena_printf(d->arena, "H%lld-%d", (long long)d->seq, (int)(id % LEDGER_IDS_PER_ENTRY));
    draft_add(d, EFFECT_HOLD, "itttttiooon", id, code, kind, stops, needs, reason,
              d->cmd->happened_ms, run, from_ms, to_ms);
    *out_id = id;
    return code;
}

void draft_hold_on(struct draft *d, int64_t hold, int64_t lot, int64_t unit, const char *via)
{
    for (struct draft_covered *c = d->covered; c != NULL; c = c->next) {
        if (c->hold == hold && c->lot == lot && c->unit == unit) {
            return;
        }
    }
    struct draft_covered *c = ARENA_NEW(d->arena, struct draft_covered);
    *c = (struct draft_covered){.next = d->covered, .hold = hold, .lot = lot, .unit = unit};
    d->covered = c;
    draft_add(d, EFFECT_HOLD_ON, "iiit", hold, lot, unit, via);
}

struct hash draft_blob(struct draft *d, const char *kind, const char *name, const void *bytes,
                       size_t len)
{
    struct draft_blob *b = ARENA_NEW(d->arena, struct draft_blob);
    *b = (struct draft_blob){.next = d->blobs,
                             .sha256 = digest_sha256(bytes, len),
                             .kind = kind,
                             .name = name,
                             .bytes = bytes,
                             .len = len};
    d->blobs = b;
    return b->sha256;
}

struct result draft_read_span(struct draft *d, int64_t *out_start_ms, int64_t *out_end_ms)
{
    const char *start = NULL, *end = NULL;
    *out_start_ms = *out_end_ms = d->cmd->happened_ms;
    TRY(json_get_text(d->cmd->body, "start", "start", JSON_OPTIONAL, &start));
    TRY(json_get_text(d->cmd->body, "end", "end", JSON_OPTIONAL, &end));
    if (start != NULL) {
        TRY(civil_read(start, "start", out_start_ms));
        if (end == NULL && *out_start_ms > *out_end_ms) {
            *out_end_ms = *out_start_ms;
        }
    }
    if (end != NULL) {
        TRY(civil_read(end, "end", out_end_ms));
        if (start == NULL && *out_end_ms < *out_start_ms) {
            *out_start_ms = *out_end_ms;
        }
    }
    if (*out_end_ms < *out_start_ms) {
        return FAIL2(END_BEFORE_START, "end", start, end);
    }
    if (*out_end_ms > d->cmd->recorded_ms + LEDGER_FUTURE_MS) {
        return FAIL2(TIME_FUTURE, "end", end != NULL ? end : start,
                     civil_short(d->arena, d->cmd->recorded_ms));
    }
    return RESULT_OK;
}

/* What the user sent, without the envelope and without bytes that are kept by their digest. */
static json_t *did_of(const struct command *cmd)
{
    static const char *const drop[] = {"kind",        "uuid", "person",    "at",   "device",
                                       "device_time", "mode", "bytes_b64", "text", "replace"};
    json_t *did = json_object(), *value;
    const char *key;
    json_object_foreach((json_t *)(uintptr_t)cmd->body, key, value) /* jansson takes no const */
    {
        bool dropped = false;
        for (size_t i = 0; i < sizeof drop / sizeof drop[0] && !dropped; i++) {
            dropped = text_is(drop[i], key);
        }
        if (!dropped) {
            json_object_set_nocheck(did, key, value);
        }
    }
    json_object_set_new(did, "mode", json_string(cmd->mode == MODE_ASK ? "asked" : "told"));
    return did;
}

static struct result put_blobs(struct draft *d)
{
    for (struct draft_blob *b = d->blobs; b != NULL; b = b->next) {
        struct statement *q = store_prepare(d->store, Q_BLOB_PUT);
        store_bind_bytes(q, 1, b->sha256.b, sizeof b->sha256.b);
        store_bind_text(q, 2, b->kind);
        store_bind_text(q, 3, b->name);
        store_bind_int(q, 4, (int64_t)b->len);
        store_bind_bytes(q, 5, b->bytes, b->len);
        bool row = true;
        while (row) {
            TRY(store_step(q, &row));
        }
    }
    return RESULT_OK;
}

struct result draft_take(struct draft *d, int64_t cause)
{
    /* every unit of an entry sums to zero over lots and the world's accounts */
    CHECK(d->sum_mg == 0 && d->sum_pieces == 0 && d->sum_ml == 0);
    json_object_set_new(d->answer, "entry", json_integer(d->seq));
    json_object_set_new(d->answer, "kind", json_string(d->cmd->kind));
    if (json_array_size(d->deviations) > 0) {
        json_object_set(d->answer, "deviations", d->deviations);
    }
    json_t *body = json_object();
    json_object_set(body, "answer", d->answer);
    json_object_set(body, "effects", d->effects);
    json_object_set_new(body, "did", did_of(d->cmd));
    const char *text = json_canonical(d->arena, body);
    json_decref(body);
    TRY(put_blobs(d));
    TRY(daybook_append(d->lg, d->arena, d->cmd, cause, text));
    return fold_effects(d->store, d->seq, d->effects);
}
