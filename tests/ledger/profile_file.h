/* The house's profile as text, for tests that change it. */
#ifndef TESTS_LEDGER_PROFILE_FILE_H
#define TESTS_LEDGER_PROFILE_FILE_H

#include "../support.h"

#include "base/file.h"

struct house_profile {
    struct arena arena;
    char *text;
    size_t len;
};

static inline int read_file(void **state)
{
    struct house_profile *h = calloc(1, sizeof *h);
    arena_init(&h->arena, 1 << 26);
    assert_ok(file_read(&h->arena, PROFILE_FILE, 1 << 22, &h->text, &h->len));
    *state = h;
    return 0;
}

static inline int drop_file(void **state)
{
    struct house_profile *h = *state;
    arena_release(&h->arena);
    free(h);
    return 0;
}

#endif
