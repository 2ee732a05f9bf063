/* The stage: a simulated clock, a way to send requests, files on the side. */
#ifndef DEMO_PLAY_H
#define DEMO_PLAY_H

#include <stdio.h>

#include "base/json.h"
#include "base/random.h"
#include "demo/demo.h"
#include "service/socket.h"

enum { HOUR = 3600000, MINUTE = 60000, DAY = 24 * HOUR };

struct play {
    const struct demo_settings *s;
    struct arena *arena;  /* lives as long as the play */
    struct arena scratch; /* cleared every simulated day */
    struct random random;
    struct world_fixed clock;
    struct world world;
    struct door *door;
    FILE *script; /* every command played, as JSON lines */
    struct demo_made *made;
    int32_t first_day, day; /* day: the one being played */
    struct to_review {
        int64_t entry, doer;
    } * review; /* entries waiting for a review */
    size_t review_count, review_room;
    int64_t late_ms;         /* how much later than usual things are told now; 0: in time */
    const char *late_reason; /* said with it */
};

/* Local time of the day being played, in ms UTC. */
int64_t at(const struct play *p, int hour, int minute);
int64_t at_day(int32_t day, int hour, int minute);
const char *when_text(struct play *p, int64_t ms);
const char *mass_of(struct play *p, double kg);           /* "942.35 kg" */
double vary(struct play *p, double middle, double share); /* normal, cut at three deviations */

/* Moves the clock on to told_ms (never back), adds uuid, person and at, sends, keeps the line in
 * the script. Takes over command. A refusal is a fault of the play. The entry number is returned
 * where wanted; so is the answer (owned by the caller). */
MUST_USE struct result tell(struct play *p, int64_t at_ms, int64_t told_ms, int64_t person,
                            json_t *command, json_t **out_answer);
/* The usual case: told two minutes after it happened, answer not wanted, entry kept for review when
 * review is true. */
MUST_USE struct result say(struct play *p, int64_t at_ms, int64_t person, bool review,
                           json_t *command);
/* A command that must be refused with this code; counts as a refusal. */
MUST_USE struct result refused(struct play *p, int64_t at_ms, int64_t person, json_t *command,
                               enum code code);
/* What waits for review and was done by somebody else is signed. */
MUST_USE struct result review_all(struct play *p, int64_t at_ms, int64_t person);
/* Writes folder/files/name and imports it. */
MUST_USE struct result file_in(struct play *p, int64_t at_ms, int64_t person, const char *kind,
                               const char *source, const char *name, const char *bytes, size_t len,
                               const char *reason);
/* Entries from..to were made by doer and wait for a review. */
void review_later(struct play *p, int64_t from, int64_t to, int64_t doer);
/* Attaches bytes; -> their SHA-256 in hex. */
MUST_USE struct result attach(struct play *p, int64_t at_ms, int64_t person, const char *name,
                              const char *paper_kind, const char *text, const char **out_sha);

/* A growing text, for files. */
struct sheet {
    char *at;
    size_t len, room;
};
void sheet_add(struct sheet *s, const char *format, ...) __attribute__((format(printf, 2, 3)));
void sheet_release(struct sheet *s);

#endif
