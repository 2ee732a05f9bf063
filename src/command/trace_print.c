#include "command/trace_print.h"

#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "command/say.h"

static const char *percent(struct cli *cli, int64_t ppm)
{
    return arena_printf(&cli->arena, "%s %%", decimal_text(&cli->arena, ppm / 100, 2, false));
}

static void print_lots(struct cli *cli, const struct trace_answer *t)
{
    CLI_ROW(cli, {24, CLI_WORDS(cli, "column.lot", NULL)},
            {11, CLI_WORDS(cli, "column.kind", NULL)}, {9, CLI_WORDS(cli, "column.item", NULL)},
            {8, CLI_WORDS(cli, "column.place", NULL)}, {-12, CLI_WORDS(cli, "column.here", NULL)},
            {-9, CLI_WORDS(cli, "column.share", NULL)});
    for (size_t i = 0; i < t->lot_count; i++) {
        const struct lot_fact *f = &t->facts[i];
        const char *kind = f->kind != NULL ? f->kind : "?";
        const char *share =
            arena_printf(&cli->arena, "%9s%s", percent(cli, (int64_t)(t->share[i] * 1e6 + 0.5)),
                         t->certain[i] ? "" : CLI_WORDS(cli, "trace.uncertain", NULL));
        CLI_ROW(cli, {24, f->code != NULL ? f->code : "?"},
                {11, words_name(&cli->arena, cli->lang, "ui.lot-kind.", kind)},
                {9, f->item != NULL ? f->item : "?"}, {8, f->place != NULL ? f->place : "-"},
                {-12, f->here_pieces != 0 ? cli_amount(cli, f->here_pieces, "pieces", 0)
                                          : mass_text(&cli->arena, f->here_mg, 1000)},
                {0, share});
    }
}

static void print_customers(struct cli *cli, const struct trace_answer *t)
{
    for (size_t i = 0; i < t->customer_count; i++) {
        const struct customer_reached *c = &t->customers[i];
        CLI_ROW(cli, {1, ""}, {14, c->code}, {-8, cli_number(cli, c->pieces)},
                {0, CLI_WORDS(cli, "trace.customer", mass_text(&cli->arena, c->mg, 1000000),
                              cli_number(cli, (int64_t)c->shipment_count))});
    }
}

static void print_account(struct cli *cli, const struct trace_answer *t)
{
    const struct account_sum *a = &t->account;
    CLI_SAY(cli, "trace.accounted", percent(cli, a->accounted_ppm),
            mass_text(&cli->arena, a->accounted_mg, 1000000),
            mass_text(&cli->arena, a->produced_mg, 1000000));
    CLI_SAY(cli, "trace.unknown", percent(cli, (int64_t)(t->unknown_part * 1e6 + 0.5)));
}

void trace_print(struct cli *cli, const struct trace_answer *t)
{
    print_lots(cli, t);
    if (t->customer_count > 0) {
        CLI_SAY(cli, "trace.customers", NULL);
        print_customers(cli, t);
    }
    CLI_SAY(cli, "trace.lots", cli_number(cli, (int64_t)t->lot_count),
            cli_number(cli, (int64_t)t->held_lots));
    print_account(cli, t);
}

/* A contact that can't be read is shown as none; the list itself must not depend on it. */
static const char *contact_of(struct view *v, const char *code)
{
    struct view_contact c;
    struct result r = view_contact(v, code, &c);
    return r.code == CODE_OK && c.name != NULL
               ? arena_printf(v->arena, "  %s, %s", c.name, c.contact)
               : "";
}

void recall_print(struct cli *cli, struct view *v, const struct trace_answer *t)
{
    CLI_SAY(cli, "recall.customers", cli_number(cli, (int64_t)t->customer_count));
    for (size_t i = 0; i < t->customer_count; i++) {
        const struct customer_reached *c = &t->customers[i];
        CLI_ROW(cli, {1, ""}, {14, c->code}, {-8, cli_number(cli, c->pieces)},
                {0, CLI_WORDS(cli, "recall.customer", mass_text(&cli->arena, c->mg, 1000000),
                              contact_of(v, c->code))});
    }
    CLI_SAY(cli, "recall.left", cli_number(cli, (int64_t)t->scope.left_count));
    for (size_t i = 0; i < t->scope.left_count; i++) {
        const struct scope_left *l = &t->scope.left[i];
        CLI_ROW(cli, {1, ""}, {24, l->unit != NULL ? l->unit : l->lot_code}, {14, l->customer},
                {10, l->shipment}, {0, civil_short(&cli->arena, l->at_ms)},
                {0, cli_amount(cli, l->pieces, "pieces", 0)});
    }
    CLI_SAY(cli, "recall.here", cli_number(cli, (int64_t)t->scope.here_count));
    for (size_t i = 0; i < t->scope.here_count; i++) {
        const struct scope_here *h = &t->scope.here[i];
        CLI_ROW(cli, {1, ""}, {24, h->unit != NULL ? h->unit : h->lot_code},
                {0, CLI_WORDS(cli, "recall.at", NULL)}, {8, h->place != NULL ? h->place : "-"},
                {0, CLI_WORDS(cli, "recall.amount", cli_number(cli, h->pieces),
                              mass_text(&cli->arena, h->mg, 1000))});
    }
    print_account(cli, t);
    CLI_SAY(cli, "recall.law", NULL);
}
