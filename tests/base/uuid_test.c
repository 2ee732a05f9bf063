#include "base/uuid.h"

#include "../support.h"

static void an_uuid_has_two_forms(void **state)
{
    static const char *const bad[] = {
        "",
        "00112233-4455-6677-8899-aabbccddeef",
        "00112233-4455-6677-8899-aabbccddeeff0",
        "0011223-34455-6677-8899-aabbccddeeff",
        "00112233-4455-6677-8899-aabbccddeefg",
        "00112233 4455 6677 8899 aabbccddeeff",
    };
    struct arena a;
    uint8_t one[16], two[16];
    arena_init(&a, 1 << 16);
    assert_ok(uuid_read("00112233-4455-6677-8899-aabbccddeeff", "uuid", one));
    assert_ok(uuid_read("00112233445566778899AABBCCDDEEFF", "uuid", two));
    assert_memory_equal(one, two, sizeof one);
    assert_int_equal(one[0], 0x00);
    assert_int_equal(one[15], 0xff);
    assert_string_equal(uuid_text(&a, one), "00112233-4455-6677-8899-aabbccddeeff");
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct result r = uuid_read(bad[i], "uuid", one);
        assert_code(r, UUID_BAD);
        assert_string_equal(r.field, "uuid");
    }
    arena_release(&a);
}

/* Version 7 of 22 February 2022 19:22:22 UTC begins 017f22e2-79b0-7 (RFC 9562, A.6 - published
 * (abstract only)). */
static void a_new_one_begins_with_the_time(void **state)
{
    struct world_fixed fixed = {.now_ms = 1645557742000, .state = 7};
    struct world world = world_fixed(&fixed);
    struct arena a;
    uint8_t one[16], two[16], later[16];
    arena_init(&a, 1 << 16);
    uuid_make(world, one);
    uuid_make(world, two);
    assert_memory_equal(uuid_text(&a, one), "017f22e2-79b0-7", 15);
    assert_int_equal(one[8] & 0xc0, 0x80);
    assert_memory_not_equal(one, two, 16);
    fixed.now_ms++;
    uuid_make(world, later);
    assert_true(memcmp(later, one, 16) > 0 && memcmp(later, two, 16) > 0);
    assert_int_equal(strlen(uuid_new(&a, world)), 36);
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_uuid_has_two_forms),
        cmocka_unit_test(a_new_one_begins_with_the_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
