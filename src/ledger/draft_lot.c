#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/draft_inner.h"
#include "ledger/kin.h"
#include "ledger/view.h"

static bool made_here(const struct draft *d, const char *code)
{
    for (const struct draft_made *m = d->made; m != NULL; m = m->next) {
        if (strcmp(m->code, code) == 0) {
            return true;
        }
    }
    return false;
}

static struct result taken(struct draft *d, const char *code, bool *out)
{
    struct lot lot;
    TRY(lot_by_code(d->store, d->arena, code, &lot, out));
    *out = *out || made_here(d, code);
    return RESULT_OK;
}

/* Item, year and day of year, running number: MUNG26085-03. */
static struct result make_code(struct draft *d, const struct new_lot *lot, const char **out)
{
    int year, month, day;
    day_to_ymd(lot->day, &year, &month, &day);
    struct statement *q = store_prepare(d->store, Q_LOT_COUNT_ITEM_DAY);
    store_bind_text(q, 1, lot->item);
    store_bind_int(q, 2, lot->day);
    bool row;
    TRY(store_step(q, &row));
    int64_t n = store_int(q, 0);
    TRY(store_step(q, &row));
    bool used = true;
    while (used) {
        *out = arena_printf(d->arena, "%s%02d%03d-%02lld", lot->item, year % 100,
                            day_of_year(lot->day), (long long)++n);
        TRY(taken(d, *out, &used));
    }
    return RESULT_OK;
}

/* A replacement that makes again what the struck entry made gets the same id and code: what was fed
 * from it stays fed. */
static struct draft_reuse *reuse_of(struct draft *d, const struct new_lot *lot)
{
    for (size_t i = 0; i < d->reuse_count; i++) {
        struct draft_reuse *r = &d->reuse[i];
        bool fits = lot->code != NULL
                        ? strcmp(r->code, lot->code) == 0
                        : strcmp(r->item, lot->item) == 0 && strcmp(r->kind, lot->kind) == 0;
        if (!r->used && fits) {
            r->used = true;
            return r;
        }
    }
    return NULL;
}

/* A code given by people stands on labels, in file names and before the number of a case
 * ("X-0001..X-0040"). A supplier's code is his. */
static struct result code_fits(const struct new_lot *lot)
{
    static const char letters[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._/";
    size_t len = strlen(lot->code);
    bool good = len > 0 && len <= 40 && strspn(lot->code, letters) == len &&
                strstr(lot->code, "..") == NULL;
    return good || strcmp(lot->kind, "supplier") == 0
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, "lot", lot->code,
                       "1 to 40 letters, digits and -._/ without two points together");
}

struct result draft_lot(struct draft *d, const struct new_lot *lot, int64_t *out_id,
                        const char **out_code)
{
    struct draft_reuse *again = reuse_of(d, lot);
    if (again != NULL) {
        *out_id = again->id;
        *out_code = again->code;
    } else {
        *out_code = lot->code;
        if (lot->code == NULL) {
            TRY(make_code(d, lot, out_code));
        } else {
            bool used;
            TRY(code_fits(lot));
            TRY(taken(d, lot->code, &used));
            if (used) {
                return FAIL1(LOT_EXISTS, "lot", lot->code);
            }
        }
        *out_id = draft_id(d);
    }
    struct draft_made *made = ARENA_NEW(d->arena, struct draft_made);
    *made = (struct draft_made){.next = d->made, .id = *out_id, .code = *out_code};
    d->made = made;
    draft_add(d, EFFECT_LOT, "ittttiittootn", *out_id, *out_code, lot->item, lot->kind, lot->place,
              lot->born_ms, (int64_t)lot->day, lot->supplier, lot->supplier_code, lot->supplier_lot,
              (int64_t)lot->best_before, lot->markets != NULL ? lot->markets : "");
    return RESULT_OK;
}

static bool made_id(const struct draft *d, int64_t id)
{
    for (const struct draft_made *m = d->made; m != NULL; m = m->next) {
        if (m->id == id) {
            return true;
        }
    }
    return false;
}

/* A lot told of before may have gone on already: what was made of it comes from held goods too. */
static struct result gone_on(struct draft *d, int64_t child, struct id_set *out)
{
    id_set_add(out, child);
    return made_id(d, child) ? RESULT_OK : kin_onward(d->store, out);
}

static void hold_all(struct draft *d, int64_t hold, const struct id_set *lots)
{
    for (size_t i = 0; i < lots->count; i++) {
        draft_hold_on(d, hold, lots->id[i], 0, "made-from");
    }
}

struct result draft_edge(struct draft *d, int64_t parent, int64_t child, int64_t mg,
                         const char *basis)
{
    CHECK(parent != child);
    draft_add(d, EFFECT_EDGE, "iiit", parent, child, mg, basis);
    struct hold *holds;
    struct id_set lots = id_set_new(d->arena);
    size_t count;
    TRY(holds_on(d->store, d->arena, parent, 0, "", &holds, &count));
    TRY(gone_on(d, child, &lots));
    for (size_t i = 0; i < count; i++) {
        hold_all(d, holds[i].id, &lots);
    }
    /* a hold that this same draft puts on the parent reaches the child as well */
    for (const struct draft_covered *c = d->covered; c != NULL; c = c->next) {
        if (c->lot == parent && c->unit == 0) {
            hold_all(d, c->hold, &lots);
        }
    }
    return RESULT_OK;
}
