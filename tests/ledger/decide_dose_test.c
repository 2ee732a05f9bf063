/* A dose made up, against what its lot's strength asks for. 65 % calcium hypochlorite: 50 L at
 * 2000 mg/L of available chlorine take 153.846 g (computed here). */
#include "head.h"

#define DOSE                                                                               \
    "{'kind':'dose','chemical':'CH-1','target':'2000 mg/L','counts':'%s','volume':'50 L'," \
    "%s,'person':7}"

static void powder(void)
{
    house_take(&h,
               "{'kind':'chemical','code':'CH-1','agent':'chlorine','best_before':'%s','form':"
               "'solid','substance':'calcium-hypochlorite','strength':'65 %%','strength_of':"
               "'available-chlorine','person':7}",
               house_time(&h, 90000));
}

static void what_ppm_counts_is_said_and_makes_the_amount(void **state)
{
    powder();
    house_take(&h, DOSE, "available-chlorine", "'weighed':'154 g'");
    assert_string_equal(house_answer(&h, "wanted"), "153.846 g");
    assert_string_equal(house_answer(&h, "strength"), "65 %");
    assert_string_equal(house_answer(&h, "by"), "certificate");
    assert_int_equal(house_deviations(&h), 0);
    house_take(&h, DOSE, "product", "'weighed':'100 g'");
    assert_string_equal(house_answer(&h, "wanted"), "100 g");
    house_refused(&h, FIELD_MISSING,
                  "{'kind':'dose','chemical':'CH-1','target':'2000 mg/L','volume':'50 L',"
                  "'weighed':'154 g','person':7}");
}

static void further_off_than_the_profile_allows(void **state)
{
    powder();
    house_take(&h, DOSE, "available-chlorine", "'weighed':'161.538 g'"); /* 5 %, down */
    assert_int_equal(house_deviations(&h), 0);
    house_take(&h, DOSE, "available-chlorine", "'weighed':'161.539 g'");
    assert_true(house_deviates(&h, "dose-off"));
    assert_true(json_is_false(json_object_get(h.answer, "ok")));
    house_take(&h, DOSE, "available-chlorine", "'weighed':'146.153 g'");
    assert_true(house_deviates(&h, "dose-off"));
    house_rule(&h, DOSE_OFF, "dose-off",
               house_text(&h, DOSE, "available-chlorine", "'weighed':'100 g'"));
}

static void the_newest_titration_counts(void **state)
{
    powder();
    house_take(&h, "{'kind':'titration','chemical':'CH-1','strength':'50 %%','low':'40 %%','high':"
                   "'70 %%','person':7}");
    house_take(&h, DOSE, "available-chlorine", "'weighed':'200 g'");
    assert_string_equal(house_answer(&h, "wanted"), "200 g");
    assert_string_equal(house_answer(&h, "by"), "titration");
}

static void what_the_record_cant_work_out(void **state)
{
    house_refused(&h, CHEMICAL_UNKNOWN, house_text(&h, DOSE, "product", "'weighed':'1 g'"));
    house_take(&h,
               "{'kind':'chemical','code':'CH-1','agent':'chlorine','best_before':'%s',"
               "'person':7}",
               house_time(&h, 90000));
    house_refused(&h, DOSE_STRENGTH, house_text(&h, DOSE, "product", "'weighed':'1 g'"));
    powder();
    house_refused(&h, FIELD_MISSING, house_text(&h, DOSE, "product", "'measured':'1 mL'"));
    house_refused(&h, FIELD_MISSING,
                  house_text(&h, DOSE, "product", "'weighed':'1 g','measured':'1 mL'"));
    house_refused(&h, DOSE_THIN,
                  house_text(&h, DOSE, "product", "'weighed':'1 g','now':'2500 mg/L'"));
    house_refused(&h, FIELD_RANGE, house_text(&h, DOSE, "product", "'weighed':'-1 g'"));
}

static void a_lot_past_its_date(void **state)
{
    powder();
    house_wait(&h, "63 d");
    house_take(&h, DOSE, "product", "'weighed':'100 g'");
    assert_true(house_deviates(&h, "chemical-unfit"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(what_ppm_counts_is_said_and_makes_the_amount),
        T(further_off_than_the_profile_allows),
        T(the_newest_titration_counts),
        T(what_the_record_cant_work_out),
        T(a_lot_past_its_date),
    };
    RUN(tests);
}
