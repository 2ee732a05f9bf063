/* The order book by day: what has left, what is there, what is missing, and each line's versions.
 */
#include "view_support.h"

#include "service/view_orders.h"

static const char line[] =
    "{'key':'%s','customer':'COTYLEDON','item':'MUNG250','day':'%s','pieces':%lld}";

static const char *order(struct house *h, const char *key, int64_t ahead, int64_t pieces)
{
    return arena_printf(&h->arena, line, key, day_text(&h->arena, (int32_t)(house_day(h) + ahead)),
                        (long long)pieces);
}

static json_t *orders(struct house *h, int from, int to)
{
    struct view v = view_as(h, 9, "planner");
    int32_t today = (int32_t)house_day(h);
    json_t *out;
    assert_ok(view_orders(&v, today + from, today + to, &out));
    return out;
}

static const json_t *line_of(const json_t *book, const char *key)
{
    size_t i;
    json_t *day;
    json_array_foreach(at_key(book, "days"), i, day)
    {
        const json_t *found = with_text(at_key(day, "lines"), "key", key);
        if (found != NULL) {
            return found;
        }
    }
    return NULL;
}

/* Stock goes to the earlier day first; what no stock is left for is short until tomorrow, later it
 * is the plan's to say. */
static void stock_goes_to_the_earlier_day(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", false);
    struct lot lot;
    bool found;
    int64_t there;
    assert_ok(lot_by_code(h.store, &h.arena, b.packed, &lot, &found));
    assert_ok(balance_of(h.store, lot.id, UNIT_PIECES, &there));
    assert_true(there > 100);
    house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s,%s,%s,%s,%s]}",
               order(&h, "A", 0, there - 60), order(&h, "B", 1, 50), order(&h, "C", 1, 50),
               order(&h, "D", 3, 70), order(&h, "E", -1, 30));
    json_t *book = orders(&h, -1, 5);
    assert_string_equal(text_at(line_of(book, "A"), "state"), "stock");
    assert_string_equal(text_at(line_of(book, "B"), "state"), "stock");
    assert_string_equal(text_at(line_of(book, "C"), "state"), "short");
    assert_int_equal(number_at(line_of(book, "C"), "stock"), 10);
    assert_int_equal(number_at(line_of(book, "C"), "missing"), 40);
    assert_string_equal(text_at(line_of(book, "D"), "state"), "open");
    assert_string_equal(text_at(line_of(book, "E"), "state"), "short"); /* its day is past */
    assert_int_equal(number_at(line_of(book, "E"), "stock"), 0);
    const json_t *tomorrow =
        with_text(at_key(book, "days"), "day", day_text(&h.arena, (int32_t)house_day(&h) + 1));
    assert_int_equal(number_at(tomorrow, "pieces"), 100);
    assert_int_equal(number_at(tomorrow, "stock"), 60);
    assert_int_equal(number_at(tomorrow, "missing"), 40);
    json_decref(book);
    /* a page that begins tomorrow still knows what today takes */
    book = orders(&h, 1, 5);
    assert_null(line_of(book, "A"));
    assert_int_equal(number_at(line_of(book, "C"), "stock"), 10);
    json_decref(book);
    struct view v = view_as(&h, 9, "planner");
    json_t *out;
    assert_code(view_orders(&v, 10, 9, &out), FIELD_RANGE);
    assert_code(view_orders(&v, 10, 10 + VIEW_ORDERS_DAYS_MAX, &out), FIELD_RANGE);
    house_close(&h);
}

/* Goods go to who takes them with so many days left, and each group of customers is added up. */
static void goods_too_old_for_a_customer_are_not_given(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", false);
    struct lot lot;
    bool found;
    int64_t there;
    assert_ok(lot_by_code(h.store, &h.arena, b.packed, &lot, &found));
    assert_ok(balance_of(h.store, lot.id, UNIT_PIECES, &there));
    int64_t left_d = lot.best_before - house_day(&h);
    assert_true(left_d > 2 && there > 100);
    house_take(&h,
               "{'kind':'partner','code':'COTYLEDON','role':'customer','market':'US','group':"
               "'near','life_days':%lld}",
               (long long)left_d - 1);
    house_take(&h,
               "{'kind':'partner','code':'HILUM','role':'customer','market':'US','group':'far',"
               "'life_days':%lld}",
               (long long)left_d + 1);
    house_take(&h,
               "{'kind':'order','person':9,'source':'office','lines':[%s,%s,%s,"
               "{'key':'F','customer':'HILUM','item':'MUNG250','day':'%s','pieces':40}]}",
               order(&h, "A", 0, 30), order(&h, "B", 1, 30), order(&h, "C", 2, 30),
               day_text(&h.arena, (int32_t)house_day(&h)));
    json_t *book = orders(&h, 0, 5);
    assert_int_equal(number_at(line_of(book, "A"), "stock"), 30);
    assert_int_equal(number_at(line_of(book, "A"), "unfit"), 0);
    assert_int_equal(number_at(line_of(book, "A"), "life_days"), left_d - 1);
    assert_string_equal(text_at(line_of(book, "A"), "group"), "near");
    assert_int_equal(number_at(line_of(book, "B"), "stock"), 30); /* a day less, just enough */
    assert_int_equal(number_at(line_of(book, "C"), "stock"), 0);
    assert_int_equal(number_at(line_of(book, "C"), "unfit"), 30);
    assert_int_equal(number_at(line_of(book, "F"), "stock"), 0);
    assert_int_equal(number_at(line_of(book, "F"), "missing"), 40);
    assert_int_equal(number_at(line_of(book, "F"), "unfit"), 40);
    const json_t *today = json_array_get(at_key(book, "days"), 0);
    assert_int_equal(json_array_size(at_key(today, "groups")), 2);
    const json_t *far = with_text(at_key(today, "groups"), "group", "far");
    assert_int_equal(number_at(far, "pieces"), 40);
    assert_int_equal(number_at(far, "missing"), 40);
    assert_int_equal(number_at(with_text(at_key(today, "groups"), "group", "near"), "stock"), 30);
    const json_t *goods = json_array_get(at_key(book, "there"), 0);
    assert_string_equal(text_at(goods, "item"), "MUNG250");
    assert_int_equal(number_at(goods, "left_d"), left_d);
    assert_int_equal(number_at(goods, "pieces"), there);
    assert_int_equal(number_at(goods, "free"), there - 60);
    json_decref(book);
    house_close(&h);
}

static void a_line_keeps_its_versions(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s]}",
               order(&h, "K/1", 4, 400));
    int64_t entry = house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s]}",
                               order(&h, "K/1", 4, 440));
    struct view v = view_as(&h, 9, "planner");
    json_t *out;
    assert_ok(view_order(&v, "K/1", &out));
    const json_t *versions = at_key(out, "versions");
    assert_int_equal(json_array_size(versions), 2);
    const json_t *newest = json_array_get(versions, 0);
    assert_int_equal(number_at(newest, "version"), 2);
    assert_int_equal(number_at(newest, "pieces"), 440);
    assert_int_equal(number_at(newest, "entry"), entry);
    assert_int_equal(number_at(newest, "by"), 9);
    assert_int_equal(number_at(json_array_get(versions, 1), "pieces"), 400);
    assert_int_equal(json_array_size(at_key(out, "shipments")), 0);
    json_decref(out);
    assert_code(view_order(&v, "K/2", &out), ORDER_UNKNOWN);
    json_t *book = orders(&h, 0, 5);
    assert_int_equal(number_at(line_of(book, "K/1"), "pieces"), 440);
    assert_int_equal(number_at(line_of(book, "K/1"), "version"), 2);
    json_decref(book);
    house_close(&h);
}

static void a_line_of_a_closed_day_says_when_it_leaves(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    int32_t today = (int32_t)house_day(&h);
    struct closing shut = {today + 3, today + 4, 127, CLOSES_DISPATCH, "inventory"};
    struct profile with = *h.lg->profile;
    with.planning.closings = &shut;
    with.planning.closing_count = 1;
    house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s,%s]}",
               order(&h, "A", 4, 10), order(&h, "B", 2, 10));
    struct view v = view_as(&h, 9, "planner");
    json_t *book;
    v.profile = &with;
    assert_ok(view_orders(&v, today, today + 5, &book));
    assert_string_equal(text_at(line_of(book, "A"), "leaves"), day_text(&h.arena, today + 2));
    assert_string_equal(text_at(line_of(book, "A"), "closed"), "inventory");
    assert_string_equal(text_at(line_of(book, "B"), "leaves"), "");
    assert_string_equal(text_at(line_of(book, "B"), "closed"), "");
    json_decref(book);
    shut.from_day = today; /* it should have left */
    assert_ok(view_orders(&v, today, today + 5, &book));
    assert_string_equal(text_at(line_of(book, "A"), "leaves"), "");
    assert_string_equal(text_at(line_of(book, "A"), "closed"), "inventory");
    json_decref(book);
    house_close(&h);
}

/* As the plan taken promised it. */
static void what_is_given_instead_is_there_for_it(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_batch(&h, "C1", true);
    const char *next = day_text(&h.arena, (int32_t)house_day(&h) + 1);
    house_take(&h, "{'kind':'item','code':'MUNG500','item_kind':'packed','net':'500 g',"
                   "'pieces_per_case':10,'life_days':8,'source_item':'MUNG'}");
    house_take(&h,
               "{'kind':'order','source':'shop','lines':[{'key':'A','customer':'COTYLEDON',"
               "'item':'MUNG500','day':'%s','pieces':50}]}",
               next);
    house_take(&h,
               "{'kind':'plan-take','person':9,'starts':[],'promises':[{'order':'A','day':'%s',"
               "'pieces':30,'instead':[{'item':'MUNG250','pieces':30}]}]}",
               next);
    json_t *book = orders(&h, 0, 5);
    const json_t *a = line_of(book, "A"), *given = json_array_get(at_key(a, "instead"), 0);
    assert_string_equal(text_at(given, "item"), "MUNG250");
    assert_int_equal(number_at(given, "pieces"), 30);
    assert_int_equal(number_at(a, "stock"), 30);
    assert_int_equal(number_at(a, "missing"), 20);
    json_decref(book);
    house_close(&h);
}

static void standing_orders_stand_beside_the_book(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    int32_t today = (int32_t)house_day(&h);
    static const char text[] =
        "{'kind':'standing-order','code':'%s','customer':'COTYLEDON','item':'MUNG250','weekdays':["
        "'thu','mon'],'pieces':40,'from':'%s','to':'%s','person':9}";
    house_take(&h, text, "S-1", day_text(&h.arena, today - 9), day_text(&h.arena, today + 9));
    house_take(&h, text, "S-2", day_text(&h.arena, today + 1), day_text(&h.arena, today + 9));
    house_take(&h, text, "S-3", day_text(&h.arena, today - 9), day_text(&h.arena, today - 1));
    json_t *book = orders(&h, 0, 5);
    const json_t *list = at_key(book, "standing");
    assert_int_equal(json_array_size(list), 3);
    const json_t *first = json_array_get(list, 0);
    assert_string_equal(text_at(first, "code"), "S-1");
    assert_string_equal(text_at(first, "state"), "in-force");
    assert_string_equal(text_at(first, "to"), day_text(&h.arena, today + 9));
    assert_string_equal(json_string_value(json_array_get(at_key(first, "weekdays"), 0)), "mon");
    assert_int_equal(number_at(first, "pieces"), 40);
    assert_string_equal(text_at(json_array_get(list, 1), "state"), "coming");
    assert_string_equal(text_at(json_array_get(list, 2), "state"), "ended");
    json_decref(book);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(standing_orders_stand_beside_the_book),
        cmocka_unit_test(what_is_given_instead_is_there_for_it),
        cmocka_unit_test(a_line_of_a_closed_day_says_when_it_leaves),
        cmocka_unit_test(stock_goes_to_the_earlier_day),
        cmocka_unit_test(goods_too_old_for_a_customer_are_not_given),
        cmocka_unit_test(a_line_keeps_its_versions),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
