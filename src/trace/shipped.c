#include "trace/shipped.h"

#include <string.h>

#include "trace/memory.h"

/* Codes of shipments and customers; the edge that read them capped their length. */
static const size_t TEXTS_LIMIT_BYTES = (size_t)8 << 30;

enum { LATE_MIN = 4096, LATE_SHARE = 16 };

void shipped_init(struct shipped *sh)
{
    *sh = (struct shipped){.shipment_count = 0};
    arena_init(&sh->texts, TEXTS_LIMIT_BYTES);
}

void shipped_release(struct shipped *sh)
{
    arena_release(&sh->texts);
    free(sh->shipment);
    id_list_release(&sh->shipment_ids);
    free(sh->customer);
    free(sh->customer_sorted);
    free(sh->line);
    free(sh->offset);
}

static uint32_t find_or_add_customer(struct shipped *sh, const char *code)
{
    uint32_t from = 0, to = sh->customer_count;
    while (from < to) {
        uint32_t middle = from + (to - from) / 2;
        int order = strcmp(sh->customer[sh->customer_sorted[middle]], code);
        if (order == 0) {
            return sh->customer_sorted[middle];
        }
        if (order < 0) {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    if (sh->customer_count == sh->customer_room) {
        sh->customer_room = sh->customer_room > 0 ? 2 * sh->customer_room : 64;
        sh->customer = MEMORY_GROW(sh->customer, const char *, sh->customer_room);
        sh->customer_sorted = MEMORY_GROW(sh->customer_sorted, uint32_t, sh->customer_room);
    }
    memmove(sh->customer_sorted + from + 1, sh->customer_sorted + from,
            (sh->customer_count - from) * sizeof *sh->customer_sorted);
    sh->customer_sorted[from] = sh->customer_count;
    sh->customer[sh->customer_count] = arena_copy(&sh->texts, code);
    return sh->customer_count++;
}

void shipped_add_shipment(struct shipped *sh, int64_t id, const char *code, const char *customer)
{
    if (sh->shipment_count == sh->shipment_room) {
        sh->shipment_room = sh->shipment_room > 0 ? 2 * sh->shipment_room : 256;
        sh->shipment = MEMORY_GROW(sh->shipment, struct shipment, sh->shipment_room);
    }
    id_list_add(&sh->shipment_ids, id, sh->shipment_count);
    sh->shipment[sh->shipment_count++] =
        (struct shipment){id, arena_copy(&sh->texts, code), find_or_add_customer(sh, customer)};
}

void shipped_add_line(struct shipped *sh, const struct shipped_line *line, uint32_t position)
{
    uint32_t shipment;
    CHECK(id_list_find(&sh->shipment_ids, line->shipment, &shipment));
    if (sh->line_count == sh->line_room) {
        sh->line_room = sh->line_room > 0 ? 2 * sh->line_room : 256;
        sh->line = MEMORY_GROW(sh->line, struct shipped_kept, sh->line_room);
    }
    sh->line[sh->line_count++] =
        (struct shipped_kept){line->lot, line->pieces, line->mg, line->entry, shipment, position};
}

void shipped_pack(struct shipped *sh, uint32_t lot_count)
{
    CHECK(sh->line_count < UINT32_MAX);
    uint32_t *offset = MEMORY_ZERO(uint32_t, (size_t)lot_count + 2);
    for (size_t i = 0; i < sh->line_count; i++) {
        offset[sh->line[i].position + 2]++;
    }
    for (uint32_t p = 2; p <= lot_count; p++) {
        offset[p + 1] += offset[p];
    }
    struct shipped_kept *packed = MEMORY_TAKE(struct shipped_kept, sh->line_count);
    for (size_t i = 0; i < sh->line_count; i++) {
        packed[offset[sh->line[i].position + 1]++] = sh->line[i];
    }
    free(sh->line);
    free(sh->offset);
    sh->line = packed;
    sh->line_room = sh->line_count;
    sh->packed_count = sh->line_count;
    sh->offset = offset;
    sh->offset_lots = lot_count;
}

void shipped_strike(struct shipped *sh, int64_t entry)
{
    size_t kept = 0;
    for (size_t i = 0; i < sh->line_count; i++) {
        if (sh->line[i].entry != entry) {
            sh->line[kept++] = sh->line[i];
        }
    }
    sh->line_count = kept;
    sh->packed_count = 0; /* offsets no longer fit; the caller packs */
    sh->offset_lots = 0;
}

bool shipped_is_long(const struct shipped *sh)
{
    return sh->line_count - sh->packed_count > LATE_MIN + sh->packed_count / LATE_SHARE;
}
