/* The credit of contact by the record: readings told one by one, against the published table. */
#include "water.h"

/* A tank in which contact lasts just as long as the cell of the table wants of that residual:
 * three decimals, not one thousandth more or less. EPA 815-R-20-003, Table B-1, as transcribed in a
 * published profile (published (seen)); the table itself: tests/published/water_chlorine.case. */
static void the_tables_cells_come_out_of_the_record(void **state)
{
    static const struct {
        const char *chlorine, *ph, *temp;
        int64_t ct;
    } cells[] = {{"2.2", "7", "5", 169},   {"3", "6", "10", 95},   {"2.4", "7.5", "15", 105},
                 {"2.6", "6.5", "20", 55}, {"3", "7.5", "25", 55}, {"2", "7.5", "0.5", 286}};
    house_take(&h, "{'kind':'water-loop','place':'WASH','rule':'recycled','volume':'5000 L',"
                   "'person':2}");
    for (size_t i = 0; i < sizeof cells / sizeof cells[0]; i++) {
        house_take(&h,
                   "{'kind':'water-segment','code':'T-1','place':'WASH','volume':'%lld L','flow':"
                   "'%s L/min','baffling':'1','person':2}",
                   (long long)cells[i].ct, cells[i].chlorine);
        water_is_read(cells[i].chlorine, cells[i].ph, cells[i].temp);
        struct water_credit c = water_credit_now("WASH");
        assert_true(c.asked && c.known && !c.low);
        assert_int_equal(c.worth.giardia_milli, 3000);
        assert_int_equal(c.worth.ct_milli, cells[i].ct * 1000);
        house_wait(&h, "1 d");
    }
}

/* 2.2 mg/L at pH 7.2 counts as 7.5, 8.9 C as 5 C: 204; CT 66; 3 x 66 / 204 = 0.970 (computed here).
 * Then a lower residual, a higher pH and a colder water at three other times of the day count
 * together: 2.1 mg/L, row 2.2, pH 7.5, 0.5 C: 297; CT 63: 0.636. */
static void the_worst_of_the_day_counts_together(void **state)
{
    water_goes_round();
    water_is_read("2.2", "7.2", "8.9");
    assert_int_equal(water_credit_now("WASH").worth.giardia_milli, 970);
    house_wait(&h, "1 h");
    water_is_read("2.1", "6.5", "20");
    house_wait(&h, "1 h");
    water_is_read("5", "7.5", "20");
    house_wait(&h, "1 h");
    water_is_read("5", "6.5", "4.9");
    struct water_credit c = water_credit_now("WASH");
    assert_int_equal(c.worst[METER_CHLORINE], 2100);
    assert_int_equal(c.worst[METER_PH], 7500);
    assert_int_equal(c.worst[METER_TEMP], 4900);
    assert_int_equal(c.worth.giardia_milli, 636);
    assert_int_equal(c.tank_count, 1);
    assert_int_equal(c.tanks[0].worth.giardia_milli, 636);
    house_wait(&h, "1 d"); /* another house day */
    c = water_credit_now("WASH");
    assert_true(c.asked && !c.known && !c.low);
}

static void a_faster_flow_counts_and_a_slower_one_does_not(void **state)
{
    water_goes_round();
    water_is_read("2.2", "7.2", "8.9");
    house_take(&h, "{'kind':'water-reading','place':'WASH','flow':'40 L/min','person':5}");
    assert_int_equal(water_credit_now("WASH").worth.giardia_milli, 970);
    house_take(&h, "{'kind':'water-reading','place':'WASH','flow':'60 L/min','person':5}");
    struct water_credit c = water_credit_now("WASH");
    assert_int_equal(c.tanks[0].tank.flow_ml_min, 60000);
    assert_int_equal(c.worth.giardia_milli, 808); /* 970.6 x 50 / 60 */
}

static void what_was_not_read_is_not_known(void **state)
{
    assert_false(water_credit_now("WASH").asked);
    water_goes_round();
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'9 mg/L','ph':'7','person':"
                   "5}");
    struct water_credit c = water_credit_now("WASH");
    assert_true(c.asked && !c.known && !c.low && !c.has[METER_TEMP]);
    house_take(&h, "{'kind':'water-reading','place':'WASH','temp':'10 C','person':5}");
    assert_true(water_credit_now("WASH").known);
    house_take(&h, "{'kind':'water-segment','code':'T-1','place':'WASH','volume':'5000 L','flow':"
                   "'50 L/min','baffling':'0.3','active':false,'person':2}");
    assert_false(water_credit_now("WASH").known); /* no tank */
}

/* An instrument past its calibration makes nothing known. */
static void an_untrusted_reading_makes_nothing_known(void **state)
{
    house_take(&h, "{'kind':'instrument','code':'CL-OLD','instrument_kind':'chlorine-meter',"
                   "'division':100,'uncertainty':100,'due':'2026-03-01T05:00:00Z'}");
    water_goes_round();
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'9 mg/L','ph':'7','temp':"
                   "'10 C','instrument':'CL-OLD','person':5}");
    struct water_credit c = water_credit_now("WASH");
    assert_true(!c.known && !c.low && c.has[METER_CHLORINE]);
}

static void two_tanks_add_up(void **state)
{
    water_goes_round();
    house_take(&h, "{'kind':'water-segment','code':'T-2','place':'WASH','volume':'2500 L','flow':"
                   "'50 L/min','baffling':'0.3','person':2}");
    water_is_read("2.2", "7.2", "8.9");
    struct water_credit c = water_credit_now("WASH");
    assert_int_equal(c.tank_count, 2);
    assert_int_equal(c.tanks[1].worth.giardia_milli, 485);
    assert_int_equal(c.worth.giardia_milli, 1455); /* 970.6 + 485.3, down */
    assert_string_equal(water_credit_text(&h.arena, &c),
                        "Giardia 1.455 (0.5), virus 49.5 (2)"); /* 8 for 4: (66 + 33) x 4 / 8 */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(the_tables_cells_come_out_of_the_record),        T(the_worst_of_the_day_counts_together),
        T(a_faster_flow_counts_and_a_slower_one_does_not), T(what_was_not_read_is_not_known),
        T(an_untrusted_reading_makes_nothing_known),       T(two_tanks_add_up),
    };
    RUN(tests);
}
