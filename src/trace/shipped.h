/* What left the house, by lot: the part of the record that a trace needs for every lot it reaches.
 */
#ifndef TRACE_SHIPPED_H
#define TRACE_SHIPPED_H

#include "base/arena.h"
#include "base/result.h"
#include "trace/ids.h"

struct shipped_line {
    int64_t lot, shipment; /* ids */
    int64_t pieces, mg;
    int64_t entry;
};

struct shipment {
    int64_t id;
    const char *code;
    uint32_t customer; /* index into customer */
};

/* A line as kept. */
struct shipped_kept {
    int64_t lot, pieces, mg, entry;
    uint32_t shipment; /* index into shipment */
    uint32_t position; /* of the lot */
};

struct shipped {
    struct arena texts;
    struct shipment *shipment;
    uint32_t shipment_count, shipment_room;
    struct id_list shipment_ids;
    const char **customer;     /* codes, in the order of first use */
    uint32_t *customer_sorted; /* indices by code */
    uint32_t customer_count, customer_room;
    struct shipped_kept *line; /* the packed ones by position, then the late ones as they came */
    size_t line_count, line_room, packed_count;
    uint32_t *offset; /* packed lines of position p: offset[p] .. offset[p + 1], p < offset_lots */
    uint32_t offset_lots;
};

void shipped_init(struct shipped *sh);
void shipped_release(struct shipped *sh);
void shipped_add_shipment(struct shipped *sh, int64_t id, const char *code, const char *customer);
/* The line's shipment must be known. */
void shipped_add_line(struct shipped *sh, const struct shipped_line *line, uint32_t position);
/* Sorts all lines by position. Positions must be up to date. */
void shipped_pack(struct shipped *sh, uint32_t lot_count);
void shipped_strike(struct shipped *sh, int64_t entry);
/* So many late lines that packing pays. */
bool shipped_is_long(const struct shipped *sh);

#endif
