/* What closed days do to the plan of a hall, and what is said of them. */
#include "hall.h"

#include "ledger/closing.h"
#include "service/planning_received_inner.h"

static void machines_rest_on_closed_days(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct intake_outcome x;
    hall_open(&h);
    int32_t first = (int32_t)(h.fixed.now_ms / HALL_DAY_MS);
    struct closing rows[] = {{first + 1, first + 1, 127, CLOSES_HARVEST, "inventory"},
                             {first + 2, first + 2, 127, CLOSES_PACK, "inventory"},
                             {first + 3, first + 3, 127,
                              CLOSES_SOAK | CLOSES_HARVEST | CLOSES_PACK | CLOSES_DISPATCH,
                              "feast"},
                             {first + 4, first + 4, 127, CLOSES_SOAK, "no seed"}};
    struct profile with = *h.lg->profile;
    with.planning.closings = rows;
    with.planning.closing_count = sizeof rows / sizeof rows[0];
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    hall_order(&h, "A", "LIME-BOX", 3, 200);
    assert_ok(planning_received_read(h.store, &with, h.fixed.now_ms, &h.arena, &c));
    for (int m = 0; m < c.problem.machine_count; m++) {
        bool packs = strcmp(c.problem.machines[m].code, "packing") == 0;
        const double *hours = c.problem.machines[m].hours;
        assert_true(hours[0] > 0 && hours[4] > 0);
        assert_true((hours[1] > 0) == packs);
        assert_true((hours[2] > 0) == !packs);
        assert_true(hours[3] <= 0);
    }
    /* wanted on the closed day: it leaves the day before, for which nothing is packed then */
    assert_int_equal(c.problem.lines[0].day, 2);
    assert_ok(planning_received_make(&h.arena, &c, 0, NULL, &x));
    assert_int_equal(x.met_pieces[0], 200);
    json_t *list = planning_received_closed(&c, &h.arena, "en");
    assert_int_equal(json_array_size(list), 3);
    const json_t *o = json_array_get(list, 2);
    assert_string_equal(json_string_value(json_object_get(o, "day")), hall_day(&h, 3));
    assert_int_equal(json_array_size(json_object_get(o, "what")), 3);
    assert_non_null(strstr(json_string_value(json_object_get(o, "sentence")),
                           "closed for work on fruit, packing, dispatch (feast)"));
    json_decref(list);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(machines_rest_on_closed_days),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
