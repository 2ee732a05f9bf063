/* What a file of order lines changes in the order book. Pure: no record is read or written here.
 *
 * A line is known by its key. Importing the book again makes the next version of what differs. A
 * booked line that the file does not have is cancelled only within the days for which the file says
 * that it is the whole book, and only where the same source had booked it. What has already left is
 * not changed: a line is shipped as far as shipped_pieces says. */
#ifndef LEDGER_ORDER_BOOK_H
#define LEDGER_ORDER_BOOK_H

#include "base/result.h"

enum order_state { ORDER_OPEN, ORDER_CANCELLED };

struct order_line {
    const char *key, *customer, *item, *source;
    int32_t day;
    int64_t pieces;
    enum order_state state;
    int64_t version;        /* booked lines: 1.. */
    int64_t shipped_pieces; /* booked lines */
    int64_t line;           /* lines of a file: where it stands there */
};

struct order_book {
    const struct order_line *booked; /* the newest version of each key, any order */
    size_t booked_count;
    const struct order_line *asked; /* each key once, any order */
    size_t asked_count;
    bool whole; /* the file is all there is from whole_from to whole_to, both included */
    int32_t whole_from, whole_to;
    const char *source;
};

enum order_change {
    ORDER_CHANGE_NEW,
    ORDER_CHANGE_CHANGED,
    ORDER_CHANGE_UNCHANGED,
    ORDER_CHANGE_CANCELLED, /* by its state in the file, or gone from a whole book */
    ORDER_CHANGE_SHIPPED,   /* would change or be cancelled, but has left: stays as it is */
    ORDER_CHANGES
};

struct order_difference {
    enum order_change change;
    const struct order_line *booked; /* NULL for a new line */
    const struct order_line *asked;  /* NULL for a line that is gone */
    struct order_line next;          /* what to book; with change NEW, CHANGED and CANCELLED only */
};

/* One difference for each asked line in their order, then one for each line that is gone, by key.
 */
void order_book_compare(struct arena *a, const struct order_book *book,
                        struct order_difference **out, size_t *out_count);

const char *order_state_text(enum order_state state);

#endif
