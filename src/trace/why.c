#include "trace/lot_rows.h"
#include "trace/memory.h"
#include "trace/trace.h"

static struct result find_lot(struct store *s, const char *field, const char *code, int64_t *out)
{
    struct statement *q = store_prepare(s, Q_TRACE_START_LOT);
    store_bind_text(q, 1, code);
    bool row;
    TRY(store_step(q, &row));
    if (!row) {
        return FAIL1(LOT_UNKNOWN, field, code);
    }
    *out = store_int(q, 0);
    return store_step(q, &row); /* ends the reading */
}

static bool is_start(const struct trace_question *question, int64_t lot)
{
    return ids_index(question->starts.lot, question->starts.count, lot) < question->starts.count;
}

static bool find_path(const struct graph *g, const struct trace_question *question, int64_t lot,
                      struct arena *a, struct path_step **out, size_t *out_count)
{
    *out_count = 0;
    uint32_t target;
    if (!graph_find(g, lot, &target)) {
        return is_start(question, lot);
    }
    uint32_t *starts = ARENA_ARRAY(a, uint32_t, question->starts.count);
    size_t count = 0;
    for (size_t i = 0; i < question->starts.count; i++) {
        count += graph_find(g, question->starts.lot[i], &starts[count]);
    }
    return path_find(g, starts, count, question->direction, question->bases, target, a, out,
                     out_count);
}

/* Puts the codes of the lots beside their ids. */
static struct result name_lots(struct store *s, const struct path_step *steps, size_t count,
                               struct arena *a, struct why_step **out)
{
    int64_t *lots = ARENA_ARRAY(a, int64_t, 2 * count);
    for (size_t i = 0; i < count; i++) {
        lots[2 * i] = steps[i].parent;
        lots[2 * i + 1] = steps[i].child;
    }
    size_t lot_count = ids_sort(lots, 2 * count);
    struct lot_fact *facts;
    TRY(facts_read(s, lots, lot_count, a, &facts));
    *out = ARENA_ARRAY(a, struct why_step, count);
    for (size_t i = 0; i < count; i++) {
        (*out)[i] =
            (struct why_step){facts[ids_index(lots, lot_count, steps[i].parent)].code,
                              facts[ids_index(lots, lot_count, steps[i].child)].code, steps[i]};
    }
    return RESULT_OK;
}

struct result trace_why(const struct graph *g, struct store *s,
                        const struct trace_question *question, const char *field,
                        const char *lot_code, struct arena *a, struct why_step **out,
                        size_t *out_count)
{
    int64_t lot = 0;
    TRY(find_lot(s, field, lot_code, &lot));
    struct path_step *steps = NULL;
    if (!find_path(g, question, lot, a, &steps, out_count)) {
        return FAIL1(TRACE_NO_PATH, field, lot_code);
    }
    return name_lots(s, steps, *out_count, a, out);
}
