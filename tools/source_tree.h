/* The project's own text files in memory, for the checks in this folder.
 *
 * A tree is read once. C files also get two views of the same length as their text, so that an
 * offset means the same place in all three: uncommented (comments are blanks) and code (comments
 * and what stands inside quotes are blanks). Line ends stay in all of them. */
#ifndef TOOLS_SOURCE_TREE_H
#define TOOLS_SOURCE_TREE_H

#include <stdbool.h>
#include <stddef.h>

struct source {
    char *path; /* from the root, "src/base/arena.c" */
    char *text;
    size_t len;
    char *uncommented; /* NULL unless the file is C */
    char *code;        /* NULL unless the file is C */
};

struct source_tree {
    struct source *files; /* sorted by path */
    size_t count;
    size_t room;
};

/* Reads every text file below root, except hidden ones, build folders and fuzz corpora. Ends the
 * program with a sentence when root cannot be read: a check that saw nothing must not pass. */
void source_tree_read(struct source_tree *tree, const char *root);
void source_tree_release(struct source_tree *tree);
/* NULL when there is no such file. */
const struct source *source_tree_find(const struct source_tree *tree, const char *path);

/* 1-based line of an offset. */
int source_line(const struct source *file, size_t offset);
bool source_is_c(const char *path);
bool starts_with(const char *text, const char *start);
bool ends_with(const char *text, const char *end);
/* Offset of the next whole-word `word` in view at or after `from`; (size_t)-1 when there is none.
 */
size_t word_next(const char *view, const char *word, size_t from);

/* One rule is one numbered TAP line on standard output; each breach of it is a line
 * "file:line: sentence" on standard error. */
struct report {
    int rules;
    int breaches_in_rule;
    int rules_broken;
};

void report_breach(struct report *report, const char *path, int line, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void report_rule_end(struct report *report, const char *rule);
/* Prints the plan; the exit status: 0 or 1. */
int report_end(const struct report *report);

#endif
