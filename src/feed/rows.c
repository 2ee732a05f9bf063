/* Rows that become commands of their own: seed lots and laboratory results. */
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "feed/feed_inner.h"

struct feed_row *row_begin(struct table *t, struct feed_content *content)
{
    if (content->row_count == content->row_room) {
        size_t room = content->row_room * 2 + 64;
        struct feed_row *rows = ARENA_ARRAY(t->arena, struct feed_row, room);
        struct feed_keyed *keys = ARENA_ARRAY(t->arena, struct feed_keyed, room);
        if (content->row_count > 0) {
            memcpy(rows, content->rows, content->row_count * sizeof *rows);
            memcpy(keys, content->row_keys, content->row_count * sizeof *keys);
        }
        content->rows = rows;
        content->row_keys = keys;
        content->row_room = room;
    }
    struct feed_row *row = &content->rows[content->row_count++];
    *row = (struct feed_row){.line = t->row.line};
    return row;
}

json_t *row_command(struct table *t, struct feed_row *row, const char *kind)
{
    CHECK(row->command_count < sizeof row->commands / sizeof row->commands[0]);
    json_t *command = feed_command(t->arena, t->m, kind);
    row->commands[row->command_count++] = command;
    return command;
}

struct result row_when(struct table *t, struct feed_row *row, const struct cell *when,
                       const char **out)
{
    struct stamp s;
    int64_t ms;
    *out = "";
    if (when->missing) {
        return RESULT_OK;
    }
    TRY(cell_stamp(t->m, when, &s));
    if (!s.has_time) {
        row->has_day = true;
        row->day = s.day;
        *out = day_text(t->arena, s.day);
        return RESULT_OK;
    }
    TRY(stamp_to_ms(&s, when, &ms));
    *out = civil_text(t->arena, ms, s.has_offset ? s.offset_min : civil_offset_min(ms));
    for (size_t i = 0; i < row->command_count; i++) {
        feed_set_text(row->commands[i], "at", *out);
    }
    return RESULT_OK;
}

void row_end(struct table *t, struct feed_content *content, const char *key, const char *moment)
{
    struct feed_row *row = &content->rows[content->row_count - 1];
    struct feed_keyed *keyed = &content->row_keys[content->row_count - 1];
    *keyed = (struct feed_keyed){.key = key, .content = "", .line = row->line};
    row->what = key;
    for (size_t i = 0; i < row->command_count; i++) {
        const char *uuid = feed_uuid(t->arena, t->m, row->commands[i], moment);
        keyed->content = arena_printf(t->arena, "%s %s", keyed->content, uuid);
        row->uuid = i == 0 ? uuid : row->uuid;
        feed_set_text(row->commands[i], "uuid", uuid);
    }
}

struct result rows_end(struct table *t, struct feed_content *content, const char *key_name)
{
    if (content->row_count == 0) {
        return result_at(FAIL0(FEED_EMPTY, t->file->name), t->header_line, 1);
    }
    TRY(feed_unique(t->arena, content->row_keys, content->row_count, key_name));
    for (size_t i = 0; i < content->row_count; i++) {
        struct feed_row *row = &content->rows[i];
        row->duplicate = content->row_keys[i].duplicate;
        if (row->duplicate) {
            feed_note(t->arena, &content->report, FEED_MARK_DUPLICATE, row->line, row->what);
        }
    }
    return RESULT_OK;
}

static int by_text(const void *left, const void *right)
{
    return strcmp(*(const char *const *)left, *(const char *const *)right);
}

/* A day without a time is told at the beginning of the house's day: it is the same house day, and
 * not in the future. */
static struct result set_day(struct arena *a, const struct feed_row *row, int day_starts_min,
                             json_t *command)
{
    struct civil c = {.hour = day_starts_min / 60, .minute = day_starts_min % 60};
    int64_t ms;
    day_to_ymd(row->day, &c.year, &c.month, &c.day);
    TRY(result_at(civil_to_ms(&c, CIVIL_NO_OFFSET, "at", &ms), row->line, 1));
    feed_set_text(command, "at", civil_text(a, ms, civil_offset_min(ms)));
    return RESULT_OK;
}

struct result rows_plan(struct arena *a, const struct feed_content *content,
                        const struct feed_known *known, struct feed_report *report,
                        json_t *commands)
{
    const char **booked = ARENA_ARRAY(a, const char *, known->uuid_count + 1);
    if (known->uuid_count > 0) {
        memcpy(booked, known->uuids, known->uuid_count * sizeof *booked);
        qsort(booked, known->uuid_count, sizeof *booked, by_text);
    }
    enum { EACH = sizeof content->rows[0].commands / sizeof content->rows[0].commands[0] };
    report->places = ARENA_ARRAY(a, struct feed_place, content->row_count * EACH + 1);
    for (size_t i = 0; i < content->row_count; i++) {
        const struct feed_row *row = &content->rows[i];
        if (row->duplicate) {
            continue;
        }
        if (bsearch(&row->uuid, booked, known->uuid_count, sizeof *booked, by_text) != NULL) {
            feed_note(a, report, FEED_MARK_KNOWN, row->line, row->what);
            continue;
        }
        feed_note(a, report, FEED_MARK_NEW, row->line, row->what);
        for (size_t c = 0; c < row->command_count; c++) {
            json_t *command = json_copy(row->commands[c]);
            feed_place(report, json_array_size(commands), 0, row->line);
            CHECK(command != NULL && json_array_append_new(commands, command) == 0);
            if (row->has_day) {
                TRY(set_day(a, row, known->day_starts_min, command));
            }
        }
    }
    return RESULT_OK;
}
