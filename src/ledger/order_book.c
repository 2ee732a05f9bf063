#include "ledger/order_book.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"

const char *order_state_text(enum order_state state)
{
    return state == ORDER_OPEN ? "open" : "cancelled";
}

static int by_key(const void *left, const void *right)
{
    const struct order_line *const *x = left;
    const struct order_line *const *y = right;
    return strcmp((*x)->key, (*y)->key);
}

struct index {
    const struct order_line **at; /* sorted by key */
    size_t count;
};

static struct index index_of(struct arena *a, const struct order_line *lines, size_t count)
{
    struct index index = {.at = ARENA_ARRAY(a, const struct order_line *, count + 1),
                          .count = count};
    for (size_t i = 0; i < count; i++) {
        index.at[i] = &lines[i];
    }
    qsort(index.at, count, sizeof *index.at, by_key);
    for (size_t i = 1; i < count; i++) {
        CHECK(strcmp(index.at[i - 1]->key, index.at[i]->key) != 0);
    }
    return index;
}

static const struct order_line *find(const struct index *index, const struct order_line *line)
{
    const struct order_line **found =
        bsearch(&line, index->at, index->count, sizeof *index->at, by_key);
    return found != NULL ? *found : NULL;
}

static bool same(const struct order_line *x, const struct order_line *y)
{
    return strcmp(x->customer, y->customer) == 0 && strcmp(x->item, y->item) == 0 &&
           x->day == y->day && x->pieces == y->pieces && x->state == y->state;
}

/* A line of which all has left stays as it is; one of which a part has left may still change in day
 * and pieces, not below that part. */
static bool may_become(const struct order_line *booked, const struct order_line *asked)
{
    if (booked->shipped_pieces == 0) {
        return true;
    }
    return booked->shipped_pieces < booked->pieces && asked->state == ORDER_OPEN &&
           asked->pieces >= booked->shipped_pieces &&
           strcmp(booked->customer, asked->customer) == 0 && strcmp(booked->item, asked->item) == 0;
}

static struct order_difference difference(const struct order_line *booked,
                                          const struct order_line *asked)
{
    struct order_difference d = {.booked = booked, .asked = asked};
    if (booked == NULL) {
        /* a line that was cancelled before it was ever booked is nothing to book */
        d.change = asked->state == ORDER_OPEN ? ORDER_CHANGE_NEW : ORDER_CHANGE_UNCHANGED;
    } else if (same(booked, asked) ||
               (booked->state == ORDER_CANCELLED && asked->state == ORDER_CANCELLED)) {
        d.change = ORDER_CHANGE_UNCHANGED;
    } else if (!may_become(booked, asked)) {
        d.change = ORDER_CHANGE_SHIPPED;
    } else {
        d.change = asked->state == ORDER_OPEN ? ORDER_CHANGE_CHANGED : ORDER_CHANGE_CANCELLED;
    }
    d.next = *asked;
    d.next.version = booked != NULL ? booked->version + 1 : 1;
    d.next.shipped_pieces = booked != NULL ? booked->shipped_pieces : 0;
    return d;
}

void order_book_compare(struct arena *a, const struct order_book *book,
                        struct order_difference **out, size_t *out_count)
{
    struct index booked = index_of(a, book->booked, book->booked_count);
    struct index asked = index_of(a, book->asked, book->asked_count);
    struct order_difference *list =
        ARENA_ARRAY(a, struct order_difference, book->booked_count + book->asked_count + 1);
    size_t count = 0;
    for (size_t i = 0; i < book->asked_count; i++) {
        list[count++] = difference(find(&booked, &book->asked[i]), &book->asked[i]);
    }
    for (size_t i = 0; book->whole && i < booked.count; i++) {
        const struct order_line *line = booked.at[i];
        bool covered = line->state == ORDER_OPEN && line->day >= book->whole_from &&
                       line->day <= book->whole_to && strcmp(line->source, book->source) == 0;
        if (covered && find(&asked, line) == NULL) {
            struct order_line gone = *line;
            gone.state = ORDER_CANCELLED;
            gone.line = 0;
            struct order_difference d = difference(line, &gone);
            d.asked = NULL;
            list[count++] = d;
        }
    }
    *out = list;
    *out_count = count;
}
