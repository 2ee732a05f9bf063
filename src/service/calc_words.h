/* What a calculation says of itself, in the reader's language: its English stands in its row
 * (calc/registry.h), every other language in words/es.calc.json. */
#ifndef SERVICE_CALC_WORDS_H
#define SERVICE_CALC_WORDS_H

#include "base/arena.h"
#include "base/json.h"

/* o: what registry_row_json, registry_call or calc_sweep gave; changed in place. Purpose, formula,
 * meanings, cautions and rounding are said in lang. A field with choices gets "choice_words", one
 * for each of them; an answer "words": {output: text} for each result that is a text. Names, units,
 * choices and results stay as they are. */
void calc_words(struct arena *a, const char *lang, json_t *o);

#endif
