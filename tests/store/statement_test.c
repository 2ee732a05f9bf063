#include "record.h"

#include "store/sqlite/connection.h"

static void every_query_compiles(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    for (int i = 0; i < QUERY_COUNT; i++) {
        sqlite3_stmt *q = NULL;
        const char *tail = "";
        int rc = sqlite3_prepare_v2(s->db, embedded_queries[i].text, -1, &q, &tail);
        if (rc != SQLITE_OK) {
            print_error("%s: %s\n", embedded_queries[i].name, sqlite3_errmsg(s->db));
        }
        assert_int_equal(rc, SQLITE_OK);
        assert_string_equal(tail, "");
        sqlite3_finalize(q);
        assert_non_null(store_prepare(s, (enum query)i));
    }
    store_close(s);
}

/* Names of tables, each once. */
struct names {
    char name[200][40];
    int count;
};

static bool names_have(const struct names *n, const char *name)
{
    for (int i = 0; i < n->count; i++) {
        if (strcmp(n->name[i], name) == 0) {
            return true;
        }
    }
    return false;
}

static void names_add(struct names *n, const char *name)
{
    if (!names_have(n, name)) {
        assert_true(n->count < 200);
        snprintf(n->name[n->count++], sizeof n->name[0], "%s", name);
    }
}

/* What the engine says that a query touches. */
struct touched {
    struct names reads, writes;
};

static int note_touched(void *self, int action, const char *first, const char *second,
                        const char *database, const char *trigger)
{
    struct touched *t = self;
    (void)second;
    (void)database;
    (void)trigger;
    if (action == SQLITE_READ) {
        names_add(&t->reads, first);
    } else if (action == SQLITE_INSERT || action == SQLITE_UPDATE || action == SQLITE_DELETE) {
        names_add(&t->writes, first);
    }
    return SQLITE_OK;
}

static void touched_by(struct store *s, const char *text, struct touched *out)
{
    sqlite3_stmt *q = NULL;
    *out = (struct touched){0};
    assert_int_equal(sqlite3_set_authorizer(s->db, note_touched, out), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(s->db, text, -1, &q, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_set_authorizer(s->db, NULL, NULL), SQLITE_OK);
    sqlite3_finalize(q);
}

/* The tables by their numbers, and all that are written and have none. */
static void read_writes(struct store *s, char by_number[][40], struct names *others)
{
    struct touched t;
    for (int i = 0; i < QUERY_COUNT; i++) {
        const struct embedded_query *e = &embedded_queries[i];
        touched_by(s, e->text, &t);
        assert_true(t.writes.count <= 1 && (e->writes < 0 || t.writes.count == 1));
        if (e->writes >= 0) {
            char *name = by_number[e->writes];
            assert_true(name[0] == '\0' || strcmp(name, t.writes.name[0]) == 0);
            memcpy(name, t.writes.name[0], 40);
        } else if (t.writes.count == 1) {
            names_add(others, t.writes.name[0]);
        }
    }
}

/* An answer is kept until one of the tables is written that the build found in the texts: the
 * engine finds the same ones. */
static void kept_answers_rest_on_what_is_read(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    char by_number[KEPT_TABLES_MAX][40] = {""};
    struct names others = {0};
    struct touched t;
    int kept = 0;
    read_writes(s, by_number, &others);
    for (int i = 0; i < QUERY_COUNT; i++) {
        const struct embedded_query *e = &embedded_queries[i];
        struct names known = {0};
        for (int k = 0; k < e->kept; k++) {
            names_add(&known, by_number[e->rests[k]]);
            assert_false(names_have(&others, by_number[e->rests[k]]));
        }
        touched_by(s, e->text, &t);
        for (int k = 0; k < t.reads.count && e->kept > 0; k++) {
            if (!names_have(&known, t.reads.name[k])) {
                assert_string_equal(t.reads.name[k], "daybook"); /* its rows never change */
            }
        }
        kept += e->kept > 0;
    }
    assert_true(kept >= 10);
    store_close(s);
}

static int columns_but_struck(struct store *s, const char *table)
{
    char sql[200];
    snprintf(sql, sizeof sql, "select count(*) from pragma_table_info('%s') where name <> 'struck'",
             table);
    sqlite3_stmt *q = NULL;
    assert_int_equal(sqlite3_prepare_v2(s->db, sql, -1, &q, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(q), SQLITE_ROW);
    int count = sqlite3_column_int(q, 0);
    sqlite3_finalize(q);
    return count;
}

/* The name of each fold is that of its table, and it fills every column but struck. */
static void a_fold_fills_its_table(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    int folds = 0;
    for (int i = 0; i < QUERY_COUNT; i++) {
        if (strncmp(embedded_queries[i].name, "fold_", 5) != 0) {
            continue;
        }
        const char *table = embedded_queries[i].name + 5;
        int columns = columns_but_struck(s, table);
        sqlite3_stmt *q = NULL;
        assert_int_equal(sqlite3_prepare_v2(s->db, embedded_queries[i].text, -1, &q, NULL),
                         SQLITE_OK);
        int parameters = sqlite3_bind_parameter_count(q);
        sqlite3_finalize(q);
        if (columns == 0 || columns != parameters) {
            print_error("fold_%s: %d columns, %d parameters\n", table, columns, parameters);
        }
        assert_true(columns > 0);
        assert_int_equal(columns, parameters);
        folds++;
    }
    assert_true(folds >= 40);
    store_close(s);
}

static void person_put(struct store *s, int64_t number, const char *role, int64_t entry)
{
    bool row;
    struct statement *q = store_prepare(s, Q_FOLD_PERSON);
    store_bind_int(q, 1, number);
    store_bind_text(q, 2, role);
    store_bind_int(q, 3, INT64_MIN);
    store_bind_int(q, 4, entry);
    assert_ok(store_step(q, &row));
    assert_false(row);
}

static void values_come_back_as_they_went_in(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    bool row;
    size_t len;
    assert_ok(store_begin(s));
    assert_ok(blob_add(s, 1, "a\0b", 3));
    struct statement *q = store_prepare(s, Q_BLOB_PUT);
    store_bind_bytes(q, 1, "", 0);
    store_bind_text(q, 2, "");
    store_bind_text(q, 3, "na\u00efve \U0001F331");
    store_bind_int(q, 4, INT64_MAX);
    store_bind_null(q, 5);
    assert_ok(store_step(q, &row));
    assert_false(row);
    q = store_prepare(s, Q_BLOB_GET);
    int64_t key = 1;
    store_bind_bytes(q, 1, &key, sizeof key);
    assert_ok(store_step(q, &row));
    assert_true(row);
    const char *bytes = store_bytes(q, 4, &len);
    assert_int_equal(len, 3);
    assert_memory_equal(bytes, "a\0b", 3);
    assert_ok(store_step(q, &row));
    assert_false(row);
    q = store_prepare(s, Q_BLOB_GET);
    store_bind_bytes(q, 1, "", 0);
    assert_ok(store_step(q, &row));
    assert_true(row);
    assert_non_null(store_bytes(q, 0, &len)); /* empty is not null */
    assert_int_equal(len, 0);
    assert_false(store_is_null(q, 0));
    assert_string_equal(store_text(q, 1), "");
    assert_string_equal(store_text(q, 2), "na\u00efve \U0001F331");
    assert_true(store_int(q, 3) == INT64_MAX);
    assert_true(store_is_null(q, 4));
    assert_null(store_bytes(q, 4, &len));
    assert_int_equal(len, 0);
    assert_int_equal(store_int(q, 4), 0);
    assert_null(store_text(q, 4));
    store_close(s);
}

static void a_prepared_query_starts_afresh(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    bool row;
    assert_ok(store_begin(s));
    person_put(s, 1, "grower", 1);
    assert_ok(blob_add(s, 1, "x", 1));
    assert_ok(blob_add(s, 2, "x", 1));
    struct statement *q = store_prepare(s, Q_BLOB_ALL);
    assert_ok(store_step(q, &row));
    assert_true(row);
    q = store_prepare(s, Q_BLOB_ALL); /* left half read */
    assert_ok(store_step(q, &row));
    assert_ok(store_step(q, &row));
    assert_true(row);
    assert_ok(store_step(q, &row));
    assert_false(row);
    q = store_prepare(s, Q_BLOB_GET); /* what was bound the last time is gone */
    int64_t key = 1;
    store_bind_bytes(q, 1, &key, sizeof key);
    assert_ok(store_step(q, &row));
    assert_true(row);
    q = store_prepare(s, Q_BLOB_GET);
    assert_ok(store_step(q, &row));
    assert_false(row);
    assert_ok(store_commit(s));
    store_close(s);
}

static void a_broken_rule_of_the_schema_is_an_error(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    bool row;
    assert_ok(store_begin(s));
    person_put(s, 1, "grower", 1);
    struct statement *q = store_prepare(s, Q_FOLD_PERSON);
    store_bind_int(q, 1, 1);
    store_bind_text(q, 2, "line");
    store_bind_int(q, 3, 1);
    store_bind_int(q, 4, 1);
    struct result r = store_step(q, &row);
    assert_code(r, STORE_FAILED);
    assert_non_null(strstr(r.value[0], "UNIQUE constraint failed"));
    q = store_prepare(s, Q_FOLD_PERSON); /* not null */
    store_bind_int(q, 1, 2);
    store_bind_text(q, 2, NULL);
    store_bind_int(q, 3, 1);
    store_bind_int(q, 4, 1);
    assert_code(store_step(q, &row), STORE_FAILED);
    q = store_prepare(s, Q_FOLD_PERSON); /* strict types */
    store_bind_text(q, 1, "two");
    store_bind_text(q, 2, "line");
    store_bind_int(q, 3, 1);
    store_bind_int(q, 4, 1);
    assert_code(store_step(q, &row), STORE_FAILED);
    person_put(s, 1, "line", 2); /* and the transaction goes on */
    assert_ok(store_commit(s));
    store_close(s);
}

static void amounts_add_up(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    bool row;
    assert_ok(store_begin(s));
    static const int64_t deltas[] = {500, -200, -300, 7};
    for (size_t i = 0; i < 4; i++) {
        struct statement *q = store_prepare(s, Q_FOLD_BALANCE);
        store_bind_int(q, 1, 12);
        store_bind_text(q, 2, "mg");
        store_bind_int(q, 3, deltas[i]);
        assert_ok(store_step(q, &row));
        q = store_prepare(s, Q_FOLD_ACCOUNT);
        store_bind_text(q, 1, "water");
        store_bind_text(q, 2, "mg");
        store_bind_int(q, 3, -deltas[i]);
        assert_ok(store_step(q, &row));
    }
    assert_ok(store_commit(s));
    sqlite3_stmt *q = NULL;
    assert_int_equal(
        sqlite3_prepare_v2(
            s->db, "select (select sum(amount) from balance), count(*), sum(amount) from account",
            -1, &q, NULL),
        SQLITE_OK);
    assert_int_equal(sqlite3_step(q), SQLITE_ROW);
    assert_int_equal(sqlite3_column_int64(q, 0), 7);
    assert_int_equal(sqlite3_column_int64(q, 1), 1);
    assert_int_equal(sqlite3_column_int64(q, 2), -7);
    sqlite3_finalize(q);
    store_close(s);
}

static void a_reader_cannot_write(void **state)
{
    (void)state;
    store_close(open_ok("plant.db", STORE_CREATE));
    struct store *s = open_ok("plant.db", STORE_READ);
    assert_ok(store_begin(s));
    assert_code(blob_add(s, 1, "x", 1), STORE_FAILED);
    store_rollback(s);
    assert_int_equal(blobs_count(s), 0);
    store_close(s);
}

static void a_table_taken_away_is_damage(void **state)
{
    (void)state;
    store_close(open_ok("plant.db", STORE_CREATE));
    outside_sql("plant.db", "drop table blob; alter table person drop column role;");
    struct store *s = open_ok("plant.db", STORE_WRITE);
    bool row;
    struct statement *q = store_prepare(s, Q_BLOB_GET);
    int64_t key = 1;
    store_bind_bytes(q, 1, &key, sizeof key);
    struct result r = store_step(q, &row);
    assert_code(r, STORE_DAMAGED);
    assert_non_null(strstr(r.value[0], "no such table: blob"));
    assert_code(store_step(store_prepare(s, Q_FOLD_PERSON), &row), STORE_DAMAGED);
    assert_ok(store_step(store_prepare(s, Q_TREE_GET), &row));
    store_close(s);
}

static void write_without_begin(void *argument)
{
    struct result r = blob_add(argument, 1, "x", 1);
    _exit(r.code == CODE_OK);
}

static void read_without_a_row(void *argument)
{
    bool row;
    struct statement *q = store_prepare(argument, Q_TREE_GET);
    struct result r = store_step(q, &row);
    _exit(r.code == CODE_OK && store_int(q, 0) == 0);
}

static void read_a_column_too_many(void *argument)
{
    bool row;
    struct statement *q = store_prepare(argument, Q_BLOB_ALL);
    struct result r = store_step(q, &row);
    _exit(r.code == CODE_OK && row && store_text(q, 4) == NULL);
}

static void bind_a_parameter_too_many(void *argument)
{
    store_bind_int(store_prepare(argument, Q_BLOB_GET), 2, 1);
}

static void bind_while_it_runs(void *argument)
{
    bool row;
    struct statement *q = store_prepare(argument, Q_DAYBOOK_AFTER);
    store_bind_int(q, 1, 0);
    struct result r = store_step(q, &row);
    if (r.code == CODE_OK && row) {
        store_bind_int(q, 1, 0);
    }
}

static void misuse_stops_the_program(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    assert_aborts(write_without_begin, s);
    assert_ok(blobs_add(s, 1, 1, 1));
    assert_aborts(read_without_a_row, s);
    assert_aborts(read_a_column_too_many, s);
    assert_aborts(bind_a_parameter_too_many, s);
    assert_int_equal(
        sqlite3_exec(s->db,
                     "insert into daybook values (1, x'01', null, 0, 0, 0, 0, '', 0, 0, '', 1, "
                     "x'', '', x'')",
                     NULL, NULL, NULL),
        SQLITE_OK);
    assert_aborts(bind_while_it_runs, s);
    store_close(s);
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, folder_enter, folder_leave)

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_query_compiles),
        cmocka_unit_test(kept_answers_rest_on_what_is_read),
        cmocka_unit_test(a_fold_fills_its_table),
        cmocka_unit_test(values_come_back_as_they_went_in),
        cmocka_unit_test(a_prepared_query_starts_afresh),
        cmocka_unit_test(a_broken_rule_of_the_schema_is_an_error),
        cmocka_unit_test(amounts_add_up),
        IN_FOLDER(a_reader_cannot_write),
        IN_FOLDER(a_table_taken_away_is_damage),
        cmocka_unit_test(misuse_stops_the_program),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
