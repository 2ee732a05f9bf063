#include "../support.h"

#include "web/kept.h"

enum { ANSWERS = 3, ROOM = 8000 };

static struct kept *kept;

static int begin(void **state)
{
    (void)state;
    kept = kept_new(ANSWERS, ROOM);
    return 0;
}

static int end(void **state)
{
    (void)state;
    kept_free(kept);
    return 0;
}

static struct kept_key key_of(uint64_t rung, int64_t minute, const char *asked)
{
    return (struct kept_key){
        .rung = rung, .minute = minute, .asked = digest_sha256(asked, strlen(asked))};
}

static void put(uint64_t rung, const char *asked, const char *bytes)
{
    struct kept_key key = key_of(rung, 0, asked);
    struct pair link = {"Link", "<next>"};
    struct kept_answer answer = {.bytes = bytes,
                                 .len = strlen(bytes),
                                 .etag = "W/\"1\"",
                                 .headers = &link,
                                 .header_count = 1};
    kept_put(kept, &key, &answer);
}

static bool stands(uint64_t rung, const char *asked, const char *bytes)
{
    struct kept_key key = key_of(rung, 0, asked);
    const struct kept_answer *a = kept_find(kept, &key);
    if (a == NULL) {
        return false;
    }
    assert_int_equal(a->len, strlen(bytes));
    assert_memory_equal(a->bytes, bytes, a->len);
    assert_string_equal(a->etag, "W/\"1\"");
    assert_int_equal(a->header_count, 1);
    assert_string_equal(a->headers[0].name, "Link");
    assert_string_equal(a->headers[0].value, "<next>");
    assert_false(a->gzipped);
    kept_let_go(kept, a);
    return true;
}

static void an_answer_is_found_by_all_that_it_hangs_on(void **state)
{
    (void)state;
    char bytes[] = "{\"a\":1}";
    put(1, "lot A", bytes);
    memset(bytes, 'x', sizeof bytes - 1); /* a copy is kept */
    assert_true(stands(1, "lot A", "{\"a\":1}"));
    assert_false(stands(1, "lot B", ""));
    assert_false(stands(2, "lot A", ""));
    struct kept_key later = key_of(1, 1, "lot A");
    assert_null(kept_find(kept, &later));
    put(1, "lot A", "again"); /* the first stays */
    assert_true(stands(1, "lot A", "{\"a\":1}"));
}

static void what_is_told_drops_all_that_was_kept_before(void **state)
{
    (void)state;
    put(4, "lot A", "a");
    put(5, "lot B", "b");
    assert_false(stands(4, "lot A", ""));
    assert_true(stands(5, "lot B", "b"));
    put(4, "lot C", "c"); /* worked out while it was told */
    assert_false(stands(4, "lot C", ""));
    assert_true(stands(5, "lot B", "b"));
}

static void the_oldest_goes_when_there_are_too_many(void **state)
{
    (void)state;
    put(1, "1", "a");
    put(1, "2", "b");
    put(1, "3", "c");
    put(1, "4", "d");
    assert_false(stands(1, "1", ""));
    assert_true(stands(1, "2", "b"));
    assert_true(stands(1, "4", "d"));
}

static void bytes_are_bounded_too(void **state)
{
    (void)state;
    char most[ROOM / 4 + 1] = "", half[ROOM / 5 + 1] = "";
    memset(most, 'm', sizeof most - 1);
    put(1, "whole", most); /* with its names above a quarter */
    assert_false(stands(1, "whole", ""));
    struct kept *wide = kept_new(100, ROOM);
    struct kept_answer answer = {.bytes = half, .len = sizeof half - 1, .etag = ""};
    for (int i = 0; i < 10; i++) {
        char name[16];
        snprintf(name, sizeof name, "%d", i);
        struct kept_key key = key_of(1, 0, name);
        kept_put(wide, &key, &answer);
    }
    int there = 0;
    for (int i = 0; i < 10; i++) {
        char name[16];
        snprintf(name, sizeof name, "%d", i);
        struct kept_key key = key_of(1, 0, name);
        const struct kept_answer *a = kept_find(wide, &key);
        if (a != NULL) {
            there++;
            kept_let_go(wide, a);
        }
        assert_int_equal(a != NULL, i >= 6); /* four of 1600 bytes and their names fit (derived) */
    }
    assert_int_equal(there, 4);
    kept_free(wide);
}

static void who_sends_an_answer_has_it_until_the_end(void **state)
{
    (void)state;
    struct kept_key key = key_of(1, 0, "lot A");
    put(1, "lot A", "long ago");
    const struct kept_answer *a = kept_find(kept, &key);
    assert_non_null(a);
    put(2, "lot B", "b");
    assert_null(kept_find(kept, &key));
    assert_memory_equal(a->bytes, "long ago", a->len);
    kept_let_go(kept, a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(an_answer_is_found_by_all_that_it_hangs_on, begin, end),
        cmocka_unit_test_setup_teardown(what_is_told_drops_all_that_was_kept_before, begin, end),
        cmocka_unit_test_setup_teardown(the_oldest_goes_when_there_are_too_many, begin, end),
        cmocka_unit_test_setup_teardown(bytes_are_bounded_too, begin, end),
        cmocka_unit_test_setup_teardown(who_sends_an_answer_has_it_until_the_end, begin, end),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
