#include "../support.h"

#include "base/json.h"
#include "base/random.h"

static json_t *read_ok(const char *text)
{
    json_t *value = NULL;
    assert_ok(json_read(text, strlen(text), 1 << 20, &value));
    assert_non_null(value);
    return value;
}

static void assert_refused(const char *text, size_t len, enum code code, int line, int column)
{
    json_t *value = (json_t *)(uintptr_t)1;
    struct result r = json_read(text, len, 1 << 20, &value);
    assert_code_at(r, code, __FILE__, __LINE__);
    assert_null(value);
    assert_int_equal(r.line, line);
    if (column > 0) {
        assert_int_equal(r.column, column);
    }
}

static void bad_text_is_refused_with_its_place(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int line;
    } cases[] = {
        {"", 1},
        {"{\"a\": 1,}", 1},
        {"{\"a\": 1}\n x", 2},
        {"[1,\n2,\n 03]", 3},
        {"{\n\"a\": nan\n}", 2},
        {"[\"\xff\"]", 1},
        {"[\"\xc3\"]", 1},
        {"[\"\\ud83d\"]", 1},
        {"[\"a\nb\"]", 1},
        {"{'a': 1}", 1},
        {"[1] // note", 1},
        {"\"open", 1},
        {"[99999999999999999999]", 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_refused(cases[i].text, strlen(cases[i].text), CODE_JSON_BAD, cases[i].line, 0);
    }
    assert_refused("[1]\0", 4, CODE_JSON_BAD, 1, 0);
    assert_refused("[\"a\\u0000\"]", 11, CODE_JSON_BAD, 1, 0);
}

static void a_name_twice_is_refused(void **state)
{
    (void)state;
    const char *text = "{\"lot\": 1,\n \"x\": {\"mass\": 1, \"mass\": 2}}";
    json_t *value;
    struct result r = json_read(text, strlen(text), 1 << 20, &value);
    assert_code(r, JSON_DUPLICATE);
    assert_int_equal(r.line, 2);
    assert_string_equal(r.value[0], "\"mass\"");
    json_decref(read_ok("{\"a\": {\"b\": 1}, \"b\": {\"a\": 1}}"));
}

/* "[[[...1...]]]", or the same of objects. */
static char *nested(size_t depth, const char *open, const char *close)
{
    size_t open_len = strlen(open), close_len = strlen(close);
    char *text = malloc(depth * (open_len + close_len) + 2);
    assert_non_null(text);
    char *at = text;
    for (size_t i = 0; i < depth; i++, at += open_len) {
        memcpy(at, open, open_len);
    }
    *at++ = '1';
    for (size_t i = 0; i < depth; i++, at += close_len) {
        memcpy(at, close, close_len);
    }
    *at = '\0';
    return text;
}

static void depth_is_capped(void **state)
{
    (void)state;
    static const char *const kinds[][2] = {{"[", "]"}, {"{\"a\":", "}"}, {"[\n", "\n]"}};
    for (size_t k = 0; k < 3; k++) {
        char *text = nested(JSON_DEPTH_MAX, kinds[k][0], kinds[k][1]);
        json_decref(read_ok(text));
        free(text);
        text = nested(JSON_DEPTH_MAX + 1, kinds[k][0], kinds[k][1]);
        json_t *value;
        struct result r = json_read(text, strlen(text), 1 << 20, &value);
        assert_code(r, JSON_DEEP);
        assert_int_equal(r.line, k == 2 ? JSON_DEPTH_MAX + 1 : 1);
        free(text);
    }
    /* Far too deep, and never closed. */
    size_t len = 20 * 1000 * 1000;
    char *text = malloc(len);
    assert_non_null(text);
    memset(text, '[', len);
    json_t *value;
    assert_code(json_read(text, len, len, &value), JSON_DEEP);
    free(text);
}

static void brackets_in_texts_do_not_count(void **state)
{
    (void)state;
    char text[1200] = "[\"\\\"\\\\";
    memset(text + 6, '[', 1000);
    memcpy(text + 1006, "\", {}, \"\\\\\", []]", 17);
    json_decref(read_ok(text));
}

static void size_is_capped(void **state)
{
    (void)state;
    json_t *value;
    assert_code(json_read("[1, 2]", 6, 5, &value), INPUT_LARGE);
    assert_ok(json_read("[1, 2]", 6, 6, &value));
    json_decref(value);
}

static void what_was_taken_in_can_be_read_back(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 20);
    char *text = nested(JSON_DEPTH_MAX, "{\"a\":", "}");
    json_t *entry = json_pack("{s:{s:o}}", "body", "command", read_ok(text));
    free(text);
    const char *stored = json_canonical(&a, entry);
    json_t *back, *refused;
    assert_ok(json_read_stored(stored, &back));
    assert_true(json_equal(entry, back));
    assert_code(json_read(stored, strlen(stored), 1 << 20, &refused), JSON_DEEP);
    json_decref(entry);
    json_decref(back);
    arena_release(&a);
}

static void real_numbers_are_found(void **state)
{
    (void)state;
    static const struct {
        const char *text, *field;
        enum code code;
    } cases[] = {
        {"{\"a\": [1, -2, \"3.5\", null, true]}", "", CODE_OK},
        {"{\"lots\": [{\"mass\": 1}, {\"mass\": 2.0}]}", "lots[1].mass", CODE_FIELD_TYPE},
        {"[[1, 1e2]]", "[0][1]", CODE_FIELD_TYPE},
        {"{\"a\": 9007199254740991, \"b\": -9007199254740991}", "", CODE_OK},
        {"{\"a\": 9007199254740992}", "a", CODE_FIELD_RANGE},
        {"{\"a\": {\"b\": -9007199254740992}}", "a.b", CODE_FIELD_RANGE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        json_t *value = read_ok(cases[i].text);
        struct result r = json_no_reals(value);
        assert_code_at(r, cases[i].code, __FILE__, __LINE__);
        assert_string_equal(r.field, cases[i].field);
        json_decref(value);
    }
}

static void assert_canonical(const char *text, const char *wanted)
{
    struct arena a;
    arena_init(&a, 1 << 20);
    json_t *value = read_ok(text);
    assert_string_equal(json_canonical(&a, value), wanted);
    json_decref(value);
    arena_release(&a);
}

static void numbers_and_texts_are_written_exactly(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 16);
    assert_canonical("[0,-1,10,-907,9007199254740991,-9007199254740991]",
                     "[0,-1,10,-907,9007199254740991,-9007199254740991]");
    assert_string_equal(json_quoted(&a, ""), "\"\"");
    assert_string_equal(json_quoted(&a, "a \"b\"\\\n\xc3\xa9"), "\"a \\\"b\\\"\\\\\\n\xc3\xa9\"");
    arena_release(&a);
}

static void one_written_form(void **state)
{
    (void)state;
    assert_canonical(" { \"b\" : [ 1 , -0 , 2 ] , \"a\" : { } , \"\" : [ ] } ",
                     "{\"\":[],\"a\":{},\"b\":[1,0,2]}");
    assert_canonical("[\"\\u0001\\u001f\\b\\t\\n\\f\\r\\\"\\\\\\/\\u007f\\u00e9\"]",
                     "[\"\\u0001\\u001f\\b\\t\\n\\f\\r\\\"\\\\/\x7f\u00e9\"]");
    assert_canonical("\"alone\"", "\"alone\"");
    assert_canonical("[true,false,null]", "[true,false,null]");
    /* By UTF-16 code units: U+10000 is D800 DC00, before U+E000 and U+FFFD; a prefix comes first.
     */
    assert_canonical(
        "{\"\\ufffd\":1,\"\\ud800\\udc00\":2,\"\\ue000\":3,\"\\ud7ff\":4,\"a\":5,\"ab\":6}",
        "{\"a\":5,\"ab\":6,\"\ud7ff\":4,\"\U00010000\":2,\"\ue000\":3,\"\ufffd\":1}");
    assert_canonical("{\"x\\ud83d\\ude00\":1,\"x\\ud83d\\ude01\":2,\"x\\uf000\":3}",
                     "{\"x\U0001F600\":1,\"x\U0001F601\":2,\"x\uf000\":3}");
}

static json_t *random_value(struct random *r, int depth)
{
    switch (random_below(r, depth > 0 ? 6 : 4)) {
    case 0:
        return json_integer((json_int_t)(random_u64(r) >> 11) * (random_below(r, 2) ? 1 : -1));
    case 1:
        return json_boolean((int)random_below(r, 2));
    case 2:
        return json_null();
    case 3: {
        char text[40];
        size_t len = 0;
        for (uint64_t left = random_below(r, 9); left > 0; left--) {
            static const char *const pieces[] = {"a",      "\n",         "\"",  "\\",
                                                 "\u00fc", "\U0001F600", "\x01"};
            const char *piece = pieces[random_below(r, 7)];
            memcpy(text + len, piece, strlen(piece));
            len += strlen(piece);
        }
        return json_stringn(text, len);
    }
    case 4: {
        json_t *list = json_array();
        for (uint64_t left = random_below(r, 5); left > 0; left--) {
            json_array_append_new(list, random_value(r, depth - 1));
        }
        return list;
    }
    default: {
        json_t *object = json_object();
        for (uint64_t left = random_below(r, 5); left > 0; left--) {
            char key[24];
            snprintf(key, sizeof key, "k%llu", (unsigned long long)random_below(r, 1000));
            json_object_set_new(object, key, random_value(r, depth - 1));
        }
        return object;
    }
    }
}

static void random_values_come_back(void **state)
{
    (void)state;
    struct random r;
    random_seed(&r, 3);
    struct arena a;
    arena_init(&a, 1 << 24);
    for (int i = 0; i < 500; i++) {
        json_t *value = random_value(&r, 5), *back = NULL;
        assert_ok(json_no_reals(value));
        const char *text = json_canonical(&a, value);
        assert_ok(json_read(text, strlen(text), 1 << 20, &back));
        assert_true(json_equal(value, back));
        assert_string_equal(json_canonical(&a, back), text);
        json_decref(value);
        json_decref(back);
        arena_clear(&a);
    }
    arena_release(&a);
}

static void write_a_real(void *argument)
{
    struct arena a;
    arena_init(&a, 1 << 16);
    json_canonical(&a, argument);
}

static void a_real_number_is_never_written(void **state)
{
    (void)state;
    json_t *real = json_real(1.5), *wide = json_integer(INT64_MAX);
    assert_aborts(write_a_real, real);
    assert_aborts(write_a_real, wide);
    json_decref(real);
    json_decref(wide);
}

static void getters_take_what_they_name(void **state)
{
    (void)state;
    json_t *o = read_ok("{\"t\":\"x\",\"i\":5,\"b\":true,\"l\":[1],\"o\":{\"k\":1},\"n\":null}");
    const char *text = "kept";
    int64_t number = 77;
    bool truth = false;
    json_t *value = NULL;
    assert_ok(json_get_text(o, "t", "t", JSON_NEEDED, &text));
    assert_string_equal(text, "x");
    assert_ok(json_get_int(o, "i", "i", JSON_NEEDED, 5, 5, &number));
    assert_int_equal(number, 5);
    assert_ok(json_get_bool(o, "b", "b", JSON_NEEDED, &truth));
    assert_true(truth);
    assert_ok(json_get_array(o, "l", "l", JSON_NEEDED, &value));
    assert_int_equal(json_array_size(value), 1);
    assert_ok(json_get_object(o, "o", "o", JSON_NEEDED, &value));
    assert_int_equal(json_object_size(value), 1);
    /* Absent and null are alike, and leave what was there. */
    assert_ok(json_get_text(o, "none", "none", JSON_OPTIONAL, &text));
    assert_ok(json_get_text(o, "n", "n", JSON_OPTIONAL, &text));
    assert_string_equal(text, "x");
    struct result r = json_get_int(o, "n", "lots[0].n", JSON_NEEDED, 0, 9, &number);
    assert_code(r, FIELD_MISSING);
    assert_string_equal(r.field, "lots[0].n");
    assert_code(json_get_text(o, "i", "i", JSON_NEEDED, &text), FIELD_TYPE);
    assert_code(json_get_int(o, "t", "t", JSON_OPTIONAL, 0, 9, &number), FIELD_TYPE);
    assert_code(json_get_bool(o, "i", "i", JSON_NEEDED, &truth), FIELD_TYPE);
    assert_code(json_get_array(o, "o", "o", JSON_NEEDED, &value), FIELD_TYPE);
    assert_code(json_get_object(o, "l", "l", JSON_NEEDED, &value), FIELD_TYPE);
    assert_code(json_get_int(o, "i", "i", JSON_NEEDED, 6, 9, &number), FIELD_RANGE);
    assert_code(json_get_int(o, "i", "i", JSON_NEEDED, 0, 4, &number), FIELD_RANGE);
    assert_int_equal(number, 5);
    json_decref(o);
}

static void an_unknown_name_is_named(void **state)
{
    (void)state;
    static const char *const names[] = {"lot", "mass", NULL};
    json_t *o = read_ok("{\"lot\": 1, \"mas\": 2}");
    struct result r = json_only(o, "", "a harvest", names);
    assert_code(r, FIELD_UNKNOWN);
    assert_string_equal(r.field, "mas");
    assert_string_equal(r.value[0], "a harvest");
    r = json_only(o, "outputs[1]", "an output", names);
    assert_string_equal(r.field, "outputs[1].mas");
    json_object_del(o, "mas");
    assert_ok(json_only(o, "", "a harvest", names));
    json_decref(o);
}

static void assert_before(const char *text, const char *name, const char *wanted)
{
    struct arena a;
    json_t *value;
    arena_init(&a, 1 << 16);
    assert_ok(json_read_stored_before(&a, text, name, &value));
    assert_string_equal(json_canonical(&a, value), wanted);
    json_decref(value);
    arena_release(&a);
}

/* Only a name of the object itself ends it; one in a text or further in does not. */
static void the_members_before_a_name_are_read(void **state)
{
    (void)state;
    assert_before(
        "{\"answer\":{\"effects\":1},\"did\":[\"effects\",{\"effects\":2}],\"effects\":[3]}",
        "effects", "{\"answer\":{\"effects\":1},\"did\":[\"effects\",{\"effects\":2}]}");
    assert_before("{\"did\":\",\\\"effects\\\":[\",\"effects\":[],\"z\":1}", "effects",
                  "{\"did\":\",\\\"effects\\\":[\"}");
    assert_before("{\"a\":\"\\\\\",\"effects\":[]}", "effects", "{\"a\":\"\\\\\"}");
    assert_before("{\"effects\":[]}", "effects", "{}");
    assert_before("{\"effect\":1,\"effectss\":2}", "effects", "{\"effect\":1,\"effectss\":2}");
    assert_before("{}", "effects", "{}");
    struct arena a;
    json_t *value;
    arena_init(&a, 1 << 16);
    assert_code(json_read_stored_before(&a, "{\"did\":", "effects", &value), JSON_BAD);
    assert_code(json_read_stored_before(&a, "{\"did\":\"", "effects", &value), JSON_BAD);
    arena_release(&a);
}

/* The library's own writer is the other opinion. */
static void an_answer_is_written_as_the_library_writes_it(void **state)
{
    (void)state;
    const char *const texts[] = {
        "{\"b\":1,\"a\":[true,false,null,{}],\"\":\"\"}",
        "[0,-1,9223372036854775807,-9223372036854775808,0.1,1e300,-2.5]",
        "\"\\\"\\\\ \\n\\t\\b\\f\\r / \\u00e9 \\ud83c\\udf31\"",
        "[[],[[]],{\"x\":{\"y\":[1,2]}}]",
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        json_t *value;
        size_t len;
        assert_ok(json_read(texts[i], strlen(texts[i]), 1000, &value));
        char *own = json_text(value, &len),
             *theirs = json_dumps(value, JSON_COMPACT | JSON_ENCODE_ANY);
        assert_string_equal(own, theirs);
        assert_int_equal(len, strlen(theirs));
        free(own);
        free(theirs);
        json_decref(value);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bad_text_is_refused_with_its_place),
        cmocka_unit_test(a_name_twice_is_refused),
        cmocka_unit_test(depth_is_capped),
        cmocka_unit_test(brackets_in_texts_do_not_count),
        cmocka_unit_test(size_is_capped),
        cmocka_unit_test(what_was_taken_in_can_be_read_back),
        cmocka_unit_test(real_numbers_are_found),
        cmocka_unit_test(the_members_before_a_name_are_read),
        cmocka_unit_test(an_answer_is_written_as_the_library_writes_it),
        cmocka_unit_test(one_written_form),
        cmocka_unit_test(random_values_come_back),
        cmocka_unit_test(a_real_number_is_never_written),
        cmocka_unit_test(getters_take_what_they_name),
        cmocka_unit_test(an_unknown_name_is_named),
        cmocka_unit_test(numbers_and_texts_are_written_exactly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
