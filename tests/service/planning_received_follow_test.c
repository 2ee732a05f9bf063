/* The plan of fruit taken last, and what it gives as things stand. */
#include "hall.h"

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
    planning_received_follow(&h->arena, c, t.flows, &x);
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
        cmocka_unit_test(nothing_taken_is_nothing_done),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
