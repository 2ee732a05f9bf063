#include "head.h"

static void a_training_is_good_for_as_long_as_the_profile_says(void **state)
{
    house_take(&h, "{'kind':'training','about':5,'training':'sampling','passed':true,'person':1}");
    assert_int_equal(house_number(&h, "until_ms"), h.fixed.now_ms + INT64_C(365) * 86400000);
    house_take(&h,
               "{'kind':'training','about':5,'training':'sampling','passed':true,'until':'%s',"
               "'person':1}",
               house_time(&h, 600));
    assert_int_equal(house_number(&h, "until_ms"), h.fixed.now_ms + INT64_C(600) * 60000);
    house_take(&h, "{'kind':'training','about':5,'training':'sampling','passed':true,'until':"
                   "'2099-01-01T00:00:00Z','person':1}");
    assert_int_equal(house_number(&h, "until_ms"), h.fixed.now_ms + INT64_C(365) * 86400000);
}

static void nobody_trains_themselves(void **state)
{
    house_refused(&h, SECOND_PERSON,
                  "{'kind':'training','about':1,'training':'sampling','passed':true,'person':1}");
    house_refused(&h, TRAINING_UNKNOWN,
                  "{'kind':'training','about':5,'training':'juggling','passed':true,'person':1}");
    house_refused(&h, PERSON_UNKNOWN,
                  "{'kind':'training','about':99,'training':'sampling','passed':true,'person':1}");
    house_refused(&h, FIELD_RANGE,
                  "{'kind':'training','about':5,'training':'sampling','passed':true,'until':"
                  "'2020-01-01T00:00:00Z','person':1}");
    house_refused(&h, ROLE_MISSING,
                  "{'kind':'training','about':5,'training':'sampling','passed':true,'person':4}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_training_is_good_for_as_long_as_the_profile_says),
        T(nobody_trains_themselves),
    };
    RUN(tests);
}
