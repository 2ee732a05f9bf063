#include "service/sentences.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"

/* A lot's page says some hundred sentences of about a hundred bytes (common practice): room for
 * those of the last weeks, and never more than 8 MB. */
enum { SLOTS = 16384, TEXT_MAX = 480, LANG_MAX = 8 };

struct slot {
    int64_t entry;
    char lang[LANG_MAX];
    char *text; /* NULL: empty */
};

struct sentences {
    pthread_mutex_t mutex;
    struct slot slots[SLOTS];
};

struct sentences *sentences_new(void)
{
    struct sentences *s = calloc(1, sizeof *s);
    CHECK(s != NULL);
    pthread_mutex_init(&s->mutex, NULL);
    return s;
}

void sentences_free(struct sentences *s)
{
    if (s == NULL) {
        return;
    }
    for (size_t i = 0; i < SLOTS; i++) {
        free(s->slots[i].text);
    }
    pthread_mutex_destroy(&s->mutex);
    free(s);
}

/* Neighbours in the daybook do not displace each other. */
static struct slot *slot_of(struct sentences *s, int64_t entry)
{
    return &s->slots[(uint64_t)entry % SLOTS];
}

const char *sentences_find(struct sentences *s, struct arena *a, const char *lang, int64_t entry)
{
    const char *text = NULL;
    struct slot *slot = slot_of(s, entry);
    pthread_mutex_lock(&s->mutex);
    if (slot->text != NULL && slot->entry == entry && strcmp(slot->lang, lang) == 0) {
        text = arena_copy(a, slot->text);
    }
    pthread_mutex_unlock(&s->mutex);
    return text;
}

void sentences_put(struct sentences *s, const char *lang, int64_t entry, const char *text)
{
    size_t len = strlen(text), lang_len = strlen(lang);
    if (len > TEXT_MAX || lang_len >= LANG_MAX) {
        return;
    }
    char *kept = malloc(len + 1);
    CHECK(kept != NULL);
    memcpy(kept, text, len + 1);
    struct slot *slot = slot_of(s, entry);
    pthread_mutex_lock(&s->mutex);
    char *old = slot->text;
    slot->entry = entry;
    memcpy(slot->lang, lang, lang_len + 1);
    slot->text = kept;
    pthread_mutex_unlock(&s->mutex);
    free(old);
}
