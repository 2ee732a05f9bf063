#include "demo/play.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/file.h"
#include "base/uuid.h"
#include "feed/import.h"

int64_t at_day(int32_t day, int hour, int minute)
{
    struct civil c = {.hour = hour, .minute = minute};
    int64_t ms = 0;
    day_to_ymd(day, &c.year, &c.month, &c.day);
    struct result r =
        civil_to_ms(&c, 60, "", &ms); /* the plan of a day has no times between two and three */
    CHECK(r.code == CODE_OK);
    return ms;
}

int64_t at(const struct play *p, int hour, int minute)
{
    return at_day(p->day, hour, minute);
}

const char *when_text(struct play *p, int64_t ms)
{
    return civil_text(&p->scratch, ms, civil_offset_min(ms));
}

const char *mass_of(struct play *p, double kg)
{
    return arena_printf(&p->scratch, "%.2f kg", kg);
}

double vary(struct play *p, double middle, double share)
{
    double x = random_normal(&p->random);
    x = x > 3 ? 3 : x < -3 ? -3 : x;
    return middle * (1 + share * x);
}

static json_t *request_of(struct play *p, int64_t at_ms, int64_t person, json_t *command)
{
    CHECK(command != NULL);
    json_object_set_new(command, "uuid", json_string(uuid_new(&p->scratch, p->world)));
    json_object_set_new(command, "person", json_integer(person));
    json_object_set_new(command, "at", json_string(when_text(p, at_ms)));
    if (p->script != NULL) {
        json_dumpf(command, p->script, JSON_COMPACT);
        fputc('\n', p->script);
    }
    json_t *request =
        json_pack("{s:s,s:o,s:s}", "do", "take", "command", command, "password", DEMO_PASSWORD);
    CHECK(request != NULL);
    return request;
}

struct result tell(struct play *p, int64_t at_ms, int64_t told_ms, int64_t person, json_t *command,
                   json_t **out_answer)
{
    json_t *answer = NULL;
    if (told_ms > p->clock.now_ms) {
        p->clock.now_ms = told_ms;
    }
    if (p->clock.now_ms - at_ms > 8 * HOUR && json_object_get(command, "reason") == NULL) {
        json_object_set_new(command, "reason",
                            json_string("entered after the shift from the paper sheet"));
    }
    json_t *request = request_of(p, at_ms, person, command);
    struct result r = door_ask(p->door, request, &answer);
    json_decref(request);
    if (r.code == CODE_OK) {
        p->made->last_entry = json_integer_value(json_object_get(answer, "entry"));
        p->made->deviations += (int64_t)json_array_size(json_object_get(answer, "deviations"));
    }
    if (out_answer != NULL) {
        *out_answer = answer;
    } else {
        json_decref(answer);
    }
    return r;
}

void review_later(struct play *p, int64_t from, int64_t to, int64_t doer)
{
    for (int64_t entry = from; entry <= to; entry++) {
        if (p->review_count == p->review_room) {
            size_t room = p->review_room == 0 ? 256 : p->review_room * 2;
            struct to_review *more = ARENA_ARRAY(p->arena, struct to_review, room);
            if (p->review_count > 0) {
                memcpy(more, p->review, p->review_count * sizeof *more);
            }
            p->review = more;
            p->review_room = room;
        }
        p->review[p->review_count++] = (struct to_review){.entry = entry, .doer = doer};
    }
}

struct result say(struct play *p, int64_t at_ms, int64_t person, bool review, json_t *command)
{
    if (p->late_ms > 0) {
        json_object_set_new(command, "reason", json_string(p->late_reason));
    }
    TRY(tell(p, at_ms, at_ms + 2 * MINUTE + p->late_ms, person, command, NULL));
    if (review) {
        review_later(p, p->made->last_entry, p->made->last_entry, person);
    }
    return RESULT_OK;
}

struct result refused(struct play *p, int64_t at_ms, int64_t person, json_t *command,
                      enum code code)
{
    struct result r = tell(p, at_ms, at_ms + MINUTE, person, command, NULL);
    if (r.code == code) {
        p->made->refusals++;
        return RESULT_OK;
    }
    return r.code != CODE_OK ? r : FAIL1(DEMO_NOT_REFUSED, "", code_id(code));
}

struct result review_all(struct play *p, int64_t at_ms, int64_t person)
{
    json_t *entries = json_array();
    size_t left = 0;
    for (size_t i = 0; i < p->review_count; i++) {
        if (p->review[i].doer != person) {
            json_array_append_new(entries, json_integer(p->review[i].entry));
        } else {
            p->review[left++] = p->review[i];
        }
    }
    p->review_count = left;
    if (json_array_size(entries) == 0) {
        json_decref(entries);
        return RESULT_OK;
    }
    return say(p, at_ms, person, false,
               json_pack("{s:s,s:o}", "kind", "review", "entries", entries));
}

struct result file_in(struct play *p, int64_t at_ms, int64_t person, const char *kind,
                      const char *source, const char *name, const char *bytes, size_t len,
                      const char *reason)
{
    const char *path = arena_printf(&p->scratch, "%s/files/%s", p->s->folder, name);
    struct import_done done;
    if (at_ms > p->clock.now_ms) {
        p->clock.now_ms = at_ms;
    }
    if (reason == NULL && p->clock.now_ms - at_ms > 7 * HOUR) {
        reason = "the file was taken in after the shift";
    }
    TRY(file_write(path, bytes, len, 0644));
    struct plant *plant = door_plant(p->door);
    struct import_ask ask = {.source = source,
                             .kind = kind,
                             .name = name,
                             .bytes = bytes,
                             .len = len,
                             .person = person,
                             .reason = reason,
                             .world = p->world};
    TRY(import_file(p->door, plant->store, plant->ledger->profile, &p->scratch, &ask, &done));
    if (done.last_entry > 0) {
        p->made->last_entry = done.last_entry;
    }
    return RESULT_OK;
}

struct result attach(struct play *p, int64_t at_ms, int64_t person, const char *name,
                     const char *paper_kind, const char *text, const char **out_sha)
{
    struct hash sha = digest_sha256(text, strlen(text));
    *out_sha = hex_text(p->arena, sha.b, sizeof sha.b);
    return say(p, at_ms, person, false,
               json_pack("{s:s,s:s,s:s,s:s}", "kind", "attach", "name", name, "paper_kind",
                         paper_kind, "bytes_b64", base64_text(&p->scratch, text, strlen(text))));
}

void sheet_add(struct sheet *s, const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, format, args);
    CHECK(n >= 0);
    if (s->len + (size_t)n + 1 > s->room) {
        s->room = (s->len + (size_t)n + 1) * 2;
        s->at = realloc(s->at, s->room);
        CHECK(s->at != NULL);
    }
    vsnprintf(s->at + s->len, (size_t)n + 1, format, again);
    s->len += (size_t)n;
    va_end(again);
    va_end(args);
}

void sheet_release(struct sheet *s)
{
    free(s->at);
    *s = (struct sheet){0};
}
