#include "ledger/consequence.h"

#include <string.h>

static consequence_fn *const functions[] = {
#define CONSEQUENCE(function) function,
#include "ledger/consequences.def"
#undef CONSEQUENCE
    NULL};

static struct result draw_all(struct consequence *c)
{
    for (size_t i = 0; functions[i] != NULL; i++) {
        TRY(functions[i](c));
    }
    return RESULT_OK;
}

struct result consequences_after(struct ledger *lg, struct arena *a, const struct command *cmd,
                                 int64_t seq)
{
    struct consequence c = {.lg = lg, .arena = a, .cause = cmd, .cause_seq = seq};
    return draw_all(&c);
}

struct result consequences_nested(struct consequence *outer, const struct command *cmd, int64_t seq)
{
    struct consequence c = {
        .lg = outer->lg, .arena = outer->arena, .cause = cmd, .cause_seq = seq, .nested = true};
    return draw_all(&c);
}

void consequence_uuid(struct consequence *c, uint8_t out[16])
{
    uint8_t seed[20];
    memcpy(seed, c->cause->uuid, 16);
    c->n++;
    for (int i = 0; i < 4; i++) {
        seed[16 + i] = (uint8_t)((uint32_t)c->n >> (8 * i));
    }
    struct hash h = digest_sha256(seed, sizeof seed);
    memcpy(out, h.b, 16);
}

void consequence_begin(struct consequence *c, const char *kind, struct command *out_cmd,
                       struct draft *out)
{
    *out_cmd = *c->cause;
    consequence_uuid(c, out_cmd->uuid);
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
