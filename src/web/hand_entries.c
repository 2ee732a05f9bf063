#include <string.h>

#include "base/check.h"
#include "service/station.h"
#include "service/view_readback.h"
#include "web/me.h"
#include "web/web_inner.h"

/* What the body brings: one command, with the password its kind is signed with, or several. */
struct told {
    json_t *command;  /* NULL: several */
    json_t *commands; /* NULL: one */
    const char *password;
};

static struct result read_told(struct call *c, struct told *out)
{
    static const char *const one[] = {"command", "password", NULL};
    static const char *const several[] = {"commands", NULL};
    *out = (struct told){0};
    if (json_object_get(c->json, "commands") != NULL) {
        TRY(json_only(c->json, "", "several commands", several));
        TRY(json_get_array(c->json, "commands", "commands", JSON_NEEDED, &out->commands));
        return json_array_size(out->commands) > 0
                   ? RESULT_OK
                   : FAIL1(FIELD_MISSING, "commands", "Send at least one.");
    }
    if (json_object_get(c->json, "command") != NULL) {
        TRY(json_only(c->json, "", "a command and its password", one));
        TRY(json_get_object(c->json, "command", "command", JSON_NEEDED, &out->command));
        return json_get_text(c->json, "password", "password", JSON_OPTIONAL, &out->password);
    }
    out->command = c->json;
    return RESULT_OK;
}

static struct result check_person(struct call *c, const json_t *command, int64_t *out_person)
{
    TRY(json_get_int(command, "person", "person", JSON_NEEDED, 1, 999999, out_person));
    if (*out_person != c->seat.person) {
        return FAIL3(PERSON_OTHER, "person",
                     arena_printf(c->arena, "%lld", (long long)c->seat.person),
                     arena_printf(c->arena, "%lld", (long long)*out_person), "");
    }
    return RESULT_OK;
}

/* What a tablet kept while there was no network: of people who have stepped up at it, under its own
 * name, and nothing that one signs. */
static struct result check_kept(struct call *c, struct store *store, const char *station,
                                json_t *command)
{
    int64_t person = 0;
    const char *kind = NULL;
    bool known;
    if (!json_is_object(command)) {
        return FAIL2(FIELD_TYPE, "commands", "commands", "something else");
    }
    TRY(json_get_text(command, "kind", "kind", JSON_NEEDED, &kind));
    TRY(json_get_int(command, "person", "person", JSON_NEEDED, 1, 999999, &person));
    if (request_signs(kind)) {
        return FAIL1(SIGN_IN_PERSON, "kind", kind);
    }
    TRY(station_knows(store, station, person, &known));
    if (!known) {
        return FAIL0(STATION_NEEDED, "person");
    }
    json_object_set_new(command, "device", json_string(station));
    return RESULT_OK;
}

static struct result check_kept_all(struct call *c, const struct told *told)
{
    struct reading reading;
    const char *station;
    TRY(station_of(c, &station));
    if (station == NULL) {
        return FAIL0(STATION_NEEDED, "");
    }
    struct result r = reading_begin(c->web->readers, false, &reading);
    if (r.code == CODE_OK && told->command != NULL) {
        r = check_kept(c, reading.plant->store, station, told->command);
    }
    for (size_t i = 0; r.code == CODE_OK && i < json_array_size(told->commands); i++) {
        r = check_kept(c, reading.plant->store, station, json_array_get(told->commands, i));
    }
    reading_end(&reading);
    return r;
}

static struct result check_people(struct call *c, const struct told *told)
{
    int64_t person;
    if (told->command != NULL) {
        return check_person(c, told->command, &person);
    }
    for (size_t i = 0; i < json_array_size(told->commands); i++) {
        const json_t *command = json_array_get(told->commands, i);
        if (!json_is_object(command)) {
            return FAIL2(FIELD_TYPE, "commands", "commands", "something else");
        }
        TRY(check_person(c, command, &person));
    }
    return RESULT_OK;
}

static json_t *request_of(const struct told *told, bool dry)
{
    const char *one = dry ? "dry" : "take", *all = dry ? "dry" : "take-all";
    return told->command != NULL ? json_pack("{s:s,s:O,s:s*}", "do", one, "command", told->command,
                                             "password", told->password)
                                 : json_pack("{s:s,s:O}", "do", all, "commands", told->commands);
}

/* Every signature is asked for anew: a session that signed once does not sign again by itself. */
static struct result check_signed(struct call *c, const struct told *told, const json_t *request)
{
    struct reading reading;
    struct session session = {.count = 0};
    const char *kind = json_string_value(json_object_get(told->command, "kind"));
    bool signs = kind != NULL && request_signs(kind);
    if (signs && told->password != NULL) {
        TRY(secret_try(c, c->seat.person, "password", told->password));
        return secret_good(c, c->seat.person, "password", NULL);
    }
    struct result r = reading_begin(c->web->readers, false, &reading);
    if (r.code == CODE_OK) {
        r = request_check(reading.plant->store, &session, request, c->arena);
    }
    reading_end(&reading);
    return r;
}

/* Each command as a person would say it, for the screen before it is sent. */
static struct result read_back(struct call *c, const struct told *told, json_t *list)
{
    struct reading reading;
    struct result r = reading_begin(c->web->readers, false, &reading);
    struct view view = {.store = reading.plant->store,
                        .arena = c->arena,
                        .profile = reading.profile,
                        .now_ms = reading.now_ms,
                        .lang = c->lang,
                        .person = c->seat.person,
                        .role = c->seat.role};
    size_t count = told->command != NULL ? 1 : json_array_size(told->commands);
    for (size_t i = 0; r.code == CODE_OK && i < count; i++) {
        json_t *read = NULL;
        r = view_readback(&view,
                          told->command != NULL ? told->command : json_array_get(told->commands, i),
                          &read);
        json_array_append_new(list, r.code == CODE_OK ? read : json_null());
    }
    reading_end(&reading);
    return r;
}

static struct result tell(struct call *c, bool dry)
{
    struct told told;
    json_t *answer = NULL;
    TRY(read_told(c, &told));
    TRY(c->seat.person != 0 ? check_people(c, &told) : check_kept_all(c, &told));
    json_t *request = request_of(&told, dry);
    CHECK(request != NULL);
    struct result r = dry ? RESULT_OK : check_signed(c, &told, request);
    if (r.code == CODE_OK) {
        r = serving_ask(c->web->serving, request, &answer);
    }
    json_decref(request);
    TRY(r);
    json_t *read = dry ? json_array() : NULL;
    if (dry) {
        r = read_back(c, &told, read);
    }
    c->out = json_is_array(answer) ? json_pack("{s:o}", "answers", answer)
                                   : json_pack("{s:[o]}", "answers", answer);
    CHECK(c->out != NULL);
    if (dry) {
        json_object_set_new(c->out, "read", read);
    }
    return r;
}

struct result hand_tell(struct call *c)
{
    if (c->asked.queue != NULL && strcmp(c->asked.queue, "1") == 0) {
        c->seat = (struct seat){0}; /* what is sent later is nobody's in front of the page */
    } else if (c->seat.person == 0) {
        return FAIL0(SIGN_IN_NEEDED, "");
    }
    return tell(c, false);
}

struct result hand_tell_dry(struct call *c)
{
    return tell(c, true);
}
