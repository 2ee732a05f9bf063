#include "ledger/clause.h"

#include <string.h>

#include "base/civil.h"
#include "ledger/clause_inner.h"
#include "ledger/view.h"

static const struct {
    const char *name;
    clause_fn *judge;
    bool sampled_too; /* also asked of any other lot that was sampled */
    bool of_packing;  /* of a pack that was packed again only its last packing speaks */
} judges[] = {
    {"seed-approved", judge_seed_approved, false, false},
    {"seed-treated", judge_seed_treated, false, false},
    {"clean", judge_clean, false, false},
    {"sampled", judge_sampled, false, false},
    {"negative", judge_negative, true, false},
    {"environment", judge_environment, false, false},
    {"water", judge_water, false, false},
    {"foreign-body", judge_foreign_body, false, true},
    {"label", judge_label, false, true},
};

/* The order in which product comes about. What is not in it comes after packing, like a by-product
 * or returned goods. */
static const char *const chain[] = {"supplier", "seed",    "load",   "growing", "harvested",
                                    "washed",   "trimmed", "rinsed", "sorted",  "packed"};
enum { CHAIN_LAST = sizeof chain / sizeof chain[0] - 1 };

static int rank_of(const char *kind)
{
    for (int i = 0; i <= CHAIN_LAST; i++) {
        if (strcmp(chain[i], kind) == 0) {
            return i;
        }
    }
    return CHAIN_LAST;
}

const char *clause_state_text(enum clause_state state)
{
    static const char *const texts[] = {"met", "unmet", "not-applicable"};
    return texts[state];
}

static void set_way(struct judging *j, struct clause_line *line)
{
    const struct evidence *e = j->e;
    size_t count = 1;
    for (size_t at = line->lot; e->lots[at].via != at; at = e->lots[at].via) {
        count++;
    }
    line->way = ARENA_ARRAY(j->arena, const char *, count);
    line->way_count = count;
    for (size_t at = line->lot; count > 0; at = e->lots[at].via) {
        line->way[--count] = e->lots[at].code;
    }
}

struct clause_line *clause_line_new(struct judging *j, size_t lot, const char *place,
                                    const char *market)
{
    struct clause_line *line = EVIDENCE_ADD(j->arena, j->out, line);
    *line = (struct clause_line){.clause = j->clause->name,
                                 .lot = lot,
                                 .lot_code = j->e->lots[lot].code,
                                 .place = place,
                                 .market = market};
    set_way(j, line);
    return line;
}

void clause_fail(struct clause_line *line, struct result reason)
{
    if (line->state != CLAUSE_UNMET) {
        line->state = CLAUSE_UNMET;
        line->reason = reason;
    }
}

void clause_entry(struct judging *j, struct clause_line *line, int64_t entry)
{
    size_t at = 0;
    while (at < line->entry_count && line->entries[at] < entry) {
        at++;
    }
    if (at < line->entry_count && line->entries[at] == entry) {
        return;
    }
    evidence_grow(j->arena, &line->entries, &line->entry_count, sizeof *line->entries);
    memmove(&line->entries[at + 1], &line->entries[at],
            (line->entry_count - 1 - at) * sizeof *line->entries);
    line->entries[at] = entry;
}

bool is_parent(const struct evidence *e, size_t parent, size_t child)
{
    for (size_t i = 0; i < e->edge_count; i++) {
        if (e->edges[i].parent == parent && e->edges[i].child == child) {
            return true;
        }
    }
    return false;
}

bool same_goods(const struct evidence *e, size_t lot)
{
    for (size_t i = 0; i < e->contact_count; i++) {
        const struct evidence_contact *k = &e->contacts[i];
        if (k->lot == lot && k->made && !list_has("split,join,move,return,count", k->act)) {
            return false;
        }
    }
    return e->lots[lot].made_from;
}

bool still_packed_so(const struct evidence *e, size_t lot)
{
    if (lot == 0) {
        return true;
    }
    for (size_t i = 0; i < e->edge_count; i++) {
        size_t child = e->edges[i].child;
        if (e->edges[i].parent == lot && same_goods(e, child) && still_packed_so(e, child)) {
            return true;
        }
    }
    return false;
}

const char *time_text(struct judging *j, int64_t ms)
{
    return civil_short(j->arena, ms);
}

const char *span_text(struct judging *j, int64_t ms)
{
    long long minutes = (long long)(ms / 60000);
    return minutes % 60 == 0
               ? arena_printf(j->arena, "%lld h", minutes / 60)
               : arena_printf(j->arena, "%lld h %lld min", minutes / 60, minutes % 60);
}

const char *number_text(struct judging *j, int64_t number)
{
    return arena_printf(j->arena, "%lld", (long long)number);
}

/* Only the profile, and only with a source that may release, takes an item out. */
static bool not_applicable(struct judging *j, size_t lot)
{
    const struct clause *c = j->clause;
    const char *item = j->e->lots[lot].item;
    if (!list_has(c->na_items, item) || c->na_source == NULL || !source_may_release(c->na_source)) {
        return false;
    }
    struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
    line->state = CLAUSE_NOT_APPLICABLE;
    line->reason = FAIL3(CLAUSE_NOT_APPLICABLE, "", c->name, item, c->na_source->title);
    return true;
}

static bool was_sampled(const struct evidence *e, size_t lot)
{
    for (size_t i = 0; i < e->sample_count; i++) {
        if (e->samples[i].lot == lot) {
            return true;
        }
    }
    return false;
}

/* Where product jumps over all lots that a clause is asked of, or comes from nowhere behind them,
 * nothing would ask it: it is unmet there. parent EVIDENCE_NO_LOT: nothing is recorded. */
static void check_jump(struct judging *j, size_t parent, size_t child)
{
    const struct evidence_lot *lot = &j->e->lots[child];
    int low = -1, high = -1;
    for (int i = 0; i <= CHAIN_LAST; i++) {
        if (list_has(j->clause->kinds, chain[i])) {
            low = low < 0 ? i : low;
            high = i;
        }
    }
    if (high < 0 || rank_of(lot->kind) <= high || not_applicable(j, child)) {
        return;
    }
    if (parent == EVIDENCE_NO_LOT) {
        clause_fail(clause_line_new(j, child, NULL, NULL),
                    FAIL2(CLAUSE_ORIGIN, "", lot->code, j->clause->name));
    } else if (rank_of(j->e->lots[parent].kind) < low) {
        clause_fail(clause_line_new(j, child, NULL, NULL),
                    FAIL3(CLAUSE_JUMPED, "", lot->code, j->e->lots[parent].code, j->clause->kinds));
    }
}

static bool bought_in(const char *kind)
{
    return list_has("supplier,seed,ingredient,packaging", kind);
}

static void check_jumps(struct judging *j)
{
    for (size_t i = 0; i < j->e->lot_count; i++) {
        if (!j->e->lots[i].made_from && !bought_in(j->e->lots[i].kind)) {
            check_jump(j, EVIDENCE_NO_LOT, i);
        }
    }
    for (size_t i = 0; i < j->e->edge_count; i++) {
        if (!list_has("ingredient,packaging", j->e->lots[j->e->edges[i].parent].kind)) {
            check_jump(j, j->e->edges[i].parent, j->e->edges[i].child);
        }
    }
}

void clauses_judge(const struct evidence *e, const struct profile *p, const char *markets,
                   struct arena *a, struct clause_list *out)
{
    *out = (struct clause_list){0};
    struct judging j = {.e = e, .p = p, .markets = markets, .arena = a, .out = out};
    for (size_t k = 0; k < sizeof judges / sizeof judges[0]; k++) {
        j.clause = profile_clause(p, judges[k].name);
        for (size_t i = 0; i < e->lot_count; i++) {
            bool asked = list_has(j.clause->kinds, e->lots[i].kind) && !same_goods(e, i) &&
                         (!judges[k].of_packing || still_packed_so(e, i));
            if ((asked && !not_applicable(&j, i)) ||
                (!asked && judges[k].sampled_too && was_sampled(e, i))) {
                judges[k].judge(&j, i);
            }
        }
        check_jumps(&j);
    }
    j.clause = profile_clause(p, "reviewed");
    judge_reviewed(&j);
    for (size_t i = 0; i < out->line_count; i++) {
        out->unmet += out->lines[i].state == CLAUSE_UNMET ? 1 : 0;
    }
}

static const char *all_markets(const struct profile *p, struct arena *a)
{
    const char *all = "";
    for (size_t i = 0; i < p->market_count; i++) {
        all = i == 0 ? p->markets[i].name : arena_printf(a, "%s,%s", all, p->markets[i].name);
    }
    return all;
}

struct result clauses_of_lot(struct store *s, const struct profile *p, int64_t lot,
                             const char *markets, struct arena *a, struct clause_list *out)
{
    struct evidence e;
    TRY(evidence_collect(s, a, lot, &e));
    const char *asked = markets;
    if (asked[0] == '\0') {
        struct lot row;
        bool found;
        TRY(lot_by_id(s, a, lot, &row, &found));
        asked = found && row.markets[0] != '\0' ? row.markets : all_markets(p, a);
    }
    clauses_judge(&e, p, asked, a, out);
    return RESULT_OK;
}

const struct clause_line *clauses_first_unmet(const struct clause_list *list)
{
    for (size_t i = 0; i < list->line_count; i++) {
        if (list->lines[i].state == CLAUSE_UNMET) {
            return &list->lines[i];
        }
    }
    return NULL;
}

bool clause_holds(const struct clause_list *list, const char *clause)
{
    bool any = false;
    for (size_t i = 0; i < list->line_count; i++) {
        if (strcmp(list->lines[i].clause, clause) == 0) {
            any = true;
            if (list->lines[i].state == CLAUSE_UNMET) {
                return false;
            }
        }
    }
    return any;
}
