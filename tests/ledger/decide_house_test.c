/* What stands in the house, told by commands: what is refused before it can do harm. */
#include "fixture/stock.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static void refused_at(const char *command, enum code code, const char *field, const char *value)
{
    int64_t next = h.lg->next_seq;
    assert_code_at(house_send(&h, "%s", command), code, __FILE__, __LINE__);
    assert_string_equal(h.refusal.field, field);
    assert_string_equal(h.refusal.value[0], value);
    assert_int_equal(h.lg->next_seq, next); /* nothing of it is kept */
}

/* Bad data is refused when it is told, whole, with its field: not by the first file. */
static void a_mapping_that_could_read_no_file_is_refused(void **state)
{
    static const struct {
        const char *kind, *data;
        enum code code;
        const char *field, *value;
    } bad[] = {
        {"orders", "{}", CODE_FIELD_MISSING, "data.columns",
         "Name the header of each column that is read."},
        {"orders", "{'columns':{'customer':'C','item':'I','day':'D','pieces':'P','price':'X'}}",
         CODE_FIELD_UNKNOWN, "data.columns.price", "a mapping for orders"},
        {"seed", "{'columns':{'supplier':'S','item':'I','mass':'M','place':'P'},'unit':'lb'}",
         CODE_FIELD_CHOICE, "data.unit", "lb"},
        {"results",
         "{'columns':{'sample':'S','organism':'O','state':'F'},'codes':{'state':{'nd':'fine'}}}",
         CODE_FIELD_CHOICE, "data.codes.state.nd", "fine"},
        {"logger",
         "{'series':'s','unit':'Cel','zone':'UTC','interval_s':'86401','columns':{'time':'T',"
         "'channel-1':'K'}}",
         CODE_FIELD_RANGE, "data.interval_s", "86401"},
        {"checkweigher",
         "{'series':'s','unit':'g','zone':'UTC','columns':{'n':'N','time':'T','weight':'W'},"
         "'delimiter':'|'}",
         CODE_FIELD_CHOICE, "data.delimiter", "|"},
        {"stock", "{}", CODE_FIELD_CHOICE, "for", "stock"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        refused_at(house_text(&h, "{'kind':'mapping','source':'shop','for':'%s','data':%s}",
                              bad[i].kind, bad[i].data),
                   bad[i].code, bad[i].field, bad[i].value);
    }
}

static void a_mapping_that_can_read_a_file_is_kept_as_told(void **state)
{
    house_take(&h, "{'kind':'mapping','source':'shop','for':'orders','data':{'delimiter':';',"
                   "'columns':{'pieces':'P','customer':'C','item':'I','day':'D'}}}");
    assert_string_equal(house_effect_text(&h, "mapping", 0, 1), "shop");
    assert_string_equal(house_effect_text(&h, "mapping", 0, 3),
                        "{\"columns\":{\"customer\":\"C\",\"day\":\"D\",\"item\":\"I\","
                        "\"pieces\":\"P\"},\"delimiter\":\";\"}");
}

/* 4 to 12 is tighter than what stands for all items, and looser than the row of soybeans (3 to 9).
 */
static void a_limit_that_loosens_one_item_is_looser(void **state)
{
    const char *change = "{'kind':'limit','person':2,'limit':'expansion','low':'4','high':'%s',"
                         "'source':'house','reason':'one for all'%s}";
    house_refused(&h, FIELD_CHOICE, house_text(&h, change, "12", "")); /* no word given */
    house_refused(&h, LIMIT_LOOSENED, house_text(&h, change, "12", ",'word':'common practice'"));
    house_take(&h, change, "9", "");
    assert_true(json_is_false(json_object_get(h.answer, "loosens")));
    house_take(&h, change, "9.5", ",'word':'published (seen)'");
    assert_true(json_is_true(json_object_get(h.answer, "loosens")));
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_mapping_that_could_read_no_file_is_refused),
        T(a_mapping_that_can_read_a_file_is_kept_as_told),
        T(a_limit_that_loosens_one_item_is_looser),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
