#include "head.h"

#include "base/decimal.h"

static double counted(const char *path)
{
    int64_t millionths;
    assert_ok(decimal_read(house_answer(&h, path), 6, path, &millionths));
    return (double)millionths / 1e6;
}

static const char *sample(void)
{
    house_take(&h, "{'kind':'sample','what':'water','place':'WATER','person':2}");
    return house_answer(&h, "sample");
}

/* 5-1-0 of 10, 1 and 0.1 mL, five tubes each: 33 in 100 mL, FDA/AOAC BAM Appendix 2 as printed in
 * general tables (published (seen) through the R package MPN 0.3.0). */
static void tubes_become_a_number_with_its_limits(void **state)
{
    house_take(
        &h,
        "{'kind':'lab-count','sample':'%s','organism':'generic E. coli','volumes_ml':['10','1',"
        "'0.1'],'tubes':[5,5,5],'positive':[5,1,0],'person':2}",
        sample());
    assert_string_equal(house_answer(&h, "count.state"), "measured");
    double per_ml = counted("count.per_ml");
    assert_true(per_ml >= 0.325 && per_ml < 0.335);
    assert_true(counted("count.low") < per_ml);
    assert_true(counted("count.high") > per_ml);
    assert_int_equal(house_deviations(&h), 0);
}

/* None of three tubes of 100 mL: below ln(20) / 300 mL = 0.00998..., the upper limit goes up. */
static void no_tube_that_grew_has_an_upper_limit(void **state)
{
    house_take(
        &h,
        "{'kind':'lab-count','sample':'%s','organism':'generic E. coli','volumes_ml':['100'],"
        "'tubes':[3],'positive':[0],'person':2}",
        sample());
    assert_string_equal(house_answer(&h, "count.state"), "none");
    assert_string_equal(house_answer(&h, "count.per_ml"), "0");
    assert_string_equal(house_answer(&h, "count.high"), "0.00999");
}

static void tubes_that_fall_oddly_are_a_deviation(void **state)
{
    house_take(
        &h,
        "{'kind':'lab-count','sample':'%s','organism':'generic E. coli','volumes_ml':['10','1',"
        "'0.1'],'tubes':[5,5,5],'positive':[0,0,5],'person':2}",
        sample());
    assert_true(house_deviates(&h, "count-unlikely"));
}

/* 150 colonies on 0.01 mL and 14 on 0.001 mL: 164 / 0.011 mL = 14 909 per mL. */
static void plates_become_a_number(void **state)
{
    house_take(&h,
               "{'kind':'lab-count','sample':'%s','organism':'aerobic count','volumes_ml':['0.01',"
               "'0.001'],'colonies':[150,14],'person':2}",
               sample());
    double per_ml = counted("count.per_ml");
    assert_true(per_ml >= 14909 && per_ml <= 15000);
    assert_string_equal(house_answer(&h, "count.per_ml"), "15000"); /* three figures, upwards */
}

static void a_count_that_cannot_be_is_refused(void **state)
{
    const char *code = sample();
    const char *format = "{'kind':'lab-count','sample':'%s','organism':'x','volumes_ml':[%s],%s,"
                         "'person':2}";
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, format, code, "'10'", "'tubes':[5],'positive':[6]"));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, format, code, "'10'", "'tubes':[5,5],'positive':[5]"));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, format, code, "'0'", "'tubes':[5],'positive':[5]"));
    house_refused(&h, FIELD_MISSING, house_text(&h, format, code, "'10'", "'tubes':[5]"));
    house_refused(&h, FIELD_RANGE, house_text(&h, format, code, "'10'", "'colonies':[-1]"));
    house_refused(&h, SAMPLE_UNKNOWN,
                  house_text(&h, format, "NONE", "'10'", "'tubes':[5],'positive':[5]"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(tubes_become_a_number_with_its_limits), T(no_tube_that_grew_has_an_upper_limit),
        T(tubes_that_fall_oddly_are_a_deviation), T(plates_become_a_number),
        T(a_count_that_cannot_be_is_refused),
    };
    RUN(tests);
}
