#include "base/words.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/words_inner.h"

enum { SENTENCE_MAX = 4000, PIECES_MAX = 4 };

static const struct word *find(const struct word *list, size_t count, const char *key)
{
    size_t from = 0, to = count;
    while (from < to) {
        size_t middle = from + (to - from) / 2;
        int order = strcmp(key, list[middle].key);
        if (order == 0) {
            return &list[middle];
        }
        if (order < 0) {
            to = middle;
        } else {
            from = middle + 1;
        }
    }
    return NULL;
}

/* Each run of letters in brackets with its vowels doubled; what stands in braces stays. */
static const char *stretch(struct arena *a, const char *text)
{
    size_t len = strlen(text), n = 0;
    char *out = arena_array(a, len + 1, 4);
    bool in_word = false, in_brace = false;
    for (const char *c = text;; c++) {
        in_brace = *c == '{' || (in_brace && *c != '}');
        bool letter = !in_brace && (isalpha((unsigned char)*c) || ((unsigned char)*c & 0x80) != 0);
        if (letter != in_word) {
            out[n++] = letter ? '[' : ']';
            in_word = letter;
        }
        if (*c == '\0') {
            out[n] = '\0';
            return out;
        }
        out[n++] = *c;
        if (letter && strchr("aeiou", *c) != NULL) {
            out[n++] = *c;
        }
    }
}

/* NULL when no file has it. */
static const char *sentence_of(struct arena *a, const char *lang, const char *key)
{
    const struct word *w = NULL;
    if (strcmp(lang, "es") == 0) {
        w = find(words_es, words_es_count, key);
    }
    if (w == NULL) {
        w = find(words_en, words_en_count, key);
    }
    const char *text = w != NULL ? w->text : NULL;
    if (text == NULL && strncmp(key, "code.", 5) == 0) {
        enum code code = code_from_id(key + 5);
        text = code != CODE_COUNT ? code_sentence(code) : NULL;
    }
    return text != NULL && strcmp(lang, "xx") == 0 ? stretch(a, text) : text;
}

static size_t put(char *out, size_t n, const char *text, size_t len)
{
    if (len > SENTENCE_MAX - n) {
        len = SENTENCE_MAX - n;
    }
    memcpy(out + n, text, len);
    return n + len;
}

/* What is filled in is not looked at again. */
static const char *fill(struct arena *a, const char *sentence, const char *field,
                        const char *const values[], size_t count)
{
    char out[SENTENCE_MAX];
    size_t n = 0;
    for (const char *s = sentence; *s != '\0';) {
        if (field != NULL && strncmp(s, "{field}", 7) == 0) {
            n = put(out, n, field, strlen(field));
            s += 7;
        } else if (s[0] == '{' && s[1] >= '0' && s[1] <= '9' && s[2] == '}') {
            size_t at = (size_t)(s[1] - '0');
            const char *value = at < count && values[at] != NULL ? values[at] : "";
            n = put(out, n, value, strlen(value));
            s += 3;
        } else {
            n = put(out, n, s++, 1);
        }
    }
    return arena_copy_n(a, out, n);
}

const char *const words_spoken[WORDS_SPOKEN] = {"en", "es"};

const char *words_language(const char *asked)
{
    static const char *const known[] = {"es", "xx"};
    for (size_t i = 0; asked != NULL && i < sizeof known / sizeof known[0]; i++) {
        if (strncasecmp(asked, known[i], 2) == 0 && !isalpha((unsigned char)asked[2])) {
            return known[i];
        }
    }
    return "en";
}

bool words_known(const char *lang)
{
    return strcmp(words_language(lang), lang) == 0;
}

bool words_has_file(const char *lang)
{
    bool has = false;
    for (int i = 0; i < WORDS_SPOKEN && !has; i++) {
        has = strcmp(words_spoken[i], lang) == 0;
    }
    return has;
}

const char *words(struct arena *a, const char *lang, const char *key, const char *const values[],
                  size_t n)
{
    const char *sentence = sentence_of(a, lang, key);
    CHECK(sentence != NULL);
    return fill(a, sentence, NULL, values, n);
}

const char *words_of(struct arena *a, const char *lang, const char *prefix, const char *name,
                     const char *otherwise)
{
    const char *sentence = sentence_of(a, lang, arena_printf(a, "%s%s", prefix, name));
    return sentence != NULL ? sentence : otherwise;
}

const char *words_name(struct arena *a, const char *lang, const char *prefix, const char *name)
{
    return strcmp(lang, "en") == 0 ? name : words_of(a, lang, prefix, name, name);
}

const char *words_own(struct arena *a, const char *lang, const char *english)
{
    if (strcmp(lang, "xx") == 0) {
        return stretch(a, english);
    }
    const struct word *w = strcmp(lang, "es") == 0 ? find(words_es, words_es_count, english) : NULL;
    return w != NULL ? w->text : english;
}

/* "0 % to 100 %": figures with a unit of two letters at most on both sides. */
static bool is_figure(const char *text, size_t len)
{
    size_t letters = 0;
    for (size_t i = 0; i < len; i++) {
        letters = isalpha((unsigned char)text[i]) ? letters + 1 : 0;
        if (letters > 2) {
            return false;
        }
    }
    return len > 0 && (isdigit((unsigned char)text[0]) || text[0] == '-');
}

static size_t conversion_len(const char *pattern)
{
    static const char *const known[] = {"%s", "%d", "%lld", "%zu"};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (strncmp(pattern, known[i], strlen(known[i])) == 0) {
            return strlen(known[i]);
        }
    }
    return 0;
}

struct piece {
    const char *at;
    size_t len;
};

/* Was the text made of the pattern? out: what was put in, the shortest that will do. */
static bool made_of(const char *pattern, const char *text, struct piece out[], size_t *count)
{
    size_t conversion = conversion_len(pattern);
    if (conversion == 0) {
        return *pattern == *text &&
               (*pattern == '\0' || made_of(pattern + 1, text + 1, out, count));
    }
    if (*count == PIECES_MAX) {
        return false;
    }
    size_t at = (*count)++, most = strlen(text);
    if (pattern[1] != 's') {
        most = strspn(text, "-0123456789");
    }
    for (size_t len = 1; len <= most; len++) {
        out[at] = (struct piece){text, len};
        *count = at + 1;
        if (made_of(pattern + conversion, text + len, out, count)) {
            return true;
        }
    }
    *count = at;
    return false;
}

/* The translated pattern that the text was made of with the least put in, NULL without one. */
static const struct word *pattern_of(const char *prefix, const char *text, struct piece pieces[],
                                     size_t *count)
{
    const struct word *best = NULL;
    size_t len = strlen(prefix), least = SIZE_MAX;
    for (size_t i = 0; i < words_es_count; i++) {
        const struct word *w = &words_es[i];
        struct piece found[PIECES_MAX];
        size_t n = 0, put_in = 0;
        if (strncmp(w->key, prefix, len) != 0 || strchr(w->key, '%') == NULL ||
            !made_of(w->key + len, text, found, &n) || n == 0) {
            continue;
        }
        for (size_t k = 0; k < n; k++) {
            put_in += found[k].len;
        }
        if (put_in < least) {
            best = w;
            least = put_in;
            *count = n;
            memcpy(pieces, found, n * sizeof *found);
        }
    }
    return best;
}

static const char *said(struct arena *a, const char *lang, const char *prefix, const char *text)
{
    const char *to = strstr(text, " to ");
    if (to != NULL && is_figure(text, (size_t)(to - text)) && is_figure(to + 4, strlen(to + 4))) {
        return WORDS(a, lang, "range.to", arena_copy_n(a, text, (size_t)(to - text)), to + 4);
    }
    const char *whole = words_of(a, lang, prefix, text, NULL);
    struct piece pieces[PIECES_MAX];
    size_t count = 0;
    const struct word *w =
        whole == NULL && strcmp(lang, "es") == 0 ? pattern_of(prefix, text, pieces, &count) : NULL;
    if (w == NULL) {
        return whole != NULL ? whole : text;
    }
    const char *values[PIECES_MAX];
    for (size_t i = 0; i < count; i++) {
        values[i] = said(a, lang, prefix, arena_copy_n(a, pieces[i].at, pieces[i].len));
    }
    return fill(a, w->text, NULL, values, count);
}

const char *words_value(struct arena *a, const char *lang, const char *text)
{
    return said(a, lang, "value.", text);
}

const char *words_reason(struct arena *a, const char *lang, const char *text)
{
    return said(a, lang, "reason.", text);
}

const char *result_sentence_in(struct arena *a, const char *lang, const struct result *r)
{
    const char *id = code_id(r->code);
    const char *const values[] = {words_value(a, lang, r->value[0]),
                                  words_value(a, lang, r->value[1]),
                                  words_value(a, lang, r->value[2])};
    const char *text =
        fill(a, sentence_of(a, lang, arena_printf(a, "code.%s", id)), r->field, values, 3);
    if (r->line <= 0) {
        return text;
    }
    const char *line = arena_printf(a, "%d", r->line);
    return r->column > 0
               ? WORDS(a, lang, "at.line-column", line, arena_printf(a, "%d", r->column), text)
               : WORDS(a, lang, "at.line", line, text);
}

const char *words_date(struct arena *a, const char *lang, int32_t day)
{
    int year, month, day_of_month;
    day_to_ymd(day, &year, &month, &day_of_month);
    return WORDS(a, lang, "date.long", arena_printf(a, "%d", day_of_month),
                 words_of(a, lang, "month.", arena_printf(a, "%d", month), ""),
                 arena_printf(a, "%d", year));
}

const char *words_day(struct arena *a, const char *lang, int32_t day)
{
    int year, month, day_of_month;
    day_to_ymd(day, &year, &month, &day_of_month);
    return WORDS(a, lang, "date.short",
                 words_of(a, lang, "weekday.short.", weekday_name(day_weekday(day)), ""),
                 arena_printf(a, "%d", day_of_month),
                 words_of(a, lang, "month.short.", arena_printf(a, "%d", month), ""));
}

const char *words_time(struct arena *a, const char *lang, int64_t ms, int offset_min)
{
    struct civil c = civil_from_ms(ms, offset_min);
    return arena_printf(a, "%s %02d:%02d %c%02d:%02d",
                        words_date(a, lang, day_from_ymd(c.year, c.month, c.day)), c.hour, c.minute,
                        offset_min < 0 ? '-' : '+', abs(offset_min) / 60, abs(offset_min) % 60);
}
