/* Seed lots: tests and looks, approval. */
#include <string.h>

#include "base/decimal.h"
#include "calc/growth/germination.h"
#include "calc/growth/seed_quality.h"
#include "ledger/acceptance.h"
#include "ledger/inputs.h"
#include "ledger/markets.h"
#include "ledger/seed_tests.h"

struct result decide_test(struct draft *d)
{
    static const char *const names[] = {"lot",      "test",  "pure",       "other",
                                        "weed",     "inert", "replicates", "replicates_g",
                                        "moisture", "seed",  "sacks",      NULL};
    const char *test = NULL, *wanted = "";
    struct lot lot;
    struct seed_outcome out = {0};
    TRY(draft_only(d, "a seed test", names));
    TRY(lot_named(d, d->cmd->body, "lot", "lot", &lot));
    if (strcmp(lot.kind, "seed") != 0) {
        return FAIL3(LOT_KIND, "lot", lot.code, lot.kind, "seed");
    }
    TRY(json_get_text(d->cmd->body, "test", "test", JSON_NEEDED, &test));
    TRY(seed_test_judge(d, &lot, test, &out));
    wanted = out.wanted;
    draft_add(d, EFFECT_SEED_TEST, "ititii", lot.id, test, out.value, out.data, (int64_t)out.ok,
              d->cmd->happened_ms);
    if (!out.ok) {
        const char *text = decimal_text(d->arena, out.value, 3, false);
        TRY(draft_break(d, "seed-test-failed", lot.id, NULL, 0, 0,
                        FAIL3(TEST_FAILED, "test", test, text, wanted)));
    }
    json_object_set_new(d->answer, "lot", json_string(lot.code));
    json_object_set_new(d->answer, "value",
                        json_string(decimal_text(d->arena, out.value, 3, false)));
    json_object_set_new(d->answer, "ok", json_boolean(out.ok));
    json_object_set_new(d->answer, "verdict", json_string(out.verdict));
    return RESULT_OK;
}

static bool passed(struct statement *q, const char *tests[], size_t count, unsigned *seen)
{
    const char *kind = store_text(q, 0);
    for (size_t i = 0; i < count; i++) {
        if (strcmp(tests[i], kind) == 0 && store_int(q, 2) != 0) {
            *seen |= 1U << i;
        }
    }
    return *seen == (1U << count) - 1;
}

/* Approval asks for every test and look of the route, each passed last time. */
static struct result tests_passed(struct draft *d, const struct lot *lot)
{
    static const char *tests[] = {"purity", "germination", "thousand-seed-mass", "moisture",
                                  "look"};
    enum { COUNT = sizeof tests / sizeof tests[0] };
    unsigned seen = 0;
    struct statement *q = store_prepare(d->store, Q_SEED_TEST_LATEST);
    store_bind_int(q, 1, lot->id);
    bool row, all = false;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        all = passed(q, tests, COUNT, &seen);
    }
    for (size_t i = 0; i < COUNT && !all; i++) {
        if ((seen >> i & 1) == 0) {
            TRY(draft_break(d, "seed-test-missing", lot->id, NULL, 0, 0,
                            FAIL2(TEST_MISSING, "lot", lot->code, tests[i])));
        }
    }
    return RESULT_OK;
}

/* Saying "approved" is a decision, not an event: without its evidence it is refused whoever tells
 * it. */
static struct result may_approve(struct draft *d, const struct lot *lot)
{
    struct command ask = *d->cmd;
    const struct command *told = d->cmd;
    ask.mode = MODE_ASK;
    d->cmd = &ask;
    struct result r = tests_passed(d, lot);
    if (r.code == CODE_OK) {
        r = acceptance_done(d, lot->id, lot->code);
    }
    d->cmd = told;
    TRY(r);
    struct hold *holds;
    size_t count;
    TRY(holds_on(d->store, d->arena, lot->id, 0, "use", &holds, &count));
    return count == 0 ? RESULT_OK : FAIL3(HELD, "lot", lot->code, holds[0].code, holds[0].kind);
}

/* Every delivery of a supplier's lot is blocked together; each is approved by itself. */
struct result decide_approve(struct draft *d)
{
    static const char *const names[] = {"lot", "state", "markets", NULL};
    const char *state = NULL, *markets;
    struct lot lot;
    TRY(draft_only(d, "an approval", names));
    TRY(lot_named(d, d->cmd->body, "lot", "lot", &lot));
    TRY(json_get_text(d->cmd->body, "state", "state", JSON_NEEDED, &state));
    if (!list_has("approved,rejected,blocked", state)) {
        return FAIL2(FIELD_CHOICE, "state", state, "approved, rejected, blocked");
    }
    bool approved = strcmp(state, "approved") == 0, blocked = strcmp(state, "blocked") == 0;
    if (strcmp(lot.kind, "seed") != 0 && (approved || strcmp(lot.kind, "supplier") != 0)) {
        return FAIL3(LOT_KIND, "lot", lot.code, lot.kind, approved ? "seed" : "seed, supplier");
    }
    TRY(markets_read(d, JSON_OPTIONAL, &markets));
    if (approved) {
        TRY(may_approve(d, &lot));
    }
    int64_t about = blocked && lot.supplier_lot != 0 ? lot.supplier_lot : lot.id;
    draft_add(d, EFFECT_SEED_STATE, "itti", about, state, markets, d->cmd->happened_ms);
    if (strcmp(markets, lot.markets) != 0 && markets[0] != '\0') {
        draft_add(d, EFFECT_LOT_MARKETS, "itt", lot.id, markets, lot.markets);
    }
    json_object_set_new(d->answer, "lot", json_string(lot.code));
    json_object_set_new(d->answer, "state", json_string(state));
    json_object_set_new(d->answer, "all_deliveries",
                        json_boolean(about != lot.id || strcmp(lot.kind, "supplier") == 0));
    return RESULT_OK;
}
