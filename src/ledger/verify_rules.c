/* What must hold of any record, asked of the derived tables as they are. */
#include <string.h>

#include "ledger/kin.h"
#include "ledger/verify_inner.h"

/* Queries that give a row for each breach: table, key, what stands, what should. */
static struct result breaches(struct verifying *v, enum query query)
{
    struct statement *q = store_prepare(v->store, query);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        verify_found(v, store_text(q, 0), store_text(q, 1), store_text(q, 2), store_text(q, 3));
    }
}

/* Lots by index, and for each how many edges still lead into it. */
struct graph {
    struct id_set lots;
    uint32_t *into;
    struct id_set done;
};

static struct result count_into(struct verifying *v, struct graph *g)
{
    struct statement *q = store_prepare(v->store, Q_VERIFY_EDGE_ENDS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        id_set_add(&g->lots, store_int(q, 0));
        id_set_add(&g->lots, store_int(q, 1));
    }
    g->into = ARENA_ARRAY(g->lots.arena, uint32_t, g->lots.count + 1);
    q = store_prepare(v->store, Q_VERIFY_EDGE_ENDS);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        g->into[id_set_at(&g->lots, store_int(q, 1))]++;
    }
}

/* Lots into which nothing leads any more, again and again (Kahn 1962, "Topological sorting of large
 * networks", from memory); what is left lies on a cycle or behind one. */
static struct result take_off(struct verifying *v, struct graph *g)
{
    for (size_t i = 0; i < g->lots.count; i++) {
        if (g->into[i] == 0) {
            id_set_add(&g->done, g->lots.id[i]);
        }
    }
    for (size_t i = 0; i < g->done.count; i++) {
        struct statement *q = store_prepare(v->store, Q_KIN_CHILDREN);
        store_bind_int(q, 1, g->done.id[i]);
        bool row;
        for (;;) {
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            if (--g->into[id_set_at(&g->lots, store_int(q, 0))] == 0) {
                id_set_add(&g->done, store_int(q, 0));
            }
        }
    }
    for (size_t i = 0; i < g->lots.count; i++) {
        if (g->into[i] > 0) {
            verify_found(v, "edge", arena_printf(&v->scratch, "lot=%lld", (long long)g->lots.id[i]),
                         "among its own ancestors", "no cycle");
        }
    }
    return RESULT_OK;
}

static struct result no_cycle(struct verifying *v)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct graph g = {.lots = id_set_new(&a), .done = id_set_new(&a)};
    struct result r = count_into(v, &g);
    if (r.code == CODE_OK) {
        r = take_off(v, &g);
    }
    arena_release(&a);
    return r;
}

static struct result list_owed(struct verifying *v)
{
    struct statement *q = store_prepare(v->store, Q_VERIFY_OWED_OPEN);
    struct verify_report *out = v->out;
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (out->owed_count % 64 == 0) {
            struct verify_owed *more =
                ARENA_ARRAY(v->arena, struct verify_owed, out->owed_count + 64);
            if (out->owed_count > 0) {
                memcpy(more, out->owed, out->owed_count * sizeof *more);
            }
            out->owed = more;
        }
        out->owed[out->owed_count++] =
            (struct verify_owed){.entry = store_int(q, 0),
                                 .lot = arena_copy(v->arena, store_text(q, 1)),
                                 .unit = arena_copy(v->arena, store_text(q, 2)),
                                 .amount = store_int(q, 3)};
    }
}

struct result verify_rules(struct verifying *v)
{
    static const enum query queries[] = {Q_VERIFY_BALANCE_SUMS, Q_VERIFY_ACCOUNT_SUMS,
                                         Q_VERIFY_BELOW_ZERO, Q_VERIFY_HELD_LEFT,
                                         Q_VERIFY_EDGE_LOTS};
    enum { COUNT = sizeof queries / sizeof queries[0] };
    for (int i = 0; i < COUNT; i++) {
        TRY(verify_step(v, "rules", i, COUNT + 1));
        TRY(breaches(v, queries[i]));
        arena_clear(&v->scratch);
    }
    TRY(no_cycle(v));
    return list_owed(v);
}
