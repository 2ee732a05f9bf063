/* The scope of every positive of an invented plant, worked out a second time by loops over what was
 * told (naive.h) and compared with what the record holds for it.
 *
 * scope_test PLUMULE */
#include "naive.h"
#include "program.h"

#include <sqlite3.h>

#include "base/civil.h"

/* A positive as the record has it: its result, and the entry of the scope that follows. */
struct positive {
    char sample[64];
    int64_t result, scope;
};
enum { POSITIVES_MAX = 256, HELD_MAX = 8192 };
struct held {
    char lot[64];
    enum way way;
};

static struct launch run;
static const char *program;
static struct naive told;
static bool is_told;
static struct naive_scope expected;
static struct positive positives[POSITIVES_MAX];
static struct held held[HELD_MAX];
static size_t held_count;

/* Twelve chambers: two of them get the water that goes round, two batches a day share a line. Six
 * weeks: the laboratory finds something in the fourth. */
static int set_up(void **state)
{
    int failed = folder_enter(state);
    run_open(&run, program);
    if (failed != 0) {
        return failed;
    }
    RUN(&run, "demo", "--folder", "demo", "--profile", PROFILE_FILE, "--chambers", "12", "--weeks",
        "6", "--seed", "3", "--last-day", "2026-03-29", "--json");
    if (run.code != 0) {
        print_error("the demo ended with %d: %s%s\n", run.code, run.out, run.err);
    }
    return run.code;
}

static void close_told(void)
{
    if (is_told) {
        naive_close(&told);
    }
    is_told = false;
}

static int tear_down(void **state)
{
    close_told();
    run_close(&run);
    return folder_leave(state);
}

/* ---- what the record has */

static sqlite3 *open_record(const char *path)
{
    sqlite3 *db;
    assert_int_equal(sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    return db;
}

static sqlite3_stmt *ask(sqlite3 *db, const char *sql, int64_t a)
{
    sqlite3_stmt *q;
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &q, NULL), SQLITE_OK);
    if (sqlite3_bind_parameter_count(q) > 0) {
        assert_int_equal(sqlite3_bind_int64(q, 1, a), SQLITE_OK);
    }
    return q;
}

static const char *column(sqlite3_stmt *q, int n)
{
    return (const char *)sqlite3_column_text(q, n);
}

/* Each confirmed positive from which a scope was concluded. */
static size_t read_positives(const char *path, struct positive *out)
{
    size_t count = 0;
    sqlite3 *db = open_record(path);
    sqlite3_stmt *q =
        ask(db,
            "select r.seq, s.seq, json_extract(r.body, '$.did.sample') from daybook r "
            "left join daybook s on s.cause = r.seq and s.kind = 'scope' where r.kind = 'result' "
            "and json_extract(r.body, '$.did.state') = 'confirmed-positive' order by r.seq",
            0);
    while (sqlite3_step(q) == SQLITE_ROW) {
        assert_true(count < POSITIVES_MAX);
        struct positive *p = &out[count++];
        p->result = sqlite3_column_int64(q, 0);
        p->scope = sqlite3_column_int64(q, 1);
        snprintf(p->sample, sizeof p->sample, "%s", column(q, 2));
    }
    sqlite3_finalize(q);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    return count;
}

/* The lots that the holds of a scope cover, each with the way that its hold gives, as it was
 * concluded. */
static void read_held(const char *path, int64_t scope)
{
    sqlite3 *db = open_record(path);
    sqlite3_stmt *q = ask(db,
                          "select distinct l.code, h.reason from hold h join hold_on o on "
                          "o.hold = h.id and o.entry = h.entry join lot l on l.id = o.lot and "
                          "l.struck is null where h.entry = ?1 and h.kind = 'positive'",
                          scope);
    held_count = 0;
    while (sqlite3_step(q) == SQLITE_ROW) {
        assert_true(held_count < HELD_MAX);
        struct held *h = &held[held_count++];
        snprintf(h->lot, sizeof h->lot, "%s", column(q, 0));
        h->way = WAY_BATCH;
        while (h->way < WAYS) {
            size_t len = strlen(way_names[h->way]);
            if (strncmp(column(q, 1), way_names[h->way], len) == 0 && column(q, 1)[len] == ':') {
                break;
            }
            h->way++;
        }
        assert_in_range(h->way, WAY_BATCH, WAY_WATER);
    }
    sqlite3_finalize(q);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
}

/* ---- the comparison */

static bool is_held(const char *lot, enum way way)
{
    for (size_t i = 0; i < held_count; i++) {
        if ((way == WAYS || held[i].way == way) && strcmp(held[i].lot, lot) == 0) {
            return true;
        }
    }
    return false;
}

static bool is_expected(const char *lot, enum way way)
{
    for (size_t i = 0; i < told.lot_count; i++) {
        if (strcmp(told.lots[i].code, lot) == 0) {
            return way == WAYS ? naive_found(&expected, i) : expected.in[way][i];
        }
    }
    return false;
}

static void say(bool aloud, const struct positive *p, const char *lot, const char *what,
                const char *way)
{
    if (aloud) {
        print_error("%s: %s is %s %s\n", p->sample, lot, what, way);
    }
}

/* How many lots are in the one set and not in the other, or held for a way that does not lead to
 * them, or not held for the first that does. */
static size_t differences(const struct positive *p, bool aloud)
{
    size_t count = 0;
    for (size_t i = 0; i < told.lot_count; i++) {
        enum way first = naive_first(&expected, i);
        if (first < WAYS && !is_held(told.lots[i].code, first)) {
            say(aloud, p, told.lots[i].code, "not held by", way_names[first]);
            count++;
        }
    }
    for (size_t i = 0; i < held_count; i++) {
        if (!is_expected(held[i].lot, held[i].way)) {
            say(aloud, p, held[i].lot, "held, but not reached by", way_names[held[i].way]);
            count++;
        }
    }
    return count;
}

static bool only_by(size_t lot, enum way way)
{
    for (enum way w = WAY_BATCH; w < WAYS; w++) {
        if (expected.in[w][lot] != (w == way)) {
            return false;
        }
    }
    return true;
}

/* How many lots a way finds that no other does. */
static size_t alone(enum way way)
{
    size_t count = 0;
    for (size_t i = 0; i < told.lot_count; i++) {
        count += only_by(i, way) ? 1 : 0;
    }
    return count;
}

static void read_told(const char *path, int64_t last_entry)
{
    close_told();
    naive_read(&told, path, last_entry);
    is_told = true;
}

static void look_at(const char *path, const struct positive *p)
{
    assert_true(naive_scope_of(&told, p->sample, &expected));
    assert_true(p->scope > p->result);
    read_held(path, p->scope);
}

/* ---- what the laboratory might have found */

struct lines {
    char *text;
    size_t len, room;
};

static void add_line(struct lines *l, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void add_line(struct lines *l, const char *format, ...)
{
    va_list args;
    if (l->room - l->len < 1024) {
        l->room = l->room * 2 + 65536;
        l->text = realloc(l->text, l->room);
        assert_non_null(l->text);
    }
    va_start(args, format);
    int n = vsnprintf(l->text + l->len, l->room - l->len, format, args);
    va_end(args);
    assert_in_range(n, 1, 1000);
    l->len += (size_t)n;
}

static void copy_demo(const char *folder)
{
    struct launch copy;
    run_open(&copy, "cp");
    RUN_OK(&copy, "-r", "demo", folder);
    run_close(&copy);
    text_write("password", "radicle-and-plumule\n");
}

static void tell_all(const char *folder, struct lines *l)
{
    run.input = l->text;
    RUN_OK(&run, "--plant", folder, "--json", "--as", "2", "--password-file", "password", "record",
           "-");
    run.input = NULL;
    free(l->text);
    *l = (struct lines){0};
}

/* One line for each row of a question about the demo: its columns go into the format. */
static void add_rows(struct lines *l, const char *sql, const char *format)
{
    sqlite3 *db = open_record("demo/plant.db");
    sqlite3_stmt *q = ask(db, sql, 0);
    while (sqlite3_step(q) == SQLITE_ROW) {
        add_line(l, format, column(q, 0), column(q, 1), column(q, 2));
    }
    sqlite3_finalize(q);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
}

/* Positive in the first sample of every batch, and in a sample of every fourth packed lot. */
static void find_everywhere(struct lines *l)
{
    add_rows(l,
             "select json_extract(body, '$.did.lot') from daybook where kind = 'sample' and "
             "json_extract(body, '$.did.code') like '%-S1'",
             "{\"kind\":\"result\",\"sample\":\"%s-S1\",\"organism\":\"STEC O26\",\"state\":"
             "\"confirmed-positive\",\"method\":\"equivalent-validated\"}\n");
    add_rows(
        l,
        "select json_extract(body, '$.did.lot') from daybook where kind = 'pack' and seq % 4 = 0",
        "{\"kind\":\"sample\",\"lot\":\"%s\",\"what\":\"sprouts\",\"location\":\"case\","
        "\"code\":\"%1$s-CASE\"}\n{\"kind\":\"result\",\"sample\":\"%1$s-CASE\",\"organism\":"
        "\"STEC O26\",\"state\":\"confirmed-positive\",\"method\":\"equivalent-validated\"}\n");
}

static int64_t last_entry(const char *path)
{
    sqlite3 *db = open_record(path);
    sqlite3_stmt *q = ask(db, "select max(seq) from daybook", 0);
    assert_int_equal(sqlite3_step(q), SQLITE_ROW);
    int64_t last = sqlite3_column_int64(q, 0);
    sqlite3_finalize(q);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    return last;
}

/* A lot that is left out of what is expected, or is in it and should not be, is told. */
static void each_lot_counts(const struct positive *p)
{
    static struct naive_scope right;
    right = expected;
    for (size_t i = 0; i < told.lot_count; i++) {
        bool found = naive_found(&right, i);
        for (enum way w = WAY_BATCH; w < WAYS; w++) {
            expected.in[w][i] = !found;
        }
        assert_true(differences(p, false) > 0);
        expected = right;
    }
    assert_int_equal(differences(p, false), 0);
}

/* Each positive beside the record. Every way reaches something that no other way of the same
 * positive does, in one of them at least; -> in how many all five do. */
static size_t compare_all(const char *path, size_t least)
{
    size_t count = read_positives(path, positives), wrong = 0, compared = 0, of_all = 0;
    size_t of[WAYS] = {0};
    int64_t demo_ends = last_entry("demo/plant.db");
    read_told(path, last_entry(path));
    for (size_t i = 0; i < count; i++) {
        size_t ways = 0;
        if (positives[i].result <= demo_ends) { /* it has a test of its own */
            continue;
        }
        look_at(path, &positives[i]);
        wrong += differences(&positives[i], true);
        compared++;
        for (enum way w = WAY_BATCH; w < WAYS; w++) {
            bool one = alone(w) > 0;
            of[w] += one ? 1 : 0;
            ways += one ? 1 : 0;
        }
        of_all += ways == WAYS ? 1 : 0;
        if (ways == WAYS && of_all == 1) {
            each_lot_counts(&positives[i]);
        }
    }
    assert_int_equal(wrong, 0);
    assert_true(compared >= least);
    for (enum way w = WAY_BATCH; w < WAYS; w++) {
        print_message("# %s alone reaches something in %zu of %zu\n", way_names[w], of[w],
                      compared);
        assert_true(of[w] > 0);
    }
    return of_all;
}

/* ---- tests */

static void the_positive_of_the_demo(void **state)
{
    (void)state;
    size_t count = read_positives("demo/plant.db", positives), of_lots = 0;
    for (size_t i = 0; i < count; i++) {
        read_told("demo/plant.db", positives[i].result);
        if (positives[i].scope == 0) { /* a swab: no lot was sampled */
            assert_false(naive_scope_of(&told, positives[i].sample, &expected));
            continue;
        }
        look_at("demo/plant.db", &positives[i]);
        assert_int_equal(differences(&positives[i], true), 0);
        each_lot_counts(&positives[i]);
        of_lots++;
    }
    assert_int_equal(of_lots, 1);
}

/* As it was told, each place cleaned before a load, a chamber, a run; of each seed another delivery
 * has come. */
static void a_positive_of_each_batch(void **state)
{
    (void)state;
    struct lines l = {0};
    copy_demo("each");
    add_rows(&l,
             "select json_extract(body, '$.did.supplier'), json_extract(body, "
             "'$.answer.supplier_lot'), json_extract(body, '$.did.item') from daybook where kind = "
             "'receive'",
             "{\"kind\":\"receive\",\"supplier\":\"%s\",\"supplier_lot\":\"%s\",\"item\":\"%s\","
             "\"mass\":\"50 kg\",\"place\":\"DS-1\"}\n");
    find_everywhere(&l);
    tell_all("each", &l);
    compare_all("each/plant.db", 50);
}

/* The same with every fifth clean struck, so that surfaces reach over loads, chambers and days, and
 * all five ways meet in one positive. */
static void a_positive_of_each_batch_where_cleans_are_missing(void **state)
{
    (void)state;
    struct lines l = {0};
    copy_demo("dirty");
    add_rows(
        &l, "select cast(seq as text) from daybook where kind = 'clean' and seq % 5 = 0",
        "{\"kind\":\"strike\",\"entry\":%s,\"reason\":\"it was another place\",\"second\":3}\n");
    find_everywhere(&l);
    tell_all("dirty", &l);
    assert_true(compare_all("dirty/plant.db", 50) > 0);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_positive_of_the_demo),
        cmocka_unit_test(a_positive_of_each_batch),
        cmocka_unit_test(a_positive_of_each_batch_where_cleans_are_missing),
    };
    if (argc < 2) {
        return 2;
    }
    program = program_path(argv[1]);
    assert_ok(civil_zone_use("Europe/Vienna"));
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
