/* A project tree in a temporary folder, made to be complained about, and a run of a check over it.
 */
#ifndef TESTS_TOOLS_BAD_TREE_H
#define TESTS_TOOLS_BAD_TREE_H

#include <stdbool.h>

struct bad_tree {
    char root[64];
    char out[16384]; /* what the last run printed */
    char err[16384];
    int status;
};

void bad_tree_init(struct bad_tree *tree);
void bad_tree_release(struct bad_tree *tree);
/* Makes the folders on the way. */
void bad_tree_write(struct bad_tree *tree, const char *path, const char *text);
/* arguments: NULL-ended; "." stands for the tree's root, "./x" for x in it. */
void bad_tree_run(struct bad_tree *tree, const char *program, const char *const *arguments);
/* Runs program over the root and asserts that it fails with this line on standard error. */
void bad_tree_refused(struct bad_tree *tree, const char *program, const char *line);
void bad_tree_accepted(struct bad_tree *tree, const char *program);

#endif
