/* Order books. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "feed/feed_inner.h"

enum {
    PIECES_MAX = 100000000,
    ORDER_LINES_MAX = 3000 /* of one command, as decide_order takes them */
};

struct lines {
    struct order_line *at;
    struct feed_keyed *keyed;
    size_t count, room;
};

/* Parts of a key are joined by "/"; a part's own "/" and "%" are written as %2F and %25. */
static const char *key_part(struct arena *a, const char *text)
{
    char *out = arena_alloc(a, strlen(text) * 3 + 1);
    char *at = out;
    for (; *text != '\0'; text++) {
        if (*text == '/' || *text == '%') {
            memcpy(at, *text == '/' ? "%2F" : "%25", 3);
            at += 3;
        } else {
            *at++ = *text;
        }
    }
    return out;
}

static struct result read_key(struct table *t, struct order_line *line)
{
    struct arena *a = t->arena;
    struct cell order, part;
    const char *customer = key_part(a, line->customer);
    if (!mapping_has(t->m, ORDERS_ORDER)) {
        line->key =
            arena_printf(a, "%s/%s/%s", customer, key_part(a, line->item), day_text(a, line->day));
        return RESULT_OK;
    }
    TRY(table_needed(t, ORDERS_ORDER, &order));
    TRY(table_needed(t, ORDERS_LINE, &part));
    line->key =
        arena_printf(a, "%s/%s/%s", customer, key_part(a, order.text), key_part(a, part.text));
    return RESULT_OK;
}

static struct result read_state(struct table *t, struct order_line *line)
{
    struct cell c = table_cell(t, ORDERS_STATE);
    const char *word;
    if (c.missing) {
        return RESULT_OK;
    }
    TRY(cell_word(t->arena, t->m, ORDERS_STATE, &c, &word));
    if (strcmp(word, "open") != 0 && strcmp(word, "cancelled") != 0) {
        return cell_at(&c, FAIL2(FEED_CODE, c.header, c.text, "state"));
    }
    line->state = word[0] == 'c' ? ORDER_CANCELLED : ORDER_OPEN;
    return RESULT_OK;
}

static struct result read_line(struct table *t, struct order_line *line)
{
    struct cell customer, item, day, pieces;
    TRY(table_needed(t, ORDERS_CUSTOMER, &customer));
    TRY(table_needed(t, ORDERS_ITEM, &item));
    TRY(table_needed(t, ORDERS_DAY, &day));
    TRY(table_needed(t, ORDERS_PIECES, &pieces));
    TRY(cell_word(t->arena, t->m, ORDERS_CUSTOMER, &customer, &line->customer));
    TRY(cell_word(t->arena, t->m, ORDERS_ITEM, &item, &line->item));
    TRY(cell_day(t->m, &day, &line->day));
    TRY(read_state(t, line));
    TRY(cell_count(t->m, &pieces, line->state == ORDER_OPEN ? 1 : 0, PIECES_MAX, &line->pieces));
    line->source = t->m->source;
    line->line = t->row.line;
    return read_key(t, line);
}

static void keep(struct arena *a, struct lines *lines, const struct order_line *line)
{
    if (lines->count == lines->room) {
        lines->room = lines->room * 2 + 64;
        struct order_line *at = ARENA_ARRAY(a, struct order_line, lines->room);
        struct feed_keyed *keyed = ARENA_ARRAY(a, struct feed_keyed, lines->room);
        if (lines->count > 0) {
            memcpy(at, lines->at, lines->count * sizeof *at);
            memcpy(keyed, lines->keyed, lines->count * sizeof *keyed);
        }
        lines->at = at;
        lines->keyed = keyed;
    }
    const char *content =
        arena_printf(a, "%s\x1F%s\x1F%d\x1F%lld\x1F%d", line->customer, line->item, (int)line->day,
                     (long long)line->pieces, (int)line->state);
    lines->at[lines->count] = *line;
    lines->keyed[lines->count++] =
        (struct feed_keyed){.key = line->key, .content = content, .line = line->line};
}

/* One end of the dates for which the file is whole, as far as this row tells; must not change
 * between rows. */
static struct result read_book_column(struct table *t, const struct mapping_day *day, int at,
                                      bool first, int32_t *value)
{
    if (day->from != DAY_COLUMN) {
        return RESULT_OK;
    }
    struct cell c = table_cell_at(t, at);
    int32_t here;
    c.header = day->name;
    if (c.missing) {
        return cell_missing(&c);
    }
    TRY(cell_day(t->m, &c, &here));
    if (!first && here != *value) {
        return cell_at(&c, FAIL2(FEED_SAYS, c.header, c.text, day_text(t->arena, *value)));
    }
    *value = here;
    return RESULT_OK;
}

static struct result read_book_row(struct table *t, const struct mapping_day *day, int32_t *value)
{
    const char *text = table_preamble(t, day->name);
    struct cell c = {.text = text, .line = t->header_line, .column = 1, .header = day->name};
    if (text == NULL) {
        return cell_at(&c, FAIL2(FEED_PREAMBLE, t->file->name, day->name, t->m->source));
    }
    return cell_day(t->m, &c, value);
}

/* Dates that do not come from each row; lines are all rows. */
static struct result settle_day(struct table *t, const struct mapping_day *day,
                                const struct lines *lines, int sign, int32_t *value)
{
    if (day->from == DAY_DATE) {
        *value = day->day;
    } else if (day->from == DAY_ROW) {
        return read_book_row(t, day, value);
    } else if (lines->count == 0) {
        return result_at(FAIL0(FEED_EMPTY, t->file->name), t->header_line, 1);
    } else if (day->from == DAY_OF_ROWS) {
        *value = lines->at[0].day;
        for (size_t i = 1; i < lines->count; i++) {
            bool further = sign * (lines->at[i].day - *value) > 0;
            *value = further ? lines->at[i].day : *value;
        }
    }
    return RESULT_OK;
}

static struct result settle_book(struct table *t, const struct lines *lines,
                                 struct feed_report *report)
{
    const struct mapping *m = t->m;
    report->whole_book = m->whole_from.from != DAY_NONE;
    if (!report->whole_book) {
        struct mapping_day of_rows = {.from = DAY_OF_ROWS};
        TRY(settle_day(t, &of_rows, lines, -1, &report->from_day));
        return settle_day(t, &of_rows, lines, 1, &report->to_day);
    }
    TRY(settle_day(t, &m->whole_from, lines, -1, &report->from_day));
    TRY(settle_day(t, &m->whole_to, lines, 1, &report->to_day));
    const char *range = arena_printf(t->arena, "%s to %s", day_text(t->arena, report->from_day),
                                     day_text(t->arena, report->to_day));
    if (report->to_day < report->from_day) {
        return result_at(
            FAIL2(FEED_BOOK_DAY, "whole_book", day_text(t->arena, report->to_day), range),
            t->header_line, 1);
    }
    for (size_t i = 0; i < lines->count; i++) {
        const struct order_line *line = &lines->at[i];
        if (line->day < report->from_day || line->day > report->to_day) {
            return result_at(FAIL2(FEED_BOOK_DAY, "day", day_text(t->arena, line->day), range),
                             line->line, 1);
        }
    }
    return RESULT_OK;
}

struct result orders_read(struct table *t, struct feed_content *out)
{
    struct lines lines = {0};
    struct feed_report *report = &out->report;
    for (;;) {
        bool has;
        struct order_line line = {0};
        TRY(table_next(t, &has));
        if (!has) {
            break;
        }
        TRY(read_line(t, &line));
        TRY(read_book_column(t, &t->m->whole_from, t->whole_from_at, lines.count == 0,
                             &report->from_day));
        TRY(read_book_column(t, &t->m->whole_to, t->whole_to_at, lines.count == 0,
                             &report->to_day));
        keep(t->arena, &lines, &line);
    }
    TRY(feed_unique(t->arena, lines.keyed, lines.count, "order line"));
    TRY(settle_book(t, &lines, report));
    for (size_t i = 0; i < lines.count; i++) {
        if (lines.keyed[i].duplicate) {
            feed_note(t->arena, report, FEED_MARK_DUPLICATE, lines.at[i].line, lines.at[i].key);
        } else {
            lines.at[out->order_count++] = lines.at[i];
        }
    }
    out->orders = lines.at;
    return RESULT_OK;
}

static const char *line_text(struct arena *a, const struct order_line *line)
{
    return arena_printf(a, "%s %s %lld%s", line->item, day_text(a, line->day),
                        (long long)line->pieces,
                        line->state == ORDER_CANCELLED ? " cancelled" : "");
}

static const char *difference_text(struct arena *a, const struct order_difference *d)
{
    const struct order_line *line = d->asked != NULL ? d->asked : d->booked;
    if (d->booked == NULL || d->asked == NULL) {
        return arena_printf(a, "%s %s", line->key, line_text(a, line));
    }
    return arena_printf(a, "%s %s -> %s", line->key, line_text(a, d->booked), line_text(a, line));
}

static void add_line(struct arena *a, json_t *lines, const struct order_line *from)
{
    json_t *line = json_object();
    CHECK(line != NULL);
    feed_set_text(line, "key", from->key);
    feed_set_text(line, "customer", from->customer);
    feed_set_text(line, "item", from->item);
    feed_set_text(line, "day", day_text(a, from->day));
    CHECK(json_object_set_new(line, "pieces", json_integer(from->pieces)) == 0);
    feed_set_text(line, "state", order_state_text(from->state));
    CHECK(json_array_append_new(lines, line) == 0);
}

/* Takes lines over. versions: what the lines become, so that the same lines told again later, on
 * top of others, are another command. */
static json_t *order_command(struct arena *a, const struct mapping *m, json_t *lines,
                             const char *versions)
{
    json_t *command = feed_command(a, m, "order");
    feed_set_text(command, "source", m->source);
    CHECK(json_object_set_new(command, "lines", lines) == 0);
    feed_set_text(command, "uuid", feed_uuid(a, m, command, versions));
    return command;
}

static bool is_booked_anew(const struct order_difference *d)
{
    return d->change == ORDER_CHANGE_NEW || d->change == ORDER_CHANGE_CHANGED ||
           d->change == ORDER_CHANGE_CANCELLED;
}

static const char *versions_of(struct arena *a, const struct order_difference *list, size_t count)
{
    json_t *versions = json_object();
    CHECK(versions != NULL);
    for (size_t i = 0; i < count; i++) {
        if (is_booked_anew(&list[i])) {
            json_t *version = json_integer(list[i].next.version);
            CHECK(json_object_set_new(versions, list[i].next.key, version) == 0);
        }
    }
    const char *text = json_canonical(a, versions);
    json_decref(versions);
    return text;
}

/* The file as it is, with the dates for which it is whole. */
static void add_book(struct arena *a, const struct mapping *m, const struct feed_content *content,
                     struct feed_report *report, const char *versions, json_t *commands)
{
    json_t *lines = json_array();
    CHECK(lines != NULL);
    for (size_t i = 0; i < content->order_count; i++) {
        feed_place(report, 0, i, content->orders[i].line);
        add_line(a, lines, &content->orders[i]);
    }
    json_t *command = order_command(a, m, lines, versions);
    CHECK(json_array_append_new(commands, command) == 0);
    if (report->whole_book) {
        feed_set_text(command, "whole_book_from", day_text(a, report->from_day));
        feed_set_text(command, "whole_book_to", day_text(a, report->to_day));
    }
}

/* A book too long for one command: only what differs, with each line that is gone named as
 * cancelled. */
static void add_parts(struct arena *a, const struct mapping *m, const struct order_difference *list,
                      size_t count, const char *versions, struct feed_report *report,
                      json_t *commands)
{
    json_t *lines = NULL;
    for (size_t i = 0; i < count; i++) {
        if (is_booked_anew(&list[i])) {
            lines = lines != NULL ? lines : json_array();
            CHECK(lines != NULL);
            feed_place(report, json_array_size(commands), json_array_size(lines),
                       list[i].asked != NULL ? list[i].asked->line : 0);
            add_line(a, lines, &list[i].next);
        }
        if (lines != NULL && (json_array_size(lines) == ORDER_LINES_MAX || i + 1 == count)) {
            CHECK(json_array_append_new(commands, order_command(a, m, lines, versions)) == 0);
            lines = NULL;
        }
    }
}

struct result orders_plan(struct arena *a, const struct mapping *m,
                          const struct feed_content *content, const struct feed_known *known,
                          struct feed_report *report, json_t *commands)
{
    static const enum feed_mark marks[ORDER_CHANGES] = {
        FEED_MARK_NEW, FEED_MARK_CHANGED, FEED_MARK_KNOWN, FEED_MARK_CANCELLED, FEED_MARK_SHIPPED};
    struct order_book book = {
        .booked = known->orders,
        .booked_count = known->order_count,
        .asked = content->orders,
        .asked_count = content->order_count,
        .whole = report->whole_book,
        .whole_from = report->from_day,
        .whole_to = report->to_day,
        .source = m->source,
    };
    struct order_difference *list;
    size_t count;
    bool any = false;
    order_book_compare(a, &book, &list, &count);
    for (size_t i = 0; i < count; i++) {
        const struct order_difference *d = &list[i];
        feed_note(a, report, marks[d->change], d->asked != NULL ? d->asked->line : 0,
                  difference_text(a, d));
        any = any || is_booked_anew(d);
    }
    if (!any) {
        return RESULT_OK;
    }
    const char *versions = versions_of(a, list, count);
    report->places = ARENA_ARRAY(a, struct feed_place, count + content->order_count + 1);
    if (content->order_count <= ORDER_LINES_MAX) {
        add_book(a, m, content, report, versions, commands);
    } else {
        add_parts(a, m, list, count, versions, report, commands);
    }
    return RESULT_OK;
}
