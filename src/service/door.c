#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include "base/check.h"
#include "service/line.h"
#include "service/socket.h"

struct door {
    struct plant *plant; /* direct */
    bool own_plant;
    struct session session;
    int fd; /* -1 when direct */
    struct line_reader reader;
};

bool door_is_direct(const struct door *door)
{
    return door->fd < 0;
}

struct plant *door_plant(struct door *door)
{
    return door->plant;
}

static int try_connect(const char *path)
{
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    if (strlen(path) >= sizeof address.sun_path) {
        return -1;
    }
    memcpy(address.sun_path, path, strlen(path) + 1);
    int fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (fd >= 0 && connect(fd, (struct sockaddr *)&address, sizeof address) != 0) {
        close(fd);
        return -1;
    }
    return fd;
}

struct door *door_of_plant(struct plant *plant)
{
    struct door *door = calloc(1, sizeof *door);
    CHECK(door != NULL);
    *door = (struct door){.plant = plant, .fd = -1};
    return door;
}

struct result door_open(const char *folder, struct world world, struct door **out)
{
    enum {
        TRIES = 50
    }; /* a serving program that starts or stops right now has the lock but not yet, or no more, the
          socket */
    struct arena a;
    struct plant *plant = NULL;
    struct result r = RESULT_OK;
    arena_init(&a, 1 << 20);
    const char *path = plant_socket(&a, folder);
    int fd = -1;
    for (int i = 0; i < TRIES; i++) {
        fd = try_connect(path);
        if (fd >= 0) {
            break;
        }
        r = plant_open_write(folder, world, &plant);
        if (r.code != CODE_STORE_BUSY) {
            break;
        }
        usleep(100 * 1000);
    }
    arena_release(&a);
    if (fd < 0 && r.code != CODE_OK) {
        return r;
    }
    struct door *door = calloc(1, sizeof *door);
    CHECK(door != NULL);
    *door = (struct door){.plant = plant, .own_plant = true, .fd = fd};
    line_reader_init(&door->reader, fd, SOCKET_LINE_MAX);
    *out = door;
    return RESULT_OK;
}

static struct result ask_direct(struct door *door, const json_t *request, json_t **out_answer)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct result r = request_check(door->plant->store, &door->session, request, &a);
    arena_release(&a);
    *out_answer = NULL;
    if (r.code == CODE_OK) {
        group_take(door->plant, &request, 1, &r, out_answer);
    }
    return r;
}

static struct result ask_socket(struct door *door, const json_t *request, json_t **out_answer)
{
    size_t len;
    char *text = json_text(request, &len), *line;
    struct result r = line_write(door->fd, text, len);
    free(text);
    bool end = false;
    json_t *envelope = NULL;
    *out_answer = NULL;
    /* also when not all could be written: a line that is too long is answered before its end */
    r = line_read(&door->reader, &line, &len, &end);
    if (r.code == CODE_OK && !end) {
        r = json_read(line, len, SOCKET_LINE_MAX, &envelope);
    }
    if (r.code != CODE_OK || end) {
        return FAIL1(
            SOCKET_BAD, "",
            "the serving program went away before it answered; the command may or may not be kept");
    }
    r = request_unwrap(envelope, out_answer);
    json_decref(envelope);
    return r;
}

struct result door_ask(struct door *door, const json_t *request, json_t **out_answer)
{
    return door->fd < 0 ? ask_direct(door, request, out_answer)
                        : ask_socket(door, request, out_answer);
}

void door_close(struct door *door)
{
    if (door == NULL) {
        return;
    }
    if (door->fd >= 0) {
        close(door->fd);
    }
    line_reader_release(&door->reader);
    if (door->own_plant) {
        plant_close(door->plant);
    }
    free(door);
}
