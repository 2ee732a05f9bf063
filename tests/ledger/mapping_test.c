#include "mapping_support.h"

static struct {
    struct arena arena;
    json_t *data;
    struct mapping mapping;
} fx;

static int set_up(void **state)
{
    memset(&fx, 0, sizeof fx);
    arena_init(&fx.arena, ARENA_LIMIT_DEFAULT);
    return 0;
}

static int tear_down(void **state)
{
    json_decref(fx.data);
    arena_release(&fx.arena);
    return 0;
}

static struct result map(const char *kind, const char *data)
{
    return map_text(&fx.arena, kind, data, &fx.data, &fx.mapping);
}

static void map_ok(const char *kind, const char *data)
{
    assert_ok(map(kind, data));
}

#define ORDERS "'columns':{'customer':'C','item':'I','day':'D','pieces':'P'}"
#define LOGGER                                                                                     \
    "'series':'s','unit':'Cel','zone':'UTC','interval_s':'10','columns':{'time':'T','channel-1':'" \
    "K'}"

static void assert_map_refused(const char *kind, const char *data, enum code code,
                               const char *field)
{
    struct result r = map(kind, data);
    assert_string_equal(code_id(r.code), code_id(code));
    assert_string_equal(r.field, field);
}

static void what_is_not_said_has_a_default(void **state)
{
    map_ok("orders", "{" ORDERS "}");
    const struct mapping *m = &fx.mapping;
    assert_string_equal(m->source, "source-1");
    assert_string_equal(m->column[ORDERS_PIECES], "P");
    assert_null(m->column[ORDERS_ORDER]);
    assert_int_equal(m->delimiter, 0);
    assert_int_equal(m->decimal, '.');
    assert_int_equal(m->thousands, 0);
    assert_false(m->day_first);
    assert_null(m->zone);
    assert_int_equal(m->encoding, CSV_AUTO);
    assert_int_equal(m->missing_count, 3);
    assert_int_equal(m->whole_from.from, DAY_NONE);
    map_ok("logger", "{" LOGGER "}");
    assert_int_equal(m->scale, 3);
    assert_int_equal(m->interval_ms, 10000);
    assert_int_equal(m->channels, 1);
    assert_int_equal(m->jump, 0);
    assert_int_equal(m->low, INT32_MIN);
    assert_int_equal(m->high, INT32_MAX);
    map_ok("seed", "{'columns':{'supplier':'S','item':'I','mass':'M','place':'P'}}");
    assert_string_equal(m->unit, "kg");
}

static void everything_can_be_said(void **state)
{
    map_ok(
        "logger",
        "{'series':'treater-1','unit':'Cel','scale':2,'zone':'Europe/"
        "Vienna','interval_s':'0.5','jump':'5.25',"
        "'range':{'low':'-40','high':'130'},'device':'4711','delimiter':'\\t','decimal':',','"
        "thousands':'.',"
        "'dates':'day-first','encoding':'windows-1252','missing':['','Err'],'preamble':{'Unit':'C'}"
        ","
        "'trailer':'End','end':'line','columns':{'n':'No','date':'D','clock':'C','device':'Serial',"
        "'channel-1':'T1','channel-2':'T2','channel-3':'T3'},'codes':{'device':{'a':'b','c':'d'},'"
        "unit':{'x':'y'}}}");
    const struct mapping *m = &fx.mapping;
    assert_int_equal(m->delimiter, '\t');
    assert_int_equal(m->decimal, ',');
    assert_int_equal(m->thousands, '.');
    assert_true(m->day_first && m->needs_line_end);
    assert_int_equal(m->encoding, CSV_WINDOWS_1252);
    assert_int_equal(m->interval_ms, 500);
    assert_int_equal(m->jump, 525);
    assert_int_equal(m->low, -4000);
    assert_int_equal(m->high, 13000);
    assert_int_equal(m->channels, 3);
    assert_int_equal(m->missing_count, 2);
    assert_int_equal(m->code_count, 3);
    assert_string_equal(m->codes[2].theirs, "x");
    assert_int_equal(m->codes[2].field, READINGS_UNIT);
    assert_string_equal(m->preamble.at[0].text, "C");
    assert_string_equal(m->trailer, "End");
}

static void needed_fields_are_named(void **state)
{
    assert_map_refused("orders", "{'columns':{'customer':'C','item':'I','day':'D'}}",
                       CODE_FIELD_MISSING, "columns.pieces");
    assert_map_refused("orders", "{}", CODE_FIELD_MISSING, "columns");
    assert_map_refused("orders",
                       "{'columns':{'customer':'C','item':'I','day':'D','pieces':'P','order':'O'}}",
                       CODE_FIELD_MISSING, "columns.line");
    assert_map_refused("results", "{'columns':{'sample':'S','organism':'O'}}", CODE_FIELD_MISSING,
                       "columns.state");
    assert_map_refused("seed", "{'columns':{'supplier':'S','item':'I','mass':'M'}}",
                       CODE_FIELD_MISSING, "columns.place");
    assert_map_refused(
        "seed", "{'columns':{'supplier':'S','item':'I','mass':'M','place':'P','moisture':'H'}}",
        CODE_FIELD_MISSING, "columns.lot");
    assert_map_refused(
        "seed",
        "{'columns':{'supplier':'S','item':'I','mass':'M','place':'P','lot':'L','pure':'U'}}",
        CODE_FIELD_MISSING, "columns.other");
    assert_map_refused(
        "logger",
        "{'series':'s','unit':'Cel','interval_s':'10','columns':{'time':'T','channel-1':'K'}}",
        CODE_FIELD_MISSING, "zone");
    assert_map_refused(
        "logger", "{'series':'s','unit':'Cel','zone':'UTC','columns':{'time':'T','channel-1':'K'}}",
        CODE_FIELD_MISSING, "interval_s");
    assert_map_refused(
        "logger",
        "{'unit':'Cel','zone':'UTC','interval_s':'10','columns':{'time':'T','channel-1':'K'}}",
        CODE_FIELD_MISSING, "series");
    assert_map_refused(
        "logger",
        "{'series':'s','unit':'Cel','zone':'UTC','interval_s':'10','columns':{'time':'T'}}",
        CODE_FIELD_MISSING, "columns.channel-1");
    assert_map_refused("logger",
                       "{'series':'s','unit':'Cel','zone':'UTC','interval_s':'10',"
                       "'columns':{'time':'T','channel-1':'K','channel-3':'L'}}",
                       CODE_FIELD_MISSING, "columns.channel-2");
    assert_map_refused("logger",
                       "{'series':'s','unit':'Cel','zone':'UTC','interval_s':'10','columns':{'date'"
                       ":'T','channel-1':'K'}}",
                       CODE_FIELD_MISSING, "columns.clock");
    assert_map_refused("logger",
                       "{'series':'s','unit':'Cel','zone':'UTC','interval_s':'10',"
                       "'columns':{'time':'T','device':'E','channel-1':'K'}}",
                       CODE_FIELD_MISSING, "device");
    assert_map_refused("checkweigher",
                       "{'series':'s','unit':'g','zone':'UTC','columns':{'time':'T','weight':'K'}}",
                       CODE_FIELD_MISSING, "columns.n");
}

static void strange_fields_are_refused(void **state)
{
    assert_map_refused("stock", "{" ORDERS "}", CODE_FIELD_CHOICE, "for");
    assert_map_refused("orders", "{" ORDERS ",'series':'x'}", CODE_FIELD_UNKNOWN, "series");
    assert_map_refused("orders",
                       "{'columns':{'customer':'C','item':'I','day':'D','pieces':'P','price':'X'}}",
                       CODE_FIELD_UNKNOWN, "columns.price");
    assert_map_refused("orders", "{" ORDERS ",'codes':{'price':{}}}", CODE_FIELD_UNKNOWN,
                       "codes.price");
    assert_map_refused("logger", "{" LOGGER ",'whole_book':{}}", CODE_FIELD_UNKNOWN, "whole_book");
    assert_map_refused("logger",
                       "{'series':'s','unit':'Cel','zone':'UTC','interval_s':'10',"
                       "'columns':{'time':'T','verdict':'V','channel-1':'K'}}",
                       CODE_FIELD_UNKNOWN, "columns.verdict");
    assert_map_refused("logger",
                       "{'series':'s','unit':'Cel','zone':'UTC','interval_s':'10',"
                       "'columns':{'time':'T','channel-1':'K','channel-17':'L'}}",
                       CODE_FIELD_UNKNOWN, "columns.channel-17");
}

static void values_are_checked(void **state)
{
    static const struct {
        const char *member;
        enum code code;
        const char *field;
    } rows[] = {
        {"'delimiter':'|'", CODE_FIELD_CHOICE, "delimiter"},
        {"'delimiter':''", CODE_FIELD_CHOICE, "delimiter"},
        {"'decimal':';'", CODE_FIELD_CHOICE, "decimal"},
        {"'thousands':'.'", CODE_FIELD_CHOICE, "thousands"},
        {"'dates':'month-first'", CODE_FIELD_CHOICE, "dates"},
        {"'encoding':'latin'", CODE_FIELD_CHOICE, "encoding"},
        {"'end':'cut'", CODE_FIELD_CHOICE, "end"},
        {"'missing':'x'", CODE_FIELD_TYPE, "missing"},
        {"'missing':[1]", CODE_FIELD_TYPE, "missing"},
        {"'preamble':{'x':1}", CODE_FIELD_TYPE, "preamble.x"},
        {"'preamble':{'':'1'}", CODE_FIELD_RANGE, "preamble."},
        {"'codes':{'unit':'x'}", CODE_FIELD_TYPE, "codes.unit"},
        {"'codes':{'unit':{'x':1}}", CODE_FIELD_TYPE, "codes.unit.x"},
        {"'fixed':{'device':''}", CODE_FIELD_RANGE, "fixed.device"},
        {"'scale':7", CODE_FIELD_RANGE, "scale"},
        {"'scale':'2'", CODE_FIELD_TYPE, "scale"},
        {"'jump':'-1'", CODE_FIELD_RANGE, "jump"},
        {"'jump':'0.0001'", CODE_DECIMAL_FINE, "jump"},
        {"'jump':5", CODE_FIELD_TYPE, "jump"},
        {"'range':{'low':'3000000'}", CODE_DECIMAL_LARGE, "range.low"},
        {"'range':{'low':'5','high':'5'}", CODE_FIELD_RANGE, "range"},
        {"'range':{'step':'5'}", CODE_FIELD_UNKNOWN, "range.step"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_map_refused("logger", arena_printf(&fx.arena, "{" LOGGER ",%s}", rows[i].member),
                           rows[i].code, rows[i].field);
    }
    static const char *const intervals[] = {"'0'", "'0.0001'", "'86401'", "'x'", "0", "-1", "true"};
    for (size_t i = 0; i < sizeof intervals / sizeof intervals[0]; i++) {
        const char *text = arena_printf(&fx.arena,
                                        "{'series':'s','unit':'Cel','zone':'UTC','interval_s':%s,"
                                        "'columns':{'time':'T','channel-1':'K'}}",
                                        intervals[i]);
        struct result r = map("logger", text);
        assert_int_not_equal(r.code, CODE_OK);
        assert_string_equal(r.field, "interval_s");
    }
    assert_map_refused("logger",
                       "{'series':'s','unit':'F','zone':'UTC','interval_s':'1','columns':{'time':'"
                       "T','channel-1':'K'}}",
                       CODE_FIELD_CHOICE, "unit");
    assert_map_refused("logger",
                       "{'series':'s','unit':'Cel','zone':'UTC','interval_s':'1',"
                       "'columns':{'time':'T','date':'D','clock':'C','channel-1':'K'}}",
                       CODE_FIELD_CHOICE, "columns.time");
    assert_map_refused("seed",
                       "{'columns':{'supplier':'S','item':'I','mass':'M','place':'P'},'unit':'lb'}",
                       CODE_FIELD_CHOICE, "unit");
}

static void words_for_states_are_ours(void **state)
{
    assert_map_refused(
        "results",
        "{'columns':{'sample':'S','organism':'O','state':'F'},'codes':{'state':{'nd':'fine'}}}",
        CODE_FIELD_CHOICE, "codes.state.nd");
    assert_map_refused("orders", "{" ORDERS ",'codes':{'state':{'x':'shipped'}}}",
                       CODE_FIELD_CHOICE, "codes.state.x");
    assert_map_refused(
        "checkweigher",
        "{'series':'s','unit':'g','zone':'UTC','columns':{'n':'N','time':'T','weight':'K'},"
        "'codes':{'verdict':{'x':'ok'}}}",
        CODE_FIELD_CHOICE, "codes.verdict.x");
}

static void the_days_of_a_book_are_checked(void **state)
{
    static const struct {
        const char *book;
        enum code code;
        const char *field;
    } rows[] = {
        {"{'from':{'date':'2026-03-01'}}", CODE_FIELD_MISSING, "whole_book.to"},
        {"{'from':{'date':'2026-03-32'},'to':{'of':'rows'}}", CODE_DATE_BAD, "whole_book.from"},
        {"{'from':{'of':'file'},'to':{'of':'rows'}}", CODE_FIELD_CHOICE, "whole_book.from"},
        {"{'from':{},'to':{'of':'rows'}}", CODE_FIELD_CHOICE, "whole_book.from"},
        {"{'from':{'row':'a','column':'b'},'to':{'of':'rows'}}", CODE_FIELD_CHOICE,
         "whole_book.from"},
        {"{'from':{'cell':'a'},'to':{'of':'rows'}}", CODE_FIELD_UNKNOWN, "whole_book.from.cell"},
        {"{'from':{'column':1},'to':{'of':'rows'}}", CODE_FIELD_TYPE, "whole_book.from"},
        {"{'from':{'date':'2026-03-02'},'to':{'date':'2026-03-01'}}", CODE_FIELD_RANGE,
         "whole_book.to"},
        {"{'from':'2026-03-02','to':{'date':'2026-03-01'}}", CODE_FIELD_TYPE, "whole_book.from"},
        {"true", CODE_FIELD_TYPE, "whole_book"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_map_refused("orders",
                           arena_printf(&fx.arena, "{" ORDERS ",'whole_book':%s}", rows[i].book),
                           rows[i].code, rows[i].field);
    }
}

#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        T(what_is_not_said_has_a_default), T(everything_can_be_said), T(needed_fields_are_named),
        T(strange_fields_are_refused),     T(values_are_checked),     T(words_for_states_are_ours),
        T(the_days_of_a_book_are_checked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
