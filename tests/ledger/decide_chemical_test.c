#include "head.h"

static int64_t clean_with(const char *chemical)
{
    return house_take(&h,
                      "{'kind':'clean','place':'PACK','start':'%s','end':'%s','agent':'chlorine',"
                      "'strength':'150 mg/L','contact':'2 min','rinsed':true,'inspected':'pass',"
                      "'chemical':'%s','person':7}",
                      house_time(&h, -20), house_time(&h, -5), chemical);
}

static void add(const char *code, const char *agent, int hours)
{
    house_take(&h, "{'kind':'chemical','code':'%s','agent':'%s','best_before':'%s','person':7}",
               code, agent, house_time(&h, hours * 60));
}

static bool counts(void)
{
    return json_is_true(json_object_get(h.answer, "valid"));
}

static void a_clean_counts_with_a_good_chemical_only(void **state)
{
    add("CH-1", "chlorine", 48);
    add("CH-2", "chlorine", 1);
    add("CH-3", "peracetic acid", 48);
    house_wait(&h, "3 h");
    clean_with("CH-1");
    assert_true(counts());
    clean_with("CH-2");
    assert_false(counts());
    assert_string_equal(house_answer(&h, "reason"), "chemical");
    assert_true(house_deviates(&h, "clean-not-valid"));
    clean_with("CH-3");
    assert_false(counts()); /* not what the record says it was cleaned with */
    house_refused(&h, CHEMICAL_UNKNOWN,
                  house_text(&h,
                             "{'kind':'clean','place':'PACK','start':'%s','end':'%s','agent':"
                             "'chlorine','strength':'150 mg/L','contact':'2 min','rinsed':true,"
                             "'inspected':'pass','chemical':'NONE','person':7}",
                             house_time(&h, -20), house_time(&h, -5)));
}

static void a_titration_out_of_range_stops_the_lot(void **state)
{
    const char *format =
        "{'kind':'titration','chemical':'CH-1','strength':'%s','low':'11 %%','high':"
        "'13 %%','person':7}";
    add("CH-1", "chlorine", 48);
    house_wait(&h, "1 h");
    house_take(&h, format, "10.9 %");
    assert_true(house_deviates(&h, "chemical-off"));
    clean_with("CH-1");
    assert_false(counts());
    house_take(&h, format, "11 %"); /* the ends belong to it */
    assert_int_equal(house_deviations(&h), 0);
    clean_with("CH-1");
    assert_true(counts());
    house_refused(&h, FIELD_RANGE, house_text(&h, format, "101 %"));
    house_refused(&h, UNIT_BAD, house_text(&h, format, "11 mg/L"));
    house_refused(&h, CHEMICAL_UNKNOWN,
                  "{'kind':'titration','chemical':'X','strength':'1 %','low':'1 %','high':'2 %',"
                  "'person':7}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_clean_counts_with_a_good_chemical_only),
        T(a_titration_out_of_range_stops_the_lot),
    };
    RUN(tests);
}
