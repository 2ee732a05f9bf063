#include "source_tree.h"

#include <ctype.h>
#include <dirent.h>
#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { PATH_BYTES = 4096 };

static _Noreturn void give_up(const char *what, const char *path)
{
    fprintf(stderr, "%s: %s: %s\n", path, what, strerror(errno));
    exit(2);
}

static void *grown(void *old, size_t bytes)
{
    void *out = realloc(old, bytes);
    if (out == NULL) {
        give_up("there is not enough memory", "this check");
    }
    return out;
}

bool starts_with(const char *text, const char *start)
{
    return strncmp(text, start, strlen(start)) == 0;
}

bool ends_with(const char *text, const char *end)
{
    size_t text_len = strlen(text);
    size_t end_len = strlen(end);
    return text_len >= end_len && strcmp(text + text_len - end_len, end) == 0;
}

bool source_is_c(const char *path)
{
    return ends_with(path, ".c") || ends_with(path, ".h");
}

static bool is_text(const char *path)
{
    static const char *const kinds[] = {".c",  ".h",    ".def",  ".sql", ".build",
                                        ".md", ".json", ".case", ".txt", ".sh"};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (ends_with(path, kinds[i])) {
            return true;
        }
    }
    return strcmp(path, "dev") == 0;
}

static void blank(char *view, size_t at)
{
    if (view[at] != '\n') {
        view[at] = ' ';
    }
}

/* Offset just after the comment that begins at `at`. */
static size_t comment_end(const char *text, size_t len, size_t at)
{
    const char *stop = text[at + 1] == '/' ? "\n" : "*/";
    const char *found = strstr(text + at + 2, stop);
    if (found == NULL) {
        return len;
    }
    return (size_t)(found - text) + (stop[0] == '*' ? 2 : 0);
}

/* Offset of the closing quote, or of the line end where it is missing. */
static size_t quote_end(const char *text, size_t len, size_t at)
{
    char quote = text[at];
    size_t i = at + 1;
    while (i < len && text[i] != quote && text[i] != '\n') {
        i += text[i] == '\\' && i + 1 < len ? 2 : 1;
    }
    return i < len ? i : len;
}

static void make_views(struct source *file)
{
    file->uncommented = grown(NULL, file->len + 1);
    file->code = grown(NULL, file->len + 1);
    memcpy(file->uncommented, file->text, file->len + 1);
    memcpy(file->code, file->text, file->len + 1);
    for (size_t i = 0; i < file->len;) {
        char c = file->text[i];
        if (c == '/' && (file->text[i + 1] == '*' || file->text[i + 1] == '/')) {
            size_t end = comment_end(file->text, file->len, i);
            for (; i < end; i++) {
                blank(file->uncommented, i);
                blank(file->code, i);
            }
        } else if (c == '"' || c == '\'') {
            size_t end = quote_end(file->text, file->len, i);
            for (i++; i < end; i++) {
                blank(file->code, i);
            }
            i++;
        } else {
            i++;
        }
    }
}

static void add_file(struct source_tree *tree, const char *full, const char *path)
{
    FILE *in = fopen(full, "rb");
    if (in == NULL) {
        give_up("cannot open", full);
    }
    struct source file = {.path = strdup(path)};
    size_t room = 0;
    size_t got;
    do {
        if (room - file.len < 4096) {
            room = room * 2 + 8192;
            file.text = grown(file.text, room + 1);
        }
        got = fread(file.text + file.len, 1, room - file.len, in);
        file.len += got;
    } while (got > 0);
    if (ferror(in) || file.path == NULL) {
        give_up("cannot read", full);
    }
    fclose(in);
    file.text[file.len] = '\0';
    if (source_is_c(path)) {
        make_views(&file);
    }
    if (tree->count == tree->room) {
        tree->room = tree->room * 2 + 64;
        tree->files = grown(tree->files, tree->room * sizeof *tree->files);
    }
    tree->files[tree->count++] = file;
}

static bool is_skipped(const char *name, const char *path)
{
    return name[0] == '.' || strcmp(name, "node_modules") == 0 || starts_with(path, "build") ||
           strcmp(path, "plant") == 0 || strcmp(path, "demo-plant") == 0 ||
           strcmp(path, "tests/fuzz/corpus") == 0;
}

static void add_folder(struct source_tree *tree, const char *root, const char *folder)
{
    char full[PATH_BYTES];
    char path[PATH_BYTES];
    snprintf(full, sizeof full, "%s/%s", root, folder);
    DIR *dir = opendir(full);
    if (dir == NULL) {
        give_up("cannot open the folder", full);
    }
    for (const struct dirent *entry; (entry = readdir(dir)) != NULL;) {
        int len = snprintf(path, sizeof path, "%s%s%s", folder, folder[0] != '\0' ? "/" : "",
                           entry->d_name);
        int full_len = snprintf(full, sizeof full, "%s/%s", root, path);
        if (len >= (int)sizeof path || full_len >= (int)sizeof full) {
            errno = ENAMETOOLONG;
            give_up("cannot read", path);
        }
        struct stat about;
        if (is_skipped(entry->d_name, path) || lstat(full, &about) != 0) {
            continue;
        }
        if (S_ISDIR(about.st_mode)) {
            add_folder(tree, root, path);
        } else if (S_ISREG(about.st_mode) && is_text(path)) {
            add_file(tree, full, path);
        }
    }
    closedir(dir);
}

static int by_path(const void *x, const void *y)
{
    return strcmp(((const struct source *)x)->path, ((const struct source *)y)->path);
}

void source_tree_read(struct source_tree *tree, const char *root)
{
    *tree = (struct source_tree){0};
    add_folder(tree, root, "");
    if (tree->count == 0) {
        errno = ENOENT;
        give_up("no source file found in it", root);
    }
    qsort(tree->files, tree->count, sizeof *tree->files, by_path);
}

void source_tree_release(struct source_tree *tree)
{
    for (size_t i = 0; i < tree->count; i++) {
        free(tree->files[i].path);
        free(tree->files[i].text);
        free(tree->files[i].uncommented);
        free(tree->files[i].code);
    }
    free(tree->files);
    *tree = (struct source_tree){0};
}

const struct source *source_tree_find(const struct source_tree *tree, const char *path)
{
    for (size_t i = 0; i < tree->count; i++) {
        if (strcmp(tree->files[i].path, path) == 0) {
            return &tree->files[i];
        }
    }
    return NULL;
}

int source_line(const struct source *file, size_t offset)
{
    int line = 1;
    for (size_t i = 0; i < offset && i < file->len; i++) {
        line += file->text[i] == '\n';
    }
    return line;
}

static bool is_word_char(char c)
{
    return isalnum((unsigned char)c) != 0 || c == '_';
}

size_t word_next(const char *view, const char *word, size_t from)
{
    size_t len = strlen(word);
    for (const char *at = strstr(view + from, word); at != NULL; at = strstr(at + 1, word)) {
        bool begins = at == view || !is_word_char(at[-1]);
        if (begins && !is_word_char(at[len])) {
            return (size_t)(at - view);
        }
    }
    return (size_t)-1;
}

void report_breach(struct report *report, const char *path, int line, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fprintf(stderr, "%s:%d: ", path, line);
    vfprintf(stderr, format, args);
    fputc('\n', stderr);
    va_end(args);
    report->breaches_in_rule++;
}

void report_rule_end(struct report *report, const char *rule)
{
    report->rules++;
    printf("%s %d - %s\n", report->breaches_in_rule == 0 ? "ok" : "not ok", report->rules, rule);
    report->rules_broken += report->breaches_in_rule != 0;
    report->breaches_in_rule = 0;
}

int report_end(const struct report *report)
{
    printf("1..%d\n", report->rules);
    return report->rules_broken == 0 ? 0 : 1;
}
