/* What a plan of a hall does, flow by flow: kilograms that add up. */
#include "hall.h"

#include "service/planning_received_inner.h"

static int64_t sum(const json_t *flows, const char *act, const char *good)
{
    int64_t g = 0;
    size_t i;
    json_t *o;
    json_array_foreach(flows, i, o)
    {
        if (strcmp(json_string_value(json_object_get(o, "act")), act) == 0 &&
            strcmp(json_string_value(json_object_get(o, "good")), good) == 0) {
            g += json_integer_value(json_object_get(o, "g"));
        }
    }
    return g;
}

/* Of each good what stands, comes and is made is what is used, shipped, let go, or left over. */
static void every_kilogram_is_told(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct intake_outcome x;
    hall_open(&h);
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    hall_order(&h, "A", "LIME-BOX", 1, 200);
    hall_read(&h, &c);
    assert_ok(planning_received_make(&h.arena, &c, 0, NULL, &x));
    json_t *flows = planning_received_flows(&c, &x, &h.arena);
    assert_true(sum(flows, "sold", "boxes") > 0);
    for (int g = 0; g < c.problem.good_count; g++) {
        const char *good = c.problem.goods[g].code;
        double in = 0, left = 0;
        for (int b = 0; b < x.frame->birth_count; b++) {
            int node = intake_node(x.frame, g, b);
            in += x.frame->given_kg[node];
            left += x.stock[node * c.problem.day_count + c.problem.day_count - 1];
        }
        int64_t net = sum(flows, "comes", good) + sum(flows, "bought", good) +
                      sum(flows, "made", good) - sum(flows, "used", good) -
                      sum(flows, "sold", good) - sum(flows, "leaves", good);
        if (llabs(net - (int64_t)((left - in) * 1000)) > 200) {
            fail_msg("%s: %lld g", good, (long long)net);
        }
    }
    const char *day = "";
    size_t i;
    json_t *o;
    json_array_foreach(flows, i, o)
    {
        const char *next = json_string_value(json_object_get(o, "day"));
        assert_true(strcmp(day, next) <= 0);
        day = next;
    }
    assert_string_equal(planning_received_day(&c, &h.arena, 0), hall_day(&h, 0));
    json_decref(flows);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_kilogram_is_told)};
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
