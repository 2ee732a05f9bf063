/* A view of the record for a command that only reads. */
#ifndef COMMAND_SIGHT_H
#define COMMAND_SIGHT_H

#include "command/cli.h"
#include "service/view.h"

struct sight {
    struct view view;
    struct profile *profile;
};

/* Opens the record and a transaction in it, in the language and for the person of the command. A
 * record without a profile gives a view without one, unless it is needed: PROFILE_MISSING. */
MUST_USE struct result sight_open(struct cli *cli, bool needs_profile, struct sight *out);
/* Ends it and hands on what came of it. */
struct result sight_close(struct sight *s, struct result r);

#endif
