/* What a recorded hall has learnt of its sortings and deliveries. */
#include "hall.h"

#include <math.h>

#include "service/planning_received_luck.h"

static bool is(double x, double wanted)
{
    return x > wanted - 1e-6 && x < wanted + 1e-6;
}

static struct intake_luck luck_of(struct house *h, struct planning_received *c)
{
    struct intake_luck out;
    hall_read(h, c);
    assert_ok(planning_received_luck(h->store, &h->arena, c, &out));
    return out;
}

static int use_at(const struct planning_received *c, const char *name)
{
    for (int u = 0; u < c->problem.use_count; u++) {
        if (strcmp(c->problem.uses[u].code, name) == 0) {
            return u;
        }
    }
    fail_msg("no use %s", name);
    return 0;
}

/* HESPERIDIUM-1 brings 4 t on Mondays, Wednesdays and Fridays. Two weeks from a Monday on: on time
 * in full, on time with 3 t, on Saturday for Friday; in the second week nothing on Wednesday. What
 * comes is sorted on its day, firsts 40 or 50 %. */
static void two_weeks(struct house *h)
{
    static const struct {
        int days;
        const char *mass;
        int percent;
    } came[] = {{0, "4 t", 40}, {2, "3 t", 50}, {3, "2 t", 45}, {2, "4 t", 40}, {4, "4 t", 50}};
    hall_open(h);
    hall_sorts(h);
    for (size_t i = 0; i < sizeof came / sizeof came[0]; i++) {
        if (came[i].days > 0) {
            house_wait(h, arena_printf(&h->arena, "%d d", came[i].days));
        }
        hall_receive(h, "HESPERIDIUM-1", came[i].mass);
        int first = 10 * came[i].percent;
        hall_sort(h, house_answer(h, "lot"), "1000 kg", first, 930 - first, 20, 30);
    }
    house_wait(h, "5 d"); /* the third Wednesday */
}

static void days_of_sorting_teach_its_shares(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    two_weeks(&h);
    struct intake_luck luck = luck_of(&h, &c);
    const struct intake_luck_use *x = &luck.uses[use_at(&c, "sort HESPERIDIUM-1")];
    assert_int_equal(x->days, 5);
    assert_true(x->is_known);
    assert_true(is(x->shares[0], 0.45));
    assert_true(is(x->shares[1], 0.93 - 0.45));
    assert_true(is(x->shares[3], 0.03));
    assert_true(isfinite(x->precision) && x->mean_precision > x->precision);
    /* the plan counts on the record with the profile's as two days more: 44, 31, 18, 5 % */
    const struct intake_part *parts = c.problem.uses[use_at(&c, "sort HESPERIDIUM-1")].parts;
    assert_true(is(parts[0].share, (5 * 0.45 + 2 * 0.44) / 7));
    assert_true(is(parts[1].share, (5 * 0.48 + 2 * 0.31) / 7));
    assert_true(is(c.told[use_at(&c, "sort HESPERIDIUM-1")].parts[0].share, 0.44));
    assert_true(is(c.problem.uses[use_at(&c, "press")].parts[0].share, 0.42));
    assert_false(luck.uses[use_at(&c, "press")].is_known);
    assert_int_equal(luck.uses[use_at(&c, "press")].days, 0);
    house_close(&h);
}

/* Due were six, and the third Monday: it came to nothing, or so one knows on the Thursday after. */
static void deliveries_due_are_told_as_they_came(void **state)
{
    (void)state;
    static const struct intake_came wanted[] = {{1, 0}, {0.75, 0}, {0.5, 1},
                                                {1, 0}, {0, 0},    {1, 0}};
    struct house h;
    struct planning_received c;
    two_weeks(&h);
    struct intake_luck luck = luck_of(&h, &c);
    const struct intake_came_list *came = NULL;
    for (int i = 0; i < c.problem.delivery_count; i++) {
        if (strcmp(c.problem.deliveries[i].key, "HESPERIDIUM-1") == 0) {
            came = &luck.came[i];
        } else if (strcmp(c.problem.deliveries[i].key, "growers") == 0) {
            assert_int_equal(luck.came[i].count, 0); /* none ever came: nothing to learn from */
        }
    }
    assert_non_null(came);
    assert_int_equal(came->count, 7);
    for (int i = 0; i < 6; i++) {
        assert_true(is(came->list[i].share, wanted[i].share));
        assert_int_equal(came->list[i].late_days, wanted[i].late_days);
    }
    assert_true(is(came->list[6].share, 0)); /* the Monday, as Wednesday is the next one's */
    house_close(&h);
}

/* One agreed by itself came a day late and short; one was never heard of again. */
static void deliveries_agreed_are_told_by_themselves(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    hall_open(&h);
    for (int i = 0; i < 2; i++) {
        house_take(&h,
                   "{'kind':'delivery-agree','code':'PERICARP-%d','supplier':'HESPERIDIUM-1',"
                   "'item':'LIME','day':'%s','mass':'2 t'}",
                   7 + i, hall_day(&h, 1));
    }
    house_wait(&h, "2 d");
    house_take(&h, "{'kind':'receive','supplier':'HESPERIDIUM-1','item':'LIME','mass':'1500 kg',"
                   "'instrument':'SCALE','place':'COLD-1','supplier_lot':'L-1',"
                   "'delivery':'PERICARP-7'}");
    house_take(&h,
               "{'kind':'delivery-agree','code':'PERICARP-9','supplier':'HESPERIDIUM-1','item':"
               "'LIME','day':'%s','mass':'2 t'}",
               hall_day(&h, 6));
    house_wait(&h, "1 d");
    struct intake_luck luck = luck_of(&h, &c);
    int last = c.problem.delivery_count - 1;
    assert_string_equal(c.problem.deliveries[last].key, "PERICARP-9");
    assert_int_equal(luck.came[last].count, 1); /* of the other nobody knows yet */
    assert_true(is(luck.came[last].list[0].share, 0.75));
    assert_int_equal(luck.came[last].list[0].late_days, 1);
    assert_false(planning_received_standing(&c, last));
    assert_true(planning_received_standing(&c, 0));
    house_wait(&h, "2 d");
    luck = luck_of(&h, &c);
    last = c.problem.delivery_count - 1;
    assert_int_equal(luck.came[last].count, 2);
    assert_true(is(luck.came[last].list[1].share, 0));
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(days_of_sorting_teach_its_shares),
        cmocka_unit_test(deliveries_due_are_told_as_they_came),
        cmocka_unit_test(deliveries_agreed_are_told_by_themselves),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
