/* The replacement that a strike brings: an entry of its own with the strike as its cause, in the
 * same transaction. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/uuid.h"
#include "ledger/consequence.h"
#include "ledger/daybook.h"
#include "ledger/remake.h"
#include "ledger/view.h"

struct replacement {
    struct consequence *c;
    struct strike strike;
    struct entry first; /* the entry that is replaced */
    json_t *object;     /* the command, whole */
    struct command cmd;
};

static void put_default(json_t *object, const char *key, json_t *value)
{
    CHECK(value != NULL);
    if (json_object_get(object, key) == NULL) {
        json_object_set(object, key, value);
    }
    json_decref(value);
}

static struct result read_struck(struct replacement *r)
{
    struct ledger *lg = r->c->lg;
    bool found;
    TRY(strike_done(lg->store, r->c->arena, r->c->cause_seq, &r->strike));
    int64_t first = json_integer_value(json_object_get(r->c->cause->body, "entry"));
    TRY(entry_by_seq(lg->store, r->c->arena, first, &r->first, &found));
    CHECK(found && id_set_has(&r->strike.entries, first)); /* struck in this transaction */
    return RESULT_OK;
}

/* Who strikes answers for the replacement as well; it happened when the struck entry says, and is
 * told late for the same reason. */
static struct result build_command(struct replacement *r)
{
    struct consequence *c = r->c;
    uint8_t uuid[16];
    struct entry before;
    bool used;
    consequence_uuid(c, uuid);
    r->object = json_copy(json_object_get(c->cause->body, "replace"));
    CHECK(r->object != NULL);
    json_object_set_new(r->object, "person", json_integer(c->cause->person));
    put_default(r->object, "uuid", json_string(uuid_text(c->arena, uuid)));
    put_default(r->object, "at",
                json_string(civil_text(c->arena, r->first.happened_ms, r->first.offset_min)));
    put_default(r->object, "reason", json_string(c->cause->reason));
    put_default(r->object, "mode", json_string("tell"));
    put_default(r->object, "device", json_string(c->cause->device));
    TRY(command_read(c->lg, r->object, NULL, c->arena, &r->cmd));
    r->cmd.recorded_ms = c->cause->recorded_ms;
    TRY(entry_by_uuid(c->lg->store, c->arena, r->cmd.uuid, &before, &used));
    return used ? FAIL2(UUID_REUSED, "uuid", uuid_text(c->arena, r->cmd.uuid),
                        arena_printf(c->arena, "%lld", (long long)before.seq))
                : RESULT_OK;
}

/* Who may strike an entry may tell it right; another kind in its place takes that kind's own roles.
 */
static struct result may_replace(struct replacement *r, const struct act *act)
{
    const char *role, *roles = r->cmd.step != NULL ? r->cmd.step->roles : act->roles;
    bool active, found;
    if (strcmp(r->cmd.kind, r->first.kind) == 0) {
        return RESULT_OK;
    }
    if (list_has("strike,release,person,profile,restored,drop-piece", r->cmd.kind)) {
        return FAIL2(STRIKE_KIND, "kind", r->cmd.kind, "send it as a command of its own");
    }
    TRY(person_role(r->c->lg->store, r->c->arena, r->cmd.person, &role, &active, &found));
    const char *number = arena_printf(r->c->arena, "%lld", (long long)r->cmd.person);
    return found && list_has(roles, role)
               ? RESULT_OK
               : FAIL3(ROLE_MISSING, "person", number, found ? role : "", roles);
}

static struct result fill(struct replacement *r, const struct act *act, struct draft *d)
{
    struct id_set again = id_set_new(r->c->arena);
    struct dependants left = {0};
    remake_offer(d, &r->strike);
    TRY(act->decide(d));
    TRY(remake_settle(d, &r->strike, r->c->cause_seq, &again));
    TRY(strike_used(d->store, d->arena, &r->strike, &again, &left));
    if (left.count > 0) {
        return FAIL1(STRIKE_DEPENDANTS, "entry", dependants_text(d->arena, &left));
    }
    TRY(remake_follow(d, &r->strike));
    json_object_set_new(d->answer, "replaces", json_integer(r->first.seq));
    return RESULT_OK;
}

static struct result replace(struct replacement *r)
{
    struct draft d;
    TRY(read_struck(r));
    TRY(build_command(r));
    const struct act *act = act_find(r->cmd.act);
    CHECK(act != NULL); /* command_read looked it up */
    TRY(may_replace(r, act));
    draft_init(&d, r->c->lg, r->c->arena, &r->cmd);
    struct result filled = fill(r, act, &d);
    if (filled.code != CODE_OK) {
        draft_release(&d);
        return filled;
    }
    int64_t seq = d.seq;
    TRY(consequence_take(r->c, &d));
    return consequences_nested(r->c, &r->cmd, seq);
}

struct result consequence_replace(struct consequence *c)
{
    if (c->nested || strcmp(c->cause->kind, "strike") != 0 ||
        json_object_get(c->cause->body, "replace") == NULL) {
        return RESULT_OK;
    }
    struct replacement r = {.c = c};
    struct result done = replace(&r);
    strike_release(&r.strike);
    json_decref(r.object);
    return done;
}
