/* Constants that a process authority signed, and what a treatment by them must reach. */
#include "stock.h"

#include "base/digest.h"

static struct house h;
static const char *seed, *report;

static int set_up(void **state)
{
    house_open(&h);
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'100 kg','place':"
               "'STORE'}");
    seed = house_answer(&h, "lot");
    const char *paper = "%PDF-1.4 signed: 80 C, z 10 C, D 60 s";
    house_take(&h, "{'kind':'attach','name':'s.pdf','paper_kind':'validation','bytes_b64':'%s'}",
               base64_text(&h.arena, paper, strlen(paper)));
    report = house_answer(&h, "sha256");
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static const char *item = "MUNGSEED";

static const char *constants_text(const char *z, const char *d, const char *target)
{
    return house_text(
        &h,
        "{'kind':'heat-constants','person':2,'item':'%s','authority':'Cotyledon "
        "4','reference_temp':'80 C','z':'%s','d':'%s','limit':'80 C','tested_max':'90 "
        "C','target_milli':%s,'report':'%s'}",
        item, z, d, target, report);
}

/* A minute at 86 C by a probe known to 0.1 C. */
static void treat(void)
{
    const char *points = "[0,86000]", *start = house_time(&h, 0);
    for (int s = 2; s <= 60; s += 2) {
        points = house_text(&h, "%s,[%d000,86000]", points, s);
    }
    house_wait(&h, "2 min");
    house_take(
        &h,
        "{'kind':'heat-treat','way':'constants','inputs':[{'lot':'%s','mass':'10 kg'}],"
        "'place':'TREAT','start':'%s','end':'%s','log':{'probes':['PROBE-1'],'points':[%s]}}",
        seed, start, house_time(&h, -1), points);
}

/* 60 s at 85.9 C with z 10 C and reference 80 C: 60 * 10^0.59 = 233.427 s, by D 60 s 3.89045
 * decimal reductions (computed here), rounded down to the thousandth. */
static void the_target_is_reached_or_not(void **state)
{
    house_take(&h, "%s", constants_text("10 C", "60 s", "3890"));
    int64_t entry = house_number(&h, "entry");
    treat();
    assert_int_equal(house_number(&h, "treatment.reduction_conservative_milli"), 3890);
    assert_int_equal(house_number(&h, "treatment.constants_entry"), entry);
    assert_true(json_is_true(json_object_get(h.answer, "met")));
    assert_int_equal(house_deviations(&h), 0);
    house_take(&h, "%s", constants_text("10 C", "60 s", "3891"));
    treat();
    assert_true(json_is_false(json_object_get(h.answer, "met")));
    assert_string_equal(house_answer(&h, "reason"), "reduction-short");
    assert_true(house_deviates(&h, "treatment-not-met"));
}

/* Published stand-ins are shown and decide nothing. */
static void without_signed_constants_nothing_is_met(void **state)
{
    treat();
    assert_true(json_is_false(json_object_get(h.answer, "met")));
    assert_string_equal(house_answer(&h, "reason"), "constants-not-signed");
    assert_true(json_is_true(
        json_object_get(json_object_get(h.answer, "treatment"), "lethality_stand_in")));
}

static void what_cannot_be_taken_in(void **state)
{
    house_refused(&h, FIELD_RANGE, constants_text("0 C", "60 s", "5000"));
    house_refused(&h, FIELD_RANGE, constants_text("10 C", "0 s", "5000"));
    house_refused(&h, FIELD_RANGE, constants_text("10 C", "60 s", "0"));
    house_refused(&h, FIELD_RANGE, constants_text("10 C", "60 s", "12001"));
    house_refused(&h, UNIT_BAD, constants_text("10 K", "60 s", "5000"));
    item = "PEASEED";
    house_refused(&h, ITEM_UNKNOWN, constants_text("10 C", "60 s", "5000"));
    item = "MUNGSEED";
    report = "0000000000000000000000000000000000000000000000000000000000000000";
    house_refused(&h, PAPER_UNKNOWN, constants_text("10 C", "60 s", "5000"));
    house_refused(&h, FIELD_MISSING, "{'kind':'heat-constants','item':'MUNGSEED'}");
    assert_code(house_send(&h, "{'kind':'heat-constants','person':4,'item':'MUNGSEED'}"),
                ROLE_MISSING);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(the_target_is_reached_or_not),
        T(without_signed_constants_nothing_is_met),
        T(what_cannot_be_taken_in),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
