/* The catalogues: each language says everything, and nothing in them is without use. */
#include "../support.h"

#include <ctype.h>
#include <ftw.h>
#include <jansson.h>

#include "base/civil.h"
#include "base/file.h"
#include "base/words.h"

static json_t *catalogue(const char *lang)
{
    char path[512];
    json_error_t error;
    snprintf(path, sizeof path, "%s/words/%s.json", SOURCE_ROOT, lang);
    json_t *file = json_load_file(path, JSON_REJECT_DUPLICATES, &error);
    if (file == NULL) fail_msg("%s:%d: %s", path, error.line, error.text);
    return file;
}

/* Of a part of an entry, as service/sentence.h has it: {d.mass}, {=d.state}, {a.lot|d.lot}. */
static size_t named_length(const char *at)
{
    size_t len = 1 + strspn(at + 1, "=|._-abcdefghijklmnopqrstuvwxyz");
    return len > 1 && at[len] == '}' ? len + 1 : 0;
}

/* One bit for each of {0}..{9}, and one for {field}; above them a sum over those with other names.
 */
static unsigned long placeholders(const char *text)
{
    unsigned long found = 0;
    for (const char *c = strchr(text, '{'); c != NULL; c = strchr(c + 1, '{')) {
        if (strncmp(c, "{field}", 7) == 0) {
            found |= 1U << 10;
        } else if (named_length(c) > 0) {
            unsigned long sum = 0;
            for (size_t i = 0; i < named_length(c); i++) {
                sum = sum * 31 + (unsigned char)c[i];
            }
            found += sum << 12;
        } else if (c[1] >= '0' && c[1] <= '9' && c[2] == '}') {
            found |= 1U << (c[1] - '0');
        } else {
            found |= 1U << 11; /* no placeholder at all: differs from everything that is right */
            print_message("bad placeholder in: %s\n", text);
        }
    }
    return found;
}

/* Sentences of entries alone name their values: everybody else would print the braces. */
static void values_are_named_in_sentences_of_entries_alone(void **state)
{
    (void)state;
    json_t *en = catalogue("en");
    const char *key;
    json_t *text;
    json_object_foreach(en, key, text)
    {
        const char *c = strncmp(key, "told.", 5) == 0 ? NULL : strchr(json_string_value(text), '{');
        for (; c != NULL; c = strchr(c + 1, '{')) {
            if (named_length(c) > 0 && strncmp(c, "{field}", 7) != 0) {
                fail_msg("%s: number the values, as {0}: %s", key, json_string_value(text));
            }
        }
    }
    json_decref(en);
}

static void each_sentence_has_its_translation(void **state)
{
    (void)state;
    json_t *en = catalogue("en"), *es = catalogue("es");
    const char *key;
    json_t *text;
    assert_true(json_object_size(en) > 10);
    json_object_foreach(en, key, text)
    {
        const char *other = json_string_value(json_object_get(es, key));
        if (other == NULL) fail_msg("es.json lacks %s", key);
        if (placeholders(json_string_value(text)) != placeholders(other) ||
            (placeholders(other) >> 11 & 1) != 0) {
            fail_msg("%s: the placeholders differ: %s", key, other);
        }
    }
    json_object_foreach(es, key, text)
    {
        bool code = strncmp(key, "code.", 5) == 0 && code_from_id(key + 5) != CODE_COUNT;
        bool value = strncmp(key, "value.", 6) == 0 || strncmp(key, "reason.", 7) == 0;
        /* its English is its name */
        if (!code && !value && json_object_get(en, key) == NULL) fail_msg("en.json lacks %s", key);
    }
    json_decref(en);
    json_decref(es);
}

static void each_code_has_its_translation(void **state)
{
    (void)state;
    json_t *en = catalogue("en"), *es = catalogue("es");
    for (int i = 0; i < CODE_COUNT; i++) {
        char key[100];
        snprintf(key, sizeof key, "code.%s", code_id((enum code)i));
        const char *other = json_string_value(json_object_get(es, key));
        if (other == NULL) fail_msg("es.json lacks %s", key);
        if (placeholders(code_sentence((enum code)i)) != placeholders(other)) {
            fail_msg("%s: the placeholders differ: %s", key, other);
        }
        assert_null(json_object_get(en, key)); /* codes.def alone says it in English */
    }
    json_decref(en);
    json_decref(es);
}

/* All text of the program and its pages. */
static struct arena source_arena;
static const char *sources[2000];
static size_t source_count;

/* Where a literal may begin in them, in the order of what follows: each key is looked for among
 * all of it. */
enum { LITERAL_MAX = 250 };
static const char **quotes;
static size_t quote_count, quote_room;

/* Literals that go on in the next line become one. */
static void join_literals(char *text)
{
    char *to = text;
    for (const char *c = text; *c != '\0';) {
        size_t gap = *c == '"' ? 1 + strspn(c + 1, " \n") : 0;
        bool goes_on = gap > 1 && memchr(c, '\n', gap) != NULL && c[gap] == '"' && to > text &&
                       to[-1] != '\\' && to[-1] != '"';
        if (goes_on) {
            c += gap + 1;
        } else {
            *to++ = *c++;
        }
    }
    *to = '\0';
}

static bool is_quote(char c)
{
    return c == '"' || c == '\'' || c == '`';
}

static void keep_quotes(const char *text)
{
    for (const char *c = text; *c != '\0'; c++) {
        if (!is_quote(*c)) continue;
        if (quote_count == quote_room) {
            quote_room = quote_room > 0 ? 2 * quote_room : 1 << 16;
            quotes = realloc(quotes, quote_room * sizeof *quotes);
            assert_non_null(quotes);
        }
        quotes[quote_count++] = c;
    }
}

static int keep_source(const char *path, const struct stat *info, int type, struct FTW *at)
{
    static const char *const ends[] = {".c", ".h", ".ts", ".tsx", ".def"};
    if (type == FTW_D && strcmp(path + at->base, "node_modules") == 0) {
        return FTW_SKIP_SUBTREE;
    }
    for (size_t i = 0; type == FTW_F && i < sizeof ends / sizeof ends[0]; i++) {
        size_t len = strlen(path), end = strlen(ends[i]), size;
        char *text;
        if (len > end && strcmp(path + len - end, ends[i]) == 0) {
            assert_ok(file_read(&source_arena, path, 8 << 20, &text, &size));
            join_literals(text);
            assert_true(source_count < sizeof sources / sizeof sources[0]);
            keep_quotes(text);
            sources[source_count++] = text;
        }
    }
    return FTW_CONTINUE;
}

static int in_order(const void *x, const void *y)
{
    return strncmp(*(const char *const *)x, *(const char *const *)y, LITERAL_MAX);
}

static int begins_with(const void *text, const void *quote)
{
    return strncmp(text, *(const char *const *)quote, strlen(text));
}

/* A literal, with its first quote, or the beginning of one. */
static bool stands(const char *text)
{
    assert_true(is_quote(text[0]) && strlen(text) < LITERAL_MAX);
    return bsearch(text, quotes, quote_count, sizeof *quotes, begins_with) != NULL;
}

static void read_sources(void)
{
    arena_init(&source_arena, ARENA_LIMIT_DEFAULT);
    source_count = quote_count = 0;
    assert_int_equal(nftw(SOURCE_ROOT "/src", keep_source, 20, FTW_PHYS | FTW_ACTIONRETVAL), 0);
    if (access(SOURCE_ROOT "/ui", F_OK) == 0) {
        assert_int_equal(nftw(SOURCE_ROOT "/ui", keep_source, 20, FTW_PHYS | FTW_ACTIONRETVAL), 0);
    }
    assert_true(source_count > 100);
    qsort(quotes, quote_count, sizeof *quotes, in_order);
}

static void drop_sources(void)
{
    free(quotes);
    quotes = NULL;
    quote_room = 0;
    arena_release(&source_arena);
}

/* A key stands in the text of the program whole, or as the beginning up to one of its points, for
 * keys that are put together from a name. */
static bool used(const char *key)
{
    char text[200];
    snprintf(text, sizeof text, "\"%s\"", key);
    if (stands(text)) {
        return true;
    }
    for (const char *point = strrchr(key, '.'); point != NULL;) {
        static const char *const forms[] = {"\"%.*s.\"", "\"%.*s.%%s\"", "`%.*s.$", "'%.*s.'"};
        for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
            snprintf(text, sizeof text, forms[i], (int)(point - key), key);
            if (stands(text)) {
                return true;
            }
        }
        const char *before = memrchr(key, '.', (size_t)(point - key));
        point = before;
    }
    snprintf(text, sizeof text, "'%s'", key);
    return stands(text);
}

/* A translation of what the program says in a value is one of a text that stands in it. */
static void no_value_is_without_use(const json_t *es)
{
    const char *key;
    json_t *text;
    size_t values = 0;
    json_object_foreach((json_t *)(uintptr_t)es, key, text)
    {
        bool reason = strncmp(key, "reason.", 7) == 0;
        if (reason || strncmp(key, "value.", 6) == 0) {
            json_t *name = json_string(key + (reason ? 7 : 6));
            char *quoted = json_dumps(name, JSON_ENCODE_ANY);
            json_decref(name);
            if (!stands(quoted)) fail_msg("nothing says %s", key);
            free(quoted);
            values++;
        }
    }
    assert_true(values > 100);
}

/* "two words": not one name, a list of names or a range of figures. */
static bool speaks(const char *text)
{
    size_t letters = 0;
    for (const char *c = text; *c != '\0'; c++) {
        if (*c == ' ' && letters > 1 && c[1] != '\0') {
            return true;
        }
        letters = isalpha((unsigned char)*c) ? letters + 1 : 0;
    }
    return false;
}

static void is_said(struct arena *a, const json_t *es, const char *literal, size_t len)
{
    json_t *text = json_loadb(literal, len, JSON_DECODE_ANY, NULL);
    const char *value = json_string_value(text);
    if (value != NULL && speaks(value)) {
        /* "%lld to %lld" is said as "7 to 7" is */
        const char *figures =
            strcmp(value, "%lld to %lld") == 0 || strcmp(value, "%s to %s") == 0 ? "7 to 7" : value;
        bool has = json_object_get(es, arena_printf(a, "value.%s", value)) != NULL ||
                   strcmp(words_value(a, "es", figures), figures) != 0;
        if (!has) fail_msg("es.json lacks value.%s", value);
    }
    json_decref(text);
}

/* What a failure says in its values, where it says it: each literal between FAILn( and its end. */
static void each_value_has_its_translation(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    read_sources();
    json_t *es = catalogue("es");
    size_t looked_at = 0;
    for (size_t i = 0; i < source_count; i++) {
        for (const char *c = strstr(sources[i], "FAIL"); c != NULL; c = strstr(c + 4, "FAIL")) {
            const char *at = c + 4;
            if (!isdigit((unsigned char)at[0]) || at[1] != '(') continue;
            int depth = 0;
            do {
                at++;
                depth += (*at == '(') - (*at == ')');
                if (*at != '"') continue;
                const char *end = at + 1;
                while (*end != '"' && *end != '\0')
                    end += *end == '\\' ? 2 : 1;
                is_said(&a, es, at, (size_t)(end - at) + 1);
                looked_at++;
                at = end;
            } while (depth > 0 && *at != '\0');
        }
    }
    assert_true(looked_at > 1000);
    json_decref(es);
    drop_sources();
    arena_release(&a);
}

static void no_sentence_is_without_use(void **state)
{
    (void)state;
    read_sources();
    json_t *en = catalogue("en"), *es = catalogue("es");
    no_value_is_without_use(es);
    json_decref(es);
    const char *key;
    json_t *text;
    json_object_foreach(en, key, text)
    {
        if (!used(key)) fail_msg("nothing says %s", key);
    }
    json_decref(en);
    drop_sources();
}

/* The next place that asks for a sentence by its key. */
static const char *next_say(const char *text)
{
    const char *words_call = strstr(text, "WORDS("), *say_call = strstr(text, "SAY(");
    if (words_call == NULL || say_call == NULL) {
        return words_call != NULL ? words_call : say_call;
    }
    return words_call < say_call ? words_call : say_call;
}

/* Each text that looks like a key of one of the catalogue's blocks is one. */
static void no_sentence_is_missing(void **state)
{
    (void)state;
    read_sources();
    json_t *en = catalogue("en");
    size_t looked_at = 0;
    for (size_t i = 0; i < source_count; i++) {
        for (const char *c = next_say(sources[i]); c != NULL; c = next_say(c + 1)) {
            const char *quote = c;
            while (*quote != '"' && *quote != ';' && *quote != '\0') {
                quote++;
            }
            if (*quote != '"') {
                continue;
            }
            char key[200];
            snprintf(key, sizeof key, "%.*s", (int)strcspn(quote + 1, "\""), quote + 1);
            if (strspn(key, "abcdefghijklmnopqrstuvwxyz0123456789-.") == strlen(key) &&
                strchr(key, '.') != NULL && key[strlen(key) - 1] != '.') {
                looked_at++;
                if (json_object_get(en, key) == NULL) fail_msg("en.json lacks %s", key);
            }
        }
    }
    assert_true(looked_at > 2);
    json_decref(en);
    drop_sources();
}

static void sentences_are_filled_in(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_string_equal(WORDS(&a, "en", "at.line", "7", "{0} stays"), "line 7: {0} stays");
    assert_string_equal(WORDS(&a, "es", "at.line", "7", "x"), "línea 7: x");
    assert_string_equal(WORDS(&a, "de", "at.line", "7", "x"), "line 7: x");
    assert_string_equal(WORDS(&a, "en", "at.line", NULL), "line : ");
    assert_string_equal(words_of(&a, "en", "month.", "3", "none"), "March");
    assert_string_equal(words_of(&a, "en", "month.", "13", "none"), "none");
    assert_string_equal(WORDS(&a, "en", "verify.counts", "1", "2", "3", "4", "5", "6"),
                        "1 entries, 2 heads, 3 kept heads, 4 files, 5 rows looked at. Root 6.");
    arena_release(&a);
}

/* What is typed in commands stays as it is typed for those who read English. */
static void names_of_the_record_stand_or_are_said(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_string_equal(words_name(&a, "en", "clause.", "seed-approved"), "seed-approved");
    assert_string_equal(words_name(&a, "es", "clause.", "seed-approved"), "Semilla aprobada");
    assert_string_equal(words_name(&a, "xx", "clause.", "clean"), "[Cleeaan] [beefooree] [uusee]");
    assert_string_equal(words_name(&a, "es", "clause.", "of-the-house"), "of-the-house");
    arena_release(&a);
}

static void an_unknown_key(void *argument)
{
    WORDS(argument, "en", "no.such-key", NULL);
}

static void an_unknown_key_stops_the_program(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_aborts(an_unknown_key, &a);
    arena_release(&a);
}

/* Those that the code makes of parts are known by their pattern, and their parts are said too. */
static void values_made_of_parts_are_said_whole(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_string_equal(words_value(&a, "es", "it came at 9.5 C"), "llegó a 9.5 C");
    assert_string_equal(words_value(&a, "en", "it came at 9.5 C"), "it came at 9.5 C");
    assert_string_equal(words_value(&a, "es", "chemical HYPO-3: it is past its date"),
                        "producto químico HYPO-3: ya pasó su fecha");
    assert_string_equal(words_reason(&a, "es", "the count of BLADES-T was 11 instead of 12"),
                        "al contar BLADES-T había 11 en vez de 12");
    assert_string_equal(words_reason(&a, "es", "water: Salmonella positive in sample W-1"),
                        "agua: Salmonella positivo en la muestra W-1");
    assert_string_equal(words_reason(&a, "es", "smell of lot M-7"), "smell of lot M-7");
    assert_string_equal(words_value(&a, "es", "cases of one lot, M-7"),
                        "cajas de un solo lote, M-7");
    /* a figure is asked for, and words of people stand as they are */
    assert_string_equal(words_value(&a, "es", "many sacks"), "many sacks");
    assert_string_equal(words_value(&a, "es", "it came at"), "it came at");
    assert_string_equal(words_value(&a, "es", "it came at "), "it came at ");
    assert_string_equal(words_value(&a, "es", "smelt of soap"), "smelt of soap");
    assert_string_equal(words_value(&a, "es", ""), "");
    arena_release(&a);
}

/* What is not bracketed did not come from the catalogue. */
static void the_stretched_language_shows_what_is_from_elsewhere(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_string_equal(WORDS(&a, "xx", "at.line-column", "7", "3", "from elsewhere"),
                        "[liinee] 7, [cooluumn] 3: from elsewhere");
    struct result r = FAIL1(LOT_UNKNOWN, "lot", "A-1");
    assert_string_equal(
        result_sentence_in(&a, "xx", &r),
        "lot: [theeree] [iis] [noo] [loot] A-1. [Cheeck] [thee] [coodee] [oon] [thee] [laabeel].");
    arena_release(&a);
}

static void a_failure_speaks_the_reader_s_language(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct result r = result_at(FAIL1(LOT_UNKNOWN, "lot", "A-1"), 4, 0);
    assert_string_equal(result_sentence_in(&a, "es", &r),
                        "línea 4: lot: no hay lote A-1. Revisar el código en la etiqueta.");
    r = FAIL2(FIELD_TYPE, "pieces", "a whole number", "many");
    assert_string_equal(result_sentence_in(&a, "es", &r),
                        "pieces debe ser un número entero, no many.");
    r = FAIL2(FIELD_RANGE, "share", "120 %", "0 % to 100 %");
    assert_string_equal(result_sentence_in(&a, "es", &r),
                        "share es 120 %; debe ser de 0 % a 100 %.");
    assert_string_equal(result_sentence_in(&a, "en", &r),
                        "share is 120 %; it must be 0 % to 100 %.");
    r = result_at(FAIL1(LOT_UNKNOWN, "lot", "A-1"), 4, 0);
    assert_string_equal(result_sentence_in(&a, "en", &r),
                        "line 4: lot: there is no lot A-1. Check the code on the label.");
    arena_release(&a);
}

static void languages_are_read_from_what_is_asked(void **state)
{
    (void)state;
    assert_string_equal(words_language("es"), "es");
    assert_string_equal(words_language("es_ES.UTF-8"), "es");
    assert_string_equal(words_language("ES-mx,en;q=0.8"), "es");
    assert_string_equal(words_language("est"), "en");
    assert_string_equal(words_language("C"), "en");
    assert_string_equal(words_language(""), "en");
    assert_string_equal(words_language(NULL), "en");
    assert_true(words_known("xx"));
    assert_false(words_known("fr"));
}

static void months_are_words(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_string_equal(words_date(&a, "en", day_from_ymd(2026, 3, 7)), "7 March 2026");
    assert_string_equal(words_date(&a, "en", day_from_ymd(2026, 1, 31)), "31 January 2026");
    assert_string_equal(words_date(&a, "en", day_from_ymd(2099, 12, 1)), "1 December 2099");
    assert_string_equal(words_date(&a, "es", day_from_ymd(2026, 3, 7)), "7 de marzo de 2026");
    assert_string_equal(words_day(&a, "en", day_from_ymd(2026, 3, 7)), "Sat 7 Mar");
    assert_string_equal(words_day(&a, "en", day_from_ymd(2026, 9, 30)), "Wed 30 Sept");
    assert_string_equal(words_day(&a, "es", day_from_ymd(2026, 1, 4)), "dom 4 ene");
    assert_string_equal(words_day(&a, "es", day_from_ymd(2026, 12, 12)), "sáb 12 dic");
    arena_release(&a);
}

/* 2026-03-06T23:45:30Z on three clocks */
static void times_name_their_clock(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_string_equal(words_time(&a, "en", 1772840730000, 0), "6 March 2026 23:45 +00:00");
    assert_string_equal(words_time(&a, "en", 1772840730000, 60), "7 March 2026 00:45 +01:00");
    assert_string_equal(words_time(&a, "en", 1772840730000, -210), "6 March 2026 20:15 -03:30");
    arena_release(&a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_are_named_in_sentences_of_entries_alone),
        cmocka_unit_test(each_sentence_has_its_translation),
        cmocka_unit_test(each_code_has_its_translation),
        cmocka_unit_test(no_sentence_is_without_use),
        cmocka_unit_test(each_value_has_its_translation),
        cmocka_unit_test(no_sentence_is_missing),
        cmocka_unit_test(sentences_are_filled_in),
        cmocka_unit_test(values_made_of_parts_are_said_whole),
        cmocka_unit_test(names_of_the_record_stand_or_are_said),
        cmocka_unit_test(an_unknown_key_stops_the_program),
        cmocka_unit_test(the_stretched_language_shows_what_is_from_elsewhere),
        cmocka_unit_test(a_failure_speaks_the_reader_s_language),
        cmocka_unit_test(languages_are_read_from_what_is_asked),
        cmocka_unit_test(months_are_words),
        cmocka_unit_test(times_name_their_clock),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
