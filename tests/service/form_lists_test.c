/* What forms offer out of the house's lists: as it stands, what is no longer so left out. */
#include "pages.h"

#include "base/digest.h"
#include "evidence.h"
#include "service/form_lists.h"
#include "stock.h"

static struct house h;
static json_t *list;

static int set_up(void **state)
{
    (void)state;
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    json_decref(list);
    list = NULL;
    house_close(&h);
    return 0;
}

/* Another look at a list; -> how many it offers. */
static size_t offered(const char *name)
{
    struct view v = house_view(&h, "en");
    bool is;
    json_decref(list);
    list = json_array();
    assert_ok(form_list(&v, name, list, &is));
    assert_true(is);
    return json_array_size(list);
}

static void is_offered(size_t n, const char *value, const char *label)
{
    const json_t *one = json_array_get(list, n);
    assert_string_equal(page_text(one, "value"), value);
    assert_string_equal(page_text(one, "label"), label);
}

static void lists_of_codes(void **state)
{
    (void)state;
    assert_int_equal(offered("@sites"), 0);
    house_take(&h, "{'kind':'site','person':2,'code':'Z1-PACK','place':'PACK','zone':1,'surface':"
                   "'outfeed belt'}");
    assert_int_equal(offered("@sites"), 1);
    is_offered(0, "Z1-PACK", "Z1-PACK – outfeed belt");
    house_take(&h, "{'kind':'site','person':2,'code':'Z1-PACK','place':'PACK','zone':1,'surface':"
                   "'outfeed belt','active':false}");
    assert_int_equal(offered("@sites"), 0);
    house_take(&h, "{'kind':'register','person':2,'code':'BLADES','of':'blades','place':'TRIM',"
                   "'expected':12}");
    assert_int_equal(offered("@registers"), 1);
    is_offered(0, "BLADES", "BLADES – TRIM");
    house_take(&h, "{'kind':'chemical','person':2,'code':'CHEM-1','agent':'chlorine','best_before':"
                   "'2027-01-01T00:00:00Z'}");
    assert_int_equal(offered("@chemicals"), 1);
    is_offered(0, "CHEM-1", "CHEM-1 – chlorine");
}

static void only_told_duties(void **state)
{
    (void)state;
    house_take(&h,
               "{'kind':'duty','code':'PEST','title':'Bait stations','duty_kind':'pest','every':"
               "'30 d','role':'hygiene','source':'contract 4'}");
    house_take(&h, "{'kind':'duty','code':'LINE','title':'Pack line','duty_kind':'clean','by':"
                   "'clean','place':'PACK','every':'1 d','role':'hygiene','source':'plan'}");
    assert_int_equal(offered("@duties"), 1);
    is_offered(0, "PEST", "PEST – Bait stations");
}

static void work_orders_until_they_are_handed_back(void **state)
{
    (void)state;
    house_take(&h, "{'kind':'work-order','code':'W-1','place':'PACK','what':'new belt'}");
    assert_int_equal(offered("@work-orders"), 1);
    is_offered(0, "W-1", "W-1 – new belt");
    house_take(&h, "{'kind':'hand-back','person':2,'work_order':'W-1','tools_counted':true,"
                   "'cleaned':true}");
    assert_int_equal(offered("@work-orders"), 0);
}

static void kept_samples(void **state)
{
    (void)state;
    const char *packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    house_take(&h,
               "{'kind':'retain','person':2,'code':'K-1','units':['%s-0005'],'place':'COLD',"
               "'until':'2027-01-01T00:00:00Z'}",
               packed);
    assert_int_equal(offered("@retained"), 1);
    is_offered(0, "K-1", house_text(&h, "K-1 – %s", packed));
}

static void what_is_open(void **state)
{
    (void)state;
    assert_int_equal(offered("@deviations"), 0);
    assert_int_equal(offered("@tasks"), 0);
    house_take(&h, "{'kind':'cold-check','place':'COLD','temp':'11 C'}");
    assert_int_equal(offered("@deviations"), 1);
    assert_non_null(strstr(page_text(json_array_get(list, 0), "label"), "11 C"));
    const char *id = house_text(&h, "%s", page_text(json_array_get(list, 0), "value"));
    house_take(&h,
               "{'kind':'corrective-action','person':2,'deviation':%s,'cause':'the door stood "
               "open','correction':'closed it','disposition':'no-product'}",
               id);
    assert_int_equal(offered("@deviations"), 1);
    house_take(&h, "{'kind':'verification','person':3,'deviation':%s,'ok':true}", id);
    assert_int_equal(offered("@deviations"), 0);
    house_take(&h, "{'kind':'health-check','about':2,'passed':false}");
    assert_int_equal(offered("@tasks"), 1);
    assert_string_equal(page_text(json_array_get(list, 0), "label"),
                        "Keep the person away from open product – 2");
    house_take(&h, "{'kind':'task-done','task':%s}",
               house_text(&h, "%s", page_text(json_array_get(list, 0), "value")));
    assert_int_equal(offered("@tasks"), 0);
}

static void another_name_is_none(void **state)
{
    (void)state;
    struct view v = house_view(&h, "en");
    bool is;
    list = json_array();
    assert_ok(form_list(&v, "@markets", list, &is));
    assert_false(is);
    assert_int_equal(json_array_size(list), 0);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(lists_of_codes), TEST(only_told_duties), TEST(work_orders_until_they_are_handed_back),
        TEST(kept_samples),   TEST(what_is_open),     TEST(another_name_is_none),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
