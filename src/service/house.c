#include "service/house.h"

#include <string.h>
#include <unistd.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/file.h"
#include "base/uuid.h"

enum { HOUSE_FILE_MAX = 16 << 20 };

static struct result take(struct door *door, struct arena *a, struct world world, int64_t person,
                          json_t *command, json_t **out_answer)
{
    json_t *answer = NULL;
    json_object_set_new(command, "uuid", json_string(uuid_new(a, world)));
    if (json_object_get(command, "person") == NULL) {
        json_object_set_new(command, "person", json_integer(person));
    }
    json_t *request = json_pack("{s:s,s:O}", "do", "take", "command", command);
    CHECK(request != NULL);
    struct result r = door_ask(door, request, &answer);
    json_decref(request);
    if (out_answer != NULL) {
        *out_answer = answer;
    } else {
        json_decref(answer);
    }
    return r;
}

/* The manager is the first entry; the session then proves the manager for what follows. */
static struct result first_person(struct door *door, struct arena *a, struct world world,
                                  const struct house_start *s)
{
    const char *stored;
    TRY(password_hash(a, s->password, &stored));
    json_t *secret =
        json_pack("{s:s,s:I,s:s,s:s,s:I}", "do", "person", "number", (json_int_t)s->manager, "name",
                  s->name, "stored_password", stored, "by", (json_int_t)s->manager);
    json_t *person = json_pack("{s:s,s:I,s:s}", "kind", "person", "number", (json_int_t)s->manager,
                               "role", "manager");
    json_t *answer = NULL;
    CHECK(secret != NULL && person != NULL);
    struct result r = take(door, a, world, s->manager, person, NULL);
    json_decref(person);
    if (r.code == CODE_OK) {
        json_object_set_new(secret, "by_password", json_string(s->password));
        /* by_manager looks the manager up; there is no password to prove yet, so the record's own
         * folder is the proof */
        bool dirty;
        struct plant *plant = door_plant(door);
        r = store_begin(plant->store);
        if (r.code == CODE_OK) {
            r = request_do(plant, secret, NULL, a, &answer, &dirty);
            if (r.code == CODE_OK) {
                r = store_commit(plant->store);
            } else {
                store_rollback(plant->store);
            }
        }
    }
    json_decref(answer);
    json_decref(secret);
    return r;
}

static struct result take_signed(struct door *door, struct arena *a, struct world world,
                                 const struct house_start *s, json_t *command)
{
    json_t *answer = NULL;
    json_object_set_new(command, "uuid", json_string(uuid_new(a, world)));
    json_object_set_new(command, "person", json_integer(s->manager));
    json_t *request =
        json_pack("{s:s,s:O,s:s}", "do", "take", "command", command, "password", s->password);
    CHECK(request != NULL);
    struct result r = door_ask(door, request, &answer);
    json_decref(answer);
    json_decref(request);
    return r;
}

static struct result take_profile(struct door *door, struct arena *a, struct world world,
                                  const struct house_start *s, const char *text)
{
    json_t *command = json_pack("{s:s,s:s}", "kind", "profile", "text", text);
    if (command == NULL) {
        return FAIL2(FILE_READ, "", s->profile, "it is not UTF-8 text");
    }
    struct result r = take_signed(door, a, world, s, command);
    json_decref(command);
    return r;
}

static struct result take_lines(struct door *door, struct arena *a, struct world world,
                                const struct house_start *s, char *text)
{
    int64_t line_no = 0;
    for (char *line = text; line != NULL && *line != '\0';) {
        char *next = strchr(line, '\n');
        size_t len = next != NULL ? (size_t)(next - line) : strlen(line);
        line_no++;
        if (len > 0 && line[0] != '#') {
            json_t *command = NULL;
            struct result r = json_read(line, len, HOUSE_FILE_MAX, &command);
            if (r.code == CODE_OK) {
                r = take_signed(door, a, world, s, command);
            }
            json_decref(command);
            if (r.code != CODE_OK) {
                return result_at(r, line_no, 0);
            }
        }
        line = next != NULL ? next + 1 : NULL;
    }
    return RESULT_OK;
}

static struct result fill(const char *folder, struct world world, const struct house_start *s,
                          struct arena *a, const char *profile, char *house, struct house_made *out)
{
    struct door *door;
    TRY(door_open(folder, world, &door));
    struct result r = first_person(door, a, world, s);
    if (r.code == CODE_OK) {
        r = take_profile(door, a, world, s, profile);
    }
    if (r.code == CODE_OK && house != NULL) {
        r = take_lines(door, a, world, s, house);
    }
    if (r.code == CODE_OK) {
        const struct ledger *lg = door_plant(door)->ledger;
        out->entries = lg->next_seq - 1;
        out->profile = arena_copy(a, lg->profile->name);
    }
    door_close(door);
    return r;
}

static void remove_plant(struct arena *a, const char *folder)
{
    static const char *const names[] = {"plant.db",      "plant.db-wal", "plant.db-shm",
                                        "plant.db.lock", "plant.key",    "plant.zone"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        unlink(arena_printf(a, "%s/%s", folder, names[i]));
    }
    rmdir(folder);
}

struct result house_start(const char *folder, struct world world, const struct house_start *s,
                          struct arena *a, struct house_made *out)
{
    char *profile, *house = NULL;
    size_t len, house_len;
    struct profile *p;
    TRY(file_read(a, s->profile, HOUSE_FILE_MAX, &profile, &len));
    TRY(profile_propose(profile, len, &p));
    profile_free(p);
    if (s->house != NULL) {
        TRY(file_read(a, s->house, HOUSE_FILE_MAX, &house, &house_len));
        if (strlen(house) != house_len) { /* the rest would be taken for the end */
            return FAIL2(FILE_READ, "", s->house, "it is not text, it holds zero bytes");
        }
    }
    TRY(civil_zone_use(s->zone));
    if (strlen(s->password) < 8) {
        return FAIL2(FIELD_RANGE, "password", "too short", "at least 8 characters");
    }
    TRY(plant_create(folder, world));
    struct result r = plant_zone_set(folder, s->zone);
    if (r.code == CODE_OK) {
        r = fill(folder, world, s, a, profile, house, out);
    }
    if (r.code != CODE_OK) {
        remove_plant(a, folder);
    }
    return r;
}
