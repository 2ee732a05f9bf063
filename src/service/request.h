/* One request to the record, as it comes over the local socket or from the same process:
 *   {"do":"take","command":{...},"password":"..."}        a command of the ledger
 *   {"do":"take-all","commands":[...]}                     all or none, in order; the answer is an
 * array; with "numbered":true the line of a refusal says which command it is of, from 1
 *   {"do":"dry","command":{...}} or {"do":"dry","commands":[...]}
 *                                                          what they would do: taken, answered as
 * an array and taken back; nothing is kept
 *   {"do":"contact","code":..,"name":..,"contact":..}     a partner's erasable names
 *   {"do":"sign","why":"shift"}                            signs the tree as it stands
 *   those of people.h and station.h
 * Answers: {"ok":true,"answer":{...}} or
 * {"ok":false,"error":{"code","field","values","line","column","sentence"}}. */
#ifndef SERVICE_REQUEST_H
#define SERVICE_REQUEST_H

#include "service/plant.h"

/* Who has proved to be who, for as long as a connection lasts. */
enum { SESSION_PEOPLE = 16 };
struct session {
    int64_t people[SESSION_PEOPLE];
    size_t count;
};

/* Whether commands of this kind are signed with one's own password. */
bool request_signs(const char *kind);
/* Before the request is queued: may this person sign? Kinds that sign (release, review, strike,
 * limit, lift, approve, profile, second-reading, person, heat-constants) need the person's own
 * password once a session. Reads only; any thread with its own store. PASSWORD_WRONG,
 * PASSWORD_NEEDED. */
MUST_USE struct result request_check(struct store *store, struct session *session,
                                     const json_t *request, struct arena *a);
/* Also before it is queued, in any thread: what can be worked out of it then. -> out; NULL where
 * the request is not one command. */
const struct command_sum *request_sum(const json_t *request, struct command_sum *out);
/* Inside the writer's transaction. sum: of request_sum, or NULL. *out_dirty as in ledger_take. The
 * caller owns *out_answer. */
MUST_USE struct result request_do(struct plant *plant, const json_t *request,
                                  const struct command_sum *sum, struct arena *a,
                                  json_t **out_answer, bool *out_dirty);
/* The answer envelope; takes over answer. */
json_t *request_envelope(struct arena *a, const struct result *r, json_t *answer);
/* Back from an envelope: the result and the answer (owned by the caller, NULL on failure). */
struct result request_unwrap(const json_t *envelope, json_t **out_answer);

#endif
