#include "service/view_trace.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "trace/lot_rows.h"

struct result view_trace_ask(struct view *v, const struct view_trace_question *question,
                             struct view_traced *out)
{
    *out = (struct view_traced){.graph = v->graph,
                                .question = {.direction = question->direction,
                                             .depth = TRACE_RECORD,
                                             .bases = question->certain_only
                                                          ? (unsigned)BASES_WITHOUT_UNKNOWN
                                                          : BASES_ALL}};
    TRY(starts_find(v->store, "code", question->codes, question->count, question->direction,
                    v->arena, &out->question.starts));
    if (out->graph == NULL) {
        TRY(graph_load(v->store, &out->own));
        out->graph = out->own;
    }
    return trace_run(out->graph, v->store, &out->question, v->arena, &out->answer);
}

void view_trace_release(struct view_traced *asked)
{
    trace_answer_release(&asked->answer);
    graph_free(asked->own);
    asked->own = NULL;
}

struct result view_contact(struct view *v, const char *partner, struct view_contact *out)
{
    *out = (struct view_contact){.name = NULL};
    struct statement *q = store_prepare(v->store, Q_PARTNER_CONTACT_GET);
    store_bind_text(q, 1, partner);
    bool row;
    TRY(store_step(q, &row));
    if (row) {
        *out = (struct view_contact){.name = arena_copy(v->arena, store_text(q, 0)),
                                     .contact = arena_copy(v->arena, store_text(q, 1))};
        TRY(store_step(q, &row)); /* ends the reading */
    }
    return RESULT_OK;
}

static const char *const basis_names[BASIS_COUNT] = {"measured", "possible", "unknown"};

/* ---- lots */

static struct result read_masses(struct view *v, const struct trace_answer *t, int64_t *mg)
{
    struct lot_rows rows = lot_rows_begin(v->store, Q_PAGE_LOT_IN, t->lot, t->lot_count);
    for (;;) {
        bool row;
        TRY(lot_rows_next(&rows, &row));
        if (!row) {
            return RESULT_OK;
        }
        mg[rows.at] = store_int(rows.statement, 1);
    }
}

static json_t *lot_json(struct view *v, const struct trace_answer *t, size_t i, int64_t mg,
                        bool held)
{
    const struct lot_fact *f = &t->facts[i];
    json_t *o = json_pack(
        "{s:s?,s:s?,s:s?,s:s?,s:s,s:I,s:I,s:I,s:I,s:I,s:b,s:b}", "lot", f->code, "item", f->item,
        "kind", f->kind, "place", f->place, "day", day_text(v->arena, f->day), "born_ms",
        (json_int_t)f->born_ms, "mg", (json_int_t)mg, "here_mg", (json_int_t)f->here_mg,
        "here_pieces", (json_int_t)f->here_pieces, "share_ppm",
        (json_int_t)(t->share[i] * 1e6 + 0.5), "certain", (int)t->certain[i], "held", (int)held);
    CHECK(o != NULL);
    return o;
}

static struct result lots_json(struct view *v, const struct trace_answer *t, json_t **out)
{
    int64_t *mg = ARENA_ARRAY(v->arena, int64_t, t->lot_count + 1);
    TRY(read_masses(v, t, mg));
    json_t *list = json_array();
    size_t hold = 0; /* holds stand in the order of their lots */
    for (size_t i = 0; i < t->lot_count; i++) {
        while (hold < t->hold_count && t->holds[hold].lot < t->lot[i]) {
            hold++;
        }
        bool held = hold < t->hold_count && t->holds[hold].lot == t->lot[i];
        json_array_append_new(list, lot_json(v, t, i, mg[i], held));
    }
    *out = list;
    return RESULT_OK;
}

/* ---- the steps between them */

struct link {
    int64_t at_ms, entry, mg;
    size_t parent, child; /* of answer.lot */
    const struct entry_step *step;
    enum basis basis;
};

static int by_entry(const void *key, const void *row)
{
    int64_t entry = *(const int64_t *)key;
    const struct entry_step *s = row;
    return entry < s->entry ? -1 : entry > s->entry;
}

static int by_time(const void *x, const void *y)
{
    const struct link *a = x, *b = y;
    if (a->at_ms != b->at_ms) {
        return a->at_ms < b->at_ms ? -1 : 1;
    }
    if (a->entry != b->entry) {
        return a->entry < b->entry ? -1 : 1;
    }
    return a->parent != b->parent ? (a->parent < b->parent ? -1 : 1)
                                  : (a->child > b->child) - (a->child < b->child);
}

static struct link link_of(const struct trace_answer *t, size_t parent, size_t child,
                           const struct graph_step *edge)
{
    /* an entry that made no step (a delivery and its supplier's lot) is as old as what it made */
    const struct entry_step *step =
        t->step_count > 0
            ? bsearch(&edge->entry, t->steps, t->step_count, sizeof *t->steps, by_entry)
            : NULL;
    return (struct link){.at_ms = step != NULL ? step->end_ms : t->facts[child].born_ms,
                         .entry = edge->entry,
                         .mg = edge->mg,
                         .parent = parent,
                         .child = child,
                         .step = step,
                         .basis = edge->basis};
}

static struct link *collect_links(struct view *v, const struct view_traced *asked,
                                  size_t *out_count)
{
    const struct trace_answer *t = &asked->answer;
    struct link *list = NULL;
    size_t room = 0;
    *out_count = 0;
    for (size_t i = 0; i < t->lot_count; i++) {
        uint32_t position;
        if (!graph_find(asked->graph, t->lot[i], &position)) {
            continue;
        }
        struct graph_walk walk = graph_walk_begin(asked->graph, position, true);
        struct graph_step edge;
        while (graph_walk_next(&walk, &edge)) {
            size_t child = ids_index(t->lot, t->lot_count, asked->graph->lot[edge.position]);
            if (child == t->lot_count || (asked->question.bases >> edge.basis & 1) == 0) {
                continue;
            }
            list = list_grow(v->arena, list, *out_count, &room, sizeof *list);
            list[(*out_count)++] = link_of(t, i, child, &edge);
        }
    }
    if (*out_count > 0) {
        qsort(list, *out_count, sizeof *list, by_time);
    }
    return list;
}

static json_t *steps_json(struct view *v, const struct view_traced *asked)
{
    const struct trace_answer *t = &asked->answer;
    size_t count;
    const struct link *links = collect_links(v, asked, &count);
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++) {
        const struct link *l = &links[i];
        json_t *o = json_pack(
            "{s:I,s:s?,s:I,s:s?,s:s?,s:s?,s:I,s:s}", "entry", (json_int_t)l->entry, "kind",
            l->step != NULL ? l->step->kind : NULL, "at_ms", (json_int_t)l->at_ms, "place",
            l->step != NULL ? l->step->place : NULL, "parent", t->facts[l->parent].code, "child",
            t->facts[l->child].code, "mg", (json_int_t)l->mg, "basis", basis_names[l->basis]);
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return list;
}

/* ---- customers */

/* Moments by the code of a shipment. */
static json_t *shipment_times(const struct trace_answer *t)
{
    json_t *times = json_object();
    for (size_t i = 0; i < t->scope.left_count; i++) {
        json_object_set_new(times, t->scope.left[i].shipment, json_integer(t->scope.left[i].at_ms));
    }
    return times;
}

static json_t *shipments_json(const struct customer_reached *c, const json_t *times)
{
    json_t *list = json_array();
    for (size_t i = 0; i < c->shipment_count; i++) {
        const struct customer_shipment *s = &c->shipments[i];
        json_t *o = json_pack("{s:s,s:I,s:I,s:I}", "shipment", s->code, "at_ms",
                              json_integer_value(json_object_get(times, s->code)), "pieces",
                              (json_int_t)s->pieces, "mg", (json_int_t)s->mg);
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return list;
}

static struct result customers_json(struct view *v, const struct trace_answer *t, json_t *list)
{
    json_t *times = shipment_times(t);
    struct result r = RESULT_OK;
    for (size_t i = 0; i < t->customer_count && r.code == CODE_OK; i++) {
        const struct customer_reached *c = &t->customers[i];
        struct view_contact contact;
        r = view_contact(v, c->code, &contact);
        if (r.code == CODE_OK) {
            json_t *o =
                json_pack("{s:s,s:s?,s:s?,s:I,s:I,s:o}", "customer", c->code, "name", contact.name,
                          "contact", contact.contact, "pieces", (json_int_t)c->pieces, "mg",
                          (json_int_t)c->mg, "shipments", shipments_json(c, times));
            CHECK(o != NULL);
            json_array_append_new(list, o);
        }
    }
    json_decref(times);
    return r;
}

/* ---- the whole */

static json_t *account_json(const struct account_sum *a)
{
    return json_pack("{s:I,s:I,s:I,s:I}", "produced_mg", (json_int_t)a->produced_mg, "accounted_mg",
                     (json_int_t)a->accounted_mg, "accounted_ppm", (json_int_t)a->accounted_ppm,
                     "owed_mg", (json_int_t)a->owed_mg);
}

static struct result trace_json(struct view *v, const struct view_trace_question *question,
                                const struct view_traced *asked, json_t **out)
{
    const struct trace_answer *t = &asked->answer;
    json_t *lots, *customers = json_array();
    struct result r = customers_json(v, t, customers);
    if (r.code == CODE_OK) {
        r = lots_json(v, t, &lots);
    }
    if (r.code != CODE_OK) {
        json_decref(customers);
        return r;
    }
    *out = json_pack("{s:s?,s:s,s:o,s:o,s:o,s:o,s:I,s:I,s:I,s:I,s:I}", "code",
                     question->count == 1 ? question->codes[0] : NULL, "direction",
                     t->direction == TRACE_BACK ? "back" : "forward", "lots", lots, "steps",
                     steps_json(v, asked), "customers", customers, "account",
                     account_json(&t->account), "held_lots", (json_int_t)t->held_lots, "here_mg",
                     (json_int_t)t->scope.here_mg, "left_mg", (json_int_t)t->scope.left_mg,
                     "left_pieces", (json_int_t)t->scope.left_pieces, "unknown_ppm",
                     (json_int_t)(t->unknown_part * 1e6 + 0.5));
    CHECK(*out != NULL);
    return RESULT_OK;
}

struct result view_trace(struct view *v, const struct view_trace_question *question, json_t **out)
{
    struct view_traced asked;
    struct result r = view_trace_ask(v, question, &asked);
    if (r.code == CODE_OK) {
        r = trace_json(v, question, &asked, out);
    }
    view_trace_release(&asked);
    return r;
}

static json_t *why_json(const struct why_step *steps, size_t count)
{
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++) {
        json_array_append_new(list,
                              json_pack("{s:s,s:s,s:I,s:I}", "parent", steps[i].parent, "child",
                                        steps[i].child, "entry", (json_int_t)steps[i].step.entry,
                                        "mg", (json_int_t)steps[i].step.mg));
    }
    return json_pack("{s:o}", "steps", list);
}

struct result view_why(struct view *v, const struct view_trace_question *question, const char *lot,
                       json_t **out)
{
    struct view_traced asked;
    struct why_step *steps;
    size_t count;
    struct result r = view_trace_ask(v, question, &asked);
    if (r.code == CODE_OK) {
        r = trace_why(asked.graph, v->store, &asked.question, "lot", lot, v->arena, &steps, &count);
    }
    if (r.code == CODE_OK) {
        *out = why_json(steps, count);
    }
    view_trace_release(&asked);
    return r;
}

/* ---- recall */

static struct result left_json(struct view *v, const struct trace_answer *t, json_t *list)
{
    for (size_t i = 0; i < t->scope.left_count; i++) {
        const struct scope_left *l = &t->scope.left[i];
        struct view_contact contact;
        TRY(view_contact(v, l->customer, &contact));
        json_t *o = json_pack("{s:s?,s:s,s:s,s:s,s:I,s:I,s:I,s:s?}", "unit", l->unit, "lot",
                              l->lot_code, "customer", l->customer, "shipment", l->shipment,
                              "at_ms", (json_int_t)l->at_ms, "pieces", (json_int_t)l->pieces, "mg",
                              (json_int_t)l->mg, "contact", contact.contact);
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return RESULT_OK;
}

/* By a hold on the whole lot, or on that case. Holds stand in the order of their lots. */
static bool is_held(const struct trace_answer *t, const struct scope_here *h)
{
    size_t low = 0, high = t->hold_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (t->holds[middle].lot < h->lot) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    for (; low < t->hold_count && t->holds[low].lot == h->lot; low++) {
        const struct lot_hold *o = &t->holds[low];
        if (o->unit == NULL || (h->unit != NULL && strcmp(o->unit, h->unit) == 0)) {
            return true;
        }
    }
    return false;
}

static json_t *here_json(const struct trace_answer *t)
{
    json_t *list = json_array();
    for (size_t i = 0; i < t->scope.here_count; i++) {
        const struct scope_here *h = &t->scope.here[i];
        json_t *o = json_pack("{s:s,s:s?,s:s?,s:I,s:I,s:b}", "lot", h->lot_code, "unit", h->unit,
                              "place", h->place, "pieces", (json_int_t)h->pieces, "mg",
                              (json_int_t)h->mg, "held", (int)is_held(t, h));
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return list;
}

struct result view_recall(struct view *v, const char *const *codes, size_t count, json_t **out)
{
    const struct view_trace_question question = {
        .codes = codes, .count = count, .direction = TRACE_FORWARD};
    struct view_traced asked;
    json_t *left = json_array(), *o;
    struct result r = view_trace_ask(v, &question, &asked);
    if (r.code == CODE_OK) {
        r = left_json(v, &asked.answer, left);
    }
    if (r.code == CODE_OK) {
        r = trace_json(v, &question, &asked, &o);
    }
    if (r.code == CODE_OK) {
        json_object_set_new(o, "left", left);
        json_object_set_new(o, "here", here_json(&asked.answer));
        *out = o;
    } else {
        json_decref(left);
    }
    view_trace_release(&asked);
    return r;
}
