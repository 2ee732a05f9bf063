#include "store/sqlite/memo.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"

enum { BINDS_MAX = 2, TEXT_MAX = 48, SLOTS = 256, ROWS_MAX = 256, BYTES_MAX = 16 * 1024 };

struct cell {
    bool null;
    int64_t number;
    size_t text; /* its place in the answer's texts, counted from 1; 0: a number, or null */
};

/* An answer, whole. It may be in use when its place is taken or its tables are written. */
struct memo_rows {
    int holders;
    int columns, rows;
    struct cell *cells;
    char *texts;
};

struct key {
    int query;
    struct {
        char kind; /* 0 unbound or null, i, t */
        int64_t number;
        char text[TEXT_MAX];
    } bind[BINDS_MAX];
};

struct slot {
    bool used;
    uint64_t written; /* what memo_state was */
    struct key key;
    struct memo_rows *rows; /* NULL: too long to keep */
};

struct memo_slots {
    uint64_t forgotten;
    uint64_t written[KEPT_TABLES_MAX];
    struct slot slots[SLOTS];
};

struct memo_use {
    struct store *store;
    enum query query;
    struct key key;
    char *longer[BINDS_MAX]; /* a text too long for a key; then nothing is kept */
    bool plain;              /* stepped itself */
    struct memo_rows *rows;
    int row; /* the row that stands, counted from 1; 0: none */
};

static void let_go(struct memo_rows *rows)
{
    if (rows != NULL && --rows->holders == 0) {
        free(rows->cells);
        free(rows->texts);
        free(rows);
    }
}

struct memo_use *memo_use_new(struct store *s, enum query query)
{
    if (store_is_reader(s) || embedded_queries[query].kept == 0) {
        return NULL;
    }
    if (s->memo == NULL) {
        s->memo = calloc(1, sizeof *s->memo);
        CHECK(s->memo != NULL);
    }
    struct memo_use *u = calloc(1, sizeof *u);
    CHECK(u != NULL);
    u->store = s;
    u->query = query;
    return u;
}

void memo_begin(struct memo_use *u)
{
    let_go(u->rows);
    for (int i = 0; i < BINDS_MAX; i++) {
        free(u->longer[i]);
    }
    *u = (struct memo_use){.store = u->store, .query = u->query, .key = {.query = (int)u->query}};
}

void memo_use_free(struct memo_use *u)
{
    if (u != NULL) {
        memo_begin(u);
        free(u);
    }
}

void memo_bind_int(struct memo_use *u, int at, int64_t value)
{
    CHECK(at >= 1 && at <= BINDS_MAX);
    u->key.bind[at - 1].kind = 'i';
    u->key.bind[at - 1].number = value;
}

void memo_bind_null(struct memo_use *u, int at)
{
    CHECK(at >= 1 && at <= BINDS_MAX);
    u->key.bind[at - 1].kind = 0;
}

void memo_bind_text(struct memo_use *u, int at, const char *text)
{
    CHECK(at >= 1 && at <= BINDS_MAX);
    u->key.bind[at - 1].kind = 't';
    size_t len = strlen(text);
    if (len < TEXT_MAX) {
        memcpy(u->key.bind[at - 1].text, text, len + 1);
        return;
    }
    u->longer[at - 1] = strdup(text);
    CHECK(u->longer[at - 1] != NULL);
}

static size_t slot_of(const struct key *k)
{
    uint32_t h = 2166136261U ^ (uint32_t)k->query; /* FNV-1a; any spread will do */
    for (int i = 0; i < BINDS_MAX; i++) {
        h = (h ^ (uint32_t)k->bind[i].number) * 16777619U;
        for (const char *c = k->bind[i].text; *c != '\0'; c++) {
            h = (h ^ (uint8_t)*c) * 16777619U;
        }
    }
    return (h ^ h >> 16) % SLOTS;
}

/* Grows with every write of a table on which the answer rests, and with everything forgotten. */
static uint64_t memo_state(const struct memo_slots *k, enum query query)
{
    const struct embedded_query *q = &embedded_queries[query];
    uint64_t sum = k->forgotten;
    for (int i = 0; i < q->kept; i++) {
        sum += k->written[q->rests[i]];
    }
    return sum;
}

static void bind_all(const struct memo_use *u, sqlite3_stmt *compiled)
{
    int count = sqlite3_bind_parameter_count(compiled);
    sqlite3_reset(compiled);
    sqlite3_clear_bindings(compiled);
    for (int i = 0; i < BINDS_MAX && i < count; i++) {
        int rc = SQLITE_OK;
        if (u->key.bind[i].kind == 'i') {
            rc = sqlite3_bind_int64(compiled, i + 1, u->key.bind[i].number);
        } else if (u->key.bind[i].kind == 't') {
            const char *text = u->longer[i] != NULL ? u->longer[i] : u->key.bind[i].text;
            rc = sqlite3_bind_text(compiled, i + 1, text, -1, SQLITE_TRANSIENT);
        }
        CHECK(rc == SQLITE_OK);
    }
}

/* One more row; false: too long. */
static bool row_add(struct memo_rows *r, sqlite3_stmt *q, size_t *used)
{
    if (r->rows == ROWS_MAX) {
        return false;
    }
    size_t at = (size_t)(r->rows * r->columns);
    r->cells = realloc(r->cells, (at + (size_t)r->columns) * sizeof *r->cells);
    CHECK(r->cells != NULL);
    for (int i = 0; i < r->columns; i++) {
        int type = sqlite3_column_type(q, i);
        struct cell *c = &r->cells[at + (size_t)i];
        *c = (struct cell){.null = type == SQLITE_NULL};
        CHECK(type == SQLITE_NULL || type == SQLITE_INTEGER || type == SQLITE_TEXT);
        if (type == SQLITE_INTEGER) {
            c->number = sqlite3_column_int64(q, i);
        } else if (type == SQLITE_TEXT) {
            const unsigned char *text = sqlite3_column_text(q, i);
            size_t len = text != NULL ? strlen((const char *)text) + 1 : SIZE_MAX;
            if (len > BYTES_MAX - *used) {
                return false;
            }
            memcpy(r->texts + *used, text, len);
            c->text = *used + 1;
            *used += len;
        }
    }
    r->rows++;
    return true;
}

/* Reads the whole answer. *out NULL: too long to keep. */
static struct result read_all(struct store *s, sqlite3_stmt *q, struct memo_rows **out)
{
    struct memo_rows *r = calloc(1, sizeof *r);
    CHECK(r != NULL);
    r->holders = 1;
    r->columns = sqlite3_column_count(q);
    r->texts = malloc(BYTES_MAX);
    CHECK(r->texts != NULL);
    size_t used = 0;
    bool whole = true;
    int rc = sqlite3_step(q);
    while (rc == SQLITE_ROW && whole) {
        whole = row_add(r, q, &used);
        rc = whole ? sqlite3_step(q) : rc;
    }
    struct result result = !whole || rc == SQLITE_DONE ? RESULT_OK : sqlite_fail(s->db, rc);
    sqlite3_reset(q);
    if (!whole || result.code != CODE_OK) {
        let_go(r);
        *out = NULL;
        return result;
    }
    r->texts = realloc(r->texts, used + 1);
    CHECK(r->texts != NULL);
    *out = r;
    return RESULT_OK;
}

/* The answer, from its slot or read into it. */
static struct result answer_find(struct memo_use *u, sqlite3_stmt *compiled)
{
    struct memo_slots *k = u->store->memo;
    struct slot *slot = &k->slots[slot_of(&u->key)];
    uint64_t written = memo_state(k, u->query);
    if (!slot->used || slot->written != written ||
        memcmp(&slot->key, &u->key, sizeof slot->key) != 0) {
        let_go(slot->rows);
        slot->rows = NULL;
        slot->used = false;
        bind_all(u, compiled);
        TRY(read_all(u->store, compiled, &slot->rows));
        slot->used = true;
        slot->written = written;
        slot->key = u->key;
    }
    u->rows = slot->rows;
    if (u->rows != NULL) {
        u->rows->holders++;
    }
    return RESULT_OK;
}

struct result memo_step(struct memo_use *u, sqlite3_stmt *compiled, bool *out_served, bool *out_row)
{
    *out_served = !u->plain;
    *out_row = false;
    if (u->plain) {
        return RESULT_OK;
    }
    if (u->rows == NULL) {
        bool keeps = u->longer[0] == NULL && u->longer[1] == NULL;
        if (keeps) {
            TRY(answer_find(u, compiled));
        }
        if (u->rows == NULL) {
            u->plain = true;
            *out_served = false;
            bind_all(u, compiled);
            return RESULT_OK;
        }
    }
    if (u->row < u->rows->rows) {
        u->row++;
        *out_row = true;
        return RESULT_OK;
    }
    let_go(u->rows); /* at its end; stepped again, it begins anew */
    u->rows = NULL;
    u->row = 0;
    return RESULT_OK;
}

bool memo_on_row(const struct memo_use *u)
{
    return u->row > 0;
}

static const struct cell *cell_of(const struct memo_use *u, int column)
{
    CHECK(u->row > 0 && column >= 0 && column < u->rows->columns);
    return &u->rows->cells[(u->row - 1) * u->rows->columns + column];
}

int64_t memo_int(const struct memo_use *u, int column)
{
    const struct cell *c = cell_of(u, column);
    CHECK(c->text == 0);
    return c->number;
}

const char *memo_text(const struct memo_use *u, int column)
{
    const struct cell *c = cell_of(u, column);
    CHECK(c->null || c->text > 0);
    return c->null ? NULL : u->rows->texts + c->text - 1;
}

bool memo_is_null(const struct memo_use *u, int column)
{
    return cell_of(u, column)->null;
}

void memo_written(struct store *s, int table)
{
    if (s->memo != NULL) {
        s->memo->written[table]++;
    }
}

void memo_forget(struct store *s)
{
    if (s->memo != NULL) {
        s->memo->forgotten++;
    }
}

void memo_free(struct store *s)
{
    for (int i = 0; s->memo != NULL && i < SLOTS; i++) {
        let_go(s->memo->slots[i].rows);
    }
    free(s->memo);
    s->memo = NULL;
}
