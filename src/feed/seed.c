/* Deliveries of seed, with the tests that came with them. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "feed/feed_inner.h"

enum { SACKS_MAX = 100000 };

/* A mass as text with unit: "942.5 kg". The cell may carry its own unit. */
static struct result read_mass(struct table *t, const struct cell *c, const char **out)
{
    static const struct {
        const char *unit;
        int scale; /* down to a milligram */
    } units[] = {{"kg", 6}, {"g", 3}, {"mg", 0}, {"t", 9}};
    size_t len = c->len;
    while (len > 0 && ((c->text[len - 1] | 0x20) >= 'a' && (c->text[len - 1] | 0x20) <= 'z')) {
        len--;
    }
    const char *unit = len < c->len ? c->text + len : t->m->unit;
    while (len > 0 && c->text[len - 1] == ' ') {
        len--;
    }
    struct cell number = *c;
    number.text = arena_copy_n(t->arena, c->text, len);
    number.len = len;
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (strcmp(units[i].unit, unit) == 0) {
            int64_t value;
            bool rounded;
            TRY(cell_number(t->m, &number, units[i].scale, CELL_EXACT, &value, &rounded));
            if (value <= 0) {
                return cell_at(c, FAIL2(FIELD_RANGE, c->header, c->text, "more than nothing"));
            }
            *out = arena_printf(t->arena, "%s %s",
                                decimal_text(t->arena, value, units[i].scale, false), unit);
            return RESULT_OK;
        }
    }
    return cell_at(c, FAIL2(UNIT_BAD, c->header, unit, "kg, g, mg, t"));
}

static struct result set_mass(struct table *t, json_t *command, int field, const char *name)
{
    struct cell c = table_cell(t, field);
    const char *text;
    if (c.missing) {
        return RESULT_OK;
    }
    TRY(read_mass(t, &c, &text));
    feed_set_text(command, name, text);
    return RESULT_OK;
}

/* A text field of the command, our word for it where the mapping has words. */
static struct result set_word(struct table *t, json_t *command, int field, const char **out)
{
    struct cell c = table_cell(t, field);
    *out = "";
    if (c.missing) {
        return RESULT_OK;
    }
    TRY(cell_word(t->arena, t->m, field, &c, out));
    feed_set_text(command, mapping_field_name(FEED_SEED, field), *out);
    return RESULT_OK;
}

static struct result read_receipt(struct table *t, json_t *command, const char **out_key)
{
    static const int needed[] = {SEED_SUPPLIER, SEED_ITEM, SEED_MASS, SEED_PLACE};
    static const int words[] = {SEED_SUPPLIER, SEED_SUPPLIER_LOT, SEED_ITEM,
                                SEED_PLACE,    SEED_LOT,          SEED_INSTRUMENT};
    const char *said[6];
    struct cell c;
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        TRY(table_needed(t, needed[i], &c));
    }
    for (size_t i = 0; i < 6; i++) {
        TRY(set_word(t, command, words[i], &said[i]));
    }
    TRY(set_mass(t, command, SEED_MASS, "mass"));
    TRY(set_mass(t, command, SEED_GROSS, "gross"));
    TRY(set_mass(t, command, SEED_TARE, "tare"));
    c = table_cell(t, SEED_SACKS);
    if (!c.missing) {
        int64_t sacks;
        TRY(cell_count(t->m, &c, 1, SACKS_MAX, &sacks));
        CHECK(json_object_set_new(command, "sacks", json_integer(sacks)) == 0);
    }
    c = table_cell(t, SEED_BEST_BEFORE);
    if (!c.missing) {
        int32_t day;
        TRY(cell_day(t->m, &c, &day));
        feed_set_text(command, "best_before", day_text(t->arena, day));
    }
    const char *mass = json_string_value(json_object_get(command, "mass"));
    *out_key = said[4][0] != '\0'
                   ? said[4]
                   : arena_printf(t->arena, "%s/%s/%s/%s", said[0], said[1], said[2], mass);
    return RESULT_OK;
}

static json_t *test_command(struct table *t, struct feed_row *row, const char *lot,
                            const char *test)
{
    json_t *command = row_command(t, row, "seed-test");
    feed_set_text(command, "lot", lot);
    feed_set_text(command, "test", test);
    return command;
}

/* Grams to 1 mg with their unit. */
static struct result read_grams(struct table *t, const struct cell *c, const char **out)
{
    int64_t mg;
    bool rounded;
    TRY(cell_number(t->m, c, 3, CELL_EXACT, &mg, &rounded));
    if (mg < 0) {
        return cell_at(c, FAIL2(FIELD_RANGE, c->header, c->text, "not negative"));
    }
    *out = decimal_text(t->arena, mg, 3, false);
    return RESULT_OK;
}

static struct result read_moisture(struct table *t, struct feed_row *row, const char *lot)
{
    struct cell c = table_cell(t, SEED_MOISTURE);
    int64_t value;
    bool rounded;
    if (c.missing) {
        return RESULT_OK;
    }
    TRY(cell_number(t->m, &c, 3, CELL_EXACT, &value, &rounded));
    if (value < 0 || value > 100000) {
        return cell_at(&c, FAIL2(FIELD_RANGE, c.header, c.text, "0 to 100 per cent"));
    }
    json_t *command = test_command(t, row, lot, "moisture");
    feed_set_text(command, "moisture",
                  arena_printf(t->arena, "%s %%", decimal_text(t->arena, value, 3, false)));
    return RESULT_OK;
}

static struct result read_purity(struct table *t, struct feed_row *row, const char *lot)
{
    const char *grams[4];
    int there = 0;
    for (int i = 0; i < 4; i++) {
        struct cell c = table_cell(t, SEED_PURE + i);
        there += !c.missing;
    }
    if (there == 0) {
        return RESULT_OK;
    }
    for (int i = 0; i < 4; i++) {
        struct cell c;
        TRY(table_needed(t, SEED_PURE + i, &c));
        TRY(read_grams(t, &c, &grams[i]));
    }
    json_t *command = test_command(t, row, lot, "purity");
    for (int i = 0; i < 4; i++) {
        feed_set_text(command, mapping_field_name(FEED_SEED, SEED_PURE + i),
                      arena_printf(t->arena, "%s g", grams[i]));
    }
    return RESULT_OK;
}

/* The replicates that are there become a list; a test without any is no test. */
static struct result read_replicates(struct table *t, struct feed_row *row, const char *lot,
                                     bool germination)
{
    json_t *command = NULL;
    json_t *list = NULL;
    for (int i = 0; i < SEED_REPLICATES_MAX; i++) {
        struct cell c = table_cell(t, (germination ? SEED_GERMINATION : SEED_THOUSAND) + i);
        json_t *value;
        if (c.missing) {
            continue;
        }
        if (germination) {
            int64_t seeds;
            TRY(cell_count(t->m, &c, 0, 100, &seeds));
            value = json_integer(seeds);
        } else {
            const char *grams;
            TRY(read_grams(t, &c, &grams));
            value = json_string(grams);
        }
        if (command == NULL) {
            command = test_command(t, row, lot, germination ? "germination" : "thousand-seed-mass");
            list = json_array();
            CHECK(json_object_set_new(command, germination ? "replicates" : "replicates_g", list) ==
                  0);
        }
        CHECK(json_array_append_new(list, value) == 0);
    }
    return RESULT_OK;
}

static struct result read_row(struct table *t, struct feed_content *out)
{
    struct feed_row *row = row_begin(t, out);
    struct cell when = table_cell(t, SEED_AT);
    const char *key, *moment;
    json_t *receipt = row_command(t, row, "receive");
    TRY(read_receipt(t, receipt, &key));
    const char *lot = json_string_value(json_object_get(receipt, "lot"));
    size_t receipts = row->command_count;
    const char *lot_of_tests = lot != NULL ? lot : "";
    TRY(read_moisture(t, row, lot_of_tests));
    TRY(read_purity(t, row, lot_of_tests));
    TRY(read_replicates(t, row, lot_of_tests, true));
    TRY(read_replicates(t, row, lot_of_tests, false));
    if (lot == NULL && row->command_count > receipts) {
        struct cell c = table_cell(t, SEED_LOT);
        return cell_missing(&c); /* a test must name the lot it is of */
    }
    TRY(row_when(t, row, &when, &moment));
    /* the report outlives the commands */
    row_end(t, out,
            lot != NULL ? arena_copy(t->arena, lot) : arena_printf(t->arena, "%s/%s", key, moment),
            moment);
    return RESULT_OK;
}

struct result seed_read(struct table *t, struct feed_content *out)
{
    for (;;) {
        bool has;
        TRY(table_next(t, &has));
        if (!has) {
            return rows_end(t, out, "seed lot");
        }
        TRY(read_row(t, out));
    }
}
