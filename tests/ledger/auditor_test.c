/* Random commands, right and wrong ones, to a house and to an auditor who keeps his own books:
 * after each the two must agree, and at the end verify must find nothing. The seed of each sequence
 * is printed; give one as the argument to play it alone. */
#include "fixture/game.h"

#include "ledger/strike.h"
#include "ledger/verify.h"

enum { SEQUENCES = 8, COMMANDS = 110 };

static uint64_t only_seed;

static void differ(struct game *g, const char *what, const char *code, int64_t house,
                   int64_t auditor)
{
    if (house != auditor) {
        print_error("%s of %s: the house has %lld, the auditor %lld, after %s\n", what, code,
                    (long long)house, (long long)auditor, g->last);
        fail();
    }
}

static void compare_lot(struct game *g, int i)
{
    struct lot lot;
    bool found;
    const char *code = g->a.lots[i].code;
    assert_ok(lot_by_code(g->h.store, &g->h.arena, code, &lot, &found));
    differ(g, "presence", code, found, audit_there(&g->a, i));
    if (!found) {
        return;
    }
    int64_t mg, pieces, owed_mg, owed_pieces;
    struct hold *holds;
    size_t count;
    assert_ok(balance_of(g->h.store, lot.id, UNIT_MG, &mg));
    assert_ok(balance_of(g->h.store, lot.id, UNIT_PIECES, &pieces));
    assert_ok(owed_open(g->h.store, lot.id, "mg", NULL, &owed_mg));
    assert_ok(owed_open(g->h.store, lot.id, "pc", NULL, &owed_pieces));
    assert_ok(holds_on(g->h.store, &g->h.arena, lot.id, 0, "use", &holds, &count));
    differ(g, "mass", code, mg, audit_balance(&g->a, i, 'm'));
    differ(g, "pieces", code, pieces, audit_balance(&g->a, i, 'p'));
    differ(g, "mass owed", code, owed_mg, audit_owed_of(&g->a, i, 'm'));
    differ(g, "pieces owed", code, owed_pieces, audit_owed_of(&g->a, i, 'p'));
    differ(g, "holds", code, (int64_t)count, audit_holds_on(&g->a, i));
    if (mg >= 0 && pieces >= 0) {
        differ(g, "closing", code, lot.closed_ms != 0, audit_closed(&g->a, i));
    }
}

static void compare(struct game *g)
{
    static const char *const accounts[] = {"supplier",    "water",    "air", "waste",
                                           "unexplained", "customer", "made"};
    for (int i = 0; i < g->a.lot_count; i++) {
        compare_lot(g, i);
    }
    for (size_t i = 0; i < sizeof accounts / sizeof accounts[0]; i++) {
        differ(g, "mass", accounts[i], house_account(&g->h, accounts[i], "mg"),
               audit_in_account(&g->a, accounts[i], 'm'));
        differ(g, "pieces", accounts[i], house_account(&g->h, accounts[i], "pc"),
               audit_in_account(&g->a, accounts[i], 'p'));
    }
}

static void play(uint64_t seed)
{
    static void (*const moves[])(struct game *) = {
        game_receive, game_treat,   game_treat,   game_grow,    game_grow,
        game_harvest, game_harvest, game_process, game_process, game_process,
        game_pack,    game_pack,    game_ship,    game_destroy, game_hold,
        game_lift,    game_strike,  game_strike,  game_correct};
    struct game *g = calloc(1, sizeof *g);
    assert_non_null(g);
    print_message("# seed %llu\n", (unsigned long long)seed);
    house_open(&g->h);
    random_seed(&g->r, seed);
    for (int i = 0; i < COMMANDS; i++) {
        moves[i < 3 ? 0 : game_pick(g, 0, sizeof moves / sizeof moves[0] - 1)](g);
        compare(g);
        house_wait(&g->h, "7 min");
    }
    struct verify_report report;
    assert_ok(ledger_verify(g->h.store, NULL, &g->h.arena, &report));
    for (size_t i = 0; i < report.finding_count; i++) {
        const struct verify_finding *f = &report.findings[i];
        print_error("%s %s: %s, not %s\n", f->table, f->key, f->is, f->wanted);
    }
    assert_int_equal(report.found, 0);
    house_close(&g->h);
    free(g);
}

static void the_house_and_the_auditor_agree(void **state)
{
    for (uint64_t i = 0; i < SEQUENCES; i++) {
        play(only_seed != 0 ? only_seed : 20260300 + i);
        if (only_seed != 0) {
            return;
        }
    }
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_house_and_the_auditor_agree)};
    only_seed = argc > 1 ? strtoull(argv[1], NULL, 10) : 0;
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
