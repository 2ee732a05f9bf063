/* A deviation is closed by two people. */
#include "head.h"

/* A seal check that failed: -> the id of its deviation. */
static int64_t deviation(void)
{
    house_take(&h,
               "{'kind':'seal-check','place':'PACK','ok':false,'what':'open corner','person':5}");
    return house_effect(&h, "deviation", 0, 1);
}

static struct result tell(int64_t id, int person)
{
    return house_send(&h,
                      "{'kind':'corrective-action','deviation':%lld,'cause':'jaw was cold',"
                      "'correction':'heater changed','disposition':'rework','restart':'20 good "
                      "seals','person':%d}",
                      (long long)id, person);
}

static struct result verify(int64_t id, const char *ok, int person)
{
    return house_send(
        &h,
        "{'kind':'verification','deviation':%lld,'ok':%s,'what':'20 seals looked at','person':%d}",
        (long long)id, ok, person);
}

static void it_takes_an_action_and_a_second_person(void **state)
{
    int64_t id = deviation();
    assert_code(verify(id, "true", 2), CORRECTIVE_MISSING);
    assert_ok(tell(id, 2));
    assert_code(verify(id, "true", 2), SECOND_PERSON);
    assert_ok(verify(id, "true", 3));
    assert_true(json_is_true(json_object_get(h.answer, "closed")));
    assert_code(tell(id, 2), DEVIATION_UNKNOWN); /* closed */
    assert_code(verify(id, "true", 3), DEVIATION_UNKNOWN);
}

static void a_verification_that_fails_asks_for_another_action(void **state)
{
    int64_t id = deviation();
    assert_ok(tell(id, 10));
    assert_ok(verify(id, "false", 2));
    assert_true(json_is_false(json_object_get(h.answer, "closed")));
    assert_code(verify(id, "true", 3), CORRECTIVE_MISSING);
    assert_ok(tell(id, 10));
    assert_ok(verify(id, "true", 2));
}

static void a_struck_verification_opens_it_again(void **state)
{
    int64_t id = deviation();
    assert_ok(tell(id, 10));
    assert_ok(verify(id, "true", 2));
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'the wrong one','person':2}",
               (long long)house_number(&h, "entry"));
    assert_ok(verify(id, "true", 3));
}

static void what_is_missing_is_refused(void **state)
{
    int64_t id = deviation();
    assert_code(house_send(&h,
                           "{'kind':'corrective-action','deviation':%lld,'cause':'c',"
                           "'correction':'d','disposition':'hope','person':2}",
                           (long long)id),
                FIELD_CHOICE);
    assert_code(house_send(&h,
                           "{'kind':'corrective-action','deviation':%lld,'correction':'d',"
                           "'disposition':'rework','person':2}",
                           (long long)id),
                FIELD_MISSING);
    assert_code(house_send(&h, "{'kind':'verification','deviation':%lld,'ok':false,'person':2}",
                           (long long)id),
                FIELD_MISSING);
    assert_code(tell(id + 1, 2), DEVIATION_UNKNOWN);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(it_takes_an_action_and_a_second_person),
        T(a_verification_that_fails_asks_for_another_action),
        T(a_struck_verification_opens_it_again),
        T(what_is_missing_is_refused),
    };
    RUN(tests);
}
