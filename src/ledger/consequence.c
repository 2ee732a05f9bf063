#include "ledger/consequence.h"

#include <string.h>

static consequence_fn *const functions[] = {
#define CONSEQUENCE(function) function,
#include "ledger/consequences.def"
#undef CONSEQUENCE
    NULL};

struct result consequences_after(struct ledger *lg, struct arena *a, const struct command *cmd, int64_t seq)
{
    struct consequence c = {.lg = lg, .arena = a, .cause = cmd, .cause_seq = seq};
    for (size_t i = 0; functions[i] != NULL; i++) {
        TRY(functions[i](&c));
    }
    return RESULT_OK;
}

void consequence_begin(struct consequence *c, const char *kind, struct command *out_cmd, struct draft *out)
{
    uint8_t seed[20];
    memcpy(seed, c->cause->uuid, 16);
    c->n++;
    for (int i = 0; i < 4; i++) {
        seed[16 + i] = (uint8_t)((uint32_t)c->n >> (8 * i));
    }
    struct hash h = digest_sha256(seed, sizeof seed);
    *out_cmd = *c->cause;
    memcpy(out_cmd->uuid, h.b, 16);
    out_cmd->kind = out_cmd->act = kind;
    out_cmd->step = NULL;
    out_cmd->mode = MODE_TELL; /* the record states what follows; nobody is asked */
    out_cmd->happened_ms = c->cause->recorded_ms;
    out_cmd->body = NULL;
    draft_init(out, c->lg, c->arena, out_cmd);
}

struct result consequence_take(struct consequence *c, struct draft *d)
{
    struct result r = draft_take(d, c->cause_seq);
    draft_release(d);
    return r;
}
