#include "record.h"

#include <fcntl.h>

#include "base/file.h"
#include "store/sqlite/connection.h"

static int64_t pragma(struct store *s, const char *sql, char text[40])
{
    sqlite3_stmt *q = NULL;
    assert_int_equal(sqlite3_prepare_v2(s->db, sql, -1, &q, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(q), SQLITE_ROW);
    int64_t value = sqlite3_column_int64(q, 0);
    snprintf(text, 40, "%s", (const char *)sqlite3_column_text(q, 0));
    sqlite3_finalize(q);
    return value;
}

static void assert_setting(struct store *s, const char *sql, const char *wanted)
{
    char text[40];
    pragma(s, sql, text);
    if (strcmp(text, wanted) != 0) {
        print_error("%s\n", sql);
    }
    assert_string_equal(text, wanted);
}

static int option(struct store *s, int name)
{
    int value = -1;
    assert_int_equal(sqlite3_db_config(s->db, name, -1, &value), SQLITE_OK);
    return value;
}

static void every_connection_is_set_up_alike(void **state)
{
    (void)state;
    store_close(open_ok("plant.db", STORE_CREATE));
    for (int m = 0; m < 2; m++) {
        struct store *s = open_ok("plant.db", m == 0 ? STORE_WRITE : STORE_READ);
        assert_setting(s, "pragma application_id", "1349285229");
        assert_setting(s, "pragma journal_mode", "wal");
        assert_setting(s, "pragma synchronous", "2"); /* full */
        assert_setting(s, "pragma foreign_keys", "1");
        assert_setting(s, "pragma trusted_schema", "0");
        assert_setting(s, "pragma wal_autocheckpoint", "0");
        assert_setting(s, "pragma secure_delete", "1");
        assert_setting(s, "pragma query_only", m == 0 ? "0" : "1");
        assert_int_equal(option(s, SQLITE_DBCONFIG_DEFENSIVE), 1);
        assert_int_equal(option(s, SQLITE_DBCONFIG_DQS_DML), 0);
        assert_int_equal(option(s, SQLITE_DBCONFIG_DQS_DDL), 0);
        assert_int_equal(option(s, SQLITE_DBCONFIG_ENABLE_TRIGGER), 0);
        assert_int_equal(option(s, SQLITE_DBCONFIG_ENABLE_VIEW), 0);
        assert_int_equal(option(s, SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION), 0);
        assert_int_equal(option(s, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE), m);
        char text[40];
        assert_true(pragma(s, "pragma cache_size", text) >= -8192);
        assert_true(pragma(s, "pragma cache_size", text) < 0); /* kilobytes */
        assert_setting(s, "pragma mmap_size", "0");
        store_close(s);
    }
}

static void the_log_stays_short(void **state)
{
    (void)state;
    struct store *s = open_ok("plant.db", STORE_CREATE);
    int64_t longest = 0;
    for (int i = 0; i < 1600; i++) {
        assert_ok(blobs_add(s, i, 1, 40000));
        int64_t size = file_size("plant.db-wal");
        longest = size > longest ? size : longest;
    }
    /* 1600 times ten pages were written; the log begins anew after some 4000. */
    assert_true(longest < 17000000);
    assert_true(file_size("plant.db") > 48000000);
    store_close(s);
    assert_int_equal(file_size("plant.db-wal"), -1);
}

static void a_long_reader_does_not_stop_the_writer(void **state)
{
    (void)state;
    struct store *s = open_ok("plant.db", STORE_CREATE), *reader = open_ok("plant.db", STORE_READ);
    assert_ok(blobs_add(s, 0, 1, 10));
    assert_ok(store_begin(reader));
    assert_int_equal(blobs_count(reader), 1);
    for (int i = 1; i <= 1200; i++) {
        assert_ok(blobs_add(s, i, 1, 40000));
    }
    assert_int_equal(blobs_count(reader), 1);
    assert_ok(store_commit(reader));
    assert_int_equal(blobs_count(reader), 1201);
    int64_t long_log = file_size("plant.db-wal");
    for (int i = 1201; i <= 2000; i++) { /* it can begin anew now, so it does not grow */
        assert_ok(blobs_add(s, i, 1, 40000));
    }
    assert_true(file_size("plant.db-wal") < long_log + 17000000);
    store_close(s);
    store_close(reader);
}

static void a_reader_never_checkpoints(void **state)
{
    (void)state;
    struct store *s = open_ok("plant.db", STORE_CREATE), *reader = open_ok("plant.db", STORE_READ);
    assert_ok(blobs_add(s, 0, 5, 40000));
    /* As after a crash: the log is still there when the reader comes and when it goes. */
    struct arena a;
    arena_init(&a, 1 << 24);
    char *log, *record;
    size_t log_len, record_len;
    assert_ok(file_read(&a, "plant.db-wal", 1 << 23, &log, &log_len));
    assert_ok(file_read(&a, "plant.db", 1 << 23, &record, &record_len));
    store_close(reader);
    store_close(s);
    assert_ok(file_write("crashed.db", record, record_len, 0600));
    assert_ok(file_write("crashed.db-wal", log, log_len, 0600));
    reader = open_ok("crashed.db", STORE_READ);
    assert_int_equal(blobs_count(reader), 5);
    store_close(reader);
    assert_int_equal(file_size("crashed.db-wal"), log_len);
    char *after;
    size_t after_len;
    assert_ok(file_read(&a, "crashed.db", 1 << 23, &after, &after_len));
    assert_int_equal(after_len, record_len);
    assert_memory_equal(after, record, record_len);
    s = open_ok("crashed.db", STORE_WRITE);
    assert_int_equal(blobs_count(s), 5);
    store_close(s);
    assert_int_equal(file_size("crashed.db-wal"), -1);
    arena_release(&a);
}

static void erased_names_leave_the_file(void **state)
{
    (void)state;
    static const char name[] = "Plumula Erasenda 4711";
    struct store *s = open_ok("plant.db", STORE_CREATE);
    assert_ok(blobs_add(s, 1, 1, 10));
    store_close(s);
    outside_sql("plant.db", "pragma journal_mode = wal;"
                            "insert into person_secret (number, name, contact) "
                            "values (1, 'Plumula Erasenda 4711', '');");
    s = open_ok("plant.db", STORE_WRITE);
    assert_ok(store_begin(s));
    assert_int_equal(sqlite3_exec(s->db, "delete from person_secret;", NULL, NULL, NULL),
                     SQLITE_OK);
    assert_ok(store_commit(s));
    store_close(s);
    struct arena a;
    arena_init(&a, 1 << 24);
    char *bytes;
    size_t len;
    assert_ok(file_read(&a, "plant.db", 1 << 23, &bytes, &len));
    assert_null(memmem(bytes, len, name, strlen(name)));
    arena_release(&a);
}

static void engine_faults_have_their_codes(void **state)
{
    (void)state;
    static const struct {
        int rc;
        enum code code;
    } cases[] = {
        {SQLITE_FULL, CODE_STORE_FULL},       {SQLITE_CORRUPT, CODE_STORE_DAMAGED},
        {SQLITE_NOTADB, CODE_STORE_DAMAGED},  {SQLITE_CORRUPT_INDEX, CODE_STORE_DAMAGED},
        {SQLITE_BUSY, CODE_STORE_BUSY},       {SQLITE_BUSY_RECOVERY, CODE_STORE_BUSY},
        {SQLITE_LOCKED, CODE_STORE_BUSY},     {SQLITE_NOMEM, CODE_MEMORY_SHORT},
        {SQLITE_IOERR, CODE_STORE_FAILED},    {SQLITE_IOERR_FSYNC, CODE_STORE_FAILED},
        {SQLITE_CANTOPEN, CODE_STORE_FAILED}, {SQLITE_CONSTRAINT_UNIQUE, CODE_STORE_FAILED},
        {SQLITE_READONLY, CODE_STORE_FAILED},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal(sqlite_fail(NULL, cases[i].rc).code, cases[i].code);
    }
    assert_string_equal(sqlite_fail(NULL, SQLITE_READONLY).value[0],
                        "attempt to write a readonly database");
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, folder_enter, folder_leave)

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        IN_FOLDER(every_connection_is_set_up_alike),
        IN_FOLDER(the_log_stays_short),
        IN_FOLDER(a_long_reader_does_not_stop_the_writer),
        IN_FOLDER(a_reader_never_checkpoints),
        IN_FOLDER(erased_names_leave_the_file),
        IN_FOLDER(engine_faults_have_their_codes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
