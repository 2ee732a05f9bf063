/* What the record itself concludes from an entry: the scope of a positive, decisions judged again
 * after a strike, a late result, an as-found calibration error or a changed limit, holds lifted by
 * the evidence they waited for. Each conclusion is an entry of its own with the first as its cause,
 * in the same transaction, decided on the view after the cause was folded. */
#ifndef LEDGER_CONSEQUENCE_H
#define LEDGER_CONSEQUENCE_H

#include "ledger/draft.h"

struct consequence {
    struct ledger *lg;
    struct arena *arena;
    const struct command *cause;
    int64_t cause_seq;
    int n;       /* entries caused so far */
    bool nested; /* the cause is itself a consequence: a strike's replacement */
};
typedef struct result consequence_fn(struct consequence *c);
#define CONSEQUENCE(function) consequence_fn function;
#include "ledger/consequences.def"
#undef CONSEQUENCE

MUST_USE struct result consequences_after(struct ledger *lg, struct arena *a,
                                          const struct command *cmd, int64_t seq);

/* For an entry that outer has appended: what follows from it, but for what outer's own cause will
 * bring (decisions judged again). */
MUST_USE struct result consequences_nested(struct consequence *outer, const struct command *cmd,
                                           int64_t seq);

/* A uuid for the next entry it causes, derived from its cause's. */
void consequence_uuid(struct consequence *c, uint8_t out[16]);
/* Begins a draft of the record's own: kind, same person and moment as the cause, uuid derived from
 * the cause's. The command lives in *out_cmd. Take it with consequence_take (which also releases
 * the draft). */
void consequence_begin(struct consequence *c, const char *kind, struct command *out_cmd,
                       struct draft *out);
MUST_USE struct result consequence_take(struct consequence *c, struct draft *d);

#endif
