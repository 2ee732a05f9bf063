#include "ledger/mapping.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"

enum { TEXT_MAX = 200, LIST_MAX = 5000, INTERVAL_MS_MAX = 24 * 3600 * 1000 };

struct reading {
    struct arena *a;
    const json_t *data;
    struct mapping *m;
};

static struct result check_text(const char *text, const char *path)
{
    size_t len = strlen(text);
    if (len == 0 || len > TEXT_MAX) {
        return FAIL2(FIELD_RANGE, path, len == 0 ? "empty" : "too long", "1 to 200 bytes of text");
    }
    return RESULT_OK;
}

/* A text of data; NULL in *out when it is not there. */
static struct result get_text(const struct reading *r, const char *key, enum json_need need,
                              const char **out)
{
    const char *text = NULL;
    TRY(json_get_text(r->data, key, key, need, &text));
    if (text != NULL) {
        TRY(check_text(text, key));
        *out = arena_copy(r->a, text);
    }
    return RESULT_OK;
}

/* Which of the words, which stand in one text with blanks between; *out keeps its value when not
 * there. */
static struct result get_choice(const struct reading *r, const char *key, const char *words,
                                int *out)
{
    const char *text = NULL;
    TRY(json_get_text(r->data, key, key, JSON_OPTIONAL, &text));
    if (text == NULL) {
        return RESULT_OK;
    }
    int index = 0;
    for (const char *w = words; *w != '\0'; index++) {
        size_t len = strcspn(w, " ");
        if (strlen(text) == len && memcmp(w, text, len) == 0) {
            *out = index;
            return RESULT_OK;
        }
        w += len + (w[len] == ' ');
    }
    return FAIL2(FIELD_CHOICE, key, text, words);
}

/* One of some characters. */
static struct result get_sign(const struct reading *r, const char *key, const char *signs,
                              const char *words, char *out)
{
    const char *text = NULL;
    TRY(json_get_text(r->data, key, key, JSON_OPTIONAL, &text));
    if (text == NULL) {
        return RESULT_OK;
    }
    if (strlen(text) != 1 || strchr(signs, text[0]) == NULL) {
        return FAIL2(FIELD_CHOICE, key, text, words);
    }
    *out = text[0];
    return RESULT_OK;
}

/* The next member of an object of texts; the object's size is capped by the caller. */
static struct result member_text(const struct reading *r, const char *object, const char *key,
                                 const json_t *value, const char **out_path, const char **out)
{
    *out_path = arena_printf(r->a, "%s.%s", object, key);
    if (!json_is_string(value)) {
        return FAIL2(FIELD_TYPE, *out_path, "a text", "something else");
    }
    *out = arena_copy(r->a, json_string_value(value));
    return RESULT_OK;
}

static struct result get_list_object(const struct reading *r, const char *key, json_t **out)
{
    *out = NULL;
    TRY(json_get_object(r->data, key, key, JSON_OPTIONAL, out));
    if (*out != NULL && json_object_size(*out) > LIST_MAX) {
        return FAIL2(FIELD_RANGE, key, "longer", "at most 5000 members");
    }
    return RESULT_OK;
}

static struct result field_number(const struct reading *r, const char *path, const char *name,
                                  int *out)
{
    *out = mapping_field(r->m->kind, name);
    if (*out == MAPPING_NO_FIELD) {
        const char *what = arena_printf(r->a, "a mapping for %s", feed_kind_text(r->m->kind));
        return FAIL1(FIELD_UNKNOWN, path, what);
    }
    return RESULT_OK;
}

/* columns and fixed */
static struct result read_fields(const struct reading *r, const char *key, const char **out)
{
    json_t *object = NULL;
    const char *name, *path, *text;
    json_t *value;
    TRY(get_list_object(r, key, &object));
    json_object_foreach(object, name, value)
    {
        int field;
        TRY(member_text(r, key, name, value, &path, &text));
        TRY(field_number(r, path, name, &field));
        TRY(check_text(text, path));
        out[field] = text;
    }
    return RESULT_OK;
}

static const char *ours_allowed(enum feed_kind kind, int field)
{
    if (kind == FEED_RESULTS && field == RESULTS_STATE) {
        return " pending presumptive negative confirmed-positive confirmed-negative invalid ";
    }
    if (kind == FEED_ORDERS && field == ORDERS_STATE) {
        return " open cancelled ";
    }
    return kind == FEED_CHECKWEIGHER && field == READINGS_VERDICT ? " accepted rejected " : NULL;
}

static struct result read_codes_of(const struct reading *r, const char *name, const json_t *words)
{
    struct mapping *m = r->m;
    const char *key = arena_printf(r->a, "codes.%s", name);
    const char *theirs, *path, *ours;
    json_t *value;
    int field;
    TRY(field_number(r, key, name, &field));
    if (!json_is_object(words) || json_object_size(words) > LIST_MAX) {
        return FAIL2(FIELD_TYPE, key, "an object of at most 5000 words", "something else");
    }
    const char *allowed = ours_allowed(m->kind, field);
    struct mapping_code *more =
        ARENA_ARRAY(r->a, struct mapping_code, m->code_count + json_object_size(words));
    if (m->code_count > 0) {
        memcpy(more, m->codes, m->code_count * sizeof *more);
    }
    m->codes = more;
    json_object_foreach((json_t *)words, theirs, value)
    {
        TRY(member_text(r, key, theirs, value, &path, &ours));
        TRY(check_text(ours, path));
        if (allowed != NULL && strstr(allowed, arena_printf(r->a, " %s ", ours)) == NULL) {
            return FAIL2(FIELD_CHOICE, path, ours, allowed);
        }
        m->codes[m->code_count++] =
            (struct mapping_code){.field = field, .theirs = arena_copy(r->a, theirs), .ours = ours};
    }
    return RESULT_OK;
}

static struct result read_codes(const struct reading *r)
{
    json_t *codes = NULL;
    const char *name;
    json_t *words;
    TRY(get_list_object(r, "codes", &codes));
    json_object_foreach(codes, name, words)
    {
        TRY(read_codes_of(r, name, words));
    }
    return RESULT_OK;
}

static struct result read_preamble(const struct reading *r)
{
    struct mapping_pairs *p = &r->m->preamble;
    json_t *object = NULL;
    const char *name, *path;
    json_t *value;
    TRY(get_list_object(r, "preamble", &object));
    p->at = ARENA_ARRAY(r->a, struct mapping_pair, object != NULL ? json_object_size(object) : 0);
    json_object_foreach(object, name, value)
    {
        struct mapping_pair *pair = &p->at[p->count++];
        TRY(member_text(r, "preamble", name, value, &path, &pair->text));
        TRY(check_text(name, path));
        pair->name = arena_copy(r->a, name);
    }
    return RESULT_OK;
}

static struct result read_missing(const struct reading *r)
{
    static const char *usual[] = {"", "---", "NaN"};
    struct mapping *m = r->m;
    json_t *list = NULL;
    TRY(json_get_array(r->data, "missing", "missing", JSON_OPTIONAL, &list));
    if (list == NULL) {
        m->missing = usual;
        m->missing_count = sizeof usual / sizeof usual[0];
        return RESULT_OK;
    }
    m->missing_count = json_array_size(list);
    if (m->missing_count > 20) {
        return FAIL2(FIELD_RANGE, "missing", "longer", "at most 20 texts");
    }
    m->missing = ARENA_ARRAY(r->a, const char *, m->missing_count);
    for (size_t i = 0; i < m->missing_count; i++) {
        const char *text = json_string_value(json_array_get(list, i));
        if (text == NULL) {
            return FAIL2(FIELD_TYPE, "missing", "a list of texts", "something else");
        }
        m->missing[i] = arena_copy(r->a, text);
    }
    return RESULT_OK;
}

static struct result read_form(const struct reading *r)
{
    struct mapping *m = r->m;
    int dates = 0, encoding = 0, end = -1;
    m->decimal = '.';
    TRY(get_sign(r, "delimiter", ";,\t", "; , or a tab", &m->delimiter));
    TRY(get_sign(r, "decimal", ".,", ". or ,", &m->decimal));
    TRY(get_sign(r, "thousands", ".,' ", ". , ' or a blank", &m->thousands));
    if (m->thousands == m->decimal) {
        return FAIL2(FIELD_CHOICE, "thousands", "the decimal sign", "the other signs");
    }
    TRY(get_choice(r, "dates", "iso day-first", &dates));
    TRY(get_choice(r, "encoding", "auto utf-8 windows-1252", &encoding));
    TRY(get_choice(r, "end", "line open", &end));
    m->day_first = dates == 1;
    m->encoding = (enum csv_encoding)encoding;
    m->needs_line_end = end == 0;
    m->open_end = end == 1;
    TRY(get_text(r, "trailer", JSON_OPTIONAL, &m->trailer));
    bool series = m->kind == FEED_LOGGER || m->kind == FEED_CHECKWEIGHER;
    TRY(get_text(r, "zone", series ? JSON_NEEDED : JSON_OPTIONAL, &m->zone));
    return read_missing(r);
}

static struct result read_book_day(const struct reading *r, const json_t *book, const char *key,
                                   struct mapping_day *out)
{
    static const char *const names[] = {"date", "column", "row", "of", NULL};
    const char *path = arena_printf(r->a, "whole_book.%s", key);
    json_t *day = NULL;
    const char *text = NULL;
    TRY(json_get_object(book, key, path, JSON_NEEDED, &day));
    TRY(json_only(day, path, "a day of whole_book", names));
    if (json_object_size(day) != 1) {
        return FAIL2(FIELD_CHOICE, path, "none or several", "date, column, row, of");
    }
    const char *member = json_object_iter_key(json_object_iter(day));
    TRY(json_get_text(day, member, path, JSON_NEEDED, &text));
    TRY(check_text(text, path));
    out->name = arena_copy(r->a, text);
    switch (member[0]) {
    case 'd':
        out->from = DAY_DATE;
        return day_read(text, path, &out->day);
    case 'c':
        out->from = DAY_COLUMN;
        return RESULT_OK;
    case 'r':
        out->from = DAY_ROW;
        return RESULT_OK;
    default:
        out->from = DAY_OF_ROWS;
        return strcmp(text, "rows") == 0 ? RESULT_OK : FAIL2(FIELD_CHOICE, path, text, "rows");
    }
}

static struct result needs(const struct reading *r, int field)
{
    if (mapping_has(r->m, field)) {
        return RESULT_OK;
    }
    const char *path = arena_printf(r->a, "columns.%s", mapping_field_name(r->m->kind, field));
    return FAIL1(FIELD_MISSING, path, "Name the column that holds it, or give it in fixed.");
}

/* Fields of which all or none must be there. */
static struct result together(const struct reading *r, int first, int count)
{
    int there = 0;
    for (int i = 0; i < count; i++) {
        there += mapping_has(r->m, first + i);
    }
    for (int i = 0; there > 0 && i < count; i++) {
        TRY(needs(r, first + i));
    }
    return RESULT_OK;
}

static struct result read_orders(const struct reading *r)
{
    static const int needed[] = {ORDERS_CUSTOMER, ORDERS_ITEM, ORDERS_DAY, ORDERS_PIECES};
    static const char *const names[] = {"from", "to", NULL};
    struct mapping *m = r->m;
    json_t *book = NULL;
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        TRY(needs(r, needed[i]));
    }
    TRY(together(r, ORDERS_ORDER, 2));
    TRY(json_get_object(r->data, "whole_book", "whole_book", JSON_OPTIONAL, &book));
    if (book == NULL) {
        return RESULT_OK;
    }
    TRY(json_only(book, "whole_book", "whole_book", names));
    TRY(read_book_day(r, book, "from", &m->whole_from));
    TRY(read_book_day(r, book, "to", &m->whole_to));
    /* what a book that was cut off does not have would be cancelled */
    m->needs_line_end = m->needs_line_end || (!m->open_end && m->trailer == NULL);
    bool backwards = m->whole_from.from == DAY_DATE && m->whole_to.from == DAY_DATE &&
                     m->whole_to.day < m->whole_from.day;
    return backwards ? FAIL2(FIELD_RANGE, "whole_book.to", m->whole_to.name, "not before from")
                     : RESULT_OK;
}

static bool any_of(const struct mapping *m, int first, int count)
{
    for (int i = 0; i < count; i++) {
        if (mapping_has(m, first + i)) {
            return true;
        }
    }
    return false;
}

static struct result read_seed(const struct reading *r)
{
    static const int needed[] = {SEED_SUPPLIER, SEED_ITEM, SEED_MASS, SEED_PLACE};
    static const char *const units[] = {"kg", "g", "mg", "t"};
    int unit = 0;
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        TRY(needs(r, needed[i]));
    }
    TRY(together(r, SEED_PURE, 4));
    if (any_of(r->m, SEED_MOISTURE, MAPPING_FIELDS_MAX - SEED_MOISTURE)) {
        TRY(needs(r, SEED_LOT));
    }
    TRY(get_choice(r, "unit", "kg g mg t", &unit));
    r->m->unit = units[unit];
    return RESULT_OK;
}

static struct result read_results(const struct reading *r)
{
    for (int field = RESULTS_SAMPLE; field <= RESULTS_STATE; field++) {
        TRY(needs(r, field));
    }
    return RESULT_OK;
}

/* A decimal text of data in the series' scale. */
static struct result get_reading(const struct reading *r, const json_t *object, const char *key,
                                 const char *path, int64_t *out)
{
    const char *text = NULL;
    int64_t value;
    TRY(json_get_text(object, key, path, JSON_OPTIONAL, &text));
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(decimal_read(text, r->m->scale, path, &value));
    if (value < INT32_MIN || value > INT32_MAX) {
        return FAIL1(DECIMAL_LARGE, path, text);
    }
    *out = value;
    return RESULT_OK;
}

static struct result read_limits(const struct reading *r)
{
    static const char *const names[] = {"low", "high", NULL};
    struct mapping *m = r->m;
    json_t *range = NULL;
    m->low = INT32_MIN;
    m->high = INT32_MAX;
    TRY(get_reading(r, r->data, "jump", "jump", &m->jump));
    if (m->jump < 0) {
        return FAIL2(FIELD_RANGE, "jump", "negative", "the largest step between two readings");
    }
    TRY(json_get_object(r->data, "range", "range", JSON_OPTIONAL, &range));
    if (range == NULL) {
        return RESULT_OK;
    }
    TRY(json_only(range, "range", "range", names));
    TRY(get_reading(r, range, "low", "range.low", &m->low));
    TRY(get_reading(r, range, "high", "range.high", &m->high));
    return m->low < m->high ? RESULT_OK : FAIL2(FIELD_RANGE, "range", "empty", "low below high");
}

/* Seconds between readings: a text such as "10" or "0.5", or a whole number. */
static struct result read_interval(const struct reading *r, enum json_need need)
{
    const json_t *value = json_object_get(r->data, "interval_s");
    const char *text = NULL;
    struct mapping *m = r->m;
    if (value == NULL && need == JSON_OPTIONAL) {
        return RESULT_OK;
    }
    if (json_is_integer(value)) {
        text = arena_printf(r->a, "%lld", (long long)json_integer_value(value));
    } else {
        TRY(json_get_text(r->data, "interval_s", "interval_s", JSON_NEEDED, &text));
    }
    TRY(decimal_read(text, 3, "interval_s", &m->interval_ms));
    if (m->interval_ms < 1 || m->interval_ms > INTERVAL_MS_MAX) {
        return FAIL2(FIELD_RANGE, "interval_s", text, "0.001 to 86400 seconds");
    }
    return RESULT_OK;
}

static struct result read_channels(const struct reading *r)
{
    struct mapping *m = r->m;
    if (m->kind == FEED_CHECKWEIGHER) {
        m->channels = mapping_has(m, READINGS_VERDICT) ? 2 : 1;
        TRY(needs(r, READINGS_N));
        return needs(r, READINGS_CHANNEL);
    }
    for (int c = 0; c < SERIES_CHANNELS_MAX; c++) {
        m->channels = mapping_has(m, READINGS_CHANNEL + c) ? c + 1 : m->channels;
    }
    for (int c = 0; c == 0 || c < m->channels; c++) {
        TRY(needs(r, READINGS_CHANNEL + c));
    }
    return RESULT_OK;
}

static struct result read_series(const struct reading *r)
{
    static const char *const units[] = {"Cel",   "%",   "[ppm]", "g",    "kg",
                                        "L/min", "bar", "mS/cm", "[pH]", "NTU"};
    struct mapping *m = r->m;
    bool logger = m->kind == FEED_LOGGER;
    int unit = -1;
    int64_t scale = logger ? 3 : 1;
    TRY(get_text(r, "series", JSON_NEEDED, &m->series));
    TRY(get_text(r, "device", JSON_OPTIONAL, &m->device));
    TRY(get_text(r, "unit", JSON_NEEDED, &m->unit));
    TRY(get_choice(r, "unit", "Cel % [ppm] g kg L/min bar mS/cm [pH] NTU", &unit));
    m->unit = units[unit];
    TRY(json_get_int(r->data, "scale", "scale", JSON_OPTIONAL, 0, 6, &scale));
    m->scale = (int)scale;
    TRY(read_interval(r, logger ? JSON_NEEDED : JSON_OPTIONAL));
    TRY(read_limits(r));
    bool two_columns = any_of(m, READINGS_DATE, 2);
    TRY(two_columns ? together(r, READINGS_DATE, 2) : needs(r, READINGS_TIME));
    if (two_columns && mapping_has(m, READINGS_TIME)) {
        return FAIL2(FIELD_CHOICE, "columns.time", m->column[READINGS_TIME],
                     "time, or date and clock");
    }
    if (mapping_has(m, READINGS_DEVICE) && m->device == NULL) {
        return FAIL1(FIELD_MISSING, "device", "Say which device column \"device\" must name.");
    }
    return read_channels(r);
}

#define FORM_NAMES                                                                                 \
    "columns", "fixed", "codes", "delimiter", "decimal", "thousands", "dates", "zone", "encoding", \
        "missing", "preamble", "trailer", "end"

static struct result check_names(const struct reading *r)
{
    static const char *const orders[] = {FORM_NAMES, "whole_book", NULL};
    static const char *const seed[] = {FORM_NAMES, "unit", NULL};
    static const char *const results[] = {FORM_NAMES, NULL};
    static const char *const series[] = {FORM_NAMES,   "series", "unit",  "scale", "device",
                                         "interval_s", "jump",   "range", NULL};
    static const char *const *const lists[FEED_KINDS] = {orders, seed, results, series, series};
    const char *what = arena_printf(r->a, "a mapping for %s", feed_kind_text(r->m->kind));
    return json_only(r->data, "", what, lists[r->m->kind]);
}

struct result mapping_read(struct arena *a, const char *source, const char *kind,
                           const json_t *data, struct mapping *out)
{
    int at = 0;
    while (at < FEED_KINDS && strcmp(feed_kind_text((enum feed_kind)at), kind) != 0) {
        at++;
    }
    if (at == FEED_KINDS) {
        return FAIL2(FIELD_CHOICE, "for", kind, "orders, seed, results, logger, checkweigher");
    }
    *out = (struct mapping){.kind = (enum feed_kind)at, .source = arena_copy(a, source)};
    struct reading r = {.a = a, .data = data, .m = out};
    TRY(check_names(&r));
    if (json_object_get(data, "columns") == NULL) {
        return FAIL1(FIELD_MISSING, "columns", "Name the header of each column that is read.");
    }
    TRY(read_fields(&r, "columns", out->column));
    TRY(read_fields(&r, "fixed", out->fixed));
    TRY(read_codes(&r));
    TRY(read_preamble(&r));
    TRY(read_form(&r));
    switch (out->kind) {
    case FEED_ORDERS:
        return read_orders(&r);
    case FEED_SEED:
        return read_seed(&r);
    case FEED_RESULTS:
        return read_results(&r);
    default:
        return read_series(&r);
    }
}
