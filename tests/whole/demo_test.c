/* The invented plant from the outside: what every command prints, how it ends, what it says of
 * itself. demo_test PLUMULE */
#include "plants.h"

#include <signal.h>

#include "base/file.h"
#include "store/store.h"

#define ON(plant) "--plant", (plant), "--json", "--password-file", "password"

static void the_demo_is_whole(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    RUN_OK(r, "--plant", "demo", "--json", "verify");
    json_t *report = run_json(r, 0);
    assert_int_equal(json_integer_value(json_object_get(report, "found")), 0);
    assert_int_equal(json_integer_value(json_object_get(report, "kept_heads_wrong")), 0);
    assert_int_equal(json_integer_value(json_object_get(report, "kept_heads")), 28); /* a day one */
    assert_int_equal(json_integer_value(json_object_get(report, "entries")), plant_entries("demo"));
    json_decref(report);
    RUN_OK(r, "--plant", "demo", "verify");
    RUN_SAYS(r, "The record is whole.");
}

static size_t rows_of(struct store *store, enum query query, const char *kind)
{
    struct statement *q = store_prepare(store, query);
    size_t count = 0;
    bool row;
    if (kind != NULL) {
        store_bind_text(q, 1, kind);
    }
    for (;;) {
        assert_ok(store_step(q, &row));
        if (!row) {
            return count;
        }
        count++;
    }
}

/* Every list of the house is filled, and of what went wrong only the warm cool box of the last day
 * still waits for somebody. */
static void the_demo_keeps_its_lists(void **state)
{
    (void)state;
    static const struct {
        const char *kind;
        size_t count;
    } lists[] = {{"duty", 23},       {"site", 5},          {"register", 2}, {"supplier", 3},
                 {"certificate", 3}, {"chemical", 1},      {"retained", 2}, {"work-order", 0},
                 {"water-loop", 1},  {"water-segment", 1}, {"stop", 0},     {"delivery", 3}};
    struct store *store;
    assert_ok(store_open("demo/plant.db", STORE_READ, &store));
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        size_t count = rows_of(store, Q_LISTED_ALL, lists[i].kind);
        if (count != lists[i].count) {
            print_error("%zu of %s\n", count, lists[i].kind);
        }
        assert_int_equal(count, lists[i].count);
    }
    assert_int_equal(rows_of(store, Q_SAFETY_DEVIATIONS, NULL), 1);
    assert_int_equal(rows_of(store, Q_TODAY_DELIVERIES, NULL), 0); /* each was inspected */
    store_close(store);
}

/* What was washed in water below its limit was asked for and refused, and never left. */
static void low_wash_water_is_not_released(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    char *told;
    size_t len;
    assert_ok(file_read(&r->arena, "demo/files/commands.jsonl", 64 << 20, &told, &len));
    const char *diverted = strstr(told, "washed in water below its limit");
    assert_non_null(diverted);
    while (diverted > told && diverted[-1] != '\n') {
        diverted--;
    }
    const char *from = strstr(diverted, "\"lot\":\"");
    assert_non_null(from);
    from += strlen("\"lot\":\"");
    const char *lot = arena_copy_n(&r->arena, from, strcspn(from, "\""));
    RUN_OK(r, "--plant", "demo", "--json", "release", lot, "--market", "house", "--show");
    RUN_SAYS(r, "clause-wash-out");
    for (const char *line = told; *line != '\0'; line = strchr(line, '\n') + 1) {
        const char *text = arena_copy_n(&r->arena, line, strcspn(line, "\n"));
        bool ships = strstr(text, "\"kind\":\"ship\"") != NULL;
        assert_false(ships && strstr(text, lot) != NULL);
    }
}

/* What a plan knows of beyond whole chambers on their day: the house has chosen it, and lived so.
 */
static void what_a_plan_knows_is_in_the_demo(void **state)
{
    (void)state;
    static const char *const chosen[] = {"\"early_late\":[{", "\"parts\":[{",
                                         "\"retest\":\"72 h\""};
    static const char *const lived[] = {"\"share\":\"60 %\"", "\"delivery\":\"BOX-1\"",
                                        "\"code\":\"BOX-2\"", "\"code\":\"SACKS-1\""};
    static const char *const crops[] = {"MUNG", "URD", "SOY"};
    struct launch *r = plants_run();
    char *text;
    size_t len;
    assert_ok(file_read(&r->arena, "demo/files/profile.json", 1 << 20, &text, &len));
    for (size_t i = 0; i < sizeof chosen / sizeof chosen[0]; i++) {
        assert_non_null(strstr(text, chosen[i]));
    }
    assert_ok(file_read(&r->arena, "demo/files/commands.jsonl", 64 << 20, &text, &len));
    for (size_t i = 0; i < sizeof lived / sizeof lived[0]; i++) {
        assert_non_null(strstr(text, lived[i]));
    }
    struct store *store;
    assert_ok(store_open("demo/plant.db", STORE_READ, &store));
    struct statement *q = store_prepare(store, Q_PLANNING_LUCK);
    bool row;
    int again = 0;
    for (size_t i = 0; i < 3; i++) {
        store_bind_text(q, 1, crops[i]);
        for (;;) {
            assert_ok(store_step(q, &row));
            if (!row) {
                break;
            }
            again += store_int(q, 5) != 0;
        }
    }
    assert_true(again >= 1); /* a second test was made and said something */
    store_close(store);
}

static const char *root_of_demo(struct launch *r, const char *folder, const char *seed)
{
    RUN_OK(r, "demo", "--folder", folder, "--profile", PROFILE_FILE, "--chambers", "4", "--weeks",
           "2", "--seed", seed, "--last-day", "2026-03-29");
    RUN_OK(r, "--plant", folder, "--json", "verify");
    return listed(r, "root", NULL, NULL);
}

static void the_same_arguments_make_the_same_plant(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    const char *one = root_of_demo(r, "one", "5"), *same = root_of_demo(r, "same", "5");
    assert_string_equal(one, same);
    assert_string_not_equal(one, root_of_demo(r, "other", "6"));
}

/* Names of all commands, as the help lists them. */
static size_t command_names(struct launch *r, char names[][32], size_t most)
{
    size_t count = 0;
    RUN_OK(r, "--help");
    for (const char *line = strstr(r->out, "\n  "); line != NULL; line = strstr(line, "\n  ")) {
        line += 3;
        assert_true(count < most);
        assert_int_equal(sscanf(line, "%31s", names[count++]), 1);
    }
    assert_true(count > 10);
    return count;
}

enum { COMMANDS_MAX = 64 };

static void the_help_of_each_command_has_an_example(void **state)
{
    (void)state;
    static char names[COMMANDS_MAX][32];
    struct launch *r = plants_run();
    size_t count = command_names(r, names, COMMANDS_MAX);
    for (size_t i = 0; i < count; i++) {
        RUN_OK(r, names[i], "--help");
        const char *example = strstr(r->out, "\nFor example:\n  plumule ");
        assert_non_null(example);
        example += strlen("\nFor example:\n  plumule ");
        assert_int_equal(strncmp(example, names[i], strlen(names[i])), 0);
        assert_int_equal(strncmp(r->out, "plumule ", 8), 0);
        assert_string_equal(r->err, "");
    }
}

static char answered[COMMANDS_MAX][32];
static size_t answered_count;

/* Ends with 0 and prints nothing but JSON, at least one line of it. */
static void json_ok(struct launch *r, const char *plant, const char *const *arguments)
{
    const char *words[24] = {ON(plant), "--as", "1"};
    size_t count = 7;
    for (size_t i = 0; arguments[i] != NULL; i++) {
        assert_true(count < 23);
        words[count++] = arguments[i];
    }
    run_expect_at(r, 0, words, arguments[0], 0);
    if (run_json_lines(r) == 0) {
        print_error("%s printed nothing\n", arguments[0]);
        fail();
    }
    assert_string_equal(r->err, "");
    assert_true(answered_count < COMMANDS_MAX);
    snprintf(answered[answered_count++], sizeof answered[0], "%s", arguments[0]);
}
#define JSON_OK_IN(r, plant, ...) json_ok((r), (plant), (const char *const[]){__VA_ARGS__, NULL})
#define JSON_OK(r, ...) JSON_OK_IN((r), "p", __VA_ARGS__)

static void reading_commands(struct launch *r, const char *packed)
{
    JSON_OK(r, "lots");
    JSON_OK(r, "today");
    RUN_OK(r, ON("p"), "--as", "6", "record", "metal-check", "place=P-1", "fe=rejected",
           "non_fe=rejected", "steel=rejected");
    JSON_OK(r, "review"); /* it waits for somebody else */
    JSON_OK(r, "sample", "due");
    JSON_OK(r, "hold", "list");
    JSON_OK(r, "release", packed, "--market", "EU", "--show");
    JSON_OK(r, "plan", "--seconds", "0");
    JSON_OK(r, "plan", "--seconds", "0", "--keep", "most", "--what-if",
            "[{\"what\":\"chambers\",\"count\":1}]");
    JSON_OK(r, "plan", "--floor");
    JSON_OK(r, "trace", "MUNGSEED-1", "--forward");
    JSON_OK(r, "trace", packed, "--back");
    JSON_OK(r, "recall", "MUNGSEED-1");
    JSON_OK(r, "balance");
    JSON_OK(r, "balance", "--steps");
    JSON_OK(r, "balance", packed);
    JSON_OK(r, "calc", "--list");
    JSON_OK(r, "calc", "mass-chain", "seed_kg=100");
    JSON_OK(r, "user", "list");
    JSON_OK(r, "verify");
    JSON_OK(r, "head");
    JSON_OK(r, "import", "orders", "demo/files/orders-2026-03-26.csv", "--source", "shop", "--try");
    JSON_OK(r, "label", packed, "--out", "labels.pdf", "--cases", "1..2");
    JSON_OK(r, "dossier", packed, "--out", "dossier.pdf");
    JSON_OK(r, "sheets", "--out", "sheets");
}

static void writing_commands(struct launch *r, const char *packed, const char *growing)
{
    text_write("new-password", "testa-and-raphe\n");
    JSON_OK(r, "record", "cold-check", "place=CR-1", "temp=3 C");
    JSON_OK(r, "sample", "draw", arena_printf(&r->arena, "lot=%s", growing), "location=drain",
            "what=spent-water", "volume=1000 mL");
    JSON_OK(r, "hold", "place", "hold_kind=quality", arena_printf(&r->arena, "lot=%s", packed),
            "stops=use,release,load", "needs=decision", "reason=smell");
    JSON_OK(r, "hold", "list");
    const char *hold = listed(r, "hold", "hold_kind", "quality");
    JSON_OK(r, "review", "--sign");
    JSON_OK(r, "head", "--sign");
    JSON_OK(r, "user", "add", "--number", "30", "--role", "line", "--name", "Raphe 30",
            "--new-password-file", "new-password");
    JSON_OK(r, "user", "password", "--number", "30", "--name", "Raphe 30", "--new-password-file",
            "password");
    JSON_OK(r, "user", "erase", "--number", "30");
    JSON_OK(r, "plan", "--seconds", "0", "--take");
    JSON_OK(r, "import", "orders", "demo/files/orders-2026-03-26.csv", "--source", "shop");
    JSON_OK(r, "backup", "--to", "copies");
    const char *copy = listed(r, "backup", NULL, NULL);
    JSON_OK(r, "restore", copy, "--replace");
    JSON_OK(r, "restore", "--tell", "--reason", "the disk died");
    RUN_CODE(r, 4, ON("p"), "--as", "1", "hold", "lift", arena_printf(&r->arena, "hold=%s", hold),
             "evidence=1");
    assert_int_equal(run_json_lines(r), 1);
    JSON_OK_IN(r, "new", "init", "--profile", PROFILE_FILE, "--zone", "UTC", "--manager", "1",
               "--name", "Hilum 1");
    JSON_OK(r, "demo", "--folder", "small", "--profile", PROFILE_FILE, "--chambers", "4", "--weeks",
            "2", "--last-day", "2026-03-29");
}

static void every_command_answers_in_json(void **state)
{
    (void)state;
    static char names[COMMANDS_MAX][32];
    struct launch *r = plants_run();
    plant_copy("p");
    RUN_OK(r, ON("p"), "lots", "--kind", "packed");
    const char *packed = listed(r, "lot", "place", "CR-1");
    RUN_OK(r, ON("p"), "lots", "--kind", "growing");
    const char *growing = listed(r, "lot", NULL, NULL);
    reading_commands(r, packed);
    writing_commands(r, packed, growing);
    size_t count = command_names(r, names, COMMANDS_MAX);
    for (size_t i = 0; i < count; i++) {
        bool done = strcmp(names[i], "serve") == 0; /* it has a test of its own */
        for (size_t k = 0; k < answered_count; k++) {
            done = done || strcmp(names[i], answered[k]) == 0;
        }
        if (!done) {
            print_error("%s was not asked\n", names[i]);
        }
        assert_true(done);
    }
}

static void a_refusal_is_json_too(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    RUN_CODE(r, 5, "--plant", "demo", "--json", "trace", "NOBODY-1", "--forward");
    assert_int_equal(run_json_lines(r), 1);
    assert_string_equal(refusal_of(r), "trace-start");
    assert_string_equal(r->err, "");
    RUN_CODE(r, 5, "--plant", "demo", "trace", "NOBODY-1", "--forward");
    assert_string_equal(r->out, "");
    RUN_SAYS(r, "there is no lot, case, pallet or shipment NOBODY-1");
}

/* 0 done, 2 wrong use, 3 bad input, 4 refused by a rule, 5 not found, 6 busy, 7 damaged, 8 machine:
 * what --help says. */
static void commands_end_as_documented(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    plant_copy("q");
    RUN_CODE(r, 2, "--json");
    RUN_CODE(r, 2, "moult");
    RUN_CODE(r, 2, "--plant", "q", "trace", "MUNGSEED-1");
    RUN_CODE(r, 2, "--plant", "q", "lots", "left over");
    RUN_CODE(r, 2, "--plant", "q", "record", "cold-check", "place=CR-1"); /* nobody said who */
    RUN_CODE(r, 3, ON("q"), "--as", "6", "record", "cold-check", "place=CR-1", "temp=3 C",
             "colour=green");
    RUN_CODE(r, 3, ON("q"), "--as", "6", "record", "moult");
    RUN_CODE(r, 3, ON("q"), "--as", "1", "user", "add", "--number", "x", "--role", "line", "--name",
             "Node");
    RUN_CODE(r, 4, ON("q"), "--as", "13", "record", "cold-check", "place=CR-1", "temp=3 C");
    RUN_CODE(r, 4, ON("q"), "--as", "99", "record", "cold-check", "place=CR-1", "temp=3 C");
    RUN_CODE(r, 5, ON("q"), "--as", "6", "record", "cold-check", "place=NOWHERE", "temp=3 C");
    RUN_CODE(r, 5, "--plant", "nowhere", "lots");
    RUN_CODE(r, 8, ON("new"), "init", "--profile", "no-such.json", "--zone", "UTC", "--manager",
             "1", "--name", "Hilum 1");
    text_write("q/plant.db", "torn");
    RUN_CODE(r, 7, "--plant", "q", "lots");
    RUN_CODE(r, 7, ON("q"), "--as", "6", "record", "cold-check", "place=CR-1", "temp=3 C");
}

static void a_wrong_password_signs_nothing(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    plant_copy("w");
    text_write("wrong", "plumule-and-radicle\n");
    int64_t before = plant_entries("w");
    RUN_CODE(r, 4, "--plant", "w", "--as", "1", "--password-file", "wrong", "user", "add",
             "--number", "31", "--role", "line", "--name", "Node 31");
    RUN_SAYS(r, "That is not person 1's password.");
    RUN_CODE(r, 4, "--plant", "w", "--as", "1", "user", "add", "--number", "31", "--role", "line",
             "--name", "Node 31");
    RUN_SAYS(r, "give person 1's password");
    assert_int_equal(plant_entries("w"), before);
}

static void many_lines_are_answered_line_by_line(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    plant_copy("l");
    int64_t before = plant_entries("l");
    r->input = "{\"kind\":\"cold-check\",\"place\":\"CR-1\",\"temp\":\"3 C\"}\n"
               "\n"
               "{\"kind\":\"moult\"}\n"
               "{\"kind\":\"cold-check\",\n"
               "{\"kind\":\"cold-check\",\"place\":\"CR-1\",\"temp\":\"4 C\"}\n";
    RUN_CODE(r, 3, "--plant", "l", "--as", "6", "record", "-");
    assert_int_equal(run_json_lines(r), 4);
    assert_int_equal(plant_entries("l"), before + 2);
    RUN_SAYS(r, "no step or command \\\"moult\\\"");
    RUN_SAYS(r, "3"); /* the line of the first refusal */
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_demo_is_whole),
        cmocka_unit_test(the_demo_keeps_its_lists),
        cmocka_unit_test(low_wash_water_is_not_released),
        cmocka_unit_test(what_a_plan_knows_is_in_the_demo),
        cmocka_unit_test(the_same_arguments_make_the_same_plant),
        cmocka_unit_test(the_help_of_each_command_has_an_example),
        cmocka_unit_test(every_command_answers_in_json),
        cmocka_unit_test(a_refusal_is_json_too),
        cmocka_unit_test(commands_end_as_documented),
        cmocka_unit_test(a_wrong_password_signs_nothing),
        cmocka_unit_test(many_lines_are_answered_line_by_line),
    };
    if (argc < 2) {
        return 2;
    }
    plants_program(program_path(argv[1]));
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, plants_open, plants_close);
}
