/* What the uses of a hall are counted on to give, and why. */
#include "hall.h"

#include "service/planning_received_inner.h"

/* Days of work, each sorting a tonne into so much. */
static void sorts_for(struct house *h, int days, int first, int second)
{
    hall_open(h);
    hall_sorts(h);
    for (int i = 0; i < days; i++) {
        hall_receive(h, "HESPERIDIUM-1", "1 t");
        hall_sort(h, house_answer(h, "lot"), NULL, first, second, 180, 50);
        house_wait(h, "1 d");
    }
}

static const json_t *sorting(const json_t *counted)
{
    const json_t *o = json_array_get(counted, 0);
    assert_string_equal(json_string_value(json_object_get(o, "use")), "sort HESPERIDIUM-1");
    return o;
}

static json_int_t ppm(const json_t *use, size_t part, const char *key)
{
    const json_t *o = json_array_get(json_object_get(use, "parts"), part);
    return json_integer_value(json_object_get(o, key));
}

static void four_days_are_too_few(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    sorts_for(&h, 4, 300, 450);
    hall_read(&h, &c);
    json_t *list = planning_received_counted(&c, &h.arena, "en");
    const json_t *o = sorting(list);
    assert_true(json_is_false(json_object_get(o, "by_record")));
    assert_int_equal(json_integer_value(json_object_get(o, "days")), 4);
    assert_int_equal(ppm(o, 0, "ppm"), 440000);
    json_decref(list);
    house_close(&h);
}

/* (5 * 0.30 + 2 * 0.44) / 7 = 0.34; boxes of 4 kg, 99 % of the firsts there will be. */
static void five_days_are_counted_on_and_planned_with(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct intake_outcome x;
    sorts_for(&h, 5, 300, 450);
    hall_order(&h, "A", "LIME-BOX", 0, 3000);
    hall_receive(&h, "HESPERIDIUM-1", "2 t");
    hall_read(&h, &c);
    json_t *list = planning_received_counted(&c, &h.arena, "es");
    const json_t *o = sorting(list);
    assert_true(json_is_true(json_object_get(o, "by_record")));
    assert_int_equal(ppm(o, 0, "ppm"), 340000);
    assert_int_equal(ppm(o, 0, "told_ppm"), 440000);
    assert_string_equal(
        json_string_value(json_object_get(o, "sentence")),
        "sort HESPERIDIUM-1: 5 días de trabajo dieron firsts 30 % (44 %), seconds 45 % (31 %), "
        "juicing fruit 18 % (18 %), feed 5 % (5 %); entre paréntesis, lo que dice el perfil. El "
        "plan cuenta con firsts 34 %, seconds 41 %, juicing fruit 18 %, feed 5 %.");
    json_decref(list);
    assert_ok(planning_received_make(&h.arena, &c, 0, NULL, &x));
    assert_int_equal(x.met_pieces[0], (int64_t)((1500 + 2000 * 0.34) * 0.99 / 4));
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(four_days_are_too_few),
        cmocka_unit_test(five_days_are_counted_on_and_planned_with),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
