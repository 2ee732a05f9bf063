/* The story of a lot as the dossier prints it. */
#include "service/dossier_inner.h"
#include "service/sentence.h"

static struct result event_text(struct telling *t, const struct told *one, const char **out)
{
    const char *text = sentence_title(t->arena, t->profile, t->lang, one->kind);
    if (one->lots[0] != '\0') {
        text = arena_printf(t->arena, "%s: %s", text, one->lots);
    }
    if (one->place != NULL) {
        text = TOLD_WORDS(t, "dossier.at", text, one->place);
    }
    text = TOLD_WORDS(t, "dossier.by", text, told_number(t, one->person));
    if (one->struck_by != 0) {
        text = TOLD_WORDS(t, "dossier.struck", text, told_number(t, one->struck_by));
    }
    struct statement *q = store_prepare(t->store, Q_DOSSIER_DEVIATIONS);
    store_bind_int(q, 1, one->entry);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        text = TOLD_WORDS(t, "dossier.deviation", text,
                          told_deviation(t->arena, t->lang, store_text(q, 0)));
    }
    *out = text;
    return RESULT_OK;
}

struct result told_print(struct telling *t, const struct told *told, size_t count)
{
    struct dossier_event *events = ARENA_ARRAY(t->arena, struct dossier_event, count);
    for (size_t i = 0; i < count; i++) {
        events[i] = (struct dossier_event){
            .at_ms = told[i].happened_ms, .offset_min = told[i].offset_min, .entry = told[i].entry};
        TRY(event_text(t, &told[i], &events[i].text));
    }
    t->paper.events = events;
    t->paper.event_count = count;
    return RESULT_OK;
}
