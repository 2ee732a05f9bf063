/* What is read back before it is sent, and what it warns of. */
#include "pages.h"

#include "service/view_readback.h"
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

static struct result read_back(const char *lang, const char *text, json_t **out)
{
    char *copy = arena_copy(&h.arena, text);
    json_t *command = NULL;
    for (char *p = copy; *p != '\0'; p++) {
        *p = *p == '\'' ? '"' : *p;
    }
    assert_ok(json_read(copy, strlen(copy), SIZE_MAX, &command));
    struct view v = house_view(&h, lang);
    struct result r = view_readback(&v, command, out);
    json_decref(command);
    return r;
}

static json_t *back(const char *lang, const char *text)
{
    json_t *out = NULL;
    assert_ok(read_back(lang, text, &out));
    return out;
}

/* The warnings, each on a line. */
static const char *warnings(const char *text)
{
    json_t *o = back("en", text), *one;
    const char *all = "";
    size_t i;
    json_array_foreach(json_object_get(o, "warnings"), i, one)
    {
        all = house_text(&h, "%s%s\n", all, json_string_value(one));
    }
    json_decref(o);
    return all;
}

static void a_wash_with_its_rest(void **state)
{
    (void)state;
    house_grow(&h, "C1", "100 kg");
    house_wait(&h, "7 d");
    house_take(&h, "{'kind':'harvest','chamber':'C1','mass':'800 kg','place':'WASH'}");
    const char *lot = house_answer(&h, "lot");
    const char *wash = house_text(
        &h,
        "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s'}],'outputs':[{'role':'main',"
        "'mass':'750 kg'},{'role':'hulls','mass':'47 kg'}]}",
        lot);
    json_t *o = back("en", wash);
    assert_string_equal(page_text(o, "title"), "Wash, hulls off");
    assert_string_equal(
        page_text(o, "sentence"),
        house_text(&h, "Wash, hulls off, WASH: %s into main 750 kg, hulls 47 kg; 3 kg to water",
                   lot));
    /* the batch waits for its laboratory, and so does what came out of it */
    assert_int_equal(json_array_size(json_object_get(o, "warnings")), 1);
    json_decref(o);
    o = back("es", wash);
    assert_string_equal(
        page_text(o, "sentence"),
        house_text(&h,
                   "Lavar y quitar cáscaras, WASH: %s en principal 750 kg, cáscaras 47 kg; 3 kg a "
                   "agua",
                   lot));
    json_decref(o);
    /* six in a hundred may be left over: 48 kg */
    const char *gone = house_text(
        &h,
        "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s'}],'outputs':[{'role':'main',"
        "'mass':'700 kg'}]}",
        lot);
    assert_non_null(strstr(warnings(gone), "100 kg of 800 kg that went in is not told.\n"));
    const char *more = house_text(
        &h,
        "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s','mass':'900 kg'}],'outputs':[{"
        "'role':'main','mass':'1000 kg'}]}",
        lot);
    assert_non_null(strstr(warnings(more), "100 kg more comes out than the 900 kg that went in."));
    assert_non_null(
        strstr(warnings(more), house_text(&h, "Lot %s has 800 kg, and 900 kg is taken.\n", lot)));
}

static void what_may_be_wrong(void **state)
{
    (void)state;
    assert_string_equal(warnings("{'kind':'harvest','chamber':'C2','mass':'1 kg','place':'WASH'}"),
                        "Nothing grows in chamber C2.\n");
    assert_string_equal(warnings("{'kind':'move','lot':'NOBODY','place':'COLD'}"),
                        "There is no lot NOBODY.\n");
    assert_string_equal(warnings("{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':"
                                 "'5 kg','place':'STORE','lot':'OWN-1'}"),
                        ""); /* a code for a new lot is no lot that is missing */
    house_take(&h, "{'kind':'place','code':'COLD','place_kind':'cold-room','in_service':false}");
    assert_string_equal(warnings("{'kind':'cold-check','place':'COLD','temp':'3 C'}"),
                        "COLD is out of service.\n");
    house_wait(&h, "400 d");
    const char *late = warnings("{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':"
                                "'5 kg','instrument':'SCALE','place':'STORE'}");
    assert_non_null(strstr(late, "Instrument SCALE was due for calibration on 2027-01-01"));
}

static void kinds_and_closed_lots(void **state)
{
    (void)state;
    const char *growing = house_grow(&h, "C1", "100 kg");
    const char *seed = h.seed;
    const char *text = warnings(house_text(&h, "{'kind':'soak','lot':'%s','place':'SOAK'}", seed));
    assert_non_null(strstr(text, house_text(&h, "Lot %s is seed; this step takes load.\n", seed)));
    assert_non_null(strstr(text, house_text(&h, "Lot %s is closed", seed))); /* all was treated */
    text = warnings(
        house_text(&h, "{'kind':'complaint','lot':'%s','complaint':'other','what':'dusty'}", seed));
    assert_string_equal(text, ""); /* of what is gone, as people do */
    json_t *o = NULL;
    assert_code(read_back("en", "{'kind':'no-such'}", &o), KIND_UNKNOWN);
    assert_code(read_back("en", "{}", &o), FIELD_MISSING);
    assert_non_null(growing);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_wash_with_its_rest),
        TEST(what_may_be_wrong),
        TEST(kinds_and_closed_lots),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
