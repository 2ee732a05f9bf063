/* People's erasable names and secrets: password, PIN, badge; and how often somebody tried wrongly.
 * Requests (request.h), inside the writer's transaction:
 *   {"do":"person","number":N,"name":..,"contact":..,"password":..,"by":N,"by_password":..}
 *   {"do":"erase-person","number":N,"by":N,"by_password":..}
 *   {"do":"pin","number":N,"stored_pin":..,"by":N,"by_password":..}     of oneself
 *   {"do":"badge","number":N,"badge":..,"by":N,"by_password":..}        manager, or of oneself
 *   {"do":"language","number":N,"language":"en","by":N}                 manager, or of oneself
 *   {"do":"unlock","number":N,"by":N,"by_password":..}                  manager
 *   {"do":"attempt","number":N,"how":"password"|"pin"}   counted before the secret is compared, so
 *                            that many at once do not try more often than one after the other
 *   {"do":"attempt-good","number":N,"how":..,"station":..}              it was right */
#ifndef SERVICE_PEOPLE_H
#define SERVICE_PEOPLE_H

#include "service/plant.h"

enum {
    PEOPLE_TRIES = 5,              /* wrong ones in a row, then it is locked */
    PEOPLE_LOCKED_MS = 15 * 60000, /* after wrong passwords; after wrong PINs until unlocked */
    PASSWORD_LEN_MIN = 8,
    PIN_DIGITS_MIN = 4,
    PIN_DIGITS_MAX = 12,
    BADGE_LEN_MIN = 8, /* shorter ones are guessed */
    BADGE_LEN_MAX = 128
};

/* *out_is false, and nothing done: the request is none of these. TRIES_LOCKED (seconds),
 * PIN_LOCKED, BADGE_TAKEN, PERSON_UNKNOWN, ROLE_MISSING, FIELD_* errors. */
MUST_USE struct result people_do(struct plant *plant, const char *what, const json_t *request,
                                 struct arena *a, json_t **out_answer, bool *out_is);
/* Whether such a request must prove who "by" is. */
bool people_proves(const char *what);

/* FIELD_RANGE unless 4 to 12 digits, not all the same and not counting up or down. */
MUST_USE struct result pin_check(const char *pin);

/* What is known of a person's ways in; texts in the arena, NULL where there is none. */
struct access {
    const char *password, *pin, *name, *language;
    int64_t password_failed, pin_failed, locked_until_ms;
    bool has_badge;
};
MUST_USE struct result access_read(struct store *s, struct arena *a, int64_t number,
                                   struct access *out, bool *out_found);
/* FIELD_RANGE unless at least 8 characters. */
MUST_USE struct result password_check(const char *password);
/* Whether a person works here now. */
MUST_USE struct result person_is_here(struct store *s, struct arena *a, int64_t number, bool *out);
/* 0: nobody's. */
MUST_USE struct result badge_owner(struct store *s, const char *badge, int64_t *out_number);

#endif
