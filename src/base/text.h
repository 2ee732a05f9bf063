/* Texts of the program's own lists. */
#ifndef BASE_TEXT_H
#define BASE_TEXT_H

#include <stdbool.h>
#include <string.h>

/* The same text? In a list that is looked through the first letter tells most that are not. */
static inline bool text_is(const char *x, const char *y)
{
    return x[0] == y[0] && strcmp(x, y) == 0;
}

#endif
