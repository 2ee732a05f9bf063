/* What a writer keeps of its questions, against the same questions asked of the engine itself. */
#include "record.h"

#include "store/sqlite/connection.h"

static const enum query asked[] = {Q_PLACE_BY_CODE, Q_PERSON_BY_NUMBER, Q_LISTED_ALL, Q_LISTED_ONE};
static const char *const codes[] = {"CH-1", "CH-2", "BED-3",
                                    "a code of more than forty-eight letters, "
                                    "as nobody has it on a door"};

static void done(struct statement *q)
{
    bool row;
    assert_ok(store_step(q, &row));
    assert_false(row);
}

static void place_put(struct store *s, const char *code, const char *name, int64_t entry)
{
    struct statement *q = store_prepare(s, Q_FOLD_PLACE);
    store_bind_text(q, 1, code);
    store_bind_text(q, 2, name);
    store_bind_text(q, 3, "chamber");
    store_bind_text(q, 4, "A");
    store_bind_null(q, 5);
    store_bind_int(q, 6, entry * 1000);
    store_bind_int(q, 7, entry % 2);
    store_bind_int(q, 8, entry);
    done(q);
}

static void person_put(struct store *s, int64_t number, int64_t entry)
{
    struct statement *q = store_prepare(s, Q_FOLD_PERSON);
    store_bind_int(q, 1, number);
    store_bind_text(q, 2, entry % 3 == 0 ? "grower" : "quality");
    store_bind_int(q, 3, entry % 2);
    store_bind_int(q, 4, entry);
    done(q);
}

static void listed_put(struct store *s, const char *code, const char *data, int64_t entry)
{
    struct statement *q = store_prepare(s, Q_FOLD_LISTED);
    store_bind_text(q, 1, "duty");
    store_bind_text(q, 2, code);
    store_bind_null(q, 3);
    store_bind_null(q, 4);
    store_bind_null(q, 5);
    store_bind_int(q, 6, 1);
    store_bind_int(q, 7, entry);
    store_bind_text(q, 8, data);
    store_bind_int(q, 9, entry);
    done(q);
}

static void strike(struct store *s, enum query query, int64_t entry)
{
    struct statement *q = store_prepare(s, query);
    store_bind_int(q, 1, entry);
    store_bind_int(q, 2, entry + 1);
    done(q);
}

static void bind(struct statement *q, sqlite3_stmt *plain, enum query query, int n)
{
    const char *first = query == Q_LISTED_ALL || query == Q_LISTED_ONE ? "duty" : codes[n];
    if (query == Q_PERSON_BY_NUMBER) {
        store_bind_int(q, 1, n);
        sqlite3_bind_int64(plain, 1, n);
        return;
    }
    store_bind_text(q, 1, first);
    sqlite3_bind_text(plain, 1, first, -1, SQLITE_STATIC);
    if (query == Q_LISTED_ONE) {
        store_bind_text(q, 2, codes[n]);
        sqlite3_bind_text(plain, 2, codes[n], -1, SQLITE_STATIC);
    }
}

static void assert_same_row(struct statement *q, sqlite3_stmt *plain)
{
    for (int i = 0; i < sqlite3_column_count(plain); i++) {
        int type = sqlite3_column_type(plain, i);
        assert_int_equal(store_is_null(q, i), type == SQLITE_NULL);
        if (type == SQLITE_TEXT) {
            assert_string_equal(store_text(q, i), (const char *)sqlite3_column_text(plain, i));
        } else if (type == SQLITE_INTEGER) {
            assert_true(store_int(q, i) == sqlite3_column_int64(plain, i));
        } else {
            assert_int_equal(store_int(q, i), 0);
            assert_null(store_text(q, i));
        }
    }
}

/* -> rows */
static int assert_as_the_engine(struct store *s, enum query query, int n)
{
    sqlite3_stmt *plain = NULL;
    assert_int_equal(sqlite3_prepare_v2(s->db, embedded_queries[query].text, -1, &plain, NULL),
                     SQLITE_OK);
    struct statement *q = store_prepare(s, query);
    bind(q, plain, query, n);
    int rows = 0;
    for (bool row = true; row; rows += row) {
        assert_ok(store_step(q, &row));
        assert_int_equal(sqlite3_step(plain), row ? SQLITE_ROW : SQLITE_DONE);
        if (row) {
            assert_same_row(q, plain);
        }
    }
    sqlite3_finalize(plain);
    return rows;
}

static uint32_t drawn(uint32_t *seed, uint32_t below)
{
    *seed = *seed * 1664525U + 1013904223U;
    return (*seed >> 8) % below;
}

static void write_something(struct store *s, uint32_t *seed, int64_t entry)
{
    const char *code = codes[drawn(seed, 4)];
    switch (drawn(seed, 6)) {
    case 0:
        place_put(s, code, drawn(seed, 2) == 0 ? "left" : "right", entry);
        break;
    case 1:
        person_put(s, drawn(seed, 4), entry);
        break;
    case 2:
        listed_put(s, code, "{}", entry);
        break;
    case 3:
        strike(s, Q_STRIKE_PLACE, entry - 1 - drawn(seed, 9));
        break;
    case 4:
        strike(s, Q_STRIKE_LISTED, entry - 1 - drawn(seed, 9));
        break;
    default:
        strike(s, Q_STRIKE_PERSON, entry - 1 - drawn(seed, 9));
    }
}

static void ask_all(struct store *s)
{
    for (size_t i = 0; i < sizeof asked / sizeof asked[0]; i++) {
        for (int n = 0; n < 4; n++) {
            assert_as_the_engine(s, asked[i], n);
        }
    }
}

static void answers_are_the_engines(void **state)
{
    (void)state;
    struct store *s = open_ok("record.plumule", STORE_CREATE);
    uint32_t seed = 7;
    for (int64_t entry = 1; entry <= 400;) {
        assert_ok(store_begin(s));
        write_something(s, &seed, entry++);
        ask_all(s);
        if (drawn(&seed, 3) == 0) {
            assert_ok(store_mark(s));
            write_something(s, &seed, entry++);
            ask_all(s);
            assert_ok(store_back(s));
            ask_all(s);
        }
        if (drawn(&seed, 4) == 0) {
            store_rollback(s);
        } else {
            assert_ok(store_commit(s));
        }
        ask_all(s);
    }
    store_close(s);
}

static int runs_of(struct store *s, enum query query)
{
    return sqlite3_stmt_status(s->statements[query].compiled, SQLITE_STMTSTATUS_RUN, 0);
}

static void nothing_is_asked_twice(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    assert_ok(store_begin(s));
    place_put(s, "CH-1", "left", 1);
    assert_int_equal(assert_as_the_engine(s, Q_PLACE_BY_CODE, 0), 1);
    int runs = runs_of(s, Q_PLACE_BY_CODE);
    assert_int_equal(runs, 1);
    person_put(s, 1, 2); /* another table */
    assert_int_equal(assert_as_the_engine(s, Q_PLACE_BY_CODE, 0), 1);
    assert_int_equal(runs_of(s, Q_PLACE_BY_CODE), runs);
    place_put(s, "CH-2", "right", 3);
    assert_int_equal(assert_as_the_engine(s, Q_PLACE_BY_CODE, 0), 1);
    assert_int_equal(runs_of(s, Q_PLACE_BY_CODE), runs + 1);
    assert_ok(store_commit(s));
    store_close(s);
}

static void too_long_to_keep(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    char *data = malloc(9001);
    assert_non_null(data);
    memset(data, 'x', 9000);
    data[9000] = '\0';
    assert_ok(store_begin(s));
    listed_put(s, "CH-1", data, 1);
    assert_int_equal(assert_as_the_engine(s, Q_LISTED_ALL, 0), 1);
    listed_put(s, "CH-2", data, 2); /* more bytes than are kept */
    assert_int_equal(assert_as_the_engine(s, Q_LISTED_ALL, 0), 2);
    assert_int_equal(assert_as_the_engine(s, Q_LISTED_ALL, 0), 2);
    strike(s, Q_STRIKE_LISTED, 2);
    assert_int_equal(assert_as_the_engine(s, Q_LISTED_ALL, 0), 1);
    for (int64_t entry = 3; entry < 303; entry++) { /* more rows */
        char code[16];
        snprintf(code, sizeof code, "DUTY-%d", (int)entry);
        listed_put(s, code, "{}", entry);
    }
    assert_int_equal(assert_as_the_engine(s, Q_LISTED_ALL, 0), 301);
    assert_int_equal(assert_as_the_engine(s, Q_LISTED_ALL, 0), 301);
    place_put(s, codes[3], "a long code", 400);
    assert_int_equal(assert_as_the_engine(s, Q_PLACE_BY_CODE, 3), 1);
    assert_ok(store_commit(s));
    free(data);
    store_close(s);
}

static void a_row_stands_while_its_table_is_written(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    bool row;
    assert_ok(store_begin(s));
    listed_put(s, "CH-1", "{}", 1);
    listed_put(s, "CH-2", "{}", 2);
    struct statement *q = store_prepare(s, Q_LISTED_ALL);
    store_bind_text(q, 1, "duty");
    assert_ok(store_step(q, &row));
    assert_true(row);
    strike(s, Q_STRIKE_LISTED, 2);
    assert_int_equal(assert_as_the_engine(s, Q_LISTED_ONE, 1), 0);
    assert_string_equal(store_text(q, 0), "CH-1");
    assert_ok(store_step(q, &row)); /* the answer as it was when it was asked */
    assert_true(row);
    assert_string_equal(store_text(q, 0), "CH-2");
    store_done(q);
    assert_ok(store_commit(s));
    store_close(s);
}

static void readers_keep_nothing(void **state)
{
    (void)state;
    struct store *s = open_ok("record.plumule", STORE_CREATE);
    struct store *reader = open_ok("record.plumule", STORE_READ);
    for (int64_t entry = 1; entry <= 3; entry++) {
        assert_ok(store_begin(s));
        place_put(s, "CH-1", entry % 2 == 0 ? "left" : "right", entry);
        assert_ok(store_commit(s));
        assert_int_equal(assert_as_the_engine(reader, Q_PLACE_BY_CODE, 0), 1);
        struct statement *q = store_prepare(reader, Q_PLACE_BY_CODE);
        store_bind_text(q, 1, "CH-1");
        bool row;
        assert_ok(store_step(q, &row));
        assert_true(row);
        assert_true(store_int(q, 5) == entry * 1000);
        store_done(q);
    }
    store_close(reader);
    store_close(s);
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, folder_enter, folder_leave)

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        IN_FOLDER(answers_are_the_engines),
        cmocka_unit_test(nothing_is_asked_twice),
        cmocka_unit_test(too_long_to_keep),
        cmocka_unit_test(a_row_stands_while_its_table_is_written),
        IN_FOLDER(readers_keep_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
