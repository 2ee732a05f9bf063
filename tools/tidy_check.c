/* tidy_check ROOT
 *
 * Habits of this project that a compiler does not see. tools/tidy_allow.txt names the exceptions,
 * one a line: rule, path, reason. A line there that excuses nothing is a breach too, so the list
 * can only shrink. */
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "source_tree.h"

enum { COLUMNS_MAX = 100, FUNCTION_LINES_MAX = 70, FILE_LINES_MAX = 600, ALLOWED_MAX = 200 };

static const char allow_path[] = "tools/tidy_allow.txt";

struct allowed {
    char rule[32];
    char path[200];
    int line;
    bool used;
};

struct tidy {
    struct report report;
    struct source_tree tree;
    struct allowed allowed[ALLOWED_MAX];
    size_t allowed_count;
};

static bool is_allowed(struct tidy *tidy, const char *rule, const char *path)
{
    for (size_t i = 0; i < tidy->allowed_count; i++) {
        struct allowed *a = &tidy->allowed[i];
        if (strcmp(a->rule, rule) == 0 && strcmp(a->path, path) == 0) {
            a->used = true;
            return true;
        }
    }
    return false;
}

static const char *line_next(const char *line)
{
    const char *end = strchr(line, '\n');
    return end == NULL || end[1] == '\0' ? NULL : end + 1;
}

/* Also the first half of the rule on the list itself: each line has its three parts. */
static void allow_read(struct tidy *tidy)
{
    const struct source *file = source_tree_find(&tidy->tree, allow_path);
    int number = 1;
    for (const char *line = file == NULL ? NULL : file->text; line != NULL;
         line = line_next(line), number++) {
        struct allowed a = {.line = number};
        char reason[2];
        char copy[1024];
        snprintf(copy, sizeof copy, "%.*s", (int)strcspn(line, "\n"), line);
        if (copy[0] == '#' || copy[0] == '\0') {
            continue;
        }
        if (sscanf(copy, "%31s %199s %1s", a.rule, a.path, reason) != 3) {
            report_breach(&tidy->report, allow_path, number,
                          "Write the rule, the path and the reason on one line.");
        } else if (tidy->allowed_count == ALLOWED_MAX) {
            report_breach(&tidy->report, allow_path, number, "More than %d exceptions.",
                          ALLOWED_MAX);
        } else {
            tidy->allowed[tidy->allowed_count++] = a;
        }
    }
}

static void check_allow_list(struct tidy *tidy, const struct source *file)
{
    if (strcmp(file->path, allow_path) != 0) {
        return;
    }
    for (size_t i = 0; i < tidy->allowed_count; i++) {
        if (!tidy->allowed[i].used) {
            report_breach(&tidy->report, allow_path, tidy->allowed[i].line,
                          "This exception excuses nothing any more. Take the line out.");
        }
    }
}

/* Characters, not bytes: every byte that does not continue a UTF-8 sequence. */
static int columns(const char *line)
{
    int n = 0;
    for (; *line != '\n' && *line != '\0'; line++) {
        n += ((unsigned char)*line & 0xC0) != 0x80;
    }
    return n;
}

static void check_columns(struct tidy *tidy, const struct source *file)
{
    int number = 1;
    for (const char *line = file->code == NULL ? NULL : file->text; line != NULL;
         line = line_next(line), number++) {
        if (columns(line) > COLUMNS_MAX) {
            report_breach(&tidy->report, file->path, number,
                          "This line has %d columns; %d are the most.", columns(line), COLUMNS_MAX);
        }
    }
}

static void check_blanks(struct tidy *tidy, const struct source *file)
{
    int number = 1;
    for (const char *line = file->text; line != NULL; line = line_next(line), number++) {
        size_t len = strcspn(line, "\n");
        if (memchr(line, '\t', len) != NULL) {
            report_breach(&tidy->report, file->path, number, "A tab; use blanks.");
        }
        if (len > 0 && (line[len - 1] == ' ' || line[len - 1] == '\r')) {
            report_breach(&tidy->report, file->path, number, "A blank at the end of the line.");
        }
    }
    if (file->len > 0 && file->text[file->len - 1] != '\n') {
        report_breach(&tidy->report, file->path, number - 1, "The last line has no end.");
    }
}

/* A function's body stands between a brace alone at the left edge and the next such closing one;
 * clang-format keeps it so, and nothing else is written that way. */
static void check_functions(struct tidy *tidy, const struct source *file)
{
    int number = 1;
    int begin = 0;
    for (const char *line = file->code; line != NULL; line = line_next(line), number++) {
        if (starts_with(line, "{\n")) {
            begin = number;
        }
        if (begin != 0 && starts_with(line, "}\n")) {
            int lines = number - begin + 1;
            if (lines > FUNCTION_LINES_MAX) {
                report_breach(&tidy->report, file->path, begin,
                              "This function has %d lines; %d are the most.", lines,
                              FUNCTION_LINES_MAX);
            }
            begin = 0;
        }
    }
}

static void check_file_length(struct tidy *tidy, const struct source *file)
{
    int lines = source_line(file, file->len) - 1;
    if (file->code != NULL && lines > FILE_LINES_MAX) {
        report_breach(&tidy->report, file->path, lines, "This file has %d lines; %d are the most.",
                      lines, FILE_LINES_MAX);
    }
}

static void check_banned(struct tidy *tidy, const struct source *file)
{
    static const char *const banned[][2] = {
        {"strcpy", "it cannot know the room; copy with a length"},
        {"strcat", "it cannot know the room; use snprintf or the arena"},
        {"sprintf", "it cannot know the room; use snprintf or the arena"},
        {"vsprintf", "it cannot know the room; use vsnprintf or the arena"},
        {"gets", "it cannot know the room; use fgets"},
        {"atoi", "it hides bad input; read with the typed readers of base"},
        {"atol", "it hides bad input; read with the typed readers of base"},
        {"atof", "it hides bad input; read with the typed readers of base"},
        {"strtok", "it keeps state between calls; use strcspn"},
        {"system", "it hands text to a shell; start the program with its arguments"},
        {"popen", "it hands text to a shell; start the program with its arguments"},
        {"rand", "it does not repeat; use base/random.h or the world"},
        {"srand", "it does not repeat; use base/random.h or the world"},
    };
    for (size_t b = 0; b < sizeof banned / sizeof banned[0] && file->code != NULL; b++) {
        size_t at = word_next(file->code, banned[b][0], 0);
        for (; at != (size_t)-1; at = word_next(file->code, banned[b][0], at + 1)) {
            const char *after = file->code + at + strlen(banned[b][0]);
            if (after[strspn(after, " \n")] == '(') {
                report_breach(&tidy->report, file->path, source_line(file, at),
                              "%s is not called here: %s.", banned[b][0], banned[b][1]);
            }
        }
    }
}

static void check_unfinished(struct tidy *tidy, const struct source *file)
{
    /* Joined from halves, or this table would be the first breach. */
    static const char *const halves[][2] = {
        {"TO", "DO"}, {"FIX", "ME"}, {"XX", "X"}, {"HA", "CK"}, {"T", "BD"}, {"WI", "P"},
    };
    for (size_t h = 0; h < sizeof halves / sizeof halves[0]; h++) {
        char mark[16];
        snprintf(mark, sizeof mark, "%s%s", halves[h][0], halves[h][1]);
        size_t at = word_next(file->text, mark, 0);
        for (; at != (size_t)-1; at = word_next(file->text, mark, at + 1)) {
            report_breach(&tidy->report, file->path, source_line(file, at),
                          "Unfinished work (%s). Finish it or take it out.", mark);
        }
    }
}

/* src/room/x.c -> tests/room/x_test.c, src/room/part/x.c -> that folder or tests/room/part/. */
static void check_has_test(struct tidy *tidy, const struct source *file)
{
    if (!starts_with(file->path, "src/") || !ends_with(file->path, ".c")) {
        return;
    }
    const char *inner = file->path + strlen("src/");
    int room = (int)strcspn(inner, "/");
    int stem = (int)(strlen(inner) - strlen(".c"));
    const char *name = strrchr(inner, '/') == NULL ? inner : strrchr(inner, '/') + 1;
    char mirrored[512];
    char flat[512];
    snprintf(mirrored, sizeof mirrored, "tests/%.*s_test.c", stem, inner);
    snprintf(flat, sizeof flat, "tests/%.*s/%.*s_test.c", room, inner, stem - (int)(name - inner),
             name);
    bool found = source_tree_find(&tidy->tree, mirrored) != NULL ||
                 source_tree_find(&tidy->tree, flat) != NULL;
    if (!found && !is_allowed(tidy, "no-test", file->path)) {
        report_breach(&tidy->report, file->path, 1,
                      "There is no %s. Write it, or say why not in %s.", mirrored, allow_path);
    }
}

/* A test that no meson.build names is never run: 'x_test.c', 'x_test' or 'x' in its own folder's.
 */
static void check_test_listed(struct tidy *tidy, const struct source *file)
{
    if (!starts_with(file->path, "tests/") || !ends_with(file->path, "_test.c")) {
        return;
    }
    const char *name = strrchr(file->path, '/') + 1;
    char list[512];
    snprintf(list, sizeof list, "%.*smeson.build", (int)(name - file->path), file->path);
    const struct source *build = source_tree_find(&tidy->tree, list);
    static const char *const ends[] = {"_test.c", ".c", ""};
    for (size_t i = 0; i < sizeof ends / sizeof ends[0] && build != NULL; i++) {
        char quoted[256];
        int len = (int)(strlen(name) - strlen(ends[i]));
        snprintf(quoted, sizeof quoted, "'%.*s'", len, name);
        if (strstr(build->text, quoted) != NULL) {
            return;
        }
    }
    report_breach(&tidy->report, file->path, 1, "%s does not list this test, so it never runs.",
                  list);
}

static bool code_is_used(const struct tidy *tidy, const char *name)
{
    char whole[160];
    snprintf(whole, sizeof whole, "CODE_%s", name);
    for (size_t i = 0; i < tidy->tree.count; i++) {
        const struct source *file = &tidy->tree.files[i];
        if (file->code == NULL ||
            (!starts_with(file->path, "src/") && !starts_with(file->path, "demo/"))) {
            continue;
        }
        if (word_next(file->code, whole, 0) != (size_t)-1) {
            return true;
        }
        /* The first argument of FAIL0 ... FAIL3 or of a room's own macro. */
        for (size_t at = word_next(file->code, name, 0); at != (size_t)-1;
             at = word_next(file->code, name, at + 1)) {
            size_t before = at;
            while (before > 0 && isspace((unsigned char)file->code[before - 1])) {
                before--;
            }
            if (before > 0 && file->code[before - 1] == '(') {
                return true;
            }
        }
    }
    return false;
}

static void check_codes(struct tidy *tidy, const struct source *file)
{
    if (strcmp(file->path, "src/base/codes.def") != 0) {
        return;
    }
    int number = 1;
    for (const char *line = file->text; line != NULL; line = line_next(line), number++) {
        char name[128];
        if (sscanf(line, "CODE(%127[A-Z0-9_],", name) == 1 && !code_is_used(tidy, name)) {
            report_breach(&tidy->report, file->path, number,
                          "Nothing in src/ or demo/ gives %s. Use it or take it out.", name);
        }
    }
}

/* A line whose first word is source, with something after it. */
static bool names_source(const char *line)
{
    line += strspn(line, " \"#");
    if (strncasecmp(line, "source", strlen("source")) != 0) {
        return false;
    }
    line += strlen("source");
    size_t between = strspn(line, " :=\",");
    return between > 0 && line[between] != '\0' && line[between] != '\n';
}

static void check_published(struct tidy *tidy, const struct source *file)
{
    if (!starts_with(file->path, "tests/published/") || !ends_with(file->path, ".case")) {
        return;
    }
    for (const char *line = file->text; line != NULL; line = line_next(line)) {
        if (names_source(line)) {
            return;
        }
    }
    report_breach(&tidy->report, file->path, 1,
                  "No line begins with \"source\". Name author, year, title and table.");
}

int main(int argc, char **argv)
{
    static const struct {
        const char *rule;
        void (*check)(struct tidy *tidy, const struct source *file);
    } checks[] = {
        {"lines have at most 100 columns", check_columns},
        {"no tabs, no blanks at line ends", check_blanks},
        {"functions have at most 70 lines", check_functions},
        {"files have at most 600 lines", check_file_length},
        {"no banned call", check_banned},
        {"nothing is marked as unfinished", check_unfinished},
        {"every source file has its test", check_has_test},
        {"every test is listed for the build", check_test_listed},
        {"every error code is given somewhere", check_codes},
        {"every published case names its source", check_published},
        {"every exception is needed and has a reason", check_allow_list},
    };
    if (argc != 2) {
        fprintf(stderr, "tidy_check: give the project's folder.\n");
        return 2;
    }
    static struct tidy tidy;
    source_tree_read(&tidy.tree, argv[1]);
    allow_read(&tidy);
    report_rule_end(&tidy.report, "the list of exceptions can be read");
    for (size_t c = 0; c < sizeof checks / sizeof checks[0]; c++) {
        for (size_t i = 0; i < tidy.tree.count; i++) {
            checks[c].check(&tidy, &tidy.tree.files[i]);
        }
        report_rule_end(&tidy.report, checks[c].rule);
    }
    source_tree_release(&tidy.tree);
    return report_end(&tidy.report);
}
