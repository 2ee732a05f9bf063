/* Keys and element strings as their publishers print them. */
#include "../support.h"

#include "paper/gs1.h"

static const char calculator[] =
    "GS1, How to calculate a check digit manually, and GS1 Hong Kong, Check digit calculator - "
    "published (seen)";
static const char sweden[] = "GS1 Sweden, Så beräknas kontrollsiffran - published (seen)";
static const char india[] = "GS1 India, Check digit calculator - published (seen)";
static const char united_kingdom[] =
    "GS1 UK, Check digit sheet: the number without its digit - computed here";
static const char dictionary[] =
    "GS1, Barcode Syntax Dictionary, 2026-07-27, unit tests of the linters - published (seen)";
static const char engine[] =
    "GS1, Barcode Syntax Engine, 2026-06-23, unit tests (Apache-2.0) - published (seen)";
static const char digital_link[] =
    "GS1, Digital Link standard, examples kept in the unit tests of GS1, Barcode Syntax Engine, "
    "2026-06-23 - published (seen)";
static const char link_pages[] =
    "Barcode Writer in Pure PostScript, wiki page GS1 Digital Link URIs - published (seen)";
static const char denmark[] = "GS1 Denmark, Application identifiers, page 30 - published (seen)";

static struct arena arena;

static int arena_open(void **state)
{
    (void)state;
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    return 0;
}

static int arena_shut(void **state)
{
    (void)state;
    arena_release(&arena);
    return 0;
}

static void told(bool right, const char *what, const char *source)
{
    if (!right) {
        fail_msg("%s: %s", what, source);
    }
}

static void check_digits(void **state)
{
    (void)state;
    static const struct {
        const char *digits;
        char check;
        const char *source;
    } cases[] = {
        {"629104150021", '3', calculator},
        {"730001100001", '7', sweden},
        {"890400021003", '7', india},
        {"501234567890", '0', united_kingdom},
        {"0234567", '3', dictionary},
        {"41600033610", '8', dictionary},
        {"123456789012", '8', dictionary},
        {"1234567890123", '1', dictionary},
        {"12345678901234567", '5', dictionary},
        {"2401234567890", '5', engine},
        {"95201234567891234", '5', digital_link},
        {"10614141123456789", '7', link_pages},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char got = gs1_check_digit(cases[i].digits, strlen(cases[i].digits));
        told(got == cases[i].check, cases[i].digits, cases[i].source);
        const char *whole = arena_printf(&arena, "%s%c", cases[i].digits, cases[i].check);
        struct result r = gs1_key_check(whole, "key");
        told(r.code == CODE_OK, whole, cases[i].source);
    }
}

static void wrong_check_digits(void **state)
{
    (void)state;
    struct result r = gs1_key_check("416000336109", "key");
    told(r.code == CODE_KEY_CHECK && r.column == 12, "416000336109", dictionary);
    r = gs1_key_check("24012345678909", "key");
    told(r.code == CODE_KEY_CHECK && r.column == 14, "24012345678909", engine);
}

/* "(01)123(10)ABC" -> elements; no value of these cases holds a bracket that could mislead. */
static size_t elements_of(const char *bracketed, struct gs1_element *out)
{
    size_t count = 0;
    char *at = arena_copy(&arena, bracketed);
    while (*at == '(') {
        char *shut = strchr(at, ')');
        assert_non_null(shut);
        *shut = '\0';
        char *end = strstr(shut + 1, "(");
        while (end != NULL && end[-1] == '\\') { /* \( is a bracket of the value */
            memmove(end - 1, end, strlen(end) + 1);
            end = strstr(end, "(");
        }
        out[count] = (struct gs1_element){at + 1, shut + 1, "value"};
        count++;
        if (end == NULL) {
            break;
        }
        out[count - 1].value = arena_copy_n(&arena, shut + 1, (size_t)(end - shut - 1));
        at = end;
    }
    return count;
}

/* The publisher writes ^ for the separator, also in front. */
static const char *with_carets(const struct gs1_string *s)
{
    char *text = arena_printf(&arena, "^%s", s->scanned);
    for (char *c = text; *c != '\0'; c++) {
        *c = *c == GS1_SEPARATOR ? '^' : *c;
    }
    return text;
}

static void element_strings(void **state)
{
    (void)state;
    static const struct {
        const char *bracketed, *wanted, *source;
    } cases[] = {
        {"(01)12345678901231", "^0112345678901231", engine},
        {"(10)12345", "^1012345", engine},
        {"(01)12345678901231(10)12345", "^01123456789012311012345", engine},
        {"(3100)123456(10)12345", "^31001234561012345", engine},
        {"(10)12345(11)991225", "^1012345^11991225", engine},
        {"(10)12345\\(11)991225", "^1012345(11)991225", engine},
        {"(10)12345\\(", "^1012345(", engine},
        {"(01)09520123456788(10)ABC1(21)12345(17)180426",
         "^010952012345678810ABC1^2112345^17180426", digital_link},
        {"(01)09520123456788(3103)000195", "^01095201234567883103000195", digital_link},
        {"(00)952012345678912345(02)09520123456788(37)25(10)ABC123",
         "^0095201234567891234502095201234567883725^10ABC123", digital_link},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct gs1_element elements[8];
        struct gs1_string s;
        size_t count = elements_of(cases[i].bracketed, elements);
        assert_ok(gs1_string_make(&arena, elements, count, &s));
        told(strcmp(with_carets(&s), cases[i].wanted) == 0, cases[i].bracketed, cases[i].source);
    }
}

static void refused_element_strings(void **state)
{
    (void)state;
    static const struct {
        const char *bracketed;
        enum code code;
    } cases[] = {
        {"(10)(11)98765", CODE_ELEMENT_LENGTH},
        {"(10)12345(11)", CODE_ELEMENT_LENGTH},
        {"(01)123456789012312(10)12345", CODE_ELEMENT_LENGTH},
        {"(10)12345^", CODE_ELEMENT_CHARACTER},
        {"(17)9(90)217", CODE_ELEMENT_LENGTH},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct gs1_element elements[8];
        struct gs1_string s;
        size_t count = elements_of(cases[i].bracketed, elements);
        struct result r = gs1_string_make(&arena, elements, count, &s);
        told(r.code == cases[i].code, cases[i].bracketed, engine);
    }
}

static void pairs(void **state)
{
    (void)state;
    static const struct {
        const char *bracketed;
        enum code code;
    } cases[] = {
        {"(01)12345678901231(02)12345678901231", CODE_ELEMENT_CLASH},
        {"(01)12345678901231(37)123", CODE_ELEMENT_CLASH},
        {"(02)12345678901231", CODE_ELEMENT_NEEDS},
        {"(02)12345678901231(37)123", CODE_ELEMENT_NEEDS},
        {"(02)12345678901231(37)123(00)123456789012345675", CODE_OK},
        {"(21)ABC123", CODE_ELEMENT_NEEDS},
        {"(21)ABC123(01)12345678901231", CODE_OK},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct gs1_element elements[8];
        size_t count = elements_of(cases[i].bracketed, elements);
        struct result r = gs1_elements_check(elements, count);
        told(r.code == cases[i].code, cases[i].bracketed, engine);
    }
}

/* The century does not show in six digits: these leap years are those of 2000 to 2099. */
static void dates(void **state)
{
    (void)state;
    static const struct {
        const char *date;
        bool right;
    } cases[] = {{"000229", true},  {"210229", false}, {"240229", true},
                 {"240230", false}, {"960229", true},  {"200431", false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const struct gs1_element e = {"17", cases[i].date, "value"};
        struct gs1_string s;
        struct result r = gs1_string_make(&arena, &e, 1, &s);
        told((r.code == CODE_OK) == cases[i].right, cases[i].date, dictionary);
    }
}

static void net_weights(void **state)
{
    (void)state;
    static const struct {
        int64_t mass_mg;
        int decimals;
        const char *ai, *value;
    } cases[] = {
        {195000, 3, "3103", "000195"},
        {35000000, 0, "3100", "000035"},
        {35000, 3, "3103", "000035"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct gs1_element e;
        assert_ok(gs1_net_weight(&arena, cases[i].mass_mg, cases[i].decimals, "net", &e));
        told(strcmp(e.ai, cases[i].ai) == 0 && strcmp(e.value, cases[i].value) == 0, cases[i].value,
             denmark);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(check_digits, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(wrong_check_digits, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(element_strings, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(refused_element_strings, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(pairs, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(dates, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(net_weights, arena_open, arena_shut),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
