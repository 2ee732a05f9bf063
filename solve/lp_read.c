/* SPDX-License-Identifier: MIT */
#include "lp_read.h"

#include <ctype.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum token_kind { TOKEN_END, TOKEN_NUMBER, TOKEN_NAME, TOKEN_SIGN, TOKEN_COMPARE, TOKEN_COLON };

enum section {
    SECTION_NONE,
    SECTION_MINIMIZE,
    SECTION_MAXIMIZE,
    SECTION_ROWS,
    SECTION_BOUNDS,
    SECTION_INTEGERS,
    SECTION_BINARIES,
    SECTION_END
};

struct token {
    enum token_kind kind;
    const char *start;
    int len, line;
    double number;
    char sign; /* '+' '-'; '<' '>' '=' */
};

struct entry {
    int row, column;
    double value;
};

struct reader {
    const char *at;
    int line;
    struct token token;
    struct lp_problem *p;
    struct lp_fault *fault;
    bool failed;
    struct entry *entries;
    size_t entry_room, column_room, row_room;
    int *slots; /* open addressing: column + 1, 0 for free */
    size_t slot_count;
};

static void fail(struct reader *r, int line, const char *format, const char *what, int len)
{
    if (r->failed) return;
    r->failed = true;
    r->fault->line = line;
    snprintf(r->fault->message, sizeof r->fault->message, format, len > 60 ? 60 : len, what);
}

static void *grown(struct reader *r, void *old, size_t *room, size_t need, size_t size)
{
    if (need <= *room) return old;
    size_t more = *room ? *room * 2 : 256;
    void *fresh = realloc(old, more * size);
    if (!fresh) {
        fail(r, r->line, "%.*sout of memory", "", 0);
        return old;
    }
    *room = more;
    return fresh;
}

static bool name_starts(char c)
{
    return isalpha((unsigned char)c) || (c && strchr("_!\"#$%&(),;?@`'{}~|", c));
}

static bool name_goes_on(char c)
{
    return name_starts(c) || isdigit((unsigned char)c) || c == '.';
}

static void next_number(struct reader *r, struct token *t)
{
    char *end = NULL;
    t->kind = TOKEN_NUMBER;
    t->number = strtod(r->at, &end);
    /* strtod would take hexadecimal too */
    if (end == r->at || (end - r->at > 1 && (r->at[1] == 'x' || r->at[1] == 'X')) ||
        !isfinite(t->number)) {
        fail(r, r->line, "\"%.*s\" is not a number", r->at, (int)strcspn(r->at, " \t\r\n"));
        end = (char *)r->at + 1;
    }
    t->len = (int)(end - r->at);
    r->at = end;
}

static void next(struct reader *r)
{
    for (;;) {
        while (*r->at == ' ' || *r->at == '\t' || *r->at == '\r' || *r->at == '\n') {
            if (*r->at == '\n') r->line++;
            r->at++;
        }
        if (*r->at != '\\') break;
        while (*r->at && *r->at != '\n')
            r->at++;
    }
    struct token *t = &r->token;
    *t = (struct token){.kind = TOKEN_END, .start = r->at, .line = r->line, .len = 1};
    char c = *r->at;
    if (!c || r->failed) return;
    if (isdigit((unsigned char)c) || c == '.') {
        next_number(r, t);
    } else if (name_starts(c)) {
        t->kind = TOKEN_NAME;
        while (name_goes_on(r->at[0]))
            r->at++;
        t->len = (int)(r->at - t->start);
        if (t->len > LP_NAME_MAX) fail(r, t->line, "a name is too long: %.*s", t->start, t->len);
    } else if (c == '+' || c == '-') {
        t->kind = TOKEN_SIGN;
        t->sign = c;
        r->at++;
    } else if (c == '<' || c == '>' || c == '=') {
        t->kind = TOKEN_COMPARE;
        r->at++;
        if (c == '=' && (*r->at == '<' || *r->at == '>'))
            c = *r->at++;
        else if (c != '=' && *r->at == '=')
            r->at++;
        t->sign = c;
    } else if (c == ':') {
        t->kind = TOKEN_COLON;
        r->at++;
    } else {
        fail(r, r->line, "unexpected character \"%.*s\"", r->at, 1);
    }
}

static bool is_word(const struct token *t, const char *word)
{
    return t->kind == TOKEN_NAME && (size_t)t->len == strlen(word) &&
           strncasecmp(t->start, word, (size_t)t->len) == 0;
}

/* The section that the token begins; takes "Subject To" and "Such That" whole. A name before a
 * colon is a row's. */
static enum section section_at(struct reader *r)
{
    static const struct {
        const char *word;
        enum section section;
    } words[] = {
        {"minimize", SECTION_MINIMIZE}, {"minimise", SECTION_MINIMIZE},
        {"minimum", SECTION_MINIMIZE},  {"min", SECTION_MINIMIZE},
        {"maximize", SECTION_MAXIMIZE}, {"maximise", SECTION_MAXIMIZE},
        {"maximum", SECTION_MAXIMIZE},  {"max", SECTION_MAXIMIZE},
        {"st", SECTION_ROWS},           {"bounds", SECTION_BOUNDS},
        {"bound", SECTION_BOUNDS},      {"generals", SECTION_INTEGERS},
        {"general", SECTION_INTEGERS},  {"gen", SECTION_INTEGERS},
        {"integers", SECTION_INTEGERS}, {"integer", SECTION_INTEGERS},
        {"int", SECTION_INTEGERS},      {"binaries", SECTION_BINARIES},
        {"binary", SECTION_BINARIES},   {"bin", SECTION_BINARIES},
        {"end", SECTION_END},
    };
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (is_word(&r->token, words[i].word)) return words[i].section;
    bool subject = is_word(&r->token, "subject"), such = is_word(&r->token, "such");
    if (!subject && !such) return SECTION_NONE;
    struct reader ahead = *r;
    next(&ahead);
    if (!is_word(&ahead.token, subject ? "to" : "that")) return SECTION_NONE;
    next(r);
    return SECTION_ROWS;
}

static uint64_t name_hash(const char *name, int len)
{
    uint64_t h = 1469598103934665603ULL; /* FNV-1a */
    for (int i = 0; i < len; i++)
        h = (h ^ (unsigned char)name[i]) * 1099511628211ULL;
    return h;
}

static size_t slot_of(const struct reader *r, const char *name, int len)
{
    size_t i = name_hash(name, len) & (r->slot_count - 1);
    while (r->slots[i]) {
        const char *have = r->p->names[r->slots[i] - 1];
        if (strncmp(have, name, (size_t)len) == 0 && have[len] == 0) break;
        i = (i + 1) & (r->slot_count - 1);
    }
    return i;
}

static void slots_grow(struct reader *r)
{
    size_t count = r->slot_count ? r->slot_count * 2 : 1024;
    int *fresh = calloc(count, sizeof *fresh);
    if (!fresh) {
        fail(r, r->line, "%.*sout of memory", "", 0);
        return;
    }
    free(r->slots);
    r->slots = fresh;
    r->slot_count = count;
    for (int c = 0; c < r->p->column_count; c++)
        r->slots[slot_of(r, r->p->names[c], (int)strlen(r->p->names[c]))] = c + 1;
}

static bool column_room_grow(struct reader *r)
{
    struct lp_problem *p = r->p;
    size_t need = (size_t)p->column_count + 1;
    if (need <= r->column_room) return true;
    size_t rooms[5];
    for (int i = 0; i < 5; i++)
        rooms[i] = r->column_room;
    p->objective = grown(r, p->objective, &rooms[0], need, sizeof *p->objective);
    p->lower = grown(r, p->lower, &rooms[1], need, sizeof *p->lower);
    p->upper = grown(r, p->upper, &rooms[2], need, sizeof *p->upper);
    p->is_integer = grown(r, p->is_integer, &rooms[3], need, sizeof *p->is_integer);
    p->names = grown(r, p->names, &rooms[4], need, sizeof *p->names);
    if (!r->failed) r->column_room = rooms[0];
    return !r->failed;
}

/* The column of the name in the token, made when new. -1 on failure. */
static int column_of(struct reader *r, const struct token *t, bool may_make)
{
    struct lp_problem *p = r->p;
    if ((size_t)p->column_count * 2 >= r->slot_count) slots_grow(r);
    if (r->failed) return -1;
    size_t slot = slot_of(r, t->start, t->len);
    if (r->slots[slot]) return r->slots[slot] - 1;
    if (!may_make) {
        fail(r, t->line, "\"%.*s\" stands in no row and not in the objective", t->start, t->len);
        return -1;
    }
    if (p->column_count >= LP_COLUMNS_MAX)
        fail(r, t->line, "too many columns at \"%.*s\"", t->start, t->len);
    char *name = r->failed ? NULL : strndup(t->start, (size_t)t->len);
    if (!name || !column_room_grow(r)) {
        free(name);
        fail(r, t->line, "%.*sout of memory", "", 0);
        return -1;
    }
    int c = p->column_count++;
    p->objective[c] = 0;
    p->lower[c] = 0;
    p->upper[c] = HUGE_VAL;
    p->is_integer[c] = 0;
    p->names[c] = name;
    r->slots[slot] = c + 1;
    return c;
}

static void entry_add(struct reader *r, int row, int column, double value)
{
    if (column < 0 || r->failed) return;
    if (row < 0) {
        r->p->objective[column] += value;
        return;
    }
    size_t n = (size_t)r->p->entry_count;
    if (n >= LP_ENTRIES_MAX) fail(r, r->line, "%.*stoo many coefficients", "", 0);
    r->entries = grown(r, r->entries, &r->entry_room, n + 1, sizeof *r->entries);
    if (r->failed) return;
    r->entries[n] = (struct entry){row, column, value};
    r->p->entry_count++;
}

/* A name followed by a colon is dropped: rows are told apart by their order. */
static void label_skip(struct reader *r)
{
    if (r->token.kind != TOKEN_NAME) return;
    struct reader ahead = *r;
    next(&ahead);
    if (ahead.token.kind != TOKEN_COLON || ahead.failed) return;
    next(r);
    next(r);
}

static bool section_begins(struct reader *r)
{
    struct reader ahead = *r;
    return r->token.kind == TOKEN_END || section_at(&ahead) != SECTION_NONE;
}

/* Terms up to a comparison, a section or the end. row -1: objective. */
static void terms(struct reader *r, int row)
{
    bool any = false;
    while (!r->failed && r->token.kind != TOKEN_COMPARE && !section_begins(r)) {
        double value = 1;
        bool signed_term = false;
        while (r->token.kind == TOKEN_SIGN) {
            if (r->token.sign == '-') value = -value;
            signed_term = true;
            next(r);
        }
        if (any && !signed_term) {
            fail(r, r->token.line, "\"%.*s\" needs a + or - before it", r->token.start,
                 r->token.len);
            return;
        }
        if (r->token.kind == TOKEN_NUMBER) {
            value *= r->token.number;
            next(r);
        }
        if (r->token.kind != TOKEN_NAME || section_begins(r)) {
            fail(r, r->token.line, "a column's name is missing before \"%.*s\"", r->token.start,
                 r->token.len);
            return;
        }
        entry_add(r, row, column_of(r, &r->token, true), value);
        any = true;
        next(r);
    }
    if (!any && row >= 0)
        fail(r, r->token.line, "a row without columns at \"%.*s\"", r->token.start, r->token.len);
}

/* A number with signs, or an infinity where that is allowed. */
static double number(struct reader *r, bool may_be_infinite)
{
    double sign = 1;
    while (r->token.kind == TOKEN_SIGN) {
        if (r->token.sign == '-') sign = -sign;
        next(r);
    }
    double value = 0;
    if (r->token.kind == TOKEN_NUMBER)
        value = r->token.number;
    else if (may_be_infinite && (is_word(&r->token, "inf") || is_word(&r->token, "infinity")))
        value = HUGE_VAL;
    else
        fail(r, r->token.line, "a number is missing before \"%.*s\"", r->token.start, r->token.len);
    next(r);
    return sign * value;
}

static void row(struct reader *r)
{
    struct lp_problem *p = r->p;
    label_skip(r);
    if (p->row_count >= LP_ROWS_MAX) fail(r, r->line, "%.*stoo many rows", "", 0);
    size_t rooms[2] = {r->row_room, r->row_room};
    size_t need = (size_t)p->row_count + 1;
    p->row_lower = grown(r, p->row_lower, &rooms[0], need, sizeof *p->row_lower);
    p->row_upper = grown(r, p->row_upper, &rooms[1], need, sizeof *p->row_upper);
    if (r->failed) return;
    r->row_room = rooms[0];
    int index = p->row_count;
    terms(r, index);
    if (r->failed) return;
    if (r->token.kind != TOKEN_COMPARE) {
        fail(r, r->token.line, "a row has no <=, >= or = before \"%.*s\"", r->token.start,
             r->token.len);
        return;
    }
    char sense = r->token.sign;
    next(r);
    int line = r->token.line;
    double right = number(r, false);
    if (r->token.kind == TOKEN_SIGN && r->token.line == line)
        fail(r, line, "only a number may stand to the right of a row, not \"%.*s\"", r->token.start,
             r->token.len);
    if (r->failed) return;
    p->row_lower[index] = sense == '<' ? -HUGE_VAL : right;
    p->row_upper[index] = sense == '>' ? HUGE_VAL : right;
    p->row_count++;
}

static void bound_set(struct reader *r, int column, char sense, double value)
{
    if (column < 0 || r->failed) return;
    if (sense != '>') r->p->upper[column] = value;
    if (sense != '<') r->p->lower[column] = value;
}

static char turned(char sense)
{
    return sense == '<' ? '>' : sense == '>' ? '<' : '=';
}

static void bound(struct reader *r)
{
    double left = 0;
    char left_sense = 0;
    bool infinite = is_word(&r->token, "inf") || is_word(&r->token, "infinity");
    if (r->token.kind != TOKEN_NAME || infinite) {
        left = number(r, true);
        left_sense = r->token.sign;
        if (r->token.kind != TOKEN_COMPARE) {
            fail(r, r->token.line, "a bound needs <=, >= or = before \"%.*s\"", r->token.start,
                 r->token.len);
            return;
        }
        next(r);
    }
    if (r->token.kind != TOKEN_NAME) {
        fail(r, r->token.line, "a bound needs a column's name, not \"%.*s\"", r->token.start,
             r->token.len);
        return;
    }
    int column = column_of(r, &r->token, false);
    next(r);
    if (left_sense) bound_set(r, column, turned(left_sense), left);
    if (r->token.kind == TOKEN_COMPARE) {
        char sense = r->token.sign;
        next(r);
        bound_set(r, column, sense, number(r, true));
    } else if (is_word(&r->token, "free") && !left_sense) {
        bound_set(r, column, '=', HUGE_VAL);
        bound_set(r, column, '>', -HUGE_VAL);
        next(r);
    } else if (!left_sense) {
        fail(r, r->token.line, "a bound needs <=, >= or = before \"%.*s\"", r->token.start,
             r->token.len);
    }
    if (column >= 0 && !r->failed && r->p->lower[column] > r->p->upper[column])
        fail(r, r->token.line, "the lower bound of %.*s is above its upper bound",
             r->p->names[column], (int)strlen(r->p->names[column]));
}

static void whole_number(struct reader *r, bool binary)
{
    if (r->token.kind != TOKEN_NAME) {
        fail(r, r->token.line, "a column's name is missing before \"%.*s\"", r->token.start,
             r->token.len);
        return;
    }
    int column = column_of(r, &r->token, false);
    next(r);
    if (column < 0) return;
    r->p->is_integer[column] = 1;
    if (!binary) return;
    r->p->lower[column] = 0;
    r->p->upper[column] = 1;
}

/* Rows to columns, adding up what names one place twice. */
static void by_column(struct reader *r)
{
    struct lp_problem *p = r->p;
    size_t columns = (size_t)p->column_count, entries = (size_t)p->entry_count;
    p->starts = calloc(columns + 1, sizeof *p->starts);
    p->rows = calloc(entries + 1, sizeof *p->rows);
    p->values = calloc(entries + 1, sizeof *p->values);
    int *last = malloc((columns + 1) * sizeof *last);
    int *place = malloc((columns + 1) * sizeof *place);
    if (!p->starts || !p->rows || !p->values || !last || !place) {
        fail(r, r->line, "%.*sout of memory", "", 0);
    } else {
        for (size_t e = 0; e < entries; e++)
            p->starts[r->entries[e].column + 1]++;
        for (size_t c = 0; c < columns; c++) {
            p->starts[c + 1] += p->starts[c];
            place[c] = p->starts[c];
            last[c] = -1;
        }
        /* entries come row by row, so a repeat within a row is the column's latest entry */
        for (size_t e = 0; e < entries; e++) {
            const struct entry *from = &r->entries[e];
            if (last[from->column] == from->row) {
                p->values[place[from->column] - 1] += from->value;
                continue;
            }
            last[from->column] = from->row;
            p->rows[place[from->column]] = from->row;
            p->values[place[from->column]++] = from->value;
        }
        int to = 0;
        for (size_t c = 0; c < columns; c++) {
            int from = p->starts[c], end = place[c];
            p->starts[c] = to;
            for (; from < end; from++, to++) {
                p->rows[to] = p->rows[from];
                p->values[to] = p->values[from];
            }
        }
        p->starts[columns] = to;
        p->entry_count = to;
    }
    free(last);
    free(place);
}

static void sections(struct reader *r)
{
    next(r);
    enum section now = section_at(r);
    if (now != SECTION_MINIMIZE && now != SECTION_MAXIMIZE) {
        fail(r, r->token.line, "the text begins with \"%.*s\", not with Minimize or Maximize",
             r->token.start, r->token.len);
        return;
    }
    r->p->maximize = now == SECTION_MAXIMIZE;
    next(r);
    label_skip(r);
    terms(r, -1);
    while (!r->failed) {
        if (r->token.kind == TOKEN_END) {
            fail(r, r->token.line, "the text stops before End%.*s", "", 0);
            return;
        }
        enum section begins = section_at(r);
        if (begins != SECTION_NONE) {
            if (begins == SECTION_END) return;
            if (begins == SECTION_MINIMIZE || begins == SECTION_MAXIMIZE)
                fail(r, r->token.line, "a second objective: %.*s", r->token.start, r->token.len);
            now = begins;
            next(r);
            continue;
        }
        if (now == SECTION_ROWS)
            row(r);
        else if (now == SECTION_BOUNDS)
            bound(r);
        else if (now == SECTION_INTEGERS || now == SECTION_BINARIES)
            whole_number(r, now == SECTION_BINARIES);
        else
            fail(r, r->token.line, "Subject To is missing before \"%.*s\"", r->token.start,
                 r->token.len);
    }
}

bool lp_read(const char *text, struct lp_problem *out, struct lp_fault *out_fault)
{
    *out = (struct lp_problem){0};
    *out_fault = (struct lp_fault){0};
    struct reader r = {.at = text, .line = 1, .p = out, .fault = out_fault};
    sections(&r);
    if (!r.failed && out->column_count == 0) fail(&r, r.line, "%.*sthere is no column", "", 0);
    if (!r.failed) by_column(&r);
    free(r.entries);
    free(r.slots);
    if (r.failed) lp_release(out);
    return !r.failed;
}

void lp_release(struct lp_problem *p)
{
    for (int c = 0; c < p->column_count; c++)
        free(p->names[c]);
    free(p->names);
    free(p->objective);
    free(p->lower);
    free(p->upper);
    free(p->is_integer);
    free(p->row_lower);
    free(p->row_upper);
    free(p->starts);
    free(p->rows);
    free(p->values);
    *p = (struct lp_problem){0};
}
