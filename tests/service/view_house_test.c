/* The house, its people, limits and plan as a page sees them. */
#include "pages.h"

#include "service/view_house.h"
#include "stock.h"

static struct house h;

static int set_up(void **state)
{
    (void)state;
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static json_t *seen(struct result (*view)(struct view *v, json_t **out))
{
    struct view v = house_view(&h, "en");
    json_t *out = NULL;
    assert_ok(view(&v, &out));
    return out;
}

static void what_stands_in_it(void **state)
{
    (void)state;
    house_take(&h, "{'kind':'place','code':'C3','place_kind':'chamber','in_service':false}");
    house_take(&h, "{'kind':'calibrate','instrument':'SCALE','as_found_error':100,'uncertainty':"
                   "50000,'due':'2027-06-01T00:00:00Z','ok':true}");
    house_wait(&h, "1 min");
    json_t *o = seen(view_house);
    const json_t *places = json_object_get(o, "places");
    assert_int_equal(json_array_size(places), 14);
    assert_true(json_is_false(json_object_get(page_find(places, "code", "C3"), "in_service")));
    assert_true(json_is_true(json_object_get(page_find(places, "code", "C1"), "in_service")));
    assert_string_equal(page_text(page_find(places, "code", "METAL"), "parent"), "PACK");
    assert_true(page_null(page_find(places, "code", "C1"), "parent"));
    const json_t *scale = page_find(json_object_get(o, "instruments"), "code", "SCALE");
    int64_t due_ms;
    assert_ok(civil_read("2027-06-01T00:00:00Z", "", &due_ms));
    assert_int_equal(page_number(scale, "due_ms"), due_ms);
    const json_t *pack = page_find(json_object_get(o, "items"), "code", "MUNG250");
    assert_int_equal(page_number(pack, "net_mg"), 250000);
    assert_int_equal(page_number(pack, "pieces_per_case"), 40);
    assert_string_equal(page_text(pack, "source_item"), "MUNG");
    const json_t *partner = page_find(json_object_get(o, "partners"), "code", "COTYLEDON");
    assert_string_equal(page_text(partner, "market"), "US");
    assert_int_equal(json_array_size(json_object_get(o, "markets")), 3);
    json_decref(o);
}

static void who_works_there(void **state)
{
    (void)state;
    house_take(&h, "{'kind':'person','number':5,'role':'line','active':false}");
    json_t *o = seen(view_people);
    const json_t *people = json_object_get(o, "people");
    assert_int_equal(json_array_size(people), 11);
    const json_t *fifth = json_array_get(people, 4);
    assert_int_equal(page_number(fifth, "number"), 5);
    assert_string_equal(page_text(fifth, "role"), "line");
    assert_true(json_is_false(json_object_get(fifth, "active")));
    assert_true(page_null(fifth, "name")); /* nobody gave one */
    assert_true(json_is_false(json_object_get(fifth, "locked")));
    json_decref(o);
}

static json_t *limit_of(json_t *o, const char *name)
{
    json_t *limit = page_find(json_object_get(o, "limits"), "name", name);
    assert_non_null(limit);
    return limit;
}

/* A limit of the profile, then one changed, then one that changes later. */
static void limits_and_their_changes(void **state)
{
    (void)state;
    json_t *o = seen(view_limits), *limit = limit_of(o, "germination");
    assert_string_equal(page_text(json_object_get(o, "profile"), "name"), "sprout-house");
    assert_int_equal(page_number(json_object_get(o, "profile"), "from_ms"), HOUSE_START_MS);
    assert_string_equal(page_text(limit, "low"), "94");
    assert_true(page_null(limit, "high") && page_null(limit, "changed_by"));
    assert_string_equal(page_text(limit, "unit"), "%");
    assert_true(strlen(page_text(limit, "source")) > 0 && strlen(page_text(limit, "word")) > 0);
    json_decref(o);
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'limit','person':2,'limit':'germination','low':'96','source':"
                   "'contract 7','reason':'asked for'}");
    house_take(&h, "{'kind':'limit','person':3,'limit':'germination','low':'97.5','source':"
                   "'contract 8','word':'derived','reason':'next season','from':"
                   "'2026-09-01T00:00:00Z'}");
    o = seen(view_limits);
    limit = limit_of(o, "germination");
    assert_string_equal(page_text(limit, "low"), "96");
    assert_string_equal(page_text(limit, "source"), "contract 7");
    assert_int_equal(page_number(limit, "changed_by"), 2);
    assert_string_equal(page_text(limit, "reason"), "asked for");
    assert_int_equal(page_number(limit, "from_ms"), h.fixed.now_ms);
    const json_t *changes = json_object_get(limit, "changes");
    assert_int_equal(json_array_size(changes), 2);
    assert_string_equal(page_text(json_array_get(changes, 0), "low"), "97.5");
    assert_int_equal(page_number(json_array_get(changes, 0), "by"), 3);
    assert_string_equal(page_text(json_array_get(changes, 0), "word"), "derived");
    assert_true(page_null(limit, "word")); /* the change in force did not say */
    assert_true(page_null(limit_of(o, "purity"), "changed_by"));
    json_decref(o);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(what_stands_in_it),
        TEST(who_works_there),
        TEST(limits_and_their_changes),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
