/* How a trace reads in words. */
#ifndef COMMAND_TRACE_PRINT_H
#define COMMAND_TRACE_PRINT_H

#include "command/cli.h"
#include "service/view_trace.h"

void trace_print(struct cli *cli, const struct trace_answer *answer);
/* The notice list of a recall: customers first, then what is here, then how complete it is.
 * Contacts come from the erasable table. */
void recall_print(struct cli *cli, struct view *v, const struct trace_answer *answer);

#endif
