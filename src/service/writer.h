/* The writer: group commit, led by who asks or, in a crowd, by a thread of its own. Requests wait
 * in a bounded queue. Who asks while nobody writes leads: takes all that wait, and who comes
 * meanwhile, into one transaction, and answers after it is durable. When others asked around that
 * group, the writer's own thread leads the next ones, until one that only one asked for or for
 * which nobody comes. A group that is smaller than the last one with those who waited behind it
 * stays open for them, for as long as the last commit took and a millisecond at most.
 *
 * Only the leader touches the plant (its writing connection, its ledger, its checkpoints), and
 * there is at most one leader at any time; leadership passes under the queue's mutex, so that each
 * leader sees all that the one before did. */
#ifndef SERVICE_WRITER_H
#define SERVICE_WRITER_H

#include "service/request.h"

enum { WRITER_QUEUE_MAX = 1024, WRITER_GROUP_MAX = 128 };

struct writer;

/* The plant must be open for writing; only leaders use it until writer_stop. */
MUST_USE struct result writer_start(struct plant *plant, struct writer **out);
/* Waits until all who asked are answered; nobody may ask any more. */
void writer_stop(struct writer *w);
/* Any thread; waits for the answer, which is durable when it comes. The caller owns *out_answer. */
MUST_USE struct result writer_ask(struct writer *w, const json_t *request, json_t **out_answer);

/* Without a thread: takes the requests into one transaction. results[i], answers[i] (owned by the
 * caller). */
void group_take(struct plant *plant, const json_t *const *requests, size_t count,
                struct result *results, json_t **answers);

#endif
