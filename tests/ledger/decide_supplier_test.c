#include "head.h"

static const char *receive(void)
{
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'500 kg','place':"
               "'STORE','supplier_lot':'L7','person':6}");
    return house_answer(&h, "lot");
}

static void seed_of_an_approved_supplier_is_free(void **state)
{
    const char *lot = receive();
    assert_int_equal(house_deviations(&h), 0);
    assert_false(house_stops(&h, lot, "use"));
}

static void seed_of_a_suspended_one_is_held_until_a_paper_is_there(void **state)
{
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'supplier-approval','supplier':'RADICLE','state':'suspended','reason':"
                   "'a positive in its seed','person':2}");
    house_wait(&h, "1 h");
    const char *lot = receive();
    assert_true(house_deviates(&h, "supplier-not-approved"));
    const char *hold = house_answer(&h, "hold");
    assert_true(house_held(&h, lot, "supplier"));
    assert_true(house_stops(&h, lot, "use"));
    house_take(&h,
               "{'kind':'attach','name':'analysis.txt','paper_kind':'certificate','lot':'%s',"
               "'bytes_b64':'Z29vZAo=','person':6}",
               lot);
    house_take(&h,
               "{'kind':'lift','hold':'%s','evidence':%lld,'reason':'analysis seen','person':2}",
               hold, (long long)house_number(&h, "entry"));
    assert_false(house_stops(&h, lot, "use"));
}

static void an_approval_ends(void **state)
{
    house_take(&h,
               "{'kind':'supplier-approval','supplier':'RADICLE','state':'approved','until':'%s',"
               "'reason':'on trial','person':2}",
               house_time(&h, 120));
    house_wait(&h, "3 h");
    assert_true(house_held(&h, receive(), "supplier"));
    house_refused(
        &h, FIELD_MISSING,
        "{'kind':'supplier-approval','supplier':'RADICLE','state':'approved','reason':'x',"
        "'person':2}");
    house_refused(&h, PARTNER_UNKNOWN,
                  "{'kind':'supplier-approval','supplier':'COTYLEDON','state':'suspended','reason':"
                  "'x','person':2}");
}

static void a_certificate_has_an_end(void **state)
{
    house_take(&h, "{'kind':'certificate','code':'CERT-1','certificate':'audit of the seed house',"
                   "'supplier':'RADICLE','until':'2026-09-01T00:00:00Z','person':2}");
    assert_string_equal(house_answer(&h, "certificate"), "CERT-1");
    house_refused(&h, FIELD_MISSING,
                  "{'kind':'certificate','code':'C2','certificate':'x','person':2}");
    house_refused(&h, PAPER_UNKNOWN,
                  "{'kind':'certificate','code':'C2','certificate':'x','until':"
                  "'2026-09-01T00:00:00Z','paper':"
                  "'00000000000000000000000000000000000000000000000000000000000000ff','person':2}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(seed_of_an_approved_supplier_is_free),
        T(seed_of_a_suspended_one_is_held_until_a_paper_is_there),
        T(an_approval_ends),
        T(a_certificate_has_an_end),
    };
    RUN(tests);
}
