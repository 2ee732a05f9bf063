#include "../support.h"

#include "base/arena.h"

static void pieces_are_zeroed_aligned_and_apart(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 22);
    unsigned char *pieces[200];
    for (size_t i = 0; i < 200; i++) {
        size_t size = i * 37 % 5000 + (i % 50 == 0 ? 40000 : 1);
        pieces[i] = arena_alloc(&a, size);
        assert_int_equal((uintptr_t)pieces[i] % 16, 0);
        for (size_t at = 0; at < size; at++) {
            assert_int_equal(pieces[i][at], 0);
        }
        memset(pieces[i], (int)i + 1, size);
    }
    for (size_t i = 0; i < 200; i++) {
        size_t size = i * 37 % 5000 + (i % 50 == 0 ? 40000 : 1);
        for (size_t at = 0; at < size; at++) {
            assert_int_equal(pieces[i][at], (unsigned char)(i + 1));
        }
    }
    arena_release(&a);
}

static void a_cleared_arena_can_be_filled_again(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1000);
    for (int round = 0; round < 10; round++) {
        assert_non_null(arena_alloc(&a, 900));
        arena_clear(&a);
        assert_int_equal(a.used_bytes, 0);
    }
    arena_release(&a);
}

static void what_is_filled_again_is_zeroed_too(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 22);
    for (int round = 0; round < 4; round++) {
        for (size_t size = 1; size < 60000; size = size * 3 + 5) {
            unsigned char *piece = arena_alloc(&a, size);
            for (size_t at = 0; at < size; at++) {
                assert_int_equal(piece[at], 0);
            }
            memset(piece, 0xab, size);
        }
        arena_clear(&a);
    }
    arena_release(&a);
}

static void texts_are_copied_and_made(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 20);
    assert_string_equal(arena_copy(&a, "hypocotyl"), "hypocotyl");
    assert_string_equal(arena_copy_n(&a, "hypocotyl", 4), "hypo");
    assert_string_equal(arena_copy_n(&a, "", 0), "");
    assert_string_equal(arena_printf(&a, "%s-%d", "radicle", 7), "radicle-7");
    char long_text[3001];
    memset(long_text, 'x', 3000);
    long_text[3000] = '\0';
    assert_string_equal(arena_printf(&a, "%s", long_text), long_text);
    arena_release(&a);
}

static void over_the_limit(void *argument)
{
    (void)argument;
    struct arena a;
    arena_init(&a, 1000);
    arena_alloc(&a, 600);
    arena_alloc(&a, 600);
}

static void too_many_elements(void *argument)
{
    (void)argument;
    struct arena a;
    arena_init(&a, SIZE_MAX);
    arena_array(&a, SIZE_MAX / 4, 8);
}

static void used_after_release(void *argument)
{
    (void)argument;
    struct arena a;
    arena_init(&a, 1000);
    arena_release(&a);
    arena_alloc(&a, 1);
}

static void misuse_stops_the_program(void **state)
{
    (void)state;
    assert_aborts(over_the_limit, NULL);
    assert_aborts(too_many_elements, NULL);
    assert_aborts(used_after_release, NULL);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces_are_zeroed_aligned_and_apart),
        cmocka_unit_test(a_cleared_arena_can_be_filled_again),
        cmocka_unit_test(what_is_filled_again_is_zeroed_too),
        cmocka_unit_test(texts_are_copied_and_made),
        cmocka_unit_test(misuse_stops_the_program),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
