/* Clean: a valid clean of the surface's scope before first contact, and nothing between that ends
 * it (21 CFR 112.143(b), published (seen); scopes by surface class are the house's plan). */
#include <string.h>

#include "ledger/clause_inner.h"

struct touch {
    const struct evidence_contact *contact;
    const struct surface *surface;
    const struct evidence_clean *clean; /* the last valid one before it */
    const char *lot_code;
};

static const struct evidence_clean *clean_before(const struct evidence *e,
                                                 const struct evidence_contact *k)
{
    const struct evidence_clean *found = NULL;
    for (size_t i = 0; i < e->clean_count; i++) {
        const struct evidence_clean *c = &e->cleans[i];
        if (c->valid && c->end_ms <= k->start_ms && strcmp(c->place, k->place) == 0 &&
            (found == NULL || c->end_ms > found->end_ms)) {
            found = c;
        }
    }
    return found;
}

/* Was that use of the place after its clean and not after the touch began? */
static bool between(const struct touch *t, const struct evidence_use *u)
{
    return strcmp(u->place, t->contact->place) == 0 && u->from_ms <= t->contact->start_ms &&
           (u->to_ms > t->clean->end_ms || u->from_ms >= t->clean->end_ms);
}

static size_t lot_with_id(const struct evidence *e, int64_t id)
{
    for (size_t i = 0; i < e->lot_count; i++) {
        if (e->lots[i].id == id) {
            return i;
        }
    }
    return EVIDENCE_NO_LOT;
}

/* Loads of one production batch share it, and so a clean for that batch: both went into one growing
 * lot of this evidence, or one came out of the other. */
static bool same_batch(const struct evidence *e, int64_t other_id, size_t lot)
{
    size_t other = lot_with_id(e, other_id);
    if (other == EVIDENCE_NO_LOT) {
        return false;
    }
    if (other == lot || is_parent(e, other, lot) || is_parent(e, lot, other)) {
        return true;
    }
    for (size_t i = 0; i < e->edge_count; i++) {
        size_t child = e->edges[i].child;
        if (e->edges[i].parent == other && strcmp(e->lots[child].kind, "growing") == 0 &&
            is_parent(e, lot, child)) {
            return true;
        }
    }
    return false;
}

static struct result batch_scope(struct judging *j, const struct touch *t)
{
    for (size_t i = 0; i < j->e->use_count; i++) {
        const struct evidence_use *u = &j->e->uses[i];
        if (between(t, u) && !same_batch(j->e, u->lot, t->contact->lot)) {
            return FAIL3(CLAUSE_CLEAN_USED, "", t->contact->place, t->lot_code, u->lot_code);
        }
    }
    return RESULT_OK;
}

static bool same_kind_of_run(const char *family, const char *allergens,
                             const struct evidence_contact *k)
{
    return strcmp(family, k->family) == 0 && strcmp(allergens, k->allergens) == 0;
}

static struct result change_between(struct judging *j, const struct touch *t)
{
    const struct evidence_contact *k = t->contact;
    for (size_t i = 0; i < j->e->run_count; i++) {
        const struct evidence_run *r = &j->e->runs[i];
        if (r->id != k->run && strcmp(r->place, k->place) == 0 && r->start_ms <= k->start_ms &&
            r->end_ms > t->clean->end_ms && !same_kind_of_run(r->family, r->allergens, k)) {
            return FAIL3(CLAUSE_CLEAN_CHANGE, "", k->place, t->lot_code, r->code);
        }
    }
    for (size_t i = 0; i < j->e->use_count; i++) {
        const struct evidence_use *u = &j->e->uses[i];
        bool same_step = u->entry == k->entry || (u->run != 0 && u->run == k->run);
        if (!same_step && between(t, u) && !same_kind_of_run(u->family, u->allergens, k)) {
            return FAIL3(CLAUSE_CLEAN_CHANGE, "", k->place, t->lot_code, u->lot_code);
        }
    }
    return RESULT_OK;
}

/* How far product is known to have moved over the place from at_ms on without a stop. */
static int64_t work_until(const struct evidence *e, const struct touch *t, int64_t at_ms)
{
    int64_t until = at_ms;
    for (bool moved = true; moved;) {
        moved = false;
        for (size_t i = 0; i < e->use_count; i++) {
            const struct evidence_use *u = &e->uses[i];
            if (strcmp(u->place, t->contact->place) == 0 && u->to_ms > until &&
                u->from_ms <= until + t->surface->stop_ms) {
                until = u->to_ms;
                moved = true;
            }
        }
    }
    return until;
}

/* A stop is time without product between the first on the place since its clean and this lot. */
static struct result stop_between(struct judging *j, const struct touch *t)
{
    int64_t first_ms = t->contact->start_ms;
    for (size_t i = 0; i < j->e->use_count; i++) {
        const struct evidence_use *u = &j->e->uses[i];
        if (between(t, u) && u->from_ms < first_ms) {
            first_ms = u->from_ms;
        }
    }
    int64_t stop_ms = t->contact->start_ms - work_until(j->e, t, first_ms);
    return stop_ms <= t->surface->stop_ms ? RESULT_OK
                                          : FAIL3(CLAUSE_CLEAN_STOP, "", t->contact->place,
                                                  t->lot_code, span_text(j, stop_ms));
}

static struct result run_scope(struct judging *j, const struct touch *t)
{
    const struct evidence_contact *k = t->contact;
    if (t->surface->hours_ms <= 0 || t->surface->stop_ms <= 0) {
        return FAIL2(CLAUSE_PLAN, "", "how long a clean is good", t->surface->name);
    }
    if (k->to_ms > t->clean->end_ms + t->surface->hours_ms) {
        return FAIL3(CLAUSE_CLEAN_OLD, "", k->place, t->lot_code, time_text(j, t->clean->end_ms));
    }
    TRY(change_between(j, t));
    return stop_between(j, t);
}

/* A positive on the place itself, or a batch with a positive that went over it. */
static struct result positive_between(struct judging *j, const struct touch *t)
{
    const struct evidence *e = j->e;
    for (size_t i = 0; i < e->sample_count; i++) {
        const struct evidence_sample *s = &e->samples[i];
        if (s->place != NULL && strcmp(s->what, "swab") == 0 && sample_positive(e, i) &&
            s->taken_ms >= t->clean->end_ms && s->taken_ms <= t->contact->to_ms &&
            evidence_place_within(e, s->place, t->contact->place)) {
            return FAIL3(CLAUSE_CLEAN_POSITIVE, "", t->contact->place, t->lot_code, s->code);
        }
    }
    for (size_t i = 0; i < e->use_count; i++) {
        const struct evidence_use *u = &e->uses[i];
        if (u->positive && u->lot != e->lots[t->contact->lot].id && between(t, u)) {
            return FAIL3(CLAUSE_CLEAN_POSITIVE, "", t->contact->place, t->lot_code, u->lot_code);
        }
    }
    return RESULT_OK;
}

/* What is harvested leaves the chamber its batch grew in: the batch's own line speaks for that. */
static bool leaves_its_chamber(const struct evidence *e, const struct evidence_contact *k)
{
    for (size_t i = 0; strcmp(k->act, "harvest") == 0 && i < e->contact_count; i++) {
        const struct evidence_contact *grew = &e->contacts[i];
        if (strcmp(grew->act, "grow") == 0 && grew->place != NULL &&
            strcmp(grew->place, k->place) == 0 && is_parent(e, grew->lot, k->lot)) {
            return true;
        }
    }
    return false;
}

static void judge_contact(struct judging *j, const struct evidence_contact *k,
                          const struct surface *surface)
{
    struct clause_line *line = clause_line_new(j, k->lot, k->place, NULL);
    struct touch t = {.contact = k,
                      .surface = surface,
                      .clean = clean_before(j->e, k),
                      .lot_code = line->lot_code};
    if (t.clean == NULL) {
        clause_fail(line, FAIL3(CLAUSE_CLEAN_MISSING, "", k->place, line->lot_code,
                                time_text(j, k->start_ms)));
        return;
    }
    clause_entry(j, line, t.clean->entry);
    struct result r = surface->scope == SCOPE_BATCH ? batch_scope(j, &t) : run_scope(j, &t);
    if (r.code == CODE_OK) {
        r = positive_between(j, &t);
    }
    if (r.code != CODE_OK) {
        clause_fail(line, r);
    }
}

void judge_clean(struct judging *j, size_t lot)
{
    const struct evidence *e = j->e;
    bool any = false;
    for (size_t i = 0; i < e->contact_count; i++) {
        const struct evidence_contact *k = &e->contacts[i];
        if (k->lot != lot || k->place == NULL) {
            continue;
        }
        any = true;
        const struct evidence_place *place = evidence_place(e, k->place);
        const struct surface *surface = place != NULL ? profile_surface(j->p, place->kind) : NULL;
        if (surface != NULL && !leaves_its_chamber(e, k)) {
            judge_contact(j, k, surface);
        }
    }
    if (!any) {
        struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
        clause_fail(line, FAIL1(CLAUSE_CLEAN_STEP, "", line->lot_code));
    }
}
