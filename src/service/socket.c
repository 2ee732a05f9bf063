#include "service/socket.h"

#include <errno.h>
#include <poll.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/time.h>
#include <sys/un.h>
#include <unistd.h>

#include "base/check.h"
#include "service/line.h"

enum { ANSWER_WAIT_S = 5 };

struct server {
    struct serving *serving;
    pthread_mutex_t mutex;
    pthread_cond_t idle;
    int open[SOCKET_CLIENTS_MAX]; /* -1: free */
    size_t count;
};

struct client {
    struct server *server;
    int fd;
    size_t slot;
};

/* A connection has its own reading store for checking who signs; the writer is never waited for to
 * read a password. */
static json_t *serve_line(struct server *server, struct store *reader, struct session *session,
                          const char *line, size_t len, struct arena *a)
{
    json_t *request = NULL, *answer = NULL;
    struct result r = json_read(line, len, SOCKET_LINE_MAX, &request);
    if (r.code == CODE_OK) {
        r = request_check(reader, session, request, a);
    }
    if (r.code == CODE_OK) {
        r = serving_ask(server->serving, request, &answer);
    }
    json_decref(request);
    return request_envelope(a, &r, answer);
}

static struct result answer(int fd, json_t *envelope)
{
    size_t len;
    char *text = json_text(envelope, &len);
    json_decref(envelope);
    struct result r = line_write(fd, text, len);
    free(text);
    return r;
}

static void serve_lines(struct server *server, int fd, struct store *reader)
{
    struct line_reader lines;
    struct session session = {.count = 0};
    struct arena a;
    line_reader_init(&lines, fd, SOCKET_LINE_MAX);
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    for (;;) {
        char *line;
        size_t len;
        bool end;
        json_t *envelope = NULL;
        struct result r = line_read(&lines, &line, &len, &end);
        bool too_long = r.code == CODE_INPUT_LARGE;
        if ((r.code != CODE_OK && !too_long) || end) {
            break;
        }
        envelope = too_long ? request_envelope(&a, &r, NULL)
                            : serve_line(server, reader, &session, line, len, &a);
        r = answer(fd, envelope);
        arena_clear(&a);
        if (r.code != CODE_OK || too_long) { /* nobody knows where the next line would begin */
            break;
        }
    }
    arena_release(&a);
    line_reader_release(&lines);
}

static void *client_work(void *arg)
{
    struct client *client = arg;
    struct server *server = client->server;
    struct store *reader = NULL;
    struct arena a;
    arena_init(&a, 1 << 20);
    struct result r =
        store_open(plant_file(&a, serving_folder(server->serving)), STORE_READ, &reader);
    arena_release(&a);
    if (r.code == CODE_OK) {
        serve_lines(server, client->fd, reader);
        store_close(reader);
    }
    pthread_mutex_lock(&server->mutex);
    close(client->fd);
    server->open[client->slot] = -1;
    server->count--;
    pthread_cond_signal(&server->idle);
    pthread_mutex_unlock(&server->mutex);
    free(client);
    return NULL;
}

static void accept_client(struct server *server, int listener)
{
    int fd = accept4(listener, NULL, NULL, SOCK_CLOEXEC);
    if (fd < 0) {
        return;
    }
    pthread_mutex_lock(&server->mutex);
    size_t slot = 0;
    while (slot < SOCKET_CLIENTS_MAX && server->open[slot] >= 0) {
        slot++;
    }
    if (slot == SOCKET_CLIENTS_MAX) {
        pthread_mutex_unlock(&server->mutex);
        close(fd); /* the client sees the stream end and tries again */
        return;
    }
    server->open[slot] = fd;
    server->count++;
    pthread_mutex_unlock(&server->mutex);
    /* who asks and never reads is let go: it must not keep the house from closing */
    struct timeval patience = {.tv_sec = ANSWER_WAIT_S};
    int failed = setsockopt(fd, SOL_SOCKET, SO_SNDTIMEO, &patience, sizeof patience);
    CHECK(failed == 0);
    struct client *client = malloc(sizeof *client);
    CHECK(client != NULL);
    *client = (struct client){.server = server, .fd = fd, .slot = slot};
    pthread_t thread;
    failed = pthread_create(&thread, NULL, client_work, client);
    CHECK(failed == 0);
    pthread_detach(thread);
}

static struct result listen_on(const char *path, int *out_fd)
{
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    if (strlen(path) >= sizeof address.sun_path) {
        return FAIL2(FILE_OPEN, "", path, "the path is too long for a socket");
    }
    memcpy(address.sun_path, path, strlen(path) + 1);
    unlink(path); /* we hold the record's lock, so nobody else listens there */
    mode_t before = umask(0177);
    int fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    bool good = fd >= 0 && bind(fd, (struct sockaddr *)&address, sizeof address) == 0 &&
                listen(fd, 64) == 0;
    int why = errno;
    umask(before);
    if (!good) {
        if (fd >= 0) {
            close(fd);
        }
        return FAIL2(FILE_OPEN, "", path, strerror(why));
    }
    *out_fd = fd;
    return RESULT_OK;
}

static void close_clients(struct server *server)
{
    pthread_mutex_lock(&server->mutex);
    for (size_t i = 0; i < SOCKET_CLIENTS_MAX; i++) {
        if (server->open[i] >= 0) {
            shutdown(server->open[i], SHUT_RD); /* what was asked is still answered */
        }
    }
    while (server->count > 0) {
        pthread_cond_wait(&server->idle, &server->mutex);
    }
    pthread_mutex_unlock(&server->mutex);
}

struct result socket_serve(struct serving *serving, const atomic_bool *stop)
{
    struct server server = {.serving = serving};
    struct arena a;
    int listener;
    for (size_t i = 0; i < SOCKET_CLIENTS_MAX; i++) {
        server.open[i] = -1;
    }
    arena_init(&a, 1 << 20);
    const char *path = plant_socket(&a, serving_folder(serving));
    struct result r = listen_on(path, &listener);
    if (r.code != CODE_OK) {
        arena_release(&a);
        return r;
    }
    pthread_mutex_init(&server.mutex, NULL);
    pthread_cond_init(&server.idle, NULL);
    while (!*stop) {
        struct pollfd wait = {.fd = listener, .events = POLLIN};
        if (poll(&wait, 1, 200) > 0) {
            accept_client(&server, listener);
        }
    }
    close(listener);
    unlink(path);
    close_clients(&server);
    pthread_cond_destroy(&server.idle);
    pthread_mutex_destroy(&server.mutex);
    arena_release(&a);
    return RESULT_OK;
}
