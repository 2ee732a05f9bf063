/* What numbers rest on: the entries behind them, and that they make the number. */
#include "view_support.h"

#include "service/view_ask.h"
#include "service/view_balance.h"
#include "service/view_days.h"

static json_t *ask(struct house *h, const char *about, const char *of, const char *with)
{
    struct view v = view_as(h, 1, "manager");
    json_t *out;
    assert_ok(
        view_ask(&v, &(struct view_ask_question){.about = about, .of = of, .with = with}, &out));
    assert_string_equal(text_at(out, "about"), about);
    assert_true(strlen(text_at(out, "how")) > 20);
    return out;
}

/* The sum of a unit over all entries behind; 0: there is none. */
static int64_t sum_of(const json_t *asked, const char *unit)
{
    const json_t *sum = with_text(at_key(asked, "sums"), "unit", unit);
    return sum != NULL ? number_at(sum, "amount") : 0;
}

static void an_amount_is_the_sum_of_its_entries(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", true);
    json_t *asked = ask(&h, "amount", b.packed, NULL);
    assert_int_equal(sum_of(asked, "mg"), 200800000);
    assert_int_equal(sum_of(asked, "pc"), 800);
    assert_int_equal(number_at(asked, "entries"), 1);
    const json_t *row = json_array_get(at_key(asked, "rows"), 0);
    assert_string_equal(text_at(row, "kind"), "pack");
    assert_true(number_at(row, "by") > 0);
    assert_int_equal(json_array_size(at_key(row, "amounts")), 2);
    json_decref(asked);
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    int64_t shipped =
        house_take(&h, "{'kind':'ship','customer':'COTYLEDON','units':['%s-0001..%s-0002']}",
                   b.packed, b.packed);
    const char *shipment = house_answer(&h, "shipment");
    json_t *sent = ask(&h, "shipment", shipment, NULL);
    asked = ask(&h, "amount", b.packed, "pc");
    assert_true(sum_of(sent, "pc") > 0);
    assert_int_equal(sum_of(asked, "pc"), 800 - sum_of(sent, "pc"));
    json_decref(sent);
    assert_int_equal(sum_of(asked, "mg"), 0); /* only what was asked */
    assert_int_equal(number_at(json_array_get(at_key(asked, "rows"), 0), "entry"), shipped);
    json_decref(asked);
    asked = ask(&h, "made", b.packed, "mg"); /* what left stays made */
    assert_int_equal(sum_of(asked, "mg"), 200800000);
    json_decref(asked);
    asked = ask(&h, "cases", b.packed, NULL);
    assert_int_equal(number_at(asked, "entries"), 2);
    json_decref(asked);
    house_close(&h);
}

static void several_are_asked_together(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *first = house_deliver(&h, "SL-1"), *second = house_deliver(&h, "SL-2");
    const char *both = arena_printf(&h.arena, "%s,%s", first, second);
    json_t *asked = ask(&h, "amount", both, NULL);
    assert_int_equal(sum_of(asked, "mg"), 200000000);
    assert_int_equal(number_at(asked, "entries"), 2);
    json_decref(asked);
    house_close(&h);
}

/* Every step and account of the balance is what its entries sum to. */
static void a_balance_is_the_sum_of_its_entries(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_batch(&h, "C1", false);
    struct view v = view_as(&h, 1, "manager");
    json_t *balance, *one;
    size_t i;
    assert_ok(view_balance(&v, &balance));
    assert_true(json_array_size(at_key(balance, "steps")) > 2);
    json_array_foreach(json_object_get(balance, "steps"), i, one)
    {
        const char *step = text_at(one, "step");
        json_t *in = ask(&h, "step", step, "in"), *out = ask(&h, "step", step, "out");
        json_t *off = ask(&h, "step", step, NULL);
        assert_int_equal(sum_of(in, "mg"), number_at(one, "in_mg"));
        assert_int_equal(sum_of(out, "mg"), number_at(one, "out_mg"));
        assert_int_equal(sum_of(off, "mg"), number_at(one, "in_mg") - number_at(one, "out_mg"));
        assert_int_equal(number_at(off, "entries"), number_at(one, "entries"));
        json_decref(in);
        json_decref(out);
        json_decref(off);
    }
    json_array_foreach(json_object_get(balance, "accounts"), i, one)
    {
        json_t *asked = ask(&h, "account", text_at(one, "account"), text_at(one, "unit"));
        assert_int_equal(sum_of(asked, text_at(one, "unit")), number_at(one, "amount"));
        json_decref(asked);
    }
    json_decref(balance);
    house_close(&h);
}

/* The ribbon and what is asked about its days count the same. */
static void a_day_counts_what_the_ribbon_counts(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_grow(&h, "C1", "100 kg");
    house_take(&h,
               "{'kind':'order','source':'shop','lines':[{'key':'O-1','customer':'COTYLEDON',"
               "'item':'MUNG250','day':'%s','pieces':40}]}",
               day_text(&h.arena, (int32_t)house_day(&h) + 2));
    struct view v = view_as(&h, 1, "manager");
    json_t *days, *one;
    size_t i;
    int harvests = 0, ordered = 0;
    assert_ok(view_days(&v, (int32_t)house_day(&h) - 2, (int32_t)house_day(&h) + 12, &days));
    json_array_foreach(json_object_get(days, "days"), i, one)
    {
        json_t *asked = ask(&h, "day", text_at(one, "day"), NULL);
        assert_int_equal(sum_of(asked, "harvest"), number_at(one, "harvest"));
        assert_int_equal(sum_of(asked, "soak"), number_at(one, "soak"));
        assert_int_equal(sum_of(asked, "stopped"), number_at(one, "stopped"));
        assert_int_equal(sum_of(asked, "pc"), number_at(one, "ship_pieces"));
        harvests += (int)sum_of(asked, "harvest");
        ordered += (int)sum_of(asked, "pc");
        json_decref(asked);
    }
    assert_int_equal(harvests, 1);
    assert_int_equal(ordered, 40);
    json_decref(days);
    json_t *orders = ask(&h, "orders", day_text(&h.arena, (int32_t)house_day(&h) + 2), "MUNG250");
    assert_int_equal(sum_of(orders, "pc"), 40);
    json_decref(orders);
    house_close(&h);
}

static void what_is_computed_names_its_calculation(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_grow(&h, "C1", "100 kg");
    json_t *asked = ask(&h, "expected", "C1", NULL);
    assert_string_equal(text_at(asked, "calculation"), "mass-chain");
    assert_int_equal(json_array_size(at_key(asked, "sums")), 0); /* it is no sum */
    assert_int_equal(number_at(asked, "entries"), 1);
    json_decref(asked);
    asked = ask(&h, "ready", "C1", NULL);
    assert_string_equal(text_at(asked, "calculation"), "harvest-forecast");
    const json_t *row = json_array_get(at_key(asked, "rows"), 0);
    const json_t *amount = json_array_get(at_key(row, "amounts"), 0);
    assert_int_equal(number_at(amount, "amount"), 100000000);
    json_decref(asked);
    asked = ask(&h, "amount", "NOTHING", NULL); /* nothing behind it */
    assert_int_equal(number_at(asked, "entries"), 0);
    assert_true(json_is_null(at_key(asked, "calculation")));
    json_decref(asked);
    house_close(&h);
}

static void a_line_is_asked_by_its_number(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_deliver(&h, "SL-1");
    json_t *asked = ask(&h, "entry", "1", NULL);
    assert_int_equal(number_at(json_array_get(at_key(asked, "rows"), 0), "entry"), 1);
    assert_int_equal(json_array_size(at_key(json_array_get(at_key(asked, "rows"), 0), "amounts")),
                     0);
    json_decref(asked);
    asked = ask(&h, "record", NULL, NULL);
    assert_int_equal(number_at(asked, "entries"), 1);
    json_decref(asked);
    house_close(&h);
}

static void bad_questions_are_refused(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 1, "manager");
    json_t *out;
    assert_code(view_ask(&v, &(struct view_ask_question){.about = "mood"}, &out), FIELD_CHOICE);
    assert_code(view_ask(&v, &(struct view_ask_question){.about = "amount"}, &out), FIELD_MISSING);
    assert_code(view_ask(&v, &(struct view_ask_question){.about = "entry", .of = "x"}, &out),
                FIELD_TYPE);
    assert_code(view_ask(&v, &(struct view_ask_question){.about = "day", .of = "x"}, &out),
                DATE_BAD);
    assert_code(
        view_ask(&v, &(struct view_ask_question){.about = "unit", .of = "x", .with = "y"}, &out),
        FIELD_RANGE);
    const char *many = "C1";
    for (int i = 0; i < VIEW_ASK_CODES; i++) {
        many = arena_printf(&h.arena, "%s,C1", many);
    }
    assert_code(view_ask(&v, &(struct view_ask_question){.about = "seed", .of = many}, &out),
                FIELD_RANGE);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_amount_is_the_sum_of_its_entries),
        cmocka_unit_test(several_are_asked_together),
        cmocka_unit_test(a_balance_is_the_sum_of_its_entries),
        cmocka_unit_test(a_day_counts_what_the_ribbon_counts),
        cmocka_unit_test(what_is_computed_names_its_calculation),
        cmocka_unit_test(a_line_is_asked_by_its_number),
        cmocka_unit_test(bad_questions_are_refused),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
