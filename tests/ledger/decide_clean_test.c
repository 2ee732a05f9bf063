/* Cleaning. */
#include "stock.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    house_wait(&h, "2 h");
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

struct cleaning {
    const char *strength, *contact, *rinsed, *inspected;
    int start, end; /* minutes from now */
};

/* The profile's chamber: 100 to 200 mg/L, 60 s. */
static const struct cleaning good = {"150 mg/L", "60 s", "true", "pass", -20, -10};

static const char *clean_text(const char *place, const struct cleaning *c)
{
    return house_text(&h,
                      "{'kind':'clean','place':'%s','start':'%s','end':'%s','agent':'chlorine',"
                      "'strength':'%s','contact':'%s','rinsed':%s,'inspected':'%s'}",
                      place, house_time(&h, c->start), house_time(&h, c->end), c->strength,
                      c->contact, c->rinsed, c->inspected);
}

static void at_the_very_edge_a_clean_counts(void **state)
{
    static const char *const strengths[] = {"100 mg/L", "200 mg/L", "150.5 mg/L"};
    for (size_t i = 0; i < 3; i++) {
        struct cleaning c = good;
        c.strength = strengths[i];
        house_take(&h, "%s", clean_text("C1", &c));
        assert_true(json_is_true(json_object_get(h.answer, "valid")));
        assert_int_equal(house_deviations(&h), 0);
        assert_int_equal(house_effect(&h, "clean", 0, 5), 1);
        assert_string_equal(house_effect_text(&h, "clean", 0, 2), "chamber");
    }
}

/* Each condition alone makes it count for nothing. */
static void one_thing_missing_and_it_counts_for_nothing(void **state)
{
    static const struct {
        const char *reason;
        struct cleaning c;
    } bad[] = {
        {"strength", {"99.999 mg/L", "60 s", "true", "pass", -20, -10}},
        {"strength", {"200.001 mg/L", "60 s", "true", "pass", -20, -10}},
        {"contact", {"150 mg/L", "59.999 s", "true", "pass", -20, -10}},
        {"rinse", {"150 mg/L", "60 s", "false", "pass", -20, -10}},
        {"inspection", {"150 mg/L", "60 s", "true", "fail", -20, -10}},
        {"times", {"150 mg/L", "60 s", "true", "pass", -10, -20}},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        house_rule(&h, CLEAN_NOT_VALID, "clean-not-valid", clean_text("C1", &bad[i].c));
        assert_string_equal(house_answer(&h, "reason"), bad[i].reason);
        assert_int_equal(house_effect(&h, "clean", 0, 5), 0);
        assert_string_equal(house_effect_text(&h, "clean", 0, 6), bad[i].reason);
    }
}

/* Half the strength for double the time, or ten times: never. */
static void time_does_not_make_up_for_strength(void **state)
{
    static const struct cleaning traded[] = {
        {"75 mg/L", "120 s", "true", "pass", -20, -10},
        {"10 mg/L", "10 min", "true", "pass", -20, -10},
        {"400 mg/L", "60 s", "true", "pass", -20, -10},
        {"200 mg/L", "30 s", "true", "pass", -20, -10},
    };
    for (size_t i = 0; i < sizeof traded / sizeof traded[0]; i++) {
        house_take(&h, "%s", clean_text("C1", &traded[i]));
        assert_true(json_is_false(json_object_get(h.answer, "valid")));
    }
}

static void a_place_that_nobody_asks_anything_of(void **state)
{
    house_take(&h, "%s", clean_text("COLD", &good));
    assert_true(json_is_false(json_object_get(h.answer, "valid")));
    assert_string_equal(house_answer(&h, "reason"), "no-range");
    assert_int_equal(house_deviations(&h), 0);
}

static void at(const char *place, int start, int end, const char *reason)
{
    struct cleaning c = good;
    c.start = start;
    c.end = end;
    if (reason == NULL) {
        house_take(&h, "%s", clean_text(place, &c));
        assert_true(json_is_true(json_object_get(h.answer, "valid")));
        assert_int_equal(house_deviations(&h), 0);
        return;
    }
    house_rule(&h, CLEAN_NOT_VALID, "clean-not-valid", clean_text(place, &c));
    assert_string_equal(house_answer(&h, "reason"), reason);
    assert_int_equal(house_effect(&h, "clean", 0, 5), 0);
}

static void nothing_is_cleaned_while_it_grows_in_it(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "60 min");
    at("C1", -70, -60, NULL); /* ends as it is filled */
    at("C1", -70, -59, "in-use");
    at("C1", -20, -10, "in-use");
    at("C2", -20, -10, NULL);
    house_take(&h,
               "{'kind':'harvest','lot':'%s','share':'rest','mass':'800 kg','place':'WASH','"
               "emptied':true}",
               growing);
    house_wait(&h, "60 min");
    at("C1", -61, -50, "in-use");
    at("C1", -60, -50, NULL); /* begins as it is emptied */
}

static void a_line_is_not_cleaned_while_product_is_on_it(void **state)
{
    house_take(&h, "{'kind':'run-start','place':'WASH','run':'W1','family':'mung','carry_over':"
                   "'90 s'}");
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_take(&h, "{'kind':'harvest','lot':'%s','mass':'800 kg','place':'WASH'}", growing);
    const char *harvested = house_answer(&h, "lot");
    house_wait(&h, "3 h");
    house_take(&h,
               "{'kind':'wash','run':'W1','place':'WASH','start':'%s','end':'%s','inputs':[{'lot':"
               "'%s'}],'outputs':[{'role':'main','mass':'750 kg'},{'role':'hulls','mass':'50 kg'"
               "}]}",
               house_time(&h, -120), house_time(&h, -60), harvested);
    at("WASH", -130, -119, "in-use");
    at("WASH", -100, -90, "in-use"); /* within it */
    at("WASH", -130, -50, "in-use"); /* about it */
    at("WASH", -61, -50, "in-use");
    at("WASH", -130, -120, NULL);
    at("WASH", -60, -50, NULL); /* the run stands still for it */
    at("SORT", -100, -90, NULL);
}

static void cleans_that_cannot_be_read(void **state)
{
    struct cleaning c = good;
    c.strength = "150 ppm";
    house_refused(&h, UNIT_BAD, clean_text("C1", &c));
    c = good;
    c.contact = "60";
    house_refused(&h, UNIT_BAD, clean_text("C1", &c));
    c = good;
    c.inspected = "maybe";
    house_refused(&h, FIELD_CHOICE, clean_text("C1", &c));
    c = good;
    c.rinsed = "'yes'";
    house_refused(&h, FIELD_TYPE, clean_text("C1", &c));
    c = good;
    c.end = 10;
    house_refused(&h, TIME_FUTURE, clean_text("C1", &c));
    house_refused(&h, PLACE_UNKNOWN, clean_text("C9", &good));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(at_the_very_edge_a_clean_counts),
        T(one_thing_missing_and_it_counts_for_nothing),
        T(time_does_not_make_up_for_strength),
        T(a_place_that_nobody_asks_anything_of),
        T(nothing_is_cleaned_while_it_grows_in_it),
        T(a_line_is_not_cleaned_while_product_is_on_it),
        T(cleans_that_cannot_be_read),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
