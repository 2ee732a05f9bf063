#include "feed/import.h"

#include <stdio.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/uuid.h"
#include "feed/feed_inner.h"
#include "ledger/daybook.h"

enum { BOOKED_DAYS = 400 }; /* how far around the file's days booked order lines are looked at */

static struct result read_mapping(struct store *s, struct arena *a, const struct import_ask *ask,
                                  struct mapping *out)
{
    struct statement *q = store_prepare(s, Q_MAPPING_IN_FORCE);
    store_bind_text(q, 1, ask->source);
    store_bind_text(q, 2, ask->kind);
    bool row;
    TRY(store_step(q, &row));
    if (!row) {
        return FAIL2(MAPPING_MISSING, "source", ask->source, ask->kind);
    }
    const char *text = arena_copy(a, store_text(q, 0));
    while (row) {
        TRY(store_step(q, &row));
    }
    json_t *data;
    TRY(json_read(text, strlen(text), SIZE_MAX, &data));
    struct result r = mapping_read(a, ask->source, ask->kind, data, out);
    json_decref(data);
    return r;
}

static struct result known_orders(struct store *s, struct arena *a,
                                  const struct feed_content *content, struct feed_known *out)
{
    size_t room = 256;
    struct order_line *lines = ARENA_ARRAY(a, struct order_line, room);
    struct statement *q = store_prepare(s, Q_ORDER_LINES_OF_DAYS);
    store_bind_int(q, 1, content->report.from_day - BOOKED_DAYS);
    store_bind_int(q, 2, content->report.to_day + BOOKED_DAYS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        if (out->order_count == room) {
            struct order_line *more = ARENA_ARRAY(a, struct order_line, room * 2);
            memcpy(more, lines, room * sizeof *lines);
            lines = more;
            room *= 2;
        }
        lines[out->order_count++] = (struct order_line){
            .key = arena_copy(a, store_text(q, 0)),
            .version = store_int(q, 1),
            .customer = arena_copy(a, store_text(q, 2)),
            .item = arena_copy(a, store_text(q, 3)),
            .day = (int32_t)store_int(q, 4),
            .pieces = store_int(q, 5),
            .state = strcmp(store_text(q, 6), order_state_text(ORDER_CANCELLED)) == 0
                         ? ORDER_CANCELLED
                         : ORDER_OPEN,
            .source = arena_copy(a, store_text(q, 7)),
            .shipped_pieces = store_int(q, 8)};
    }
    out->orders = lines;
    return RESULT_OK;
}

static struct result known_rows(struct store *s, struct arena *a,
                                const struct feed_content *content, struct feed_known *out)
{
    const char **uuids = ARENA_ARRAY(a, const char *, content->row_count + 1);
    for (size_t i = 0; i < content->row_count; i++) {
        uint8_t uuid[16];
        struct entry entry;
        bool found;
        TRY(uuid_read(content->rows[i].uuid, "uuid", uuid));
        TRY(entry_by_uuid(s, a, uuid, &entry, &found));
        if (found) {
            uuids[out->uuid_count++] = content->rows[i].uuid;
        }
    }
    out->uuids = uuids;
    return RESULT_OK;
}

static struct result known_pieces(struct store *s, struct arena *a, const struct mapping *m,
                                  const struct feed_content *content, struct feed_known *out)
{
    enum { PIECES_MAX = 4096 };
    struct series_piece *pieces = ARENA_ARRAY(a, struct series_piece, PIECES_MAX);
    struct statement *q = store_prepare(s, Q_PIECES_OF_SERIES);
    store_bind_text(q, 1, m->series);
    store_bind_int(q, 2, content->report.from_ms - SERIES_HOUR_MS);
    store_bind_int(q, 3, content->report.to_ms + SERIES_HOUR_MS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        size_t len;
        const void *bytes = store_bytes(q, 1, &len);
        if (out->piece_count < PIECES_MAX && bytes != NULL) {
            uint8_t *copy = arena_alloc(a, len);
            memcpy(copy, bytes, len);
            pieces[out->piece_count++] = (struct series_piece){.bytes = copy, .len = len};
        }
    }
    out->pieces = pieces;
    return RESULT_OK;
}

static struct result known_of(struct store *s, struct arena *a, const struct profile *p,
                              const struct mapping *m, const struct feed_content *content,
                              struct feed_known *out)
{
    *out = (struct feed_known){.day_starts_min = p->day_starts_min};
    switch (m->kind) {
    case FEED_ORDERS:
        return known_orders(s, a, content, out);
    case FEED_SEED:
    case FEED_RESULTS:
        return known_rows(s, a, content, out);
    default:
        return known_pieces(s, a, m, content, out);
    }
}

/* The file goes in first: what follows may name it as its report. A file that was attached before
 * is not attached again. */
static json_t *with_file(struct arena *a, const struct import_ask *ask, json_t *commands)
{
    static const char *const paper_kinds[] = {"file", "file", "report", "file", "file"};
    static const char *const kinds[] = {"orders", "seed", "results", "logger", "checkweigher"};
    const char *paper = "file";
    for (size_t i = 0; i < 5; i++) {
        paper = strcmp(kinds[i], ask->kind) == 0 ? paper_kinds[i] : paper;
    }
    struct hash sha = digest_sha256(ask->bytes, ask->len);
    struct hash seed = digest_sha256(arena_printf(a, "attach %s", hex_text(a, sha.b, 32)), 7 + 64);
    json_t *attach = json_pack("{s:s,s:s,s:s,s:s,s:s}", "kind", "attach", "uuid",
                               uuid_text(a, seed.b), "name", ask->name, "paper_kind", paper,
                               "bytes_b64", base64_text(a, ask->bytes, ask->len));
    CHECK(attach != NULL);
    json_t *all = json_array();
    json_array_append_new(all, attach);
    json_array_extend(all, commands);
    size_t i;
    json_t *command;
    json_array_foreach(all, i, command)
    {
        json_object_set_new(command, "person", json_integer(ask->person));
        if (ask->reason != NULL && json_object_get(command, "at") != NULL) {
            json_object_set_new(command, "reason", json_string(ask->reason));
        }
    }
    return all;
}

/* A refusal of a command, numbered from 1 with the file itself as the first, becomes one of the
 * file's line. Of orders the field says which of the command's lines is meant. */
static struct result in_file(const struct feed_report *report, struct result r)
{
    int64_t number = r.line;
    size_t part = 0, past = 0;
    int taken = 0;
    r.line = 0;
    if (sscanf(r.field, "lines[%zu].%n", &part, &taken) == 1 && taken > 0) {
        past = (size_t)taken;
    }
    for (size_t i = 0; i < report->place_count; i++) {
        const struct feed_place *p = &report->places[i];
        if ((int64_t)p->command + 2 == number && p->part == part && p->line > 0) {
            memmove(r.field, r.field + past, strlen(r.field + past) + 1);
            return result_at(r, p->line, 1);
        }
    }
    return r;
}

/* What is only tried is told too, and taken back: it is refused then as it would be. */
static struct result send(struct door *door, struct arena *a, const struct import_ask *ask,
                          json_t *commands, struct import_done *out)
{
    json_t *answer = NULL;
    json_t *request = json_pack("{s:s,s:o,s:b}", "do", ask->only_try ? "dry" : "take-all",
                                "commands", with_file(a, ask, commands), "numbered", 1);
    CHECK(request != NULL);
    struct result r = in_file(&out->report, door_ask(door, request, &answer));
    json_decref(request);
    if (ask->only_try && r.code == CODE_REASON_MISSING) {
        feed_caution(&out->report, r);
        r = RESULT_OK;
    }
    if (r.code == CODE_OK && !ask->only_try) {
        size_t count = json_array_size(answer);
        out->first_entry = json_integer_value(json_object_get(json_array_get(answer, 0), "entry"));
        out->last_entry =
            json_integer_value(json_object_get(json_array_get(answer, count - 1), "entry"));
    }
    json_decref(answer);
    return r;
}

static struct result plan_and_send(struct door *door, struct store *reader,
                                   const struct profile *profile, struct arena *a,
                                   const struct import_ask *ask, const struct mapping *m,
                                   const struct feed_content *content, struct import_done *out)
{
    struct feed_known known;
    json_t *commands = NULL;
    TRY(known_of(reader, a, profile, m, content, &known));
    TRY(feed_plan(a, m, content, &known, &out->report, &commands));
    out->commands = json_array_size(commands);
    struct result r = RESULT_OK;
    if (out->commands > 0 && door != NULL) {
        r = send(door, a, ask, commands, out);
    }
    json_decref(commands);
    return r;
}

struct result import_file(struct door *door, struct store *reader, const struct profile *profile,
                          struct arena *a, const struct import_ask *ask, struct import_done *out)
{
    struct mapping m;
    struct feed_content content;
    struct feed_file file = {.name = ask->name, .bytes = ask->bytes, .len = ask->len};
    *out = (struct import_done){.commands = 0};
    TRY(read_mapping(reader, a, ask, &m));
    const char *zone = arena_copy(a, civil_zone());
    struct result r = feed_read(a, &m, &file, &content);
    struct result back = civil_zone_use(zone);
    if (r.code == CODE_OK) {
        r = back;
    }
    if (r.code == CODE_OK) {
        r = plan_and_send(door, reader, profile, a, ask, &m, &content, out);
    }
    feed_release(&content);
    return r;
}
