#include <string.h>

#include "base/civil.h"
#include "demo/story.h"

/* First expired, first out, among what has life enough for the customer. */
static struct stock *oldest(struct story *st, int item, int life_days)
{
    struct stock *best = NULL;
    for (size_t i = 0; i < st->stock_count; i++) {
        struct stock *s = &st->stocks[i];
        if (s->item == item && s->released && !s->lost && s->next <= s->cases &&
            s->best_before - st->p->day >= life_days &&
            (best == NULL || s->best_before < best->best_before)) {
            best = s;
        }
    }
    return best;
}

static struct result ship_cases(struct story *st, int customer, int item, struct stock *s,
                                int cases, int64_t t)
{
    struct play *p = st->p;
    int year, month, of_month;
    day_to_ymd(p->day, &year, &month, &of_month);
    const char *key = arena_printf(&p->scratch, "%s/%02d%03d/%d", demo_customers[customer].code,
                                   year % 100, day_of_year(p->day), item + 1);
    const char *first = arena_printf(&p->scratch, "%s-%04d", s->lot, s->next);
    const char *units =
        cases == 1 ? first
                   : arena_printf(&p->scratch, "%s..%s-%04d", first, s->lot, s->next + cases - 1);
    TRY(say(p, t, DEMO_DISPATCH, false,
            json_pack("{s:s,s:s,s:s,s:[s]}", "kind", "ship", "customer",
                      demo_customers[customer].code, "order", key, "units", units)));
    p->made->last_released = s->lot;
    p->made->last_case = keep_text(st, "%s", first);
    s->next += cases;
    p->made->cases_shipped += cases;
    return RESULT_OK;
}

/* What was washed in water below its limit feeds animals; it never was released. */
static struct result divert_low(struct story *st)
{
    struct play *p = st->p;
    for (size_t i = 0; i < st->stock_count; i++) {
        struct stock *s = &st->stocks[i];
        if (s->water_low && !s->lost) {
            s->lost = true;
            TRY(say(p, at(p, 4, 52), DEMO_QUALITY, false,
                    json_pack("{s:s,s:s,s:s,s:s}", "kind", "destroy", "lot", s->lot, "to", "feed",
                              "reason", "washed in water below its limit")));
        }
    }
    return RESULT_OK;
}

struct result story_ship(struct story *st)
{
    struct play *p = st->p;
    int64_t t = at(p, 4, 30); /* trucks take what was released last evening */
    for (int item = 0; item < DEMO_ITEMS; item++) {
        for (int c = 0; c < DEMO_CUSTOMERS; c++) {
            int wanted = order_cases(st, c, item, p->day);
            while (wanted > 0) {
                struct stock *s = oldest(st, item, demo_customers[c].life_days);
                if (s == NULL) {
                    break; /* short */
                }
                int here = s->cases - s->next + 1;
                int take = wanted < here ? wanted : here;
                TRY(ship_cases(st, c, item, s, take, t));
                t += MINUTE;
                wanted -= take;
            }
        }
    }
    TRY(divert_low(st));
    /* what nobody may get any more is destroyed */
    for (size_t i = 0; i < st->stock_count; i++) {
        struct stock *s = &st->stocks[i];
        if (!s->lost && s->next <= s->cases && s->best_before <= p->day) {
            s->lost = true;
            TRY(say(p, at(p, 4, 55), DEMO_DISPATCH, false,
                    json_pack("{s:s,s:s,s:s,s:s}", "kind", "destroy", "lot", s->lot, "to",
                              "compost", "reason", "past its life")));
        }
    }
    return RESULT_OK;
}
