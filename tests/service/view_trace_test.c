/* The genealogy of one case's lot as a page sees it: a chamber from seed to a customer. */
#include "pages.h"

#include "service/view_trace.h"
#include "stock.h"

struct world_of {
    struct house h;
    const char *seed, *growing, *packed;
};

static void plant(struct world_of *w)
{
    house_open(&w->h);
    w->growing = house_grow(&w->h, "C1", "100 kg");
    w->seed = w->h.seed;
    w->packed = house_pack(&w->h, w->growing);
    house_take(&w->h,
               "{'kind':'ship','mode':'tell','customer':'COTYLEDON','units':['%s-0001','%s-0002']}",
               w->packed, w->packed);
    struct statement *q = store_prepare(w->h.store, Q_PARTNER_CONTACT_PUT);
    store_bind_text(q, 1, "COTYLEDON");
    store_bind_text(q, 2, "Cotyledon Greens");
    store_bind_text(q, 3, "desk@cotyledon.example");
    bool row;
    assert_ok(store_begin(w->h.store));
    assert_ok(store_step(q, &row));
    assert_ok(store_commit(w->h.store));
}

static json_t *ask(struct world_of *w, const char *code, enum direction direction)
{
    struct view v = house_view(&w->h, "en");
    const struct view_trace_question question = {
        .codes = &code, .count = 1, .direction = direction};
    json_t *out = NULL;
    assert_ok(view_trace(&v, &question, &out));
    assert_non_null(out);
    return out;
}

static void forward_from_seed(void **state)
{
    (void)state;
    struct world_of w;
    plant(&w);
    json_t *t = ask(&w, w.seed, TRACE_FORWARD);
    assert_string_equal(page_text(t, "code"), w.seed);
    assert_string_equal(page_text(t, "direction"), "forward");
    const json_t *lots = json_object_get(t, "lots");
    const json_t *packed = page_find(lots, "lot", w.packed);
    assert_non_null(packed);
    assert_string_equal(page_text(packed, "kind"), "packed");
    assert_string_equal(page_text(packed, "item"), "MUNG250");
    assert_string_equal(page_text(packed, "day"),
                        day_text(&w.h.arena, house_lot_row(&w.h, w.packed).day));
    assert_int_equal(page_number(packed, "share_ppm"), 1000000);
    /* what went in is what is here and what left: two of its cases */
    assert_int_equal(page_number(packed, "mg"),
                     page_number(packed, "here_mg") + page_number(t, "left_mg"));
    assert_int_equal(page_number(t, "left_pieces"), 80);
    assert_true(json_is_true(json_object_get(packed, "held"))); /* waits for its laboratory */
    const json_t *c = json_array_get(json_object_get(t, "customers"), 0);
    assert_string_equal(page_text(c, "customer"), "COTYLEDON");
    assert_string_equal(page_text(c, "name"), "Cotyledon Greens");
    assert_string_equal(page_text(c, "contact"), "desk@cotyledon.example");
    const json_t *s = json_array_get(json_object_get(c, "shipments"), 0);
    assert_int_equal(page_number(s, "at_ms"), w.h.fixed.now_ms);
    assert_int_equal(page_number(s, "pieces"), 80);
    json_decref(t);
    house_close(&w.h);
}

/* Every step names two lots of the answer, stands in the order of time, and each lot but the seed
 * is the child of one. */
static void steps_between(void **state)
{
    (void)state;
    struct world_of w;
    plant(&w);
    json_t *t = ask(&w, w.packed, TRACE_BACK);
    const json_t *lots = json_object_get(t, "lots"), *steps = json_object_get(t, "steps");
    int64_t before_ms = 0;
    size_t i;
    json_t *step;
    assert_true(json_array_size(steps) >= 6);
    json_array_foreach(steps, i, step)
    {
        assert_true(page_number(step, "at_ms") >= before_ms);
        before_ms = page_number(step, "at_ms");
        assert_non_null(page_find(lots, "lot", page_text(step, "parent")));
        assert_non_null(page_find(lots, "lot", page_text(step, "child")));
        assert_string_equal(page_text(step, "basis"), "measured");
    }
    const json_t *treated = page_find(steps, "parent", w.seed);
    assert_non_null(treated);
    assert_string_equal(page_text(treated, "kind"), "heat-treat");
    assert_string_equal(page_text(treated, "place"), "TREAT");
    assert_int_equal(page_number(treated, "mg"), 100 * INT64_C(1000000));
    const json_t *grown = page_find(steps, "child", w.growing);
    assert_string_equal(page_text(grown, "kind"), "grow");
    assert_string_equal(page_text(grown, "place"), "C1");
    const json_t *packed = page_find(steps, "child", w.packed);
    assert_string_equal(page_text(packed, "kind"), "pack");
    assert_int_equal(page_number(packed, "entry"), house_lot_row(&w.h, w.packed).entry);
    json_decref(t);
    house_close(&w.h);
}

static void why_it_is_in(void **state)
{
    (void)state;
    struct world_of w;
    plant(&w);
    struct view v = house_view(&w.h, "en");
    const struct view_trace_question question = {
        .codes = &w.seed, .count = 1, .direction = TRACE_FORWARD};
    json_t *out = NULL;
    assert_ok(view_why(&v, &question, w.growing, &out));
    const json_t *steps = json_object_get(out, "steps");
    assert_int_equal(json_array_size(steps), 2); /* into the load, into the chamber */
    assert_string_equal(page_text(json_array_get(steps, 0), "parent"), w.seed);
    assert_string_equal(page_text(json_array_get(steps, 1), "child"), w.growing);
    json_decref(out);
    struct result r = view_why(&v, &question, "NOBODY-1", &out);
    assert_int_equal(r.code, CODE_LOT_UNKNOWN);
    assert_string_equal(r.field, "lot");
    const char *unknown = "NOBODY-1";
    const struct view_trace_question wrong = {
        .codes = &unknown, .count = 1, .direction = TRACE_BACK};
    assert_int_equal(view_trace(&v, &wrong, &out).code, CODE_TRACE_START);
    house_close(&w.h);
}

static void recall_of_seed(void **state)
{
    (void)state;
    struct world_of w;
    plant(&w);
    struct view v = house_view(&w.h, "en");
    json_t *t = NULL;
    assert_ok(view_recall(&v, &w.seed, 1, &t));
    const json_t *left = json_object_get(t, "left"), *here = json_object_get(t, "here");
    assert_int_equal(json_array_size(left), 2);
    const json_t *first = json_array_get(left, 0);
    assert_string_equal(page_text(first, "unit"), house_text(&w.h, "%s-0001", w.packed));
    assert_string_equal(page_text(first, "lot"), w.packed);
    assert_string_equal(page_text(first, "customer"), "COTYLEDON");
    assert_string_equal(page_text(first, "contact"), "desk@cotyledon.example");
    assert_int_equal(page_number(first, "pieces"), 40);
    assert_null(page_find(here, "unit", house_text(&w.h, "%s-0001", w.packed)));
    const json_t *third = page_find(here, "unit", house_text(&w.h, "%s-0003", w.packed));
    assert_non_null(third);
    assert_true(json_is_true(json_object_get(third, "held")));
    json_decref(t);
    house_close(&w.h);
}

/* What stands in no case, before and after it is held. */
static void loose_goods(void **state)
{
    (void)state;
    struct world_of w;
    plant(&w);
    house_take(&w.h,
               "{'kind':'receive','supplier':'RADICLE','supplier_lot':'P-1','item':'MUNGSEED',"
               "'mass':'50 kg','place':'STORE'}");
    const char *lot = house_answer(&w.h, "lot");
    struct view v = house_view(&w.h, "en");
    json_t *t = NULL;
    assert_ok(view_recall(&v, &lot, 1, &t));
    const json_t *only = json_array_get(json_object_get(t, "here"), 0);
    assert_string_equal(page_text(only, "lot"), lot);
    assert_true(page_null(only, "unit"));
    assert_true(json_is_false(json_object_get(only, "held")));
    json_decref(t);
    house_take(&w.h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],"
               "'needs':'decision','reason':'smells'}",
               lot);
    assert_ok(view_recall(&v, &lot, 1, &t));
    only = json_array_get(json_object_get(t, "here"), 0);
    assert_true(json_is_true(json_object_get(only, "held")));
    json_decref(t);
    house_close(&w.h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(forward_from_seed), cmocka_unit_test(steps_between),
        cmocka_unit_test(why_it_is_in),      cmocka_unit_test(recall_of_seed),
        cmocka_unit_test(loose_goods),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
