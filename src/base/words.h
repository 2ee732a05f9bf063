/* The catalogue of what is said to people: page, command and paper take their texts from the same
 * files, words/en.json and words/es.json, by key. The sentences of codes.def are the English of the
 * keys "code.<id>", and the words that the code puts in their values that of "value.<words>"; every
 * other language has both in its file.
 *
 * What calculations say of themselves stands in their rows and is its own key; its Spanish is
 * words/es.calc.json, which the pages need not load.
 *
 * A language is "en", "es", or "xx": English with each word stretched and put in brackets, so that
 * a test sees every text that does not come from here. Any other is taken as English, and so is a
 * text that a language lacks. */
#ifndef BASE_WORDS_H
#define BASE_WORDS_H

#include "base/result.h"

/* Those that have a file. */
enum { WORDS_SPOKEN = 2 };
extern const char *const words_spoken[WORDS_SPOKEN];

/* From "es", "es-MX,en;q=0.8" or "es_ES.UTF-8" to the language meant; NULL and what is unknown: en.
 */
const char *words_language(const char *asked);
bool words_known(const char *lang);
bool words_has_file(const char *lang);

/* The sentence of a key with {0}..{9} filled in; values beyond n, and NULL ones, are empty. A key
 * that no file has is a programmer error. */
const char *words(struct arena *a, const char *lang, const char *key, const char *const values[],
                  size_t n);
#define WORDS(arena, lang, key, ...)                                  \
    words((arena), (lang), (key), (const char *const[]){__VA_ARGS__}, \
          sizeof((const char *const[]){__VA_ARGS__}) / sizeof(const char *))
/* The text of prefix and name together ("step." "harvest"), else otherwise as it is: for names that
 * a house gives itself. */
const char *words_of(struct arena *a, const char *lang, const char *prefix, const char *name,
                     const char *otherwise);

/* The same for a name that the record itself uses and that is typed in commands ("packed"): English
 * readers have it as it stands. */
const char *words_name(struct arena *a, const char *lang, const char *prefix, const char *name);

/* A text whose English stands in the code and is its own key: as it stands where a language has it
 * not. The pages' server and the command line say so what rows of calculations hold. */
const char *words_own(struct arena *a, const char *lang, const char *english);

/* What the code says in a value of a failure: its translation is "value.ENGLISH", ENGLISH as the
 * code has it. One with "%s", "%d", "%lld" or "%zu" in it is that
 * of every text made of it, and the language's own has {0}..{9} in their places; what was put in is
 * said in the language in its turn. Any other text is one of the record, and stands as it is. */
const char *words_value(struct arena *a, const char *lang, const char *text);
/* The same for the reason of a hold that the program placed, "reason.ENGLISH"; one that somebody
 * typed stands as it was typed. */
const char *words_reason(struct arena *a, const char *lang, const char *text);

/* As result_sentence, in a language; so are what its values say in words, by "value.ENGLISH". */
const char *result_sentence_in(struct arena *a, const char *lang, const struct result *r);

/* "7 March 2026": the month is a word, so that no reader takes it for the day. */
const char *words_date(struct arena *a, const char *lang, int32_t day);
/* "Sat 7 Mar", as the pages write days that are near. */
const char *words_day(struct arena *a, const char *lang, int32_t day);
/* "7 March 2026 05:30 +01:00", on the clock that was offset_min minutes east of UTC. */
const char *words_time(struct arena *a, const char *lang, int64_t ms, int offset_min);

#endif
