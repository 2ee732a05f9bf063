/* Logs of treatments as they arrive. */
#include "stock.h"

static struct house h;
static const char *seed, *start;

static int set_up(void **state)
{
    house_open(&h);
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'100 kg','place':"
               "'STORE'}");
    seed = house_answer(&h, "lot");
    start = house_time(&h, 0);
    house_wait(&h, "5 min");
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static const char *treat_text(const char *log)
{
    return house_text(&h,
                      "{'kind':'heat-treat','inputs':[{'lot':'%s','mass':'1 kg'}],'place':'TREAT',"
                      "'recipe':'hot-water-85','start':'%s','cool_start':'%s'%s%s}",
                      seed, start, house_time(&h, -4), log[0] != '\0' ? "," : "", log);
}

/* 86 C every two seconds for a minute, by two probes of which one is a degree colder; what stands
 * at "lost" seconds is missing on one of them. */
static const char *two_probes(int colder_mc, int lost_s)
{
    const char *points = house_text(&h, "[0,86000,%d]", colder_mc);
    for (int s = 2; s <= 60; s += 2) {
        points = s == lost_s ? house_text(&h, "%s,[%d000,null,%d]", points, s, colder_mc)
                             : house_text(&h, "%s,[%d000,86000,%d]", points, s, colder_mc);
    }
    return house_text(&h, "'log':{'probes':['PROBE-1','PROBE-2'],'points':[%s]}", points);
}

static void every_probe_counts(void **state)
{
    house_take(&h, "%s", treat_text(two_probes(85500, 0)));
    assert_int_equal(house_number(&h, "treatment.points"), 31);
    assert_int_equal(house_number(&h, "treatment.hold_s"), 60);
    assert_int_equal(house_number(&h, "treatment.coldest_peak_mc"), 85400); /* less its 0.1 C */
    assert_string_equal(house_answer(&h, "reason"), "no-validation");
    house_take(&h, "%s", treat_text(two_probes(85099, 0))); /* 84.999 C to be sure of */
    assert_int_equal(house_number(&h, "treatment.hold_s"), 0);
}

/* The recipe's log has a reading every two seconds: a lost one breaks the hold. */
static void a_lost_reading_is_a_gap(void **state)
{
    house_take(&h, "%s", treat_text(two_probes(85500, 30)));
    assert_int_equal(house_number(&h, "treatment.points"), 30);
    assert_int_equal(house_number(&h, "treatment.gaps"), 1);
    assert_int_equal(house_number(&h, "treatment.hold_s"), 28);
    assert_string_equal(house_answer(&h, "reason"), "too-short");
}

static void a_probe_past_its_calibration_meets_nothing(void **state)
{
    house_take(&h,
               "{'kind':'instrument','code':'PROBE-2','instrument_kind':'thermometer','division':"
               "10,'uncertainty':100,'due':'2026-03-02T00:00:00Z'}");
    house_rule(&h, INSTRUMENT_OVERDUE, "calibration-overdue", treat_text(two_probes(85500, 0)));
}

static void logs_that_cannot_be_read(void **state)
{
    static const struct {
        enum code code;
        const char *log;
    } bad[] = {
        {CODE_FIELD_MISSING, ""},
        {CODE_FIELD_MISSING, "'log':{'points':[[0,86000]]}"},
        {CODE_FIELD_RANGE, "'log':{'probes':[],'points':[[0,86000]]}"},
        {CODE_INSTRUMENT_UNKNOWN, "'log':{'probes':['NONE'],'points':[[0,86000]]}"},
        {CODE_FIELD_TYPE, "'log':{'probes':['PROBE-1'],'points':[[0,86000,85000]]}"},
        {CODE_FIELD_TYPE, "'log':{'probes':['PROBE-1'],'points':[[0]]}"},
        {CODE_FIELD_TYPE, "'log':{'probes':['PROBE-1'],'points':[['0',86000]]}"},
        {CODE_FIELD_TYPE, "'log':{'probes':['PROBE-1'],'points':[[0,'86 C']]}"},
        {CODE_FIELD_RANGE, "'log':{'probes':['PROBE-1'],'points':[[0,300001]]}"},
        {CODE_FIELD_RANGE, "'log':{'probes':['PROBE-1'],'points':[[0,-60001]]}"},
        {CODE_LOG_BACKWARDS, "'log':{'probes':['PROBE-1'],'points':[[2000,86000],[0,86000]]}"},
        {CODE_LOG_MISSING, "'probes':['PROBE-1'],'series':{'name':'BATH','from':"
                           "'2026-03-02T04:00:00Z','to':'2026-03-02T04:01:00Z'}"},
        {CODE_TIME_BAD, "'probes':['PROBE-1'],'series':{'name':'BATH','from':'now','to':'later'}"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        house_refused_at(&h, bad[i].code, treat_text(bad[i].log), __FILE__, (int)i);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(every_probe_counts),
        T(a_lost_reading_is_a_gap),
        T(a_probe_past_its_calibration_meets_nothing),
        T(logs_that_cannot_be_read),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
