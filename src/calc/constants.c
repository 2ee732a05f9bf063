#include "calc/constants.h"

#include <string.h>

#include "base/check.h"
#include "calc/constants.gen.h"

static const struct constant table[] = {CONSTANTS_TABLE};

size_t constant_count(void)
{
    return sizeof table / sizeof table[0];
}

const struct constant *constant_at(size_t index)
{
    CHECK(index < constant_count());
    return &table[index];
}

const struct constant *constant_find(const char *name)
{
    for (size_t i = 0; i < constant_count(); i++) {
        if (strcmp(table[i].name, name) == 0) {
            return &table[i];
        }
    }
    return NULL;
}

bool constant_is_weak(const struct constant *c)
{
    return strcmp(c->word, "from memory") == 0 || strcmp(c->word, "common practice") == 0;
}
