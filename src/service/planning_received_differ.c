/* How one plan of received fruit differs from another, in words. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "base/words.h"
#include "plan/differ.h"
#include "service/planning_board.h"
#include "service/planning_received_inner.h"

/* Nobody on the floor would do anything else for less (common practice). */
enum { TELLS_G = 1000 };

static int64_t number(const json_t *o, const char *key)
{
    return json_integer_value(json_object_get(o, key));
}

static const char *text(const json_t *o, const char *key)
{
    const char *value = json_string_value(json_object_get(o, key));
    return value != NULL ? value : "";
}

static bool is_same(const json_t *x, const json_t *y)
{
    static const char *const keys[] = {"day", "act", "good", "use", "of"};
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        if (strcmp(text(x, keys[i]), text(y, keys[i])) != 0) {
            return false;
        }
    }
    return true;
}

/* Both lists go day by day. Takes a flow like it out of the list. */
static int64_t take_like(json_t *list, const json_t *flow)
{
    size_t i;
    json_t *o;
    json_array_foreach(list, i, o)
    {
        if (is_same(o, flow)) {
            int64_t g = number(o, "g");
            json_array_remove(list, i);
            return g;
        }
    }
    return 0;
}

static const char *kg_text(struct arena *a, int64_t g)
{
    return decimal_text(a, (g + 500) / 1000, 0, false);
}

static const char *flow_sentence(struct arena *a, const char *lang, const json_t *o, int64_t was,
                                 int64_t is)
{
    const char *act = text(o, "act"), *by = text(o, strcmp(act, "used") == 0 ? "use" : "of");
    const char *key = arena_printf(a, "received.differ.%s", act);
    int32_t day = 0;
    struct result r = day_read(text(o, "day"), "day", &day);
    CHECK(r.code == CODE_OK); /* planning_received_day wrote it */
    return WORDS(a, lang, key, words_day(a, lang, day), text(o, "good"), by, kg_text(a, was),
                 kg_text(a, is));
}

static void add_flow(struct arena *a, const char *lang, const json_t *o, int64_t was, int64_t is,
                     json_t *out)
{
    if (strcmp(text(o, "act"), "made") == 0 || llabs(was - is) < TELLS_G) {
        return;
    }
    json_t *x = json_pack("{s:O,s:O,s:O,s:O,s:O,s:I,s:I,s:s}", "day", json_object_get(o, "day"),
                          "act", json_object_get(o, "act"), "good", json_object_get(o, "good"),
                          "use", json_object_get(o, "use"), "of", json_object_get(o, "of"),
                          "before_g", (json_int_t)was, "after_g", (json_int_t)is, "sentence",
                          flow_sentence(a, lang, o, was, is));
    CHECK(x != NULL);
    json_array_append_new(out, x);
}

static int by_day(const void *x, const void *y)
{
    return strcmp(text(*(json_t *const *)x, "day"), text(*(json_t *const *)y, "day"));
}

static json_t *sorted_by_day(json_t *list, struct arena *a)
{
    size_t count = json_array_size(list), i;
    json_t **all = ARENA_ARRAY(a, json_t *, count + 1), *o, *out = json_array();
    json_array_foreach(list, i, o)
    {
        all[i] = o;
    }
    qsort(all, count, sizeof *all, by_day);
    for (i = 0; i < count; i++) {
        json_array_append(out, all[i]);
    }
    json_decref(list);
    return out;
}

static json_t *flows_differ(const struct planning_received *before,
                            const struct intake_outcome *was, const struct planning_received *after,
                            const struct intake_outcome *is, struct arena *a, const char *lang)
{
    json_t *old = planning_received_flows(before, was, a), *out = json_array(), *o,
           *now = planning_received_flows(after, is, a);
    size_t i;
    json_array_foreach(now, i, o)
    {
        add_flow(a, lang, o, take_like(old, o), number(o, "g"), out);
    }
    json_array_foreach(old, i, o)
    {
        add_flow(a, lang, o, number(o, "g"), 0, out);
    }
    json_decref(old);
    json_decref(now);
    return sorted_by_day(out, a);
}

static int lines_of(const struct planning_received *c, const struct intake_outcome *x,
                    struct arena *a, const char *lang, struct differ_line **out)
{
    const struct intake_problem *p = &c->problem;
    *out = ARENA_ARRAY(a, struct differ_line, (size_t)p->line_count + 1);
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &p->lines[i];
        (*out)[i] =
            (struct differ_line){.key = l->key != NULL ? l->key : "",
                                 .standing = l->standing,
                                 .item = p->products[l->product].code,
                                 .group = planning_group_text(&c->demand, a, lang, l->group),
                                 .day = p->first_day + l->day,
                                 .pieces = l->pieces,
                                 .met = x->met_pieces[i]};
    }
    return p->line_count;
}

json_t *planning_received_difference(const struct planning_received *before,
                                     const struct intake_outcome *was,
                                     const struct planning_received *after,
                                     const struct intake_outcome *is, struct arena *a,
                                     const char *lang)
{
    struct differ_line *x, *y;
    int x_count = lines_of(before, was, a, lang, &x), y_count = lines_of(after, is, a, lang, &y);
    json_t *out = json_pack("{s:o,s:o}", "flows", flows_differ(before, was, after, is, a, lang),
                            "lines", planning_lines_differ(a, lang, x, x_count, y, y_count));
    CHECK(out != NULL);
    return out;
}

/* Grams of an act over all days. */
static json_int_t grams(const json_t *flows, const char *act)
{
    json_int_t g = 0;
    size_t i;
    json_t *o;
    json_array_foreach(flows, i, o)
    {
        g += strcmp(text(o, "act"), act) == 0 ? number(o, "g") : 0;
    }
    return g;
}

json_t *planning_received_sums(const struct planning_received *c, const struct intake_outcome *x,
                               struct arena *a)
{
    int64_t wanted = 0, met = 0, booked = 0, booked_met = 0, short_orders = 0;
    for (int i = 0; i < c->problem.line_count; i++) {
        bool order = planning_order(&c->demand, i) != NULL;
        int64_t pieces = c->problem.lines[i].pieces;
        wanted += pieces;
        met += x->met_pieces[i];
        booked += order ? pieces : 0;
        booked_met += order ? x->met_pieces[i] : 0;
        short_orders += order && x->met_pieces[i] < pieces;
    }
    json_t *flows = planning_received_flows(c, x, a);
    json_t *o =
        json_pack("{s:I,s:I,s:I,s:I,s:I,s:I,s:I,s:I,s:I,s:f}", "wanted", (json_int_t)wanted, "met",
                  (json_int_t)met, "booked", (json_int_t)booked, "booked_met",
                  (json_int_t)booked_met, "short_orders", (json_int_t)short_orders, "bought_g",
                  grams(flows, "bought"), "turned_g", grams(flows, "turned"), "left_g",
                  grams(flows, "leaves"), "sold_g", grams(flows, "sold"), "cost", x->cost);
    CHECK(o != NULL);
    json_decref(flows);
    return o;
}
