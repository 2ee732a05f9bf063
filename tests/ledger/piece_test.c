/* Sealed pieces as rows, and the treatments that were read from one. */
#include "fixture/stock.h"

#include "ledger/piece.h"

static struct house h;
static int64_t at; /* a minute of readings begins then */

static int set_up(void **state)
{
    house_open(&h);
    house_wait(&h, "1 h");
    at = h.fixed.now_ms - 30 * 60000;
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

/* A minute of a series, every two seconds: -> its entry. */
static int64_t seal(const char *series, int64_t from_ms, struct hash *out)
{
    int64_t entry = house_take(&h, "{'kind':'seal','series':'%s','bytes_b64':'%s'}", series,
                               house_piece(&h, from_ms, 86000));
    assert_ok(hex_read(house_answer(&h, "sha256"), "", out->b, sizeof out->b));
    return entry;
}

static bool found(const struct hash *sha, struct piece *out)
{
    bool is;
    assert_ok(piece_by_sha(h.store, &h.arena, sha, out, &is));
    return is;
}

static void a_piece_is_found_by_its_digest(void **state)
{
    struct hash one, two;
    struct piece p;
    int64_t entry = seal("treater-1", at, &one);
    seal("treater-1", at + 120000, &two);
    assert_true(found(&one, &p));
    assert_int_equal(p.entry, entry);
    assert_string_equal(p.series, "treater-1");
    assert_int_equal(p.from_ms, at);
    assert_int_equal(p.to_ms, at + 60000);
    assert_memory_equal(p.sha.b, one.b, sizeof one.b);
    one.b[31] ^= 1;
    assert_false(found(&one, &p));
}

static void of_the_same_bytes_the_first_counts(void **state)
{
    struct hash sha, again;
    struct piece p;
    int64_t first = seal("treater-1", at, &sha);
    int64_t second = seal("treater-2", at, &again);
    assert_memory_equal(sha.b, again.b, sizeof sha.b);
    assert_true(found(&sha, &p));
    assert_int_equal(p.entry, first);
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'wrong logger'}", (long long)first);
    assert_true(found(&sha, &p));
    assert_int_equal(p.entry, second);
    assert_string_equal(p.series, "treater-2");
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'wrong too'}", (long long)second);
    assert_false(found(&sha, &p));
}

static void a_dropped_piece_is_gone(void **state)
{
    struct hash sha;
    struct piece p;
    seal("cold-1", at, &sha);
    h.fixed.now_ms += INT64_C(800) * 86400000; /* past its retention */
    house_take(&h, "{'kind':'drop-piece','piece':'%s'}", hex_text(&h.arena, sha.b, 32));
    assert_false(found(&sha, &p));
}

/* 10 kg of a delivery treated by a stretch of a series: -> the entry. */
static int64_t treat(const char *series, int64_t from_ms, int64_t to_ms)
{
    const char *from = civil_text(&h.arena, from_ms, 0), *to = civil_text(&h.arena, to_ms, 0);
    return house_take(&h,
                      "{'kind':'heat-treat','inputs':[{'lot':'S1','mass':'10 kg'}],'place':'TREAT',"
                      "'recipe':'hot-water-85','probes':['PROBE-1'],'series':{'name':'%s','from':"
                      "'%s','to':'%s'},'start':'%s','end':'%s'}",
                      series, from, to, from, to);
}

/* How many standing treatments were read from it; the last of them in *out. */
static size_t readers(const char *series, int64_t from_ms, int64_t to_ms, int64_t *out)
{
    struct piece p = {.series = series, .from_ms = from_ms, .to_ms = to_ms};
    struct id_set entries = id_set_new(&h.arena);
    assert_ok(piece_readers(h.store, &p, &entries));
    *out = entries.count > 0 ? entries.id[entries.count - 1] : 0;
    return entries.count;
}

static void whoever_read_it_at_its_time_is_named(void **state)
{
    struct hash sha;
    int64_t last;
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'100 kg',"
                   "'place':'STORE','lot':'S1'}");
    seal("treater-1", at, &sha);
    seal("treater-2", at, &sha);
    int64_t one = treat("treater-1", at + 10000, at + 50000);
    int64_t two = treat("treater-1", at + 20000, at + 60000);
    int64_t other = treat("treater-2", at + 10000, at + 50000);
    assert_int_equal(readers("treater-1", at, at + 60000, &last), 2);
    assert_int_equal(last, two);
    assert_int_equal(readers("treater-2", at, at + 60000, &last), 1);
    assert_int_equal(last, other);
    assert_int_equal(readers("treater-3", at, at + 60000, &last), 0);
    assert_int_equal(readers("treater-1", at, at + 10000, &last), 1); /* both ends are of it */
    assert_int_equal(last, one);
    assert_int_equal(readers("treater-1", at + 60000, at + 90000, &last), 1);
    assert_int_equal(last, two);
    assert_int_equal(readers("treater-1", at, at + 9999, &last), 0);
    assert_int_equal(readers("treater-1", at + 60001, at + 90000, &last), 0);
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'the other logger'}", (long long)two);
    assert_int_equal(readers("treater-1", at, at + 60000, &last), 1);
    assert_int_equal(last, one);
}

static void a_log_in_the_command_reads_no_piece(void **state)
{
    int64_t last;
    house_grow(&h, "C1", "100 kg");
    assert_int_equal(readers("treater-1", at, h.fixed.now_ms, &last), 0);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_piece_is_found_by_its_digest),
        T(of_the_same_bytes_the_first_counts),
        T(a_dropped_piece_is_gone),
        T(whoever_read_it_at_its_time_is_named),
        T(a_log_in_the_command_reads_no_piece),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
