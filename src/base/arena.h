/* A bump allocator that the caller hands down: what a call allocates lives as long as its arena.
 *
 * Never returns NULL. Every input has its size checked at the edge, so running past the limit given
 * at birth is a programmer error and ends the process like a failed assertion. In a sanitizer build
 * each allocation is its own malloc block, so that an overrun is seen. */
#ifndef BASE_ARENA_H
#define BASE_ARENA_H

#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

struct arena_block;

struct arena {
    uint32_t magic;
    struct arena_block *head;
    size_t used_bytes;
    size_t limit_bytes;
};

enum { ARENA_LIMIT_DEFAULT = 1 << 30 };

void arena_init(struct arena *a, size_t limit_bytes);
/* Drops all; the arena may be used again. */
void arena_clear(struct arena *a);
void arena_release(struct arena *a);
/* Zeroed, 16-byte aligned. */
void *arena_alloc(struct arena *a, size_t bytes);
/* count * size with overflow check. */
void *arena_array(struct arena *a, size_t count, size_t size);
char *arena_copy(struct arena *a, const char *text);
char *arena_copy_n(struct arena *a, const char *text, size_t len);
char *arena_printf(struct arena *a, const char *format, ...) __attribute__((format(printf, 2, 3)));
char *arena_vprintf(struct arena *a, const char *format, va_list args);

#define ARENA_NEW(arena, type) ((type *)arena_alloc((arena), sizeof(type)))
#define ARENA_ARRAY(arena, type, count) ((type *)arena_array((arena), (count), sizeof(type)))

#endif
