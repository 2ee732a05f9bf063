/* Who may do a step, and where: training, health, work orders. */
#include "head.h"

#include "ledger/fit.h"

static void the_untrained_are_not_asked(void **state)
{
    house_take(&h, "{'kind':'person','number':12,'role':'hygiene'}");
    const char *clean = "{'kind':'clean','place':'PACK','start':'%s','end':'%s','agent':'chlorine',"
                        "'strength':'150 mg/L','contact':'2 min','rinsed':true,'inspected':'pass',"
                        "'person':12}";
    house_wait(&h, "1 h");
    const char *from = house_time(&h, -20), *to = house_time(&h, -5);
    house_rule(&h, TRAINING_MISSING, "untrained", house_text(&h, clean, from, to));
    house_train(&h, 12);
    house_take(&h, clean, from, to);
    assert_int_equal(house_deviations(&h), 0);
    house_wait(&h, "366 d"); /* it is good for a year */
    house_rule(&h, TRAINING_MISSING, "untrained",
               house_text(&h, clean, house_time(&h, -20), house_time(&h, -5)));
}

/* What was true when it happened counts, not what is true when it is told. */
static void training_is_looked_at_when_it_happened(void **state)
{
    const char *name;
    bool valid;
    int64_t now_ms = h.fixed.now_ms;
    assert_ok(training_valid(h.store, h.lg->profile, "clean", 7, now_ms, &name, &valid));
    assert_string_equal(name, "cleaning");
    assert_true(valid);
    assert_ok(training_valid(h.store, h.lg->profile, "clean", 7, now_ms - 60000, &name, &valid));
    assert_false(valid);
    assert_ok(training_valid(h.store, h.lg->profile, "move", 7, now_ms, &name, &valid));
    assert_null(name);
    assert_true(valid);
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'training','about':7,'training':'cleaning','passed':false,'what':'did "
                   "not rinse','person':1}");
    assert_ok(training_valid(h.store, h.lg->profile, "clean", 7, h.fixed.now_ms, &name, &valid));
    assert_false(valid); /* the newest counts */
}

static void who_did_not_pass_the_health_check_stays_away(void **state)
{
    const char *start =
        "{'kind':'run-start','place':'PACK','run':'%s','family':'mung','carry_over':"
        "'0 s','person':5}";
    house_take(&h, "{'kind':'health-check','about':5,'passed':false,'person':7}");
    house_wait(&h, "1 h");
    house_rule(&h, KEPT_FROM_PRODUCT, "kept-from-product", house_text(&h, start, "R-1"));
    house_take(&h, "{'kind':'run-end','run':'R-1','person':5}"); /* no place: not open product */
    house_take(&h, "{'kind':'health-check','about':5,'passed':true,'person':7}");
    house_take(&h, start, "R-2");
    assert_int_equal(house_deviations(&h), 0);
}

static void nothing_starts_at_a_place_under_work(void **state)
{
    const char *start = "{'kind':'run-start','place':'%s','run':'%s','family':'mung','carry_over':"
                        "'0 s','person':5}";
    house_take(&h,
               "{'kind':'work-order','code':'W-1','place':'PACK','what':'new belt','person':10}");
    house_wait(&h, "1 h");
    house_rule(&h, PLACE_UNDER_WORK, "place-under-work", house_text(&h, start, "PACK", "R-1"));
    house_take(&h, start, "WASH", "R-2");
    assert_int_equal(house_deviations(&h), 0);
    house_take(&h, "{'kind':'hand-back','work_order':'W-1','tools_counted':true,'cleaned':true,"
                   "'person':7}");
    house_take(&h, "{'kind':'run-end','run':'R-1','person':5}");
    house_take(&h, start, "PACK", "R-3");
    assert_int_equal(house_deviations(&h), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(the_untrained_are_not_asked),
        T(training_is_looked_at_when_it_happened),
        T(who_did_not_pass_the_health_check_stays_away),
        T(nothing_starts_at_a_place_under_work),
    };
    RUN(tests);
}
