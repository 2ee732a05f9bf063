/* Blocks that outlive a call: the graph and the scratch of a trace. Too large for an arena, which
 * writes every byte of what it hands out; a trace touches a part of its scratch.
 *
 * Large blocks ask for large pages: a first touch of an ordinary page costs more than all the work
 * a trace does on what lies in it. All end with free(). */
#ifndef TRACE_MEMORY_H
#define TRACE_MEMORY_H

#include <stddef.h>
#include <stdlib.h>

#include "base/check.h"

/* count * size bytes, not cleared; at least one byte. Running out of memory ends the process. */
void *memory_take(size_t count, size_t size);
/* The same, all zero; pages that are never written cost nothing. */
void *memory_zero(size_t count, size_t size);
void *memory_grow(void *block, size_t count, size_t size);

#define MEMORY_TAKE(type, count) ((type *)memory_take((count), sizeof(type)))
#define MEMORY_ZERO(type, count) ((type *)memory_zero((count), sizeof(type)))
#define MEMORY_GROW(block, type, count) ((type *)memory_grow((block), (count), sizeof(type)))

#endif
