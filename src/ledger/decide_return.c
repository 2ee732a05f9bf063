/* What comes back from a customer becomes a lot of its own, held until somebody has decided what is
 * to be done with it. */
#include <string.h>

#include "base/decimal.h"
#include "ledger/goods.h"

struct back {
    struct partner customer;
    const char *place; /* may be NULL */
    json_t *lots;
};

struct sums {
    int64_t pieces, mg;
};

static struct result sums_of(struct draft *d, enum query query, int64_t lot, const char *customer,
                             struct sums *out)
{
    struct statement *q = store_prepare(d->store, query);
    store_bind_int(q, 1, lot);
    store_bind_text(q, 2, customer);
    bool row;
    TRY(store_step(q, &row));
    *out = (struct sums){.pieces = store_int(q, 0), .mg = store_int(q, 1)};
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result never_sent(struct draft *d, const struct back *b, const struct goods *g,
                                const char *what)
{
    return draft_break(d, "return-over", g->lot.id, NULL, 0, 0,
                       FAIL3(RETURN_OVER, g->path, what, b->customer.code, g->lot.code));
}

/* Each case brings back the mass that it left with. */
static struct result read_cases(struct draft *d, const struct back *b, struct goods *g)
{
    int64_t mg = 0;
    for (size_t i = 0; i < g->unit_count; i++) {
        const struct unit *u = &g->units[i];
        struct statement *q = store_prepare(d->store, Q_UNIT_SHIPPED);
        store_bind_int(q, 1, u->id);
        store_bind_int(q, 2, u->shipment);
        bool row;
        TRY(store_step(q, &row));
        bool sent = row && strcmp(store_text(q, 0), b->customer.code) == 0;
        mg += sent ? store_int(q, 2) : u->mg;
        while (row) {
            TRY(store_step(q, &row));
        }
        if (!sent) {
            TRY(never_sent(d, b, g, u->code));
        }
    }
    g->mass = (struct amount){.unit = UNIT_MG, .value = mg, .how = HOW_COUNTED};
    return RESULT_OK;
}

/* Pieces bring back their share of what the customer got of the lot, the last of them the rest. */
static struct result read_pieces(struct draft *d, const struct back *b, struct goods *g)
{
    struct sums sent, came;
    TRY(sums_of(d, Q_SHIPPED_TO, g->lot.id, b->customer.code, &sent));
    TRY(sums_of(d, Q_RETURNED_FROM, g->lot.id, b->customer.code, &came));
    int64_t out_pieces = sent.pieces - came.pieces, out_mg = sent.mg - came.mg;
    bool over = g->pieces > 0 ? g->pieces > out_pieces : g->mass.value > out_mg;
    if (over) {
        TRY(never_sent(d, b, g, goods_text(d, g)));
    }
    if (g->pieces == 0 || g->mass.value > 0) {
        return RESULT_OK; /* it was weighed */
    }
    g->mass = (struct amount){.unit = UNIT_MG, .how = HOW_COUNTED};
    if (out_pieces > 0) {
        g->mass.value = g->pieces == out_pieces
                            ? out_mg
                            : (int64_t)((__int128)sent.mg * g->pieces / sent.pieces);
        return RESULT_OK;
    }
    /* nothing was out there: the mean that it was packed with is all that is known */
    int64_t mean_mg;
    TRY(packed_mean(d, g->lot.id, &mean_mg));
    g->mass.value = g->pieces * mean_mg;
    return RESULT_OK;
}

static struct result make_lot(struct draft *d, struct back *b, const struct goods *g)
{
    int64_t id, hold, at_ms = d->cmd->happened_ms;
    const char *code;
    struct new_lot lot = {.item = g->lot.item,
                          .kind = "returned",
                          .place = b->place,
                          .born_ms = at_ms,
                          .day = d->cmd->day,
                          .best_before = g->lot.best_before,
                          .markets = g->lot.markets};
    TRY(draft_lot(d, &lot, &id, &code));
    struct goods in = *g;
    in.lot.id = id;
    in.lot.code = code;
    goods_to_account(d, g, "customer", -1);
    TRY(goods_put(d, &in));
    TRY(draft_edge(d, g->lot.id, id, g->mass.value, "measured"));
    const char *hold_code = draft_hold(d, "returned", "use,mix,pack,release,load", "decision",
                                       "what came back waits for a decision", 0, 0, 0, &hold);
    draft_hold_on(d, hold, id, 0, "returned");
    for (size_t i = 0; i < g->unit_count; i++) {
        const struct unit *u = &g->units[i];
        draft_add(d, EFFECT_UNIT_STATE, "ittoottoo", u->id, "returned", b->place, (int64_t)0,
                  (int64_t)0, u->state, u->place, u->shipment, u->parent);
    }
    TRY(goods_units_into(d, g, id));
    int64_t step = draft_step(d, b->place, 0, at_ms, at_ms, id, b->customer.code);
    draft_step_lot(d, step, id, "out", g->mass.value, at_ms, at_ms);
    json_array_append_new(b->lots,
                          json_pack("{s:s,s:s,s:s,s:I,s:s}", "lot", code, "hold", hold_code, "of",
                                    g->lot.code, "pieces", (json_int_t)g->pieces, "mass",
                                    mass_text(d->arena, g->mass.value, 0)));
    return RESULT_OK;
}

struct result decide_return(struct draft *d)
{
    static const char *const names[] = {"customer",   "lot",   "units", "pieces", "mass", "how",
                                        "instrument", "gross", "tare",  "place",  NULL};
    const char *customer = NULL;
    struct back b = {0};
    struct place place;
    struct goods *goods;
    size_t count;
    bool found;
    TRY(draft_only(d, "a return", names));
    TRY(json_get_text(d->cmd->body, "customer", "customer", JSON_NEEDED, &customer));
    TRY(partner_by_code(d->store, d->arena, customer, &b.customer, &found));
    if (!found || strcmp(b.customer.role, "customer") != 0) {
        return FAIL2(PARTNER_UNKNOWN, "customer", customer, "customer");
    }
    TRY(place_named(d, "place", JSON_OPTIONAL, &place));
    b.place = place.code;
    TRY(goods_read(d, d->cmd->body, "", &goods, &count));
    b.lots = json_array();
    json_object_set_new(d->answer, "lots", b.lots);
    for (size_t i = 0; i < count; i++) {
        TRY(goods[i].unit_count > 0 ? read_cases(d, &b, &goods[i]) : read_pieces(d, &b, &goods[i]));
        TRY(make_lot(d, &b, &goods[i]));
    }
    return RESULT_OK;
}
