#include "service/planning_received_luck.h"

#include <math.h>
#include <string.h>

#include "base/civil.h"

/* The same futures for every plan, so that two can be compared. */
static const uint64_t FUTURES_SEED = 1;
enum { FUTURES = 400, CAME_MAX = 400 };

struct learner {
    struct arena *a;
    const struct planning_received *c;
    const struct received_did *list;
    int count;
    int32_t from, today;
};

/* A day's work of a use is one: of its steps everything together. */
struct intake_luck_use planning_received_learn(struct arena *a, const struct planning_received *c,
                                               int use, const struct intake_use *told)
{
    int parts = told->part_count, days = 0;
    int32_t today = c->problem.first_day, from = today - RECEIVED_LUCK_DAYS;
    double *taken = ARENA_ARRAY(a, double, RECEIVED_LUCK_DAYS + 1),
           *given = ARENA_ARRAY(a, double, (size_t)((RECEIVED_LUCK_DAYS + 1) * parts) + 1);
    int *at = ARENA_ARRAY(a, int, RECEIVED_LUCK_DAYS + 1); /* by day looked back on, from 1 */
    for (int i = 0; i < c->past_count; i++) {
        const struct received_did *did = &c->past[i];
        if (did->use != use || did->day < from || did->day >= today || !(did->kg > 0)) {
            continue;
        }
        int *row = &at[did->day - from];
        *row = *row == 0 ? ++days : *row;
        taken[*row - 1] += did->kg;
        for (int k = 0; k < parts; k++) {
            given[(*row - 1) * parts + k] += did->given_kg[k];
        }
    }
    return intake_luck_learn(a, told, taken, given, days);
}

/* kg of a good that came on a day, but what came of deliveries agreed. */
static double came_kg(const struct learner *l, int good, int32_t day)
{
    double kg = 0;
    for (int i = 0; i < l->count; i++) {
        const struct received_did *did = &l->list[i];
        kg += did->act == RECEIVED_CAME && did->good == good && did->day == day ? did->kg : 0;
    }
    return kg;
}

/* kg of a good due on a day by standing agreements. */
static double due_kg(const struct learner *l, int good, int32_t day)
{
    double kg = 0;
    for (size_t i = 0; i < l->c->rules->delivery_count; i++) {
        const struct received_delivery *d = &l->c->rules->deliveries[i];
        bool comes = (d->weekdays >> day_weekday(day) & 1U) != 0;
        kg += d->good == good && comes ? (double)d->mg * 1e-6 : 0;
    }
    return kg;
}

/* What came of what was due on a day; false: that is not known yet. */
static bool came_of(const struct learner *l, int good, int32_t day, struct intake_came *out)
{
    double due = due_kg(l, good, day);
    for (int late = 0; late <= RECEIVED_LATE_DAYS; late++) {
        if (late > 0 && due_kg(l, good, day + late) > 0) {
            break; /* what comes then is the next one */
        }
        if (day + late >= l->today) {
            return false;
        }
        double share = came_kg(l, good, day + late) / due;
        if (share >= RECEIVED_NONE_SHARE) {
            *out = (struct intake_came){share, late};
            return true;
        }
    }
    *out = (struct intake_came){0, 0};
    return true;
}

/* Standing agreements for a good, from the first day on which any of it came. */
static struct intake_came_list learn_standing(const struct learner *l, int good)
{
    struct intake_came *list = ARENA_ARRAY(l->a, struct intake_came, RECEIVED_LUCK_DAYS + 1);
    int count = 0;
    int32_t first = l->today;
    for (int i = 0; i < l->count; i++) {
        const struct received_did *did = &l->list[i];
        bool is_it = did->act == RECEIVED_CAME && did->good == good && did->day >= l->from;
        first = is_it && did->day < first ? did->day : first;
    }
    for (int32_t day = first; day < l->today; day++) {
        if (due_kg(l, good, day) > 0 && came_of(l, good, day, &list[count])) {
            count++;
        }
    }
    return (struct intake_came_list){list, count};
}

static void add_agreed(const struct learner *l, const json_t *data, bool came, int32_t came_day,
                       double kg, struct intake_came_list *lists, struct intake_came *rows)
{
    const char *item = json_string_value(json_object_get(data, "item")),
               *supplier = json_string_value(json_object_get(data, "supplier")),
               *text = json_string_value(json_object_get(data, "day"));
    double due = (double)json_integer_value(json_object_get(data, "mass_mg")) * 1e-6;
    int32_t day;
    if (item == NULL || supplier == NULL || text == NULL ||
        day_read(text, "day", &day).code != CODE_OK || !(due > 0)) {
        return;
    }
    int good = received_good_of(l->c->rules, item, supplier);
    bool is_over = came ? day < l->today : day + RECEIVED_LATE_DAYS < l->today;
    if (good == PLAN_NONE || day < l->from || !is_over || lists[good].count >= CAME_MAX) {
        return;
    }
    rows[good * CAME_MAX + lists[good].count++] =
        (struct intake_came){came ? kg / due : 0, came && came_day > day ? came_day - day : 0};
}

/* Deliveries agreed one by one, by good. */
static struct result learn_agreed(const struct learner *l, struct store *s,
                                  struct intake_came_list *lists)
{
    size_t goods = l->c->rules->good_count;
    struct intake_came *rows = ARENA_ARRAY(l->a, struct intake_came, goods * CAME_MAX + 1);
    struct statement *q = store_prepare(s, Q_PLANNING_RECEIVED_AGREED);
    for (bool row = true; row;) {
        json_t *data;
        TRY(store_step(q, &row));
        if (row) {
            TRY(json_read_stored(store_text(q, 0), &data));
            add_agreed(l, data, !store_is_null(q, 1), (int32_t)store_int(q, 1),
                       (double)store_int(q, 2) * 1e-6, lists, rows);
            json_decref(data);
        }
    }
    for (size_t g = 0; g < goods; g++) {
        lists[g].list = &rows[g * CAME_MAX];
    }
    return RESULT_OK;
}

bool planning_received_standing(const struct planning_received *c, int delivery)
{
    const struct intake_delivery *d = &c->problem.deliveries[delivery];
    for (size_t i = 0; i < c->rules->delivery_count; i++) {
        if (c->rules->deliveries[i].name == d->key) {
            return true;
        }
    }
    return false;
}

struct result planning_received_luck(struct store *s, struct arena *a,
                                     const struct planning_received *c, struct intake_luck *out)
{
    const struct intake_problem *x = &c->problem;
    struct learner l = {.a = a,
                        .c = c,
                        .list = c->past,
                        .count = c->past_count,
                        .from = x->first_day - RECEIVED_LUCK_DAYS,
                        .today = x->first_day};
    struct intake_came_list *standing =
                                ARENA_ARRAY(a, struct intake_came_list, (size_t)x->good_count + 1),
                            *agreed =
                                ARENA_ARRAY(a, struct intake_came_list, (size_t)x->good_count + 1),
                            *came = ARENA_ARRAY(a, struct intake_came_list,
                                                (size_t)x->delivery_count + 1);
    for (int g = 0; g < x->good_count; g++) {
        standing[g] = learn_standing(&l, g);
    }
    TRY(learn_agreed(&l, s, agreed));
    for (int i = 0; i < x->delivery_count; i++) {
        int good = x->deliveries[i].good;
        came[i] = planning_received_standing(c, i) ? standing[good] : agreed[good];
    }
    *out = (struct intake_luck){.uses = c->learnt,
                                .came = came,
                                .shared_part = c->demand.demand.shared_part,
                                .seed = FUTURES_SEED,
                                .future_count = FUTURES};
    return RESULT_OK;
}
