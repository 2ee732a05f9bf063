#include "trace/scope.h"

#include <string.h>

#include "trace/lot_rows.h"

struct here_list {
    struct arena *arena;
    struct scope *scope;
    size_t room;
};

static const char *keep(struct arena *a, const char *text)
{
    return text != NULL ? arena_copy(a, text) : NULL;
}

static int64_t not_below_zero(int64_t amount)
{
    return amount > 0 ? amount : 0;
}

static void add_here(struct here_list *list, const struct scope_here *line)
{
    struct scope *sc = list->scope;
    sc->here = list_grow(list->arena, sc->here, sc->here_count, &list->room, sizeof *sc->here);
    sc->here[sc->here_count++] = *line;
}

/* What the balance has beyond the units read since line first. */
static void add_loose(struct here_list *list, const struct lot_fact *fact, size_t first)
{
    int64_t pieces = not_below_zero(fact->here_pieces), mg = not_below_zero(fact->here_mg);
    list->scope->here_pieces += pieces;
    list->scope->here_mg += mg;
    for (size_t i = first; i < list->scope->here_count; i++) {
        pieces -= list->scope->here[i].pieces;
        mg -= list->scope->here[i].mg;
    }
    if (pieces > 0 || mg > 0) {
        add_here(list, &(struct scope_here){.lot = fact->id,
                                            .lot_code = fact->code,
                                            .place = fact->place,
                                            .pieces = not_below_zero(pieces),
                                            .mg = not_below_zero(mg)});
    }
}

static struct result read_here(struct store *s, const int64_t *lots, size_t count,
                               const struct lot_fact *facts, struct here_list *list)
{
    struct lot_rows rows = lot_rows_begin(s, Q_TRACE_UNITS, lots, count);
    size_t lot = 0, first = 0;
    for (;;) {
        bool row;
        TRY(lot_rows_next(&rows, &row));
        size_t now = row ? rows.at : count;
        for (; lot < now; lot++) { /* lots whose units are all read */
            add_loose(list, &facts[lot], first);
            first = list->scope->here_count;
        }
        if (!row) {
            return RESULT_OK;
        }
        struct statement *q = rows.statement;
        add_here(list, &(struct scope_here){.lot = facts[now].id,
                                            .lot_code = facts[now].code,
                                            .unit = keep(list->arena, store_text(q, 1)),
                                            .unit_kind = keep(list->arena, store_text(q, 2)),
                                            .unit_state = keep(list->arena, store_text(q, 3)),
                                            .place = keep(list->arena, store_text(q, 4)),
                                            .pieces = store_int(q, 5),
                                            .mg = store_int(q, 6)});
    }
}

static struct result read_left(struct store *s, const int64_t *lots, size_t count,
                               const struct lot_fact *facts, struct arena *a, struct scope *sc)
{
    size_t room = 0;
    struct lot_rows rows = lot_rows_begin(s, Q_TRACE_LEFT, lots, count);
    for (;;) {
        bool row;
        TRY(lot_rows_next(&rows, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct statement *q = rows.statement;
        sc->left = list_grow(a, sc->left, sc->left_count, &room, sizeof *sc->left);
        struct scope_left *line = &sc->left[sc->left_count++];
        *line = (struct scope_left){.lot = store_int(q, 0),
                                    .lot_code = facts[rows.at].code,
                                    .shipment = keep(a, store_text(q, 1)),
                                    .customer = keep(a, store_text(q, 2)),
                                    .at_ms = store_int(q, 3),
                                    .unit = keep(a, store_text(q, 4)),
                                    .pieces = store_int(q, 5),
                                    .mg = store_int(q, 6)};
        sc->left_pieces += line->pieces;
        sc->left_mg += line->mg;
    }
}

struct result scope_of_facts(struct store *s, const int64_t *lots, size_t count,
                             const struct lot_fact *facts, struct arena *a, struct scope *out)
{
    *out = (struct scope){.here_count = 0};
    struct here_list list = {.arena = a, .scope = out};
    TRY(read_here(s, lots, count, facts, &list));
    return read_left(s, lots, count, facts, a, out);
}

struct result recall_scope(struct store *s, const int64_t *lots, size_t count, struct arena *a,
                           struct scope *out)
{
    int64_t *sorted = ARENA_ARRAY(a, int64_t, count);
    if (count > 0) {
        memcpy(sorted, lots, count * sizeof *sorted);
    }
    count = ids_sort(sorted, count);
    struct lot_fact *facts;
    TRY(facts_read(s, sorted, count, a, &facts));
    return scope_of_facts(s, sorted, count, facts, a, out);
}
