/* A plant of one year. Making it takes minutes: PLUMULE_BENCH_PLANT names a folder with one to use
 * again, which then stays (entries may be told to it). */
#ifndef BENCH_YEAR_H
#define BENCH_YEAR_H

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/check.h"
#include "demo/demo.h"
#include "folder.h"

struct year {
    char folder[64]; /* made for the time of the measure; "": it was there */
    char plant[4096];
    char program[4200]; /* plumule, beside this benchmark */
    int64_t entries;
    char lot[64],
        gone_case[64]; /* a packed lot that was released, and a case of it that has left */
};

static inline sqlite3 *year_open(const struct year *y)
{
    char path[4200];
    sqlite3 *db;
    snprintf(path, sizeof path, "%s/plant.db", y->plant);
    CHECK(sqlite3_open_v2(path, &db, SQLITE_OPEN_READWRITE, NULL) == SQLITE_OK);
    return db;
}

static inline void year_look(struct year *y)
{
    static const char sql[] =
        "select l.code, u.code, (select max(seq) from daybook) from unit u "
        "join lot l on l.id = u.lot and l.struck is null and l.kind = 'packed' "
        "where u.struck is null and u.kind = 'case' and u.state = 'shipped' and exists "
        "(select 1 from release r where r.lot = l.id and r.revoked is null and r.struck is null) "
        "order by l.id desc, u.id desc limit 1";
    sqlite3 *db = year_open(y);
    sqlite3_stmt *q;
    CHECK(sqlite3_prepare_v2(db, sql, -1, &q, NULL) == SQLITE_OK);
    CHECK(sqlite3_step(q) == SQLITE_ROW);
    snprintf(y->lot, sizeof y->lot, "%s", (const char *)sqlite3_column_text(q, 0));
    snprintf(y->gone_case, sizeof y->gone_case, "%s", (const char *)sqlite3_column_text(q, 1));
    y->entries = sqlite3_column_int64(q, 2);
    sqlite3_finalize(q);
    sqlite3_close(db);
}

static inline bool year_make(struct year *y, int weeks)
{
    struct arena a;
    struct demo_made made;
    snprintf(y->folder, sizeof y->folder, "year-bench-XXXXXX");
    CHECK(mkdtemp(y->folder) != NULL);
    snprintf(y->plant, sizeof y->plant, "%s/plant", y->folder);
    struct demo_settings s = {.folder = y->plant,
                              .profile = "profiles/sprout-house.json",
                              .chambers = 24,
                              .weeks = weeks,
                              .seed = 1,
                              .last_day = (int32_t)(time(NULL) / 86400) - 1};
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct result r = demo_make(&s, &a, &made);
    if (r.code != CODE_OK) {
        fprintf(stderr, "%s\n", result_sentence(&a, &r));
    }
    arena_release(&a);
    return r.code == CODE_OK;
}

/* weeks: of a plant that has to be made. */
static inline bool year_begin(struct year *y, int weeks)
{
    char own[4096];
    const char *there = getenv("PLUMULE_BENCH_PLANT");
    ssize_t n = readlink("/proc/self/exe", own, sizeof own - 1);
    CHECK(n > 0);
    own[n] = '\0';
    *strrchr(own, '/') = '\0';
    *y = (struct year){0};
    snprintf(y->program, sizeof y->program, "%s/../src/command/plumule", own);
    snprintf(y->plant, sizeof y->plant, "%s", there != NULL ? there : "");
    if (there == NULL && !year_make(y, weeks)) {
        return false;
    }
    year_look(y);
    return true;
}

static inline bool year_end(const struct year *y)
{
    return y->folder[0] == '\0' || folder_drop(y->folder);
}

#endif
