#include "service/shift_folder.h"

#include <stdlib.h>
#include <sys/stat.h>

#include "base/check.h"
#include "base/civil.h"
#include "service/chore.h"
#include "service/dossier.h"
#include "service/reading.h"
#include "service/sheets.h"

enum { LOOK_S = 30 };

struct shift_folder {
    struct serving *serving;
    const char *lang;
    struct plant *reader;
    struct world world;
    struct chore *chore;
};

/* Were the shift's sheets written since? Asked of the files, so that a restart does not write over
 * sheets that somebody has printed. */
static bool written_since(const char *path, int64_t ms)
{
    struct stat s;
    return stat(path, &s) == 0 && (int64_t)s.st_mtim.tv_sec * 1000 >= ms;
}

static struct result sign(struct shift_folder *s)
{
    json_t *answer = NULL, *request = json_pack("{s:s,s:s}", "do", "sign", "why", "shift");
    CHECK(request != NULL);
    struct result r = serving_ask(s->serving, request, &answer);
    json_decref(request);
    json_decref(answer);
    return r;
}

static struct result write_sheets(struct shift_folder *s, const struct profile *p,
                                  struct sheets_span span, const char *folder, struct arena *a)
{
    struct view view = {.store = s->reader->store,
                        .arena = a,
                        .profile = p,
                        .now_ms = s->world.now_ms(s->world.self),
                        .lang = s->lang};
    bool behind;
    TRY(dossier_head_behind(s->reader, &behind));
    if (behind) {
        TRY(sign(s));
    }
    TRY(store_begin(s->reader->store)); /* one state of the record on all of them */
    struct result r = sheets_write(&view, folder, span);
    store_rollback(s->reader->store);
    return r;
}

static struct result look(void *self, struct arena *a)
{
    struct shift_folder *s = self;
    struct profile *p;
    int64_t now_ms = s->world.now_ms(s->world.self);
    TRY(profile_now(s->reader, &p));
    struct shift shift = shift_at(p, a, now_ms);
    struct sheets_span span = {.day = shift.day, .shift = &shift};
    const char *folder = arena_printf(a, "%s/sheets", serving_folder(s->serving));
    const char *first = arena_printf(a, "%s/%s.pdf", folder, sheets_file(a, span, SHEETS_SOAK));
    struct result r =
        written_since(first, shift.start_ms) ? RESULT_OK : write_sheets(s, p, span, folder, a);
    profile_free(p);
    return r;
}

struct result shift_folder_start(struct serving *serving, const char *lang,
                                 struct shift_folder **out)
{
    struct shift_folder *s = calloc(1, sizeof *s);
    CHECK(s != NULL);
    *s = (struct shift_folder){.serving = serving, .lang = lang, .world = serving_world(serving)};
    struct result r = plant_open_read(serving_folder(serving), &s->reader);
    if (r.code != CODE_OK) {
        free(s);
        return r;
    }
    s->chore = chore_start(LOOK_S, look, s, "the shift's sheets were not written");
    *out = s;
    return RESULT_OK;
}

void shift_folder_stop(struct shift_folder *s)
{
    chore_stop(s->chore);
    plant_close(s->reader);
    free(s);
}
