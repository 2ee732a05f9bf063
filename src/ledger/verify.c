#include "ledger/verify.h"

#include <string.h>

#include "base/check.h"
#include "ledger/replay.h"
#include "ledger/verify_inner.h"

void verify_found(struct verifying *v, const char *table, const char *key, const char *is,
                  const char *wanted)
{
    struct verify_report *out = v->out;
    out->found++;
    if (out->finding_count == VERIFY_FINDINGS_MAX) {
        return;
    }
    if (out->findings == NULL) {
        out->findings = ARENA_ARRAY(v->arena, struct verify_finding, VERIFY_FINDINGS_MAX);
    }
    out->findings[out->finding_count++] =
        (struct verify_finding){.table = arena_copy(v->arena, table),
                                .key = arena_copy(v->arena, key),
                                .is = arena_copy(v->arena, is),
                                .wanted = arena_copy(v->arena, wanted)};
}

struct result verify_step(struct verifying *v, const char *what, int64_t done, int64_t of)
{
    bool goes_on = v->progress == NULL || v->progress->step(v->progress->self, what, done, of);
    return goes_on ? RESULT_OK : FAIL0(VERIFY_STOPPED, "");
}

/* The engine's own look at its pages and indexes: one row "ok", or one for each fault. */
static struct result verify_engine(struct verifying *v)
{
    TRY(verify_step(v, "file", 0, 0));
    struct statement *q = store_prepare(v->store, Q_VERIFY_ENGINE);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (strcmp(store_text(q, 0), "ok") != 0) {
            verify_found(v, "store", "page", store_text(q, 0), "no fault");
        }
    }
}

static struct result verify_all(struct verifying *v)
{
    TRY(verify_engine(v));
    TRY(verify_daybook(v));
    TRY(verify_tables(v));
    TRY(verify_rules(v));
    return verify_files(v);
}

struct result ledger_verify(struct store *s, const struct verify_progress *progress,
                            struct arena *a, struct verify_report *out)
{
    *out = (struct verify_report){0};
    struct verifying v = {.store = s, .arena = a, .progress = progress, .out = out};
    TRY(replay_begin(&v.replica));
    arena_init(&v.scratch, ARENA_LIMIT_DEFAULT);
    struct result r = verify_all(&v);
    arena_release(&v.scratch);
    store_close(v.replica);
    return r;
}

json_t *verify_json(struct arena *a, const struct verify_report *report)
{
    json_t *findings = json_array(), *owed = json_array();
    CHECK(findings != NULL && owed != NULL);
    for (size_t i = 0; i < report->finding_count; i++) {
        const struct verify_finding *f = &report->findings[i];
        json_array_append_new(findings, json_pack("{s:s,s:s,s:s,s:s}", "table", f->table, "key",
                                                  f->key, "is", f->is, "wanted", f->wanted));
    }
    for (size_t i = 0; i < report->owed_count; i++) {
        const struct verify_owed *o = &report->owed[i];
        json_array_append_new(owed,
                              json_pack("{s:I,s:s,s:s,s:I}", "entry", (json_int_t)o->entry, "lot",
                                        o->lot, "unit", o->unit, "amount", (json_int_t)o->amount));
    }
    json_t *all =
        json_pack("{s:I,s:I,s:I,s:I,s:s,s:I,s:o,s:o}", "entries", (json_int_t)report->entries,
                  "heads", (json_int_t)report->heads, "files", (json_int_t)report->files, "rows",
                  (json_int_t)report->rows, "root", hex_text(a, report->root.b, 32), "found",
                  (json_int_t)report->found, "findings", findings, "owed", owed);
    CHECK(all != NULL);
    return all;
}
