/* count_tests [--failed NAME]... BUILD_FOLDER...
 *
 * Reads what Meson kept of a test run (meson-logs/testlog.json: one object a program, its TAP lines
 * under "stdout") and what it was to run (meson-info/intro-tests.json). Counts every numbered TAP
 * line, prints what failed with the program's own output, and ends with "N passed, N failed".
 *
 * Failed is also: a skip; a test the plan promised and that never came; a program without a plan; a
 * program that ended badly after passing all its tests (a leak, a crash in clean-up); a program
 * that was to run and did not. --failed counts one more by name, for what never came to a test. */
#include <ctype.h>
#include <jansson.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { OUTPUT_LINES_MAX = 400 };

struct count {
    long passed;
    long failed;
};

/* What one program's lines said. */
struct run {
    long seen;
    long planned; /* -1: no plan */
    long failed;
};

static bool begins(const char *line, const char *start)
{
    return strncmp(line, start, strlen(start)) == 0;
}

static void tell_failure(const char *program, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void tell_failure(const char *program, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    printf("FAILED  %s: ", program);
    vprintf(format, args);
    putchar('\n');
    va_end(args);
}

/* "ok 3 - a name # SKIP why": a directive after # means that the test did not do its work. */
static bool has_directive(const char *line, size_t len)
{
    for (size_t i = 0; i + 5 <= len; i++) {
        if (line[i] != '#') {
            continue;
        }
        size_t word = i + 1;
        while (word < len && line[word] == ' ') {
            word++;
        }
        bool skip = len - word >= 4 && strncasecmp(line + word, "skip", 4) == 0;
        bool todo = len - word >= 4 && strncasecmp(line + word, "todo", 4) == 0;
        if (skip || todo) {
            return true;
        }
    }
    return false;
}

static bool is_result_line(const char *line)
{
    if (begins(line, "not ")) {
        line += 4;
    }
    return begins(line, "ok") && (isalnum((unsigned char)line[2]) == 0);
}

static void read_line(struct run *run, const char *program, const char *line, size_t len)
{
    if (begins(line, "1..")) {
        long more = strtol(line + 3, NULL, 10);
        run->planned = run->planned < 0 ? more : run->planned + more;
        return;
    }
    if (!is_result_line(line)) {
        return;
    }
    run->seen++;
    bool skipped = has_directive(line, len);
    if (begins(line, "not ") || skipped) {
        run->failed++;
        tell_failure(program, "%.*s%s", (int)len, line, skipped ? " (a skip is a failure)" : "");
    }
}

static void print_output(const char *kind, const char *text)
{
    int lines = 0;
    for (const char *line = text; *line != '\0' && lines < OUTPUT_LINES_MAX; lines++) {
        size_t len = strcspn(line, "\n");
        if (!is_result_line(line) || begins(line, "not ")) {
            printf("    %s| %.*s\n", kind, (int)len, line);
        }
        line += len + (line[len] == '\n');
        if (lines + 1 == OUTPUT_LINES_MAX && *line != '\0') {
            printf("    %s| ... the rest stands in meson-logs/testlog.txt\n", kind);
        }
    }
}

static const char *text_of(const json_t *object, const char *key)
{
    const char *text = json_string_value(json_object_get(object, key));
    return text == NULL ? "" : text;
}

static void count_program(struct count *count, const json_t *log)
{
    struct run run = {.planned = -1};
    const char *program = text_of(log, "name");
    const char *out = text_of(log, "stdout");
    for (const char *line = out; *line != '\0';) {
        size_t len = strcspn(line, "\n");
        read_line(&run, program, line, len);
        line += len + (line[len] == '\n');
    }
    long passed = run.seen - run.failed;
    if (run.planned < 0) {
        run.failed++;
        tell_failure(program, "it printed no plan");
    } else if (run.planned > run.seen) {
        run.failed += run.planned - run.seen;
        tell_failure(program, "%ld of its %ld tests never came", run.planned - run.seen,
                     run.planned);
    } else if (run.planned < run.seen || run.planned == 0) {
        run.failed++;
        tell_failure(program, "it planned %ld tests and ran %ld", run.planned, run.seen);
    }
    if (run.failed == 0 && strcmp(text_of(log, "result"), "OK") != 0) {
        run.failed++;
        tell_failure(program, "all its tests passed but it ended badly (%s, status %lld)",
                     text_of(log, "result"),
                     (long long)json_integer_value(json_object_get(log, "returncode")));
    }
    if (run.failed > 0) {
        print_output("out", out);
        print_output("err", text_of(log, "stderr"));
    }
    count->passed += passed;
    count->failed += run.failed;
}

/* Programs in the log, read line by line. */
static long count_log(struct count *count, const char *path)
{
    long programs = 0;
    char *line = NULL;
    size_t room = 0;
    FILE *in = fopen(path, "r");
    while (in != NULL && getline(&line, &room, in) > 0) {
        json_t *log = json_loads(line, 0, NULL);
        if (log == NULL) {
            count->failed++;
            tell_failure(path, "a line of it is not whole");
        } else {
            count_program(count, log);
            programs++;
        }
        json_decref(log);
    }
    free(line);
    if (in != NULL) {
        fclose(in);
    }
    return programs;
}

static void count_folder(struct count *count, const char *folder)
{
    char path[4096];
    snprintf(path, sizeof path, "%s/meson-info/intro-tests.json", folder);
    json_t *list = json_load_file(path, 0, NULL);
    long expected = (long)json_array_size(list);
    json_decref(list);
    snprintf(path, sizeof path, "%s/meson-logs/testlog.json", folder);
    long programs = count_log(count, path);
    if (expected == 0) {
        count->failed++;
        tell_failure(folder, "no test program is listed in it");
    }
    if (programs < expected) {
        count->failed += expected - programs;
        tell_failure(folder, "%ld of its %ld test programs did not run", expected - programs,
                     expected);
    }
}

int main(int argc, char **argv)
{
    struct count count = {0};
    if (argc < 2) {
        fprintf(stderr, "count_tests: give the build folders whose test logs to count.\n");
        return 2;
    }
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--failed") == 0 && i + 1 < argc) {
            tell_failure(argv[++i], "see above");
            count.failed++;
        } else {
            count_folder(&count, argv[i]);
        }
    }
    printf("%ld passed, %ld failed\n", count.passed, count.failed);
    return count.failed == 0 ? 0 : 1;
}
