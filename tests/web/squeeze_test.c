#include "../support.h"

#include <zlib.h>

#include "web/limits.h"
#include "web/squeeze.h"

static void what_is_squeezed_comes_back(void **state)
{
    (void)state;
    struct arena a;
    char text[8000], back[8000];
    size_t len;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    for (size_t i = 0; i < sizeof text; i++) {
        text[i] = "{\"lot\":1},"[i % 10];
    }
    const char *squeezed = squeeze(&a, text, sizeof text, &len);
    assert_non_null(squeezed);
    assert_true(len < sizeof text / 4);
    z_stream z = {.next_in = (Bytef *)(uintptr_t)squeezed,
                  .avail_in = (uInt)len,
                  .next_out = (Bytef *)back,
                  .avail_out = sizeof back};
    assert_int_equal(inflateInit2(&z, 15 + 16), Z_OK);
    assert_int_equal(inflate(&z, Z_FINISH), Z_STREAM_END);
    inflateEnd(&z);
    assert_memory_equal(text, back, sizeof text);
    arena_release(&a);
}

static void the_small_and_the_dense_stay_as_they_are(void **state)
{
    (void)state;
    struct arena a;
    char noise[4000];
    uint32_t at = 1;
    size_t len;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    for (size_t i = 0; i < sizeof noise; i++) {
        at = at * 1664525 + 1013904223;
        noise[i] = (char)(at >> 24);
    }
    assert_null(squeeze(&a, noise, sizeof noise, &len));
    memset(noise, 'a', sizeof noise);
    assert_null(squeeze(&a, noise, WEB_GZIP_MIN - 1, &len));
    assert_non_null(squeeze(&a, noise, WEB_GZIP_MIN, &len));
    arena_release(&a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_squeezed_comes_back),
        cmocka_unit_test(the_small_and_the_dense_stay_as_they_are),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
