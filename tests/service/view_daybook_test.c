/* The daybook as a page sees it, and the proof of one entry. */
#include "pages.h"

#include "base/digest.h"
#include "service/view_daybook.h"
#include "stock.h"

static json_t *page(struct house *h, const char *lang, struct view_daybook_question question)
{
    struct view v = house_view(h, lang);
    json_t *out = NULL;
    assert_ok(view_daybook(&v, &question, &out));
    return out;
}

static json_t *entry(struct house *h, const char *lang, int64_t seq)
{
    struct view v = house_view(h, lang);
    json_t *out = NULL;
    assert_ok(view_entry(&v, seq, &out));
    return out;
}

static int64_t last(struct house *h)
{
    return h->lg->next_seq - 1;
}

/* Page after page gives every entry once, the newest first. */
static void backwards_in_pages(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    int64_t want = last(&h);
    const char *cursor = NULL;
    for (;;) {
        json_t *p = page(&h, "en", (struct view_daybook_question){.cursor = cursor, .limit = 7});
        const json_t *list = json_object_get(p, "entries");
        size_t i;
        json_t *row;
        json_array_foreach(list, i, row)
        {
            assert_int_equal(page_number(row, "entry"), want--);
        }
        bool more = !page_null(p, "next");
        assert_true(more ? json_array_size(list) == 7 : json_array_size(list) <= 7);
        cursor = more ? arena_copy(&h.arena, page_text(p, "next")) : NULL;
        json_decref(p);
        if (!more) {
            break;
        }
    }
    assert_int_equal(want, 0);
    struct view v = house_view(&h, "en");
    json_t *out = NULL;
    struct result r = view_daybook(&v, &(struct view_daybook_question){.cursor = "-1"}, &out);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "cursor");
    assert_code(view_daybook(&v, &(struct view_daybook_question){.limit = 201}, &out), FIELD_RANGE);
    assert_code(view_daybook(&v, &(struct view_daybook_question){.lot = "NOBODY"}, &out),
                LOT_UNKNOWN);
    r = view_daybook(&v, &(struct view_daybook_question){.kind = "nosuch"}, &out);
    assert_code(r, KIND_UNKNOWN);
    assert_string_equal(r.field, "kind");
    /* a command of the program that was never given */
    assert_ok(view_daybook(&v, &(struct view_daybook_question){.kind = "titration"}, &out));
    assert_int_equal(json_array_size(json_object_get(out, "entries")), 0);
    json_decref(out);
    house_close(&h);
}

static void harvest_in_words(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "7 d");
    house_take(&h,
               "{'kind':'harvest','person':4,'chamber':'C1','mass':'800 kg','instrument':'SCALE',"
               "'place':'WASH'}");
    const char *harvested = house_answer(&h, "lot");
    struct statement *q = store_prepare(h.store, Q_PERSON_SECRET_PUT);
    store_bind_int(q, 1, 4);
    store_bind_text(q, 2, "Hilum 4");
    store_bind_text(q, 3, "");
    store_bind_text(q, 4, NULL);
    bool drawn;
    assert_ok(store_begin(h.store));
    assert_ok(store_step(q, &drawn));
    assert_ok(store_commit(h.store));
    json_t *e = entry(&h, "en", last(&h));
    assert_string_equal(page_text(e, "title"), "Harvest");
    assert_string_equal(page_text(e, "sentence"),
                        house_text(&h, "Harvest C1: 800 kg into %s at WASH", harvested));
    assert_int_equal(page_number(e, "by"), 4);
    assert_string_equal(page_text(e, "name"), "Hilum 4");
    assert_string_equal(page_text(e, "place"), "WASH");
    assert_true(page_null(e, "struck_by") && page_null(e, "strikes") && page_null(e, "cause"));
    assert_int_equal(json_array_size(json_object_get(e, "lots")), 2);
    assert_string_equal(page_text(json_object_get(e, "told"), "mass"), "800 kg");
    assert_string_equal(page_text(json_object_get(e, "answer"), "lot"), harvested);
    assert_true(page_number(e, "effects") > 3);
    json_decref(e);
    e = entry(&h, "es", last(&h));
    assert_string_equal(page_text(e, "title"), "Cosechar");
    assert_string_equal(page_text(e, "sentence"),
                        house_text(&h, "Cosechar C1: 800 kg en %s en WASH", harvested));
    json_decref(e);
    /* the growing lot's own line of the daybook: seed, start, harvest, and nothing of another lot
     */
    json_t *p = page(&h, "en", (struct view_daybook_question){.lot = growing});
    const json_t *list = json_object_get(p, "entries");
    assert_string_equal(page_text(json_array_get(list, 0), "kind"), "harvest");
    assert_non_null(page_find(list, "kind", "grow"));
    assert_null(page_find(list, "kind", "receive"));
    json_decref(p);
    p = page(&h, "en", (struct view_daybook_question){.lot = growing, .kind = "grow"});
    assert_int_equal(json_array_size(json_object_get(p, "entries")), 1);
    json_decref(p);
    house_close(&h);
}

static void by_day_and_kind(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_grow(&h, "C1", "100 kg");
    house_wait(&h, "3 d");
    house_take(&h, "{'kind':'water','chamber':'C1','source':'WATER','litres':'900 L'}");
    const char *day = day_text(&h.arena, day_of_house(h.fixed.now_ms, 0, 4 * 60));
    json_t *p = page(&h, "en", (struct view_daybook_question){.day = day});
    const json_t *list = json_object_get(p, "entries");
    assert_int_equal(json_array_size(list), 1);
    assert_string_equal(page_text(json_array_get(list, 0), "day"), day);
    assert_string_equal(page_text(json_array_get(list, 0), "sentence"),
                        "Water C1: 900 L from WATER");
    json_decref(p);
    p = page(&h, "en", (struct view_daybook_question){.kind = "seed-test"});
    assert_int_equal(json_array_size(json_object_get(p, "entries")), 5);
    json_decref(p);
    p = page(&h, "en", (struct view_daybook_question){.kind = "seed-test", .day = day});
    assert_int_equal(json_array_size(json_object_get(p, "entries")), 0);
    assert_true(page_null(p, "next"));
    json_decref(p);
    house_close(&h);
}

/* Verified as somebody else would: from the leaf, the path and the signed head alone. */
static void proved(struct house *h, const json_t *e, bool is_signed)
{
    const json_t *p = json_object_get(e, "proof"), *path = json_object_get(p, "path");
    struct hash leaf, root, nodes[64];
    assert_ok(hex_read(page_text(e, "leaf"), "leaf", leaf.b, 32));
    assert_ok(hex_read(page_text(p, "root"), "root", root.b, 32));
    for (size_t i = 0; i < json_array_size(path); i++) {
        assert_ok(hex_read(json_string_value(json_array_get(path, i)), "path", nodes[i].b, 32));
    }
    assert_int_equal(page_number(p, "index"), page_number(e, "entry") - 1);
    assert_true(merkle_inclusion_holds(&leaf, (uint64_t)page_number(p, "index"),
                                       (uint64_t)page_number(p, "size"), nodes,
                                       json_array_size(path), &root));
    const json_t *head = json_object_get(p, "head");
    assert_int_equal(json_is_object(head), is_signed);
    if (is_signed) {
        struct head signed_head = {.size = page_number(head, "size"),
                                   .signed_ms = page_number(head, "signed_ms"),
                                   .root = root};
        assert_string_equal(page_text(head, "root"), page_text(p, "root"));
        assert_ok(hex_read(page_text(head, "public_key"), "", signed_head.public_key, 32));
        assert_ok(hex_read(page_text(head, "signature"), "", signed_head.signature, 64));
        assert_true(head_holds(&signed_head));
    }
    (void)h;
}

static void entries_are_proved(void **state)
{
    (void)state;
    struct house h, other;
    struct head head;
    struct sign_key key;
    const uint8_t seed[32] = {7};
    house_open(&h);
    sign_key_from_seed(seed, &key);
    assert_ok(store_begin(h.store));
    assert_ok(ledger_sign_head(h.lg, &key, "shift", &head));
    assert_ok(store_commit(h.store));
    int64_t size = last(&h);
    house_take(&h, "{'kind':'place','code':'C4','place_kind':'chamber'}");
    for (int64_t seq = 1; seq <= size; seq += 5) {
        json_t *e = entry(&h, "en", seq);
        proved(&h, e, true);
        json_decref(e);
    }
    json_t *e = entry(&h, "en", size + 1); /* told after the head */
    proved(&h, e, false);
    assert_int_equal(page_number(json_object_get(e, "proof"), "size"), size + 1);
    json_decref(e);
    /* another record in the same process, told the same but for its last entry */
    house_open(&other);
    house_take(&other, "{'kind':'place','code':'C5','place_kind':'chamber'}");
    e = entry(&other, "en", last(&other));
    proved(&other, e, false);
    json_decref(e);
    e = entry(&h, "en", size + 1);
    proved(&h, e, false);
    json_decref(e);
    struct view v = house_view(&h, "en");
    assert_code(view_entry(&v, size + 2, &e), ENTRY_UNKNOWN);
    house_close(&other);
    house_close(&h);
}

static bool correctable(struct house *h, int64_t seq, int64_t person, const char *role)
{
    struct view v = house_view(h, "en");
    json_t *e = NULL;
    v.person = person;
    v.role = role;
    assert_ok(view_entry(&v, seq, &e));
    bool may = json_is_true(json_object_get(e, "correctable"));
    json_decref(e);
    return may;
}

/* What the page of a thing set aside needs: settled or not, and by whom it may be. */
static void aside_says(struct house *h, int64_t seq, int64_t person, const char *role,
                       int64_t settled_by, bool may)
{
    struct view v = house_view(h, "en");
    json_t *e = NULL;
    v.person = person;
    v.role = role;
    assert_ok(view_entry(&v, seq, &e));
    const json_t *aside = json_object_get(e, "aside");
    assert_int_equal(json_integer_value(json_object_get(aside, "settled_by")), settled_by);
    assert_int_equal(json_is_true(json_object_get(aside, "may_settle")), may);
    json_decref(e);
}

static void who_may_settle(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    const char *command =
        arena_printf(&h.arena,
                     "{\"kind\":\"harvest\",\"lot\":\"%s\",\"chamber\":\"C2\",\"uuid\":"
                     "\"11111111-2222-4333-8444-555555555555\"}",
                     lot);
    assert_ok(house_send_json(&h, json_pack("{s:s,s:s,s:i,s:s}", "kind", "set-aside", "told",
                                            command, "person", 4, "code", "field-missing")));
    int64_t seq = last(&h);
    aside_says(&h, seq, 4, "grower", 0, true);
    aside_says(&h, seq, 2, "quality", 0, true);
    aside_says(&h, seq, 1, "manager", 0, true);
    aside_says(&h, seq, 5, "line", 0, false);
    aside_says(&h, seq, 11, "auditor", 0, false);
    json_t *e = entry(&h, "en", seq);
    assert_string_equal(page_text(e, "place"), "C2"); /* it stands beside its lot and place */
    assert_string_equal(json_string_value(json_array_get(json_object_get(e, "lots"), 0)), lot);
    json_decref(e);
    int64_t by = house_take(&h, "{'kind':'settle','aside':%lld,'outcome':'not-so','reason':'no'}",
                            (long long)seq);
    aside_says(&h, seq, 2, "quality", by, false);
    e = entry(&h, "en", by);
    assert_true(json_is_null(json_object_get(e, "aside")));
    json_decref(e);
    house_close(&h);
}

static void who_may_correct(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    int64_t seq = house_take(&h, "{'kind':'cold-check','person':5,'place':'COLD','temp':'3 C'}");
    assert_true(correctable(&h, seq, 5, "line"));
    assert_true(correctable(&h, seq, 2, "quality"));
    assert_false(correctable(&h, seq, 4, "grower"));
    assert_false(correctable(&h, seq, 0, NULL));
    assert_false(correctable(&h, 1, 2, "quality")); /* a person is told anew */
    house_wait(&h, "10 h");                         /* a shift has nine */
    assert_false(correctable(&h, seq, 5, "line"));
    assert_true(correctable(&h, seq, 2, "quality"));
    int64_t strike =
        house_take(&h, "{'kind':'strike','person':2,'entry':%lld,'reason':'read the wrong room'}",
                   (long long)seq);
    assert_false(correctable(&h, seq, 2, "quality"));
    json_t *e = entry(&h, "en", seq);
    assert_int_equal(page_number(e, "struck_by"), strike);
    json_decref(e);
    e = entry(&h, "en", strike);
    assert_int_equal(page_number(e, "strikes"), seq);
    assert_string_equal(page_text(e, "sentence"),
                        house_text(&h, "Strike entry %lld; read the wrong room", (long long)seq));
    json_decref(e);
    house_close(&h);
}

/* What it caused, and its deviations as sentences. */
static void what_followed(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    int64_t seq = house_take(&h, "{'kind':'cold-check','place':'COLD','temp':'9 C'}");
    json_t *e = entry(&h, "en", seq);
    assert_int_equal(json_array_size(json_object_get(e, "deviations")), 1);
    const char *sentence = json_string_value(json_array_get(json_object_get(e, "deviations"), 0));
    assert_non_null(strstr(sentence, "9"));
    assert_int_equal(json_array_size(json_object_get(e, "caused")), 0);
    json_decref(e);
    house_take(&h,
               "{'kind':'strike','person':2,'entry':%lld,'reason':'the wrong room','replace':"
               "{'kind':'cold-check','place':'COLD','temp':'3 C'}}",
               (long long)seq);
    int64_t again = last(&h), strike = again - 1;
    e = entry(&h, "en", strike);
    const json_t *caused = json_object_get(e, "caused");
    assert_int_equal(json_integer_value(json_array_get(caused, 0)), again);
    json_decref(e);
    e = entry(&h, "en", again);
    assert_int_equal(page_number(e, "cause"), strike);
    assert_string_equal(page_text(e, "sentence"), "COLD: 3 C, wanted 0 to 5 C");
    json_decref(e);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(backwards_in_pages), cmocka_unit_test(harvest_in_words),
        cmocka_unit_test(by_day_and_kind),    cmocka_unit_test(entries_are_proved),
        cmocka_unit_test(who_may_settle),     cmocka_unit_test(who_may_correct),
        cmocka_unit_test(what_followed),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
