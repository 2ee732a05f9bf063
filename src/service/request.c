#include "service/request.h"

#include <string.h>

#include "base/check.h"
#include "ledger/daybook.h"
#include "ledger/draft.h"
#include "service/people.h"
#include "service/station.h"
#include "service/witness.h"

static const char signing[] =
    "release,review,strike,limit,lift,approve,profile,second-reading,person,heat-constants";

bool request_signs(const char *kind)
{
    return list_has(signing, kind);
}

static struct result run(struct statement *q)
{
    bool row = true;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result password_of(struct store *s, struct arena *a, int64_t number, const char **out)
{
    struct statement *q = store_prepare(s, Q_PERSON_SECRET_GET);
    store_bind_int(q, 1, number);
    bool row;
    *out = NULL;
    TRY(store_step(q, &row));
    if (row) {
        const char *text = store_text(q, 2);
        *out = text != NULL ? arena_copy(a, text) : NULL;
        return run(q);
    }
    return RESULT_OK;
}

static struct result prove(struct store *s, struct session *session, int64_t number,
                           const char *password, struct arena *a)
{
    for (size_t i = 0; i < session->count; i++) {
        if (session->people[i] == number) {
            return RESULT_OK;
        }
    }
    const char *stored;
    const char *who = arena_printf(a, "%lld", (long long)number);
    TRY(password_of(s, a, number, &stored));
    if (password == NULL) {
        return FAIL1(PASSWORD_NEEDED, "password", who);
    }
    if (stored == NULL || !password_holds(stored, password)) {
        return FAIL1(PASSWORD_WRONG, "password", who);
    }
    if (session->count < SESSION_PEOPLE) {
        session->people[session->count++] = number;
    }
    return RESULT_OK;
}

/* A house without any entry has nobody who could prove anything yet. */
static struct result is_new(struct store *s, bool *out)
{
    struct statement *q = store_prepare(s, Q_DAYBOOK_LAST);
    bool row;
    TRY(store_step(q, &row));
    *out = !row;
    return row ? run(q) : RESULT_OK;
}

/* What is signed is signed one by one. */
static struct result check_all(const json_t *request)
{
    json_t *commands = NULL;
    TRY(json_get_array(request, "commands", "commands", JSON_NEEDED, &commands));
    size_t i;
    json_t *command;
    json_array_foreach(commands, i, command)
    {
        const char *kind = json_string_value(json_object_get(command, "kind"));
        if (kind == NULL || request_signs(kind)) {
            return FAIL2(FIELD_CHOICE, "commands", kind != NULL ? kind : "",
                         "kinds that are not signed");
        }
    }
    return RESULT_OK;
}

struct result request_check(struct store *store, struct session *session, const json_t *request,
                            struct arena *a)
{
    const char *what = NULL, *password = NULL, *kind = NULL;
    int64_t person = 0;
    bool fresh;
    TRY(json_get_text(request, "do", "do", JSON_NEEDED, &what));
    if (strcmp(what, "take") == 0) {
        json_t *command = NULL;
        TRY(json_get_object(request, "command", "command", JSON_NEEDED, &command));
        TRY(json_get_text(command, "kind", "kind", JSON_NEEDED, &kind));
        if (!request_signs(kind)) {
            return RESULT_OK;
        }
        TRY(json_get_text(request, "password", "password", JSON_OPTIONAL, &password));
        TRY(json_get_int(command, "person", "person", JSON_NEEDED, 1, INT32_MAX, &person));
    } else if (strcmp(what, "take-all") == 0) {
        return check_all(request);
    } else if (people_proves(what)) {
        TRY(json_get_int(request, "by", "by", JSON_NEEDED, 1, INT32_MAX, &person));
        TRY(json_get_text(request, "by_password", "by_password", JSON_OPTIONAL, &password));
    } else {
        return RESULT_OK;
    }
    TRY(is_new(store, &fresh));
    return fresh ? RESULT_OK : prove(store, session, person, password, a);
}

static struct result do_contact(struct plant *plant, const json_t *request)
{
    const char *code = NULL, *name = NULL, *contact = "";
    TRY(json_get_text(request, "code", "code", JSON_NEEDED, &code));
    TRY(json_get_text(request, "name", "name", JSON_NEEDED, &name));
    TRY(json_get_text(request, "contact", "contact", JSON_OPTIONAL, &contact));
    struct statement *q = store_prepare(plant->store, Q_PARTNER_CONTACT_PUT);
    store_bind_text(q, 1, code);
    store_bind_text(q, 2, name);
    store_bind_text(q, 3, contact);
    return run(q);
}

static struct result do_sign(struct plant *plant, const json_t *request, struct arena *a,
                             json_t **out)
{
    const char *why = NULL;
    struct head h;
    TRY(json_get_text(request, "why", "why", JSON_NEEDED, &why));
    TRY(ledger_sign_head(plant->ledger, &plant->key, why, &h));
    *out = json_pack("{s:I,s:s,s:I,s:s,s:s,s:s}", "size", (json_int_t)h.size, "root",
                     hex_text(a, h.root.b, 32), "signed_ms", (json_int_t)h.signed_ms, "why", why,
                     "public_key", hex_text(a, h.public_key, 32), "signature",
                     hex_text(a, h.signature, 64));
    CHECK(*out != NULL);
    return RESULT_OK;
}

static struct result do_take(struct plant *plant, const json_t *command,
                             const struct command_sum *sum, struct arena *a, json_t **out_answer,
                             bool *out_dirty)
{
    const char *kind = json_string_value(json_object_get(command, "kind"));
    bool names_it = kind != NULL && strcmp(kind, "restored") == 0;
    if (plant->shortened && !names_it) {
        return FAIL0(RESTORE_UNNAMED, "");
    }
    TRY(ledger_take(plant->ledger, command, sum, a, out_answer, out_dirty));
    if (plant->shortened) {
        json_t *head;
        TRY(witness_missing(plant, a, &head));
        plant->shortened = head != NULL;
        json_decref(head);
    }
    return RESULT_OK;
}

static struct result do_take_all(struct plant *plant, const json_t *request, struct arena *a,
                                 json_t **out_answer, bool *out_dirty)
{
    json_t *commands = NULL;
    TRY(json_get_array(request, "commands", "commands", JSON_NEEDED, &commands));
    bool numbered = json_is_true(json_object_get(request, "numbered"));
    json_t *answers = json_array();
    size_t i;
    json_t *command;
    json_array_foreach(commands, i, command)
    {
        json_t *answer = NULL;
        bool dirty;
        struct result r = ledger_take(plant->ledger, command, NULL, a, &answer, &dirty);
        *out_dirty = *out_dirty || dirty;
        if (r.code != CODE_OK) {
            json_decref(answers);
            return numbered ? result_at(r, (int64_t)i + 1, 0) : r;
        }
        json_array_append_new(answers, answer);
    }
    *out_answer = answers;
    return RESULT_OK;
}

static struct result take_dry(struct plant *plant, const json_t *request, struct arena *a,
                              json_t **out_answer)
{
    const json_t *command = json_object_get(request, "command");
    json_t *answer = NULL;
    bool dirty = false;
    if (command == NULL) {
        return do_take_all(plant, request, a, out_answer, &dirty);
    }
    TRY(ledger_take(plant->ledger, command, NULL, a, &answer, &dirty));
    *out_answer = json_pack("[o]", answer);
    return RESULT_OK;
}

/* What the ledger keeps in memory, as it was before; others of the group may have made the tree
 * grow in it only. */
static struct result ledger_as_before(struct ledger *lg, const struct ledger *before)
{
    lg->tree = before->tree;
    lg->tree_grew = before->tree_grew;
    lg->next_seq = before->next_seq;
    if (before->profile == NULL && lg->profile != NULL) {
        profile_free(lg->profile);
        lg->profile = NULL;
        lg->profile_entry = 0;
    }
    return ledger_profile_load(lg);
}

/* Also a refusal may have written something; all of it is taken back. Only a fault in that leaves
 * the transaction dirty. */
static struct result do_dry(struct plant *plant, const json_t *request, struct arena *a,
                            json_t **out_answer, bool *out_dirty)
{
    struct ledger before = *plant->ledger;
    TRY(store_mark(plant->store));
    struct result r = take_dry(plant, request, a, out_answer);
    struct result back = store_back(plant->store);
    if (back.code == CODE_OK) {
        back = ledger_as_before(plant->ledger, &before);
    }
    *out_dirty = back.code != CODE_OK;
    if (r.code == CODE_OK && back.code != CODE_OK) {
        json_decref(*out_answer);
        *out_answer = NULL;
    }
    return back.code != CODE_OK ? back : r;
}

static struct result do_other(struct plant *plant, const char *what, const json_t *request,
                              struct arena *a, json_t **out_answer)
{
    bool is;
    TRY(people_do(plant, what, request, a, out_answer, &is));
    if (!is) {
        TRY(station_do(plant, what, request, a, out_answer, &is));
    }
    if (is) {
        return RESULT_OK;
    }
    if (strcmp(what, "sign") == 0) {
        return do_sign(plant, request, a, out_answer);
    }
    if (strcmp(what, "contact") == 0) {
        TRY(do_contact(plant, request));
        *out_answer = json_object();
        return RESULT_OK;
    }
    return FAIL2(FIELD_CHOICE, "do", what,
                 "take, take-all, dry, contact, sign and those of people and stations");
}

const struct command_sum *request_sum(const json_t *request, struct command_sum *out)
{
    const char *what = json_string_value(json_object_get(request, "do"));
    const json_t *command = json_object_get(request, "command");
    if (what == NULL || strcmp(what, "take") != 0 || !json_is_object(command)) {
        return NULL;
    }
    command_sum(command, out);
    return out;
}

struct result request_do(struct plant *plant, const json_t *request, const struct command_sum *sum,
                         struct arena *a, json_t **out_answer, bool *out_dirty)
{
    const char *what = NULL;
    json_t *command = NULL;
    *out_answer = NULL;
    *out_dirty = false;
    TRY(json_get_text(request, "do", "do", JSON_NEEDED, &what));
    if (strcmp(what, "take") == 0) {
        TRY(json_get_object(request, "command", "command", JSON_NEEDED, &command));
        return do_take(plant, command, sum, a, out_answer, out_dirty);
    }
    if (plant->shortened) {
        return FAIL0(RESTORE_UNNAMED, "");
    }
    if (strcmp(what, "take-all") == 0) {
        return do_take_all(plant, request, a, out_answer, out_dirty);
    }
    if (strcmp(what, "dry") == 0) {
        return do_dry(plant, request, a, out_answer, out_dirty);
    }
    return do_other(plant, what, request, a, out_answer);
}

json_t *request_envelope(struct arena *a, const struct result *r, json_t *answer)
{
    json_t *out = json_object();
    json_object_set_new(out, "ok", json_boolean(r->code == CODE_OK));
    if (r->code == CODE_OK) {
        json_object_set_new(out, "answer", answer != NULL ? answer : json_object());
        return out;
    }
    json_decref(answer);
    json_t *e =
        json_pack("{s:s,s:s,s:[s,s,s],s:i,s:i,s:s}", "code", code_id(r->code), "field", r->field,
                  "values", r->value[0], r->value[1], r->value[2], "line", (int)r->line, "column",
                  (int)r->column, "sentence", result_sentence(a, r));
    CHECK(e != NULL);
    json_object_set_new(out, "error", e);
    return out;
}

struct result request_unwrap(const json_t *envelope, json_t **out_answer)
{
    *out_answer = NULL;
    if (json_is_true(json_object_get(envelope, "ok"))) {
        *out_answer = json_incref(json_object_get(envelope, "answer"));
        return RESULT_OK;
    }
    const json_t *e = json_object_get(envelope, "error");
    const char *id = json_string_value(json_object_get(e, "code"));
    enum code code = id != NULL ? code_from_id(id) : CODE_COUNT;
    if (code == CODE_COUNT || code == CODE_OK) {
        return FAIL1(SOCKET_BAD, "", "the answer was not understood");
    }
    const json_t *v = json_object_get(e, "values");
    struct result r = result_make(code, json_string_value(json_object_get(e, "field")),
                                  json_string_value(json_array_get(v, 0)),
                                  json_string_value(json_array_get(v, 1)),
                                  json_string_value(json_array_get(v, 2)));
    return result_at(r, json_integer_value(json_object_get(e, "line")),
                     json_integer_value(json_object_get(e, "column")));
}
