/* Who received something of the lots reached. */
#ifndef TRACE_CUSTOMERS_H
#define TRACE_CUSTOMERS_H

#include "trace/reach.h"

struct customer_shipment {
    const char *code;
    int64_t pieces, mg; /* of the reached lots in this shipment */
};

struct customer_reached {
    const char *code;
    int64_t pieces, mg;
    const struct customer_shipment *shipments; /* in the order of their ids */
    size_t shipment_count;
};

/* Customers by code, from what the graph knows to have left. Texts live in the arena. */
void customers_reached(const struct graph *g, const struct reach *reach, struct arena *a,
                       struct customer_reached **out, size_t *out_count);

#endif
