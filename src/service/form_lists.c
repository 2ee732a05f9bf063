#include "service/form_lists.h"

#include <string.h>

#include "base/check.h"
#include "base/words.h"
#include "ledger/listed.h"
#include "ledger/profile.h"
#include "service/sentence.h"

/* Of deviations and tasks: what nobody reaches by choosing is named by its number. */
enum { SHOWN_MAX = 100 };

static void add(json_t *list, const char *value, const char *label)
{
    json_array_append_new(list, json_pack("{s:s,s:s}", "value", value, "label", label));
}

/* ---- what is listed */

/* What a row says beside its code: a text of its data, or a column of its own. */
static const struct {
    const char *name, *kind;
    const char *word; /* of the data; "place" and "about" are columns */
} lists[] = {
    {"@duties", "duty", "title"},           {"@sites", "site", "surface"},
    {"@registers", "register", "place"},    {"@chemicals", "chemical", "agent"},
    {"@work-orders", "work-order", "what"}, {"@retained", "retained", "about"},
};

static const char *beside(const struct listed *l, const char *word)
{
    return strcmp(word, "place") == 0   ? l->place
           : strcmp(word, "about") == 0 ? l->about
                                        : listed_text(l, word);
}

/* A duty that its own record fulfils is not told as done. */
static bool is_offered(const struct listed *l, const char *kind)
{
    return strcmp(kind, "duty") != 0 || strcmp(listed_text(l, "by"), "told") == 0;
}

static struct result add_listed(struct view *v, const char *kind, const char *word, json_t *list)
{
    struct listed *rows;
    size_t count;
    TRY(listed_all(v->store, v->arena, kind, &rows, &count));
    for (size_t i = 0; i < count; i++) {
        const char *more = beside(&rows[i], word);
        if (is_offered(&rows[i], kind)) {
            add(list, rows[i].code,
                more == NULL ? rows[i].code
                             : arena_printf(v->arena, "%s – %s", rows[i].code, more));
        }
    }
    listed_free(rows, count);
    return RESULT_OK;
}

/* ---- what is open */

static const char *number_text(struct view *v, int64_t n)
{
    return arena_printf(v->arena, "%lld", (long long)n);
}

static struct result add_deviations(struct view *v, json_t *list)
{
    struct statement *q = store_prepare(v->store, Q_DEVIATIONS_OPEN);
    for (;;) {
        bool row;
        json_t *what = NULL;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (json_array_size(list) < SHOWN_MAX &&
            json_read_stored(store_text(q, 3), &what).code == CODE_OK) {
            add(list, number_text(v, store_int(q, 0)), sentence_deviation(v->arena, v->lang, what));
        }
        json_decref(what);
    }
}

/* What was told and not booked is settled, not done. */
static struct result add_tasks(struct view *v, json_t *list)
{
    struct statement *q = store_prepare(v->store, Q_TODAY_TASKS);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char *kind = store_text(q, 1);
        if (strcmp(kind, "set-aside") == 0 || json_array_size(list) >= SHOWN_MAX) {
            continue;
        }
        const char *title = words_of(v->arena, v->lang, "task.", kind, kind);
        const char *place = store_text(q, 4), *lot = store_text(q, 3);
        const char *about = place[0] != '\0' ? place : lot[0] != '\0' ? lot : store_text(q, 2);
        add(list, number_text(v, store_int(q, 0)), arena_printf(v->arena, "%s – %s", title, about));
    }
}

struct result form_list(struct view *v, const char *name, json_t *list, bool *out_is)
{
    *out_is = true;
    if (strcmp(name, "@deviations") == 0) {
        return add_deviations(v, list);
    }
    if (strcmp(name, "@tasks") == 0) {
        return add_tasks(v, list);
    }
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        if (strcmp(name, lists[i].name) == 0) {
            return add_listed(v, lists[i].kind, lists[i].word, list);
        }
    }
    *out_is = false;
    return RESULT_OK;
}
