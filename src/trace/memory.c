#include "trace/memory.h"

#include <stdint.h>
#include <sys/mman.h>

enum { LARGE_PAGE_BYTES = 2 * 1024 * 1024 };

static size_t size_of(size_t count, size_t size)
{
    size_t bytes;
    CHECK(!__builtin_mul_overflow(count, size, &bytes));
    return bytes > 0 ? bytes : 1;
}

/* Only a wish: where the kernel has no large pages, small ones do. */
static void *with_large_pages(void *block, size_t bytes)
{
    CHECK(block != NULL);
    uintptr_t from = (uintptr_t)block, to = from + bytes;
    from = (from + LARGE_PAGE_BYTES - 1) / LARGE_PAGE_BYTES * LARGE_PAGE_BYTES;
    to = to / LARGE_PAGE_BYTES * LARGE_PAGE_BYTES;
    if (from < to) {
        madvise((void *)from, to - from, MADV_HUGEPAGE);
    }
    return block;
}

void *memory_take(size_t count, size_t size)
{
    size_t bytes = size_of(count, size);
    return with_large_pages(malloc(bytes), bytes);
}

void *memory_zero(size_t count, size_t size)
{
    size_t bytes = size_of(count, size);
    return with_large_pages(calloc(1, bytes), bytes);
}

void *memory_grow(void *block, size_t count, size_t size)
{
    size_t bytes = size_of(count, size);
    return with_large_pages(realloc(block, bytes), bytes);
}
