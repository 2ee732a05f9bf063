/* The schedule: when a duty is due, what fulfils it, and what it stops. */
#include "head.h"

#include "ledger/duty.h"

#define HOUR_MS INT64_C(3600000)

static struct duty the_duty(const char *code)
{
    struct duty *list;
    size_t count;
    assert_ok(duties_at(h.store, &h.arena, h.fixed.now_ms, &list, &count));
    for (size_t i = 0; i < count; i++) {
        if (strcmp(list[i].code, code) == 0) {
            return list[i];
        }
    }
    fail_msg("no duty %s", code);
    return list[0];
}

/* A tenth past its interval it is late, half past it is overdue: common practice in master cleaning
 * schedules. */
static void a_duty_gets_later_by_its_interval(void **state)
{
    assert_int_equal(duty_state_at(1000, 100, 1000), DUTY_DONE);
    assert_int_equal(duty_state_at(1000, 100, 1001), DUTY_DUE);
    assert_int_equal(duty_state_at(1000, 100, 1010), DUTY_DUE);
    assert_int_equal(duty_state_at(1000, 100, 1011), DUTY_LATE);
    assert_int_equal(duty_state_at(1000, 100, 1050), DUTY_LATE);
    assert_int_equal(duty_state_at(1000, 100, 1051), DUTY_OVERDUE);
    assert_string_equal(duty_state_text(DUTY_OVERDUE), "overdue");
}

static void a_duty_is_told_done(void **state)
{
    house_take(&h,
               "{'kind':'duty','code':'PEST-1','title':'Walk round the traps','duty_kind':'pest',"
               "'every':'7 d','role':'hygiene','source':'house plan','person':7}");
    house_wait(&h, "1 h");
    assert_int_equal(the_duty("PEST-1").state, DUTY_DUE); /* never done: due since it is listed */
    house_take(&h, "{'kind':'duty-done','duty':'PEST-1','ok':true,'person':7}");
    int64_t done_ms = h.fixed.now_ms;
    struct duty d = the_duty("PEST-1");
    assert_int_equal(d.state, DUTY_DONE);
    assert_int_equal(d.last_ms, done_ms);
    assert_int_equal(d.due_ms, done_ms + 7 * 24 * HOUR_MS);
    house_wait(&h, "8 d");
    assert_int_equal(the_duty("PEST-1").state, DUTY_LATE);
    house_wait(&h, "3 d");
    assert_int_equal(the_duty("PEST-1").state, DUTY_OVERDUE);
    int64_t entry = house_take(&h, "{'kind':'duty-done','duty':'PEST-1','ok':true,'person':7}");
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'the wrong hall','person':7}",
               (long long)entry);
    assert_int_equal(the_duty("PEST-1").state, DUTY_OVERDUE); /* struck, it was not done */
}

static void a_duty_not_passed_is_a_deviation_and_stays_due(void **state)
{
    house_take(&h,
               "{'kind':'duty','code':'GLASS','title':'Walk round the glass','duty_kind':'glass',"
               "'every':'1 d','role':'hygiene','source':'house plan','person':7}");
    house_wait(&h, "1 h");
    house_refused(&h, FIELD_MISSING, "{'kind':'duty-done','duty':'GLASS','ok':false,'person':7}");
    house_take(&h, "{'kind':'duty-done','duty':'GLASS','ok':false,'what':'lamp 3 is cracked',"
                   "'person':7}");
    assert_true(house_deviates(&h, "duty-failed"));
    assert_int_equal(the_duty("GLASS").last_ms, 0);
}

static void a_clean_fulfils_the_duty_of_its_place(void **state)
{
    house_take(&h,
               "{'kind':'duty','code':'CL-PACK','title':'Clean the pack line','duty_kind':'clean',"
               "'by':'clean','place':'PACK','every':'1 d','role':'hygiene','source':'house plan',"
               "'person':7}");
    house_take(&h,
               "{'kind':'duty','code':'CL-WASH','title':'Clean the wash line','duty_kind':'clean',"
               "'by':'clean','place':'WASH','every':'1 d','role':'hygiene','source':'house plan',"
               "'person':7}");
    house_wait(&h, "2 h");
    house_clean(&h, "PACK", 5);
    assert_int_equal(the_duty("CL-PACK").state, DUTY_DONE);
    assert_int_equal(the_duty("CL-WASH").last_ms, 0);
    house_refused(&h, DUTY_BY_RECORD, "{'kind':'duty-done','duty':'CL-WASH','ok':true,'person':7}");
}

static void a_check_a_swab_and_a_calibration_fulfil_theirs(void **state)
{
    const char *format = "{'kind':'duty','code':'%s','title':'x','duty_kind':'check','by':'%s',%s,"
                         "'every':'1 d','role':'quality','source':'house plan','person':2}";
    house_take(&h, format, "D1", "check", "'place':'COLD','check':'cold-check'");
    house_take(&h, format, "D2", "calibrate", "'instrument':'SCALE'");
    house_take(&h, format, "D3", "instrument-check", "'instrument':'PROBE-1'");
    house_take(&h, format, "D4", "swab", "'site':'SW-1'");
    house_take(&h,
               "{'kind':'site','code':'SW-1','place':'PACK','zone':1,'surface':'belt','person':7}");
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'cold-check','place':'COLD','temp':'3 C','person':2}");
    house_take(&h, "{'kind':'calibrate','instrument':'SCALE','as_found_error':'0','uncertainty':"
                   "50000,'due':'2027-03-01T00:00:00Z','ok':true,'person':2}");
    house_take(&h, "{'kind':'instrument-check','instrument':'PROBE-1','reference':'0 C','shown':"
                   "'0.1 C','person':5}");
    assert_int_equal(the_duty("D4").last_ms, 0);
    house_take(&h, "{'kind':'sample','what':'swab','place':'PACK','location':'SW-1','person':7}");
    static const char *const codes[] = {"D1", "D2", "D3", "D4"};
    for (size_t i = 0; i < 4; i++) {
        assert_int_equal(the_duty(codes[i]).last_ms, h.fixed.now_ms);
    }
}

/* A contact surface that is long overdue stops what starts there, and nothing elsewhere. */
static void an_overdue_duty_blocks_its_place(void **state)
{
    house_take(&h, "{'kind':'duty','code':'DEEP','title':'Deep clean','duty_kind':'clean','place':"
                   "'PACK','every':'1 d','role':'hygiene','blocks':true,'source':'house plan',"
                   "'person':7}");
    const char *start = "{'kind':'run-start','place':'%s','run':'%s','family':'mung','carry_over':"
                        "'0 s','person':5}";
    house_wait(&h, "10 h");
    house_take(&h, start, "PACK", "R-1");
    assert_int_equal(house_deviations(&h), 0);
    house_take(&h, "{'kind':'run-end','run':'R-1','person':5}");
    house_wait(&h, "5 h");
    house_rule(&h, DUTY_OVERDUE_BLOCKS, "duty-overdue", house_text(&h, start, "PACK", "R-2"));
    house_take(&h, start, "WASH", "R-3");
    assert_int_equal(house_deviations(&h), 0);
}

static void a_bad_duty_is_refused(void **state)
{
    const char *format = "{'kind':'duty','code':'%s','title':'x','duty_kind':'%s','by':'%s',"
                         "'every':'%s','role':'%s','source':'s','person':7%s}";
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, format, "a b", "pest", "told", "7 d", "line", ""));
    house_refused(&h, FIELD_CHOICE, house_text(&h, format, "A", "nap", "told", "7 d", "line", ""));
    house_refused(&h, FIELD_CHOICE, house_text(&h, format, "A", "pest", "luck", "7 d", "line", ""));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, format, "A", "pest", "told", "59 min", "line", ""));
    house_refused(&h, FIELD_CHOICE, house_text(&h, format, "A", "pest", "told", "7 d", "owl", ""));
    house_refused(&h, FIELD_MISSING,
                  house_text(&h, format, "A", "clean", "clean", "7 d", "line", ""));
    house_refused(&h, FIELD_MISSING,
                  house_text(&h, format, "A", "pest", "told", "7 d", "line", ",'blocks':true"));
    house_refused(&h, INSTRUMENT_UNKNOWN,
                  house_text(&h, format, "A", "calibrate", "calibrate", "7 d", "line",
                             ",'instrument':'NONE'"));
    house_refused(&h, FIELD_UNKNOWN,
                  house_text(&h, format, "A", "pest", "told", "7 d", "line", ",'site':'S'"));
    house_refused(&h, DUTY_UNKNOWN, "{'kind':'duty-done','duty':'NONE','ok':true,'person':7}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_duty_gets_later_by_its_interval),
        T(a_duty_is_told_done),
        T(a_duty_not_passed_is_a_deviation_and_stays_due),
        T(a_clean_fulfils_the_duty_of_its_place),
        T(a_check_a_swab_and_a_calibration_fulfil_theirs),
        T(an_overdue_duty_blocks_its_place),
        T(a_bad_duty_is_refused),
    };
    RUN(tests);
}
