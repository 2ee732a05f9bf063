/* Swabs for Listeria at the sites of the plan: product surfaces and what stands beside them every
 * week, the drain every second, outside every fourth. Once the drain is positive: three negatives
 * in a row close it. */
#include <string.h>

#include "base/civil.h"
#include "demo/story.h"
#include "ledger/view.h"
#include "service/plant.h"

enum { RESULT_DAYS = 2, ACTION_DAYS = 8 };

static const struct {
    const char *site, *place;
    int weeks;
} sites[] = {{"Z1-W1", "W-1", 1},
             {"Z1-P1", "P-1", 1},
             {"Z2-S1", "S-1", 1},
             {"Z3-T1", "T-1", 2},
             {"Z4-D1", "D-1", 4}};
enum { SITES = sizeof sites / sizeof sites[0], DRAIN = 3 };

/* Is a site swabbed on a day? The drain each day after it was found positive. */
static bool is_drawn(const struct story *st, int site, int32_t day)
{
    int since = (int)(day - st->p->first_day);
    bool again = site == DRAIN && st->niche_day > 0 && day > st->niche_day + RESULT_DAYS &&
                 day <= st->niche_day + RESULT_DAYS + 3;
    return again || (since >= 0 && since % 7 == 2 && since / 7 % sites[site].weeks == 0);
}

static const char *code_of(struct story *st, int site, int32_t day)
{
    return arena_printf(&st->p->scratch, "%s-%d", sites[site].site, (int)day);
}

static struct result draw(struct story *st)
{
    struct play *p = st->p;
    for (int i = 0; i < SITES; i++) {
        if (is_drawn(st, i, p->day)) {
            TRY(say(p, at(p, 5, 20), DEMO_QUALITY, false,
                    json_pack("{s:s,s:s,s:s,s:s,s:s}", "kind", "sample", "what", "swab", "place",
                              sites[i].place, "location", sites[i].site, "code",
                              code_of(st, i, p->day))));
        }
    }
    return RESULT_OK;
}

static struct result results(struct story *st)
{
    struct play *p = st->p;
    struct sheet file = {0};
    int32_t drawn = p->day - RESULT_DAYS;
    const char *today = day_text(&p->scratch, p->day);
    for (int i = 0; i < SITES; i++) {
        if (!is_drawn(st, i, drawn)) {
            continue;
        }
        bool found = i == DRAIN && st->niche_day > 0 && drawn == st->niche_day;
        if (file.len == 0) {
            sheet_add(&file, "%s", results_header);
        }
        const char *code = code_of(st, i, drawn);
        if (found) { /* the screen first, the confirmation later in the morning */
            sheet_add(&file, "%s,Listeria spp.,presumptive,equivalent-validated,%sT08:10\n", code,
                      today);
        }
        sheet_add(&file, "%s,Listeria spp.,\"%s\",equivalent-validated,%sT09:30\n", code,
                  found ? "detected, confirmed" : "not detected", today);
    }
    struct result r = file.len > 0 ? import_results(st, &file, "s") : RESULT_OK;
    sheet_release(&file);
    return r;
}

/* The open action at a place; 0: none. */
static struct result action_at(struct story *st, const char *place, int64_t *out)
{
    struct statement *q = store_prepare(door_plant(st->p->door)->store, Q_TODAY_ENVIRONMENTS);
    *out = 0;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        *out = strcmp(store_text(q, 1), place) == 0 ? store_int(q, 0) : *out;
    }
}

static struct result close_action(struct story *st)
{
    int64_t id;
    TRY(action_at(st, sites[DRAIN].place, &id));
    return id == 0 ? RESULT_OK
                   : say(st->p, at(st->p, 14, 0), DEMO_QUALITY, false,
                         json_pack("{s:s,s:I,s:s}", "kind", "environment", "close", (json_int_t)id,
                                   "reason", "cleaned, taken apart, three swabs negative"));
}

struct result story_swabs(struct story *st)
{
    TRY(draw(st));
    TRY(results(st));
    bool ends = st->niche_day > 0 && st->p->day == st->niche_day + ACTION_DAYS;
    return ends ? close_action(st) : RESULT_OK;
}
