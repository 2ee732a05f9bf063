#include "base/arena.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"

enum { ARENA_MAGIC = 0x41524e41, BLOCK_BYTES = 32 * 1024 };

struct arena_block {
    struct arena_block *next;
    size_t used;
    size_t size;
    size_t pad; /* keeps the payload 16-byte aligned */
};

#if defined(__SANITIZE_ADDRESS__)
#define ARENA_SEPARATE 1 /* gcc */
#elif defined(__has_feature)
#define ARENA_SEPARATE __has_feature(address_sanitizer) /* clang */
#else
#define ARENA_SEPARATE 0
#endif

void arena_init(struct arena *a, size_t limit_bytes)
{
    *a = (struct arena){.magic = ARENA_MAGIC, .limit_bytes = limit_bytes};
}

static void free_all(struct arena *a)
{
    CHECK(a->magic == ARENA_MAGIC);
    for (struct arena_block *b = a->head; b != NULL;) {
        struct arena_block *next = b->next;
        free(b);
        b = next;
    }
    a->head = NULL;
    a->used_bytes = 0;
}

/* One plain block stays for what comes next: a block for each request costs the allocator more than
 * what the request puts into it. */
void arena_clear(struct arena *a)
{
    struct arena_block *kept = a->head;
    if (ARENA_SEPARATE || kept == NULL || kept->size != BLOCK_BYTES) {
        free_all(a);
        return;
    }
    a->head = kept->next;
    free_all(a);
    *kept = (struct arena_block){.size = BLOCK_BYTES};
    a->head = kept;
}

void arena_release(struct arena *a)
{
    free_all(a);
    a->magic = 0;
}

static struct arena_block *block_new(struct arena *a, size_t bytes)
{
    struct arena_block *b = malloc(sizeof *b + bytes);
    CHECK(b != NULL);
    *b = (struct arena_block){.next = a->head, .size = bytes};
    a->head = b;
    return b;
}

void *arena_alloc(struct arena *a, size_t bytes)
{
    CHECK(a->magic == ARENA_MAGIC);
    CHECK(bytes < SIZE_MAX / 2);
    size_t want = (bytes + 15) & ~(size_t)15;
    CHECK(a->used_bytes + want <= a->limit_bytes);
    a->used_bytes += want;
    struct arena_block *b = a->head;
    if (ARENA_SEPARATE) {
        b = block_new(a, bytes); /* exact size: the sanitizer sees one byte too far */
        b->used = bytes;
        return memset(b + 1, 0, bytes);
    }
    if (b == NULL || b->size - b->used < want) {
        size_t size = want > BLOCK_BYTES / 2 ? want : BLOCK_BYTES;
        if (b != NULL &&
            size == want) { /* a large piece goes behind the current block, which stays open */
            struct arena_block *big = malloc(sizeof *big + size);
            CHECK(big != NULL);
            *big = (struct arena_block){.next = b->next, .used = want, .size = size};
            b->next = big;
            return memset(big + 1, 0, want);
        }
        b = block_new(a, size);
    }
    unsigned char *at = (unsigned char *)(b + 1) + b->used;
    b->used += want;
    return memset(at, 0, want);
}

void *arena_array(struct arena *a, size_t count, size_t size)
{
    size_t bytes;
    CHECK(!__builtin_mul_overflow(count, size, &bytes));
    return arena_alloc(a, bytes);
}

char *arena_copy_n(struct arena *a, const char *text, size_t len)
{
    char *out = arena_alloc(a, len + 1);
    if (len > 0) {
        memcpy(out, text, len);
    }
    return out;
}

char *arena_copy(struct arena *a, const char *text)
{
    return arena_copy_n(a, text, strlen(text));
}

char *arena_vprintf(struct arena *a, const char *format, va_list args)
{
    char small[512];
    va_list again;
    va_copy(again, args);
    int len = vsnprintf(small, sizeof small, format, args);
    CHECK(len >= 0);
    char *out = arena_alloc(a, (size_t)len + 1);
    if ((size_t)len < sizeof small) {
        memcpy(out, small, (size_t)len);
    } else {
        vsnprintf(out, (size_t)len + 1, format, again);
    }
    va_end(again);
    return out;
}

char *arena_printf(struct arena *a, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    char *out = arena_vprintf(a, format, args);
    va_end(args);
    return out;
}
