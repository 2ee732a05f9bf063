/* The names that mapping.h gives to fields and kinds. */
#include <string.h>

#include "base/check.h"
#include "ledger/mapping.h"

static const char *const kind_names[FEED_KINDS] = {"orders", "seed", "results", "logger",
                                                   "checkweigher"};

static const char *const orders_names[] = {"customer", "order",  "line", "item",
                                           "day",      "pieces", "state"};
static const char *const seed_names[] = {
    "supplier",      "supplier_lot",  "item",
    "mass",          "place",         "lot",
    "sacks",         "best_before",   "at",
    "instrument",    "gross",         "tare",
    "moisture",      "pure",          "other",
    "weed",          "inert",         "germination-1",
    "germination-2", "germination-3", "germination-4",
    "germination-5", "germination-6", "germination-7",
    "germination-8", "thousand-1",    "thousand-2",
    "thousand-3",    "thousand-4",    "thousand-5",
    "thousand-6",    "thousand-7",    "thousand-8",
};
static const char *const results_names[] = {"sample", "organism", "state", "method", "at"};
static const char *const logger_names[] = {
    "time",       "date",       "clock",      "n",          "device",     "unit",
    "zone",       NULL,         "channel-1",  "channel-2",  "channel-3",  "channel-4",
    "channel-5",  "channel-6",  "channel-7",  "channel-8",  "channel-9",  "channel-10",
    "channel-11", "channel-12", "channel-13", "channel-14", "channel-15", "channel-16",
};
static const char *const checkweigher_names[] = {"time", "date", "clock",   "n",     "device",
                                                 "unit", "zone", "verdict", "weight"};

#define LIST(names)                                    \
    {                                                  \
        names, (int)(sizeof(names) / sizeof(names)[0]) \
    }

static const struct {
    const char *const *at;
    int count;
} fields[FEED_KINDS] = {LIST(orders_names), LIST(seed_names), LIST(results_names),
                        LIST(logger_names), LIST(checkweigher_names)};

const char *feed_kind_text(enum feed_kind kind)
{
    CHECK(kind < FEED_KINDS);
    return kind_names[kind];
}

int mapping_field(enum feed_kind kind, const char *name)
{
    for (int i = 0; i < fields[kind].count; i++) {
        if (fields[kind].at[i] != NULL && strcmp(fields[kind].at[i], name) == 0) {
            return i;
        }
    }
    return MAPPING_NO_FIELD;
}

const char *mapping_field_name(enum feed_kind kind, int field)
{
    CHECK(field >= 0 && field < fields[kind].count);
    return fields[kind].at[field];
}

bool mapping_has(const struct mapping *m, int field)
{
    return m->column[field] != NULL || m->fixed[field] != NULL;
}
