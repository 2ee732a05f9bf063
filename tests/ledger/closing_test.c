#include "profile_file.h"

#include "base/civil.h"
#include "ledger/closing.h"

/* The house's profile with closings, ' for ". */
static struct result closing(struct house_profile *h, const char *rows, struct profile **out)
{
    static const char from[] = "\"holidays\": [],";
    const char *at = strstr(h->text, from);
    assert_non_null(at);
    char *list = arena_copy(&h->arena, rows);
    for (char *c = list; *c != '\0'; c++) {
        *c = *c == '\'' ? '"' : *c;
    }
    const char *text = arena_printf(&h->arena, "%.*s%s \"closing\": [%s],%s", (int)(at - h->text),
                                    h->text, from, list, at + strlen(from));
    return profile_read(text, strlen(text), out);
}

static void days_and_weekdays_close_what_they_name(void **state)
{
    struct profile *p;
    int32_t sunday = day_from_ymd(2026, 2, 22);
    assert_int_equal(day_weekday(sunday), 6);
    assert_ok(closing(*state,
                      "{'weekdays':['sun'],'what':['soak','dispatch'],'reason':'Sunday'},"
                      "{'from':'2026-02-20','to':'2026-02-21','what':['dispatch','harvest'],"
                      "'reason':'inventory'},"
                      "{'from':'2026-03-04','what':['pack'],'reason':'new line'},"
                      "{'weekdays':['sat'],'from':'2026-03-01','what':['soak'],'reason':'spring'}",
                      &p));
    assert_int_equal(closing_of(p, sunday), CLOSES_SOAK | CLOSES_DISPATCH);
    assert_int_equal(closing_of(p, sunday - 1), CLOSES_DISPATCH | CLOSES_HARVEST);
    assert_int_equal(closing_of(p, sunday - 2), CLOSES_DISPATCH | CLOSES_HARVEST);
    assert_int_equal(closing_of(p, sunday - 3), 0);
    assert_int_equal(closing_of(p, sunday + 1), 0);
    assert_int_equal(closing_of(p, sunday + 6), 0);
    assert_int_equal(closing_of(p, sunday + 7), CLOSES_SOAK | CLOSES_DISPATCH);
    assert_int_equal(closing_of(p, sunday + 10), CLOSES_PACK);
    assert_int_equal(closing_of(p, sunday + 11), 0);
    assert_int_equal(closing_of(p, sunday + 13), CLOSES_SOAK);
    assert_string_equal(closing_on(p, sunday - 1, CLOSES_HARVEST)->reason, "inventory");
    assert_string_equal(closing_on(p, sunday, CLOSES_DISPATCH)->reason, "Sunday");
    assert_null(closing_on(p, sunday, CLOSES_PACK));
    profile_free(p);
}

static void goods_leave_on_the_open_day_before(void **state)
{
    struct profile *p;
    int32_t sunday = day_from_ymd(2026, 2, 22), april = day_from_ymd(2026, 4, 1);
    assert_ok(closing(*state,
                      "{'weekdays':['sat','sun'],'what':['dispatch'],'reason':'weekend'},"
                      "{'from':'2026-04-01','to':'2026-06-30','what':['dispatch'],'reason':'x'}",
                      &p));
    assert_int_equal(closing_leaves(p, sunday, 0), sunday - 2);
    assert_int_equal(closing_leaves(p, sunday - 1, 0), sunday - 2);
    assert_int_equal(closing_leaves(p, sunday - 2, 0), sunday - 2);
    assert_int_equal(closing_leaves(p, sunday + 1, 0), sunday + 1);
    /* what should have left is still wanted on its own day */
    assert_int_equal(closing_leaves(p, sunday, sunday - 2), sunday - 2);
    assert_int_equal(closing_leaves(p, sunday, sunday - 1), sunday);
    assert_int_equal(closing_leaves(p, sunday, sunday + 1), sunday);
    assert_int_equal(closing_leaves(p, april + 30, 0), april - 1);
    assert_int_equal(closing_leaves(p, april + 31, 0), april + 31);
    profile_free(p);
}

static void refused(struct house_profile *h, const char *rows, enum code wanted, const char *field)
{
    struct profile *p = NULL;
    struct result r = closing(h, rows, &p);
    assert_int_equal(r.code, wanted);
    assert_null(p);
    assert_non_null(strstr(r.field, field));
}

static void a_closing_says_when_and_what(void **state)
{
    refused(*state, "{'what':['soak'],'reason':'x'}", CODE_FIELD_MISSING, "from");
    refused(*state, "{'from':'2026-03-04','reason':'x'}", CODE_FIELD_MISSING, "what");
    refused(*state, "{'from':'2026-03-04','what':[],'reason':'x'}", CODE_PROFILE_BAD, "what");
    refused(*state, "{'from':'2026-03-04','what':['nap'],'reason':'x'}", CODE_FIELD_CHOICE, "what");
    refused(*state, "{'from':'2026-03-04','what':['soak']}", CODE_FIELD_MISSING, "reason");
    refused(*state, "{'weekdays':['sunday'],'what':['soak'],'reason':'x'}", CODE_FIELD_CHOICE,
            "weekdays");
    refused(*state, "{'from':'2026-03-04','to':'2026-03-03','what':['soak'],'reason':'x'}",
            CODE_END_BEFORE_START, "to");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(days_and_weekdays_close_what_they_name, read_file,
                                        drop_file),
        cmocka_unit_test_setup_teardown(goods_leave_on_the_open_day_before, read_file, drop_file),
        cmocka_unit_test_setup_teardown(a_closing_says_when_and_what, read_file, drop_file),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
