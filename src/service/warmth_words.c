/* From what a chamber's day is reckoned, in words. */
#include <stdlib.h>

#include "base/words.h"
#include "service/view_inner.h"
#include "service/warmth.h"

const char *warmth_says(struct arena *a, const char *lang, const struct warmth *w, int later_days,
                        int64_t now_ms)
{
    struct view v = {.arena = a, .lang = lang, .now_ms = now_ms};
    int days = abs(later_days);
    const char *says = w->log_ms != 0 ? SAY(&v, "warmth.log", view_clock(&v, w->log_ms))
                                      : SAY(&v, "warmth.set-point", NULL);
    if (days != 0) {
        const char *key = days == 1 ? later_days > 0 ? "warmth.day-later" : "warmth.day-sooner"
                          : later_days > 0 ? "warmth.days-later"
                                           : "warmth.days-sooner";
        says = SAY(&v, key, says, view_number(&v, days));
    }
    return w->left_out > 0 ? SAY(&v, "warmth.left-out", says, view_number(&v, w->left_out)) : says;
}
