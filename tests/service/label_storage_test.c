#include "fixture.h"

#include "base/file.h"

/* The project's profile with these rows in place of its own; -> the line they begin on. */
static const char *profile_with(struct site *s, const char *rows, size_t *out_len)
{
    static const char key[] = "\"label_storage\": [";
    char *text;
    size_t len;
    assert_ok(file_read(&s->arena, PROFILE_FILE, 4 << 20, &text, &len));
    char *from = strstr(text, key);
    assert_non_null(from);
    char *to = strstr(from, "\n  ]");
    assert_non_null(to);
    const char *made =
        arena_printf(&s->arena, "%.*s%s%s%s", (int)(from - text), text, key, rows, to);
    *out_len = strlen(made);
    return made;
}

static struct result read_with(struct site *s, const char *rows, struct profile **out)
{
    size_t len;
    const char *text = profile_with(s, rows, &len);
    return profile_read(text, len, out);
}

static void the_row_that_names_an_item_wins(void **state)
{
    (void)state;
    struct site s;
    struct profile *p;
    site_open(&s);
    assert_ok(read_with(&s,
                        "\n{\"text\": \"Keep cool.\", \"source\": \"uc-davis\"},"
                        "\n{\"items\": [\"HT50\", \"HT100\"], \"text\": \"Guardar en seco.\", "
                        "\"language\": \"es\", \"source\": \"house-practice\"}",
                        &p));
    assert_string_equal(profile_label_storage(p, "HT100")->text, "Guardar en seco.");
    assert_string_equal(profile_label_storage(p, "HT100")->language, "es");
    assert_string_equal(profile_label_storage(p, "M250")->text, "Keep cool.");
    assert_string_equal(profile_label_storage(p, "M250")->language, "en"); /* where none is said */
    profile_free(p);
    assert_ok(read_with(&s, "", &p));
    assert_null(profile_label_storage(p, "M250"));
    profile_free(p);
    site_close(&s);
}

static void a_bad_row_is_named_with_its_line(void **state)
{
    (void)state;
    static const struct {
        const char *rows, *field;
        uint32_t line; /* after the line of the key */
    } bad[] = {
        {"\n{\"text\": \"Keep cool.\", \"source\": \"nobody\"}", "label_storage[0].source", 1},
        {"\n{\"text\": \"A\", \"source\": \"uc-davis\"},\n{\"text\": \"B\", \"source\": "
         "\"uc-davis\"}",
         "label_storage[1]", 2},
        {"\n{\"text\": \"A\", \"language\": \"xx\", \"source\": \"uc-davis\"}",
         "label_storage[0].language", 1},
        {"\n{\"text\": \"\", \"source\": \"uc-davis\"}", "label_storage[0].text", 1},
    };
    struct site s;
    site_open(&s);
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct profile *p = NULL;
        size_t len;
        const char *text = profile_with(&s, bad[i].rows, &len);
        uint32_t line = 1;
        for (const char *at = text; at < strstr(text, "\"label_storage\""); at++) {
            line += *at == '\n';
        }
        struct result r = profile_read(text, len, &p);
        assert_code(r, PROFILE_BAD);
        assert_string_equal(r.field, bad[i].field);
        assert_int_equal(r.line, line + bad[i].line);
        assert_null(p);
    }
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_row_that_names_an_item_wins),
        cmocka_unit_test(a_bad_row_is_named_with_its_line),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
