#include "service/view_lots.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "service/story.h"
#include "service/view_inner.h"

/* A page of them, as asked. */
struct page {
    const char *kind, *item, *state, *q;
    int64_t below;      /* ids below */
    const char *behind; /* codes behind */
    int64_t limit;
};

static const char *or_empty(const char *text)
{
    return text != NULL ? text : "";
}

static struct result read_cursor(const char *cursor, struct page *p)
{
    p->below = INT64_MAX;
    p->behind = "";
    if (cursor[0] == '\0') {
        return RESULT_OK;
    }
    if (p->q[0] != '\0') {
        p->behind = cursor;
        return RESULT_OK;
    }
    char *end;
    p->below = strtoll(cursor, &end, 10);
    return *end == '\0' && p->below > 0
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, "cursor", cursor, "what the page before gave as next");
}

/* ---- what may be asked for */

/* Each once. */
static void add_name(const struct view *v, const char **list, const char *name)
{
    if (!list_has(*list, name)) {
        *list = (*list)[0] == '\0' ? arena_copy(v->arena, name)
                                   : arena_printf(v->arena, "%s,%s", *list, name);
    }
}

static struct result add_names(const struct view *v, struct statement *q, const char **list)
{
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        add_name(v, list, store_text(q, 0));
    }
}

static void add_list(const struct view *v, const char *names, const char **list)
{
    char name[64];
    while (list_next(&names, name, sizeof name)) {
        add_name(v, list, name);
    }
}

/* What the profile's steps bring in or make. */
static void add_made(const struct view *v, const char **list)
{
    static const char *const made[][2] = {
        {"receive", "seed,ingredient,packaging"}, /* as decide_receive takes items */
        {"treat", "load"},
        {"grow", "growing"},
        {"harvest", "harvested"},
        {"pack", "packed"},
        {"return", "returned"},
        {"rework", "reworked"}};
    for (size_t i = 0; v->profile != NULL && i < v->profile->step_count; i++) {
        const struct profile_step *step = &v->profile->steps[i];
        for (size_t k = 0; k < sizeof made / sizeof made[0]; k++) {
            add_list(v, strcmp(step->act, made[k][0]) == 0 ? made[k][1] : "", list);
        }
        for (size_t k = 0; k < step->out_count; k++) {
            add_name(v, list, step->outs[k].kind);
        }
    }
}

/* Nothing of a kind is no reason to refuse it, a kind that no lot here can be of is: an empty list
 * would read as if all were used up. */
static struct result check_kind(const struct view *v, const char *kind)
{
    const char *kinds = "";
    add_made(v, &kinds);
    TRY(add_names(v, store_prepare(v->store, Q_PAGE_LOT_KINDS), &kinds));
    return list_has(kinds, kind) ? RESULT_OK
           : kinds[0] == '\0'    ? FAIL0(PROFILE_MISSING, "")
                                 : FAIL2(FIELD_CHOICE, "kind", kind, kinds);
}

static struct result check_item(const struct view *v, const char *code)
{
    struct item item;
    bool found;
    const char *codes = "";
    TRY(item_by_code(v->store, v->arena, code, &item, &found));
    if (found) {
        return RESULT_OK;
    }
    TRY(add_names(v, store_prepare(v->store, Q_ITEM_ALL), &codes));
    return codes[0] == '\0' ? FAIL1(ITEM_UNKNOWN, "item", code)
                            : FAIL2(FIELD_CHOICE, "item", code, codes);
}

static struct result read_asked(struct view *v, const struct view_lots_asked *asked, struct page *p)
{
    static const char states[] = "open,held,released,all";
    *p = (struct page){.kind = or_empty(asked->kind),
                       .item = or_empty(asked->item),
                       .state = or_empty(asked->state),
                       .q = or_empty(asked->q),
                       .limit = asked->limit != 0 ? asked->limit : VIEW_PAGE_DEFAULT};
    p->state = p->state[0] != '\0' ? p->state : "open";
    if (!list_has(states, p->state)) {
        return FAIL2(FIELD_CHOICE, "state", p->state, states);
    }
    if (p->limit < 1 || p->limit > VIEW_PAGE_MAX) {
        return FAIL2(FIELD_RANGE, "limit", view_number(v, p->limit), "1 to 200");
    }
    if (p->kind[0] != '\0') {
        TRY(check_kind(v, p->kind));
    }
    if (p->item[0] != '\0') {
        TRY(check_item(v, p->item));
    }
    return read_cursor(or_empty(asked->cursor), p);
}

/* One more than a page is asked for, to know whether another follows. */
static struct statement *page_query(const struct view *v, const struct page *p)
{
    struct statement *q;
    if (p->q[0] != '\0') {
        q = store_prepare(v->store, Q_PAGE_LOTS_NAMED);
        store_bind_text(q, 1, p->behind);
        store_bind_text(q, 2, p->q);
        store_bind_text(q, 3,
                        arena_printf(v->arena, "%s~", p->q)); /* behind all letters of codes */
        store_bind_text(q, 4, p->kind);
        store_bind_text(q, 5, p->item);
        store_bind_int(q, 6, p->limit + 1);
        return q;
    }
    bool all = strcmp(p->state, "all") == 0;
    q = store_prepare(v->store, all ? Q_PAGE_LOTS_ALL : Q_PAGE_LOTS_HERE);
    store_bind_int(q, 1, p->below);
    store_bind_text(q, 2, p->kind);
    store_bind_text(q, 3, p->item);
    if (all) {
        store_bind_int(q, 4, p->limit + 1);
        return q;
    }
    store_bind_text(q, 4, strcmp(p->state, "open") == 0 ? "all" : p->state);
    store_bind_int(q, 5, p->limit + 1);
    return q;
}

static json_t *lot_row(const struct view *v, struct statement *q)
{
    bool closed = store_int(q, 9) != 0, held = store_int(q, 10) > 0, released = store_int(q, 11);
    const char *state = closed ? "closed" : held ? "held" : released ? "released" : "open";
    json_t *o = json_pack(
        "{s:s,s:s,s:s,s:o,s:s,s:I,s:I,s:I,s:s,s:s,s:o}", "lot", store_text(q, 1), "kind",
        store_text(q, 2), "item", store_text(q, 3), "place", view_text(store_text(q, 4)), "day",
        day_text(v->arena, (int32_t)store_int(q, 5)), "mg", (json_int_t)store_int(q, 6), "pieces",
        (json_int_t)store_int(q, 7), "holds", (json_int_t)store_int(q, 10), "state", state, "tone",
        strcmp(state, "held") == 0   ? "stopped"
        : strcmp(state, "open") == 0 ? "waiting"
                                     : "done",
        "best_before",
        view_text(store_is_null(q, 8) ? NULL : day_text(v->arena, (int32_t)store_int(q, 8))));
    CHECK(o != NULL);
    return o;
}

static struct result read_page(const struct view *v, const struct page *p, json_t *lots,
                               const char **out_next)
{
    struct statement *q = page_query(v, p);
    const char *last = NULL;
    bool row;
    *out_next = NULL;
    for (int64_t i = 0;; i++) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (i == p->limit) {
            *out_next = last;
            return told_finish(q, row);
        }
        view_append(lots, lot_row(v, q));
        last = p->q[0] != '\0' ? arena_copy(v->arena, store_text(q, 1))
                               : view_number(v, store_int(q, 0));
    }
}

struct result view_lots(struct view *v, const struct view_lots_asked *asked, json_t **out)
{
    struct page p;
    const char *next;
    TRY(read_asked(v, asked, &p));
    json_t *lots = json_array();
    struct result r = read_page(v, &p, lots, &next);
    if (r.code != CODE_OK) {
        json_decref(lots);
        return r;
    }
    *out = json_pack("{s:o,s:o}", "lots", lots, "next", view_text(next));
    CHECK(*out != NULL);
    return RESULT_OK;
}
