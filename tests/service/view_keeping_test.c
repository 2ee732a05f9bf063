/* Keeping: temperatures of the cold rooms, and for whom what stands there still lasts. */
#include "view_support.h"

#include "service/view_keeping.h"

static json_t *keeping(struct house *h)
{
    struct view v = view_as(h, 6, "dispatch");
    json_t *out;
    assert_ok(view_keeping(&v, &out));
    return out;
}

static void a_room_says_how_cold_it_is(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    json_t *out = keeping(&h);
    const json_t *room = with_text(at_key(out, "rooms"), "place", "COLD");
    assert_string_equal(text_at(room, "state"), "none");
    assert_true(json_is_null(at_key(room, "temp_mc")));
    json_decref(out);
    int64_t entry = house_take(&h, "{'kind':'cold-check','place':'COLD','temp':'3.2 C'}");
    out = keeping(&h);
    room = with_text(at_key(out, "rooms"), "place", "COLD");
    assert_string_equal(text_at(room, "state"), "within");
    assert_int_equal(number_at(room, "temp_mc"), 3200);
    assert_int_equal(number_at(room, "high_mc"), 5000); /* the profile's */
    assert_int_equal(number_at(room, "entry"), entry);
    assert_string_equal(text_at(room, "how"), "checked");
    json_decref(out);
    house_wait(&h, "25 h");
    out = keeping(&h);
    assert_string_equal(text_at(with_text(at_key(out, "rooms"), "place", "COLD"), "state"),
                        "silent");
    json_decref(out);
    entry = house_take(&h, "{'kind':'cold-check','place':'COLD','temp':'9 C'}");
    out = keeping(&h);
    room = with_text(at_key(out, "rooms"), "place", "COLD");
    assert_string_equal(text_at(room, "state"), "outside");
    assert_string_equal(text_at(room, "tone"), "stopped");
    const json_t *excursion = json_array_get(at_key(room, "excursions"), 0);
    assert_int_equal(number_at(excursion, "entry"), entry);
    assert_true(strlen(text_at(excursion, "sentence")) > 10);
    json_decref(out);
    house_close(&h);
}

static const char *life_after(struct house *h, const char *lot, const char *wait, json_t **out)
{
    house_wait(h, wait);
    json_decref(*out);
    *out = keeping(h);
    return text_at(with_text(at_key(*out, "stock"), "lot", lot), "life");
}

/* MUNG250 keeps eight days; the two customers want six and three of them. */
static void a_lot_leaves_while_somebody_takes_it(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'partner','code':'COTYLEDON','role':'customer','market':'US',"
                   "'life_days':6}");
    house_take(&h,
               "{'kind':'partner','code':'PLUMULA','role':'customer','market':'US','life_days':3}");
    struct house_batch b = house_batch(&h, "C1", false);
    json_t *out = keeping(&h);
    const json_t *lot = with_text(at_key(out, "stock"), "lot", b.packed);
    assert_int_equal(number_at(lot, "left_d"), 8);
    assert_int_equal(number_at(lot, "age_d"), 0);
    assert_int_equal(number_at(lot, "pieces"), 800);
    assert_int_equal(number_at(lot, "customers"), 2);
    assert_int_equal(number_at(lot, "takers"), 2);
    assert_string_equal(text_at(lot, "life"), "all");
    assert_string_equal(text_at(lot, "life_tone"), "done");
    assert_string_equal(text_at(lot, "leave_by"),
                        day_text(&h.arena, (int32_t)house_day(&h) + 5));  /* 8 - 3 */
    assert_string_equal(life_after(&h, b.packed, "48 h", &out), "fewer"); /* six left */
    assert_string_equal(life_after(&h, b.packed, "24 h", &out), "some");
    assert_string_equal(life_after(&h, b.packed, "48 h", &out), "today"); /* three left */
    assert_string_equal(life_after(&h, b.packed, "24 h", &out), "nobody");
    lot = with_text(at_key(out, "stock"), "lot", b.packed);
    assert_int_equal(number_at(lot, "takers"), 0);
    assert_string_equal(text_at(lot, "life_tone"), "stopped");
    assert_string_equal(life_after(&h, b.packed, "72 h", &out), "past");
    json_decref(out);
    house_close(&h);
}

static void the_first_to_expire_comes_first(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch first = house_batch(&h, "C1", false);
    struct house_batch second = house_batch(&h, "C2", false); /* days later */
    json_t *out = keeping(&h);
    assert_string_equal(text_at(json_array_get(at_key(out, "stock"), 0), "lot"), first.packed);
    assert_string_equal(text_at(json_array_get(at_key(out, "stock"), 1), "lot"), second.packed);
    json_decref(out);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_room_says_how_cold_it_is),
        cmocka_unit_test(a_lot_leaves_while_somebody_takes_it),
        cmocka_unit_test(the_first_to_expire_comes_first),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
