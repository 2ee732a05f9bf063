#include "service/view_daybook.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/daybook.h"
#include "ledger/draft.h"
#include "ledger/view.h"
#include "service/entry_row.h"

/* ---- what is asked */

struct asked {
    const char *kind; /* NULL: any */
    int32_t day;
    bool has_day;
    int64_t lot;   /* 0: any */
    int64_t below; /* entries under this number */
    int64_t limit;
};

/* A cursor is the number of the last line shown. */
static struct result read_cursor(const char *text, int64_t *out)
{
    char *end;
    *out = INT64_MAX;
    if (text == NULL) {
        return RESULT_OK;
    }
    *out = strtoll(text, &end, 10);
    return *text >= '0' && *text <= '9' && *end == '\0'
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, "cursor", text, "the next of the page before");
}

/* A kind that this house has no step or command of may be one that it had: then there are entries
 * of it. An empty list of any other would read as if nothing was told. */
static struct result check_kind(struct view *v, const char *kind)
{
    bool is_step = v->profile != NULL && profile_step(v->profile, kind) != NULL;
    if (is_step || act_find(kind) != NULL) {
        return RESULT_OK;
    }
    bool row;
    struct statement *q = store_prepare(v->store, Q_PAGE_DAYBOOK_KIND);
    store_bind_int(q, 1, INT64_MAX);
    store_bind_int(q, 2, 1);
    store_bind_text(q, 3, kind);
    TRY(store_step(q, &row));
    return row ? RESULT_OK : FAIL1(KIND_UNKNOWN, "kind", kind);
}

static struct result read_asked(struct view *v, const struct view_daybook_question *question,
                                struct asked *out)
{
    *out = (struct asked){.kind = question->kind,
                          .limit = question->limit != 0 ? question->limit : VIEW_DAYBOOK_LIMIT};
    if (out->limit < 1 || out->limit > VIEW_DAYBOOK_LIMIT_MAX) {
        return FAIL2(FIELD_RANGE, "limit", arena_printf(v->arena, "%lld", (long long)out->limit),
                     "1 to 200");
    }
    TRY(read_cursor(question->cursor, &out->below));
    if (question->kind != NULL) {
        TRY(check_kind(v, question->kind));
    }
    if (question->day != NULL) {
        TRY(day_read(question->day, "day", &out->day));
        out->has_day = true;
    }
    if (question->lot != NULL) {
        struct lot lot;
        bool found;
        TRY(lot_by_code(v->store, v->arena, question->lot, &lot, &found));
        if (!found) {
            return FAIL1(LOT_UNKNOWN, "lot", question->lot);
        }
        out->lot = lot.id;
    }
    return RESULT_OK;
}

/* ---- the lines */

struct page {
    struct entry
        entry[VIEW_DAYBOOK_LIMIT_MAX + 1]; /* one more than shown, to know of a next page */
    int64_t count;
};

static struct statement *query_of(struct view *v, const struct asked *a)
{
    struct statement *q =
        store_prepare(v->store, a->has_day && a->kind != NULL ? Q_PAGE_DAYBOOK_DAY_KIND
                                : a->has_day                  ? Q_PAGE_DAYBOOK_DAY
                                : a->kind != NULL             ? Q_PAGE_DAYBOOK_KIND
                                                              : Q_PAGE_DAYBOOK);
    store_bind_int(q, 1, a->below);
    store_bind_int(q, 2, a->limit + 1);
    if (a->has_day) {
        store_bind_int(q, 3, a->day);
    }
    if (a->kind != NULL) {
        store_bind_text(q, a->has_day ? 4 : 3, a->kind);
    }
    return q;
}

static struct result read_lines(struct view *v, const struct asked *a, struct page *p)
{
    struct statement *q = query_of(v, a);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        entry_read_row(q, v->arena, &p->entry[p->count++]);
    }
}

/* Of one lot there are few: all of them are listed, and the others' filters tried on each. */
static struct result read_lines_of_lot(struct view *v, const struct asked *a, struct page *p)
{
    int64_t *entries = NULL;
    size_t count = 0, room = 0;
    struct statement *q = store_prepare(v->store, Q_PAGE_DAYBOOK_LOT);
    store_bind_int(q, 1, a->lot);
    store_bind_int(q, 2, a->below);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        if (count == room) {
            int64_t *more = ARENA_ARRAY(v->arena, int64_t, room > 0 ? 2 * room : 256);
            if (count > 0) {
                memcpy(more, entries, count * sizeof *more);
            }
            entries = more;
            room = room > 0 ? 2 * room : 256;
        }
        entries[count++] = store_int(q, 0);
    }
    for (size_t i = 0; i < count && p->count <= a->limit; i++) {
        struct entry *e = &p->entry[p->count];
        bool found;
        TRY(entry_by_seq(v->store, v->arena, entries[i], e, &found));
        CHECK(found); /* the tables are folded from entries */
        p->count +=
            (!a->has_day || e->day == a->day) && (a->kind == NULL || strcmp(a->kind, e->kind) == 0);
    }
    return RESULT_OK;
}

static struct result page_json(struct view *v, const struct asked *a, const struct page *p,
                               json_t *list, json_t **out)
{
    int64_t shown = p->count > a->limit ? a->limit : p->count;
    for (int64_t i = 0; i < shown; i++) {
        json_t *row;
        TRY(entry_row(v, &p->entry[i], NULL, &row));
        json_array_append_new(list, row);
    }
    const char *next = p->count > shown
                           ? arena_printf(v->arena, "%lld", (long long)p->entry[shown - 1].seq)
                           : NULL;
    *out = json_pack("{s:O,s:s?}", "entries", list, "next", next);
    CHECK(*out != NULL);
    return RESULT_OK;
}

struct result view_daybook(struct view *v, const struct view_daybook_question *question,
                           json_t **out)
{
    struct asked a;
    TRY(read_asked(v, question, &a));
    struct page *p = ARENA_NEW(v->arena, struct page);
    TRY(a.lot != 0 ? read_lines_of_lot(v, &a, p) : read_lines(v, &a, p));
    json_t *list = json_array();
    struct result r = page_json(v, &a, p, list, out);
    json_decref(list);
    return r;
}
