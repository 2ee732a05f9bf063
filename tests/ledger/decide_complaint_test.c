#include "head.h"

static const char *packed;

static int open_packed(void **state)
{
    house_open(&h);
    packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    return 0;
}

static int64_t complain(const char *kind)
{
    return house_take(&h,
                      "{'kind':'complaint','lot':'%s','complaint':'%s','what':'sour smell',"
                      "'customer':'COTYLEDON','pieces':2,'person':8}",
                      packed, kind);
}

static void the_third_alike_asks_quality(void **state)
{
    assert_int_equal(house_in_entry(&h, complain("spoiled"), "complaints-alike"), 0);
    assert_int_equal(house_in_entry(&h, complain("label"), "complaints-alike"), 0);
    assert_int_equal(house_in_entry(&h, complain("spoiled"), "complaints-alike"), 0);
    int64_t third = complain("spoiled");
    assert_int_equal(house_in_entry(&h, third, "complaints-alike"), 1);
    assert_int_equal(house_number(&h, "alike_lot"), 3);
    assert_int_equal(house_in_entry(&h, complain("spoiled"), "complaints-alike"), 0);
}

static void illness_asks_at_once(void **state)
{
    assert_int_equal(house_in_entry(&h, complain("illness"), "complaint-illness"), 1);
}

static void a_case_leads_to_its_lot(void **state)
{
    house_take(&h,
               "{'kind':'complaint','unit':'%s','complaint':'packaging','what':'torn','person':8}",
               house_case(&h, packed, 7).code);
    assert_string_equal(house_answer(&h, "lot"), packed);
    house_refused(
        &h, UNIT_UNKNOWN,
        "{'kind':'complaint','unit':'X-1','complaint':'packaging','what':'t','person':8}");
    house_refused(&h, PARTNER_UNKNOWN,
                  house_text(&h,
                             "{'kind':'complaint','lot':'%s','complaint':'packaging','what':'t',"
                             "'customer':'RADICLE','person':8}",
                             packed));
    house_refused(
        &h, FIELD_CHOICE,
        house_text(&h, "{'kind':'complaint','lot':'%s','complaint':'noise','what':'t','person':8}",
                   packed));
}

#define P(function) cmocka_unit_test_setup_teardown(function, open_packed, head_close)

int main(void)
{
    const struct CMUnitTest tests[] = {
        P(the_third_alike_asks_quality),
        P(illness_asks_at_once),
        P(a_case_leads_to_its_lot),
    };
    RUN(tests);
}
