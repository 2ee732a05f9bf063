#include "trace/account.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "trace/lot_rows.h"
#include "trace/memory.h"

static const char UNEXPLAINED[] = "unexplained";
static const int64_t PPM = 1000000;

struct entry_list {
    int64_t *entry;
    size_t count, room;
};

/* Every entry that moved a lot of the set. */
static struct result read_entries(struct store *s, const int64_t *lots, size_t count,
                                  struct entry_list *out)
{
    struct lot_rows rows = lot_rows_begin(s, Q_TRACE_LOT_ENTRIES, lots, count);
    for (;;) {
        bool row;
        TRY(lot_rows_next(&rows, &row));
        if (!row) {
            out->count = ids_sort(out->entry, out->count);
            return RESULT_OK;
        }
        if (out->count == out->room) {
            out->room = out->room > 0 ? 2 * out->room : 256;
            out->entry = MEMORY_GROW(out->entry, int64_t, out->room);
        }
        out->entry[out->count++] = store_int(rows.statement, 1);
    }
}

static struct account_line *line_named(struct account_sum *sum, struct arena *a, size_t *room,
                                       const char *name)
{
    size_t at = 0;
    while (at < sum->line_count && strcmp(sum->lines[at].name, name) < 0) {
        at++;
    }
    if (at < sum->line_count && strcmp(sum->lines[at].name, name) == 0) {
        return &sum->lines[at];
    }
    sum->lines = list_grow(a, sum->lines, sum->line_count, room, sizeof *sum->lines);
    memmove(sum->lines + at + 1, sum->lines + at, (sum->line_count - at) * sizeof *sum->lines);
    sum->lines[at] = (struct account_line){.name = arena_copy(a, name)};
    sum->line_count++;
    return &sum->lines[at];
}

static bool add(int64_t *sum, int64_t amount)
{
    return !__builtin_add_overflow(*sum, amount, sum);
}

/* Books an amount that is positive where it went out of the set. */
static bool book(int64_t *in_mg, int64_t *out_mg, int64_t amount)
{
    return amount > 0 ? add(out_mg, amount) : amount != INT64_MIN && add(in_mg, -amount);
}

static struct result too_large(int64_t entry)
{
    char text[40];
    snprintf(text, sizeof text, "entry %lld", (long long)entry);
    return FAIL1(GENEALOGY_MASS, "", text);
}

/* One leg; other_lots_mg: the sum over lots outside the set in the entry now read. */
static bool take_leg(struct account_sum *sum, struct arena *a, size_t *room, struct statement *q,
                     const int64_t *lots, size_t count, int64_t *other_lots_mg)
{
    int64_t amount = store_int(q, 3);
    if (store_is_null(q, 1)) {
        struct account_line *line = line_named(sum, a, room, store_text(q, 2));
        return book(&line->in_mg, &line->out_mg, amount);
    }
    return ids_index(lots, count, store_int(q, 1)) < count || add(other_lots_mg, amount);
}

static struct result read_legs(struct store *s, const struct entry_list *entries,
                               const int64_t *lots, size_t count, struct arena *a,
                               struct account_sum *sum)
{
    size_t room = 0;
    int64_t entry = 0, other_lots_mg = 0;
    struct lot_rows rows = entry_rows_begin(s, Q_TRACE_LEGS, entries->entry, entries->count);
    for (;;) {
        bool row;
        TRY(lot_rows_next(&rows, &row));
        bool fits = true;
        if (!row || store_int(rows.statement, 0) != entry) {
            fits = book(&sum->from_lots_mg, &sum->to_lots_mg, other_lots_mg);
            other_lots_mg = 0;
        }
        if (!row) {
            return fits ? RESULT_OK : too_large(entry);
        }
        entry = store_int(rows.statement, 0);
        fits = fits && take_leg(sum, a, &room, rows.statement, lots, count, &other_lots_mg);
        if (!fits) {
            store_prepare(s, Q_TRACE_LEGS); /* ends the reading */
            return too_large(entry);
        }
    }
}

/* Rounded away from a full account, so that only an exact one shows 100 %. */
static int64_t ratio_ppm(int64_t part, int64_t whole)
{
    if (whole <= 0) {
        return 0;
    }
    __int128 scaled = (__int128)part * PPM;
    __int128 ppm = scaled / whole;
    if (part > whole && scaled % whole != 0) {
        ppm++;
    }
    return ppm > INT64_MAX ? INT64_MAX : (int64_t)ppm;
}

static bool add_up(struct account_sum *sum, const int64_t *here_mg, size_t count)
{
    bool fits = true;
    for (size_t i = 0; i < count; i++) {
        fits &= here_mg[i] > 0 ? add(&sum->here_mg, here_mg[i])
                               : here_mg[i] != INT64_MIN && add(&sum->owed_mg, -here_mg[i]);
    }
    sum->produced_mg = sum->from_lots_mg;
    sum->accounted_mg = sum->to_lots_mg;
    fits &= add(&sum->accounted_mg, sum->here_mg);
    for (size_t i = 0; i < sum->line_count; i++) {
        if (strcmp(sum->lines[i].name, UNEXPLAINED) != 0) {
            fits &= add(&sum->produced_mg, sum->lines[i].in_mg);
            fits &= add(&sum->accounted_mg, sum->lines[i].out_mg);
        }
    }
    sum->accounted_ppm = ratio_ppm(sum->accounted_mg, sum->produced_mg);
    return fits;
}

struct result account_read(struct store *s, const int64_t *lots, size_t count,
                           const int64_t *here_mg, struct arena *a, struct account_sum *out)
{
    *out = (struct account_sum){.line_count = 0};
    struct entry_list entries = {.count = 0};
    struct result r = read_entries(s, lots, count, &entries);
    if (r.code == CODE_OK) {
        r = read_legs(s, &entries, lots, count, a, out);
    }
    free(entries.entry);
    TRY(r);
    return add_up(out, here_mg, count) ? RESULT_OK : FAIL1(GENEALOGY_MASS, "", "these lots");
}
