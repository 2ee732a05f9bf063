#include "store/sqlite/connection.h"

#include <errno.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "store/sqlite/memo.h"

enum {
    APPLICATION_ID = 0x506c756d, /* "Plum" */
    BUSY_WAIT_MS = 10000,
    LOG_PAGES_MAX = 4000, /* 16 MB of log before a checkpoint (computed here: docs/scaling.md) */
    WRITER_CACHE_KB = 8192,
    READER_CACHE_KB = 8192
};

/* What the system last said about the record's file or its log; the engine keeps it from a failed
 * commit. */
static bool no_room(sqlite3 *db)
{
    int errors[3] = {sqlite3_system_errno(db)};
    sqlite3_file *log = NULL;
    sqlite3_file_control(db, "main", SQLITE_FCNTL_LAST_ERRNO, &errors[1]);
    sqlite3_file_control(db, "main", SQLITE_FCNTL_JOURNAL_POINTER, &log);
    if (log != NULL && log->pMethods != NULL) {
        log->pMethods->xFileControl(log, SQLITE_FCNTL_LAST_ERRNO, &errors[2]);
    }
    for (int i = 0; i < 3; i++) {
        if (errors[i] == ENOSPC || errors[i] == EDQUOT || errors[i] == EFBIG) {
            return true;
        }
    }
    return false;
}

struct result sqlite_fail(sqlite3 *db, int rc)
{
    const char *text = db != NULL ? sqlite3_errmsg(db) : sqlite3_errstr(rc);
    switch (rc & 0xff) {
    case SQLITE_FULL:
        return FAIL0(STORE_FULL, "");
    case SQLITE_IOERR: /* a quota or a file size limit is a full disk to whoever hits it */
        return db != NULL && no_room(db) ? FAIL0(STORE_FULL, "") : FAIL1(STORE_FAILED, "", text);
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        return FAIL1(STORE_DAMAGED, "", text);
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return FAIL1(STORE_BUSY, "", text);
    case SQLITE_NOMEM:
        return FAIL0(MEMORY_SHORT, "");
    default:
        return FAIL1(STORE_FAILED, "", text);
    }
}

static struct result run(sqlite3 *db, const char *sql)
{
    int rc = sqlite3_exec(db, sql, NULL, NULL, NULL);
    return rc == SQLITE_OK ? RESULT_OK : sqlite_fail(db, rc);
}

static int first_value(void *out, int count, char **values, char **names)
{
    (void)names;
    char *text = out;
    if (text[0] == '\0' && count > 0 && values[0] != NULL) {
        snprintf(text, 120, "%s", values[0]);
    }
    return 0;
}

/* The first value of the first row, as text. */
static struct result ask(sqlite3 *db, const char *sql, char out[120])
{
    out[0] = '\0';
    int rc = sqlite3_exec(db, sql, first_value, out, NULL);
    return rc == SQLITE_OK ? RESULT_OK : sqlite_fail(db, rc);
}

static int log_grew(void *self, sqlite3 *db, const char *name, int pages)
{
    (void)db;
    (void)name;
    struct store *s = self;
    if (pages < s->log_pages) {
        s->checkpoint_at = LOG_PAGES_MAX; /* it began anew */
    }
    s->log_pages = pages;
    return SQLITE_OK;
}

static void harden(struct store *s)
{
    static const struct {
        int option, value;
    } settings[] = {
        {SQLITE_DBCONFIG_DEFENSIVE, 1},   {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0},
        {SQLITE_DBCONFIG_DQS_DML, 0},     {SQLITE_DBCONFIG_DQS_DDL, 0},
        {SQLITE_DBCONFIG_ENABLE_FKEY, 1}, {SQLITE_DBCONFIG_ENABLE_TRIGGER, 0},
        {SQLITE_DBCONFIG_ENABLE_VIEW, 0}, {SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0},
    };
    for (size_t i = 0; i < sizeof settings / sizeof settings[0]; i++) {
        CHECK(sqlite3_db_config(s->db, settings[i].option, settings[i].value, NULL) == SQLITE_OK);
    }
    int reader = store_is_reader(s);
    CHECK(sqlite3_db_config(s->db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, reader, NULL) == SQLITE_OK);
    CHECK(sqlite3_extended_result_codes(s->db, 1) == SQLITE_OK);
    CHECK(sqlite3_busy_timeout(s->db, BUSY_WAIT_MS) == SQLITE_OK);
    /* No checkpoint but ours: SQLite before 3.51.3 can lose a commit when one connection
     * checkpoints while another resets the log. The hook only counts. */
    sqlite3_wal_autocheckpoint(s->db, 0);
    sqlite3_wal_hook(s->db, log_grew, s);
    s->checkpoint_at = LOG_PAGES_MAX;
}

/* Nobody asks how much memory the engine has; counting it locks all its threads against each other.
 * Refused, harmlessly, when another part of the program was first to use the engine. */
static void engine_start(void)
{
    (void)sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
}

static struct result attach(struct store *s, const char *path, int flags)
{
    static pthread_once_t once = PTHREAD_ONCE_INIT;
    CHECK(pthread_once(&once, engine_start) == 0);
    int rc =
        sqlite3_open_v2(path, &s->db, flags | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_PRIVATECACHE, NULL);
    if (rc != SQLITE_OK) {
        return sqlite_fail(s->db, rc);
    }
    harden(s);
    char settings[160];
    snprintf(settings, sizeof settings,
             "pragma mmap_size = 0; pragma cache_size = -%d; pragma secure_delete = on; pragma "
             "synchronous = full;",
             store_is_reader(s) ? READER_CACHE_KB : WRITER_CACHE_KB);
    struct result r = run(s->db, settings);
    if ((sqlite3_errcode(s->db) & 0xff) == SQLITE_NOTADB) {
        return FAIL1(STORE_FOREIGN, "", s->path);
    }
    return r;
}

static struct result journal(struct store *s, const char *mode)
{
    char sql[64], got[120];
    snprintf(sql, sizeof sql, "pragma journal_mode = %s;", mode);
    TRY(ask(s->db, sql, got));
    return strcmp(got, mode) == 0
               ? RESULT_OK
               : FAIL1(STORE_FAILED, "", "the file system cannot keep a write-ahead log");
}

static struct result mark(struct store *s)
{
    char sql[64];
    snprintf(sql, sizeof sql, "pragma application_id = %d;", APPLICATION_ID);
    return run(s->db, sql);
}

struct result driver_create(struct store *s, const char *path)
{
    TRY(attach(s, path, SQLITE_OPEN_READWRITE));
    TRY(journal(s, "wal"));
    return mark(s);
}

/* An empty name: pages spill to an unlinked file instead of filling the memory. */
static struct result open_scratch(struct store *s)
{
    TRY(attach(s, "", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE));
    TRY(journal(s, "memory"));
    TRY(run(s->db, "pragma synchronous = off;"));
    return mark(s);
}

struct result driver_open(struct store *s, const char *path)
{
    if (s->mode == STORE_MEMORY) {
        return open_scratch(s);
    }
    bool reader = store_is_reader(s);
    TRY(attach(s, path, reader ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE));
    int number; /* asked before anything is written into a file that may not be ours */
    TRY(driver_schema_number(s, &number));
    return reader ? run(s->db, "pragma query_only = on;") : journal(s, "wal");
}

struct result driver_schema_number(struct store *s, int *out)
{
    char id[120], number[120];
    TRY(ask(s->db, "pragma application_id;", id));
    if (strtol(id, NULL, 10) != APPLICATION_ID) {
        return FAIL1(STORE_FOREIGN, "", s->path);
    }
    TRY(ask(s->db, "pragma user_version;", number));
    *out = (int)strtol(number, NULL, 10);
    return RESULT_OK;
}

/* SQLite's words for the schema's. */
static char *schema_text(const char *text)
{
    static const struct {
        const char *word, *here;
    } words[] = {
        {"@int64", "integer"}, {"@bytes", "blob"}, {"@text", "text"}, {"@strict", "strict"}};
    char *out = malloc(strlen(text) * 2 + 1); /* no replacement is twice as long as its word */
    CHECK(out != NULL);
    size_t n = 0;
    while (*text != '\0') {
        if (*text != '@') {
            out[n++] = *text++;
            continue;
        }
        bool known = false;
        for (size_t i = 0; i < sizeof words / sizeof words[0] && !known; i++) {
            size_t len = strlen(words[i].word);
            if (strncmp(text, words[i].word, len) == 0) {
                memcpy(out + n, words[i].here, strlen(words[i].here));
                n += strlen(words[i].here);
                text += len;
                known = true;
            }
        }
        CHECK(known);
    }
    out[n] = '\0';
    return out;
}

struct result driver_schema_apply(struct store *s, int number)
{
    CHECK(number >= 1 && number <= embedded_schema_count);
    char *sql = schema_text(embedded_schemas[number - 1]);
    memo_forget(s);
    struct result r = run(s->db, sql);
    free(sql);
    TRY(r);
    char stamp[64];
    snprintf(stamp, sizeof stamp, "pragma user_version = %d;", number);
    return run(s->db, stamp);
}

/* As run, for what every transaction says: compiled once. */
static struct result run_kept(sqlite3 *db, sqlite3_stmt **kept, const char *sql)
{
    int rc = SQLITE_OK;
    if (*kept == NULL) {
        rc = sqlite3_prepare_v3(db, sql, -1, SQLITE_PREPARE_PERSISTENT, kept, NULL);
    }
    if (rc == SQLITE_OK) {
        rc = sqlite3_step(*kept);
    }
    if (rc == SQLITE_DONE) {
        sqlite3_reset(*kept);
        return RESULT_OK;
    }
    struct result r = sqlite_fail(db, rc);
    sqlite3_reset(*kept);
    return r;
}

struct result driver_begin(struct store *s)
{
    return run_kept(s->db, &s->begin, store_is_reader(s) ? "begin;" : "begin immediate;");
}

/* On the writing connection, between two transactions. A fault here loses nothing: the log stays
 * whole and is tried again. */
static void checkpoint_when_due(struct store *s)
{
    if (store_is_reader(s) || s->mode == STORE_MEMORY || s->log_pages < s->checkpoint_at) {
        return;
    }
    int in_log = 0, done = 0;
    int rc = sqlite3_wal_checkpoint_v2(s->db, NULL, SQLITE_CHECKPOINT_PASSIVE, &in_log, &done);
    /* While a reader keeps the log from beginning anew it grows; then only every so many pages
     * more. */
    s->checkpoint_at = (rc == SQLITE_OK ? in_log : s->log_pages) + LOG_PAGES_MAX;
}

struct result driver_commit(struct store *s)
{
    statements_reset(s);
    struct result r = run_kept(s->db, &s->commit, "commit;");
    if (r.code != CODE_OK) {
        driver_rollback(s);
        return r;
    }
    checkpoint_when_due(s);
    return RESULT_OK;
}

void driver_rollback(struct store *s)
{
    statements_reset(s);
    memo_forget(s);
    if (sqlite3_get_autocommit(s->db) ==
        0) { /* a failed statement may have ended the transaction already */
        CHECK(sqlite3_exec(s->db, "rollback;", NULL, NULL, NULL) != SQLITE_MISUSE);
    }
}

struct result driver_mark(struct store *s)
{
    return run(s->db, "savepoint mark;");
}

struct result driver_back(struct store *s)
{
    statements_reset(s);
    memo_forget(s);
    return run(s->db, "rollback to mark; release mark;");
}

void driver_close(struct store *s)
{
    statements_close(s);
    memo_free(s);
    if (s->db != NULL) {
        if (!store_is_reader(s)) {
            sqlite3_wal_checkpoint_v2(s->db, NULL, SQLITE_CHECKPOINT_PASSIVE, NULL, NULL);
        }
        CHECK(sqlite3_close(s->db) == SQLITE_OK);
        s->db = NULL;
    }
    s->log_pages = 0;
}

static struct result copy_pages(sqlite3 *from, sqlite3 *to)
{
    sqlite3_backup *copy = sqlite3_backup_init(to, "main", from, "main");
    if (copy == NULL) {
        return sqlite_fail(to, sqlite3_errcode(to));
    }
    int step = sqlite3_backup_step(copy, -1); /* all of it from one snapshot */
    int rc = sqlite3_backup_finish(copy);
    return step == SQLITE_DONE && rc == SQLITE_OK ? RESULT_OK
                                                  : sqlite_fail(to, rc != SQLITE_OK ? rc : step);
}

/* Its own journal goes away with the change of mode, so that the copy is one file. */
static struct result check_copy(sqlite3 *copy)
{
    char got[120];
    TRY(ask(copy, "pragma journal_mode = delete;", got));
    TRY(ask(copy, "pragma integrity_check(1);", got));
    return strcmp(got, "ok") == 0 ? RESULT_OK : FAIL1(STORE_DAMAGED, "", got);
}

struct result driver_copy(struct store *s, const char *path)
{
    statements_reset(s);
    sqlite3 *copy = NULL;
    int rc = sqlite3_open_v2(path, &copy, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL);
    struct result r = rc == SQLITE_OK ? RESULT_OK : sqlite_fail(copy, rc);
    if (r.code == CODE_OK) {
        sqlite3_extended_result_codes(copy, 1);
        r = copy_pages(s->db, copy);
    }
    if (r.code == CODE_OK) {
        r = check_copy(copy);
    }
    sqlite3_close(copy);
    return r;
}
