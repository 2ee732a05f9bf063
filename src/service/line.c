#include "service/line.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/uio.h>
#include <unistd.h>

#include "base/check.h"

void line_reader_init(struct line_reader *r, int fd, size_t limit)
{
    *r = (struct line_reader){.fd = fd, .limit = limit};
}

void line_reader_release(struct line_reader *r)
{
    free(r->buffer);
    r->buffer = NULL;
}

static void make_room(struct line_reader *r)
{
    if (r->start > 0) {
        memmove(r->buffer, r->buffer + r->start, r->used - r->start);
        r->used -= r->start;
        r->start = 0;
    }
    if (r->room - r->used < 4096) {
        r->room = r->room == 0 ? 16384 : r->room * 2;
        r->buffer = realloc(r->buffer, r->room);
        CHECK(r->buffer != NULL);
    }
}

struct result line_read(struct line_reader *r, char **out, size_t *out_len, bool *out_end)
{
    size_t scanned = r->start;
    *out_end = false;
    for (;;) {
        char *end = r->used > scanned ? memchr(r->buffer + scanned, '\n', r->used - scanned) : NULL;
        if (end != NULL && (size_t)(end - r->buffer) - r->start <= r->limit) {
            *out = r->buffer + r->start;
            *out_len = (size_t)(end - *out);
            *end = '\0';
            r->start += *out_len + 1;
            return RESULT_OK;
        }
        size_t seen = r->used - r->start;
        if (end != NULL || seen > r->limit) {
            char limit[24];
            snprintf(limit, sizeof limit, "%zu", r->limit);
            return FAIL1(INPUT_LARGE, "line", limit);
        }
        make_room(r);
        scanned = r->start + seen;
        ssize_t n = read(r->fd, r->buffer + r->used, r->room - r->used - 1);
        if (n < 0 && errno == EINTR) {
            continue;
        }
        if (n < 0) {
            return FAIL2(FILE_READ, "", "the stream", strerror(errno));
        }
        if (n == 0) {
            *out = r->buffer + r->start;
            *out_len = seen;
            *out_end = seen == 0;
            r->buffer[r->used] = '\0';
            r->start = r->used;
            return RESULT_OK;
        }
        r->used += (size_t)n;
    }
}

struct result line_write(int fd, const char *text, size_t len)
{
    struct iovec parts[2] = {{.iov_base = (void *)(uintptr_t)text, .iov_len = len},
                             {.iov_base = (void *)(uintptr_t) "\n", .iov_len = 1}};
    int at = 0;
    while (at < 2) {
        struct msghdr message = {.msg_iov = parts + at, .msg_iovlen = (size_t)(2 - at)};
        ssize_t n = sendmsg(fd, &message, MSG_NOSIGNAL);
        if (n < 0 && errno == EINTR) {
            continue;
        }
        if (n < 0) {
            return FAIL2(FILE_WRITE, "", "the socket", strerror(errno));
        }
        while (at < 2 && (size_t)n >= parts[at].iov_len) {
            n -= (ssize_t)parts[at].iov_len;
            at++;
        }
        if (at < 2) {
            parts[at].iov_base = (char *)parts[at].iov_base + n;
            parts[at].iov_len -= (size_t)n;
        }
    }
    return RESULT_OK;
}
