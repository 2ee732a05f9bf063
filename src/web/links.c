#include "web/links.h"

#include <pthread.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <time.h>

#include "base/check.h"

struct link {
    struct link *next, *before;
    int fd;
    enum link_state state;
    int64_t since_s;
};

struct links {
    pthread_mutex_t mutex;
    pthread_cond_t ending;
    pthread_t thread;
    struct link *head;
    bool stop;
    int64_t request_s, answer_s;
};

static int64_t now_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec;
}

static bool is_over(const struct links *l, const struct link *link, int64_t now)
{
    int64_t lasted = now - link->since_s;
    return (link->state == LINK_ASKING && lasted > l->request_s) ||
           (link->state == LINK_ANSWERING && lasted > l->answer_s);
}

static void *look_after(void *self)
{
    struct links *l = self;
    pthread_mutex_lock(&l->mutex);
    while (!l->stop) {
        struct timespec until;
        clock_gettime(CLOCK_MONOTONIC, &until);
        until.tv_sec++;
        pthread_cond_clockwait(&l->ending, &l->mutex, CLOCK_MONOTONIC, &until);
        for (struct link *link = l->head; link != NULL; link = link->next) {
            if (is_over(l, link, until.tv_sec)) {
                shutdown(link->fd, SHUT_RDWR); /* its thread sees the end and closes it */
            }
        }
    }
    pthread_mutex_unlock(&l->mutex);
    return NULL;
}

struct links *links_start(int64_t request_s, int64_t answer_s)
{
    struct links *l = calloc(1, sizeof *l);
    CHECK(l != NULL);
    l->request_s = request_s;
    l->answer_s = answer_s;
    pthread_mutex_init(&l->mutex, NULL);
    pthread_cond_init(&l->ending, NULL);
    int failed = pthread_create(&l->thread, NULL, look_after, l);
    CHECK(failed == 0);
    return l;
}

void links_stop(struct links *l)
{
    pthread_mutex_lock(&l->mutex);
    l->stop = true;
    pthread_cond_signal(&l->ending);
    pthread_mutex_unlock(&l->mutex);
    pthread_join(l->thread, NULL);
    CHECK(l->head == NULL);
    pthread_cond_destroy(&l->ending);
    pthread_mutex_destroy(&l->mutex);
    free(l);
}

struct link *link_add(struct links *l, int fd)
{
    struct link *link = calloc(1, sizeof *link);
    CHECK(link != NULL);
    *link = (struct link){.fd = fd, .state = LINK_ASKING, .since_s = now_s()};
    pthread_mutex_lock(&l->mutex);
    link->next = l->head;
    if (l->head != NULL) {
        l->head->before = link;
    }
    l->head = link;
    pthread_mutex_unlock(&l->mutex);
    return link;
}

void link_set(struct links *l, struct link *link, enum link_state state)
{
    pthread_mutex_lock(&l->mutex);
    link->state = state;
    link->since_s = now_s();
    pthread_mutex_unlock(&l->mutex);
}

void link_remove(struct links *l, struct link *link)
{
    pthread_mutex_lock(&l->mutex);
    if (link->before != NULL) {
        link->before->next = link->next;
    } else {
        l->head = link->next;
    }
    if (link->next != NULL) {
        link->next->before = link->before;
    }
    pthread_mutex_unlock(&l->mutex);
    free(link);
}
