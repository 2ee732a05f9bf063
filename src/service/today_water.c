/* Water that is stopped, for the roles that the profile has told; and water to be changed. */
#include <string.h>

#include "base/decimal.h"
#include "ledger/water_balance.h"
#include "service/today.h"
#include "service/view_waters.h"

static struct result stops(struct today *t)
{
    struct view *v = t->v;
    struct water_stopped *list;
    size_t count;
    TRY(waters_stopped(v, &list, &count));
    for (size_t i = 0; i < count; i++) {
        const struct water_stopped *s = &list[i];
        bool heard = s->heard_ms != 0;
        const char *since = view_clock(v, s->since_ms), *why = SAY_WHY(v, s->why);
        today_add(t, &(struct today_line){.what = TODAY_STOP,
                                          .about = s->place,
                                          .place = s->place,
                                          .role = s->told[0] != '\0' ? s->told : NULL,
                                          .form = heard ? "water-restart" : "stop-heard",
                                          .verb = heard ? "run-again" : "heard",
                                          .page = "record",
                                          .with = today_with("place", s->place),
                                          .sentence =
                                              heard ? SAY(v, "today.stop-heard", s->place, since,
                                                          why, view_clock(v, s->heard_ms))
                                                    : SAY(v, "today.stop", s->place, since, why)});
    }
    return RESULT_OK;
}

static const char *level(const struct view *v, const struct water_balance *b, int64_t milli)
{
    /* no more digits than a meter has */
    int64_t shown = milli >= 10000 ? (milli + 999) / 1000 * 1000 : (milli + 99) / 100 * 100;
    return arena_printf(v->arena, "%s %s", decimal_text(v->arena, shown, 3, false),
                        water_meters[b->measure].told);
}

static void add_change(struct today *t, const char *place, const struct water_balance *b)
{
    struct view *v = t->v;
    bool above = b->forecast.reach == WASH_ABOVE_NOW;
    bool reaches = b->forecast.reach == WASH_REACHES && b->change_by_ms == b->forecast.reach_ms;
    const char *key = above     ? "today.water-above"
                      : reaches ? "today.water-change"
                                : "today.water-planned";
    const struct wash_seen *last = &b->seen[b->seen_count - 1];
    today_add(t, &(struct today_line){.what = TODAY_CHANGE,
                                      .about = place,
                                      .place = place,
                                      .by_ms = b->change_by_ms,
                                      .tone = above ? "stopped" : NULL,
                                      .with = today_with("place", place),
                                      .sentence = SAY(v, key, place, level(v, b, last->level_milli),
                                                      level(v, b, b->limit_milli),
                                                      view_clock(v, b->change_by_ms))});
}

static struct result changes(struct today *t)
{
    struct view *v = t->v;
    const char **places;
    size_t count;
    if (!today_wants(t, TODAY_CHANGE)) {
        return RESULT_OK;
    }
    TRY(water_loop_places(v, &places, &count));
    for (size_t i = 0; i < count; i++) {
        struct water_balance b;
        TRY(water_balance(v->store, v->arena, v->profile, places[i], v->now_ms, &b));
        if (b.due && b.seen_count > 0) {
            add_change(t, places[i], &b);
        }
    }
    return RESULT_OK;
}

struct result today_water(struct today *t)
{
    TRY(stops(t));
    return changes(t);
}
