/* The order book: an import makes the next version of each line that differs; what has left stays
 * as it is and is listed. */
#include <stdlib.h>
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/order_book.h"
#include "ledger/sold.h"
#include "ledger/view.h"

enum { LINES_MAX = 3000 };

static struct result read_line(struct draft *d, const json_t *o, size_t at, const char *source,
                               struct order_line *out)
{
    static const char *const names[] = {"key", "customer", "item", "day", "pieces", "state", NULL};
    const char *path = arena_printf(d->arena, "lines[%zu]", at);
    const char *day = NULL, *state = "open";
    if (!json_is_object(o)) {
        return FAIL2(FIELD_TYPE, path, "an object", "something else");
    }
    *out = (struct order_line){.source = source, .line = (int64_t)at + 1};
    TRY(json_only(o, path, "an order line", names));
    TRY(json_get_text(o, "key", arena_printf(d->arena, "%s.key", path), JSON_NEEDED, &out->key));
    TRY(json_get_text(o, "customer", arena_printf(d->arena, "%s.customer", path), JSON_NEEDED,
                      &out->customer));
    TRY(json_get_text(o, "item", arena_printf(d->arena, "%s.item", path), JSON_NEEDED, &out->item));
    TRY(json_get_text(o, "day", arena_printf(d->arena, "%s.day", path), JSON_NEEDED, &day));
    TRY(day_read(day, arena_printf(d->arena, "%s.day", path), &out->day));
    TRY(json_get_text(o, "state", arena_printf(d->arena, "%s.state", path), JSON_OPTIONAL, &state));
    if (!list_has("open,cancelled", state)) {
        return FAIL2(FIELD_CHOICE, arena_printf(d->arena, "%s.state", path), state,
                     "open, cancelled");
    }
    out->state = strcmp(state, "open") == 0 ? ORDER_OPEN : ORDER_CANCELLED;
    int64_t least = out->state == ORDER_OPEN ? 1 : 0;
    TRY(json_get_int(o, "pieces", arena_printf(d->arena, "%s.pieces", path), JSON_NEEDED, least,
                     100000000, &out->pieces));
    return sold_names(d, arena_printf(d->arena, "%s.", path), out->customer, out->item,
                      out->state == ORDER_OPEN);
}

static int by_key(const void *left, const void *right)
{
    const struct order_line *const *x = left;
    const struct order_line *const *y = right;
    int order = strcmp((*x)->key, (*y)->key);
    return order != 0 ? order : (*x)->line < (*y)->line ? -1 : 1;
}

static const struct order_line **sort_lines(struct arena *a, const struct order_line *lines,
                                            size_t count)
{
    const struct order_line **at = ARENA_ARRAY(a, const struct order_line *, count + 1);
    for (size_t i = 0; i < count; i++) {
        at[i] = &lines[i];
    }
    qsort(at, count, sizeof *at, by_key);
    return at;
}

static struct result refuse_twice(struct draft *d, const struct order_line *lines, size_t count)
{
    const struct order_line **at = sort_lines(d->arena, lines, count);
    for (size_t i = 1; i < count; i++) {
        if (strcmp(at[i - 1]->key, at[i]->key) == 0) {
            const char *path =
                arena_printf(d->arena, "lines[%lld].key", (long long)at[i]->line - 1);
            return FAIL2(FIELD_RANGE, path, at[i]->key, "a key that no other line of the file has");
        }
    }
    return RESULT_OK;
}

static struct result read_asked(struct draft *d, struct order_book *book)
{
    json_t *list = NULL;
    TRY(json_get_text(d->cmd->body, "source", "source", JSON_NEEDED, &book->source));
    TRY(json_get_array(d->cmd->body, "lines", "lines", JSON_NEEDED, &list));
    size_t count = json_array_size(list);
    if (count > LINES_MAX) {
        return FAIL2(FIELD_RANGE, "lines", "too long", "at most 3000 lines in one command");
    }
    struct order_line *lines = ARENA_ARRAY(d->arena, struct order_line, count + 1);
    for (size_t i = 0; i < count; i++) {
        TRY(read_line(d, json_array_get(list, i), i, book->source, &lines[i]));
    }
    book->asked = lines;
    book->asked_count = count;
    return refuse_twice(d, lines, count);
}

static struct result read_whole(struct draft *d, struct order_book *book)
{
    const char *from = NULL, *to = NULL;
    TRY(json_get_text(d->cmd->body, "whole_book_from", "whole_book_from", JSON_OPTIONAL, &from));
    TRY(json_get_text(d->cmd->body, "whole_book_to", "whole_book_to",
                      from != NULL ? JSON_NEEDED : JSON_OPTIONAL, &to));
    if (from == NULL) {
        return to == NULL
                   ? RESULT_OK
                   : FAIL1(FIELD_MISSING, "whole_book_from", "Give both ends of the whole book.");
    }
    book->whole = true;
    TRY(day_read(from, "whole_book_from", &book->whole_from));
    TRY(day_read(to, "whole_book_to", &book->whole_to));
    return book->whole_to >= book->whole_from ? RESULT_OK
                                              : FAIL2(END_BEFORE_START, "whole_book_to", from, to);
}

static void read_booked(struct draft *d, struct statement *q, struct order_line *out)
{
    *out = (struct order_line){.key = arena_copy(d->arena, store_text(q, 0)),
                               .version = store_int(q, 1),
                               .customer = arena_copy(d->arena, store_text(q, 2)),
                               .item = arena_copy(d->arena, store_text(q, 3)),
                               .day = (int32_t)store_int(q, 4),
                               .pieces = store_int(q, 5),
                               .state = strcmp(store_text(q, 6), "cancelled") == 0 ? ORDER_CANCELLED
                                                                                   : ORDER_OPEN,
                               .source = arena_copy(d->arena, store_text(q, 7)),
                               .shipped_pieces = store_int(q, 8)};
}

struct booked {
    struct order_line *line;
    size_t count, room;
};

static struct result add_booked(struct draft *d, struct statement *q, struct booked *list)
{
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (list->count == list->room) {
            list->room = list->room != 0 ? list->room * 2 : 256;
            struct order_line *grown = ARENA_ARRAY(d->arena, struct order_line, list->room);
            if (list->count > 0) {
                memcpy(grown, list->line, list->count * sizeof *grown);
            }
            list->line = grown;
        }
        read_booked(d, q, &list->line[list->count++]);
    }
}

/* The newest version of each asked line, and of every other line of the days for which the book is
 * whole. */
static struct result collect_booked(struct draft *d, struct order_book *book)
{
    struct booked list = {0};
    for (size_t i = 0; i < book->asked_count; i++) {
        struct statement *q = store_prepare(d->store, Q_ORDER_LINE_BY_KEY);
        store_bind_text(q, 1, book->asked[i].key);
        TRY(add_booked(d, q, &list));
    }
    if (book->whole) {
        struct statement *q = store_prepare(d->store, Q_ORDER_LINES_OF_DAYS);
        store_bind_int(q, 1, book->whole_from);
        store_bind_int(q, 2, book->whole_to);
        TRY(add_booked(d, q, &list));
    }
    const struct order_line **sorted = sort_lines(d->arena, list.line, list.count);
    struct order_line *each = ARENA_ARRAY(d->arena, struct order_line, list.count + 1);
    for (size_t i = 0; i < list.count; i++) {
        if (i == 0 || strcmp(sorted[i - 1]->key, sorted[i]->key) != 0) {
            each[book->booked_count++] = *sorted[i];
        }
    }
    book->booked = each;
    return RESULT_OK;
}

/* Versions are never used again, not even those of struck entries. */
static struct result next_version(struct draft *d, const char *key, int64_t *out)
{
    struct statement *q = store_prepare(d->store, Q_ORDER_VERSION_LAST);
    store_bind_text(q, 1, key);
    bool row;
    TRY(store_step(q, &row));
    *out = row ? store_int(q, 0) + 1 : 1;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result book_line(struct draft *d, const struct order_line *n)
{
    int64_t version;
    TRY(next_version(d, n->key, &version));
    draft_add(d, EFFECT_ORDER_LINE, "tittiitt", n->key, version, n->customer, n->item,
              (int64_t)n->day, n->pieces, order_state_text(n->state), n->source);
    return RESULT_OK;
}

struct result decide_order(struct draft *d)
{
    static const char *const names[] = {"lines", "source", "whole_book_from", "whole_book_to",
                                        NULL};
    static const char *const words[] = {"new", "changed", "unchanged", "cancelled", "shipped"};
    struct order_book book = {0};
    struct order_difference *list;
    size_t count;
    int64_t counts[ORDER_CHANGES] = {0};
    TRY(draft_only(d, "orders", names));
    TRY(read_asked(d, &book));
    TRY(read_whole(d, &book));
    TRY(collect_booked(d, &book));
    order_book_compare(d->arena, &book, &list, &count);
    json_t *left = json_array();
    json_object_set_new(d->answer, "left_already", left);
    for (size_t i = 0; i < count; i++) {
        counts[list[i].change]++;
        switch (list[i].change) {
        case ORDER_CHANGE_NEW:
        case ORDER_CHANGE_CHANGED:
        case ORDER_CHANGE_CANCELLED:
            TRY(book_line(d, &list[i].next));
            break;
        case ORDER_CHANGE_SHIPPED:
            json_array_append_new(left, json_string(list[i].booked->key));
            break;
        case ORDER_CHANGE_UNCHANGED:
        case ORDER_CHANGES:
            break;
        }
    }
    for (int i = 0; i < ORDER_CHANGES; i++) {
        json_object_set_new(d->answer, words[i], json_integer(counts[i]));
    }
    return RESULT_OK;
}
