/* Chance by address: the same key and counter always give the same four words, in whatever order
 * they are asked for. So two plans can be held against the same futures, and a thing keeps its luck
 * whatever else is drawn. Philox 4x32-10 (Salmon, Moraes, Dror and Shaw 2011, Parallel Random
 * Numbers: As Easy as 1, 2, 3; constants published (seen): Random123's kat_vectors hold them in
 * tests/published). Never for keys. */
#ifndef BASE_PHILOX_H
#define BASE_PHILOX_H

#include <stdint.h>

void philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4]);

#endif
