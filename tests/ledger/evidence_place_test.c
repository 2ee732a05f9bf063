/* Evidence of places: where a lot was, what was there since the last clean, and the cleans. */
#include "fixture/evidence.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static struct evidence collect(const char *lot)
{
    struct evidence e;
    assert_ok(evidence_collect(h.store, &h.arena, house_lot(&h, lot), &e));
    return e;
}

static const struct evidence_contact *contact(const struct evidence *e, const char *kind,
                                              const char *place)
{
    for (size_t i = 0; i < e->contact_count; i++) {
        const struct evidence_contact *k = &e->contacts[i];
        if (strcmp(e->lots[k->lot].kind, kind) == 0 && k->place != NULL &&
            strcmp(k->place, place) == 0) {
            return k;
        }
    }
    print_error("no %s on %s\n", kind, place);
    fail();
    return NULL;
}

static void a_lot_was_where_it_was_made_and_where_it_passed(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    struct evidence e = collect(b.packed);
    assert_true(contact(&e, "load", "TREAT")->made);
    assert_false(contact(&e, "load", "SOAK")->made);
    const struct evidence_contact *grew = contact(&e, "growing", "C1");
    assert_string_equal(grew->act, "grow");
    assert_int_equal(grew->to_ms, contact(&e, "harvested", "C1")->from_ms); /* emptied then */
    contact(&e, "washed", "WASH");
    contact(&e, "sorted", "SORT");
    assert_string_equal(contact(&e, "packed", "PACK")->act, "pack");
}

static void what_still_grows_has_no_end(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    struct evidence e = collect(growing);
    assert_int_equal(contact(&e, "growing", "C1")->to_ms, EVIDENCE_OPEN_MS);
}

/* Cleans of a place: how many valid, how many not. */
static void count_cleans(const struct evidence *e, const char *place, size_t valid, size_t other)
{
    size_t n[2] = {0, 0};
    for (size_t i = 0; i < e->clean_count; i++) {
        if (strcmp(e->cleans[i].place, place) == 0) {
            n[e->cleans[i].valid ? 0 : 1]++;
        }
    }
    assert_int_equal(n[0], valid);
    assert_int_equal(n[1], other);
}

static void the_last_valid_clean_and_what_was_told_since(void **state)
{
    house_clean(&h, "C1", 20);
    house_clean(&h, "C1", 10);
    house_take(&h,
               "{'kind':'clean','place':'C1','start':'%s','end':'%s','agent':'chlorine',"
               "'strength':'10 mg/L','contact':'120 s','rinsed':true,'inspected':'pass'}",
               civil_text(&h.arena, h.fixed.now_ms - 60000, 0),
               civil_text(&h.arena, h.fixed.now_ms, 0));
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "1 h");
    house_clean(&h, "C1", 0); /* while it grows: after the contact */
    struct evidence e = collect(growing);
    count_cleans(&e, "C1", 1, 1);
    count_cleans(&e, "SOAK", 0, 0);
}

/* The clean was told first, and so it was valid; what was on the place meanwhile was told later. */
static void product_told_of_later_takes_a_clean_away(void **state)
{
    house_clean(&h, "SORT", 5 * 24 * 60);
    struct house_batch b = house_batch(&h, "C1", true); /* cleans SORT as well */
    struct entry wash = house_entry(&h, "wash");
    const char *washed = house_in_body(&h, &wash, "\"lots\"", "lot");
    struct evidence e = collect(b.packed);
    count_cleans(&e, "SORT", 1, 0);
    int64_t clean_ms = e.cleans[0].end_ms;
    for (size_t i = 0; i < e.clean_count; i++) {
        clean_ms = strcmp(e.cleans[i].place, "SORT") == 0 ? e.cleans[i].end_ms : clean_ms;
    }
    house_take(&h,
               "{'kind':'sort','mode':'tell','inputs':[{'lot':'%s','mass':'100 kg'}],'place':"
               "'SORT','start':'%s','end':'%s','outputs':[{'role':'main','mass':'99 kg'},{'role':"
               "'culls','mass':'1 kg'}]}",
               washed, civil_text(&h.arena, clean_ms - 60000, 0),
               civil_text(&h.arena, clean_ms + 60000, 0));
    e = collect(b.packed);
    count_cleans(&e, "SORT", 1, 1); /* the one before it counts again */
    count_cleans(&e, "PACK", 1, 0);
    const struct clause_line *line = house_unmet(&h, b.packed, "US");
    assert_non_null(line);
    assert_string_equal(line->clause, "clean");
    assert_string_equal(line->place, "SORT");
}

static void everything_on_a_line_since_it_was_clean(void **state)
{
    house_clean(&h, "TREAT", 0);
    const char *first = house_grow(&h, "C1", "100 kg"), *second = house_grow(&h, "C2", "100 kg");
    struct evidence e = collect(second);
    size_t on_treater = 0, others = 0;
    for (size_t i = 0; i < e.use_count; i++) {
        if (strcmp(e.uses[i].place, "TREAT") == 0) {
            on_treater++;
            others += e.uses[i].lot != e.lots[contact(&e, "load", "TREAT")->lot].id ? 1 : 0;
            assert_false(e.uses[i].positive);
        }
    }
    assert_int_equal(on_treater, 2);
    assert_int_equal(others, 1);
    /* the first batch turns out positive: its load is not, but what grew is */
    house_wait(&h, "40 h");
    house_result(&h, house_sample(&h, first), "Salmonella spp.", "confirmed-positive");
    e = collect(second);
    for (size_t i = 0; i < e.use_count; i++) {
        assert_int_equal(e.uses[i].positive, strcmp(e.uses[i].lot_code, first) == 0);
    }
    house_clean(&h, "TREAT", 60 * 60); /* told late: it was cleaned between long before */
    assert_int_equal(collect(second).use_count, e.use_count);
}

static void runs_are_in_it(void **state)
{
    house_clean(&h, "WASH", 0);
    house_take(&h, "{'kind':'run-start','place':'WASH','family':'mung','carry_over':'90 s'}");
    const char *run = house_answer(&h, "run");
    house_wait(&h, "5 min");
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_take(&h,
               "{'kind':'harvest','lot':'%s','mass':'800 kg','instrument':'SCALE','place':'WASH'}",
               growing);
    house_take(
        &h,
        "{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','run':'%s','outputs':[{'role':"
        "'main','mass':'750 kg'},{'role':'hulls','mass':'50 kg'}]}",
        house_answer(&h, "lot"), run);
    struct evidence e = collect(house_answer(&h, "lots.0.lot"));
    assert_int_equal(e.run_count, 1);
    assert_string_equal(e.runs[0].code, run);
    assert_int_equal(e.runs[0].end_ms, EVIDENCE_OPEN_MS);
    assert_int_equal(contact(&e, "washed", "WASH")->run, e.runs[0].id);
    assert_string_equal(contact(&e, "washed", "WASH")->family, "mung");
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_lot_was_where_it_was_made_and_where_it_passed),
        T(what_still_grows_has_no_end),
        T(the_last_valid_clean_and_what_was_told_since),
        T(product_told_of_later_takes_a_clean_away),
        T(everything_on_a_line_since_it_was_clean),
        T(runs_are_in_it),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
