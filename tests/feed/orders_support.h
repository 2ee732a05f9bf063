/* An order book in a file, and one that is booked already. */
#ifndef TESTS_FEED_ORDERS_SUPPORT_H
#define TESTS_FEED_ORDERS_SUPPORT_H

#include "support.h"

#define COLUMNS                                                                                  \
    "'columns':{'customer':'Customer','order':'Order','line':'Line','item':'Item','day':'Day','" \
    "pieces':'Pieces'}"
#define HEADER "Customer;Order;Line;Item;Day;Pieces\n"

static void map_orders(void)
{
    map_ok("orders", "{" COLUMNS ",'delimiter':';'}");
}

/* The order book as booked in these tests: line k of order 1, all on 2026-03-04 + k days. */
static struct order_line booked[4];

static struct feed_known known_lines(size_t count)
{
    static const char *const keys[] = {"C1/1/1", "C1/1/2", "C1/1/3", "C1/1/4"};
    for (int i = 0; i < 4; i++) {
        booked[i] = (struct order_line){.key = keys[i],
                                        .customer = "C1",
                                        .item = "a",
                                        .source = "source-1",
                                        .day = day_from_ymd(2026, 3, 4 + i),
                                        .pieces = 100,
                                        .version = 1 + i};
    }
    return (struct feed_known){.orders = booked, .order_count = count};
}

#endif
