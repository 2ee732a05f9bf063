/* Threads for what takes long, behind a bounded queue. */
#ifndef WEB_WORKERS_H
#define WEB_WORKERS_H

#include <stdbool.h>
#include <stddef.h>

struct job {
    struct job *next;
    void (*run)(struct job *job);
};
struct workers;

struct workers *workers_start(size_t threads, size_t queue_max);
/* False when the queue is full or the workers are being stopped. before(job) runs when there is
 * room, before any worker sees the job. */
bool workers_offer(struct workers *w, struct job *job, void (*before)(struct job *job));
/* Runs what was taken, then ends the threads. */
void workers_stop(struct workers *w);

#endif
