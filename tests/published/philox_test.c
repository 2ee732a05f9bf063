/* Random123, tests/kat_vectors: the lines "philox4x32 10" (Salmon, Moraes, Dror, Shaw 2011) -
 * published (seen). */
#include "../support.h"

#include "base/philox.h"

static const struct vector {
    uint32_t counter[4], key[2], out[4];
} vectors[] = {
    {{0, 0, 0, 0}, {0, 0}, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}},
    {{0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff},
     {0xffffffff, 0xffffffff},
     {0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}},
    {{0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344},
     {0xa4093822, 0x299f31d0},
     {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}},
};

static void philox_gives_the_authors_words(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof vectors / sizeof vectors[0]; i++) {
        uint32_t out[4];
        philox(vectors[i].counter, vectors[i].key, out);
        for (int k = 0; k < 4; k++) {
            if (out[k] != vectors[i].out[k]) {
                fail_msg("vector %zu, word %d: %08x, not %08x (Random123, kat_vectors)", i, k,
                         out[k], vectors[i].out[k]);
            }
        }
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {cmocka_unit_test(philox_gives_the_authors_words)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
