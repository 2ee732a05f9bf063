/* Papers, sealed pieces, orders, plans, restores, and the record as it was known. */
#include "fixture.h"

#include "base/digest.h"
#include "ledger/file_type.h"
#include "ledger/known.h"
#include "ledger/series.h"
#include "ledger/verify.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static const char *type_of(const void *bytes, size_t len, const char *name)
{
    const char *type = file_type(bytes, len, name);
    return type != NULL ? type : "none";
}

static void a_file_is_what_its_bytes_say(void **state)
{
    assert_string_equal(type_of("%PDF-1.7", 8, "x.txt"), "pdf");
    assert_string_equal(type_of("\x89PNG\r\n\x1a\n..", 10, "x.pdf"), "png");
    assert_string_equal(type_of("\xff\xd8\xff\xe0", 4, "x"), "jpeg");
    assert_string_equal(type_of("{\"a\":1}", 7, "x.csv"), "json");
    assert_string_equal(type_of("a;b\r\n1;2\r\n", 10, "x.CSV"), "csv");
    assert_string_equal(type_of("{not json", 9, "x"), "txt");
    assert_string_equal(type_of("M\xfcnchen", 7, "x.txt"),
                        "txt"); /* Windows-1252, as programs export it */
    assert_string_equal(type_of("\xff\xfe"
                                "a\0",
                                4, "x.csv"),
                        "none"); /* UTF-16 */
    assert_string_equal(type_of("PK\x03\x04", 4, "x.docx"), "none");
    assert_string_equal(type_of("", 0, "x.txt"), "none");
}

static void a_paper_is_kept_by_its_digest(void **state)
{
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','supplier_lot':'A7','item':'MUNGSEED','"
                   "mass':'1 kg','place':'STORE',"
                   "'lot':'S1'}");
    house_take(&h, "{'kind':'attach','name':'n.txt','paper_kind':'certificate','bytes_b64':'bm90ZQ="
                   "=','lot':'S1','partner':'RADICLE'}");
    struct hash sha = digest_sha256("note", 4);
    assert_string_equal(house_answer(&h, "sha256"), hex_text(&h.arena, sha.b, 32));
    assert_string_equal(house_answer(&h, "type"), "txt");
    assert_int_equal(house_number(&h, "size"), 4);
    struct entry e = house_entry(&h, "attach");
    assert_null(strstr(e.body, "bm90ZQ")); /* the bytes stand beside the entry, never in it */
    assert_code(
        house_send(&h,
                   "{'kind':'attach','name':'a.zip','paper_kind':'file','bytes_b64':'UEsDBA=='}"),
        ATTACH_TYPE);
    assert_code(
        house_send(&h,
                   "{'kind':'attach','name':'../a','paper_kind':'file','bytes_b64':'bm90ZQ=='}"),
        FIELD_RANGE);
    assert_code(
        house_send(&h, "{'kind':'attach','name':'a','paper_kind':'poem','bytes_b64':'bm90ZQ=='}"),
        FIELD_CHOICE);
    assert_code(house_send(&h, "{'kind':'attach','name':'a','paper_kind':'file','bytes_b64':'*'}"),
                FIELD_TYPE);
    assert_code(house_send(&h, "{'kind':'attach','name':'a','paper_kind':'file','bytes_b64':'"
                               "bm90ZQ==','partner':'X'}"),
                PARTNER_UNKNOWN);
    size_t size = ((16 << 20) / 3 + 2) * 4;
    char *big = malloc(size + 1);
    assert_non_null(big);
    memset(big, 'A', size);
    big[size] = '\0';
    struct result r = house_send_json(&h, json_pack("{s:s,s:s,s:s,s:s}", "kind", "attach", "name",
                                                    "a", "paper_kind", "file", "bytes_b64", big));
    free(big);
    assert_code(r, INPUT_LARGE);
}

/* count readings a second apart from a moment, numbered from first; -> base64 of the piece. */
static const char *piece_of(int64_t from_ms, int64_t first, size_t count, int channels,
                            struct hash *out)
{
    int64_t *n = ARENA_ARRAY(&h.arena, int64_t, count), *ms = ARENA_ARRAY(&h.arena, int64_t, count);
    uint16_t *missing = ARENA_ARRAY(&h.arena, uint16_t, count);
    int32_t *value = ARENA_ARRAY(&h.arena, int32_t, count * (size_t)channels);
    for (size_t i = 0; i < count; i++) {
        n[i] = first + (int64_t)i + (i >= 5 ? 2 : 0); /* two numbers are lost behind the fifth */
        ms[i] = from_ms + (int64_t)i * 1000;
    }
    struct series s = {.channels = channels,
                       .scale = 1,
                       .unit = "Cel",
                       .count = count,
                       .n = n,
                       .ms = ms,
                       .missing = missing,
                       .value = value};
    struct series_piece piece;
    assert_ok(series_encode(&h.arena, &s, &piece));
    *out = digest_sha256(piece.bytes, piece.len);
    return base64_text(&h.arena, piece.bytes, piece.len);
}

static struct result seal(const char *series, const char *bytes, const char *rest)
{
    return house_send(&h, "{'kind':'seal','series':'%s','bytes_b64':'%s'%s}", series, bytes, rest);
}

static void a_piece_is_sealed_once_and_replaced_by_name(void **state)
{
    struct hash one, two, three;
    int64_t at = h.fixed.now_ms - 3600000;
    const char *first = piece_of(at, 1, 60, 1, &one),
               *again = piece_of(at + 30000, 500, 60, 1, &two);
    assert_ok(seal("cold-1", first, ""));
    assert_int_equal(house_number(&h, "count"), 60);
    assert_string_equal(house_answer(&h, "sha256"), hex_text(&h.arena, one.b, 32));
    assert_code(seal("cold-1", first, ""), PIECE_OVERLAP);
    assert_code(seal("cold-1", again, ""), PIECE_OVERLAP);
    assert_string_equal(h.refusal.value[1], hex_text(&h.arena, one.b, 32));
    assert_ok(seal("cold-2", again, "")); /* another series */
    assert_code(seal("cold-1", again, ",'replaces':'00'"), FIELD_TYPE);
    assert_code(seal("cold-1", again,
                     arena_printf(&h.arena, ",'replaces':'%s'", hex_text(&h.arena, two.b, 32))),
                PIECE_UNKNOWN);
    assert_ok(seal("cold-1", again,
                   arena_printf(&h.arena, ",'replaces':'%s'", hex_text(&h.arena, one.b, 32))));
    assert_ok(seal("cold-1", piece_of(at + 200000, 1000, 60, 1, &three), ""));
    assert_code(seal("cold-1", piece_of(at + 400000, 2000, 60, 2, &three), ""), SERIES_MIXED);
    assert_code(seal("cold-3", "bm90ZQ==", ""), SERIES_BAD);
    assert_code(seal("cold-3", piece_of(h.fixed.now_ms, 1, 600, 1, &three), ""), TIME_FUTURE);
    assert_code(seal("", first, ""), FIELD_RANGE);
}

static void a_piece_goes_when_nothing_needs_it(void **state)
{
    struct hash one, two;
    int64_t at = h.fixed.now_ms - 3600000;
    assert_ok(seal("cold-1", piece_of(at, 1, 60, 1, &one), ""));
    assert_ok(seal("treater", piece_of(at, 9, 60, 1, &two), ""));
    const char *name = hex_text(&h.arena, one.b, 32), *kept = hex_text(&h.arena, two.b, 32);
    assert_code(house_send(&h, "{'kind':'drop-piece','piece':'%s','reason':'old'}", name),
                PIECE_YOUNG);
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'100 "
                   "kg','place':'STORE','lot':'S1'}");
    const char *from = civil_text(&h.arena, at, 0), *to = civil_text(&h.arena, at + 59000, 0);
    house_take(&h,
               "{'kind':'heat-treat','inputs':[{'lot':'S1'}],'place':'TREAT','recipe':'hot-water-"
               "85','probes':['PROBE-1'],"
               "'series':{'name':'treater','from':'%s','to':'%s'},'start':'%s','end':'%s'}",
               from, to, from, to);
    h.fixed.now_ms += INT64_C(800) * 86400000; /* two years and more */
    assert_code(house_send(&h, "{'kind':'drop-piece','piece':'%s'}", kept), PIECE_NEEDED);
    assert_code(house_send(&h, "{'kind':'drop-piece','person':5,'piece':'%s'}", name),
                ROLE_MISSING);
    house_take(&h, "{'kind':'drop-piece','piece':'%s'}", name);
    assert_code(house_send(&h, "{'kind':'drop-piece','piece':'%s'}", name), PIECE_UNKNOWN);
    struct statement *q = store_prepare(h.store, Q_BLOB_GET);
    store_bind_bytes(q, 1, one.b, 32);
    bool row;
    assert_ok(store_step(q, &row));
    assert_true(row && store_is_null(q, 4));
    assert_true(store_int(q, 3) > 0); /* its size is remembered */
    assert_ok(store_step(q, &row));
    struct verify_report report;
    assert_ok(ledger_verify(h.store, NULL, &h.arena, &report));
    assert_int_equal(report.found, 0);
}

static void an_order_book_grows_by_versions(void **state)
{
    static const char line[] =
        "{'key':'%s','customer':'COTYLEDON','item':'MUNG250','day':'2026-03-%02d','pieces':%d}";
    const char *a = arena_printf(&h.arena, line, "K1", 20, 400),
               *b = arena_printf(&h.arena, line, "K2", 21, 80);
    house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s,%s]}", a, b);
    assert_int_equal(house_number(&h, "new"), 2);
    int64_t entry = house_number(&h, "entry");
    house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s,%s]}",
               arena_printf(&h.arena, line, "K1", 20, 440), b);
    assert_int_equal(house_number(&h, "changed"), 1);
    assert_int_equal(house_number(&h, "unchanged"), 1);
    /* a line that is no longer there is cancelled only where the file says it is the whole book */
    house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s]}", b);
    assert_int_equal(house_number(&h, "cancelled"), 0);
    house_take(
        &h,
        "{'kind':'order','person':9,'source':'office','lines':[%s],'whole_book_from':'2026-03-20',"
        "'whole_book_to':'2026-03-21'}",
        b);
    assert_int_equal(house_number(&h, "cancelled"), 1);
    assert_code(house_send(&h, "{'kind':'strike','person':2,'entry':%lld,'reason':'r'}",
                           (long long)entry + 9),
                ENTRY_UNKNOWN);
    /* versions of struck entries are never used again */
    int64_t last = house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s]}",
                              arena_printf(&h.arena, line, "K1", 20, 500));
    house_take(&h, "{'kind':'strike','person':9,'entry':%lld,'reason':'wrong file'}",
               (long long)last);
    house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s]}",
               arena_printf(&h.arena, line, "K1", 20, 600));
    assert_int_equal(house_number(&h, "changed"), 1);
    assert_code(
        house_send(&h, "{'kind':'order','person':9,'source':'office','lines':[%s,%s]}", b, b),
        FIELD_RANGE);
    assert_code(house_send(&h, "{'kind':'order','person':9,'source':'o','lines':[{'key':'K','"
                               "customer':'RADICLE','item':'MUNG250',"
                               "'day':'2026-03-20','pieces':1}]}"),
                PARTNER_UNKNOWN);
    assert_code(
        house_send(
            &h,
            "{'kind':'order','person':9,'source':'o','lines':[],'whole_book_from':'2026-03-20'}"),
        FIELD_MISSING);
}

static void a_plan_is_taken_in_whole_or_not(void **state)
{
    house_take(&h, "{'kind':'plan-take','person':9,'starts':[{'day':'2026-03-04','place':'C1','"
                   "item':'MUNG','seed':'100 kg',"
                   "'grow_days':7},{'day':'2026-03-05','place':'C2','item':'MUNG','seed':'90 "
                   "kg','grow_days':7}]}");
    assert_int_equal(house_number(&h, "starts"), 2);
    int64_t next = h.lg->next_seq;
    static const char start[] = "{'kind':'plan-take','person':%d,'starts':[{'day':'2026-03-04','"
                                "place':'%s','item':'%s','seed':'%s',"
                                "'grow_days':%d}]}";
    assert_code(house_send(&h, start, 9, "PACK", "MUNG", "1 kg", 7), PLACE_KIND);
    assert_code(house_send(&h, start, 9, "C9", "MUNG", "1 kg", 7), PLACE_UNKNOWN);
    assert_code(house_send(&h, start, 9, "C1", "HULLS", "1 kg", 7), ITEM_UNKNOWN);
    assert_code(house_send(&h, start, 9, "C1", "MUNG", "0 kg", 7), FIELD_RANGE);
    assert_code(house_send(&h, start, 9, "C1", "MUNG", "1 kg", 61), FIELD_RANGE);
    assert_code(house_send(&h, start, 5, "C1", "MUNG", "1 kg", 7), ROLE_MISSING);
    assert_int_equal(h.lg->next_seq, next);
}

static struct sign_key house_key(void)
{
    static const uint8_t seed[32] = {7};
    struct sign_key key;
    sign_key_from_seed(seed, &key);
    return key;
}

static struct head signed_head(void)
{
    struct sign_key key = house_key();
    struct head head;
    assert_ok(store_begin(h.store));
    assert_ok(ledger_sign_head(h.lg, &key, "shift", &head));
    assert_ok(store_commit(h.store));
    return head;
}

static struct result restored(const struct head *head, int64_t size, const char *rest)
{
    return house_send(&h,
                      "{'kind':'restored','head':{'size':%lld,'root':'%s','signed_ms':%lld,'public_"
                      "key':'%s','signature':'%s'}%s}",
                      (long long)size, hex_text(&h.arena, head->root.b, 32),
                      (long long)head->signed_ms, hex_text(&h.arena, head->public_key, 32),
                      hex_text(&h.arena, head->signature, 64), rest);
}

static void a_restore_names_what_is_gone(void **state)
{
    struct head old = signed_head();
    int64_t here = h.lg->next_seq - 1;
    assert_code(restored(&old, old.size, ",'reason':'r'"), HEAD_HERE);
    assert_code(restored(&old, old.size + 1, ",'reason':'r'"), HEAD_FALSE);
    assert_code(restored(&old, old.size, ""), FIELD_MISSING);
    /* three more entries and a head over them; then the record is the older one again */
    struct store *older;
    assert_ok(known_on(h.store, here, &older));
    for (int i = 0; i < 3; i++) {
        house_take(&h, "{'kind':'mapping','source':'s%d','for':'orders','data':{}}", i);
    }
    struct head newer = signed_head();
    ledger_close(h.lg);
    store_close(h.store);
    h.store = older;
    assert_ok(ledger_open(h.store, world_fixed(&h.fixed), &h.lg));
    assert_ok(restored(&newer, newer.size, ",'reason':'the disk broke'"));
    assert_int_equal(house_number(&h, "gone_from"), here + 1);
    assert_int_equal(house_number(&h, "gone_to"), here + 3);
    assert_int_equal(house_number(&h, "deviations"), 1);
    struct head strange = newer;
    struct sign_key other;
    static const uint8_t seed[32] = {8};
    sign_key_from_seed(seed, &other);
    memcpy(strange.public_key, other.public_key, 32);
    assert_code(restored(&strange, strange.size, ",'reason':'r'"), HEAD_FALSE);
}

static void the_record_as_it_was_known(void **state)
{
    int64_t entry = house_take(&h, "{'kind':'receive','person':6,'supplier':'RADICLE','supplier_"
                                   "lot':'A7','item':'MUNGSEED','mass':"
                                   "'100 kg','place':'STORE','lot':'S1'}");
    int64_t size = h.lg->next_seq - 1;
    struct hash root = merkle_edge_root(&h.lg->tree);
    house_take(&h, "{'kind':'strike','person':6,'entry':%lld,'reason':'misread'}",
               (long long)entry);
    struct store *then;
    struct lot lot;
    bool found;
    int64_t mg;
    assert_ok(known_on(h.store, size, &then));
    assert_ok(lot_by_code(then, &h.arena, "S1", &lot, &found));
    assert_true(found);
    assert_ok(balance_of(then, lot.id, UNIT_MG, &mg));
    assert_int_equal(mg, 100000000);
    struct ledger *lg;
    assert_ok(ledger_open(then, world_fixed(&h.fixed), &lg)); /* with its profile and its tree */
    struct hash root_then = merkle_edge_root(&lg->tree);
    assert_memory_equal(root_then.b, root.b, 32);
    assert_non_null(lg->profile);
    assert_int_equal(lg->next_seq, size + 1);
    ledger_close(lg);
    store_close(then);
    assert_ok(known_on(h.store, size + 1, &then));
    assert_ok(lot_by_code(then, &h.arena, "S1", &lot, &found));
    assert_false(found);
    store_close(then);
    assert_code(known_on(h.store, size + 2, &then), TREE_SIZE);
    assert_code(known_on(h.store, -1, &then), TREE_SIZE);
    assert_ok(known_on(h.store, 0, &then));
    store_close(then);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_file_is_what_its_bytes_say),
        TEST(a_paper_is_kept_by_its_digest),
        TEST(a_piece_is_sealed_once_and_replaced_by_name),
        TEST(a_piece_goes_when_nothing_needs_it),
        TEST(an_order_book_grows_by_versions),
        TEST(a_plan_is_taken_in_whole_or_not),
        TEST(a_restore_names_what_is_gone),
        TEST(the_record_as_it_was_known),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
