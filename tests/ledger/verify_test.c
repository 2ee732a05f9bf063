/* Verify finds any changed bit: of an entry, a head, a file, a derived row; and says nothing of a
 * record that is whole. */
#include "fixture/evidence.h"

#include <sqlite3.h>

#include "base/random.h"
#include "ledger/verify.h"

static struct house h;
static void *folder;

/* A house in which much has happened, in the file "house", its last head signed; a copy of it is
 * what is damaged. */
static int begin(void **state)
{
    if (folder_enter(&folder) != 0) {
        return 1;
    }
    house_open_at(&h, "house");
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(&h, "{'kind':'release','person':2,'lot':'%s','markets':['US']}", b.packed);
    house_take(&h, "{'kind':'ship','person':8,'customer':'COTYLEDON','units':['%s-0001..%s-0002']}",
               b.packed, b.packed);
    house_take(&h,
               "{'kind':'hold','person':2,'hold_kind':'quality','lot':'%s','stops':['load'],'needs'"
               ":'paper','reason':'r'}",
               b.packed);
    house_take(
        &h, "{'kind':'ship','mode':'tell','person':8,'customer':'COTYLEDON','units':['%s-0003']}",
        b.packed);
    struct entry wash = house_entry(&h, "wash");
    house_take(&h, "{'kind':'destroy','lot':'%s','mass':'900 kg','to':'waste','reason':'r'}",
               house_in_body(&h, &wash, "\"lots\"", "lot"));
    int64_t order = house_take(
        &h,
        "{'kind':'order','person':9,'source':'office','lines':[{'key':'K1','customer':'COTYLEDON',"
        "'item':'MUNG250','day':'2026-03-20','pieces':40}]}");
    house_take(&h, "{'kind':'strike','person':2,'entry':%lld,'reason':'twice'}", (long long)order);
    house_take(&h, "{'kind':'plan-take','person':9,'starts':[{'day':'2026-03-20','place':'C2','"
                   "item':'MUNG','seed':'100 kg',"
                   "'grow_days':7}]}");
    house_take(&h, "{'kind':'mapping','source':'office','for':'orders','data':{'columns':{"
                   "'customer':'C','item':'I','day':'D','pieces':'P'}}}");
    house_take(&h, "{'kind':'limit','person':2,'limit':'purity','low':'98.5','source':'house','"
                   "reason':'tighter'}");
    struct sign_key key;
    struct head head;
    static const uint8_t seed[32] = {1, 2, 3};
    sign_key_from_seed(seed, &key);
    assert_ok(store_begin(h.store));
    assert_ok(ledger_sign_head(h.lg, &key, "shift", &head));
    assert_ok(store_commit(h.store));
    house_take(&h, "{'kind':'move','units':['%s-0004'],'place':'COLD'}", b.packed);
    return 0;
}

static int end(void **state)
{
    house_close(&h);
    return folder_leave(&folder);
}

struct looked {
    struct arena arena;
    struct verify_report report;
};

static void look(const char *path, struct looked *out)
{
    struct store *s;
    arena_init(&out->arena, ARENA_LIMIT_DEFAULT);
    assert_ok(store_open(path, STORE_READ, &s));
    assert_ok(ledger_verify(s, NULL, &out->arena, &out->report));
    store_close(s);
}

/* A copy of the house in which something was done by hand, verified. */
static void damage(const char *sql, struct looked *out)
{
    sqlite3 *db;
    char *why = NULL;
    unlink("copy");
    assert_ok(store_backup(h.store, "copy"));
    assert_int_equal(sqlite3_open("copy", &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, &why) != SQLITE_OK) {
        print_error("%s: %s\n", sql, why);
        fail();
    }
    assert_int_equal(sqlite3_total_changes(db) > 0, 1);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    look("copy", out);
}

static bool names(const struct looked *l, const char *table)
{
    for (size_t i = 0; i < l->report.finding_count; i++) {
        if (strcmp(l->report.findings[i].table, table) == 0) {
            return true;
        }
    }
    return false;
}

static void is_found(const char *sql, const char *table)
{
    struct looked l;
    damage(sql, &l);
    if (l.report.found == 0 || !names(&l, table)) {
        print_error("not found in %s: %s\n", table, sql);
        for (size_t i = 0; i < l.report.finding_count; i++) {
            print_error("  %s %s: %s, not %s\n", l.report.findings[i].table,
                        l.report.findings[i].key, l.report.findings[i].is,
                        l.report.findings[i].wanted);
        }
        fail();
    }
    arena_release(&l.arena);
}

static void a_whole_record_has_no_findings(void **state)
{
    struct looked l;
    damage("update person_secret set name = name; insert into partner_contact values ('COTYLEDON', "
           "'Cotyledon 7', '')",
           &l);
    json_t *json = verify_json(&l.arena, &l.report);
    if (l.report.found != 0) {
        print_error("%s\n", json_canonical(&l.arena, json));
    }
    assert_int_equal(l.report.found, 0);
    assert_int_equal(l.report.entries, h.lg->next_seq - 1);
    assert_int_equal(l.report.heads, 1);
    assert_true(l.report.files >= 3);
    struct hash root = merkle_edge_root(&h.lg->tree);
    assert_memory_equal(l.report.root.b, root.b, sizeof root.b);
    assert_int_equal(l.report.owed_count, 1); /* 900 kg destroyed of 547 kg */
    assert_int_equal(l.report.owed[0].amount, 353000000);
    json_decref(json);
    arena_release(&l.arena);
}

static void any_changed_field_of_an_entry_is_found(void **state)
{
    static const char *const changes[] = {
        "happened_ms = happened_ms + 1",
        "recorded_ms = recorded_ms - 1",
        "offset_min = 60",
        "day = day + 1",
        "device = 'x'",
        "clock_ms = 1",
        "person = person + 1",
        "kind = 'x'",
        "version = 2",
        "digest = zeroblob(32)",
        "leaf = zeroblob(32)",
        "uuid = zeroblob(16)",
        "body = replace(body, '\"entry\":45', '\"entry\":46')",
        "body = body || ' '",
        "body = replace(body, '{', '{ ')",
        "cause = 3",
        "body = substr(body, 2)",
    };
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        is_found(arena_printf(&h.arena, "update daybook set %s where seq = 45", changes[i]),
                 "daybook");
    }
}

/* One bit of one byte of a body, at places chosen by a seed that the output names. */
static void a_flipped_bit_of_a_body_is_found(void **state)
{
    struct random r;
    uint64_t seed = 20260302;
    random_seed(&r, seed);
    print_message("# seed %llu\n", (unsigned long long)seed);
    for (int i = 0; i < 12; i++) {
        int64_t seq = 1 + (int64_t)random_below(&r, (uint64_t)h.lg->next_seq - 1);
        struct entry e;
        bool found;
        assert_ok(entry_by_seq(h.store, &h.arena, seq, &e, &found));
        size_t at = (size_t)random_below(&r, strlen(e.body));
        char c = (char)(e.body[at] ^ (1 << random_below(&r, 7)));
        if (c == '\0') {
            continue;
        }
        const char *sql = arena_printf(&h.arena,
                                       "update daybook set body = substr(body, 1, %zu) || char(%d) "
                                       "|| substr(body, %zu) where seq = %lld",
                                       at, c, at + 2, (long long)seq);
        is_found(sql, "daybook");
    }
}

static void lost_and_added_entries_are_found(void **state)
{
    is_found("delete from daybook where seq = 40", "daybook");
    is_found("delete from daybook where seq = (select max(seq) from daybook)", "tree");
    is_found("insert into daybook select seq + 1, randomblob(16), cause, happened_ms, recorded_ms, "
             "offset_min, day, device, clock_ms, "
             "person, kind, version, digest, body, leaf from daybook order by seq desc limit 1",
             "tree");
    is_found("delete from daybook where seq > 30; delete from tree", "head");
}

static void a_changed_head_or_tree_is_found(void **state)
{
    is_found("update head set root = zeroblob(32)", "head");
    is_found("update head set signature = zeroblob(64)", "head");
    is_found("update head set signed_ms = signed_ms + 1", "head");
    is_found("update head set size = size - 1", "head");
    is_found("update tree set size = size - 1", "tree");
    is_found("update tree set peaks = zeroblob(length(peaks))", "tree");
}

static void a_changed_or_lost_file_is_found(void **state)
{
    is_found("update blob set bytes = cast('%PDF-1.4 x' as blob) where kind = 'pdf'", "file");
    is_found("update blob set size = size + 1 where kind = 'profile'", "file");
    is_found("update blob set bytes = null where kind = 'profile'", "file");
    is_found("delete from blob where kind = 'pdf'", "file");
}

struct table {
    const char *name, *letters, *columns;
    int keys;
};
static const struct table tables[] = {
#define TABLE(name, NAME, keys, letters, columns) {#name, letters, columns, keys},
#include "ledger/verify_tables.def"
#undef TABLE
};

static int64_t rows_of(const char *table)
{
    sqlite3 *db;
    sqlite3_stmt *q;
    assert_int_equal(sqlite3_open_v2("house", &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db,
                                        arena_printf(&h.arena, "select count(*) from %s", table),
                                        -1, &q, NULL),
                     SQLITE_OK);
    assert_int_equal(sqlite3_step(q), SQLITE_ROW);
    int64_t count = sqlite3_column_int64(q, 0);
    sqlite3_finalize(q);
    sqlite3_close(db);
    return count;
}

static const char *first_column(const struct table *t)
{
    return arena_copy_n(&h.arena, t->columns, strcspn(t->columns, ","));
}

/* One row of every table that has any. */
static void a_lost_row_of_any_table_is_found(void **state)
{
    struct looked l;
    const char *sql = "";
    size_t seen = 0;
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        const char *name = tables[i].name, *first = first_column(&tables[i]);
        if (rows_of(name) > 0) {
            sql = arena_printf(&h.arena, "%sdelete from %s where %s = (select max(%s) from %s);",
                               sql, name, first, first, name);
            seen++;
        }
    }
    damage(sql, &l);
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        assert_int_equal(names(&l, tables[i].name), rows_of(tables[i].name) > 0);
    }
    assert_true(seen > 30);
    arena_release(&l.arena);
}

static bool names_column(const struct looked *l, const char *table, const char *column)
{
    size_t len = strlen(column);
    for (size_t i = 0; i < l->report.finding_count; i++) {
        const struct verify_finding *f = &l->report.findings[i];
        if (strcmp(f->table, table) == 0 && strncmp(f->is, column, len) == 0 && f->is[len] == '=') {
            return true;
        }
    }
    return false;
}

/* Every column of every table that has rows. */
static void a_changed_column_of_any_table_is_found(void **state)
{
    struct looked l;
    const char *sql = "";
    for (int pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
            const struct table *t = &tables[i];
            const char *first = first_column(t), *column = t->columns;
            for (int k = 0; t->letters[k] != '\0' && rows_of(t->name) > 0;
                 k++, column += strcspn(column, ",") + 1) {
                const char *name = arena_copy_n(&h.arena, column, strcspn(column, ","));
                const char *value =
                    t->letters[k] == 'i'   ? arena_printf(&h.arena, "coalesce(%s, 0) + 77", name)
                    : t->letters[k] == 't' ? arena_printf(&h.arena, "coalesce(%s, '') || 'x'", name)
                                           : "zeroblob(32)";
                if (k < t->keys) {
                    continue;
                }
                if (pass == 0) {
                    sql = arena_printf(
                        &h.arena, "%supdate %s set %s = %s where %s = (select max(%s) from %s);",
                        sql, t->name, name, value, first, first, t->name);
                } else if (!names_column(&l, t->name, name)) {
                    print_error("not found: %s.%s\n", t->name, name);
                    fail();
                }
            }
        }
        if (pass == 0) {
            damage(sql, &l);
        }
    }
    arena_release(&l.arena);
}

/* A table that is folded and not compared would be a hole. */
static void every_effect_has_its_table(void **state)
{
    static const char *const effects[] = {
#define ROW(name, NAME, fields) #name,
#define SET(name, NAME, values)
#include "ledger/effects.def"
#undef ROW
#undef SET
    };
    for (size_t i = 0; i < sizeof effects / sizeof effects[0]; i++) {
        bool found = false;
        for (size_t k = 0; k < sizeof tables / sizeof tables[0]; k++) {
            found = found || strcmp(tables[k].name, effects[i]) == 0;
        }
        if (!found) {
            print_error("no table for effect %s\n", effects[i]);
            fail();
        }
    }
}

static void broken_rules_are_found(void **state)
{
    struct looked l;
    is_found("update owed set closed = 1", "balance"); /* below zero, and nobody owes it */
    is_found("delete from deviation where rule = 'held-loaded'", "shipped");
    damage("insert into edge select child, parent, entry, mg, basis, null from edge where struck "
           "is null limit 1",
           &l);
    bool cycle = false;
    for (size_t i = 0; i < l.report.finding_count; i++) {
        cycle = cycle || strcmp(l.report.findings[i].is, "among its own ancestors") == 0;
    }
    assert_true(cycle);
    arena_release(&l.arena);
    is_found("update lot set struck = 1 where kind = 'packed'", "edge");
    is_found("update movement set amount = amount + 1 where leg = 0 and lot is not null",
             "balance");
}

static bool says(const struct looked *l, const char *is)
{
    for (size_t i = 0; i < l->report.finding_count; i++) {
        if (strstr(l->report.findings[i].is, is) != NULL) {
            return true;
        }
    }
    return false;
}

/* Told apart from the changed bit itself, which the leaf shows. */
static void an_entry_that_does_not_balance_is_named_as_such(void **state)
{
    struct looked l;
    damage("update daybook set body = replace(body, ',-100000000,', ',-100000001,') where kind = "
           "'receive'",
           &l);
    assert_true(says(&l, "its legs sum to -1 mg"));
    arena_release(&l.arena);
    damage("update daybook set cause = seq + 1 where kind = 'ship'", &l);
    assert_true(says(&l, "a cause that is not before it"));
    arena_release(&l.arena);
}

static bool stop_at_tables(void *self, const char *what, int64_t done, int64_t of)
{
    int *calls = self;
    (*calls)++;
    return strcmp(what, "lot") != 0;
}

static void it_tells_how_far_it_is_and_can_be_stopped(void **state)
{
    int calls = 0;
    struct verify_progress progress = {.step = stop_at_tables, .self = &calls};
    struct verify_report report;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_code(ledger_verify(h.store, &progress, &a, &report), VERIFY_STOPPED);
    assert_true(calls > 3);
    arena_release(&a);
}

int main(void)
{
    const struct CMUnitTest tests_[] = {
        cmocka_unit_test(a_whole_record_has_no_findings),
        cmocka_unit_test(any_changed_field_of_an_entry_is_found),
        cmocka_unit_test(a_flipped_bit_of_a_body_is_found),
        cmocka_unit_test(lost_and_added_entries_are_found),
        cmocka_unit_test(a_changed_head_or_tree_is_found),
        cmocka_unit_test(a_changed_or_lost_file_is_found),
        cmocka_unit_test(a_lost_row_of_any_table_is_found),
        cmocka_unit_test(a_changed_column_of_any_table_is_found),
        cmocka_unit_test(every_effect_has_its_table),
        cmocka_unit_test(broken_rules_are_found),
        cmocka_unit_test(an_entry_that_does_not_balance_is_named_as_such),
        cmocka_unit_test(it_tells_how_far_it_is_and_can_be_stopped),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests_, begin, end);
}
