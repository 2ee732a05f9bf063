/* The binary as a person or a script runs it: started by its path, its output caught. */
#ifndef TESTS_COMMAND_PROGRAM_H
#define TESTS_COMMAND_PROGRAM_H

#include "../support.h"

#include <jansson.h>

struct launch {
    struct arena arena;  /* what is caught lives here */
    const char *program; /* path of plumule; of others a name will do */
    const char *input;   /* standard input of the next run; NULL: empty */
    int code;            /* exit status of the last run; 128 + n when signal n ended it */
    const char *out, *err;
};

/* The path as a test finds it from any folder; the test is over when there is no such file. */
const char *program_path(const char *argument);
void run_open(struct launch *r, const char *program);
void run_close(struct launch *r);
/* Runs it with these arguments (NULL-ended) and waits. */
void run_program(struct launch *r, const char *const *arguments);
#define RUN(r, ...) run_program((r), (const char *const[]){__VA_ARGS__, NULL})
/* The same; the test is over when it ends with another status. */
void run_expect_at(struct launch *r, int code, const char *const *arguments, const char *file,
                   int line);
#define RUN_OK(r, ...) \
    run_expect_at((r), 0, (const char *const[]){__VA_ARGS__, NULL}, __FILE__, __LINE__)
#define RUN_CODE(r, code, ...) \
    run_expect_at((r), (code), (const char *const[]){__VA_ARGS__, NULL}, __FILE__, __LINE__)
/* Starts it in the background with nothing caught, or its output to a descriptor; program_stop
 * sends the signal and waits for it,
 * -> its status as waitpid says. */
pid_t program_start(const char *program, const char *const *arguments);
pid_t program_start_to(const char *program, const char *const *arguments, int out);
int program_stop(pid_t child, int signal);

/* Line n (from 0) of what was printed, as JSON; NULL when there is none or it is not JSON. The
 * caller owns it. */
json_t *run_json(const struct launch *r, size_t n);
/* Every line must be JSON; -> how many. */
size_t run_json_lines(const struct launch *r);
/* Fails unless text stands in what was printed, on either stream. */
void run_says_at(const struct launch *r, const char *text, const char *file, int line);
#define RUN_SAYS(r, text) run_says_at((r), (text), __FILE__, __LINE__)

/* Writes a text file; the test is over when it cannot. */
void text_write(const char *path, const char *text);

#endif
