/* One chamber: what was measured, what is foretold. */
#include <math.h>
#include <string.h>

#include "base/check.h"
#include "service/view_chambers.h"
#include "service/view_inner.h"
#include "service/view_log.h"

enum { HOUR_MS = 3600000, POINTS_MAX = 400, FORETOLD = 60 };
/* How far a bed may stand off its set point: common practice in closed chambers. */
enum { OFF_MC = 1000 };

struct chart {
    struct view *v;
    const struct view_chamber *c;
    struct warmth_knot *knots; /* the heat as it was measured */
    size_t knot_count;
};

/* Degree-hours up to a moment: from the log as far as it goes, then at the set point and off_mc. */
static int64_t heat_until(const struct chart *ch, int64_t at_ms, int32_t off_mc)
{
    struct heat_sum_crop crop = chamber_crop(ch->c->crop);
    const struct warmth_knot *k = ch->knots;
    size_t next = 0;
    while (next < ch->knot_count && k[next].at_ms <= at_ms) {
        next++;
    }
    if (next == 0) {
        return 0;
    }
    double done = k[next - 1].heat_mc_h, part_ms = (double)(at_ms - k[next - 1].at_ms);
    if (next < ch->knot_count) {
        double whole_ms = (double)(k[next].at_ms - k[next - 1].at_ms);
        done += (k[next].heat_mc_h - done) * part_ms / whole_ms;
    } else {
        int32_t set_mc = (int32_t)ch->c->crop->set_point_mc + off_mc;
        done += (double)warmth_rate(&crop, set_mc) * part_ms / HOUR_MS;
    }
    return (int64_t)floor(done / 1000 + 1e-6);
}

static struct result put_predicted(struct chart *ch, json_t *list)
{
    const struct chamber_run *run = ch->c->run;
    if (run == NULL || ch->c->crop == NULL || ch->c->ready_ms == 0) {
        return RESULT_OK;
    }
    int64_t end_ms = ch->c->ready_ms > ch->v->now_ms ? ch->c->ready_ms : ch->v->now_ms;
    struct chamber_ask all = view_chamber_ask(ch->v);
    struct warmth_ask ask = chamber_warmth_ask(&all, ch->c->crop, run);
    struct warmth sum;
    TRY(warmth_struck(ask.store, &ask.struck));
    TRY(warmth_trace(&ask, &sum, &ch->knots, &ch->knot_count));
    for (int i = 0; i <= FORETOLD; i++) {
        int64_t t_ms = run->start_ms + (end_ms - run->start_ms) * i / FORETOLD;
        json_int_t low = heat_until(ch, t_ms, -OFF_MC), mean = heat_until(ch, t_ms, 0),
                   high = heat_until(ch, t_ms, OFF_MC);
        view_append(list, json_pack("{s:I,s:I,s:I,s:I}", "t_ms", (json_int_t)t_ms, "heat_ch_low",
                                    low, "heat_ch", mean, "heat_ch_high", high));
    }
    return RESULT_OK;
}

static struct result put_measured(const struct chart *ch, json_t *list)
{
    struct view *v = ch->v;
    int64_t from_ms =
        ch->c->run != NULL ? ch->c->run->start_ms : v->now_ms - (int64_t)240 * HOUR_MS;
    struct view_log_point *log;
    size_t count;
    TRY(view_log_read(v, ch->c->place.code, from_ms, v->now_ms, POINTS_MAX, &log, &count));
    for (size_t i = 0; i < count; i++) {
        view_append(list, json_pack("{s:I,s:i}", "t_ms", (json_int_t)log[i].t_ms, "temp_mc",
                                    (int)log[i].temp_mc));
    }
    return RESULT_OK;
}

static void put_limits(const struct chart *ch, json_t *list)
{
    struct view *v = ch->v;
    const struct crop *crop = ch->c->crop;
    if (crop == NULL) {
        return;
    }
    view_append(list, json_pack("{s:s,s:I}", "name", SAY(v, "chamber.base", NULL), "temp_mc",
                                (json_int_t)crop->heat_base_mc));
    view_append(list, json_pack("{s:s,s:I}", "name", SAY(v, "chamber.set-point", NULL), "temp_mc",
                                (json_int_t)crop->set_point_mc));
    view_append(list, json_pack("{s:s,s:I}", "name", SAY(v, "chamber.best", NULL), "temp_mc",
                                (json_int_t)crop->heat_best_mc));
}

static struct result put_waterings(const struct chart *ch, json_t *list)
{
    if (ch->c->run == NULL) {
        return RESULT_OK;
    }
    struct statement *q = store_prepare(ch->v->store, Q_PAGE_WATERINGS);
    store_bind_int(q, 1, ch->c->run->lot);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        view_append(list, json_pack("{s:I,s:I}", "t_ms", (json_int_t)store_int(q, 0), "litres",
                                    (json_int_t)(store_int(q, 1) / 1000)));
    }
}

static struct result put_uses(const struct chart *ch, json_t *list)
{
    struct statement *q = store_prepare(ch->v->store, Q_PAGE_CHAMBER_USES);
    store_bind_text(q, 1, ch->c->place.code);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t emptied_ms = store_int(q, 3);
        view_append(list, json_pack("{s:s,s:s,s:I,s:o}", "lot", store_text(q, 0), "item",
                                    store_text(q, 1), "start_ms", (json_int_t)store_int(q, 2),
                                    "emptied_ms", view_int(emptied_ms != 0, emptied_ms)));
    }
}

static struct result fill(struct chart *ch, json_t *o)
{
    static const char *const names[] = {"measured", "predicted", "limits", "waterings", "uses"};
    json_t *list[5];
    for (int i = 0; i < 5; i++) {
        list[i] = json_array();
        view_put(o, names[i], list[i]);
    }
    TRY(put_measured(ch, list[0]));
    TRY(put_predicted(ch, list[1]));
    put_limits(ch, list[2]);
    TRY(put_waterings(ch, list[3]));
    return put_uses(ch, list[4]);
}

struct result view_chamber(struct view *v, const char *code, json_t **out)
{
    struct view_chamber *list;
    size_t count;
    struct place place;
    bool found;
    json_t *o;
    TRY(place_by_code(v->store, v->arena, code, &place, &found));
    if (!found) {
        return FAIL1(PLACE_UNKNOWN, "chamber", code);
    }
    if (strcmp(place.kind, "chamber") != 0) {
        return FAIL3(PLACE_KIND, "chamber", code, place.kind, "chamber");
    }
    struct chart ch = {.v = v};
    struct view_histories histories = view_histories_new(v);
    TRY(view_chambers_read(v, &list, &count));
    struct view_chamber *c = NULL;
    for (size_t i = 0; i < count; i++) {
        c = strcmp(list[i].place.code, code) == 0 ? &list[i] : c;
    }
    CHECK(c != NULL);
    TRY(view_chamber_yield(v, &histories, c));
    ch.c = c;
    TRY(view_chamber_json(v, ch.c, &o));
    struct result r = fill(&ch, o);
    return view_hand_over(r, o, out);
}
