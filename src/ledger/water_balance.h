/* What gathers in a water that goes round, from what was read of it since it was changed, and
 * whether it lasts until the next planned change (calc/water/wash_forecast.h). */
#ifndef LEDGER_WATER_BALANCE_H
#define LEDGER_WATER_BALANCE_H

#include "calc/water/wash_forecast.h"
#include "ledger/water_book.h"

struct water_balance {
    bool followed; /* the loop says what is read, and that has an upper limit */
    enum water_meter measure;
    int64_t limit_milli;
    const struct source *source; /* of the limit */
    struct wash_record record;
    int64_t changed_ms;     /* 0: not since it goes round so */
    int64_t next_change_ms; /* as planned; 0: none is */
    bool flows_read;        /* fresh water or blow-down was read; else none is counted */
    const struct wash_seen *seen;
    size_t seen_count;
    struct wash_forecast forecast;
    bool due;             /* above its limit now or before its planned change, or that has passed */
    int64_t change_by_ms; /* the earliest of these; 0: nothing says when */
};

/* As it is known at a moment. Where no change is planned, what will be above its limit within a day
 * is due. */
MUST_USE struct result water_balance(struct store *s, struct arena *a, const struct profile *p,
                                     const char *place, int64_t now_ms, struct water_balance *out);

#endif
