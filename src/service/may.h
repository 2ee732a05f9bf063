/* What a role may do, as names that pages switch their parts by: "record:<step>" for each step of
 * the profile and each house kind it may send, and the named actions of may.def. The ledger and the
 * requests refuse what is not on the list; nothing is allowed by it. */
#ifndef SERVICE_MAY_H
#define SERVICE_MAY_H

#include "base/json.h"
#include "ledger/profile.h"

/* An array of texts, sorted as the tables are; the caller owns it. profile NULL: the house has none
 * yet. role NULL: nobody, an empty array. */
json_t *may_list(const struct profile *profile, const char *role);

/* Roles that may enrol and withdraw stations, and change other people's secrets. */
extern const char may_stations[];
extern const char may_people[];

#endif
