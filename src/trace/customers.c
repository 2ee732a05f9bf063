#include "trace/customers.h"

#include <string.h>

#include "trace/memory.h"

struct tally {
    const struct shipped *shipped;
    int64_t *pieces, *mg; /* by shipment */
    uint8_t *touched;
    uint32_t *list; /* shipments touched */
    uint32_t count;
};

static inline void tally_line(struct tally *t, const struct shipped_kept *line)
{
    t->pieces[line->shipment] += line->pieces;
    t->mg[line->shipment] += line->mg;
    if (t->touched[line->shipment] == 0) {
        t->touched[line->shipment] = 1;
        t->list[t->count++] = line->shipment;
    }
}

/* Lots that stand side by side have their lines side by side. Lots younger than the packed lines
 * have late ones only. */
static inline void tally_packed(struct tally *t, uint32_t first, uint32_t length)
{
    const struct shipped *sh = t->shipped;
    uint32_t end = first + length < sh->offset_lots ? first + length : sh->offset_lots;
    for (uint32_t k = first < end ? sh->offset[first] : 0; first < end && k < sh->offset[end];
         k++) {
        tally_line(t, &sh->line[k]);
    }
}

static void tally_reached(struct tally *t, const struct reach *reach)
{
    const struct shipped *sh = t->shipped;
    for (uint32_t w = 0; w * UINT64_C(64) < sh->offset_lots; w++) {
        for (uint64_t todo = reach->seen[w]; todo != 0;) {
            unsigned low = (unsigned)__builtin_ctzll(todo);
            uint64_t above = ~(todo >> low);
            unsigned length = above != 0 ? (unsigned)__builtin_ctzll(above) : 64;
            tally_packed(t, w * 64 + low, length);
            todo = low + length < 64 ? todo & ~UINT64_C(0) << (low + length) : 0;
        }
    }
    for (size_t k = sh->packed_count; k < sh->line_count; k++) {
        if (reach_has(reach, sh->line[k].position)) {
            tally_line(t, &sh->line[k]);
        }
    }
}

static int by_customer_and_id(const void *x, const void *y, void *shipped)
{
    const struct shipped *sh = shipped;
    const struct shipment *a = &sh->shipment[*(const uint32_t *)x];
    const struct shipment *b = &sh->shipment[*(const uint32_t *)y];
    if (a->customer != b->customer) {
        return strcmp(sh->customer[a->customer], sh->customer[b->customer]);
    }
    return (a->id > b->id) - (a->id < b->id);
}

static size_t count_customers(const struct tally *t)
{
    size_t count = 0;
    for (uint32_t i = 0; i < t->count; i++) {
        const struct shipment *s = t->shipped->shipment;
        count += i == 0 || s[t->list[i]].customer != s[t->list[i - 1]].customer;
    }
    return count;
}

static void write_customers(const struct tally *t, struct arena *a, struct customer_reached *out)
{
    const struct shipped *sh = t->shipped;
    struct customer_shipment *lines = ARENA_ARRAY(a, struct customer_shipment, t->count);
    for (uint32_t i = 0; i < t->count; i++) {
        uint32_t s = t->list[i];
        const struct shipment *shipment = &sh->shipment[s];
        if (i == 0 || shipment->customer != sh->shipment[t->list[i - 1]].customer) {
            out += i > 0;
            *out = (struct customer_reached){
                .code = arena_copy(a, sh->customer[shipment->customer]), .shipments = &lines[i]};
        }
        lines[i] =
            (struct customer_shipment){arena_copy(a, shipment->code), t->pieces[s], t->mg[s]};
        out->pieces += t->pieces[s];
        out->mg += t->mg[s];
        out->shipment_count++;
    }
}

void customers_reached(const struct graph *g, const struct reach *reach, struct arena *a,
                       struct customer_reached **out, size_t *out_count)
{
    const struct shipped *sh = &g->shipped;
    struct tally t = {.shipped = sh,
                      .pieces = MEMORY_ZERO(int64_t, sh->shipment_count),
                      .mg = MEMORY_ZERO(int64_t, sh->shipment_count),
                      .touched = MEMORY_ZERO(uint8_t, sh->shipment_count),
                      .list = MEMORY_TAKE(uint32_t, sh->shipment_count)};
    tally_reached(&t, reach);
    qsort_r(t.list, t.count, sizeof *t.list, by_customer_and_id, (void *)sh);
    *out_count = count_customers(&t);
    *out = ARENA_ARRAY(a, struct customer_reached, *out_count);
    write_customers(&t, a, *out);
    free(t.pieces);
    free(t.mg);
    free(t.touched);
    free(t.list);
}
