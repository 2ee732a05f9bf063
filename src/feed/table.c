#include "feed/table.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"

enum { HEADER_ROWS_MAX = 100, LIST_TEXT_MAX = 110 };

static bool is_blank(const char *at, size_t *out_len)
{
    *out_len = at[0] == '\xC2' && at[1] == '\xA0'                      ? 2
               : at[0] == '\xE2' && at[1] == '\x80' && at[2] == '\xAF' ? 3
                                                                       : 1;
    return *out_len > 1 || at[0] == ' ' || at[0] == '\t' || at[0] == '\r' || at[0] == '\n';
}

/* A copy without blanks at both ends, inner no-break blanks being made plain ones. out has room for
 * the text and a zero. */
static size_t trim(const char *text, char *out)
{
    size_t len = 0;
    size_t keep = 0;
    size_t one;
    while (*text != '\0' && is_blank(text, &one)) {
        text += one;
    }
    while (*text != '\0') {
        bool blank = is_blank(text, &one);
        out[len++] = blank && one > 1 ? ' ' : *text;
        text += one;
        keep = blank ? keep : len;
    }
    out[keep] = '\0';
    return keep;
}

static const char *trimmed_copy(struct arena *a, const char *text)
{
    char *copy = arena_alloc(a, strlen(text) + 1);
    trim(text, copy);
    return copy;
}

/* The row's cells, trimmed, into t->cells. */
static void take_cells(struct table *t)
{
    size_t need = 0;
    for (size_t i = 0; i < t->row.count; i++) {
        need += t->row.cells[i].len + 1;
    }
    if (need > t->trimmed_size) {
        t->trimmed_size = need * 2;
        t->trimmed = realloc(t->trimmed, t->trimmed_size);
        CHECK(t->trimmed != NULL);
    }
    t->cells = realloc(t->cells, (t->row.count + 1) * sizeof *t->cells);
    CHECK(t->cells != NULL);
    char *at = t->trimmed;
    for (size_t i = 0; i < t->row.count; i++) {
        const struct csv_cell *from = &t->row.cells[i];
        size_t len = trim(from->text, at);
        t->cells[i] = (struct cell){
            .text = at, .len = len, .line = from->line, .column = from->column, .mapped = true};
        at += from->len + 1;
    }
}

static struct result next_row(struct table *t, bool *out_has)
{
    TRY(csv_next(t->csv, &t->row, out_has));
    if (*out_has) {
        t->open_end = t->row.open_end;
        take_cells(t);
    }
    return RESULT_OK;
}

static struct result find_column(const struct table *t, const char *header, int *out)
{
    *out = -1;
    for (size_t i = 0; header != NULL && i < t->row.count; i++) {
        if (strcmp(t->cells[i].text, header) != 0) {
            continue;
        }
        if (*out >= 0) {
            return cell_at(&t->cells[i], FAIL1(FEED_COLUMN_TWICE, t->file->name, header));
        }
        *out = (int)i;
    }
    return RESULT_OK;
}

/* How many of the mapped columns the row at hand has; *out_absent the first that it has not. */
static struct result match_header(struct table *t, int *out_found, const char **out_absent)
{
    const struct mapping_day *days[2] = {&t->m->whole_from, &t->m->whole_to};
    int *day_at[2] = {&t->whole_from_at, &t->whole_to_at};
    *out_found = 0;
    *out_absent = NULL;
    for (int field = 0; field < MAPPING_FIELDS_MAX + 2; field++) {
        bool of_day = field >= MAPPING_FIELDS_MAX;
        const struct mapping_day *day = of_day ? days[field - MAPPING_FIELDS_MAX] : NULL;
        const char *header = !of_day                   ? t->m->column[field]
                             : day->from == DAY_COLUMN ? day->name
                                                       : NULL;
        int *at = of_day ? day_at[field - MAPPING_FIELDS_MAX] : &t->at[field];
        TRY(find_column(t, header, at));
        *out_found += *at >= 0;
        if (header != NULL && *at < 0 && *out_absent == NULL) {
            *out_absent = header;
        }
    }
    return RESULT_OK;
}

/* The row's texts for a message, cut where a message ends. */
static const char *row_list(const struct table *t)
{
    char *list = arena_alloc(t->arena, LIST_TEXT_MAX + 8);
    size_t len = 0;
    for (size_t i = 0; i < t->row.count; i++) {
        size_t more = t->cells[i].len + 2;
        if (len + more > LIST_TEXT_MAX) {
            memcpy(list + len, "...", 4);
            break;
        }
        memcpy(list + len, t->cells[i].text, t->cells[i].len);
        len += t->cells[i].len;
        memcpy(list + len, i + 1 < t->row.count ? ", " : "", i + 1 < t->row.count ? 3 : 1);
        len += 2;
    }
    return list;
}

static void keep_preamble(struct table *t)
{
    const char *label = arena_copy(t->arena, t->cells[0].text);
    const char *text = t->row.count > 1 ? t->cells[1].text : "";
    char *colon = strchr(label, ':');
    if (colon != NULL && (t->row.count == 1 || colon[1] == '\0')) {
        *colon = '\0';
        text = t->row.count == 1 ? colon + 1 : text;
    }
    t->preamble[t->preamble_count++] = (struct mapping_pair){.name = trimmed_copy(t->arena, label),
                                                             .text = trimmed_copy(t->arena, text)};
}

static struct result find_header(struct table *t)
{
    struct result best = FAIL0(FEED_EMPTY, t->file->name);
    int best_found = -1;
    t->preamble = ARENA_ARRAY(t->arena, struct mapping_pair, HEADER_ROWS_MAX);
    for (int i = 0; i < HEADER_ROWS_MAX; i++) {
        bool has;
        int found;
        const char *absent;
        TRY(next_row(t, &has));
        if (!has) {
            break;
        }
        struct result r = match_header(t, &found, &absent);
        if (r.code == CODE_OK && absent == NULL) {
            t->header_line = t->row.line;
            t->width = t->row.count;
            while (t->width > 1 && t->cells[t->width - 1].len == 0) {
                t->width--;
            }
            return RESULT_OK;
        }
        if (r.code != CODE_OK || found > best_found) {
            best = r.code != CODE_OK ? r
                                     : result_at(FAIL3(FEED_COLUMN, t->file->name, absent,
                                                       row_list(t), t->m->source),
                                                 t->row.line, 1);
            best_found = r.code != CODE_OK ? MAPPING_FIELDS_MAX : found;
        }
        keep_preamble(t);
    }
    return best;
}

const char *table_preamble(const struct table *t, const char *label)
{
    for (size_t i = 0; i < t->preamble_count; i++) {
        if (strcmp(t->preamble[i].name, label) == 0) {
            return t->preamble[i].text;
        }
    }
    return NULL;
}

static struct result check_preamble(const struct table *t)
{
    for (size_t i = 0; i < t->m->preamble.count; i++) {
        const struct mapping_pair *want = &t->m->preamble.at[i];
        const char *text = table_preamble(t, want->name);
        if (text == NULL) {
            return result_at(FAIL2(FEED_PREAMBLE, t->file->name, want->name, t->m->source),
                             t->header_line, 1);
        }
        if (strcmp(text, want->text) != 0) {
            return result_at(FAIL2(FEED_SAYS, want->name, text, want->text), t->header_line, 1);
        }
    }
    return RESULT_OK;
}

struct result table_open(struct arena *a, const struct mapping *m, const struct feed_file *file,
                         struct table *out)
{
    *out = (struct table){.arena = a, .m = m, .file = file};
    out->bytes = (struct csv_bytes){.bytes = file->bytes, .len = file->len};
    out->input = csv_input_bytes(&out->bytes);
    struct csv_options options = {.delimiter = m->delimiter, .encoding = m->encoding};
    TRY(csv_open(&out->input, file->name, &options, &out->csv));
    struct result r = find_header(out);
    if (r.code == CODE_OK) {
        r = check_preamble(out);
    }
    if (r.code != CODE_OK) {
        table_close(out);
    }
    return r;
}

void table_close(struct table *t)
{
    csv_close(t->csv);
    free(t->trimmed);
    free(t->cells);
}

static struct result check_width(const struct table *t)
{
    size_t count = t->row.count;
    while (count > t->width && t->cells[count - 1].len == 0) {
        count--;
    }
    if (count == t->width) {
        return RESULT_OK;
    }
    const struct cell *last = &t->cells[t->row.count - 1];
    if (count < t->width && t->row.open_end) {
        return cell_at(last, FAIL1(FEED_TRUNCATED, t->file->name, "its last row ends too early"));
    }
    return cell_at(last, FAIL2(FEED_WIDTH, t->file->name, arena_printf(t->arena, "%zu", count),
                               arena_printf(t->arena, "%zu", t->width)));
}

static struct result check_end(const struct table *t)
{
    if (t->m->trailer != NULL && !t->at_trailer) {
        const char *why =
            arena_printf(t->arena, "its last line \"%s\" is not there", t->m->trailer);
        return result_at(FAIL1(FEED_TRUNCATED, t->file->name, why), t->row.line, 1);
    }
    if (t->m->needs_line_end && t->open_end) {
        const char *why = "its last line has no line end";
        return result_at(FAIL1(FEED_TRUNCATED, t->file->name, why), t->row.line, 1);
    }
    return RESULT_OK;
}

struct result table_next(struct table *t, bool *out_has)
{
    TRY(next_row(t, out_has));
    if (!*out_has) {
        return check_end(t);
    }
    if (t->at_trailer) {
        return result_at(FAIL1(FEED_TRAILER, t->file->name, t->m->trailer), t->row.line, 1);
    }
    if (t->m->trailer != NULL &&
        strncmp(t->cells[0].text, t->m->trailer, strlen(t->m->trailer)) == 0) {
        t->at_trailer = true;
        return table_next(t, out_has);
    }
    TRY(check_width(t));
    t->rows++;
    return RESULT_OK;
}

static bool is_missing(const struct mapping *m, const char *text)
{
    for (size_t i = 0; i < m->missing_count; i++) {
        if (strcmp(m->missing[i], text) == 0) {
            return true;
        }
    }
    return text[0] == '\0';
}

struct cell table_cell_at(const struct table *t, int index)
{
    struct cell c = t->cells[index];
    c.missing = is_missing(t->m, c.text);
    return c;
}

struct cell table_cell(const struct table *t, int field)
{
    if (t->at[field] >= 0) {
        struct cell c = table_cell_at(t, t->at[field]);
        c.header = t->m->column[field];
        return c;
    }
    const char *fixed = t->m->fixed[field];
    return (struct cell){
        .text = fixed != NULL ? fixed : "",
        .len = fixed != NULL ? strlen(fixed) : 0,
        .line = t->row.line,
        .column = 1,
        .header = mapping_field_name(t->m->kind, field),
        .missing = fixed == NULL,
        .mapped = fixed != NULL,
    };
}

struct result table_needed(const struct table *t, int field, struct cell *out)
{
    *out = table_cell(t, field);
    return out->missing ? cell_missing(out) : RESULT_OK;
}

const char *table_row_text(const struct table *t)
{
    size_t len = 0;
    for (size_t i = 0; i < t->width; i++) {
        len += t->cells[i].len + 1;
    }
    char *text = arena_alloc(t->arena, len + 1);
    char *at = text;
    for (size_t i = 0; i < t->width; i++) {
        memcpy(at, t->cells[i].text, t->cells[i].len);
        at += t->cells[i].len;
        *at++ = '\x1F';
    }
    return text;
}
