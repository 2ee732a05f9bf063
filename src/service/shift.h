/* The shifts of a house day, as the profile in force has them.
 *
 * Where it names none, a day is cut into pieces of its span "shift", called 1, 2, ...; the last may
 * be shorter. A shift ends where the next begins; the first begins with the house day, on the wall
 * clock. */
#ifndef SERVICE_SHIFT_H
#define SERVICE_SHIFT_H

#include "ledger/profile.h"

struct shift {
    const char *name; /* as in the profile; in the arena or the profile */
    int32_t day;      /* house day */
    int64_t start_ms, end_ms;
};

/* The moment minutes after midnight (0..2880) of a day's date, on the clock then in force. */
int64_t shift_wall_ms(int32_t day, int64_t minutes);
/* The one in force at a moment. */
struct shift shift_at(const struct profile *p, struct arena *a, int64_t ms);
/* FIELD_CHOICE where the day has none of that name. */
MUST_USE struct result shift_named(const struct profile *p, struct arena *a, int32_t day,
                                   const char *name, struct shift *out);
/* What it is called in a language of base/words.h. */
const char *shift_title(struct arena *a, const char *lang, const char *name);

#endif
