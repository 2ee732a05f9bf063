#include "../support.h"

#include "fill.h"

void fill(struct store *s, enum query query, const char *format, ...)
{
    struct statement *q = store_prepare(s, query);
    va_list args;
    va_start(args, format);
    for (int i = 0; format[i] != '\0'; i++) {
        if (format[i] == 'i') {
            store_bind_int(q, i + 1, va_arg(args, int64_t));
        } else if (format[i] == 't') {
            store_bind_text(q, i + 1, va_arg(args, const char *));
        } else {
            store_bind_null(q, i + 1);
        }
    }
    va_end(args);
    bool row = true;
    while (row) {
        assert_ok(store_step(q, &row));
    }
}

struct store *fill_open(void)
{
    struct store *s;
    assert_ok(store_open(NULL, STORE_MEMORY, &s));
    assert_ok(store_begin(s)); /* rows go in and are read in one transaction, which is dropped */
    return s;
}

void fill_lot(struct store *s, int64_t id, const char *code, const char *kind, int64_t supplier_lot)
{
    fill(s, Q_FOLD_LOT,
         "itttnii"
         "nni"
         "itni",
         id, code, "radicle", kind, id, id / 100, supplier_lot, (int64_t)0, "", id);
}

void fill_edge(struct store *s, const struct graph_edge *e)
{
    static const char *const names[] = {"measured", "possible", "unknown"};
    fill(s, Q_FOLD_EDGE, "iiiit", e->parent, e->child, e->entry, e->mg, names[e->basis]);
}

void fill_leg(struct store *s, int64_t entry, int64_t leg, int64_t lot, const char *account,
              const char *unit, int64_t amount)
{
    if (lot != 0) {
        fill(s, Q_FOLD_MOVEMENT,
             "iiinti"
             "tnnni",
             entry, leg, lot, unit, amount, "weighed", (int64_t)0);
        fill(s, Q_FOLD_BALANCE, "iti", lot, unit, amount);
    } else {
        fill(s, Q_FOLD_MOVEMENT, "iinttitnnni", entry, leg, account, unit, amount, "weighed",
             (int64_t)0);
        fill(s, Q_FOLD_ACCOUNT, "tti", account, unit, amount);
    }
}
