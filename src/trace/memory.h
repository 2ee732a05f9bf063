/* Blocks that outlive a call: the graph and the scratch of a trace. Too large for an arena, which
 * writes every byte of what it hands out; a trace touches a few pages of its scratch. */
#ifndef TRACE_MEMORY_H
#define TRACE_MEMORY_H

#include <stdlib.h>

#include "base/check.h"

/* count * size bytes, not cleared; at least one byte. Running out of memory ends the process. */
static inline void *memory_take(size_t count, size_t size)
{
    size_t bytes;
    CHECK(!__builtin_mul_overflow(count, size, &bytes));
    void *block = malloc(bytes > 0 ? bytes : 1);
    CHECK(block != NULL);
    return block;
}

/* The same, all zero; pages that are never written cost nothing. */
static inline void *memory_zero(size_t count, size_t size)
{
    void *block = calloc(count > 0 ? count : 1, size);
    CHECK(block != NULL);
    return block;
}

static inline void *memory_grow(void *block, size_t count, size_t size)
{
    size_t bytes;
    CHECK(!__builtin_mul_overflow(count, size, &bytes));
    block = realloc(block, bytes > 0 ? bytes : 1);
    CHECK(block != NULL);
    return block;
}

#define MEMORY_TAKE(type, count) ((type *)memory_take((count), sizeof(type)))
#define MEMORY_ZERO(type, count) ((type *)memory_zero((count), sizeof(type)))
#define MEMORY_GROW(block, type, count) ((type *)memory_grow((block), (count), sizeof(type)))

#endif
