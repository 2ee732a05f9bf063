/* layer_check ROOT
 *
 * Reads the includes of src/ and demo/ and says where one room reaches up or sideways. Below is
 * what the rooms may see; a room sees itself and every room of a lower rank. */
#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "source_tree.h"

struct room {
    const char *name;
    int rank;
};

/* Rooms of one rank do not see each other. */
static const struct room rooms[] = {
    {"base", 0},  {"calc", 1},    {"store", 1}, {"ledger", 2}, {"trace", 3}, {"plan", 3},
    {"paper", 3}, {"service", 4}, {"feed", 5},  {"web", 5},    {"demo", 6},  {"command", 7},
};

/* All that a pure computation needs of the system and of the numerical library ... */
static const char *const calc_headers[] = {
    "float.h",
    "inttypes.h",
    "limits.h",
    "math.h",
    "stdbool.h",
    "stddef.h",
    "stdint.h",
    "stdio.h",
    "stdlib.h",
    "string.h",
    "gsl/gsl_cdf.h",
    "gsl/gsl_errno.h",
    "gsl/gsl_sf_gamma.h",
};

/* ... and what those headers also offer that would reach outside: files, clock, memory, the end. */
static const char *const calc_banned[] = {
    "printf", "fprintf", "puts",    "fputs", "putchar", "fopen", "fread",  "fwrite", "scanf",
    "malloc", "calloc",  "realloc", "free",  "exit",    "abort", "getenv", "time",   "remove",
};

static const struct room *room_find(const char *name, size_t len)
{
    for (size_t i = 0; i < sizeof rooms / sizeof rooms[0]; i++) {
        if (strlen(rooms[i].name) == len && strncmp(rooms[i].name, name, len) == 0) {
            return &rooms[i];
        }
    }
    return NULL;
}

static bool is_checked(const struct source *file)
{
    return file->code != NULL &&
           (starts_with(file->path, "src/") || starts_with(file->path, "demo/"));
}

/* The room a file stands in, NULL when it stands in none. */
static const struct room *room_of(const char *path)
{
    if (starts_with(path, "src/")) {
        path += 4;
    }
    const char *slash = strchr(path, '/');
    return slash == NULL ? NULL : room_find(path, (size_t)(slash - path));
}

static bool calc_may_include(const char *header)
{
    for (size_t i = 0; i < sizeof calc_headers / sizeof calc_headers[0]; i++) {
        if (strcmp(calc_headers[i], header) == 0) {
            return true;
        }
    }
    return false;
}

struct include {
    char name[256];
    char open; /* '"' or '<', 0 when the line is no include */
};

static struct include include_on_line(const char *line)
{
    struct include out = {.open = 0};
    line += strspn(line, " \t");
    if (*line++ != '#') {
        return out;
    }
    line += strspn(line, " \t");
    if (!starts_with(line, "include")) {
        return out;
    }
    line += strlen("include");
    line += strspn(line, " \t");
    if (*line != '"' && *line != '<') {
        return out;
    }
    size_t len = strcspn(line + 1, "\">\n");
    if (len < sizeof out.name) {
        out.open = *line;
        memcpy(out.name, line + 1, len);
    }
    return out;
}

static void check_arrow(struct report *report, const struct source *file, int line,
                        const struct room *from, const char *name)
{
    const char *slash = strchr(name, '/');
    const struct room *to = slash == NULL ? NULL : room_find(name, (size_t)(slash - name));
    if (to == NULL) {
        report_breach(report, file->path, line,
                      "\"%s\" begins with no known room. Write includes as \"room/file.h\".", name);
    } else if (to != from && to->rank == from->rank) {
        report_breach(report, file->path, line,
                      "%s and %s stand side by side and may not include each other (\"%s\").",
                      from->name, to->name, name);
    } else if (to->rank > from->rank) {
        report_breach(report, file->path, line, "%s may not include upward from %s (\"%s\").",
                      from->name, to->name, name);
    }
}

enum rule { RULE_ARROWS, RULE_CALC, RULE_SQLITE };

static void check_include(struct report *report, enum rule rule, const struct source *file,
                          int line, struct include include)
{
    const struct room *from = room_of(file->path);
    if (rule == RULE_ARROWS && include.open == '"' && from != NULL) {
        check_arrow(report, file, line, from, include.name);
    }
    if (rule == RULE_CALC && include.open == '<' && !calc_may_include(include.name)) {
        report_breach(report, file->path, line,
                      "calc is pure and may not include <%s>. Hand it what it needs as a value.",
                      include.name);
    }
    if (rule == RULE_SQLITE && strcmp(include.name, "sqlite3.h") == 0 &&
        !starts_with(file->path, "src/store/")) {
        report_breach(report, file->path, line, "Only the store may include <sqlite3.h>.");
    }
}

static void check_includes(struct report *report, enum rule rule, const struct source *file)
{
    int line = 1;
    for (const char *at = file->uncommented; at != NULL; line++) {
        struct include include = include_on_line(at);
        if (include.open != 0) {
            check_include(report, rule, file, line, include);
        }
        at = strchr(at, '\n');
        at = at == NULL ? NULL : at + 1;
    }
}

static void check_rooms(struct report *report, const struct source *file)
{
    if (room_of(file->path) == NULL) {
        report_breach(report, file->path, 1, "This file stands in no known room.");
    }
    check_includes(report, RULE_ARROWS, file);
}

/* Joins the literal that begins at *at with those that follow it; *at moves behind them. */
static void literal_read(const char *view, size_t *at, char *out, size_t size)
{
    size_t len = 0;
    size_t i = *at;
    while (view[i] == '"') {
        for (i++; view[i] != '"' && view[i] != '\n' && view[i] != '\0'; i++) {
            bool escape = view[i] == '\\' && view[i + 1] != '\0' && view[i + 1] != '\n';
            char c = escape ? ' ' : view[i];
            i += escape;
            if (len + 1 < size) {
                out[len++] = c;
            }
        }
        i += view[i] == '"';
        size_t next = i + strspn(view + i, " \t\r\n\\");
        *at = i;
        if (view[next] != '"') {
            break;
        }
        i = next;
    }
    out[len] = '\0';
}

/* How an SQL statement begins, and the word that must come later in it. Sentences begin with one
 * capital, so only an all-lower or all-upper first word counts. */
static bool is_sql(const char *text)
{
    static const char *const forms[][2] = {
        {"select ", " from "},    {"insert ", "into "},    {"update ", " set "},
        {"delete ", "from "},     {"replace ", "into "},   {"create ", " table "},
        {"create ", " index "},   {"create ", " view "},   {"create ", " trigger "},
        {"drop ", " table "},     {"alter ", " table "},   {"with ", " as ("},
        {"pragma ", " "},         {"begin ", "immediate"}, {"vacuum ", "into "},
        {"attach ", "database "},
    };
    char low[512];
    size_t n = 0;
    text += strspn(text, " ");
    bool sentence = isupper((unsigned char)text[0]) != 0 && islower((unsigned char)text[1]) != 0;
    for (; text[n] != '\0' && n + 1 < sizeof low; n++) {
        low[n] = (char)tolower((unsigned char)text[n]);
    }
    low[n] = '\0';
    for (size_t i = 0; i < sizeof forms / sizeof forms[0] && !sentence; i++) {
        size_t begin = strlen(forms[i][0]);
        if (starts_with(low, forms[i][0]) && strstr(low + begin - 1, forms[i][1]) != NULL) {
            return true;
        }
    }
    return false;
}

static void check_sql(struct report *report, const struct source *file)
{
    if (starts_with(file->path, "src/store/")) {
        return;
    }
    check_includes(report, RULE_SQLITE, file);
    char literal[512];
    for (size_t i = 0; i < file->len;) {
        if (file->code[i] == '\'') {
            const char *close = strchr(file->code + i + 1, '\'');
            i = close == NULL ? file->len : (size_t)(close - file->code) + 1;
        } else if (file->code[i] == '"') {
            size_t start = i;
            literal_read(file->uncommented, &i, literal, sizeof literal);
            if (is_sql(literal)) {
                report_breach(report, file->path, source_line(file, start),
                              "SQL belongs in src/store/query. Name the query and call it.");
            }
        } else {
            i++;
        }
    }
}

static void check_whole_numbers(struct report *report, const struct source *file)
{
    static const char *const words[] = {"double", "float"};
    if (!starts_with(file->path, "src/ledger/") && !starts_with(file->path, "src/store/")) {
        return;
    }
    for (size_t w = 0; w < sizeof words / sizeof words[0]; w++) {
        for (size_t at = word_next(file->code, words[w], 0); at != (size_t)-1;
             at = word_next(file->code, words[w], at + 1)) {
            report_breach(report, file->path, source_line(file, at),
                          "The record holds whole numbers only; %s belongs in calc or plan.",
                          words[w]);
        }
    }
}

static void check_calc(struct report *report, const struct source *file)
{
    if (!starts_with(file->path, "src/calc/")) {
        return;
    }
    check_includes(report, RULE_CALC, file);
    for (size_t b = 0; b < sizeof calc_banned / sizeof calc_banned[0]; b++) {
        size_t at = word_next(file->code, calc_banned[b], 0);
        for (; at != (size_t)-1; at = word_next(file->code, calc_banned[b], at + 1)) {
            const char *after = file->code + at + strlen(calc_banned[b]);
            if (after[strspn(after, " \n")] == '(') {
                report_breach(report, file->path, source_line(file, at),
                              "calc is pure and may not call %s.", calc_banned[b]);
            }
        }
    }
}

int main(int argc, char **argv)
{
    static const struct {
        const char *rule;
        void (*check)(struct report *report, const struct source *file);
    } checks[] = {
        {"no room includes upward or sideways", check_rooms},
        {"calc sees base and itself only and touches nothing outside", check_calc},
        {"only the store speaks SQL", check_sql},
        {"the ledger and the store hold whole numbers only", check_whole_numbers},
    };
    if (argc != 2) {
        fprintf(stderr, "layer_check: give the project's folder.\n");
        return 2;
    }
    struct source_tree tree;
    struct report report = {0};
    source_tree_read(&tree, argv[1]);
    for (size_t c = 0; c < sizeof checks / sizeof checks[0]; c++) {
        for (size_t i = 0; i < tree.count; i++) {
            if (is_checked(&tree.files[i])) {
                checks[c].check(&report, &tree.files[i]);
            }
        }
        report_rule_end(&report, checks[c].rule);
    }
    source_tree_release(&tree);
    return report_end(&report);
}
