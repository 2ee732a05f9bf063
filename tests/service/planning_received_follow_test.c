/* The plan of fruit taken last, and what it gives as things stand. */
#include "hall.h"

#include <math.h>

static void taken(struct house *h, struct planning_received *c, struct intake_outcome *x)
{
    hall_open(h);
    hall_receive(h, "HESPERIDIUM-1", "3 t");
    hall_order(h, "A", "LIME-BOX", 1, 200);
    hall_read(h, c);
    assert_ok(planning_received_make(&h->arena, c, 0, NULL, x));
    assert_ok(house_send_json(h, planning_received_take(c, x, &h->arena)));
}

static struct intake_outcome followed(struct house *h, struct planning_received *c)
{
    struct planning_received_taken t;
    struct intake_outcome x;
    hall_read(h, c);
    assert_ok(planning_received_taken(h->store, &t));
    planning_received_follow(&h->arena, c, &t, &x);
    json_decref(t.flows);
    return x;
}

static void what_was_taken_gives_what_it_promised(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct intake_outcome x;
    struct planning_received_taken t;
    taken(&h, &c, &x);
    assert_ok(planning_received_taken(h.store, &t));
    assert_true(t.given);
    assert_int_equal(t.entry, house_entry(&h, "plan-take").seq);
    assert_true(json_array_size(t.flows) > 5);
    json_decref(t.flows);
    struct intake_outcome now = followed(&h, &c);
    assert_int_equal(now.met_pieces[0], x.met_pieces[0]);
    assert_int_equal(now.short_count, x.short_count);
    double was = 0, is = 0;
    int count = c.problem.use_count * x.frame->birth_count * c.problem.day_count;
    for (int i = 0; i < count; i++) {
        was += x.plan->use_kg[i];
        is += now.plan->use_kg[i];
    }
    assert_true(was > 1000);
    assert_true(is > was - 1 && is < was + 1);
    house_close(&h);
}

/* An order that came later is in no plan: it is short until one is taken for it. */
static void what_changed_since_is_seen(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct intake_outcome x;
    taken(&h, &c, &x);
    hall_order(&h, "B", "LIME-BOTTLE", 2, 300);
    x = followed(&h, &c);
    bool is_short = false;
    for (int i = 0; i < x.short_count; i++) {
        const char *key = c.problem.lines[x.shorts[i].line].key;
        is_short = is_short || (key != NULL && strcmp(key, "B") == 0);
    }
    assert_true(is_short);
    house_close(&h);
}

static double used_today(const struct planning_received *c, const struct intake_outcome *x,
                         const char *use)
{
    double kg = 0;
    for (int i = 0; i < c->problem.use_count * x->frame->birth_count; i++) {
        bool same = strcmp(c->problem.uses[i / x->frame->birth_count].code, use) == 0;
        kg += same ? x->plan->use_kg[i * c->problem.day_count] : 0;
    }
    return kg;
}

static const json_t *today_of(const json_t *list, const char *act, const char *use)
{
    size_t i;
    json_t *o;
    json_array_foreach(list, i, o)
    {
        const char *name = json_string_value(json_object_get(o, "use"));
        if (strcmp(json_string_value(json_object_get(o, "act")), act) == 0 &&
            (use == NULL || (name != NULL && strcmp(name, use) == 0))) {
            return o;
        }
    }
    fail_msg("nothing of %s", act);
    return NULL;
}

static json_int_t grams(const json_t *o, const char *key)
{
    return json_integer_value(json_object_get(o, key));
}

/* A morning with so much fruit to sort. -> its lot */
static const char *morning(struct house *h, const char *mass)
{
    hall_open(h);
    hall_sorts(h);
    hall_receive(h, "HESPERIDIUM-1", mass);
    return house_answer(h, "lot");
}

/* Of the sorting planned for today a part is done in the morning: at noon the plan in force sorts
 * the rest, on the hours that are left, and a plan made anew has no more of them either. */
static void the_work_of_the_morning_is_not_done_twice(void **state)
{
    (void)state;
    static const char use[] = "sort HESPERIDIUM-1";
    struct house h;
    struct planning_received c;
    struct planning_received_taken t;
    struct intake_outcome x;
    const char *lot = morning(&h, "4 t");
    hall_sort(&h, lot, "300 kg", 132, 93, 54, 15); /* before the plan: it knows of it */
    hall_order(&h, "A", "LIME-BOX", 0, 200);
    hall_read(&h, &c);
    assert_true(c.problem.machines[0].hours[0] > 13.75 - 1e-9 &&
                c.problem.machines[0].hours[0] < 13.75 + 1e-9); /* 14 h less 300 kg at 1200 */
    assert_ok(planning_received_make(&h.arena, &c, 0, NULL, &x));
    double planned = used_today(&c, &x, use);
    assert_true(planned > 900);
    assert_ok(house_send_json(&h, planning_received_take(&c, &x, &h.arena)));
    hall_sort(&h, lot, "600 kg", 270, 180, 105, 30);
    x = followed(&h, &c);
    double left = used_today(&c, &x, use);
    assert_true(left > planned - 600 - 1e-3 && left < planned - 600 + 1e-3);
    assert_true(c.problem.machines[0].hours[0] < 13.25 + 1e-9);
    assert_ok(planning_received_taken(h.store, &t));
    json_t *today = planning_received_today(&c, &t, &h.arena);
    const json_t *row = today_of(today, "used", use);
    assert_int_equal(grams(row, "done_g"), 600000);
    assert_int_equal(grams(row, "planned_g"), llround(planned * 1000));
    assert_int_equal(grams(row, "left_g"), llround((planned - 600) * 1000));
    json_decref(today);
    json_decref(t.flows);
    house_close(&h);
}

/* What was sorted beyond what was planned leaves nothing, and what was let go is told. */
static void more_than_planned_leaves_nothing(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct planning_received_taken t;
    struct intake_outcome x;
    const char *lot = morning(&h, "2 t");
    hall_read(&h, &c);
    planning_received_follow(&h.arena, &c, &(struct planning_received_taken){0}, &x);
    assert_ok(house_send_json(&h, planning_received_take(&c, &x, &h.arena))); /* does nothing */
    const char *firsts = hall_sort(&h, lot, "600 kg", 270, 180, 105, 30);
    house_take(&h, "{'kind':'destroy','lot':'%s','mass':'40 kg','to':'feed','reason':'soft'}",
               firsts);
    x = followed(&h, &c);
    assert_true(used_today(&c, &x, "sort HESPERIDIUM-1") <= 0);
    assert_ok(planning_received_taken(h.store, &t));
    json_t *today = planning_received_today(&c, &t, &h.arena);
    const json_t *row = today_of(today, "used", "sort HESPERIDIUM-1");
    assert_int_equal(grams(row, "planned_g"), 0);
    assert_int_equal(grams(row, "done_g"), 600000);
    assert_int_equal(grams(row, "left_g"), 0);
    assert_int_equal(grams(today_of(today, "leaves", NULL), "done_g"), 40000);
    json_decref(today);
    json_decref(t.flows);
    house_wait(&h, "1 d"); /* a new day */
    assert_ok(planning_received_taken(h.store, &t));
    hall_read(&h, &c);
    assert_int_equal(c.today_count, 0);
    json_decref(t.flows);
    house_close(&h);
}

static void nothing_taken_is_nothing_done(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct planning_received_taken t;
    hall_open(&h);
    assert_ok(planning_received_taken(h.store, &t));
    assert_false(t.given);
    assert_null(t.flows);
    struct intake_outcome x = followed(&h, &c);
    for (int i = 0; i < c.problem.machine_count * c.problem.day_count; i++) {
        assert_true(x.hours[i] <= 0);
    }
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_was_taken_gives_what_it_promised),
        cmocka_unit_test(what_changed_since_is_seen),
        cmocka_unit_test(the_work_of_the_morning_is_not_done_twice),
        cmocka_unit_test(more_than_planned_leaves_nothing),
        cmocka_unit_test(nothing_taken_is_nothing_done),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
