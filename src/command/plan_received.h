/* `plumule plan` of a house that receives fruit. */
#ifndef COMMAND_PLAN_RECEIVED_H
#define COMMAND_PLAN_RECEIVED_H

#include "command/cli.h"
#include "ledger/profile.h"
#include "service/planning_change.h"

/* Prints the plan, beside the one without the wish's changes or the one taken, and books what
 * orders are told where it is taken. Errors of planning_received_work. */
MUST_USE struct result plan_received(struct cli *cli, const struct profile *profile,
                                     const struct planning_wish *wish, double seconds, bool take);
/* The sentences of a list, no more than most of them, under a title; nothing of an empty one. */
void print_list(struct cli *cli, const char *title, const json_t *list, size_t most);
/* How good a plan is, as far as that is known, from its "gap" and "solver". */
void print_gap(struct cli *cli, const json_t *plan);
/* Short lines, with their gains. */
void print_shorts(struct cli *cli, const json_t *plan);
/* A day of the plan as its sentences say it, at most SAID_DAY wide. */
enum { SAID_DAY = 11 };
const char *said_day(struct cli *cli, const json_t *day);
/* Orders that may well not be met, from a plan's "chance". */
void print_chances(struct cli *cli, const json_t *chance);
/* How much is booked and forecast. */
void print_demand(struct cli *cli, const json_t *plan);

#endif
