/* Stations: browsers on tablets that stay where they are. A manager enrols one; then people step up
 * at it by PIN or badge, and what it kept while there was no network is taken from it.
 * Requests (request.h), inside the writer's transaction:
 *   {"do":"station-enrol","code":..,"place":..,"token_sha256":hex,"by":N}    anew under a known
 * code
 *   {"do":"station-revoke","code":..,"by":N} */
#ifndef SERVICE_STATION_H
#define SERVICE_STATION_H

#include "service/plant.h"

/* *out_is false, and nothing done: the request is none of these. STATION_UNKNOWN, PLACE_UNKNOWN,
 * ROLE_MISSING, FIELD_* errors. */
MUST_USE struct result station_do(struct plant *plant, const char *what, const json_t *request,
                                  struct arena *a, json_t **out_answer, bool *out_is);
/* The station that has this token; NULL: none. */
MUST_USE struct result station_by_token(struct store *s, struct arena *a, const char *token,
                                        const char **out_code);
/* Whether somebody has stepped up there before. */
MUST_USE struct result station_knows(struct store *s, const char *station, int64_t person,
                                     bool *out);

#endif
