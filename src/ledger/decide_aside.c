/* What a device told and the record refused for good: kept as it was told until somebody says what
 * became of it. Neither moves anything. */
#include <string.h>

#include "base/uuid.h"
#include "ledger/aside.h"
#include "ledger/daybook.h"
#include "ledger/view.h"

/* A queue's command is a few hundred bytes; eight kilobytes leave room for twenty inputs with their
 * masses (computed here: 20 x 200 bytes, doubled). Values of a refusal: derived from struct result.
 * Words: common practice. */
enum { COMMAND_MAX = 8192, WORD_MAX = 60, VALUE_MAX = 119, VALUES_MAX = 3, LEFT_OUT_MAX = 20 };

const char aside_roles[] = "quality,manager";

static struct result word(const json_t *o, const char *key, const char *path, enum json_need need,
                          const char **out)
{
    *out = NULL;
    TRY(json_get_text(o, key, path, need, out));
    size_t len = *out != NULL ? strlen(*out) : 1;
    return len > 0 && len <= WORD_MAX
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, path, "too long or empty", "1 to 60 bytes");
}

/* A list of short texts: values of the refusal, names of fields. */
static struct result texts(const struct draft *d, const char *key, size_t most, size_t longest)
{
    json_t *list = NULL, *one;
    size_t i;
    TRY(json_get_array(d->cmd->body, key, key, JSON_OPTIONAL, &list));
    if (json_array_size(list) > most) {
        return FAIL2(FIELD_RANGE, key, "too long", "a list of a few short texts");
    }
    json_array_foreach(list, i, one)
    {
        if (!json_is_string(one) || json_string_length(one) > longest) {
            return FAIL2(FIELD_TYPE, key, "a list of a few short texts", "something else");
        }
    }
    return RESULT_OK;
}

/* The command that was refused, which need not be right in anything but its kind and number. */
struct refused {
    json_t *command;
    const char *kind, *lot, *place; /* borrowed from it; lot, place: NULL when it names none */
    uint8_t uuid[16];
};

static const char *first_lot(const json_t *command)
{
    const json_t *lots = json_object_get(command, "lots");
    const json_t *inputs = json_array_get(json_object_get(command, "inputs"), 0);
    const json_t *found = json_object_get(command, "lot");
    found = json_is_string(found) ? found : json_array_get(lots, 0);
    found = json_is_string(found) ? found : json_object_get(inputs, "lot");
    return json_string_value(found);
}

static struct result read_refused(const struct draft *d, const char *text, struct refused *out)
{
    const char *uuid;
    TRY(json_read(text, strlen(text), COMMAND_MAX, &out->command));
    if (!json_is_object(out->command)) {
        return FAIL2(FIELD_TYPE, "told", "an object", "something else");
    }
    TRY(word(out->command, "kind", "told.kind", JSON_NEEDED, &out->kind));
    TRY(word(out->command, "uuid", "told.uuid", JSON_NEEDED, &uuid));
    TRY(uuid_read(uuid, "told.uuid", out->uuid));
    if (strcmp(out->kind, d->cmd->kind) == 0) {
        return FAIL2(FIELD_RANGE, "told.kind", out->kind, "of what was told in the first place");
    }
    const json_t *chamber = json_object_get(out->command, "chamber");
    const json_t *place = json_object_get(out->command, "place");
    out->lot = first_lot(out->command);
    out->place = json_string_value(json_is_string(chamber) ? chamber : place);
    return RESULT_OK;
}

/* What of it the house knows stands in the task, so that it shows beside its lot and place. */
static struct result keep(struct draft *d, const struct refused *told)
{
    struct lot lot = {0};
    struct place place;
    bool lot_found = false, place_found = false;
    if (told->lot != NULL) {
        TRY(lot_by_code(d->store, d->arena, told->lot, &lot, &lot_found));
    }
    if (told->place != NULL) {
        TRY(place_by_code(d->store, d->arena, told->place, &place, &place_found));
    }
    draft_task(d, "set-aside", told->kind, lot_found ? lot.id : 0, place_found ? place.code : NULL,
               d->cmd->recorded_ms);
    json_t *more =
        json_pack("{s:s,s:s,s:s*,s:s*}", "refused", told->kind, "refused_uuid",
                  uuid_text(d->arena, told->uuid), "lot", told->lot, "place", told->place);
    json_object_update(d->answer, more);
    json_decref(more);
    return RESULT_OK;
}

struct result decide_set_aside(struct draft *d)
{
    static const char *const names[] = {"told",   "number",   "code", "field",
                                        "values", "left_out", NULL};
    const json_t *o = d->cmd->body;
    const char *text = NULL, *code, *field;
    int64_t number;
    struct refused told = {0};
    TRY(draft_only(d, "what was set aside", names));
    TRY(json_get_text(o, "told", "told", JSON_NEEDED, &text));
    TRY(json_get_int(o, "number", "number", JSON_OPTIONAL, 1, INT32_MAX, &number));
    TRY(word(o, "code", "code", JSON_NEEDED, &code));
    TRY(word(o, "field", "field", JSON_OPTIONAL, &field));
    TRY(texts(d, "values", VALUES_MAX, VALUE_MAX));
    TRY(texts(d, "left_out", LEFT_OUT_MAX, WORD_MAX));
    struct result r = read_refused(d, text, &told);
    if (r.code == CODE_OK) {
        r = keep(d, &told);
    }
    json_decref(told.command);
    return r;
}

/* The open task that an entry of the kind left. */
static struct result aside_open(struct draft *d, int64_t entry, int64_t *out_task)
{
    struct statement *q = store_prepare(d->store, Q_ASIDE_OPEN);
    store_bind_int(q, 1, entry);
    bool row;
    TRY(store_step(q, &row));
    if (!row) {
        return FAIL1(ASIDE_UNKNOWN, "aside", arena_printf(d->arena, "%lld", (long long)entry));
    }
    *out_task = store_int(q, 0);
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

/* Whoever told it knows best what became of it; else quality and managers. */
static struct result may_settle(struct draft *d, const struct entry *aside)
{
    const char *role;
    bool active, found;
    TRY(person_role(d->store, d->arena, d->cmd->person, &role, &active, &found));
    if (aside->person == d->cmd->person || list_has(aside_roles, role)) {
        return RESULT_OK;
    }
    return FAIL3(ROLE_MISSING, "person", arena_printf(d->arena, "%lld", (long long)d->cmd->person),
                 role, aside_roles);
}

/* The entry that says it now: as named, else the one that was booked under its own number later. */
static struct result now_in(struct draft *d, const struct entry *aside, int64_t named,
                            int64_t *out_entry)
{
    struct entry e;
    bool found;
    if (named != 0) {
        TRY(entry_by_seq(d->store, d->arena, named, &e, &found));
        *out_entry = named;
        return found ? RESULT_OK
                     : FAIL1(ENTRY_UNKNOWN, "now_in",
                             arena_printf(d->arena, "%lld", (long long)named));
    }
    json_t *body = NULL;
    uint8_t uuid[16];
    TRY(json_read_stored(aside->body, &body));
    const char *text = arena_copy(d->arena, json_string_value(json_object_get(
                                                json_object_get(body, "answer"), "refused_uuid")));
    json_decref(body);
    TRY(uuid_read(text, "aside", uuid));
    TRY(entry_by_uuid(d->store, d->arena, uuid, &e, &found));
    *out_entry = found ? e.seq : 0;
    return RESULT_OK;
}

struct result decide_settle(struct draft *d)
{
    static const char *const names[] = {"aside", "outcome", "now_in", NULL};
    const json_t *o = d->cmd->body;
    const char *outcome = NULL;
    int64_t entry, named = 0, task, stands = 0;
    struct entry aside;
    bool found;
    TRY(draft_only(d, "what settles something set aside", names));
    TRY(json_get_int(o, "aside", "aside", JSON_NEEDED, 1, INT64_MAX / 4, &entry));
    TRY(json_get_text(o, "outcome", "outcome", JSON_NEEDED, &outcome));
    TRY(json_get_int(o, "now_in", "now_in", JSON_OPTIONAL, 1, INT64_MAX / 4, &named));
    if (!list_has("told-again,otherwise,not-so", outcome)) {
        return FAIL2(FIELD_CHOICE, "outcome", outcome, "told-again, otherwise, not-so");
    }
    if (d->cmd->reason == NULL || d->cmd->reason[0] == '\0') {
        return FAIL1(FIELD_MISSING, "reason", "Say in words what became of it.");
    }
    TRY(aside_open(d, entry, &task));
    TRY(entry_by_seq(d->store, d->arena, entry, &aside, &found));
    TRY(may_settle(d, &aside));
    if (strcmp(outcome, "not-so") != 0) {
        TRY(now_in(d, &aside, named, &stands));
    }
    draft_add(d, EFFECT_TASK_DONE, "iin", task, d->cmd->happened_ms);
    if (stands != 0) {
        json_object_set_new(d->answer, "now_in", json_integer(stands));
    }
    return RESULT_OK;
}
