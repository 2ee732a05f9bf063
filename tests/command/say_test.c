/* No text but the catalogue's: each command speaks the made-up language, in which every word of the
 * catalogue stands in brackets, and what stands outside of them must be of the record itself: it
 * stands in the answer for programs, or was told.
 *
 * say_test PLUMULE */
#include "../paper/programs.h"
#include "../service/hall.h"
#include "../whole/record.h"
#include "fixture.h"
#include "program.h"

#include <ctype.h>

#include "base/file.h"
#include "base/words.h"
#include "ledger/profile.h"
#include "service/plant.h"

static const char *program;
static struct record_codes codes;
static struct launch r, facts;

static int set_up(void **state)
{
    if (folder_enter(state) != 0) {
        return 1;
    }
    record_make("p", NULL, &codes);
    run_open(&r, program);
    run_open(&facts, program);
    setenv("PLUMULE_PLANT", "p", 1);
    setenv("PLUMULE_PERSON", "2", 1);
    return 0;
}

static int tear_down(void **state)
{
    unsetenv("PLUMULE_PLANT");
    unsetenv("PLUMULE_PERSON");
    run_close(&facts);
    run_close(&r);
    return folder_leave(state);
}

/* Letters and digits that stand together, from *at on; NULL: no more. */
static const char *next_word(struct arena *a, const char **at)
{
    const char *from = *at;
    while (*from != '\0' && !isalnum((unsigned char)*from)) {
        from++;
    }
    size_t len = 0;
    while (isalnum((unsigned char)from[len])) {
        len++;
    }
    *at = from + len;
    return len > 0 ? arena_copy_n(a, from, len) : NULL;
}

static bool has_word(struct arena *a, const char *text, const char *wanted)
{
    for (const char *at = text, *word; (word = next_word(a, &at)) != NULL;) {
        if (strcmp(word, wanted) == 0) {
            return true;
        }
    }
    return false;
}

/* Without what stands between the marks. */
static const char *without(struct arena *a, const char *text, const char *from, const char *to)
{
    char *out = arena_alloc(a, strlen(text) + 1);
    size_t n = 0;
    for (const char *c = text; *c != '\0';) {
        const char *end = strncmp(c, from, strlen(from)) == 0 ? strstr(c + strlen(from), to) : NULL;
        if (end != NULL) {
            out[n++] = ' ';
            c = end + strlen(to);
        } else {
            out[n++] = *c++;
        }
    }
    out[n] = '\0';
    return out;
}

/* Words of three letters and more that are neither of the catalogue nor of the record: units,
 * hashes and times are none. */
static void only_from_catalogue(const char *what, const char *said, const char *record)
{
    struct arena a;
    size_t strange = 0;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_non_null(strchr(said, '[')); /* it says something of the catalogue */
    const char *left = without(&a, said, "[", "]");
    for (const char *at = left, *word; (word = next_word(&a, &at)) != NULL;) {
        bool letters = strcspn(word, "0123456789") == strlen(word);
        if (letters && strlen(word) >= 3 && !has_word(&a, record, word)) {
            print_error("%s says \"%s\"\n", what, word);
            strange++;
        }
    }
    if (strange > 0) {
        fail_msg("%s:\n%.3000s", what, said);
    }
    arena_release(&a);
}

static const char *joined(struct arena *a, const char *const *words)
{
    const char *text = "";
    for (size_t i = 0; words[i] != NULL; i++) {
        text = arena_printf(a, "%s %s", text, words[i]);
    }
    return text;
}

/* The codes and free texts of an answer for programs. Its sentences and the names that the
 * catalogue has a word for are left out: those must be said. */
static const char *values_of(struct arena *a, const json_t *o, const char *text)
{
    static const char said[] = "sentence,kind,hold_kind,state,clause,how,step,account,needs,stops,"
                               "role,mark,limit,solver,group";
    const char *key;
    json_t *value;
    size_t i;
    if (json_is_string(o)) {
        return arena_printf(a, "%s %s", text, json_string_value(o));
    }
    json_array_foreach(o, i, value)
    {
        text = values_of(a, value, text);
    }
    json_object_foreach((json_t *)(uintptr_t)o, key, value)
    {
        text = list_has(said, key) ? text : values_of(a, value, text);
    }
    return text;
}

static void says_only(const char *const *words)
{
    const char *with[16] = {"--lang=xx"}, *json[16] = {"--json"};
    size_t n = 0;
    for (; words[n] != NULL; n++) {
        assert_true(n < 14);
        with[n + 1] = json[n + 1] = words[n];
    }
    with[n + 1] = json[n + 1] = NULL;
    run_program(&r, with);
    const char *command = joined(&r.arena, words);
    if (r.code != 0) {
        fail_msg("%s: %s", command, r.err);
    }
    const char *said = arena_copy(&r.arena, r.out), *record = command;
    run_program(&facts, json);
    json_t *line;
    for (size_t i = 0; (line = run_json(&facts, i)) != NULL; i++) {
        record = values_of(&r.arena, line, record);
        json_decref(line);
    }
    only_from_catalogue(command, said, record);
}
#define SAYS_ONLY(...) says_only((const char *const[]){__VA_ARGS__, NULL})

static void what_is_here(void **state)
{
    (void)state;
    SAYS_ONLY("today");
    SAYS_ONLY("lots");
    SAYS_ONLY("hold", "list");
    SAYS_ONLY("review");
    SAYS_ONLY("sample", "due");
    SAYS_ONLY("user", "list");
    SAYS_ONLY("balance");
    SAYS_ONLY("balance", "--steps");
    SAYS_ONLY("plan", "--seconds", "0");
    SAYS_ONLY("plan", "--floor");
    SAYS_ONLY("verify");
    SAYS_ONLY("head");
}

static void what_is_asked_of_a_lot(void **state)
{
    (void)state;
    SAYS_ONLY("release", codes.packed, "--show");
    SAYS_ONLY("trace", codes.packed, "--back");
    SAYS_ONLY("trace", codes.seed, "--forward");
    SAYS_ONLY("trace", codes.seed, "--forward", "--why", codes.packed);
    SAYS_ONLY("recall", codes.seed);
    SAYS_ONLY("label", codes.packed, "--out", "labels.pdf");
    SAYS_ONLY("dossier", codes.packed, "--out", "dossier.pdf");
    SAYS_ONLY("sheets", "--out", "sheets");
    SAYS_ONLY("sheets", "--out", "sheets", "--shift", "late");
    SAYS_ONLY("backup", "--to", "copies");
}

/* One lot's balance has no single answer for programs: the words are those of the record's steps.
 */
static void the_balance_of_a_lot(void **state)
{
    (void)state;
    RUN_OK(&r, "--lang=xx", "balance", codes.packed);
    only_from_catalogue("balance", r.out, arena_printf(&r.arena, "%s MUNG250", codes.packed));
}

/* As the other sentences of plans write days. */
static void the_day_by_the_minute(void **state)
{
    (void)state;
    SAYS_ONLY("plan", "--day", "2026-03-02");
    RUN_OK(&r, "plan", "--day", "2026-03-02");
    assert_non_null(strstr(r.out, "Mon 2 Mar: "));
    assert_null(strstr(r.out, "2026-03-02"));
    RUN_OK(&r, "--lang=es", "plan", "--day", "2026-03-02");
    assert_non_null(strstr(r.out, "lun 2 mar: "));
}

/* Of chambers as of fruit. */
static void the_share_that_is_asked_for(void **state)
{
    (void)state;
    SAYS_ONLY("plan", "--seconds", "0", "--service", "95");
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0", "--service", "95");
    assert_non_null(strstr(r.out, "\nAsked to meet 95 % of what is wanted.\n"));
    assert_null(strstr(r.out, "The profile says so"));
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0");
    assert_null(strstr(r.out, "Asked to meet"));
}

static void what_was_told(void **state)
{
    (void)state;
    RUN_OK(&r, "--lang=xx", "--as=1", "record", "place", "code=NEW", "place_kind=store");
    only_from_catalogue("record place", r.out, "NEW");
    RUN_OK(&r, "--lang=xx", "--as=2", "hold", "place", "hold_kind=quality",
           arena_printf(&r.arena, "lot=%s", codes.packed), "stops=load", "needs=check",
           "reason=fell");
    only_from_catalogue("hold place", r.out, codes.packed);
    assert_null(strstr(r.out, "entry"));
}

static void how_it_is_used(void **state)
{
    (void)state;
    static const char *const commands[] = {
        "init",   "import", "record", "today",   "lots",    "review", "sample",  "hold", "release",
        "plan",   "trace",  "recall", "label",   "dossier", "sheets", "balance", "calc", "user",
        "verify", "head",   "backup", "restore", "demo",    "serve",  NULL};
    for (size_t i = 0; commands[i] != NULL; i++) {
        RUN_OK(&r, "--lang=xx", commands[i], "--help");
        const char *form = arena_copy_n(&r.arena, r.out, strcspn(r.out, "\n"));
        const char *example = strstr(r.out, "\n  plumule ");
        assert_non_null(example);
        const char *names = without(&r.arena, form, "[", "]"); /* options are not of a language */
        only_from_catalogue(commands[i], r.out,
                            arena_printf(&r.arena, "%s %s %s", form, names, example));
    }
    RUN_OK(&r, "--lang=xx", "--help");
    only_from_catalogue("--help", r.out,
                        arena_printf(&r.arena,
                                     "%s plumule plant as password file json lang known on help",
                                     joined(&r.arena, commands)));
}

/* A hall that receives limes, and what it asks; what things are named stands in its profile. */
static void what_if_of_fruit(void **state)
{
    (void)state;
    struct house h;
    assert_ok(folder_make("hall"));
    hall_open_at(&h, plant_file(&r.arena, "hall"));
    house_close(&h);
    assert_ok(plant_zone_set("hall", "UTC"));
    setenv("PLUMULE_PLANT", "hall", 1);
    SAYS_ONLY("plan", "--seconds", "0");
    SAYS_ONLY("plan", "--seconds", "0", "--what-if",
              "[{\"what\":\"machine\",\"name\":\"press\",\"minutes\":60}]");
    assert_non_null(strstr(r.out, WORDS(&r.arena, "xx", "received.beside", NULL)));
}

/* Failures are on the other stream. */
static void what_goes_wrong(void **state)
{
    (void)state;
    static const char *const wrong[][4] = {{"nothing"},
                                           {"label"},
                                           {"record"},
                                           {"sample"},
                                           {"user"},
                                           {"user", "add"},
                                           {"trace", "A"},
                                           {"serve", "--key", "k"},
                                           {"balance", "NOBODY"}};
    RUN_CODE(&r, 2, "--lang=xx", "balance", "--x");
    only_from_catalogue("balance", r.err, "plumule balance help");
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        const char *words[] = {"--lang=xx", wrong[i][0], wrong[i][1], wrong[i][2], NULL};
        run_program(&r, words);
        assert_int_not_equal(r.code, 0);
        only_from_catalogue(wrong[i][0], r.err,
                            arena_printf(&r.arena,
                                         "plumule help lot draw result second due add password "
                                         "language erase list number role name certificate key "
                                         "out forward back %s",
                                         joined(&r.arena, words)));
    }
}

/* What people told, as it stands in the daybook; the profile is the house's own text. */
static const char *told_words(struct arena *a)
{
    struct store *store;
    struct entry e;
    bool found = true;
    const char *text = "";
    assert_ok(store_open("p/plant.db", STORE_READ, &store));
    for (int64_t seq = 1; found; seq++) {
        assert_ok(entry_by_seq(store, a, seq, &e, &found));
        if (found && strcmp(e.kind, "profile") != 0) {
            text = arena_printf(a, "%s %s", text, e.body);
        }
    }
    store_close(store);
    return text;
}

/* Titles of the profile's sources are the house's own text too. */
static const char *source_titles(struct arena *a)
{
    json_error_t error;
    json_t *profile = json_load_file(PROFILE_FILE, 0, &error), *one;
    const char *text = "";
    size_t i;
    assert_non_null(profile);
    json_array_foreach(json_object_get(profile, "sources"), i, one)
    {
        text = arena_printf(a, "%s %s", text, json_string_value(json_object_get(one, "title")));
    }
    json_decref(profile);
    return text;
}

static const char *pdf_of(struct arena *a, const char *file)
{
    char *pdf, *text = arena_alloc(a, 1 << 18);
    size_t len;
    assert_ok(file_read(a, file, 8 << 20, &pdf, &len));
    pdf_text((const uint8_t *)pdf, len, text, 1 << 18);
    return text;
}

static void what_is_printed(void **state)
{
    (void)state;
    const char *told = told_words(&r.arena);
    assert_true(strlen(told) > 1000);
    RUN_OK(&r, "--lang=xx", "dossier", codes.packed, "--out", "dossier.pdf");
    only_from_catalogue("the dossier", pdf_of(&r.arena, "dossier.pdf"),
                        arena_printf(&r.arena, "%s %s", told, source_titles(&r.arena)));
    RUN_OK(&r, "--lang=xx", "sheets", "--out", "sheets", "--day", "2026-03-02", "--shift", "late");
    static const char *const kinds[] = {"soak", "harvest", "checks", "weights", "day", "doses"};
    for (size_t i = 0; i < 4; i++) {
        const char *file = arena_printf(&r.arena, "sheets/2026-03-02-late-%s.pdf", kinds[i]);
        only_from_catalogue(file, pdf_of(&r.arena, file), told);
    }
}

int main(int argc, char **argv)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(what_is_here),
        TEST(what_is_asked_of_a_lot),
        TEST(the_balance_of_a_lot),
        TEST(the_day_by_the_minute),
        TEST(the_share_that_is_asked_for),
        TEST(what_was_told),
        TEST(how_it_is_used),
        TEST(what_goes_wrong),
        TEST(what_is_printed),
        TEST(what_if_of_fruit),
    };
    if (argc < 2) {
        return 2;
    }
    program = program_path(argv[1]);
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
