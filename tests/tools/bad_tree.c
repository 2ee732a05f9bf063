#include "bad_tree.h"

#include <fcntl.h>
#include <ftw.h>
#include <setjmp.h>
#include <spawn.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

enum { PATH_BYTES = 512, ARGUMENTS_MAX = 8 };

extern char **environ;

void bad_tree_init(struct bad_tree *tree)
{
    *tree = (struct bad_tree){.root = "/tmp/plumule-tree-XXXXXX"};
    assert_non_null(mkdtemp(tree->root));
}

static int remove_one(const char *path, const struct stat *about, int kind, struct FTW *walk)
{
    (void)about;
    (void)kind;
    (void)walk;
    return remove(path);
}

void bad_tree_release(struct bad_tree *tree)
{
    assert_int_equal(nftw(tree->root, remove_one, 16, FTW_DEPTH | FTW_PHYS), 0);
}

void bad_tree_write(struct bad_tree *tree, const char *path, const char *text)
{
    char full[PATH_BYTES];
    snprintf(full, sizeof full, "%s/%s", tree->root, path);
    for (char *slash = strchr(full + 1, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        mkdir(full, 0700);
        *slash = '/';
    }
    FILE *file = fopen(full, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, strlen(text), file), strlen(text));
    assert_int_equal(fclose(file), 0);
}

static void read_back(const char *path, char *out, size_t size)
{
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    out[fread(out, 1, size - 1, file)] = '\0';
    fclose(file);
    assert_int_equal(remove(path), 0);
}

void bad_tree_run(struct bad_tree *tree, const char *program, const char *const *arguments)
{
    char paths[ARGUMENTS_MAX][PATH_BYTES];
    char *argv[ARGUMENTS_MAX + 2] = {paths[0]};
    int count = 1;
    snprintf(paths[0], sizeof paths[0], "%s", program);
    for (; *arguments != NULL; arguments++, count++) {
        assert_true(count < ARGUMENTS_MAX);
        bool inside = (*arguments)[0] == '.';
        snprintf(paths[count], sizeof paths[count], "%s%s", inside ? tree->root : "",
                 *arguments + (inside ? 1 : 0));
        argv[count] = paths[count];
    }

    char out_path[PATH_BYTES];
    char err_path[PATH_BYTES];
    snprintf(out_path, sizeof out_path, "%s.out", tree->root);
    snprintf(err_path, sizeof err_path, "%s.err", tree->root);
    posix_spawn_file_actions_t actions;
    pid_t child;
    int status;
    int flags = O_WRONLY | O_CREAT | O_TRUNC;
    assert_int_equal(posix_spawn_file_actions_init(&actions), 0);
    assert_int_equal(posix_spawn_file_actions_addopen(&actions, 1, out_path, flags, 0600), 0);
    assert_int_equal(posix_spawn_file_actions_addopen(&actions, 2, err_path, flags, 0600), 0);
    assert_int_equal(posix_spawn(&child, program, &actions, NULL, argv, environ), 0);
    posix_spawn_file_actions_destroy(&actions);
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    tree->status = WEXITSTATUS(status);
    read_back(out_path, tree->out, sizeof tree->out);
    read_back(err_path, tree->err, sizeof tree->err);
}

void bad_tree_refused(struct bad_tree *tree, const char *program, const char *line)
{
    bad_tree_run(tree, program, (const char *const[]){".", NULL});
    if (strstr(tree->err, line) == NULL) {
        fail_msg("wanted \"%.200s\", got:\n%s", line, tree->err);
    }
    assert_non_null(strstr(tree->out, "not ok "));
    assert_int_equal(tree->status, 1);
}

void bad_tree_accepted(struct bad_tree *tree, const char *program)
{
    bad_tree_run(tree, program, (const char *const[]){".", NULL});
    assert_string_equal(tree->err, "");
    assert_null(strstr(tree->out, "not ok "));
    assert_int_equal(tree->status, 0);
}
