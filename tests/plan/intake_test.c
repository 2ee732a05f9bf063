#include "intake_support.h"
#include "support.h"

/* Each change makes one member wrong; the field told is that one's. */
static void each_wrong_member_is_named(void **state)
{
    (void)state;
    struct hall good;
    hall_init(&good, 1);
    assert_int_equal(intake_check(&good.p).code, CODE_OK);
#define WRONG(change, wanted)                      \
    do {                                           \
        static struct hall h;                      \
        hall_init(&h, 1);                          \
        change;                                    \
        struct result r = intake_check(&h.p);      \
        assert_int_equal(r.code, CODE_PLAN_FIELD); \
        assert_string_equal(r.field, wanted);      \
    } while (0)
    WRONG(h.p.day_count = 0, "day_count");
    WRONG(h.p.day_count = 61, "day_count");
    WRONG(h.p.machine_count = 60, "goods");
    WRONG(h.limits[1][3] = -1, "stores[1].limit");
    WRONG(h.limits[1][3] = NAN, "stores[1].limit");
    WRONG(h.stores[1].tank_size = -1, "stores[1].tank_size");
    WRONG(h.hours[2][0] = NAN, "machines[2].hours");
    WRONG(h.goods[2].store = 3, "goods[2].store");
    WRONG(h.goods[2].room_per_kg = 0, "goods[2].room_per_kg");
    WRONG(h.goods[0].keep_days = 1001, "goods[0].keep_days");
    WRONG(h.goods[0].hold_cost_per_kg_day = -1, "goods[0].hold_cost_per_kg_day");
    WRONG(h.goods[0].out_cost_per_kg = INFINITY, "goods[0].hold_cost_per_kg_day");
    WRONG(h.goods[0].end_kg_wanted = -1, "goods[0].end_kg_wanted");
    WRONG(h.uses[4].good = HALL_GOODS, "uses[4].good");
    WRONG(h.uses[4].added_per_kg = -1, "uses[4].added_per_kg");
    WRONG(h.uses[4].part_count = 0, "uses[4].parts");
    WRONG(h.parts[4][0].good = -1, "uses[4].parts");
    WRONG(h.parts[4][0].share = 0, "uses[4].parts");
    /* more than is taken in: shares of a split add up to 1 at most */
    WRONG(h.parts[0][0].share += 0.2, "uses[0].parts");
    WRONG(h.needs[4][0].machine = 6, "uses[4].needs");
    /* concentrate that could be made from powder */
    WRONG(h.uses[4].good = HALL_POWDER; h.parts[4][0].good = HALL_JUICE, "uses[4].good");
    WRONG(h.lots[1].good = -1, "lots[1].good");
    WRONG(h.lots[1].born_day = 1, "lots[1].born_day");
    WRONG(h.lots[1].kg = -1, "lots[1].kg");
    WRONG(h.deliveries[1].good = -1, "deliveries[1].good");
    WRONG(h.deliveries[1].day = HALL_DAYS, "deliveries[1].day");
    WRONG(h.deliveries[1].kg = NAN, "deliveries[1].kg");
    WRONG(h.deliveries[1].turn_cost_per_kg = NAN, "deliveries[1].turn_cost_per_kg");
    WRONG(h.offers[1].good = -1, "offers[1].good");
    WRONG(h.offers[1].lead_days = -1, "offers[1].lead_days");
    WRONG(h.offers[1].kg_a_day = INFINITY, "offers[1].kg_a_day");
    WRONG(h.offers[1].kg_in_all = NAN, "offers[1].kg_in_all");
    WRONG(h.offers[1].price_per_kg = NAN, "offers[1].price_per_kg");
    WRONG(h.products[2].good = HALL_GOODS, "products[2].good");
    WRONG(h.products[2].net_kg = 0, "products[2].net_kg");
    WRONG(h.groups[1].remaining_days = -1, "groups[1].remaining_days");
    WRONG(h.groups[1].late_days = 1, "groups[1].late_days");
    WRONG(h.lines[3].product = 5, "lines[3].product");
    WRONG(h.lines[3].group = 2, "lines[3].group");
    WRONG(h.lines[3].day = -1, "lines[3].day");
    WRONG(h.lines[3].pieces = -1, "lines[3].pieces");
    WRONG(h.lines[3].shortage_cost_per_kg = -1, "lines[3].shortage_cost_per_kg");
#undef WRONG
}

static void a_line_weighs_its_pieces(void **state)
{
    (void)state;
    struct hall h;
    hall_init(&h, 1);
    struct plan_line line = {.product = 2, .pieces = 10};
    assert_close(intake_line_kg(&h.p, &line), 5.15, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_wrong_member_is_named),
        cmocka_unit_test(a_line_weighs_its_pieces),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
