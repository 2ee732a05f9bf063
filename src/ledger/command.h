/* A command as it came in: the envelope read and checked, the rest left to its decide function. */
#ifndef LEDGER_COMMAND_H
#define LEDGER_COMMAND_H

#include "ledger/ledger.h"

enum command_mode { MODE_TELL, MODE_ASK };

struct command {
    const char *kind;                /* the profile's step name, or a house kind such as "hold" */
    const char *act;                 /* how the ledger treats it; equals kind for house kinds */
    const struct profile_step *step; /* NULL for house kinds */
    enum command_mode mode;
    uint8_t uuid[16];
    int64_t person;
    int64_t happened_ms;
    int64_t recorded_ms;
    int offset_min;
    int32_t day;
    const char *device;
    int64_t clock_ms; /* device's clock minus ours, when the command was sent */
    const char *reason;
    const json_t *body; /* the whole command object, borrowed */
    struct hash digest;
};

/* Reads the envelope; sum as in ledger_take. Errors: FIELD_*, TIME_*, TIME_FUTURE, REASON_MISSING
 * (dated back beyond the shift), KIND_UNKNOWN. */
MUST_USE struct result command_read(struct ledger *lg, const json_t *object,
                                    const struct command_sum *sum, struct arena *a,
                                    struct command *out);

#endif
