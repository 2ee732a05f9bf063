#include "../support.h"

#include "base/philox.h"

static void words_depend_on_the_address_alone(void **state)
{
    (void)state;
    const uint32_t counter[4] = {7, 1, 2, 3}, other[4] = {8, 1, 2, 3}, key[2] = {5, 6};
    uint32_t first[4], between[4], again[4];
    philox(counter, key, first);
    philox(other, key, between);
    philox(counter, key, again);
    assert_memory_equal(first, again, sizeof first);
    assert_memory_not_equal(first, between, sizeof first);
}

/* Each of the 192 bits of counter and key, flipped, turns about half of the 128 bits out: by chance
 * fewer than 35 or more than 93 would come once in 1e7 flips (computed here: binomial, 128, 1/2).
 */
static void every_bit_of_the_address_counts(void **state)
{
    (void)state;
    uint32_t in[6] = {1, 2, 3, 4, 5, 6}, base[4], turned[4];
    philox(in, in + 4, base);
    for (int bit = 0; bit < 192; bit++) {
        in[bit / 32] ^= 1U << (bit % 32);
        philox(in, in + 4, turned);
        in[bit / 32] ^= 1U << (bit % 32);
        int count = 0;
        for (int i = 0; i < 4; i++) {
            count += __builtin_popcount(base[i] ^ turned[i]);
        }
        if (count < 35 || count > 93) {
            fail_msg("bit %d turns %d of 128", bit, count);
        }
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(words_depend_on_the_address_alone),
        cmocka_unit_test(every_bit_of_the_address_counts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
