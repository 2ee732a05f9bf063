/* What somebody may do, as names that pages switch their parts by: "record:<step>" for each step of
 * the profile and each house kind that their role may send and they are trained for, and the named
 * actions of their role. The ledger and the requests refuse what is not on the list; nothing is
 * allowed by it. */
#ifndef SERVICE_MAY_H
#define SERVICE_MAY_H

#include "base/json.h"
#include "ledger/profile.h"
#include "store/store.h"

struct may_asking {
    struct store *store;
    const struct profile *profile; /* NULL: the house has none yet */
    const char *role;              /* NULL: nobody */
    int64_t person, at_ms;
};

/* An array of texts, sorted as the tables are; the caller owns it. Of nobody it is empty. */
MUST_USE struct result may_list(const struct may_asking *who, json_t **out);

/* Roles that may enrol and withdraw stations, and change other people's secrets. */
extern const char may_stations[];
extern const char may_people[];

#endif
