/* Which input an output can hold, told in order or late. Times are minutes after the start of the
 * run. */
#include "minutes.h"

static struct house h;
static struct minutes m;

static int set_up(void **state)
{
    minutes_open(&h, &m);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

enum { KG = 1000000 };

static void a_known_carry_over_reaches_back_as_far_as_it_says(void **state)
{
    minutes_start_run(&h, &m, "10 min");
    const char *a = minutes_wash(&h, &m, m.lots[0], 0, 30),
               *b = minutes_wash(&h, &m, m.lots[1], 30, 60),
               *c = minutes_wash(&h, &m, m.lots[2], 75, 90);
    int64_t mg;
    assert_string_equal(house_edge(&h, m.lots[0], a, &mg), "measured");
    assert_int_equal(mg, 47 * KG);
    assert_string_equal(house_edge(&h, m.lots[0], b, &mg), "possible");
    assert_int_equal(mg, 0);
    assert_string_equal(house_edge(&h, m.lots[1], b, &mg), "measured");
    assert_int_equal(mg, 47 * KG);
    /* nothing can leave a line that had not entered it */
    assert_string_equal(house_edge(&h, m.lots[1], a, NULL), "");
    /* 15 minutes later than 10 */
    assert_string_equal(house_edge(&h, m.lots[1], c, NULL), "");
    assert_string_equal(house_edge(&h, m.lots[0], c, NULL), "");
}

static void stretches_that_overlap_share_by_what_went_in_meanwhile(void **state)
{
    minutes_start_run(&h, &m, "0 s");
    const char *a = minutes_wash(&h, &m, m.lots[0], 0, 40),
               *b = minutes_wash(&h, &m, m.lots[1], 30, 60);
    int64_t mg;
    assert_string_equal(house_edge(&h, m.lots[0], a, &mg), "measured");
    assert_int_equal(mg, 47 * KG);
    /* of lot 0 a quarter, 12.5 kg, went in while b came out, beside 50 kg of lot 1 */
    assert_string_equal(house_edge(&h, m.lots[0], b, &mg), "measured");
    assert_int_equal(mg, (int64_t)47 * KG * 125 / 625);
    assert_string_equal(house_edge(&h, m.lots[1], b, &mg), "measured");
    assert_int_equal(mg, 47 * KG - (int64_t)47 * KG * 125 / 625);
    /* told after a, and then it was in a as well, for all we know */
    assert_string_equal(house_edge(&h, m.lots[1], a, &mg), "measured");
    assert_int_equal(mg, 0);
}

static void an_unknown_carry_over_reaches_back_to_the_last_clean(void **state)
{
    minutes_start_run(&h, &m, "unknown");
    const char *a = minutes_wash(&h, &m, m.lots[0], 0, 30),
               *b = minutes_wash(&h, &m, m.lots[1], 60, 90);
    assert_string_equal(house_edge(&h, m.lots[0], b, NULL), "unknown");
    house_take(&h,
               "{'kind':'clean','place':'WASH','start':'%s','end':'%s','agent':'chlorine',"
               "'strength':'150 mg/L','contact':'120 s','rinsed':true,'inspected':'pass'}",
               minutes_at(&h, &m, 95), minutes_at(&h, &m, 105));
    const char *c = minutes_wash(&h, &m, m.lots[2], 110, 120),
               *d = minutes_wash(&h, &m, m.lots[3], 130, 140);
    assert_string_equal(house_edge(&h, m.lots[0], c, NULL), "");
    assert_string_equal(house_edge(&h, m.lots[1], c, NULL), "");
    assert_string_equal(house_edge(&h, m.lots[2], d, NULL), "unknown");
    assert_string_equal(house_edge(&h, m.lots[2], a, NULL), "");
}

static void a_clean_that_does_not_count_ends_nothing(void **state)
{
    minutes_start_run(&h, &m, "unknown");
    minutes_wash(&h, &m, m.lots[0], 0, 30);
    house_take(&h,
               "{'kind':'clean','place':'WASH','start':'%s','end':'%s','agent':'chlorine',"
               "'strength':'150 mg/L','contact':'120 s','rinsed':false,'inspected':'pass'}",
               minutes_at(&h, &m, 40), minutes_at(&h, &m, 50));
    assert_string_equal(house_edge(&h, m.lots[0], minutes_wash(&h, &m, m.lots[1], 60, 90), NULL),
                        "unknown");
}

/* One lot fed by several entries is one parent, not several. */
static void the_same_lot_fed_twice_is_one_parent(void **state)
{
    minutes_start_run(&h, &m, "10 min");
    minutes_wash(&h, &m, m.lots[0], 0, 20);
    const char *b = minutes_wash(&h, &m, m.lots[0], 20, 40);
    int64_t mg;
    assert_string_equal(house_edge(&h, m.lots[0], b, &mg), "measured");
    assert_int_equal(mg, 47 * KG);
    house_take(&h,
               "{'kind':'wash','run':'W1','place':'WASH','inputs':[{'lot':'%s','mass':'10 kg',"
               "'from':'%s','to':'%s'},{'lot':'%s','mass':'20 kg','from':'%s','to':'%s'}],'start':"
               "'%s','end':'%s','outputs':[{'role':'main','mass':'28 kg'},{'role':'hulls','mass':"
               "'2 kg'}]}",
               m.lots[1], minutes_at(&h, &m, 60), minutes_at(&h, &m, 70), m.lots[1],
               minutes_at(&h, &m, 80), minutes_at(&h, &m, 90), minutes_at(&h, &m, 60),
               minutes_at(&h, &m, 90));
    assert_string_equal(house_edge(&h, m.lots[1], house_answer(&h, "lots.0.lot"), &mg), "measured");
    assert_int_equal(mg, 28 * KG);
    house_sums(&h);
}

static void an_input_told_late_reaches_what_is_told_already(void **state)
{
    minutes_start_run(&h, &m, "10 min");
    const char *a = minutes_wash(&h, &m, m.lots[0], 0, 30),
               *c = minutes_wash(&h, &m, m.lots[2], 60, 90);
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['load','use'],'needs':"
               "'check','reason':'smells'}",
               m.lots[1]);
    house_take(&h,
               "{'kind':'sort','place':'SORT','inputs':[{'lot':'%s'}],'outputs':[{'role':'main',"
               "'mass':'46 kg'},{'role':'culls','mass':'1 kg'}]}",
               c);
    const char *sorted = house_answer(&h, "lots.0.lot");
    const char *b = minutes_wash(&h, &m, m.lots[1], 25, 55);
    assert_true(house_deviates(&h, "held-used"));
    assert_string_equal(house_edge(&h, m.lots[1], a, NULL), "measured");
    assert_string_equal(house_edge(&h, m.lots[1], b, NULL), "measured");
    assert_string_equal(house_edge(&h, m.lots[1], c, NULL), "possible");
    /* and its hold with it, to what was made in the meantime as well */
    assert_true(house_stops(&h, a, "use"));
    assert_true(house_stops(&h, b, "use"));
    assert_true(house_stops(&h, c, "use"));
    assert_true(house_stops(&h, sorted, "use"));
    /* one that went in too long before reaches nothing */
    minutes_wash(&h, &m, m.lots[3], -2, 4);
    assert_string_equal(house_edge(&h, m.lots[3], a, NULL), "measured");
    assert_string_equal(house_edge(&h, m.lots[3], c, NULL), "");
}

/* A lot that goes over the line once more is not in what it was made of. */
static void what_came_of_an_output_is_not_in_it(void **state)
{
    minutes_start_run(&h, &m, "10 min");
    const char *a = minutes_wash(&h, &m, m.lots[0], 0, 60);
    const char *rinse = "{'kind':'rinse','run':'W1','mode':'tell','place':'WASH','inputs':[{'lot':"
                        "'%s','mass':'%s kg'}],'start':'%s','end':'%s','outputs':[{'role':'main',"
                        "'mass':'%s kg'}]}";
    house_take(&h, rinse, a, "20", minutes_at(&h, &m, 20), minutes_at(&h, &m, 40), "20");
    const char *b = house_answer(&h, "lots.0.lot");
    house_take(&h, rinse, b, "10", minutes_at(&h, &m, 45), minutes_at(&h, &m, 55), "10");
    assert_string_equal(house_edge(&h, a, b, NULL), "measured");
    assert_string_equal(house_edge(&h, b, a, NULL), "");
}

static void outside_a_run_every_input_reaches_every_output(void **state)
{
    house_take(&h,
               "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s','mass':'30 kg'},{'lot':'%s',"
               "'mass':'10 kg'}],'outputs':[{'role':'main','mass':'36 kg'},{'role':'hulls','mass':"
               "'4 kg'}]}",
               m.lots[0], m.lots[1]);
    const char *main = house_answer(&h, "lots.0.lot"), *hulls = house_answer(&h, "lots.1.lot");
    int64_t mg;
    assert_string_equal(house_edge(&h, m.lots[0], main, &mg), "measured");
    assert_int_equal(mg, 27 * KG);
    assert_string_equal(house_edge(&h, m.lots[1], main, &mg), "measured");
    assert_int_equal(mg, 9 * KG);
    assert_string_equal(house_edge(&h, m.lots[1], hulls, &mg), "measured");
    assert_int_equal(mg, 1 * KG);
}

/* An output from before anything went in came from somewhere: everything named may be in it. */
static void times_that_leave_no_way_in_are_a_deviation(void **state)
{
    minutes_start_run(&h, &m, "0 s");
    const char *command = house_text(
        &h,
        "{'kind':'wash','run':'W1','place':'WASH','inputs':[{'lot':'%s','mass':'50 kg','from':'%s',"
        "'to':'%s'}],'start':'%s','end':'%s','outputs':[{'role':'main','mass':'47 kg','from':'%s',"
        "'to':'%s'},{'role':'hulls','mass':'3 kg'}]}",
        m.lots[0], minutes_at(&h, &m, 30), minutes_at(&h, &m, 60), minutes_at(&h, &m, 0),
        minutes_at(&h, &m, 60), minutes_at(&h, &m, 5), minutes_at(&h, &m, 10));
    house_rule(&h, OUTPUT_EARLY, "output-before-input", command);
    assert_string_equal(house_edge(&h, m.lots[0], house_answer(&h, "lots.0.lot"), NULL), "unknown");
    assert_string_equal(house_edge(&h, m.lots[0], house_answer(&h, "lots.1.lot"), NULL),
                        "measured");
}

/* More than a list has room for when it begins: none of it may be left out. */
static void many_inputs_of_an_unclean_line_are_all_kept(void **state)
{
    enum { MANY = 120 };
    const char *parts[MANY];
    minutes_start_run(&h, &m, "unknown");
    for (int i = 0; i < MANY; i++) {
        house_take(&h, "{'kind':'split','lot':'%s','mass':'100 g'}", m.lots[i % 2]);
        parts[i] = house_answer(&h, "lot");
        house_take(
            &h,
            "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s'}],'outputs':[{'role':'main',"
            "'mass':'100 g'}]}",
            parts[i]);
    }
    house_wait(&h, "1 min");
    house_take(&h,
               "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s','mass':'1 kg'}],'outputs':[{"
               "'role':'main','mass':'1 kg'}]}",
               m.lots[2]);
    const char *last = house_answer(&h, "lots.0.lot");
    int found = 0;
    for (int i = 0; i < MANY; i++) {
        found += strcmp(house_edge(&h, parts[i], last, NULL), "unknown") == 0;
    }
    assert_int_equal(found, MANY);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_known_carry_over_reaches_back_as_far_as_it_says),
        T(stretches_that_overlap_share_by_what_went_in_meanwhile),
        T(an_unknown_carry_over_reaches_back_to_the_last_clean),
        T(a_clean_that_does_not_count_ends_nothing),
        T(the_same_lot_fed_twice_is_one_parent),
        T(an_input_told_late_reaches_what_is_told_already),
        T(what_came_of_an_output_is_not_in_it),
        T(outside_a_run_every_input_reaches_every_output),
        T(times_that_leave_no_way_in_are_a_deviation),
        T(many_inputs_of_an_unclean_line_are_all_kept),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
