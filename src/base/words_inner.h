/* The tables that tools/words_gen.c makes of words/; only words.c reads them. Sorted by key. */
#ifndef BASE_WORDS_INNER_H
#define BASE_WORDS_INNER_H

#include <stddef.h>

struct word {
    const char *key, *text;
};
extern const struct word words_en[], words_es[];
extern const size_t words_en_count, words_es_count;

#endif
