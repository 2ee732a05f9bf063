/* The smallest HTTP client: one request at a time on a connection that stays open. */
#ifndef BENCH_TALK_H
#define BENCH_TALK_H

#include <arpa/inet.h>
#include <netinet/tcp.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "base/check.h"

enum { TALK_ROOM = 4 << 20 };

struct talk {
    int fd;
    char *answer;            /* head and body */
    size_t got, head, whole; /* whole 0: the head has not come yet */
};

static inline void talk_open(struct talk *t, int port)
{
    struct sockaddr_in address = {.sin_family = AF_INET,
                                  .sin_port = htons((uint16_t)port),
                                  .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    int yes = 1;
    *t = (struct talk){.fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0),
                       .answer = malloc(TALK_ROOM)};
    CHECK(t->fd >= 0 && t->answer != NULL);
    CHECK(connect(t->fd, (struct sockaddr *)&address, sizeof address) == 0);
    CHECK(setsockopt(t->fd, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes) == 0);
}

static inline void talk_close(struct talk *t)
{
    close(t->fd);
    free(t->answer);
}

static inline void talk_ask(struct talk *t, const char *request)
{
    size_t len = strlen(request);
    t->got = t->head = t->whole = 0;
    CHECK(send(t->fd, request, len, MSG_NOSIGNAL) == (ssize_t)len);
}

/* Takes what has come, waiting for something. -> whether the answer is whole now. */
static inline bool talk_take(struct talk *t)
{
    ssize_t n = recv(t->fd, t->answer + t->got, TALK_ROOM - 1 - t->got, 0);
    CHECK(n > 0);
    t->got += (size_t)n;
    if (t->whole == 0) {
        t->answer[t->got] = '\0';
        const char *end = strstr(t->answer, "\r\n\r\n");
        const char *length = strcasestr(t->answer, "\r\nContent-Length:");
        if (end == NULL) {
            return false;
        }
        CHECK(length != NULL && length < end);
        t->head = (size_t)(end + 4 - t->answer);
        t->whole = t->head + strtoul(length + 17, NULL, 10);
        CHECK(t->whole < TALK_ROOM);
    }
    t->answer[t->got] = '\0';
    return t->got >= t->whole;
}

static inline int talk_status(const struct talk *t)
{
    int status = 0;
    CHECK(sscanf(t->answer, "HTTP/1.1 %d", &status) == 1);
    return status;
}

#endif
