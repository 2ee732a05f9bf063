/* How a plan may turn out: what the record says of batches that went otherwise, and each line's
 * chance in words a manager understands. */
#include <math.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/words.h"
#include "service/chamber.h"
#include "service/planning_floor.h"
#include "service/planning_inner.h"

enum { BATCHES_MAX = 60 };
/* The same futures for every plan, so that two can be compared. */
static const uint64_t FUTURES_SEED = 1;

/* Days later than foretold at soaking, what was barred, of that what never came to be goods for
 * other reasons than a result, and of what was not barred how many results took a second test, of
 * the crop's last batches. Before there are any, all are taken to be barred later. */
static struct result read_luck(struct reading *r, const char *item, int grow_days,
                               struct chance_crop *out)
{
    int *shifts = ARENA_ARRAY(r->arena, int, BATCHES_MAX);
    int count = 0, barred = 0, early = 0, retested = 0, once = 0;
    struct statement *q = store_prepare(r->store, Q_PLANNING_LUCK);
    store_bind_text(q, 1, item);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        int64_t start_ms = store_int(q, 0), emptied_ms = store_int(q, 1);
        int off_days; /* meant by its plan, and no luck */
        TRY(chamber_off_days(store_text(q, 3), &off_days));
        int starts_min = r->profile->day_starts_min;
        if (count < BATCHES_MAX) {
            bool is_barred = store_int(q, 2) != 0, has_result = store_int(q, 4) != 0;
            bool is_retested = store_int(q, 5) != 0;
            barred += is_barred;
            early += is_barred && store_int(q, 6) == 0; /* by no result, and before its harvest */
            retested += !is_barred && is_retested;
            once += !is_barred && has_result && !is_retested;
            shifts[count++] = day_of_house(emptied_ms, civil_offset_min(emptied_ms), starts_min) -
                              day_of_house(start_ms, civil_offset_min(start_ms), starts_min) -
                              grow_days - off_days;
        }
    }
    out->shift_days = shifts;
    out->shift_count = count;
    out->barred = CHANCE_BARRED_BEFORE + barred;
    out->passed = CHANCE_PASSED_BEFORE + count - barred;
    out->barred_early = early;
    out->retested = CHANCE_RETESTED_BEFORE + retested;
    out->once = CHANCE_ONCE_BEFORE + once;
    return RESULT_OK;
}

/* What grows and what is to be soaked gives as the other chambers of its seed lot did. A seed item
 * of several crops is told from the first of them. */
static struct result tell_lots(struct reading *r, int crop, double cautious,
                               struct chance_crop *out)
{
    const struct plan_problem *o = &r->out->problem;
    struct yield_lots lots;
    TRY(chamber_seed_lots(r->store, r->arena, r->profile, &r->profile->crops[crop], &lots));
    bool first = true;
    for (int k = 0; k < crop; k++) {
        first = first && o->crops[k].seed_item != o->crops[crop].seed_item;
    }
    if (lots.odd_part <= 0 || !first) {
        return RESULT_OK;
    }
    double kg = 0, squares = 0, deviation;
    for (int i = 0; i < o->running_count; i++) {
        if (o->running[i].crop == crop && r->running_seed[i] != 0) {
            r->running[i].packed_kg *=
                r->running_factor[i] * yield_lot_ratio(&lots, r->running_seed[i], &deviation);
            r->running[i].seed_relative = fmin(1, deviation);
        }
    }
    for (int i = 0; i < o->seed_lot_count; i++) {
        if (o->seed_lots[i].seed_item == o->crops[crop].seed_item) {
            r->seed_lots[i].yield_factor *= yield_lot_ratio(&lots, r->seed_ids[i], &deviation);
            kg += o->seed_lots[i].kg;
            squares += o->seed_lots[i].kg * deviation * deviation;
        }
    }
    out->yield_mean = lots.mean / cautious;
    out->yield_relative = fmin(1, sqrt(lots.within) / lots.mean);
    out->mean_relative = kg > 0 ? fmin(1, sqrt(squares / kg)) : out->mean_relative;
    return RESULT_OK;
}

/* Seed that starts planned lately got less than planned, of a crop. */
static double seed_less(const struct floor_seed *seed, size_t count, const char *item)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(seed[i].item, item) == 0) {
            return seed[i].less;
        }
    }
    return 0;
}

struct result planning_read_chance(struct reading *r)
{
    const struct plan_problem *o = &r->out->problem;
    double caution = (double)r->profile->planning.caution / 1000.0;
    struct chance_crop *crops =
        ARENA_ARRAY(r->arena, struct chance_crop, (size_t)o->crop_count + 1);
    struct view v = {
        .store = r->store, .arena = r->arena, .profile = r->profile, .now_ms = r->now_ms};
    struct floor_seed *seed;
    size_t seed_count;
    TRY(floor_learn(&v, &seed, &seed_count));
    for (int k = 0; k < o->crop_count; k++) {
        struct yield_history h;
        TRY(chamber_history(r->store, r->profile, &r->profile->crops[k], &h));
        crops[k].yield_mean = h.mean_ratio / yield_cautious(1, &h, caution);
        crops[k].yield_relative = fmin(1, h.relative_spread);
        crops[k].mean_relative =
            fmin(1, h.relative_spread / sqrt(h.batch_count > 1 ? h.batch_count : 1));
        TRY(tell_lots(r, k, yield_cautious(1, &h, caution), &crops[k]));
        crops[k].seed_less = seed_less(seed, seed_count, o->crops[k].code);
        TRY(read_luck(r, o->crops[k].code, plan_way_days(&o->crops[k].ways[0]), &crops[k]));
    }
    r->out->model = (struct chance_model){.crops = crops,
                                          .shared_part = r->out->demand.shared_part,
                                          .seed = FUTURES_SEED,
                                          .future_count = CHANCE_FUTURES};
    r->out->least_level = fmin(SAFETY_LEVEL_MAX, caution);
    return RESULT_OK;
}

static int64_t ppm(double share)
{
    return llround(share * 1e6);
}

/* The word for a chance, and how it is said. Bounds are our own: derived from no standard. */
static const char *chance_word(double met)
{
    return met >= 0.95  ? "certain"
           : met >= 0.8 ? "likely"
           : met >= 0.5 ? "open"
           : met >= 0.2 ? "doubtful"
                        : "unlikely";
}

static int percent_of(double share)
{
    /* never certain while one future in a thousand says otherwise */
    double rounded = share < 1 ? fmin(99, round(100 * share)) : 100;
    return share > 0 && rounded < 1 ? 1 : (int)rounded;
}

static const char *percent(struct arena *a, double share)
{
    return arena_printf(a, "%d", percent_of(share));
}

static const char *sentence_of(struct arena *a, const char *lang, const char *word,
                               const struct chance_line *x)
{
    const char *met = percent(a, x->met), *share = percent(a, x->share);
    switch (word[0]) {
    case 'c':
        return WORDS(a, lang, "say.chance-certain", met, share);
    case 'l':
        return WORDS(a, lang, "say.chance-likely", met, share);
    case 'o':
        return WORDS(a, lang, "say.chance-open", met, share);
    case 'd':
        return WORDS(a, lang, "say.chance-doubtful", met, share);
    default:
        return WORDS(a, lang, "say.chance-unlikely", met, share);
    }
}

/* Taken late: its chance within those days too. */
static const char *with_late(struct arena *a, const char *lang, int late_days, const char *says,
                             const struct chance_line *x)
{
    return late_days == 0 ? says
                          : WORDS(a, lang, "say.chance-late", says,
                                  arena_printf(a, "%d", late_days), percent(a, x->late_met));
}

void planning_chance_say(json_t *o, const struct chance_line *x, int late_days, struct arena *a,
                         const char *lang)
{
    const char *word = chance_word(x->met);
    json_object_set_new(o, "met_ppm", json_integer(ppm(x->met)));
    json_object_set_new(o, "share_ppm", json_integer(ppm(x->share)));
    json_object_set_new(o, "word", json_string(word));
    json_object_set_new(
        o, "sentence",
        json_string(with_late(a, lang, late_days, sentence_of(a, lang, word, x), x)));
}

static json_t *line_json(const struct planning_case *c, const struct chance_line *x, int index,
                         struct arena *a, const char *lang)
{
    const struct plan_line *l = &c->problem.lines[index];
    int late_days = c->problem.groups[l->group].late_days;
    json_t *o = json_pack("{s:s?,s:s?,s:s,s:s,s:s,s:s?,s:I}", "order", planning_order(c, index),
                          "standing", l->standing, "item", c->names.items[l->product], "group",
                          planning_for_text(c, a, lang, index), "day",
                          day_text(a, c->problem.first_day + l->day), "wanted_day",
                          planning_wanted_day(c, a, index), "pieces", (json_int_t)l->pieces);
    CHECK(o != NULL);
    planning_chance_say(o, x, late_days, a, lang);
    json_object_set_new(o, "late_days", json_integer(late_days));
    json_object_set_new(o, "late_met_ppm", json_integer(ppm(x->late_met)));
    json_object_set_new(o, "late_share_ppm", json_integer(ppm(x->late_share)));
    return o;
}

json_t *planning_chance_json(const struct planning_case *c, const struct safety_choice *choice,
                             struct arena *a, const char *lang)
{
    const struct chance *x = &choice->chance;
    json_t *lines = json_array(), *safety = json_array();
    for (int i = 0; i < c->problem.line_count; i++) {
        json_array_append_new(lines, line_json(c, &x->lines[i], i, a, lang));
    }
    for (int k = 0; k < c->problem.crop_count; k++) {
        json_array_append_new(safety,
                              json_pack("{s:s,s:I}", "item", c->problem.crops[k].code, "milli",
                                        (json_int_t)llround(choice->safety.level[k] * 1000)));
    }
    double wanted = x->wanted_kg.mean;
    json_t *o =
        json_pack("{s:i,s:I,s:I,s:I,s:I,s:I,s:f,s:f,s:o,s:o}", "futures", x->future_count,
                  "share_ppm", (json_int_t)(wanted > 0 ? ppm(x->met_kg.mean / wanted) : 1000000),
                  "share_error_ppm", (json_int_t)(wanted > 0 ? ppm(x->short_kg.error / wanted) : 0),
                  "short_g", (json_int_t)llround(x->short_kg.mean * 1000), "late_g",
                  (json_int_t)llround(x->late_kg.mean * 1000), "waste_g",
                  (json_int_t)llround(x->waste_kg.mean * 1000), "cost", x->cost.mean, "cost_error",
                  x->cost.error, "safety", safety, "lines", lines);
    CHECK(o != NULL);
    return o;
}

void planning_chance_percent(const json_t *lines, json_t *list)
{
    size_t i, k;
    json_t *o, *line;
    json_array_foreach(list, i, o)
    {
        const char *order = json_string_value(json_object_get(o, "order"));
        json_array_foreach(lines, k, line)
        {
            const char *other = json_string_value(json_object_get(line, "order"));
            if (order == NULL || other == NULL || strcmp(order, other) != 0) {
                continue;
            }
            double met = (double)json_integer_value(json_object_get(line, "met_ppm")) * 1e-6;
            json_object_set_new(o, "chance_percent", json_integer(percent_of(met)));
            if (json_integer_value(json_object_get(line, "late_days")) > 0) {
                double late =
                    (double)json_integer_value(json_object_get(line, "late_met_ppm")) * 1e-6;
                json_object_set_new(o, "late_percent", json_integer(percent_of(late)));
            }
        }
    }
}

/* Of what the plan leaves short and most futures meet, why that is no slip: into "chance_says". */
static void say_yet_met(json_t *list, struct arena *a, const char *lang)
{
    size_t i;
    json_t *o;
    json_array_foreach(list, i, o)
    {
        const json_t *chance = json_object_get(o, "chance_percent");
        const json_t *met = json_object_get(o, "met"); /* of an order; what is short has none */
        bool is_short = met == NULL ||
                        json_integer_value(met) < json_integer_value(json_object_get(o, "pieces"));
        if (is_short && json_integer_value(chance) >= 50) {
            const char *percent = arena_printf(a, "%d", (int)json_integer_value(chance));
            json_object_set_new(o, "chance_says",
                                json_string(WORDS(a, lang, "say.chance-yet", percent)));
        }
    }
}

void planning_chance_put(const struct planning_case *c, const struct safety_choice *choice,
                         struct arena *a, const char *lang, json_t *plan)
{
    json_t *chance = planning_chance_json(c, choice, a, lang);
    const json_t *lines = json_object_get(chance, "lines");
    planning_chance_percent(lines, json_object_get(plan, "orders"));
    planning_chance_percent(lines, json_object_get(plan, "shorts"));
    say_yet_met(json_object_get(plan, "orders"), a, lang);
    say_yet_met(json_object_get(plan, "shorts"), a, lang);
    json_object_set_new(plan, "chance", chance);
    json_object_set_new(plan, "rehearsed", planning_rehearsed_json(c, choice, a, lang));
}
