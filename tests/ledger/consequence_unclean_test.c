/* A clean that was struck is none: what a sorter of unknown carry-over had held back can be in what
 * came off it later. */
#include "fixture/head.h"

struct sorted {
    const char *first, *second; /* sorted in two runs, the place cleaned between */
    int64_t clean;              /* its entry */
};

/* 40 kg of a lot sorted in a run of its own of half an hour: -> what came off. */
static const char *sorted(const char *washed, const char *carry_over)
{
    house_take(
        &h, "{'kind':'run-start','place':'SORT','run':'R%lld','family':'mung','carry_over':'%s'}",
        (long long)h.sent, carry_over);
    const char *run = house_answer(&h, "run");
    house_wait(&h, "20 min");
    house_take(&h,
               "{'kind':'sort','run':'%s','inputs':[{'lot':'%s','mass':'40 kg'}],'place':'SORT',"
               "'start':'%s','end':'%s','outputs':[{'role':'main','mass':'39.6 kg'},{'role':"
               "'culls','mass':'0.4 kg'}]}",
               run, washed, house_time(&h, -10), house_time(&h, 0));
    const char *out = house_answer(&h, "lots.0.lot");
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'run-end','run':'%s'}", run);
    return out;
}

static const char *washed(const char *chamber)
{
    const char *growing = house_grow(&h, chamber, "100 kg");
    house_wait(&h, "7 d");
    house_take(&h,
               "{'kind':'harvest','lot':'%s','mass':'800 kg','instrument':'SCALE','place':'WASH'}",
               growing);
    const char *harvested = house_answer(&h, "lot");
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','outputs':[{'role':'main','"
               "mass':'750 kg'},{'role':'hulls','mass':'50 kg'}]}",
               harvested);
    return house_answer(&h, "lots.0.lot");
}

static struct sorted two_runs(const char *carry_over)
{
    struct sorted s;
    const char *a = washed("C1"), *b = washed("C2");
    s.first = a;
    sorted(a, carry_over);
    house_wait(&h, "40 min");
    house_clean(&h, "SORT", 10);
    s.clean = house_number(&h, "entry");
    s.second = sorted(b, carry_over);
    int64_t mg;
    assert_string_equal(house_edge(&h, s.first, s.second, &mg), "");
    return s;
}

static void strike(const struct sorted *s, const char *rest)
{
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'it was another place','person':2%s}",
               (long long)s->clean, rest);
}

static void what_was_held_back_can_be_in_what_came_later(void **state)
{
    struct sorted s = two_runs("unknown");
    int64_t mg = -1;
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use','load'],'needs':"
               "'review','reason':'odd smell','person':2}",
               s.first);
    assert_false(house_held(&h, s.second, "quality"));
    strike(&s, "");
    assert_non_null(house_caused(&h, "carry-over"));
    assert_string_equal(house_edge(&h, s.first, s.second, &mg), "unknown");
    assert_int_equal(mg, 0); /* nobody knows how much */
    assert_true(house_held(&h, s.second, "quality"));
    house_sums(&h);
}

static void a_known_carry_over_reaches_no_further_without_it(void **state)
{
    struct sorted s = two_runs("90 s");
    int64_t mg;
    strike(&s, "");
    assert_null(house_caused(&h, "carry-over"));
    assert_string_equal(house_edge(&h, s.first, s.second, &mg), "");
}

static void another_clean_in_its_place_ends_it(void **state)
{
    struct sorted s = two_runs("unknown");
    struct entry clean = house_entry(&h, "clean");
    int64_t mg;
    strike(&s, house_text(&h,
                          ",'replace':{'kind':'clean','place':'SORT','start':'%s','end':'%s','agent"
                          "':'chlorine','strength':'160 mg/L','contact':'120 s','rinsed':true,"
                          "'inspected':'pass'}",
                          house_in_body(&h, &clean, "\"did\"", "start"),
                          house_in_body(&h, &clean, "\"did\"", "end")));
    assert_null(house_caused(&h, "carry-over"));
    assert_string_equal(house_edge(&h, s.first, s.second, &mg), "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(what_was_held_back_can_be_in_what_came_later),
        T(a_known_carry_over_reaches_no_further_without_it),
        T(another_clean_in_its_place_ends_it),
    };
    RUN(tests);
}
