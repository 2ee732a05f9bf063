/* A clean that is struck ended nothing: what a line of unknown carry-over had held back by then can
 * be in all that came off it until it was clean. */
#include <string.h>

#include "ledger/consequence.h"
#include "ledger/inputs.h"
#include "ledger/strike.h"
#include "ledger/touch.h"

static struct result over_each(struct draft *d, const struct strike *k)
{
    for (size_t i = 0; i < k->count; i++) {
        size_t n;
        json_t *effect;
        json_array_foreach(k->list[i].effects, n, effect)
        {
            if (effect_is(effect, "clean") && effect_int(effect, 5) != 0) {
                TRY(edges_over_clean(d, effect_text(effect, 1), effect_int(effect, 4)));
            }
        }
    }
    return RESULT_OK;
}

static struct result book(struct consequence *c, const struct strike *k)
{
    struct command cmd;
    struct draft d;
    consequence_begin(c, "carry-over", &cmd, &d);
    json_object_set_new(d.answer, "because", json_integer(c->cause_seq));
    struct result r = over_each(&d, k);
    if (r.code != CODE_OK || json_array_size(d.effects) == 0) {
        draft_release(&d);
        return r;
    }
    return consequence_take(c, &d);
}

struct result consequence_unclean(struct consequence *c)
{
    struct strike k;
    if (c->nested || strcmp(c->cause->kind, "strike") != 0) {
        return RESULT_OK;
    }
    struct result r = strike_done(c->lg->store, c->arena, c->cause_seq, &k);
    if (r.code == CODE_OK) {
        r = book(c, &k);
    }
    strike_release(&k);
    return r;
}
