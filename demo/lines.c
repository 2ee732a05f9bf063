#include <string.h>

#include "base/civil.h"
#include "demo/story.h"

/* The lines of one family's run of the day: cleaned, started, stopped. */
struct runs {
    const char *code[5];
    bool on[5];
};
static const char *const line_places[5] = {"W-1", "T-1", "W-2", "S-1", "P-1"};
enum { ON_WASH, ON_TRIM, ON_RINSE, ON_SORT, ON_PACK };

static struct result start_lines(struct story *st, struct runs *r, const char *family, bool trim,
                                 int64_t at_ms)
{
    struct play *p = st->p;
    for (int i = 0; i < 5; i++) {
        r->on[i] = trim || i != ON_TRIM;
        if (!r->on[i]) {
            continue;
        }
        r->code[i] = keep_text(st, "%s-%05d-%s", line_places[i], (int)p->day, family);
        TRY(clean_place(st, at_ms - 10 * MINUTE, line_places[i]));
    }
    st->new_water_ms = at_ms - 10 * MINUTE;
    TRY(wash_read(st, at_ms - 4 * MINUTE));
    for (int i = 0; i < 5; i++) {
        if (!r->on[i]) {
            continue;
        }
        /* nobody has measured what the sorter holds back: its carry-over is unknown */
        TRY(say(p, at_ms, DEMO_LINE, false,
                json_pack("{s:s,s:s,s:s,s:s,s:s,s:s}", "kind", "run-start", "place", line_places[i],
                          "run", r->code[i], "family", family, "allergens",
                          family[0] == 's' ? "soy" : "", "carry_over",
                          i == ON_SORT ? "unknown" : "90 s")));
    }
    return RESULT_OK;
}

static struct result stop_lines(struct story *st, const struct runs *r, int64_t at_ms)
{
    for (int i = 0; i < 5; i++) {
        if (r->on[i]) {
            TRY(say(st->p, at_ms, DEMO_LINE, false,
                    json_pack("{s:s,s:s}", "kind", "run-end", "run", r->code[i])));
        }
    }
    return RESULT_OK;
}

static struct result metal_check(struct story *st, const struct runs *r, int64_t at_ms)
{
    return say(st->p, at_ms, DEMO_LINE, true,
               json_pack("{s:s,s:s,s:s,s:s,s:s,s:s,s:s}", "kind", "metal-check", "place", "P-1",
                         "run", r->code[ON_PACK], "fe", "rejected", "non_fe", "rejected", "steel",
                         "rejected", "instrument", "MD-1"));
}

/* One step of a line: the main product on, a by-product aside where role is given. */
struct line_step {
    const char *kind;
    int line;
    const char *in, *out;
    double main_kg;
    const char *role; /* NULL: none */
    double side_kg;
    int64_t from_ms, to_ms;
};

static struct result line_step(struct story *st, const struct runs *r, const struct line_step *s)
{
    struct play *p = st->p;
    json_t *outputs = json_pack("[{s:s,s:s,s:s,s:s}]", "role", "main", "lot", s->out, "mass",
                                mass_of(p, s->main_kg), "instrument", "SC-2");
    if (s->role != NULL) {
        json_array_append_new(outputs, json_pack("{s:s,s:s,s:s}", "role", s->role, "mass",
                                                 mass_of(p, s->side_kg), "instrument", "SC-3"));
    }
    return say(p, s->to_ms, DEMO_LINE, false,
               json_pack("{s:s,s:s,s:s,s:s,s:s,s:[{s:s}],s:o}", "kind", s->kind, "place",
                         line_places[s->line], "run", r->code[s->line], "start",
                         when_text(p, s->from_ms), "end", when_text(p, s->to_ms), "inputs", "lot",
                         s->in, "outputs", outputs));
}

/* Near the end a chamber of soy is cut as the house has chosen to: what stands at the door on its
 * day, the rest on the day after. Nobody waits for its place then. */
static bool in_parts(const struct story *st, const struct batch *b)
{
    int32_t last_day = st->p->s->last_day;
    if (st->part_day == 0 || b->harvest_day < st->part_day || b->cut) {
        return false;
    }
    for (size_t i = 0; i < st->batch_count; i++) {
        const struct batch *x = &st->batches[i];
        bool later = x->harvest_day > b->harvest_day || (x->harvest_day == b->harvest_day && x > b);
        if (later && x->item == b->item && x->state == BATCH_GROWING &&
            x->harvest_day <= last_day) {
            return false; /* a later one is */
        }
    }
    return true;
}

/* What is cut of a chamber today. */
struct cut {
    const char *share, *mark; /* mark: of its lots */
    double of;                /* what the whole would have borne */
};

static struct cut cut_of(const struct story *st, const struct batch *b)
{
    if (demo_items[b->item].crop[0] == 'S' && in_parts(st, b)) {
        return (struct cut){SOY_FIRST_PART, "", 0.6};
    }
    return b->cut ? (struct cut){"rest", "2", 0.4 * 1.05} : (struct cut){"rest", "", 1};
}

static struct result harvest(struct story *st, struct batch *b, const struct cut *cut, double kg,
                             int64_t at_ms, const char **out_lot)
{
    struct play *p = st->p;
    *out_lot = keep_text(st, "%s-H%s", b->lot, cut->mark);
    TRY(say(p, at_ms, DEMO_LINE, false,
            json_pack("{s:s,s:s,s:s,s:s,s:s,s:s,s:s}", "kind", "harvest", "lot", b->lot, "share",
                      cut->share, "mass", mass_of(p, kg), "instrument", "SC-1", "place", "W-1",
                      "lot_out", *out_lot)));
    if (strcmp(cut->share, "rest") != 0) {
        b->cut = true;
        b->harvest_day = p->day + 1;
        return RESULT_OK;
    }
    b->state = BATCH_GONE;
    st->chamber_batch[b->chamber] = 0;
    return RESULT_OK;
}

static struct result pack(struct story *st, const struct runs *r, struct batch *b, const char *in,
                          double kg, int64_t from_ms, int64_t to_ms)
{
    struct play *p = st->p;
    const struct demo_item *it = &demo_items[b->item];
    double mean_kg = it->net_kg * (1.008 + 0.004 * random_unit(&p->random));
    int pieces = (int)(kg * 0.997 / mean_kg);
    int cases = (pieces + it->per_case - 1) / it->per_case;
    bool soy = it->crop[0] == 'S';
    struct stock *s = &st->stocks[st->stock_count++];
    *s = (struct stock){.lot =
                            keep_text(st, "%s-%05d-%02d", it->item, (int)p->day, ++st->lots_today),
                        .item = b->item,
                        .batch = (size_t)(b - st->batches),
                        .cases = cases,
                        .next = 1,
                        .day = p->day,
                        .best_before = p->day + it->life_days};
    bool wrong = st->wrong_day == p->day && st->lots_today == 1;
    json_t *command = json_pack(
        "{s:s,s:s,s:s,s:i,s:s,s:i,s:s,s:s,s:s,s:s,s:[{s:s}],s:o}", "kind", "pack", "item", it->item,
        "lot", s->lot, "pieces", pieces, "mean_net",
        arena_printf(&p->scratch, "%.1f g", mean_kg * 1000), "cases", cases, "place", "P-1", "run",
        r->code[ON_PACK], "start", when_text(p, from_ms), "end", when_text(p, to_ms), "inputs",
        "lot", in, "markets", soy ? json_pack("[s,s]", "EU", "house") : json_pack("[s]", "house"));
    if (wrong) {
        /* a slip of the fingers, found in the afternoon: two digits changed places */
        s->pack = json_deep_copy(command);
        json_object_set_new(
            command, "mean_net",
            json_string(arena_printf(&p->scratch, "%.1f g", mean_kg * 1000 * 1.018)));
    }
    TRY(say(p, to_ms, DEMO_LINE, false, command));
    s->pack_entry = p->made->last_entry;
    TRY(say(p, to_ms + 3 * MINUTE, DEMO_LINE, true,
            json_pack("{s:s,s:s,s:s,s:s,s:s,s:s,s:o}", "kind", "label-check", "lot", s->lot, "item",
                      it->item, "lot_code", s->lot, "best_before",
                      day_text(&p->scratch, s->best_before), "net",
                      arena_printf(&p->scratch, "%.0f g", it->net_kg * 1000), "allergens",
                      soy ? json_pack("[s]", "soy") : json_array())));
    return say(p, to_ms + 6 * MINUTE, DEMO_LINE, false,
               json_pack("{s:s,s:s,s:s}", "kind", "store", "lot", s->lot, "place", "CR-1"));
}

static struct result process_batch(struct story *st, const struct runs *r, struct batch *b,
                                   int64_t t)
{
    struct play *p = st->p;
    bool trim = r->on[ON_TRIM];
    double y = demo_items[b->item].crop[0] == 'S' ? 5.9 : 7.9;
    struct cut cut = cut_of(st, b);
    double kg = b->seed_kg * vary(p, y, 0.035) * cut.of;
    const char *lot, *washed = keep_text(st, "%s-W%s", b->lot, cut.mark),
                     *trimmed = keep_text(st, "%s-T%s", b->lot, cut.mark);
    const char *rinsed = keep_text(st, "%s-R%s", b->lot, cut.mark),
               *sorted = keep_text(st, "%s-S%s", b->lot, cut.mark);
    TRY(harvest(st, b, &cut, kg, t, &lot));
    double w = kg * vary(p, 0.965, 0.006), tr = w * vary(p, 0.855, 0.01), in_rinse = trim ? tr : w;
    struct line_step wash = {
        "wash",         ON_WASH,        lot, washed, w, "hulls", kg * vary(p, 0.055, 0.05),
        t + 5 * MINUTE, t + 25 * MINUTE};
    TRY(line_step(st, r, &wash));
    if (trim) {
        struct line_step step = {
            "trim",          ON_TRIM,        washed, trimmed, tr, "roots", w * vary(p, 0.13, 0.03),
            t + 10 * MINUTE, t + 32 * MINUTE};
        TRY(line_step(st, r, &step));
    }
    double ri = in_rinse * vary(p, 1.012, 0.004), so = ri * vary(p, 0.968, 0.003);
    struct line_step rinse = {"rinse", ON_RINSE, trim ? trimmed : washed, rinsed,         ri,
                              NULL,    0,        t + 34 * MINUTE,         t + 44 * MINUTE};
    struct line_step sort = {"sort",  ON_SORT,       rinsed,          sorted,         so,
                             "culls", ri - so - 0.8, t + 46 * MINUTE, t + 58 * MINUTE};
    TRY(line_step(st, r, &rinse));
    TRY(line_step(st, r, &sort));
    TRY(say(p, t + 59 * MINUTE, DEMO_QUALITY, false,
            json_pack("{s:s,s:s,s:s,s:s}", "kind", "moisture-check", "lot", sorted, "moisture",
                      "1.8 %", "instrument", "MM-1")));
    TRY(metal_check(st, r, t + 60 * MINUTE));
    TRY(pack(st, r, b, sorted, so, t + 61 * MINUTE, t + 98 * MINUTE));
    return metal_check(st, r, t + 99 * MINUTE);
}

/* Once, for the last batch of a day: what comes after it on the sorter could hold some of it. */
static bool water_is_low(const struct story *st, const char *family, bool last)
{
    return st->low_day > 0 && st->p->day >= st->low_day && !st->low_done && last &&
           family[0] != 's';
}

/* The dosing ran empty while a batch was washed; it was seen at the next look, filled and read
 * again. */
static struct result low_water(struct story *st, int64_t from_ms)
{
    st->low_done = true;
    st->stocks[st->stock_count - 1].water_low = true;
    TRY(wash_read_one(st, from_ms + 18 * MINUTE, "W-1", 0.8));
    TRY(wash_stop_heard(st, from_ms + 19 * MINUTE, "W-1"));
    TRY(wash_read_one(st, from_ms + 26 * MINUTE, "W-1", 41));
    return wash_runs_again(st, from_ms + 28 * MINUTE, "W-1");
}

static struct result run_family(struct story *st, const char *family, size_t *list, size_t count,
                                int64_t *t)
{
    struct runs r = {{0}, {0}};
    struct play *p = st->p;
    if (count == 0) {
        return RESULT_OK;
    }
    TRY(start_lines(st, &r, family, family[0] != 's', *t));
    for (size_t i = 0; i < count; i++) {
        struct batch *b = &st->batches[list[i]];
        bool late = st->told_late_day == p->day && i + 1 == count;
        if (late) { /* the tablet stood in the office; it was all told after the shift */
            p->late_ms = 11 * HOUR;
            p->late_reason = "told from the paper sheet after the tablet was found";
        }
        bool low = water_is_low(st, family, i + 1 == count);
        if (low || *t - st->read_ms > 90 * MINUTE) {
            TRY(wash_read(st, *t));
        }
        struct result res = process_batch(st, &r, b, *t + 2 * MINUTE);
        p->late_ms = 0;
        TRY(res);
        if (low) {
            TRY(low_water(st, *t + 2 * MINUTE));
        }
        *t += 48 * MINUTE;
    }
    *t += 60 * MINUTE;
    TRY(wash_read(st, *t - 6 * MINUTE));
    TRY(stop_lines(st, &r, *t - 4 * MINUTE));
    *t += 40 * MINUTE; /* nobody cleans a line that runs */
    return RESULT_OK;
}

static bool is_soy(const struct batch *b)
{
    return demo_items[b->item].crop[0] == 'S';
}

struct result story_lines(struct story *st)
{
    enum { DAY_MAX = 64 };
    struct play *p = st->p;
    size_t mung[DAY_MAX], soy[DAY_MAX], mungs = 0, soys = 0;
    bool emptied[512] = {false};
    st->lots_today = 0;
    for (size_t i = 0; i < st->batch_count; i++) {
        struct batch *b = &st->batches[i];
        if (b->state != BATCH_GROWING || b->harvest_day > p->day) {
            continue;
        }
        emptied[b->chamber] = true;
        if (is_soy(b) && soys < DAY_MAX) {
            soy[soys++] = i;
        } else if (!is_soy(b) && mungs < DAY_MAX) {
            mung[mungs++] = i;
        }
    }
    int64_t t = at(p, 6, 20);
    TRY(run_family(st, "mung", mung, mungs, &t)); /* free of allergens first */
    TRY(run_family(st, "soy", soy, soys, &t));
    for (int c = 1; c <= p->s->chambers; c++) {
        if ((emptied[c] && st->chamber_batch[c] == 0) ||
            (p->day == p->first_day && !st->chamber_clean[c])) {
            TRY(clean_place(st, p->day == p->first_day ? at(p, 11, 0) : t, chamber_code(st, c)));
            st->chamber_clean[c] = true;
        }
    }
    return RESULT_OK;
}
