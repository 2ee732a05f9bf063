/* SPDX-License-Identifier: MIT
 *
 * plumule-solve: a planning problem in, a plan out, in a process of its own.
 *
 * Standard input: option lines, a line "lp", then LP text (lp_read.h) to the end.
 *   seconds S     wall-clock limit, 0.05 to 86400 (needed)
 *   gap G         stop when the plan is within this share of the bound, 0 to 1 (0.0001 when left
 * out)
 *   bound first   no guessing of plans: whoever asks has a good one and wants to know how good
 * Standard output, nothing else is ever written there: status
 * solved|stopped|infeasible|unbounded|nothing solved: the search ended within the gap; stopped: the
 * limit came first, this is the best plan found; nothing: the limit came before any plan was found
 * (a bound may stand there all the same)
 *   objective, bound, gap   with solved and stopped; gap = |objective - bound| / max(1e-9,
 * |objective|) nodes N value NAME NUMBER       for each column that is not zero end or one line
 * "error LINE MESSAGE" (LINE counts within the LP text, 0 when the fault is elsewhere) and exit
 * status 3.
 *
 * It cannot hang: an alarm ends it shortly after the limit, and it ends with its parent. */
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/time.h>
#include <unistd.h>

#include <Cbc_C_Interface.h>

#include "lp_read.h"

enum { INPUT_LIMIT_BYTES = 1 << 28, READING_S = 30, EXIT_INPUT = 3, EXIT_LATE = 4 };

static const double BOUND_MOST = 1e30;

struct options {
    double seconds, gap;
    bool bound_first;
    const char *lp;
};

static FILE *answer;

_Noreturn static void refuse(int line, const char *message)
{
    fprintf(answer, "error %d %s\n", line, message);
    fflush(answer);
    _exit(EXIT_INPUT);
}

static char *input_read(void)
{
    size_t len = 0, room = 1 << 16;
    char *text = malloc(room + 1);
    while (text) {
        ssize_t got = read(STDIN_FILENO, text + len, room - len);
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) refuse(0, "standard input cannot be read");
        if (got == 0) break;
        len += (size_t)got;
        if (len > INPUT_LIMIT_BYTES) refuse(0, "the text is larger than 256 MiB");
        if (len < room) continue;
        room *= 2;
        char *more = realloc(text, room + 1);
        if (!more) free(text);
        text = more;
    }
    if (!text) refuse(0, "out of memory");
    text[len] = 0;
    if (strlen(text) != len) refuse(0, "the text holds a zero byte");
    return text;
}

static double option_number(const char *text, const char *name, double low, double high)
{
    char *end = NULL, message[100];
    double value = strtod(text, &end);
    if (end == text || *end || !(value >= low && value <= high)) {
        snprintf(message, sizeof message, "%s must be a number from %g to %g", name, low, high);
        refuse(0, message);
    }
    return value;
}

static struct options options_read(char *text)
{
    struct options o = {.seconds = 0, .gap = 1e-4};
    for (char *line = text; *line;) {
        char *end = strchr(line, '\n');
        if (!end) break;
        *end = 0;
        if (strcmp(line, "lp") == 0) {
            o.lp = end + 1;
            break;
        }
        if (strncmp(line, "seconds ", 8) == 0)
            o.seconds = option_number(line + 8, "seconds", 0.05, 86400);
        else if (strncmp(line, "gap ", 4) == 0)
            o.gap = option_number(line + 4, "gap", 0, 1);
        else if (strcmp(line, "bound first") == 0)
            o.bound_first = true;
        else
            refuse(0, "an option line is neither seconds, gap, bound first nor lp");
        line = end + 1;
    }
    if (!o.lp) refuse(0, "the line lp is missing");
    if (o.seconds <= 0) refuse(0, "the line seconds is missing");
    return o;
}

static void on_alarm(int signal_number)
{
    (void)signal_number;
    static const char late[] = "status nothing\nend\n";
    if (write(fileno(answer), late, sizeof late - 1) < 0) _exit(EXIT_LATE + 1);
    _exit(EXIT_LATE);
}

/* The search may overrun its limit between two looks at the clock; a quarter more and a second is
 * its grace. */
static void alarm_set(double seconds)
{
    double grace = seconds * 1.25 + 1;
    struct itimerval timer = {
        .it_value = {(time_t)grace, (suseconds_t)((grace - floor(grace)) * 1e6)}};
    struct sigaction action = {.sa_handler = on_alarm};
    sigaction(SIGALRM, &action, NULL);
    setitimer(ITIMER_REAL, &timer, NULL);
}

static void alarm_clear(void)
{
    struct itimerval never = {0};
    setitimer(ITIMER_REAL, &never, NULL);
}

/* The answer keeps the real standard output; what the solver's own code prints goes nowhere. */
static void quiet(void)
{
    int out = fcntl(STDOUT_FILENO, F_DUPFD_CLOEXEC, 3);
    answer = out < 0 ? NULL : fdopen(out, "w");
    int nowhere = open("/dev/null", O_WRONLY | O_CLOEXEC);
    if (!answer || nowhere < 0 || dup2(nowhere, STDOUT_FILENO) < 0 ||
        dup2(nowhere, STDERR_FILENO) < 0)
        _exit(EXIT_LATE + 1);
}

static void parameter(Cbc_Model *model, const char *name, double value)
{
    char text[40];
    snprintf(text, sizeof text, "%.12g", value);
    Cbc_setParameter(model, name, text);
}

static void search(Cbc_Model *model, const struct lp_problem *p, const struct options *o)
{
    Cbc_loadProblem(model, p->column_count, p->row_count, p->starts, p->rows, p->values, p->lower,
                    p->upper, p->objective, p->row_lower, p->row_upper);
    for (int c = 0; c < p->column_count; c++)
        if (p->is_integer[c]) Cbc_setInteger(model, c);
    Cbc_setObjSense(model, p->maximize ? -1 : 1);
    Cbc_setParameter(model, "log", "0");
    /* counted in processor time it overruns, and more so with several threads */
    Cbc_setParameter(model, "timeMode", "elapsed");
    parameter(model, "seconds", o->seconds);
    parameter(model, "ratioGap", o->gap);
    if (o->bound_first) {
        Cbc_setParameter(model, "heuristicsOnOff", "off");
        /* of all its cuts those that raise the bound of plans with whole chambers most */
        Cbc_setParameter(model, "reduceAndSplitCuts", "on");
    }
    Cbc_solve(model);
}

static bool any_integer(const struct lp_problem *p)
{
    return memchr(p->is_integer, 1, (size_t)p->column_count) != NULL;
}

static void report(Cbc_Model *model, const struct lp_problem *p)
{
    bool ended = Cbc_isProvenOptimal(model);
    bool infeasible = Cbc_isProvenInfeasible(model);
    bool unbounded = Cbc_isContinuousUnbounded(model) || Cbc_secondaryStatus(model) == 7;
    const double *best = any_integer(p) ? Cbc_bestSolution(model)
                         : ended        ? Cbc_getColSolution(model)
                                        : NULL;
    if (unbounded || infeasible) {
        fprintf(answer, "status %s\nend\n", unbounded ? "unbounded" : "infeasible");
        return;
    }
    if (!best) {
        double bound = Cbc_getBestPossibleObjValue(model);
        fprintf(answer, "status nothing\n");
        /* far out it is no bound but where the search begins */
        if (any_integer(p) && fabs(bound) < BOUND_MOST) fprintf(answer, "bound %.15g\n", bound);
        fprintf(answer, "end\n");
        return;
    }
    double objective = 0;
    for (int c = 0; c < p->column_count; c++)
        objective += p->objective[c] * best[c];
    double bound = any_integer(p) ? Cbc_getBestPossibleObjValue(model) : objective;
    double gap = fabs(objective - bound) / fmax(1e-9, fabs(objective));
    fprintf(answer, "status %s\nobjective %.15g\nbound %.15g\ngap %.6g\nnodes %d\n",
            ended ? "solved" : "stopped", objective, bound, gap, Cbc_getNodeCount(model));
    for (int c = 0; c < p->column_count; c++) {
        double value = p->is_integer[c] ? round(best[c]) : best[c];
        if (fabs(value) > 1e-9) fprintf(answer, "value %s %.15g\n", p->names[c], value);
    }
    fprintf(answer, "end\n");
}

int main(void)
{
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    quiet();
    alarm_set(READING_S);
    char *text = input_read();
    struct options options = options_read(text);
    alarm_set(options.seconds);
    struct lp_problem problem;
    struct lp_fault fault;
    if (!lp_read(options.lp, &problem, &fault)) refuse(fault.line, fault.message);
    free(text);
    Cbc_Model *model = Cbc_newModel();
    search(model, &problem, &options);
    /* from here on the plan is whole: the alarm must not cut its lines in two */
    alarm_clear();
    report(model, &problem);
    bool written = fflush(answer) == 0;
    lp_release(&problem);
    Cbc_deleteModel(model);
    return written ? 0 : EXIT_LATE + 1;
}
