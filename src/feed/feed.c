#include "feed/feed.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "feed/feed_inner.h"

void feed_note(struct arena *a, struct feed_report *report, enum feed_mark mark, int64_t line,
               const char *what)
{
    report->count[mark]++;
    if (report->notes == NULL) {
        report->notes = ARENA_ARRAY(a, struct feed_note, FEED_NOTES_MAX);
    }
    if (mark != FEED_MARK_KNOWN && report->note_count < FEED_NOTES_MAX) {
        report->notes[report->note_count++] =
            (struct feed_note){.mark = mark, .line = line, .what = what};
    }
}

void feed_gap_note(struct arena *a, struct feed_report *report, const struct series_gap *gap,
                   const char *from)
{
    size_t before = report->note_count;
    feed_note(a, report, FEED_MARK_GAP, gap->line, from);
    if (report->note_count > before) {
        report->notes[before].gap = gap;
    }
}

void feed_caution(struct feed_report *report, struct result caution)
{
    CHECK(report->caution_count < sizeof report->cautions / sizeof report->cautions[0]);
    report->cautions[report->caution_count++] = caution;
}

void feed_place(struct feed_report *report, size_t command, size_t part, int64_t line)
{
    report->places[report->place_count++] =
        (struct feed_place){.command = command, .part = part, .line = line};
}

void feed_set_text(json_t *object, const char *name, const char *text)
{
    CHECK(json_object_set_new(object, name, json_string(text)) == 0);
}

json_t *feed_command(struct arena *a, const struct mapping *m, const char *kind)
{
    json_t *command = json_object();
    CHECK(command != NULL);
    feed_set_text(command, "kind", kind);
    feed_set_text(command, "device", arena_printf(a, "import %s", m->source));
    return command;
}

const char *feed_uuid(struct arena *a, const struct mapping *m, const json_t *command,
                      const char *more)
{
    const char *text = arena_printf(a, "%s\n%s\n%s\n%s", m->source, feed_kind_text(m->kind),
                                    json_canonical(a, command), more);
    struct hash h = digest_sha256(text, strlen(text));
    h.b[6] = (uint8_t)((h.b[6] & 0x0F) | 0x80);
    h.b[8] = (uint8_t)((h.b[8] & 0x3F) | 0x80);
    const char *hex = hex_text(a, h.b, 16);
    return arena_printf(a, "%.8s-%.4s-%.4s-%.4s-%.12s", hex, hex + 8, hex + 12, hex + 16, hex + 20);
}

static int by_key_and_line(const void *left, const void *right)
{
    const struct feed_keyed *const *x = left;
    const struct feed_keyed *const *y = right;
    int order = strcmp((*x)->key, (*y)->key);
    return order != 0 ? order : ((*x)->line > (*y)->line) - ((*x)->line < (*y)->line);
}

struct result feed_unique(struct arena *a, struct feed_keyed *rows, size_t count, const char *field)
{
    struct feed_keyed **sorted = ARENA_ARRAY(a, struct feed_keyed *, count + 1);
    const struct feed_keyed *first = NULL; /* of the two rows that differ */
    const struct feed_keyed *second = NULL;
    for (size_t i = 0; i < count; i++) {
        sorted[i] = &rows[i];
    }
    qsort(sorted, count, sizeof *sorted, by_key_and_line);
    for (size_t i = 1, group = 0; i < count; i++) {
        if (strcmp(sorted[i]->key, sorted[group]->key) != 0) {
            group = i;
            continue;
        }
        sorted[i]->duplicate = true;
        bool differs = strcmp(sorted[i]->content, sorted[group]->content) != 0;
        if (differs && (second == NULL || sorted[i]->line < second->line)) {
            first = sorted[group];
            second = sorted[i];
        }
    }
    if (second == NULL) {
        return RESULT_OK;
    }
    const char *line = arena_printf(a, "%lld", (long long)first->line);
    return result_at(FAIL2(FEED_TWICE, field, second->key, line), second->line, 1);
}

struct result stamp_to_ms(const struct stamp *s, const struct cell *c, int64_t *out_ms)
{
    if (s->has_offset) {
        *out_ms = (int64_t)s->day * 86400000 + s->day_ms - (int64_t)s->offset_min * 60000;
        return RESULT_OK;
    }
    struct civil local = civil_from_ms((int64_t)s->day * 86400000 + s->day_ms, 0);
    return cell_at(c, civil_to_ms(&local, CIVIL_NO_OFFSET, c->header, out_ms));
}

static struct result read_rows(struct table *t, struct feed_content *out)
{
    switch (t->m->kind) {
    case FEED_ORDERS:
        return orders_read(t, out);
    case FEED_SEED:
        return seed_read(t, out);
    case FEED_RESULTS:
        return results_read(t, out);
    default:
        return readings_read(t, out);
    }
}

static struct result read_table(struct arena *a, const struct mapping *m,
                                const struct feed_file *file, struct feed_content *out)
{
    struct table t;
    TRY(table_open(a, m, file, &t));
    struct feed_report *report = &out->report;
    report->delimiter = csv_delimiter(t.csv);
    struct result r = read_rows(&t, out);
    report->rows = t.rows;
    report->encoding = csv_encoding_found(t.csv);
    bool series = m->kind == FEED_LOGGER || m->kind == FEED_CHECKWEIGHER;
    if (r.code == CODE_OK && t.open_end && !series) {
        feed_caution(report, FAIL0(FEED_OPEN_END, file->name));
    }
    table_close(&t);
    return r;
}

struct result feed_read(struct arena *a, const struct mapping *m, const struct feed_file *file,
                        struct feed_content *out)
{
    *out =
        (struct feed_content){.report = {.kind = m->kind, .source = m->source, .file = file->name}};
    if (file->len > FEED_FILE_BYTES_MAX) {
        return FAIL1(INPUT_LARGE, file->name, arena_printf(a, "%d", FEED_FILE_BYTES_MAX));
    }
    out->report.sha256 = digest_sha256(file->bytes, file->len);
    const char *before = arena_copy(a, civil_zone());
    if (m->zone != NULL) {
        struct result zone = civil_zone_use(m->zone);
        if (zone.code != CODE_OK) {
            return FAIL1(ZONE_UNKNOWN, "zone", m->zone);
        }
    }
    struct result r = read_table(a, m, file, out);
    struct result back = civil_zone_use(before);
    CHECK(back.code == CODE_OK); /* it was in use a moment ago */
    return r;
}

void feed_release(struct feed_content *content)
{
    for (size_t i = 0; i < content->row_count; i++) {
        for (size_t c = 0; c < content->rows[i].command_count; c++) {
            json_decref(content->rows[i].commands[c]);
        }
    }
    content->row_count = 0;
}

struct result feed_plan(struct arena *a, const struct mapping *m,
                        const struct feed_content *content, const struct feed_known *known,
                        struct feed_report *out_report, json_t **out_commands)
{
    json_t *commands = json_array();
    CHECK(commands != NULL);
    *out_report = content->report;
    out_report->notes = ARENA_ARRAY(a, struct feed_note, FEED_NOTES_MAX);
    for (size_t i = 0; i < content->report.note_count; i++) {
        out_report->notes[i] = content->report.notes[i];
    }
    struct result r;
    switch (m->kind) {
    case FEED_ORDERS:
        r = orders_plan(a, m, content, known, out_report, commands);
        break;
    case FEED_SEED:
    case FEED_RESULTS:
        r = rows_plan(a, content, known, out_report, commands);
        break;
    default:
        r = series_plan(a, m, content, known, out_report, commands);
        break;
    }
    if (r.code != CODE_OK) {
        json_decref(commands);
        return r;
    }
    *out_commands = commands;
    return RESULT_OK;
}
