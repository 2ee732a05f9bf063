#include "paper/gs1.h"

#include <stdio.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"

enum content { DIGITS, KEY, DATE, TEXT };

/* One row an identifier. needs: at least one complete group must be on the same item; a group's
 * members are joined by '+'. not_with: none of these may be. Restricted to the identifiers of this
 * table. Source: GS1, Barcode Syntax Dictionary, 2026-07-27 (published, seen). */
struct rule {
    const char *ai;
    enum content content;
    size_t length_min, length_max;
    bool separator;
    const char *const *needs;
    const char *const *not_with;
};

static const char *const gtin[] = {"01", "02", NULL};
static const char *const gtin_of_item[] = {"01", NULL};
static const char *const contents_not_with[] = {"01", NULL};
static const char *const item_not_with[] = {"02", "37", NULL};
static const char *const count_needed[] = {"37", NULL};
static const char *const unit_and_contents[] = {"00+02", NULL};

static const struct rule rules[] = {
    {"00", KEY, 18, 18, false, NULL, NULL},
    {"01", KEY, 14, 14, false, NULL, item_not_with},
    {"02", KEY, 14, 14, false, count_needed, contents_not_with},
    {"10", TEXT, 1, GS1_LOT_MAX, true, gtin, NULL},
    {"11", DATE, 6, 6, false, gtin, NULL},
    {"13", DATE, 6, 6, false, gtin, NULL},
    {"15", DATE, 6, 6, false, gtin, NULL},
    {"17", DATE, 6, 6, false, gtin, NULL},
    {"21", TEXT, 1, 20, true, gtin_of_item, NULL},
    {"37", DIGITS, 1, 8, true, unit_and_contents, NULL},
};

/* 3100..3105: net weight in kilograms, the last digit counts the decimals; only one of them on an
 * item. */
static const struct rule weight_rule = {"310n", DIGITS, 6, 6, false, gtin, NULL};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_weight(const char *ai)
{
    return strlen(ai) == 4 && strncmp(ai, "310", 3) == 0 && ai[3] >= '0' && ai[3] <= '5';
}

static const struct rule *rule_of(const char *ai)
{
    if (is_weight(ai)) {
        return &weight_rule;
    }
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++) {
        if (strcmp(rules[i].ai, ai) == 0) {
            return &rules[i];
        }
    }
    return NULL;
}

char gs1_check_digit(const char *digits, size_t len)
{
    /* Weights 3, 1, 3, 1 ... from the right, so that one routine serves every length.
     * GS1, How to calculate a check digit manually (published, seen). */
    CHECK(len > 0);
    unsigned sum = 0;
    for (size_t i = 0; i < len; i++) {
        char c = digits[len - 1 - i];
        CHECK(is_digit(c));
        sum += (unsigned)(c - '0') * (i % 2 == 0 ? 3u : 1u);
    }
    return (char)('0' + (10u - sum % 10u) % 10u);
}

/* 1-based, or 0 when all is well. */
static size_t first_non_digit(const char *text)
{
    for (size_t i = 0; text[i] != '\0'; i++) {
        if (!is_digit(text[i])) {
            return i + 1;
        }
    }
    return 0;
}

static struct result fail_at(enum code code, const char *field, const char *value, size_t position,
                             const char *more)
{
    char at[24];
    snprintf(at, sizeof at, "%zu", position);
    return result_at(result_make(code, field, value, at, more), 0, (int64_t)position);
}

static struct result key_check(const char *digits, size_t len, const char *field)
{
    char want[2] = {gs1_check_digit(digits, len - 1), '\0'};
    if (digits[len - 1] != want[0]) {
        return fail_at(CODE_KEY_CHECK, field, digits, len, want);
    }
    return RESULT_OK;
}

static bool length_is_one_of(size_t len, const size_t *lengths, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (lengths[i] == len) {
            return true;
        }
    }
    return false;
}

static struct result key_of(const char *text, const char *field, const size_t *lengths,
                            size_t count, const char *allowed)
{
    size_t bad = first_non_digit(text);
    if (bad != 0) {
        return fail_at(CODE_KEY_DIGIT, field, text, bad, NULL);
    }
    size_t len = strlen(text);
    if (!length_is_one_of(len, lengths, count)) {
        char has[24];
        snprintf(has, sizeof has, "%zu", len);
        return FAIL3(KEY_LENGTH, field, text, has, allowed);
    }
    return key_check(text, len, field);
}

struct result gs1_key_check(const char *digits, const char *field)
{
    static const size_t lengths[] = {8, 12, 13, 14, 17, 18};
    return key_of(digits, field, lengths, 6, "8, 12, 13, 14, 17 or 18");
}

struct result gs1_gtin14(struct arena *a, const char *text, const char *field, const char **out)
{
    static const size_t lengths[] = {8, 12, 13, 14};
    TRY(key_of(text, field, lengths, 4, "8, 12, 13 or 14"));
    *out = arena_printf(a, "%.*s%s", (int)(14 - strlen(text)), "000000", text);
    return RESULT_OK;
}

struct result gs1_date(struct arena *a, int32_t day, const char *field, const char **out)
{
    int year, month, day_of_month;
    day_to_ymd(day, &year, &month, &day_of_month);
    if (year < 2000 || year > 2099) {
        return FAIL2(FIELD_RANGE, field, day_text(a, day), "in the years 2000 to 2099");
    }
    *out = arena_printf(a, "%02d%02d%02d", year % 100, month, day_of_month);
    return RESULT_OK;
}

struct result gs1_net_weight(struct arena *a, int64_t mass_mg, int decimals, const char *field,
                             struct gs1_element *out)
{
    CHECK(decimals >= 0 && decimals <= 5);
    int64_t unit_mg = 1000000;
    for (int i = 0; i < decimals; i++) {
        unit_mg /= 10;
    }
    const char *mass = mass_text(a, mass_mg, 0);
    if (mass_mg <= 0 || mass_mg / unit_mg > 999999) {
        return FAIL2(ELEMENT_LARGE, field, mass, arena_printf(a, "%d", decimals));
    }
    if (mass_mg % unit_mg != 0) {
        return FAIL2(ELEMENT_FINE, field, mass, arena_printf(a, "%d", decimals));
    }
    *out = (struct gs1_element){
        .ai = arena_printf(a, "310%d", decimals),
        .value = arena_printf(a, "%06lld", (long long)(mass_mg / unit_mg)),
        .field = field,
    };
    return RESULT_OK;
}

/* The 82 characters of GS1 AI encodable character set 82 (from memory; that blank, ^ and ~ are
 * refused: GS1, Barcode Syntax Dictionary, linter unit tests, 2026-07-27, published, seen). */
static bool in_set_82(char c)
{
    bool letter = (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
    return c != '\0' && (letter || is_digit(c) || strchr("!\"%&'()*+,-./_:;<=>?", c) != NULL);
}

static int days_in_month(int year, int month)
{
    return day_from_ymd(month == 12 ? year + 1 : year, month == 12 ? 1 : month + 1, 1) -
           day_from_ymd(year, month, 1);
}

/* Day 00 is legal to read; it is never printed here, because a pack's date has a day. */
static struct result date_check(const struct gs1_element *e)
{
    int year = 2000 + (e->value[0] - '0') * 10 + e->value[1] - '0';
    int month = (e->value[2] - '0') * 10 + e->value[3] - '0';
    int day = (e->value[4] - '0') * 10 + e->value[5] - '0';
    if (month < 1 || month > 12) {
        return fail_at(CODE_ELEMENT_DATE, e->field, e->value, 3, e->ai);
    }
    if (day < 1 || day > days_in_month(year, month)) {
        return fail_at(CODE_ELEMENT_DATE, e->field, e->value, 5, e->ai);
    }
    return RESULT_OK;
}

static struct result length_fail(const struct gs1_element *e, const struct rule *rule)
{
    char allowed[48];
    if (rule->length_min == rule->length_max) {
        snprintf(allowed, sizeof allowed, "%zu", rule->length_max);
    } else {
        snprintf(allowed, sizeof allowed, "%zu to %zu", rule->length_min, rule->length_max);
    }
    return FAIL3(ELEMENT_LENGTH, e->field, e->value, e->ai, allowed);
}

static struct result element_check(const struct gs1_element *e)
{
    const struct rule *rule = rule_of(e->ai);
    if (rule == NULL) {
        return FAIL1(ELEMENT_UNKNOWN, e->field, e->ai);
    }
    for (size_t i = 0; e->value[i] != '\0'; i++) {
        if (rule->content == TEXT ? !in_set_82(e->value[i]) : !is_digit(e->value[i])) {
            return fail_at(CODE_ELEMENT_CHARACTER, e->field, e->value, i + 1, e->ai);
        }
    }
    size_t len = strlen(e->value);
    if (len < rule->length_min || len > rule->length_max) {
        return length_fail(e, rule);
    }
    if (rule->content == KEY) {
        return key_check(e->value, len, e->field);
    }
    return rule->content == DATE ? date_check(e) : RESULT_OK;
}

static bool has_ai(const struct gs1_element *elements, size_t count, const char *ai, size_t ai_len)
{
    for (size_t i = 0; i < count; i++) {
        if (strlen(elements[i].ai) == ai_len && strncmp(elements[i].ai, ai, ai_len) == 0) {
            return true;
        }
    }
    return false;
}

static bool has_group(const struct gs1_element *elements, size_t count, const char *group)
{
    while (*group != '\0') {
        size_t len = strcspn(group, "+");
        if (!has_ai(elements, count, group, len)) {
            return false;
        }
        group += len + (group[len] == '+' ? 1 : 0);
    }
    return true;
}

static struct result needs_fail(const struct gs1_element *e, const struct rule *rule)
{
    char list[96] = "";
    size_t used = 0;
    for (size_t i = 0; rule->needs[i] != NULL; i++) {
        used += (size_t)snprintf(list + used, sizeof list - used, "%s(%s)", i == 0 ? "" : " or ",
                                 rule->needs[i]);
    }
    return FAIL2(ELEMENT_NEEDS, e->field, e->ai, list);
}

/* The pairs of one element with the rest of the item. */
static struct result pairs_check(const struct gs1_element *elements, size_t count, size_t at)
{
    const struct gs1_element *e = &elements[at];
    const struct rule *rule = rule_of(e->ai);
    for (size_t i = 0; i < at; i++) {
        if (strcmp(elements[i].ai, e->ai) == 0 && strcmp(elements[i].value, e->value) != 0) {
            return FAIL3(ELEMENT_TWICE, e->field, e->ai, elements[i].value, e->value);
        }
        if (is_weight(elements[i].ai) && is_weight(e->ai) && strcmp(elements[i].ai, e->ai) != 0) {
            return FAIL2(ELEMENT_CLASH, e->field, e->ai, elements[i].ai);
        }
    }
    for (size_t i = 0; rule->not_with != NULL && rule->not_with[i] != NULL; i++) {
        if (has_ai(elements, count, rule->not_with[i], strlen(rule->not_with[i]))) {
            return FAIL2(ELEMENT_CLASH, e->field, e->ai, rule->not_with[i]);
        }
    }
    for (size_t i = 0; rule->needs != NULL && rule->needs[i] != NULL; i++) {
        if (has_group(elements, count, rule->needs[i])) {
            return RESULT_OK;
        }
    }
    return rule->needs == NULL ? RESULT_OK : needs_fail(e, rule);
}

struct result gs1_elements_check(const struct gs1_element *elements, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        TRY(element_check(&elements[i]));
    }
    for (size_t i = 0; i < count; i++) {
        TRY(pairs_check(elements, count, i));
    }
    return RESULT_OK;
}

struct result gs1_string_make(struct arena *a, const struct gs1_element *elements, size_t count,
                              struct gs1_string *out)
{
    size_t room = 1;
    for (size_t i = 0; i < count; i++) {
        TRY(element_check(&elements[i]));
        room += strlen(elements[i].ai) + strlen(elements[i].value) + 2;
    }
    char *bracketed = arena_alloc(a, room);
    char *scanned = arena_alloc(a, room);
    size_t b = 0, s = 0;
    for (size_t i = 0; i < count; i++) {
        const struct gs1_element *e = &elements[i];
        bool last = i + 1 == count;
        b += (size_t)snprintf(bracketed + b, room - b, "(%s)%s", e->ai, e->value);
        s += (size_t)snprintf(scanned + s, room - s, "%s%s", e->ai, e->value);
        if (rule_of(e->ai)->separator && !last) {
            scanned[s++] = GS1_SEPARATOR;
        }
    }
    *out = (struct gs1_string){.bracketed = bracketed, .scanned = scanned, .chars = s};
    return RESULT_OK;
}

/* The identifier that a text begins with: two digits, or four of a weight. NULL: none we know. */
static const struct rule *rule_at(const char *text, size_t *out_len)
{
    char ai[5];
    for (*out_len = 4; *out_len >= 2; *out_len -= 2) {
        snprintf(ai, sizeof ai, "%.*s", (int)*out_len, text);
        if (strlen(ai) == *out_len && rule_of(ai) != NULL) {
            return rule_of(ai);
        }
    }
    return NULL;
}

bool gs1_string_read(struct arena *a, const char *text, struct gs1_element *out, size_t room,
                     size_t *out_count)
{
    static const char separator[] = {GS1_SEPARATOR, '\0'};
    bool bracketed;
    text += strncmp(text, "]C1", 3) == 0 ? 3 : 0;
    bracketed = text[0] == '(';
    *out_count = 0;
    while (*text != '\0') {
        size_t ai_len, len;
        text += bracketed && *text == '(' ? 1 : 0;
        const struct rule *rule = rule_at(text, &ai_len);
        if (rule == NULL || *out_count == room || (bracketed && text[ai_len] != ')')) {
            return false;
        }
        const char *value = text + ai_len + (bracketed ? 1 : 0);
        len = strcspn(value, bracketed ? "(" : separator);
        if (!bracketed && !rule->separator) {
            len = len < rule->length_max ? len : rule->length_max; /* the next follows at once */
        }
        if (len < rule->length_min || len > rule->length_max) {
            return false;
        }
        out[(*out_count)++] = (struct gs1_element){
            .ai = arena_copy_n(a, text, ai_len), .value = arena_copy_n(a, value, len), .field = ""};
        text = value + len;
        text += *text == GS1_SEPARATOR ? 1 : 0;
    }
    return *out_count > 0;
}
