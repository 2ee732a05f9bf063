/* Every derived table beside the replayed one, row by row in order of the key. */
#include <inttypes.h>
#include <string.h>

#include "ledger/verify_inner.h"

struct table {
    const char *name;
    enum query query;
    int keys;
    const char *letters, *columns;
};

static const struct table tables[] = {
#define TABLE(name, NAME, keys, letters, columns) {#name, Q_VERIFY_##NAME, keys, letters, columns},
#include "ledger/verify_tables.def"
#undef TABLE
};

struct side {
    struct statement *q;
    bool row;
};

static struct result next(struct side *s)
{
    return store_step(s->q, &s->row);
}

static int order(int64_t x, int64_t y)
{
    return x < y ? -1 : x > y;
}

/* As the store sorts: null first, numbers by size, texts and bytes by their bytes. */
static int compare(struct statement *x, struct statement *y, int column, char letter)
{
    bool x_null = store_is_null(x, column), y_null = store_is_null(y, column);
    if (x_null || y_null) {
        return (int)y_null - (int)x_null;
    }
    if (letter == 'i') {
        return order(store_int(x, column), store_int(y, column));
    }
    if (letter == 't') {
        return strcmp(store_text(x, column), store_text(y, column));
    }
    size_t x_len, y_len;
    const void *x_bytes = store_bytes(x, column, &x_len), *y_bytes = store_bytes(y, column, &y_len);
    int r = x_len > 0 && y_len > 0 ? memcmp(x_bytes, y_bytes, x_len < y_len ? x_len : y_len) : 0;
    return r != 0 ? r : order((int64_t)x_len, (int64_t)y_len);
}

static int compare_keys(const struct table *t, struct statement *x, struct statement *y)
{
    for (int k = 0; k < t->keys; k++) {
        int r = compare(x, y, k, t->letters[k]);
        if (r != 0) {
            return r;
        }
    }
    return 0;
}

static const char *column_text(struct arena *a, struct statement *q, int column, char letter)
{
    size_t len;
    if (store_is_null(q, column)) {
        return "nothing";
    }
    if (letter == 'i') {
        return arena_printf(a, "%" PRId64, store_int(q, column));
    }
    if (letter == 't') {
        return arena_printf(a, "%.200s", store_text(q, column));
    }
    const void *bytes = store_bytes(q, column, &len);
    return hex_text(a, bytes, len);
}

static const char *column_name(struct arena *a, const struct table *t, int column)
{
    const char *at = t->columns;
    for (; column > 0; column--) {
        at = strchr(at, ',') + 1;
    }
    return arena_copy_n(a, at, strcspn(at, ","));
}

static const char *key_text(struct arena *a, const struct table *t, struct statement *q)
{
    const char *text = "";
    for (int k = 0; k < t->keys; k++) {
        text = arena_printf(a, "%s%s%s=%s", text, k > 0 ? " " : "", column_name(a, t, k),
                            column_text(a, q, k, t->letters[k]));
    }
    return text;
}

static void compare_rows(struct verifying *v, const struct table *t, struct statement *is,
                         struct statement *wanted)
{
    for (int k = t->keys; t->letters[k] != '\0'; k++) {
        if (compare(is, wanted, k, t->letters[k]) == 0) {
            continue;
        }
        struct arena *a = &v->scratch;
        const char *name = column_name(a, t, k);
        verify_found(v, t->name, key_text(a, t, is),
                     arena_printf(a, "%s=%s", name, column_text(a, is, k, t->letters[k])),
                     arena_printf(a, "%s=%s", name, column_text(a, wanted, k, t->letters[k])));
    }
}

static struct result compare_table(struct verifying *v, const struct table *t)
{
    struct side is = {.q = store_prepare(v->store, t->query)};
    struct side wanted = {.q = store_prepare(v->replica, t->query)};
    TRY(next(&is));
    TRY(next(&wanted));
    while (is.row || wanted.row) {
        int r = !is.row ? 1 : !wanted.row ? -1 : compare_keys(t, is.q, wanted.q);
        if (r < 0) {
            verify_found(v, t->name, key_text(&v->scratch, t, is.q), "a row", "no such row");
        } else if (r > 0) {
            verify_found(v, t->name, key_text(&v->scratch, t, wanted.q), "no such row", "a row");
        } else {
            compare_rows(v, t, is.q, wanted.q);
        }
        if (r <= 0) {
            v->out->rows++;
            TRY(next(&is));
        }
        if (r >= 0) {
            TRY(next(&wanted));
        }
        arena_clear(&v->scratch);
    }
    return RESULT_OK;
}

struct result verify_tables(struct verifying *v)
{
    enum { COUNT = sizeof tables / sizeof tables[0] };
    for (int i = 0; i < COUNT; i++) {
        TRY(verify_step(v, tables[i].name, i, COUNT));
        TRY(compare_table(v, &tables[i]));
    }
    return RESULT_OK;
}
