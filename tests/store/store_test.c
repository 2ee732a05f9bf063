#include "record.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/stat.h>

#include "base/file.h"

static void a_new_record_is_kept(void **state)
{
    (void)state;
    struct store *s = open_ok("plant.db", STORE_CREATE);
    assert_ok(blobs_add(s, 1, 3, 10));
    assert_int_equal(blobs_count(s), 3);
    store_close(s);
    assert_false(file_exists("plant.db-wal"));
    assert_false(file_exists("plant.db.making"));
    struct stat st;
    assert_int_equal(stat("plant.db", &st), 0);
    assert_int_equal(st.st_mode & 07777, 0600);
    s = open_ok("plant.db", STORE_WRITE);
    assert_int_equal(blobs_count(s), 3);
    store_close(s);
    s = open_ok("plant.db", STORE_READ);
    assert_int_equal(blobs_count(s), 3);
    store_close(s);
}

static void a_record_is_never_made_over_another(void **state)
{
    (void)state;
    store_close(open_ok("plant.db", STORE_CREATE));
    assert_code(open_code("plant.db", STORE_CREATE), STORE_EXISTS);
    assert_int_equal(rename("plant.db", "taken-away.db"), 0);
    assert_ok(file_write("plant.db-wal", "x", 1, 0600)); /* left by another record */
    struct result r = open_code("plant.db", STORE_CREATE);
    assert_code(r, STORE_EXISTS);
    assert_string_equal(r.value[0], "plant.db-wal");
    assert_false(file_exists("plant.db"));
}

static void a_crash_while_making_is_made_good(void **state)
{
    (void)state;
    assert_ok(file_write("plant.db.making", "half a record", 13, 0600));
    store_close(open_ok("plant.db", STORE_CREATE));
    assert_ok(open_code("plant.db", STORE_WRITE));
}

static void a_missing_record_is_not_made(void **state)
{
    (void)state;
    assert_code(open_code("plant.db", STORE_WRITE), STORE_MISSING);
    assert_code(open_code("plant.db", STORE_READ), STORE_MISSING);
    assert_false(file_exists("plant.db"));
    assert_code(open_code("no/folder/plant.db", STORE_CREATE), FILE_OPEN);
}

static void other_files_are_left_alone(void **state)
{
    (void)state;
    static char text[5000];
    memset(text, 't', sizeof text);
    assert_ok(file_write("text", text, sizeof text, 0600));
    assert_ok(file_write("empty", "", 0, 0600));
    outside_sql("other.db", "create table lot (x);");
    static const char *const names[] = {"text", "empty", "other.db"};
    for (size_t i = 0; i < 3; i++) {
        struct arena a;
        arena_init(&a, 1 << 20);
        char *before, *after;
        size_t len, len_after;
        assert_ok(file_read(&a, names[i], 1 << 20, &before, &len));
        struct result r = open_code(names[i], STORE_WRITE);
        assert_code(r, STORE_FOREIGN);
        assert_string_equal(r.value[0], names[i]);
        assert_code(open_code(names[i], STORE_READ), STORE_FOREIGN);
        assert_ok(file_read(&a, names[i], 1 << 20, &after, &len_after));
        assert_int_equal(len, len_after);
        assert_memory_equal(before, after, len);
        arena_release(&a);
    }
}

static void a_newer_record_is_refused(void **state)
{
    (void)state;
    store_close(open_ok("plant.db", STORE_CREATE));
    outside_sql("plant.db", "pragma user_version = 9999;");
    struct result r = open_code("plant.db", STORE_WRITE);
    assert_code(r, STORE_NEWER);
    assert_string_equal(r.value[1], "9999");
    assert_code(open_code("plant.db", STORE_READ), STORE_NEWER);
    assert_code(open_code("plant.db", STORE_COPY), STORE_NEWER);
}

/* Before schema 1 a record is only its mark; the way up is the same from any number. */
static void an_older_record_is_backed_up_and_upgraded(void **state)
{
    (void)state;
    outside_sql("plant.db", "pragma application_id = 0x506c756d; create table older (x);"
                            "insert into older values (7);");
    assert_code(open_code("plant.db", STORE_READ), STORE_OLDER);
    assert_false(file_exists("plant.db.schema-0.1.backup"));
    struct store *copied = open_ok("plant.db", STORE_COPY);
    assert_ok(store_backup(copied, "copy.db"));
    store_close(copied);
    assert_code(open_code("copy.db", STORE_READ), STORE_OLDER); /* as it was */
    struct store *s = open_ok("plant.db", STORE_WRITE);
    assert_ok(blobs_add(s, 1, 1, 10));
    store_close(s);
    assert_ok(open_code("plant.db", STORE_READ));
    outside_sql("plant.db.schema-0.1.backup", "update older set x = 8 where x = 7;");
    assert_code(open_code("plant.db.schema-0.1.backup", STORE_READ), STORE_OLDER);

    /* The next one takes the next name. */
    assert_int_equal(rename("plant.db", "upgraded.db"), 0);
    assert_int_equal(link("plant.db.schema-0.1.backup", "plant.db"), 0);
    assert_ok(open_code("plant.db", STORE_WRITE));
    assert_true(file_exists("plant.db.schema-0.2.backup"));
}

static void a_failed_upgrade_leaves_the_older_record(void **state)
{
    (void)state;
    /* The name lot is taken, so schema 1 cannot be applied. */
    outside_sql("plant.db", "pragma application_id = 0x506c756d; create table lot (x);");
    assert_code(open_code("plant.db", STORE_WRITE), STORE_FAILED);
    assert_code(open_code("plant.db", STORE_READ), STORE_OLDER);
    outside_sql("plant.db", "create table daybook (x);"); /* none was left behind */
}

static void one_writer_any_readers(void **state)
{
    (void)state;
    struct store *writer = open_ok("plant.db", STORE_CREATE);
    struct result r = open_code("plant.db", STORE_WRITE);
    assert_code(r, STORE_BUSY);
    char who[40];
    snprintf(who, sizeof who, "process %ld", (long)getpid());
    assert_string_equal(r.value[0], who);
    assert_code(open_code("plant.db", STORE_CREATE), STORE_BUSY);
    struct store *one = open_ok("plant.db", STORE_READ), *two = open_ok("plant.db", STORE_READ);
    assert_ok(store_begin(one));
    assert_int_equal(blobs_count(one), 0);
    assert_ok(blobs_add(writer, 1, 2, 10));
    assert_int_equal(blobs_count(one), 0); /* its view stands still */
    assert_int_equal(blobs_count(two), 2);
    assert_ok(store_commit(one));
    assert_int_equal(blobs_count(one), 2);
    store_close(writer);
    assert_ok(open_code("plant.db", STORE_WRITE));
    store_close(one);
    store_close(two);
}

static void a_rolled_back_transaction_is_gone(void **state)
{
    (void)state;
    struct store *s = open_ok("plant.db", STORE_CREATE);
    assert_ok(store_begin(s));
    assert_ok(blob_add(s, 1, "x", 1));
    assert_int_equal(blobs_count(s), 1);
    store_rollback(s);
    store_rollback(s); /* harmless */
    assert_int_equal(blobs_count(s), 0);
    assert_ok(store_begin(s));
    assert_ok(blob_add(s, 1, "x", 1));
    store_close(s); /* as good as a rollback */
    s = open_ok("plant.db", STORE_READ);
    assert_int_equal(blobs_count(s), 0);
    store_close(s);
}

struct killed {
    int to_parent[2];
    int to_child[2];
};

/* Commits one attachment, says so, starts a second one and waits for its death. */
static void write_until_killed(void *argument)
{
    struct killed *k = argument;
    struct store *s;
    char c = 'c';
    if (store_open("plant.db", STORE_WRITE, &s).code != CODE_OK ||
        blobs_add(s, 1, 1, 10).code != CODE_OK || store_begin(s).code != CODE_OK ||
        blob_add(s, 2, "x", 1).code != CODE_OK || write(k->to_parent[1], &c, 1) != 1) {
        _exit(1);
    }
    while (read(k->to_child[0], &c, 1) != 1) {
    }
    raise(SIGKILL);
}

static void kill_from_outside(struct killed *k)
{
    char c = 0;
    assert_int_equal(read(k->to_parent[0], &c, 1), 1);
    assert_code(open_code("plant.db", STORE_WRITE), STORE_BUSY);
    struct store *s = open_ok("plant.db", STORE_READ);
    assert_int_equal(blobs_count(s), 1);
    store_close(s);
    assert_int_equal(write(k->to_child[1], &c, 1), 1);
}

static void what_came_after_a_mark_is_gone_alone(void **state)
{
    (void)state;
    struct store *s = open_ok("plant.db", STORE_CREATE);
    assert_ok(store_begin(s));
    assert_ok(blob_add(s, 1, "a", 1));
    for (int64_t i = 0; i < 2; i++) { /* a mark can be set again */
        assert_ok(store_mark(s));
        assert_ok(blob_add(s, 2, "b", 1));
        assert_ok(store_back(s));
    }
    assert_ok(blob_add(s, 3, "c", 1));
    assert_ok(store_commit(s));
    assert_int_equal(blobs_count(s), 2);
    store_close(s);
}

static void a_killed_writer_loses_only_what_was_open(void **state)
{
    (void)state;
    store_close(open_ok("plant.db", STORE_CREATE));
    struct killed k;
    assert_int_equal(pipe(k.to_parent), 0);
    assert_int_equal(pipe(k.to_child), 0);
    fflush(NULL);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        write_until_killed(&k);
        _exit(1);
    }
    kill_from_outside(&k);
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL);
    struct store *s = open_ok("plant.db", STORE_WRITE); /* the lock died too */
    assert_int_equal(blobs_count(s), 1);
    store_close(s);
    for (int i = 0; i < 2; i++) {
        close(k.to_parent[i]);
        close(k.to_child[i]);
    }
}

/* Writes until the file size limit is met; ends with 0 when that was said as it should be, and the
 * record still works. */
static void write_until_full(void *argument)
{
    (void)argument;
    signal(SIGXFSZ, SIG_IGN);
    setrlimit(RLIMIT_FSIZE, &(struct rlimit){2000000, 2000000});
    struct store *s;
    if (store_open("plant.db", STORE_WRITE, &s).code != CODE_OK) {
        _exit(1);
    }
    int64_t kept = 0;
    struct result r = RESULT_OK;
    while (kept < 1000) {
        r = blobs_add(s, kept, 1, 100000);
        if (r.code != CODE_OK) {
            break;
        }
        kept++;
    }
    bool said = r.code == CODE_STORE_FULL && kept > 3 && kept < 40;
    bool stands = blobs_count(s) == kept;
    store_close(s);
    int64_t reopened = -1;
    if (store_open("plant.db", STORE_READ, &s).code == CODE_OK) {
        reopened = blobs_count(s);
        store_close(s);
    }
    _exit(!said ? 2 : !stands ? 3 : reopened != kept ? 4 : 0);
}

static void a_full_disk_is_said_and_nothing_is_lost(void **state)
{
    (void)state;
    store_close(open_ok("plant.db", STORE_CREATE));
    int status = child_status(write_until_full, NULL);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
    struct store *s = open_ok("plant.db", STORE_WRITE); /* and with room again it goes on */
    int64_t kept = blobs_count(s);
    assert_true(kept > 3);
    assert_ok(blobs_add(s, 5000, 30, 100000));
    assert_int_equal(blobs_count(s), kept + 30);
    store_close(s);
}

/* Garbage from the given page on; the header is on page 0. */
static void damage(const char *path, int64_t first_page)
{
    int64_t size = file_size(path);
    int fd = open(path, O_RDWR);
    assert_true(fd >= 0 && size > first_page * 4096);
    char garbage[4096];
    memset(garbage, 0x5a, sizeof garbage);
    for (int64_t at = first_page * 4096; at < size; at += 4096) {
        assert_int_equal(pwrite(fd, garbage, sizeof garbage, at), sizeof garbage);
    }
    close(fd);
}

static void a_damaged_file_is_said(void **state)
{
    (void)state;
    struct store *s = open_ok("plant.db", STORE_CREATE);
    int64_t empty_pages = file_size("plant.db") / 4096;
    assert_ok(blobs_add(s, 1, 50, 3000));
    store_close(s);
    damage("plant.db", empty_pages);
    s = open_ok("plant.db", STORE_READ);
    bool row;
    struct statement *q = store_prepare(s, Q_BLOB_ALL);
    struct result r = store_step(q, &row);
    while (r.code == CODE_OK && row) {
        r = store_step(q, &row);
    }
    assert_code(r, STORE_DAMAGED);
    assert_code(store_backup(s, "copy.db"), STORE_DAMAGED);
    assert_false(file_exists("copy.db"));
    store_close(s);
    damage("plant.db", 1); /* with its schema */
    assert_code(open_code("plant.db", STORE_READ), STORE_DAMAGED);
    assert_code(open_code("plant.db", STORE_WRITE), STORE_DAMAGED);
}

static void a_backup_is_whole_and_takes_no_ones_place(void **state)
{
    (void)state;
    struct store *writer = open_ok("plant.db", STORE_CREATE),
                 *reader = open_ok("plant.db", STORE_READ);
    assert_ok(blobs_add(writer, 1, 100, 2000));
    assert_ok(store_begin(writer)); /* what is not committed is not copied */
    assert_ok(blob_add(writer, 999, "x", 1));
    assert_ok(store_backup(reader, "copy.db"));
    store_rollback(writer);
    assert_false(file_exists("copy.db-wal"));
    assert_false(file_exists("copy.db-journal"));
    struct stat st;
    assert_int_equal(stat("copy.db", &st), 0);
    assert_int_equal(st.st_mode & 07777, 0600);
    assert_code(store_backup(reader, "copy.db"), STORE_EXISTS);
    assert_code(store_backup(reader, "no/folder/copy.db"), FILE_OPEN);
    assert_ok(store_backup(writer, "copy2.db"));
    store_close(writer);
    store_close(reader);
    static const char *const copies[] = {"copy.db", "copy2.db"};
    for (int i = 0; i < 2; i++) {
        struct store *copy = open_ok(copies[i], STORE_READ);
        assert_int_equal(blobs_count(copy), 100);
        store_close(copy);
        copy = open_ok(copies[i], STORE_WRITE); /* it can take the plant's place */
        assert_ok(blobs_add(copy, 1000, 1, 1));
        store_close(copy);
    }
}

static void back_up_beyond_the_limit(void *argument)
{
    (void)argument;
    signal(SIGXFSZ, SIG_IGN);
    setrlimit(RLIMIT_FSIZE, &(struct rlimit){100000, 100000});
    struct store *s;
    if (store_open("plant.db", STORE_READ, &s).code != CODE_OK) {
        _exit(1);
    }
    struct result r = store_backup(s, "copy.db");
    store_close(s);
    _exit(r.code == CODE_STORE_FULL ? 0 : 2);
}

static void a_backup_without_room_leaves_nothing(void **state)
{
    (void)state;
    struct store *s = open_ok("plant.db", STORE_CREATE);
    assert_ok(blobs_add(s, 1, 100, 4000));
    store_close(s);
    int status = child_status(back_up_beyond_the_limit, NULL);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
    assert_false(file_exists("copy.db"));
    assert_false(file_exists("copy.db-journal"));
}

static void a_scratch_record_leaves_no_file(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    assert_ok(blobs_add(s, 1, 200, 100000)); /* 20 MB: more than its cache */
    assert_int_equal(blobs_count(s), 200);
    assert_ok(store_begin(s));
    assert_ok(blob_add(s, 999, "x", 1));
    store_rollback(s);
    assert_int_equal(blobs_count(s), 200);
    assert_ok(store_backup(s, "kept.db"));
    store_close(s);
    s = open_ok("kept.db", STORE_READ);
    assert_int_equal(blobs_count(s), 200);
    store_close(s);
}

static void begin_twice(void *argument)
{
    struct result r = store_begin(argument);
    r = store_begin(argument);
    _exit(r.code == CODE_OK);
}

static void commit_without_begin(void *argument)
{
    struct result r = store_commit(argument);
    _exit(r.code == CODE_OK);
}

static void back_up_in_a_transaction(void *argument)
{
    struct result r = store_begin(argument);
    r = store_backup(argument, "copy.db");
    _exit(r.code == CODE_OK);
}

static void misuse_stops_the_program(void **state)
{
    (void)state;
    struct store *s = open_ok(NULL, STORE_MEMORY);
    assert_aborts(begin_twice, s);
    assert_aborts(commit_without_begin, s);
    assert_aborts(back_up_in_a_transaction, s);
    store_close(s);
    store_close(NULL);
}

struct last_words {
    struct store *store;
    int64_t next;
    bool fails;
};

static struct result speak(void *self)
{
    struct last_words *w = self;
    struct result r = blob_add(w->store, w->next++, "x", 1);
    return w->fails ? FAIL0(STORE_FULL, "") : r;
}

static void a_commit_first_lets_another_write(void **state)
{
    (void)state;
    struct last_words w = {.store = open_ok("plant.db", STORE_CREATE), .next = 100};
    store_before_commit(w.store, speak, &w);
    assert_ok(blobs_add(w.store, 1, 2, 10));
    assert_int_equal(blobs_count(w.store), 3);
    w.fails = true;
    assert_code(blobs_add(w.store, 3, 2, 10), STORE_FULL);
    assert_int_equal(blobs_count(w.store), 3); /* neither what stood before it nor its own */
    w.fails = false;
    assert_ok(blobs_add(w.store, 3, 2, 10));
    assert_int_equal(blobs_count(w.store), 6);
    store_before_commit(w.store, NULL, NULL);
    assert_ok(blobs_add(w.store, 5, 1, 10));
    assert_int_equal(blobs_count(w.store), 7);
    store_close(w.store);
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, folder_enter, folder_leave)

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        IN_FOLDER(a_new_record_is_kept),
        IN_FOLDER(a_record_is_never_made_over_another),
        IN_FOLDER(a_crash_while_making_is_made_good),
        IN_FOLDER(a_missing_record_is_not_made),
        IN_FOLDER(other_files_are_left_alone),
        IN_FOLDER(a_newer_record_is_refused),
        IN_FOLDER(an_older_record_is_backed_up_and_upgraded),
        IN_FOLDER(a_failed_upgrade_leaves_the_older_record),
        IN_FOLDER(one_writer_any_readers),
        IN_FOLDER(a_rolled_back_transaction_is_gone),
        IN_FOLDER(what_came_after_a_mark_is_gone_alone),
        IN_FOLDER(a_commit_first_lets_another_write),
        IN_FOLDER(a_killed_writer_loses_only_what_was_open),
        IN_FOLDER(a_full_disk_is_said_and_nothing_is_lost),
        IN_FOLDER(a_damaged_file_is_said),
        IN_FOLDER(a_backup_is_whole_and_takes_no_ones_place),
        IN_FOLDER(a_backup_without_room_leaves_nothing),
        IN_FOLDER(a_scratch_record_leaves_no_file),
        IN_FOLDER(misuse_stops_the_program),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
