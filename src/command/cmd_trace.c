#include "base/check.h"
#include "base/decimal.h"
#include "command/say.h"
#include "command/sight.h"
#include "command/trace_print.h"

/* Codes from the words left; at least one. */
static struct result codes_named(struct cli *cli, const char ***out, size_t *out_count)
{
    const char **codes = ARENA_ARRAY(&cli->arena, const char *, (size_t)cli->argc + 1);
    const char *word;
    *out_count = 0;
    while ((word = cli_word(cli)) != NULL) {
        codes[(*out_count)++] = word;
    }
    *out = codes;
    TRY(cli_done(cli));
    return *out_count > 0 ? RESULT_OK : cli_usage(cli, "trace", NULL);
}

/* As one object for a program, else in words. */
static struct result answer_trace(struct cli *cli, struct view *v,
                                  const struct view_trace_question *question)
{
    if (cli->json) {
        json_t *o;
        TRY(view_trace(v, question, &o));
        cli_print_fact(cli, o);
        return RESULT_OK;
    }
    struct view_traced asked;
    struct result r = view_trace_ask(v, question, &asked);
    if (r.code == CODE_OK) {
        trace_print(cli, &asked.answer);
    }
    view_trace_release(&asked);
    return r;
}

static struct result answer_why(struct cli *cli, struct view *v,
                                const struct view_trace_question *question, const char *lot)
{
    json_t *o, *step;
    size_t i;
    TRY(view_why(v, question, lot, &o));
    json_array_foreach(json_object_get(o, "steps"), i, step)
    {
        CLI_SAY(cli, "trace.why", json_string_value(json_object_get(step, "parent")),
                json_string_value(json_object_get(step, "child")),
                cli_number(cli, json_integer_value(json_object_get(step, "entry"))),
                mass_text(&cli->arena, json_integer_value(json_object_get(step, "mg")), 1000));
    }
    cli_print_fact(cli, o);
    return RESULT_OK;
}

struct result cmd_trace(struct cli *cli)
{
    bool back = cli_flag(cli, "back"), forward = cli_flag(cli, "forward");
    struct view_trace_question question = {.direction = back ? TRACE_BACK : TRACE_FORWARD,
                                           .certain_only = cli_flag(cli, "without-unknown")};
    const char *why = cli_option(cli, "why"), **codes;
    struct sight s;
    TRY(codes_named(cli, &codes, &question.count));
    question.codes = codes;
    if (back == forward) {
        return cli_usage(cli, "trace-direction", NULL);
    }
    TRY(sight_open(cli, true, &s));
    return sight_close(&s, why != NULL ? answer_why(cli, &s.view, &question, why)
                                       : answer_trace(cli, &s.view, &question));
}

static struct result answer_recall(struct cli *cli, struct view *v, const char *const *codes,
                                   size_t count)
{
    const struct view_trace_question question = {
        .codes = codes, .count = count, .direction = TRACE_FORWARD};
    if (cli->json) {
        json_t *o;
        TRY(view_recall(v, codes, count, &o));
        cli_print_fact(cli, o);
        return RESULT_OK;
    }
    struct view_traced asked;
    struct result r = view_trace_ask(v, &question, &asked);
    if (r.code == CODE_OK) {
        recall_print(cli, v, &asked.answer);
    }
    view_trace_release(&asked);
    return r;
}

/* A recall reads the same trace forward, always with unknown carry-over, and says what to do with
 * it. */
struct result cmd_recall(struct cli *cli)
{
    const char **codes;
    size_t count;
    struct sight s;
    TRY(codes_named(cli, &codes, &count));
    TRY(sight_open(cli, true, &s));
    return sight_close(&s, answer_recall(cli, &s.view, codes, count));
}
