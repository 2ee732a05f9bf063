#include <string.h>

#include "base/civil.h"
#include "base/digest.h"
#include "demo/story.h"
#include "ledger/view.h"
#include "service/plant.h"

const char results_header[] = "Sample,Target,Result,Method,Reported\n";

static const char *const organisms[] = {"E. coli O157:H7", "Salmonella spp.", "STEC O26",
                                        "STEC O111",       "STEC O103",       "STEC O145",
                                        "STEC O104:H4"};

static void add_results(struct story *st, struct sheet *file, const struct batch *b,
                        const char *salmonella, const char *when)
{
    int count = demo_items[b->item].crop[0] == 'S' ? 7 : 2;
    for (int n = 1; n <= b->samples; n++) {
        for (int o = 0; o < count; o++) {
            const char *state = o == 1 && n == 1 ? salmonella : "not detected";
            sheet_add(file, "%s-S%d,%s,%s,equivalent-validated,%s\n", b->lot, n, organisms[o],
                      state, when);
        }
    }
    (void)st;
}

/* What a confirmed positive holds is read from the record, as a person would, and taken out of the
 * plant's hands. */
static struct result is_held(struct story *st, const char *code, bool *out)
{
    struct store *s = door_plant(st->p->door)->store;
    struct lot lot;
    struct hold *holds;
    size_t count = 0;
    bool found;
    TRY(lot_by_code(s, &st->p->scratch, code, &lot, &found));
    if (found) {
        TRY(holds_on(s, &st->p->scratch, lot.id, 0, "use", &holds, &count));
    }
    *out = count > 0;
    return RESULT_OK;
}

static struct result clear_batch(struct story *st, struct batch *b)
{
    struct play *p = st->p;
    bool held;
    TRY(is_held(st, b->state == BATCH_TREATED ? b->load : b->lot, &held));
    if (!held) {
        return RESULT_OK;
    }
    if (b->state == BATCH_GROWING) {
        TRY(say(p, at(p, 12, 30), DEMO_QUALITY, false,
                json_pack("{s:s,s:s,s:s}", "kind", "empty", "lot", b->lot, "mass",
                          mass_of(p, b->seed_kg * 4))));
        st->chamber_batch[b->chamber] = 0;
        TRY(clean_place(st, at(p, 12, 50), chamber_code(st, b->chamber)));
        st->chamber_clean[b->chamber] = true;
    } else {
        TRY(say(p, at(p, 12, 30), DEMO_QUALITY, false,
                json_pack("{s:s,s:s,s:s,s:s}", "kind", "destroy", "lot", b->load, "to", "waste",
                          "reason", "scope of a positive")));
    }
    b->state = BATCH_GONE;
    return RESULT_OK;
}

static struct result clear_scope(struct story *st)
{
    struct play *p = st->p;
    for (size_t i = 0; i < st->batch_count; i++) {
        if (st->batches[i].state != BATCH_GONE) {
            TRY(clear_batch(st, &st->batches[i]));
        }
    }
    for (size_t i = 0; i < st->seed_count; i++) {
        bool held;
        TRY(is_held(st, st->seeds[i].code, &held));
        st->seeds[i].usable = st->seeds[i].usable && !held;
    }
    for (size_t i = 0; i < st->stock_count; i++) {
        struct stock *s = &st->stocks[i];
        bool held;
        if (s->lost || s->next > s->cases) {
            continue;
        }
        TRY(is_held(st, s->lot, &held));
        if (held) {
            s->lost = true;
            TRY(say(p, at(p, 12, 45), DEMO_QUALITY, false,
                    json_pack("{s:s,s:s,s:s,s:s}", "kind", "destroy", "lot", s->lot, "to", "waste",
                              "reason", "scope of a positive")));
        }
    }
    return RESULT_OK;
}

struct result import_results(struct story *st, const struct sheet *file, const char *what)
{
    struct play *p = st->p;
    int64_t before = p->made->last_entry;
    const char *name =
        arena_printf(&p->scratch, "lab-%s-%s.csv", day_text(&p->scratch, p->day), what);
    TRY(file_in(p, at(p, 10, 10), DEMO_QUALITY, "results", "lab-1", name, file->at, file->len,
                NULL));
    review_later(p, before + 2, p->made->last_entry,
                 DEMO_QUALITY); /* the first is the file itself */
    return RESULT_OK;
}

/* Twice the laboratory can't say: once in the past, and of a batch that is due right after the last
 * day, which then waits for its second test. */
static bool says_nothing(struct story *st, const struct batch *b)
{
    const struct play *p = st->p;
    bool old = st->again_day > 0 && !st->again_done && b->grow_day >= st->again_day;
    bool last = p->s->weeks >= 3 && !st->again_open && p->day + AGAIN_DAYS > p->s->last_day &&
                (demo_items[b->item].crop[0] != 'M' || p->day == p->s->last_day);
    st->again_done = st->again_done || old;
    st->again_open = st->again_open || last;
    return old || last;
}

/* What was tested a second time, in a file of its own. */
static struct result second_results(struct story *st)
{
    struct play *p = st->p;
    struct sheet file = {0};
    for (size_t i = 0; i < st->batch_count; i++) {
        struct batch *b = &st->batches[i];
        if (b->again_day != 0 && b->again_day == p->day) {
            sheet_add(&file, "%s%s-S1,Salmonella spp.,not detected,equivalent-validated,%sT09:50\n",
                      file.len == 0 ? results_header : "", b->lot, day_text(&p->scratch, p->day));
        }
    }
    struct result r = file.len > 0 ? import_results(st, &file, "again") : RESULT_OK;
    sheet_release(&file);
    return r;
}

static struct result batch_results(struct story *st)
{
    struct play *p = st->p;
    struct sheet file = {0}, confirmed = {0};
    const char *when = arena_printf(&p->scratch, "%sT09:50", day_text(&p->scratch, p->day));
    struct batch *positive = NULL;
    for (size_t i = 0; i < st->batch_count; i++) {
        struct batch *b = &st->batches[i];
        int32_t due = b->grow_day + RESULT_AGE_DAYS;
        if (b->state != BATCH_GROWING && !(b->late && !b->resulted)) {
            continue;
        }
        if (!b->sampled || b->resulted || p->day < due) {
            continue;
        }
        if (p->day == due && st->late_day > 0 && b->grow_day >= st->late_day &&
            !p->made->late_lot) {
            b->late = true;
            p->made->late_lot = b->lot;
        }
        if (b->late && p->day < b->harvest_day + 1) {
            continue; /* the laboratory lost a day, then another */
        }
        bool bad = st->positive_day > 0 && b->grow_day >= st->positive_day &&
                   p->made->positive_lot == NULL && !b->late;
        if (bad) {
            positive = b;
            b->positive = true;
            p->made->positive_lot = b->lot;
        }
        if (file.len == 0) {
            sheet_add(&file, "%s", results_header);
        }
        bool again = !bad && !b->late && says_nothing(st, b);
        b->again_day = again ? p->day + AGAIN_DAYS : 0;
        add_results(st, &file, b, bad ? "presumptive" : again ? "no result" : "not detected", when);
        b->resulted = true;
    }
    struct result r = file.len > 0 ? import_results(st, &file, "a") : RESULT_OK;
    if (r.code == CODE_OK && positive != NULL) {
        sheet_add(&confirmed,
                  "%s%s-S1,Salmonella spp.,\"detected, confirmed\",equivalent-validated,%s\n",
                  results_header, positive->lot, when);
        r = import_results(st, &confirmed, "b");
        if (r.code == CODE_OK) {
            r = clear_scope(st);
        }
        if (r.code == CODE_OK) {
            r = supplier_suspend(st, st->seeds[positive->seed].supplier);
        }
    }
    sheet_release(&file);
    sheet_release(&confirmed);
    return r;
}

/* Water of each system once a week: as a file of the laboratory the next day. */
static struct result water_samples(struct story *st)
{
    struct play *p = st->p;
    int since = (int)(p->day - p->first_day);
    const char *week = arena_printf(&p->scratch, "%d", since / 7);
    if (since % 7 == 0) {
        for (int n = 1; n <= 2; n++) {
            TRY(say(p, at(p, 5, 10), DEMO_QUALITY, false,
                    json_pack("{s:s,s:s,s:s,s:s,s:s,s:s}", "kind", "sample", "place",
                              arena_printf(&p->scratch, "WS-%d", n), "location", "tap", "what",
                              "water", "volume", "100 mL", "code",
                              arena_printf(&p->scratch, "WS%d-%s", n, week))));
        }
    }
    if (since % 7 != 1) {
        return RESULT_OK;
    }
    struct sheet file = {0};
    const char *when = arena_printf(&p->scratch, "%sT09:40", day_text(&p->scratch, p->day));
    sheet_add(&file, "%s", results_header);
    for (int n = 1; n <= 2; n++) {
        sheet_add(&file, "WS%d-%s,generic E. coli,not detected,equivalent-validated,%s\n", n, week,
                  when);
    }
    struct result r = import_results(st, &file, "w");
    sheet_release(&file);
    return r;
}

struct result story_lab(struct story *st)
{
    TRY(water_samples(st));
    TRY(second_results(st));
    return batch_results(st);
}
