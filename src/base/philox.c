#include "base/philox.h"

enum { ROUNDS = 10 };

void philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4])
{
    const uint32_t multiply[2] = {0xD2511F53, 0xCD9E8D57}; /* as philox.h says */
    const uint32_t step[2] = {0x9E3779B9, 0xBB67AE85};
    uint32_t x[4] = {counter[0], counter[1], counter[2], counter[3]};
    uint32_t k[2] = {key[0], key[1]};
    for (int i = 0; i < ROUNDS; i++) {
        uint64_t a = (uint64_t)multiply[0] * x[0], b = (uint64_t)multiply[1] * x[2];
        uint32_t first = (uint32_t)(b >> 32) ^ x[1] ^ k[0];
        uint32_t third = (uint32_t)(a >> 32) ^ x[3] ^ k[1];
        x[0] = first;
        x[1] = (uint32_t)b;
        x[2] = third;
        x[3] = (uint32_t)a;
        k[0] += step[0];
        k[1] += step[1];
    }
    for (int i = 0; i < 4; i++) {
        out[i] = x[i];
    }
}
