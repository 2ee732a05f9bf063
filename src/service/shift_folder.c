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
#define MINUTE_MS INT64_C(60000)
#define DAY_MS (INT64_C(1440) * MINUTE_MS)

struct shift_folder {
    struct serving *serving;
    const char *lang;
    struct plant *reader;
    struct world world;
    struct chore *chore;
};

static int64_t day_began_ms(const struct profile *p, int32_t day, int offset_min)
{
    return day * DAY_MS + (p->day_starts_min - offset_min) * MINUTE_MS;
}

int64_t shift_began_ms(const struct profile *p, int64_t now_ms)
{
    int offset_min = civil_offset_min(now_ms);
    int32_t day = day_of_house(now_ms, offset_min, p->day_starts_min);
    int64_t began_ms = day_began_ms(p, day, offset_min);
    /* the offset that was in force then, which a clock change since has made another */
    began_ms = day_began_ms(p, day, civil_offset_min(began_ms));
    if (p->shift_ms <= 0 || now_ms < began_ms) {
        return began_ms;
    }
    return began_ms + (now_ms - began_ms) / p->shift_ms * p->shift_ms;
}

/* Were the day's sheets written since? Asked of the files, so that a restart does not write over
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

static struct result write_sheets(struct shift_folder *s, const struct profile *p, int32_t day,
                                  const char *folder, struct arena *a)
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
    struct result r = sheets_write(&view, folder, day);
    store_rollback(s->reader->store);
    return r;
}

static struct result look(void *self, struct arena *a)
{
    struct shift_folder *s = self;
    struct profile *p;
    int64_t now_ms = s->world.now_ms(s->world.self);
    TRY(profile_now(s->reader, &p));
    int64_t began_ms = shift_began_ms(p, now_ms);
    int32_t day = day_of_house(now_ms, civil_offset_min(now_ms), p->day_starts_min);
    const char *folder = arena_printf(a, "%s/sheets", serving_folder(s->serving));
    const char *first =
        arena_printf(a, "%s/%s-%s.pdf", folder, day_text(a, day), sheets_name((enum sheets_kind)0));
    struct result r =
        written_since(first, began_ms) ? RESULT_OK : write_sheets(s, p, day, folder, a);
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
