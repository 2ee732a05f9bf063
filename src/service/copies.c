#include "service/copies.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/file.h"
#include "base/json.h"
#include "service/backup.h"
#include "service/chore.h"

enum {
    RULE_MAX = 1 << 16,
    LOOK_S = 30,
    AGAIN_MS = 10 * 60000 /* after a failure; a disk that was full may have room again */
};

struct copies {
    struct plant *reader;
    struct world world;
    struct chore *chore;
    int64_t failed_ms;
};

struct result copies_time(const char *text, int *out_min)
{
    int hour = 0, minute = 0;
    bool good = strlen(text) == 5 && text[2] == ':' && strspn(text, "0123456789:") == 5;
    if (good) {
        hour = (text[0] - '0') * 10 + text[1] - '0';
        minute = (text[3] - '0') * 10 + text[4] - '0';
    }
    if (!good || text[0] == ':' || text[1] == ':' || text[3] == ':' || text[4] == ':' ||
        hour > 23 || minute > 59) {
        return FAIL2(FIELD_RANGE, "backup-at", text, "a time such as 03:15");
    }
    *out_min = hour * 60 + minute;
    return RESULT_OK;
}

static const char *rule_file(struct arena *a, const char *folder)
{
    return arena_printf(a, "%s/plant.copies", folder);
}

static struct result rule_from(struct arena *a, const json_t *o, struct copies_rule *out)
{
    const char *to = NULL, *path = NULL;
    int64_t at_min = 0;
    TRY(json_get_text(o, "to", "to", JSON_NEEDED, &to));
    TRY(json_get_text(o, "last_path", "last_path", JSON_OPTIONAL, &path));
    TRY(json_get_int(o, "at_min", "at_min", JSON_NEEDED, 0, 24 * 60 - 1, &at_min));
    TRY(json_get_int(o, "last_ms", "last_ms", JSON_OPTIONAL, 0, INT64_C(1) << 52, &out->last_ms));
    out->to = arena_copy(a, to);
    out->at_min = (int)at_min;
    out->last_path = path != NULL ? arena_copy(a, path) : NULL;
    return RESULT_OK;
}

struct result copies_read(const char *folder, struct arena *a, struct copies_rule *out)
{
    const char *path = rule_file(a, folder);
    char *text;
    size_t len;
    json_t *o = NULL;
    *out = (struct copies_rule){.to = NULL};
    if (!file_exists(path)) {
        return RESULT_OK;
    }
    TRY(file_read(a, path, RULE_MAX, &text, &len));
    TRY(json_read(text, len, RULE_MAX, &o));
    struct result r = rule_from(a, o, out);
    json_decref(o);
    return r;
}

struct result copies_write(const char *folder, const struct copies_rule *rule)
{
    struct arena a;
    arena_init(&a, 1 << 20);
    json_t *o = json_pack("{s:s,s:i,s:I,s:s*}", "to", rule->to, "at_min", rule->at_min, "last_ms",
                          (json_int_t)rule->last_ms, "last_path", rule->last_path);
    CHECK(o != NULL);
    const char *text = json_canonical(&a, o);
    json_decref(o);
    struct result r = file_write(rule_file(&a, folder), text, strlen(text), 0644);
    arena_release(&a);
    return r;
}

static struct civil local(int64_t ms)
{
    return civil_from_ms(ms, civil_offset_min(ms));
}

bool copies_due(const struct copies_rule *rule, int64_t now_ms)
{
    struct civil now = local(now_ms), last = local(rule->last_ms);
    bool today = now.year == last.year && now.month == last.month && now.day == last.day;
    return rule->to != NULL && now.hour * 60 + now.minute >= rule->at_min && !today;
}

/* The rule is read anew each time: it may have been changed, or the last copy made, by hand. */
static struct result make_when_due(struct copies *c, struct arena *a)
{
    struct copies_rule rule;
    int64_t now_ms = c->world.now_ms(c->world.self);
    TRY(copies_read(c->reader->folder, a, &rule));
    if (!copies_due(&rule, now_ms) || now_ms - c->failed_ms < AGAIN_MS) {
        return RESULT_OK;
    }
    TRY(backup_make(c->reader, rule.to, now_ms, a, &rule.last_path));
    rule.last_ms = now_ms;
    return copies_write(c->reader->folder, &rule);
}

static struct result look(void *self, struct arena *a)
{
    struct copies *c = self;
    struct result r = make_when_due(c, a);
    if (r.code != CODE_OK) {
        c->failed_ms = c->world.now_ms(c->world.self);
    }
    return r;
}

struct result copies_start(const char *folder, struct world world, struct copies **out)
{
    struct copies *c = calloc(1, sizeof *c);
    CHECK(c != NULL);
    c->world = world;
    struct result r = plant_open_read(folder, &c->reader);
    if (r.code != CODE_OK) {
        free(c);
        return r;
    }
    c->chore = chore_start(LOOK_S, look, c, "no copy was made");
    *out = c;
    return RESULT_OK;
}

void copies_stop(struct copies *c)
{
    chore_stop(c->chore);
    plant_close(c->reader);
    free(c);
}
