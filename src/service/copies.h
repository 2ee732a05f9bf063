/* A copy of the record by itself, once a day: where to, when, and when it last went well. Kept in
 * plant.copies beside the record, so that it goes on after a restart. */
#ifndef SERVICE_COPIES_H
#define SERVICE_COPIES_H

#include "service/plant.h"

struct copies_rule {
    const char *to;  /* folder; NULL: no copies are made */
    int at_min;      /* minutes after midnight in the plant's zone */
    int64_t last_ms; /* of the last good copy; 0: none yet */
    const char *last_path;
};

/* "HH:MM". TIME_BAD. */
MUST_USE struct result copies_time(const char *text, int *out_min);
/* The rule kept in a plant's folder; texts in the arena. */
MUST_USE struct result copies_read(const char *folder, struct arena *a, struct copies_rule *out);
MUST_USE struct result copies_write(const char *folder, const struct copies_rule *rule);

/* A copy is due when today's time is past and none was made today. */
bool copies_due(const struct copies_rule *rule, int64_t now_ms);

struct copies;
/* Looks every half minute; makes the checked copy through a reader of its own. Before other threads
 * run. */
MUST_USE struct result copies_start(const char *folder, struct world world, struct copies **out);
void copies_stop(struct copies *c);

#endif
