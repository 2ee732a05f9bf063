#include "paper/dossier.h"

#include "base/check.h"
#include "base/words.h"
#include "paper/flow.h"

/* Keys of a mark and a word each: the mark is seen, the word is heard and searched for. */
static const char *const state_words[] = {
    [DOSSIER_MET] = "paper.met",
    [DOSSIER_UNMET] = "paper.unmet",
    [DOSSIER_NOT_APPLICABLE] = "paper.not-applicable",
};

static const char *number(struct arena *a, int64_t value)
{
    return arena_printf(a, "%lld", (long long)value);
}

static const char *hash_text(struct arena *a, const struct hash *hash)
{
    return hex_text(a, hash->b, sizeof hash->b);
}

/* Facts and the like: names left, values right. */
static void put_pairs(struct flow *f, const char *const *cells, size_t count, enum page_font font,
                      const char *field)
{
    const struct flow_column columns[] = {{"", 3, PAGE_SANS, PAGE_LEFT}, {"", 9, font, PAGE_LEFT}};
    flow_table(f, &(struct flow_table){.columns = columns,
                                       .column_count = 2,
                                       .cells = cells,
                                       .row_count = count,
                                       .lines = true,
                                       .field = field});
}

static void put_facts(struct flow *f, const struct dossier *d)
{
    struct arena *a = flow_arena(f);
    const char **cells = ARENA_ARRAY(a, const char *, 2 * d->fact_count);
    for (size_t i = 0; i < d->fact_count; i++) {
        cells[2 * i] = d->facts[i].name;
        cells[2 * i + 1] = d->facts[i].value;
    }
    put_pairs(f, cells, d->fact_count, PAGE_SANS_BOLD, "facts");
}

static void put_cautions(struct flow *f, const struct dossier *d)
{
    if (d->caution_count == 0) {
        return;
    }
    flow_heading(f, flow_say(f, "paper.cautions"));
    for (size_t i = 0; i < d->caution_count; i++) {
        flow_paragraph(f, PAGE_SANS, arena_printf(flow_arena(f), "! %s", d->cautions[i]),
                       "cautions");
    }
}

static void put_clauses(struct flow *f, const struct dossier *d)
{
    const struct flow_column columns[] = {
        {flow_say(f, "paper.column.state"), 2.1, PAGE_SANS_BOLD, PAGE_LEFT},
        {flow_say(f, "paper.column.clause"), 3, PAGE_SANS, PAGE_LEFT},
        {flow_say(f, "paper.column.reason"), 5, PAGE_SANS, PAGE_LEFT},
        {flow_say(f, "paper.column.evidence"), 2.2, PAGE_SANS, PAGE_LEFT}};
    flow_heading(f, flow_say(f, "paper.clauses"));
    if (d->clause_count == 0) {
        flow_paragraph(f, PAGE_SANS, flow_say(f, "paper.no-clause"), "clauses");
        return;
    }
    const char **cells = ARENA_ARRAY(flow_arena(f), const char *, 4 * d->clause_count);
    for (size_t i = 0; i < d->clause_count; i++) {
        const struct dossier_clause *c = &d->clauses[i];
        CHECK(c->state <= DOSSIER_NOT_APPLICABLE);
        cells[4 * i] = flow_say(f, state_words[c->state]);
        cells[4 * i + 1] = c->name;
        cells[4 * i + 2] = c->reason;
        cells[4 * i + 3] = c->evidence;
    }
    flow_table(f, &(struct flow_table){.columns = columns,
                                       .column_count = 4,
                                       .cells = cells,
                                       .row_count = d->clause_count,
                                       .head = true,
                                       .lines = true,
                                       .field = "clauses"});
}

static void put_story(struct flow *f, const struct dossier *d)
{
    const struct flow_column columns[] = {
        {flow_say(f, "paper.column.when"), 3.7, PAGE_SANS, PAGE_LEFT},
        {flow_say(f, "paper.column.entry"), 1, PAGE_SANS, PAGE_RIGHT},
        {flow_say(f, "paper.column.what"), 7.3, PAGE_SANS, PAGE_LEFT}};
    flow_heading(f, flow_say(f, "paper.story"));
    if (d->event_count == 0) {
        flow_paragraph(f, PAGE_SANS, flow_say(f, "paper.no-story"), "events");
        return;
    }
    struct arena *a = flow_arena(f);
    const char **cells = ARENA_ARRAY(a, const char *, 3 * d->event_count);
    for (size_t i = 0; i < d->event_count; i++) {
        const struct dossier_event *e = &d->events[i];
        cells[3 * i] = words_time(a, d->lang, e->at_ms, e->offset_min);
        cells[3 * i + 1] = number(a, e->entry);
        cells[3 * i + 2] = e->text;
    }
    flow_table(f, &(struct flow_table){.columns = columns,
                                       .column_count = 3,
                                       .cells = cells,
                                       .row_count = d->event_count,
                                       .head = true,
                                       .lines = true,
                                       .field = "events"});
}

static void put_balance(struct flow *f, const struct dossier *d)
{
    const struct flow_column columns[] = {
        {flow_say(f, "paper.column.account"), 4, PAGE_SANS, PAGE_LEFT},
        {flow_say(f, "paper.column.wet"), 2, PAGE_SANS, PAGE_RIGHT},
        {flow_say(f, "paper.column.dry"), 2, PAGE_SANS, PAGE_RIGHT},
        {flow_say(f, "paper.column.known"), 4, PAGE_SANS, PAGE_LEFT}};
    if (d->balance_count == 0) {
        return;
    }
    flow_heading(f, flow_say(f, "paper.balance"));
    struct arena *a = flow_arena(f);
    const char **cells = ARENA_ARRAY(a, const char *, 4 * d->balance_count);
    bool *bold = ARENA_ARRAY(a, bool, d->balance_count);
    for (size_t i = 0; i < d->balance_count; i++) {
        const struct dossier_balance *b = &d->balance[i];
        cells[4 * i] = b->account;
        cells[4 * i + 1] = b->wet;
        cells[4 * i + 2] = b->dry;
        cells[4 * i + 3] = b->known;
        bold[i] = b->total;
    }
    flow_table(f, &(struct flow_table){.columns = columns,
                                       .column_count = 4,
                                       .cells = cells,
                                       .row_count = d->balance_count,
                                       .bold = bold,
                                       .head = true,
                                       .lines = true,
                                       .field = "balance"});
}

static void put_signatures(struct flow *f, const struct dossier *d)
{
    const struct flow_column columns[] = {
        {flow_say(f, "paper.column.name"), 3, PAGE_SANS_BOLD, PAGE_LEFT},
        {flow_say(f, "paper.column.when"), 3.7, PAGE_SANS, PAGE_LEFT},
        {flow_say(f, "paper.column.meaning"), 4, PAGE_SANS, PAGE_LEFT},
        {flow_say(f, "paper.column.tree-size"), 1.5, PAGE_SANS, PAGE_RIGHT}};
    flow_heading(f, flow_say(f, "paper.signatures"));
    if (d->signature_count == 0) {
        flow_paragraph(f, PAGE_SANS, flow_say(f, "paper.no-signature"), "signatures");
        return;
    }
    struct arena *a = flow_arena(f);
    const char **cells = ARENA_ARRAY(a, const char *, 4 * d->signature_count);
    for (size_t i = 0; i < d->signature_count; i++) {
        const struct dossier_signature *s = &d->signatures[i];
        cells[4 * i] = s->name;
        cells[4 * i + 1] = words_time(a, d->lang, s->at_ms, s->offset_min);
        cells[4 * i + 2] = s->meaning;
        cells[4 * i + 3] = number(a, s->tree_size);
    }
    flow_table(f, &(struct flow_table){.columns = columns,
                                       .column_count = 4,
                                       .cells = cells,
                                       .row_count = d->signature_count,
                                       .head = true,
                                       .lines = true,
                                       .field = "signatures"});
}

static void put_head(struct flow *f, const struct dossier *d)
{
    struct arena *a = flow_arena(f);
    const char *cells[] = {
        flow_say(f, "paper.head.tree-size"),
        number(a, d->tree_size),
        flow_say(f, "paper.head.root"),
        hash_text(a, &d->root),
        flow_say(f, "paper.head.signed"),
        d->head_signature == NULL ? flow_say(f, "paper.head.not-yet") : d->head_signature,
        flow_say(f, "paper.head.key"),
        d->key_id == NULL ? flow_say(f, "paper.head.none") : d->key_id,
        flow_say(f, "paper.head.profile"),
        d->profile_digest == NULL ? flow_say(f, "paper.head.none") : d->profile_digest,
    };
    flow_heading(f, flow_say(f, "paper.head"));
    put_pairs(f, cells, sizeof cells / sizeof cells[0] / 2, PAGE_MONO, "proof");
}

static void put_proofs(struct flow *f, const struct dossier *d)
{
    struct arena *a = flow_arena(f);
    put_head(f, d);
    if (d->proof_count == 0) {
        return;
    }
    flow_heading(f, flow_say(f, "paper.proof"));
    flow_paragraph(f, PAGE_SANS, flow_say(f, "paper.proof-text"), "proof");
    for (size_t i = 0; i < d->proof_count; i++) {
        const struct dossier_proof *p = &d->proofs[i];
        const char **cells = ARENA_ARRAY(a, const char *, 2 * (p->path_count + 1));
        cells[0] = WORDS(a, d->lang, "paper.leaf", number(a, p->entry), number(a, p->leaf_index));
        cells[1] = hash_text(a, &p->leaf);
        for (size_t k = 0; k < p->path_count; k++) {
            cells[2 * k + 2] = WORDS(a, d->lang, "paper.path", number(a, (int64_t)k + 1));
            cells[2 * k + 3] = hash_text(a, &p->path[k]);
        }
        put_pairs(f, cells, p->path_count + 1, PAGE_MONO, "proof");
    }
}

static void body(struct flow *f, const void *subject)
{
    const struct dossier *d = subject;
    flow_title(f, d->title, "title");
    if (d->subtitle != NULL) {
        flow_paragraph(f, PAGE_SANS_BOLD, d->subtitle, "subtitle");
    }
    put_facts(f, d);
    put_cautions(f, d);
    put_clauses(f, d);
    put_story(f, d);
    put_balance(f, d);
    put_signatures(f, d);
    put_proofs(f, d);
}

static struct result proofs_check(struct arena *a, const struct dossier *d)
{
    for (size_t i = 0; i < d->proof_count; i++) {
        const struct dossier_proof *p = &d->proofs[i];
        if (p->leaf_index < 0 || p->leaf_index >= d->tree_size ||
            !merkle_inclusion_holds(&p->leaf, (uint64_t)p->leaf_index, (uint64_t)d->tree_size,
                                    p->path, p->path_count, &d->root)) {
            return FAIL2(DOSSIER_PROOF, arena_printf(a, "proofs[%zu]", i), number(a, p->entry),
                         number(a, d->tree_size));
        }
    }
    return RESULT_OK;
}

struct result dossier_pdf(struct arena *a, const struct dossier *d, const uint8_t **out,
                          size_t *out_len)
{
    if (d->title == NULL || d->title[0] == '\0') {
        return FAIL1(FIELD_MISSING, "title", "A dossier names its lot.");
    }
    TRY(proofs_check(a, d));
    struct dossier said = *d;
    said.lang = words_language(d->lang);
    const char *printed = words_time(a, said.lang, d->created_ms, d->created_offset_min);
    struct flow_setup setup = {
        .lang = said.lang,
        .title = d->title,
        .foot = WORDS(a, said.lang, "paper.foot", printed, number(a, d->tree_size)),
        .created_ms = d->created_ms};
    return flow_pdf(a, &setup, body, &said, out, out_len);
}
