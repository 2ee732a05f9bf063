/* What the ways into a serving program share: the one writer of the record, and a bell that rings
 * after each answer, so that whoever shows the record knows that it may have grown. */
#ifndef SERVICE_SERVING_H
#define SERVICE_SERVING_H

#include "service/writer.h"

struct serving;

/* The plant must be open for writing; it is the writer's until serving_stop. */
MUST_USE struct result serving_start(struct plant *plant, struct serving **out);
/* Finishes what is queued. Nobody may ask or wait any more. */
void serving_stop(struct serving *s);
const char *serving_folder(const struct serving *s);
struct world serving_world(const struct serving *s);

/* As writer_ask, by any thread; rings when something was answered. */
MUST_USE struct result serving_ask(struct serving *s, const json_t *request, json_t **out_answer);
/* How often it rang. */
uint64_t serving_rung(struct serving *s);
/* Waits until it rang more often than that, but not longer than wait_ms. -> how often it rang. */
uint64_t serving_wait(struct serving *s, uint64_t heard, int64_t wait_ms);
/* Rings without an answer: ends a wait. */
void serving_ring(struct serving *s);

#endif
