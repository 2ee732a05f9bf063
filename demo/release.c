#include "base/check.h"
#include "base/civil.h"
#include "demo/story.h"

static json_t *release_of(const struct stock *s)
{
    bool soy = demo_items[s->item].crop[0] == 'S';
    return json_pack("{s:s,s:s,s:o}", "kind", "release", "lot", s->lot, "markets",
                     soy ? json_pack("[s,s]", "EU", "house") : json_pack("[s]", "house"));
}

/* The wrong mean weight of the morning: struck by quality with a second person, with what is right
 * in its place. */
static struct result put_right(struct story *st, struct stock *s)
{
    struct play *p = st->p;
    json_t *replace = s->pack;
    s->pack = NULL;
    json_object_del(replace, "uuid");
    json_object_del(replace, "person");
    json_object_del(replace, "at");
    p->made->corrected_lot = s->lot;
    return say(p, at(p, 22, 40), DEMO_QUALITY, false,
               json_pack("{s:s,s:I,s:s,s:i,s:o}", "kind", "strike", "entry",
                         (json_int_t)s->pack_entry, "reason",
                         "mean weight typed wrong; the weigher's sheet says otherwise", "second",
                         DEMO_QUALITY_2, "replace", replace));
}

/* A lot that can hold something of a batch whose results are late waits with it, as the record
 * says, and is asked for again the next evening. Anything else that can't be released is a fault of
 * the play. */
static struct result try_release(struct story *st, struct stock *s, int64_t t)
{
    struct play *p = st->p;
    if (s->water_low) { /* what the record says no to; it goes to feed in the morning */
        return refused(p, t, DEMO_QUALITY, release_of(s), CODE_RELEASE_UNMET);
    }
    struct result r = say(p, t, DEMO_QUALITY, false, release_of(s));
    if (r.code == CODE_OK) {
        s->released = true;
        p->made->lots_released++;
        return RESULT_OK;
    }
    bool waits = false;
    for (size_t i = 0; i < st->batch_count; i++) {
        waits =
            waits || (st->batches[i].late && !st->batches[i].resulted) || st->batches[i].positive;
    }
    if (waits &&
        (r.code == CODE_RELEASE_UNMET || r.code == CODE_HELD || r.code == CODE_RELEASE_HOLD_WIDE)) {
        p->made->refusals++;
        return RESULT_OK;
    }
    return r;
}

struct result story_release(struct story *st)
{
    struct play *p = st->p;
    int64_t t = at(p, 22, 10);
    TRY(review_all(p, t, DEMO_QUALITY));
    TRY(review_all(p, t + MINUTE, DEMO_QUALITY_2));
    for (size_t i = 0; i < st->stock_count; i++) {
        struct stock *s = &st->stocks[i];
        if (s->released || s->lost) {
            continue;
        }
        TRY(try_release(st, s, t + 10 * MINUTE));
        if (s->released && s->pack != NULL) {
            TRY(put_right(st, s));
        }
    }
    return RESULT_OK;
}
