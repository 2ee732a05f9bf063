/* Sentences kept for a while: found again as they were, never another's. */
#include "../support.h"

#include "service/sentences.h"

static struct arena arena;

static void a_sentence_is_found_by_entry_and_language(void **state)
{
    (void)state;
    struct sentences *s = sentences_new();
    assert_null(sentences_find(s, &arena, "en", 1));
    sentences_put(s, "en", 1, "Harvested.");
    assert_string_equal(sentences_find(s, &arena, "en", 1), "Harvested.");
    assert_null(sentences_find(s, &arena, "es", 1));
    assert_null(sentences_find(s, &arena, "en", 2));
    assert_null(sentences_find(s, &arena, "en", 0)); /* no entry, and no empty room either */
    sentences_put(s, "es", 1, "Cosechado.");
    assert_string_equal(sentences_find(s, &arena, "es", 1), "Cosechado.");
    assert_null(sentences_find(s, &arena, "en", 1));
    sentences_free(s);
}

/* However many are put in, what is found is what was put in for that entry. */
static void one_that_takes_the_room_of_another_is_not_taken_for_it(void **state)
{
    (void)state;
    enum { MANY = 100000 };
    struct sentences *s = sentences_new();
    size_t found = 0;
    for (int64_t i = 1; i <= MANY; i++) {
        sentences_put(s, "en", i, arena_printf(&arena, "entry %lld", (long long)i));
    }
    for (int64_t i = 1; i <= MANY; i++) {
        const char *text = sentences_find(s, &arena, "en", i);
        if (text != NULL) {
            assert_string_equal(text, arena_printf(&arena, "entry %lld", (long long)i));
            found++;
        }
    }
    assert_true(found > 1000 && found < MANY); /* bounded, and the last ones are there */
    assert_non_null(sentences_find(s, &arena, "en", MANY));
    sentences_free(s);
}

static void what_is_too_long_is_not_kept(void **state)
{
    (void)state;
    struct sentences *s = sentences_new();
    char long_text[3000];
    memset(long_text, 'x', sizeof long_text - 1);
    long_text[sizeof long_text - 1] = '\0';
    sentences_put(s, "en", 5, "short");
    sentences_put(s, "en", 5, long_text);
    assert_string_equal(sentences_find(s, &arena, "en", 5), "short");
    sentences_put(s, "a language", 6, "short");
    assert_null(sentences_find(s, &arena, "a language", 6));
    sentences_free(s);
    sentences_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sentence_is_found_by_entry_and_language),
        cmocka_unit_test(one_that_takes_the_room_of_another_is_not_taken_for_it),
        cmocka_unit_test(what_is_too_long_is_not_kept),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    arena_release(&arena);
    return failed;
}
