#include "command/trace_print.h"

#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"

static const char *percent(struct cli *cli, int64_t ppm)
{
    return arena_printf(&cli->arena, "%s %%", decimal_text(&cli->arena, ppm / 100, 2, false));
}

static void print_lots(struct cli *cli, const struct trace_answer *t)
{
    cli_say(cli, "%-24s %-11s %-9s %-8s %12s %9s", "lot", "kind", "item", "place", "still here",
            "share");
    for (size_t i = 0; i < t->lot_count; i++) {
        const struct lot_fact *f = &t->facts[i];
        cli_say(cli, "%-24s %-11s %-9s %-8s %12s %9s%s", f->code != NULL ? f->code : "?",
                f->kind != NULL ? f->kind : "?", f->item != NULL ? f->item : "?",
                f->place != NULL ? f->place : "-",
                f->here_pieces != 0
                    ? arena_printf(&cli->arena, "%lld pieces", (long long)f->here_pieces)
                    : mass_text(&cli->arena, f->here_mg, 1000),
                percent(cli, (int64_t)(t->share[i] * 1e6 + 0.5)),
                t->certain[i] ? "" : "  only by unknown carry-over");
    }
}

static void print_customers(struct cli *cli, const struct trace_answer *t)
{
    for (size_t i = 0; i < t->customer_count; i++) {
        const struct customer_reached *c = &t->customers[i];
        cli_say(cli, "  %-14s %8lld pieces, %s in %zu shipments", c->code, (long long)c->pieces,
                mass_text(&cli->arena, c->mg, 1000000), c->shipment_count);
    }
}

static void print_account(struct cli *cli, const struct trace_answer *t)
{
    const struct account_sum *a = &t->account;
    cli_say(cli, "Accounted for: %s of what was produced (%s of %s).",
            percent(cli, a->accounted_ppm), mass_text(&cli->arena, a->accounted_mg, 1000000),
            mass_text(&cli->arena, a->produced_mg, 1000000));
    cli_say(cli, "Rests on unknown carry-over alone: %s.",
            percent(cli, (int64_t)(t->unknown_part * 1e6 + 0.5)));
}

void trace_print(struct cli *cli, const struct trace_answer *t)
{
    print_lots(cli, t);
    if (t->customer_count > 0) {
        cli_say(cli, "Customers reached:");
        print_customers(cli, t);
    }
    cli_say(cli, "Lots %zu, of them held %zu.", t->lot_count, t->held_lots);
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
    cli_say(cli, "CUSTOMERS TO TELL (%zu)", t->customer_count);
    for (size_t i = 0; i < t->customer_count; i++) {
        const struct customer_reached *c = &t->customers[i];
        cli_say(cli, "  %-14s %8lld pieces, %s%s", c->code, (long long)c->pieces,
                mass_text(&cli->arena, c->mg, 1000000), contact_of(v, c->code));
    }
    cli_say(cli, "LEFT (%zu): what, to whom, when", t->scope.left_count);
    for (size_t i = 0; i < t->scope.left_count; i++) {
        const struct scope_left *l = &t->scope.left[i];
        cli_say(cli, "  %-24s %-14s %-10s %s %lld pieces", l->unit != NULL ? l->unit : l->lot_code,
                l->customer, l->shipment, civil_short(&cli->arena, l->at_ms), (long long)l->pieces);
    }
    cli_say(cli, "STILL HERE (%zu): hold it", t->scope.here_count);
    for (size_t i = 0; i < t->scope.here_count; i++) {
        const struct scope_here *h = &t->scope.here[i];
        cli_say(cli, "  %-24s at %-8s %lld pieces, %s", h->unit != NULL ? h->unit : h->lot_code,
                h->place != NULL ? h->place : "-", (long long)h->pieces,
                mass_text(&cli->arena, h->mg, 1000));
    }
    print_account(cli, t);
    cli_say(cli, "A recall follows local law; ask the authority and the customers' own rules "
                 "before goods are moved.");
}
