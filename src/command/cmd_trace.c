#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "command/cli.h"
#include "command/trace_print.h"

static struct result run(struct cli *cli, struct plant *plant, const char *const *codes,
                         size_t count, enum direction direction, bool certain_only,
                         struct trace_asked *out)
{
    TRY(graph_load(plant->store, &out->graph));
    out->question =
        (struct trace_question){.direction = direction,
                                .depth = TRACE_RECORD,
                                .bases = certain_only ? BASES_WITHOUT_UNKNOWN : BASES_ALL};
    TRY(starts_find(plant->store, "code", codes, count, direction, &cli->arena,
                    &out->question.starts));
    TRY(trace_run(out->graph, plant->store, &out->question, &cli->arena, &out->answer));
    out->answered = true;
    return RESULT_OK;
}

static void drop(struct trace_asked *asked)
{
    if (asked->answered) {
        trace_answer_release(&asked->answer);
    }
    graph_free(asked->graph);
}

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
    return *out_count > 0 ? RESULT_OK
                          : cli_usage(cli, "Name a lot, a case or a shipment by its code.");
}

static struct result print_why(struct cli *cli, struct plant *plant,
                               const struct trace_asked *asked, const char *lot)
{
    struct why_step *steps;
    size_t count;
    TRY(trace_why(asked->graph, plant->store, &asked->question, "why", lot, &cli->arena, &steps,
                  &count));
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++) {
        cli_say(cli, "  %s went into %s (entry %lld, %s)", steps[i].parent, steps[i].child,
                (long long)steps[i].step.entry, mass_text(&cli->arena, steps[i].step.mg, 1000));
        json_array_append_new(list,
                              json_pack("{s:s,s:s,s:I,s:I}", "parent", steps[i].parent, "child",
                                        steps[i].child, "entry", (json_int_t)steps[i].step.entry,
                                        "mg", (json_int_t)steps[i].step.mg));
    }
    if (cli->json) {
        cli_print_json(list);
    }
    json_decref(list);
    return RESULT_OK;
}

struct result cmd_trace(struct cli *cli)
{
    bool back = cli_flag(cli, "back"), forward = cli_flag(cli, "forward"),
         certain = cli_flag(cli, "without-unknown");
    const char *why = cli_option(cli, "why"), **codes;
    size_t count;
    struct plant *plant;
    struct trace_asked asked = {.graph = NULL};
    TRY(codes_named(cli, &codes, &count));
    if (back == forward) {
        return cli_usage(cli, "Say --forward or --back.");
    }
    TRY(cli_reader(cli, &plant));
    TRY(store_begin(plant->store)); /* one state of the record for the whole answer */
    struct result r =
        run(cli, plant, codes, count, back ? TRACE_BACK : TRACE_FORWARD, certain, &asked);
    if (r.code == CODE_OK && why != NULL) {
        r = print_why(cli, plant, &asked, why);
    } else if (r.code == CODE_OK) {
        trace_print(cli, &asked.answer);
    }
    store_rollback(plant->store);
    drop(&asked);
    return r;
}

/* A recall reads the same trace forward, always with unknown carry-over, and says what to do with
 * it. */
struct result cmd_recall(struct cli *cli)
{
    const char **codes;
    size_t count;
    struct plant *plant;
    struct trace_asked asked = {.graph = NULL};
    TRY(codes_named(cli, &codes, &count));
    TRY(cli_reader(cli, &plant));
    TRY(store_begin(plant->store));
    struct result r = run(cli, plant, codes, count, TRACE_FORWARD, false, &asked);
    if (r.code == CODE_OK) {
        recall_print(cli, plant, &asked.answer);
    }
    store_rollback(plant->store);
    drop(&asked);
    return r;
}
