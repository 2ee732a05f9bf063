/* Pages of lots: each lot once, filtered as asked. */
#include "view_support.h"

#include "service/view_lots.h"

/* All pages of a question, one behind the other. */
static json_t *all_pages(struct house *h, struct view_lots_asked asked, int *out_pages)
{
    struct view v = view_as(h, 1, "manager");
    json_t *all = json_array();
    *out_pages = 0;
    do {
        json_t *page;
        assert_ok(view_lots(&v, &asked, &page));
        json_array_extend(all, json_object_get(page, "lots"));
        const char *next = json_string_value(json_object_get(page, "next"));
        asked.cursor = next != NULL ? arena_copy(&h->arena, next) : NULL;
        json_decref(page);
        ++*out_pages;
    } while (asked.cursor != NULL && *out_pages < 100);
    return all;
}

static void pages_hold_each_lot_once(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_batch(&h, "C1", false);
    house_batch(&h, "C2", false);
    int pages, one;
    json_t *whole = all_pages(&h, (struct view_lots_asked){.state = "all"}, &one);
    size_t count = json_array_size(whole);
    assert_int_equal(one, 1);
    assert_true(count > 10);
    json_t *parts = all_pages(&h, (struct view_lots_asked){.state = "all", .limit = 3}, &pages);
    assert_int_equal(pages, (count + 2) / 3);
    assert_true(json_equal(whole, parts)); /* the same lots in the same order */
    for (size_t i = 0; i < count; i++) {
        const char *code = text_at(json_array_get(whole, i), "lot");
        assert_ptr_equal(with_text(whole, "lot", code),
                         json_array_get(whole, i)); /* and each once */
    }
    json_decref(parts);
    parts = all_pages(&h, (struct view_lots_asked){.q = "M", .limit = 2}, &pages);
    assert_true(pages > 2);
    for (size_t i = 1; i < json_array_size(parts); i++) { /* by code */
        assert_true(strcmp(text_at(json_array_get(parts, i - 1), "lot"),
                           text_at(json_array_get(parts, i), "lot")) < 0);
    }
    json_decref(parts);
    json_decref(whole);
    house_close(&h);
}

static void filters_leave_out_the_rest(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", true);
    int pages;
    json_t *lots = all_pages(&h, (struct view_lots_asked){.kind = "packed"}, &pages);
    assert_int_equal(json_array_size(lots), 1);
    const json_t *lot = json_array_get(lots, 0);
    assert_string_equal(text_at(lot, "lot"), b.packed);
    assert_string_equal(text_at(lot, "item"), "MUNG250");
    assert_int_equal(number_at(lot, "pieces"), 800);
    assert_int_equal(number_at(lot, "mg"), 200800000);
    assert_int_equal(number_at(lot, "holds"), 1); /* waits for its laboratory until released */
    assert_string_equal(text_at(lot, "state"), "held");
    assert_string_equal(text_at(lot, "tone"), "stopped");
    assert_true(strlen(text_at(lot, "best_before")) == 10);
    json_decref(lots);
    lots = all_pages(&h, (struct view_lots_asked){.state = "released"}, &pages);
    assert_int_equal(json_array_size(lots), 0);
    json_decref(lots);
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    lots = all_pages(&h, (struct view_lots_asked){.state = "released"}, &pages);
    assert_int_equal(json_array_size(lots), 1);
    assert_string_equal(text_at(json_array_get(lots, 0), "tone"), "done");
    json_decref(lots);
    lots = all_pages(&h, (struct view_lots_asked){.q = b.growing, .state = "open"}, &pages);
    assert_int_equal(json_array_size(lots), 1); /* by its code also what is used up */
    assert_string_equal(text_at(json_array_get(lots, 0), "state"), "closed");
    json_decref(lots);
    lots = all_pages(&h, (struct view_lots_asked){.item = "HULLS"}, &pages);
    assert_int_equal(json_array_size(lots), 1);
    assert_string_equal(text_at(json_array_get(lots, 0), "kind"), "by-product");
    json_decref(lots);
    house_close(&h);
}

static void bad_questions_are_refused(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 1, "manager");
    json_t *out;
    assert_code(view_lots(&v, &(struct view_lots_asked){.state = "lost"}, &out), FIELD_CHOICE);
    assert_code(view_lots(&v, &(struct view_lots_asked){.limit = 201}, &out), FIELD_RANGE);
    assert_code(view_lots(&v, &(struct view_lots_asked){.cursor = "12x"}, &out), FIELD_RANGE);
    assert_code(view_lots(&v, &(struct view_lots_asked){.cursor = "-1"}, &out), FIELD_RANGE);
    house_close(&h);
}

/* What nothing is of reads as none, what nothing can be of is refused with what there is. */
static void a_kind_or_an_item_that_is_not_here_is_refused(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 1, "manager");
    json_t *out;
    struct result r = view_lots(&v, &(struct view_lots_asked){.kind = "nosuch"}, &out);
    assert_code(r, FIELD_CHOICE);
    assert_string_equal(r.field, "kind");
    static const char *const kinds[] = {"seed", "load", "growing", "washed", "packed", "returned"};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        assert_non_null(strstr(result_sentence(&h.arena, &r), kinds[i]));
        assert_ok(view_lots(&v, &(struct view_lots_asked){.kind = kinds[i]}, &out));
        json_decref(out);
    }
    /* a supplier's lot is no lot of the house: it is never listed */
    assert_code(view_lots(&v, &(struct view_lots_asked){.kind = "supplier"}, &out), FIELD_CHOICE);
    r = view_lots(&v, &(struct view_lots_asked){.item = "NOSUCH"}, &out);
    assert_code(r, FIELD_CHOICE);
    assert_string_equal(r.field, "item");
    assert_non_null(strstr(result_sentence(&h.arena, &r), "MUNG250"));
    assert_code(view_lots(&v, &(struct view_lots_asked){.q = "M", .item = "NOSUCH"}, &out),
                FIELD_CHOICE);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pages_hold_each_lot_once),
        cmocka_unit_test(filters_leave_out_the_rest),
        cmocka_unit_test(bad_questions_are_refused),
        cmocka_unit_test(a_kind_or_an_item_that_is_not_here_is_refused),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
