/* Chances of a plan of fruit as people are told them. */
#include "service/planning_received_chance.h"

#include "hall.h"
#include "service/planning_received_luck.h"

static json_t *told(struct house *h, const char *lang)
{
    struct planning_received c;
    struct intake_outcome x;
    struct intake_luck luck;
    hall_read(h, &c);
    assert_ok(planning_received_make(&h->arena, &c, 0, NULL, &x));
    assert_ok(planning_received_luck(h->store, &h->arena, &c, &luck));
    struct intake_chance chance = intake_chance_of(&h->arena, x.plan, &luck);
    json_t *plan = planning_received_json(&c, &x, &h->arena, lang);
    planning_received_chance_put(&c, &luck, &chance, &h->arena, lang, plan);
    return plan;
}

static json_int_t number(const json_t *o, const char *key)
{
    return json_integer_value(json_object_get(o, key));
}

static const char *sentence_of(const json_t *chance, const char *name)
{
    size_t i;
    json_t *o;
    json_array_foreach(json_object_get(chance, "learnt"), i, o)
    {
        if (strcmp(json_string_value(json_object_get(o, "name")), name) == 0) {
            return json_string_value(json_object_get(o, "sentence"));
        }
    }
    fail_msg("nothing learnt of %s", name);
    return NULL;
}

/* Without a record everything goes as planned, and that is said. */
static void without_a_record_it_goes_as_planned(void **state)
{
    (void)state;
    struct house h;
    hall_open(&h);
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    hall_order(&h, "A", "LIME-BOX", 1, 200);
    json_t *plan = told(&h, "en");
    const json_t *chance = json_object_get(plan, "chance"),
                 *line = json_array_get(json_object_get(chance, "lines"), 0),
                 *day = json_array_get(json_object_get(chance, "days"), 0);
    assert_int_equal(number(chance, "share_ppm"), 1000000);
    assert_string_equal(json_string_value(json_object_get(line, "order")), "A");
    assert_int_equal(number(line, "met_ppm"), 1000000);
    assert_string_equal(json_string_value(json_object_get(line, "word")), "certain");
    assert_int_equal(json_array_size(json_object_get(chance, "days")), 1);
    assert_string_equal(json_string_value(json_object_get(day, "day")), hall_day(&h, 1));
    assert_int_equal(number(json_array_get(json_object_get(plan, "orders"), 0), "chance_percent"),
                     100);
    assert_non_null(strstr(sentence_of(chance, "sort HESPERIDIUM-1"), "too few to tell"));
    json_decref(plan);
    house_close(&h);
}

/* Five sortings that gave fewer firsts than the profile says, and the fruit just enough: what rests
 * on it is not certain any more, and the shares are told beside those planned. */
static void what_sortings_gave_makes_orders_less_sure(void **state)
{
    (void)state;
    static const int firsts[] = {380, 440, 400, 420, 410};
    struct house h;
    hall_open(&h);
    hall_sorts(&h);
    for (int i = 0; i < 5; i++) {
        hall_receive(&h, "HESPERIDIUM-1", "1 t");
        hall_sort(&h, house_answer(&h, "lot"), NULL, firsts[i], 930 - firsts[i], 20, 30);
        house_take(&h, "{'kind':'destroy','lot':'%s','to':'feed','reason':'tried'}",
                   house_answer(&h, "lots.0.lot"));
        house_wait(&h, "1 d");
    }
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    hall_order(&h, "A", "LIME-BOX", 0,
               320); /* of 3 t 1.32 t are firsts as planned, 1.23 t as seen */
    json_t *plan = told(&h, "en");
    const json_t *chance = json_object_get(plan, "chance"),
                 *line = json_array_get(json_object_get(chance, "lines"), 0);
    assert_true(number(line, "met_ppm") < 500000);
    assert_true(number(line, "share_ppm") > number(line, "met_ppm"));
    const char *says = sentence_of(chance, "sort HESPERIDIUM-1");
    assert_non_null(strstr(says, "5 days of work gave firsts 41 % (44 %)"));
    /* (5 * 0.41 + 2 * 0.44) / 7; 52 and 31 % of seconds */
    assert_non_null(strstr(says, "The plan counts on firsts 41.9 %, seconds 46 %,"));
    json_decref(plan);
    plan = told(&h, "es");
    assert_non_null(strstr(sentence_of(json_object_get(plan, "chance"), "sort HESPERIDIUM-1"),
                           "5 días de trabajo"));
    json_decref(plan);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_record_it_goes_as_planned),
        cmocka_unit_test(what_sortings_gave_makes_orders_less_sure),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
