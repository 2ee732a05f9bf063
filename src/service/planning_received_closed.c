/* Closed days of a house that receives fruit: its machines rest, and people are told. */
#include "base/check.h"
#include "base/words.h"
#include "ledger/closing.h"
#include "service/planning_received_inner.h"

/* Whether a machine packs what is sold. */
static bool packs(const struct intake_problem *p, int machine)
{
    for (int u = 0; u < p->use_count; u++) {
        const struct intake_use *use = &p->uses[u];
        bool works = false;
        for (int k = 0; k < use->need_count; k++) {
            works = works || use->needs[k].machine == machine;
        }
        for (int i = 0; i < use->part_count * p->product_count && works; i++) {
            if (use->parts[i / p->product_count].good == p->products[i % p->product_count].good) {
                return true;
            }
        }
    }
    return false;
}

void planning_received_close(struct arena *a, struct planning_received *c)
{
    struct intake_problem *p = &c->problem;
    struct intake_machine *machines =
        ARENA_ARRAY(a, struct intake_machine, (size_t)p->machine_count + 1);
    for (int m = 0; m < p->machine_count; m++) {
        double *hours = ARENA_ARRAY(a, double, (size_t)p->day_count);
        unsigned stops = packs(p, m) ? CLOSES_PACK : CLOSES_HARVEST;
        for (int d = 0; d < p->day_count; d++) {
            hours[d] = (c->demand.closed[d].what & stops) != 0 ? 0 : p->machines[m].hours[d];
        }
        machines[m] = (struct intake_machine){p->machines[m].code, hours};
    }
    p->machines = machines;
}

static const char *what_text(struct arena *a, const char *lang, unsigned what)
{
    const char *text = "";
    for (unsigned bit = CLOSES_HARVEST; bit <= CLOSES_DISPATCH; bit <<= 1) {
        if ((what & bit) == 0) {
            continue;
        }
        const char *word = words_of(a, lang, "received.closes.", closing_id((enum closes)bit), "");
        text = text[0] == '\0' ? word : arena_printf(a, "%s, %s", text, word);
    }
    return text;
}

json_t *planning_received_closed(const struct planning_received *c, struct arena *a,
                                 const char *lang)
{
    json_t *list = json_array();
    for (int d = 0; d < c->problem.day_count; d++) {
        const struct planning_closed *closed = &c->demand.closed[d];
        unsigned what = closed->what & ~(unsigned)CLOSES_SOAK; /* nothing is soaked here */
        if (what == 0) {
            continue;
        }
        json_t *names = json_array();
        for (unsigned bit = CLOSES_HARVEST; bit <= CLOSES_DISPATCH; bit <<= 1) {
            if ((what & bit) != 0) {
                json_array_append_new(names, json_string(closing_id((enum closes)bit)));
            }
        }
        json_t *o =
            json_pack("{s:s,s:o,s:s,s:s}", "day", planning_received_day(c, a, d), "what", names,
                      "reason", closed->reason, "sentence",
                      WORDS(a, lang, "plan.closed", words_day(a, lang, c->problem.first_day + d),
                            what_text(a, lang, what), closed->reason));
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return list;
}
