/* Copies, putting them back, and the heads that tell a record cut short. */
#include "fixture.h"

#include <dirent.h>
#include <signal.h>
#include <sqlite3.h>
#include <sys/stat.h>

#include "base/file.h"
#include "service/backup.h"
#include "service/witness.h"

static void place_put(struct site *s, struct door *door, const char *code)
{
    assert_ok(post(door, take_of(s, "{'kind':'place','code':'%s','place_kind':'store'}", code)));
}

static json_t *head_sign(struct site *s, struct door *door)
{
    json_t *head;
    assert_ok(ask(door, json_of(s, "{'do':'sign','why':'shift'}"), &head));
    return head;
}

static struct door *door_ok(struct site *s)
{
    struct door *door;
    assert_ok(door_open(PLANT, s->world, &door));
    return door;
}

static const char *copy_to(struct site *s, const char *folder)
{
    struct plant *reader;
    const char *path;
    assert_ok(plant_open_read(PLANT, &reader));
    assert_ok(backup_make(reader, folder, s->fixed.now_ms, &s->arena, &path));
    plant_close(reader);
    return path;
}

/* Night 1: A, a signed head, a copy. Then B, C and a signed head that the copy does not have. */
static const char *two_nights(struct site *s)
{
    site_bare(s);
    struct door *door = door_ok(s);
    place_put(s, door, "A");
    json_decref(head_sign(s, door));
    const char *copy = copy_to(s, "copies");
    place_put(s, door, "B");
    place_put(s, door, "C");
    json_decref(head_sign(s, door));
    door_close(door);
    return copy;
}

static void a_copy_is_whole_and_holds_no_key(void **state)
{
    (void)state;
    struct site s;
    size_t len;
    site_open(&s);
    site_bare(&s);
    struct door *door = door_ok(&s);
    place_put(&s, door, "A");
    json_decref(head_sign(&s, door));
    const char *copy = copy_to(&s, "far/away"); /* also while somebody writes */
    place_put(&s, door, "B");
    door_close(door);
    assert_string_equal(copy, "far/away/plant-20260302T040000Z");
    assert_int_equal(entries_of(&s, copy), 2);
    char *key = bytes_of(&s, "p/plant.key", &len);
    DIR *folder = opendir(copy);
    assert_non_null(folder);
    int files = 0;
    for (const struct dirent *e = readdir(folder); e != NULL; e = readdir(folder)) {
        if (e->d_name[0] == '.') {
            continue;
        }
        size_t size;
        char *bytes = bytes_of(&s, arena_printf(&s.arena, "%s/%s", copy, e->d_name), &size);
        assert_null(memmem(bytes, size, key, len));
        files += strcmp(e->d_name, "plant.db") == 0 || strcmp(e->d_name, "plant.zone") == 0 ||
                 strcmp(e->d_name, "plant.heads") == 0;
    }
    closedir(folder);
    assert_int_equal(files, 3);
    site_close(&s);
}

static void a_second_copy_never_takes_the_place_of_the_first(void **state)
{
    (void)state;
    struct site s;
    struct plant *reader;
    const char *path;
    site_open(&s);
    site_bare(&s);
    const char *copy = copy_to(&s, "copies");
    assert_ok(plant_open_read(PLANT, &reader));
    assert_code(backup_make(reader, "copies", s.fixed.now_ms, &s.arena, &path), STORE_EXISTS);
    assert_ok(backup_make(reader, "copies", s.fixed.now_ms + 1000, &s.arena, &path));
    assert_string_not_equal(path, copy);
    plant_close(reader);
    site_close(&s);
}

/* The newest folder in copies is what somebody puts back one day. */
static void a_copy_that_failed_leaves_no_folder(void **state)
{
    (void)state;
    struct site s;
    struct plant *reader;
    const char *path;
    struct rlimit limit;
    site_open(&s);
    site_bare(&s);
    assert_ok(plant_open_read(PLANT, &reader));
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &limit), 0);
    rlim_t most = limit.rlim_cur;
    limit.rlim_cur = 8192; /* the record is longer */
    signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
    struct result r = backup_make(reader, "copies", s.fixed.now_ms, &s.arena, &path);
    limit.rlim_cur = most;
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
    assert_int_not_equal(r.code, CODE_OK);
    assert_int_equal(rmdir("copies"), 0); /* nothing in it */
    assert_ok(backup_make(reader, "copies", s.fixed.now_ms, &s.arena, &path));
    plant_close(reader);
    site_close(&s);
}

static void last_nights_copy_needs_no_excuse_where_nothing_was_signed_since(void **state)
{
    (void)state;
    struct site s;
    site_open(&s);
    site_bare(&s);
    struct door *door = door_ok(&s);
    place_put(&s, door, "A");
    json_decref(head_sign(&s, door));
    door_close(door);
    const char *copy = copy_to(&s, "copies");
    assert_ok(backup_restore(copy, "new", false, s.world, &s.arena));
    assert_int_equal(entries_of(&s, "new"), 2);
    assert_ok(door_open("new", s.world, &door));
    place_put(&s, door, "B");
    json_t *head = head_sign(&s, door);
    assert_int_equal(number_in(head, "size"), 3); /* with a key of its own */
    json_decref(head);
    door_close(door);
    size_t len;
    char *old_key = bytes_of(&s, "p/plant.key", &len),
         *new_key = bytes_of(&s, "new/plant.key", &len);
    assert_memory_not_equal(old_key, new_key, len);
    site_close(&s);
}

static void an_older_copy_takes_nothing_until_it_is_named(void **state)
{
    (void)state;
    struct site s;
    json_t *head, *answer;
    site_open(&s);
    const char *copy = two_nights(&s);
    assert_ok(backup_restore(copy, PLANT, true, s.world, &s.arena));
    assert_int_equal(entries_of(&s, PLANT), 2);
    struct door *door = door_ok(&s);
    static const char *const requests[] = {
        "{'do':'take','command':{'kind':'place','code':'D','place_kind':'store',"
        "'person':1,'uuid':'00000000-0000-4000-8000-0000000000d0'}}",
        "{'do':'take-all','commands':[{'kind':'place','code':'D','place_kind':'store',"
        "'person':1,'uuid':'00000000-0000-4000-8000-0000000000d1'}]}",
        "{'do':'sign','why':'shift'}", "{'do':'contact','code':'N','name':'Node'}"};
    for (size_t i = 0; i < 4; i++) {
        assert_code(post(door, json_of(&s, "%s", requests[i])), RESTORE_UNNAMED);
    }
    assert_int_equal(entries_of(&s, PLANT), 2);
    assert_ok(witness_missing(door_plant(door), &s.arena, &head));
    assert_int_equal(number_in(head, "size"), 4);
    json_t *restored = take_of(&s, "{'kind':'restored','reason':'the disk died'}");
    json_object_set_new(json_object_get(restored, "command"), "head", head);
    assert_ok(ask(door, restored, &answer));
    assert_int_equal(number_in(answer, "entry"), 3);
    assert_int_equal(number_in(answer, "gone_from"), 3);
    assert_int_equal(number_in(answer, "gone_to"), 4);
    json_decref(answer);
    place_put(&s, door, "D"); /* at once ... */
    door_close(door);
    door = door_ok(&s); /* ... and after the next start, though it is still the shorter one */
    place_put(&s, door, "E");
    assert_ok(witness_missing(door_plant(door), &s.arena, &head));
    assert_null(head);
    json_t *again = take_of(&s, "{'kind':'restored','reason':'the disk died'}");
    assert_code(post(door, again), FIELD_MISSING); /* it names a head or says nothing */
    door_close(door);
    assert_int_equal(places_named(&s, PLANT, "B"), 0);
    site_close(&s);
}

/* What names the head that the copy lacks; owned by the caller. */
static json_t *restored_of(struct site *s, struct door *door)
{
    json_t *head;
    assert_ok(witness_missing(door_plant(door), &s->arena, &head));
    json_t *restored = take_of(s, "{'kind':'restored','reason':'the disk died'}");
    json_object_set_new(json_object_get(restored, "command"), "head", head);
    return restored;
}

static struct witness_report heads_compared(struct site *s, struct door *door)
{
    struct witness_report report;
    int64_t entries = (int64_t)door_plant(door)->ledger->tree.size;
    assert_ok(witness_compare(door_plant(door), entries, &s->arena, &report));
    return report;
}

/* The head of 4 entries was signed over B and C, which are gone. Once 4 entries stand again it does
 * not fit them, and need not; a head that nobody told of, or signed since, must. */
static void a_head_of_entries_that_are_told_gone_is_no_damage(void **state)
{
    (void)state;
    struct site s;
    json_t *head;
    site_open(&s);
    const char *copy = two_nights(&s);
    assert_ok(backup_restore(copy, PLANT, true, s.world, &s.arena));
    struct door *door = door_ok(&s);
    json_t *restored = restored_of(&s, door);
    assert_ok(post(door, restored));
    place_put(&s, door, "D");
    struct witness_report report = heads_compared(&s, door);
    assert_int_equal(report.kept, 2);
    assert_int_equal(report.gone, 1);
    assert_int_equal(report.wrong, 0);
    s.fixed.now_ms += 1000;
    head = head_sign(&s, door); /* as long as the one that is gone, and of what stands here */
    assert_int_equal(number_in(head, "size"), 4);
    report = heads_compared(&s, door);
    assert_int_equal(report.kept, 3);
    assert_int_equal(report.gone, 1);
    assert_int_equal(report.wrong, 0);
    json_object_set_new(head, "root", json_string(arena_printf(&s.arena, "%064d", 7)));
    assert_ok(witness_put(PLANT, head)); /* signed after the restore, says another root */
    json_decref(head);
    report = heads_compared(&s, door);
    assert_int_equal(report.kept, 4);
    assert_int_equal(report.gone, 1);
    assert_int_equal(report.wrong, 1);
    door_close(door);
    site_close(&s);
}

static void a_restore_that_could_not_be_told_stays_unnamed(void **state)
{
    (void)state;
    struct site s;
    struct stat st;
    struct rlimit limit;
    site_open(&s);
    const char *copy = two_nights(&s);
    assert_ok(backup_restore(copy, PLANT, true, s.world, &s.arena));
    struct door *door = door_ok(&s);
    json_t *restored = restored_of(&s, door);
    assert_int_equal(stat("p/plant.db-wal", &st), 0);
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &limit), 0);
    rlim_t most = limit.rlim_cur;
    limit.rlim_cur = (rlim_t)st.st_size;
    signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
    assert_code(post(door, json_incref(restored)), STORE_FULL);
    limit.rlim_cur = most;
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
    json_t *place = take_of(&s, "{'kind':'place','code':'D','place_kind':'store'}");
    assert_code(post(door, place), RESTORE_UNNAMED);
    assert_ok(post(door, restored));
    place_put(&s, door, "D");
    door_close(door);
    site_close(&s);
}

static void a_record_that_is_there_is_set_aside_never_lost(void **state)
{
    (void)state;
    struct site s;
    site_open(&s);
    const char *copy = two_nights(&s);
    assert_code(backup_restore(copy, PLANT, false, s.world, &s.arena), BACKUP_EXISTS);
    assert_int_equal(entries_of(&s, PLANT), 4);
    struct door *door = door_ok(&s);
    assert_code(backup_restore(copy, PLANT, true, s.world, &s.arena), STORE_BUSY);
    door_close(door);
    assert_int_equal(entries_of(&s, PLANT), 4);
    assert_ok(backup_restore(copy, PLANT, true, s.world, &s.arena));
    assert_int_equal(entries_of(&s, PLANT), 2);
    struct store *aside;
    assert_ok(store_open("p/plant.db.before-20260302T040000Z", STORE_READ, &aside));
    store_close(aside);
    struct result r = backup_restore(copy, PLANT, true, s.world, &s.arena); /* the same second */
    assert_code(r, STORE_EXISTS);
    assert_int_equal(entries_of(&s, PLANT), 2);
    assert_false(file_exists("p/plant.db.restoring"));
    site_close(&s);
}

static void a_record_beyond_repair_can_be_replaced(void **state)
{
    (void)state;
    struct site s;
    site_open(&s);
    const char *copy = two_nights(&s);
    assert_ok(file_write("p/plant.db", "torn", 4, 0600));
    assert_ok(backup_restore(copy, PLANT, true, s.world, &s.arena));
    assert_int_equal(entries_of(&s, PLANT), 2);
    assert_true(stands_in(&s, "p/plant.db.before-20260302T040000Z", "torn"));
    site_close(&s);
}

/* The log of a record that was taken away belongs to no other. */
static void a_log_left_alone_is_not_played_into_the_copy(void **state)
{
    (void)state;
    struct site s;
    size_t len;
    site_open(&s);
    const char *copy = two_nights(&s);
    struct door *door = door_ok(&s);
    place_put(&s, door, "D");
    char *log = bytes_of(&s, "p/plant.db-wal", &len);
    door_close(door);
    assert_true(len > 0);
    assert_int_equal(unlink("p/plant.db"), 0);
    assert_ok(file_write("p/plant.db-wal", log, len, 0600));
    assert_ok(backup_restore(copy, PLANT, false, s.world, &s.arena));
    assert_int_equal(entries_of(&s, PLANT), 2);
    assert_int_equal(places_named(&s, PLANT, "D"), 0);
    site_close(&s);
}

static void a_copy_that_is_none_changes_nothing(void **state)
{
    (void)state;
    struct site s;
    site_open(&s);
    two_nights(&s);
    assert_code(backup_restore("nowhere", PLANT, true, s.world, &s.arena), PLANT_MISSING);
    assert_ok(folder_make("torn"));
    assert_ok(file_write("torn/plant.db", "torn", 4, 0600));
    assert_code(backup_restore("torn", PLANT, true, s.world, &s.arena), STORE_FOREIGN);
    assert_code(backup_restore("torn", "fresh", false, s.world, &s.arena), STORE_FOREIGN);
    assert_false(file_exists("fresh"));
    assert_int_equal(entries_of(&s, PLANT), 4);
    site_close(&s);
}

/* What the engine itself says; the first value of the first row, 0 for none. */
static int64_t sql(const char *path, const char *text)
{
    sqlite3 *db = NULL;
    sqlite3_stmt *q = NULL;
    int64_t value = 0;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    for (const char *rest = text; *rest != '\0'; sqlite3_finalize(q)) {
        assert_int_equal(sqlite3_prepare_v2(db, rest, -1, &q, &rest), SQLITE_OK);
        int rc = sqlite3_step(q);
        assert_true(rc == SQLITE_ROW || rc == SQLITE_DONE);
        value = rc == SQLITE_ROW ? sqlite3_column_int64(q, 0) : value;
    }
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    return value;
}

/* Before schema 1 a record is only its mark; the way up is the same from any number. */
static void older_copy(const char *table)
{
    char text[200];
    snprintf(text, sizeof text,
             "pragma application_id = 0x506c756d; create table %s (x); insert into %s values (7);",
             table, table);
    assert_ok(folder_make("older"));
    sql("older/plant.db", text);
}

static int files_in(const char *path, const char *begin)
{
    DIR *folder = opendir(path);
    int files = 0;
    assert_non_null(folder);
    for (const struct dirent *e = readdir(folder); e != NULL; e = readdir(folder)) {
        files += strncmp(e->d_name, begin, strlen(begin)) == 0;
    }
    closedir(folder);
    return files;
}

static void a_copy_of_an_older_schema_is_upgraded_on_the_way(void **state)
{
    (void)state;
    struct site s;
    size_t len, same;
    site_open(&s);
    two_nights(&s);
    older_copy("older");
    char *before = bytes_of(&s, "older/plant.db", &len);
    assert_ok(file_write("p/plant.db.restoring-wal", "of a crash", 10, 0600));
    assert_ok(backup_restore("older", PLANT, true, s.world, &s.arena));
    assert_int_equal(files_in(PLANT, "plant.db.restoring"), 0);
    struct store *store;
    assert_ok(store_open("p/plant.db", STORE_READ, &store)); /* of today's schema */
    store_close(store);
    assert_int_equal(sql("p/plant.db", "select x from older;"), 7);
    assert_int_equal(sql("p/plant.db", "select count(*) from daybook;"), 0);
    assert_int_equal(sql("p/plant.db.before-20260302T040000Z", "select count(*) from daybook;"), 4);
    char *after = bytes_of(&s, "older/plant.db", &same); /* the copy is as it was */
    assert_int_equal(same, len);
    assert_memory_equal(after, before, len);
    assert_int_equal(files_in("older", "plant"), 1);
    assert_ok(backup_restore("older", "fresh", false, s.world, &s.arena)); /* and can be again */
    assert_int_equal(sql("fresh/plant.db", "select x from older;"), 7);
    site_close(&s);
}

static void a_copy_that_cannot_be_upgraded_changes_nothing(void **state)
{
    (void)state;
    struct site s;
    site_open(&s);
    two_nights(&s);
    older_copy("lot"); /* the name is taken, so schema 1 cannot be applied */
    assert_code(backup_restore("older", PLANT, true, s.world, &s.arena), STORE_FAILED);
    assert_int_equal(entries_of(&s, PLANT), 4);
    assert_int_equal(files_in(PLANT, "plant.db.restoring"), 0);
    assert_int_equal(files_in(PLANT, "plant.db.before"), 0);
    assert_int_equal(sql("older/plant.db", "select x from lot;"), 7);
    site_close(&s);
}

static void a_half_written_head_costs_only_itself(void **state)
{
    (void)state;
    struct site s;
    json_t *heads;
    size_t len;
    site_open(&s);
    site_bare(&s);
    struct door *door = door_ok(&s);
    json_decref(head_sign(&s, door));
    char *whole = bytes_of(&s, "p/plant.heads", &len);
    char *cut = arena_printf(&s.arena, "%s%.*s", whole, (int)len - 30, whole);
    assert_ok(file_write("p/plant.heads", cut, strlen(cut), 0644));
    assert_ok(witness_all(PLANT, &s.arena, &heads));
    assert_int_equal(json_array_size(heads), 1);
    json_decref(heads);
    place_put(&s, door, "A");
    json_t *head = head_sign(&s, door);
    assert_ok(witness_all(PLANT, &s.arena, &heads));
    assert_int_equal(json_array_size(heads), 2);
    assert_true(json_equal(json_array_get(heads, 1), head));
    json_decref(heads);
    json_decref(head);
    door_close(door);
    site_close(&s);
}

/* Whoever changes a number in the file of heads shuts nobody out: only a signed head counts. */
static void a_head_that_was_changed_does_not_count(void **state)
{
    (void)state;
    struct site s;
    size_t len;
    site_open(&s);
    site_bare(&s);
    struct door *door = door_ok(&s);
    json_decref(head_sign(&s, door));
    door_close(door);
    char *text = bytes_of(&s, "p/plant.heads", &len), *size = strstr(text, "\"size\":1");
    assert_non_null(size);
    size[strlen("\"size\":")] = '9';
    assert_ok(file_write("p/plant.heads", text, len, 0644));
    door = door_ok(&s);
    place_put(&s, door, "A");
    door_close(door);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_copy_that_failed_leaves_no_folder, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_copy_is_whole_and_holds_no_key, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_second_copy_never_takes_the_place_of_the_first,
                                        folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(
            last_nights_copy_needs_no_excuse_where_nothing_was_signed_since, folder_enter,
            folder_leave),
        cmocka_unit_test_setup_teardown(an_older_copy_takes_nothing_until_it_is_named, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_head_of_entries_that_are_told_gone_is_no_damage,
                                        folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_restore_that_could_not_be_told_stays_unnamed,
                                        folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_record_that_is_there_is_set_aside_never_lost,
                                        folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_record_beyond_repair_can_be_replaced, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_log_left_alone_is_not_played_into_the_copy, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_copy_that_is_none_changes_nothing, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_copy_of_an_older_schema_is_upgraded_on_the_way,
                                        folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_copy_that_cannot_be_upgraded_changes_nothing,
                                        folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_half_written_head_costs_only_itself, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_head_that_was_changed_does_not_count, folder_enter,
                                        folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
