/* How a trace reads, in words and as JSON. */
#ifndef COMMAND_TRACE_PRINT_H
#define COMMAND_TRACE_PRINT_H

#include "command/cli.h"
#include "trace/trace.h"

struct trace_asked {
    struct graph *graph;
    struct trace_question question;
    struct trace_answer answer;
    bool answered;
};

void trace_print(struct cli *cli, const struct trace_answer *answer);
/* The notice list of a recall: customers first, then what is here, then how complete it is.
 * Contacts come from the erasable table. */
void recall_print(struct cli *cli, struct plant *plant, const struct trace_answer *answer);

#endif
