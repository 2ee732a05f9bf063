/* The writer: one thread that owns the writing connection. Requests wait in a bounded queue; all
 * that wait are taken into one transaction (group commit) and answered after it is durable. */
#ifndef SERVICE_WRITER_H
#define SERVICE_WRITER_H

#include "service/request.h"

enum { WRITER_QUEUE_MAX = 1024, WRITER_GROUP_MAX = 128 };

struct writer;

/* The plant must be open for writing; the writer's thread alone uses it until writer_stop. */
MUST_USE struct result writer_start(struct plant *plant, struct writer **out);
/* Finishes what is queued. */
void writer_stop(struct writer *w);
/* Any thread; waits for the answer, which is durable when it comes. The caller owns *out_answer. */
MUST_USE struct result writer_ask(struct writer *w, const json_t *request, json_t **out_answer);

/* Without a thread: takes the requests into one transaction. results[i], answers[i] (owned by the
 * caller). */
void group_take(struct plant *plant, const json_t *const *requests, size_t count,
                struct result *results, json_t **answers);

#endif
