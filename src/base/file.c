#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/check.h"

struct bytes {
    char *at;
    size_t len;
    size_t size;
};

/* Reads to the end or one byte past the limit; errno style. */
static int read_all(int fd, size_t limit_bytes, struct bytes *b)
{
    for (;;) {
        if (b->len == b->size) {
            b->size = b->size == 0 ? 65536 : b->size * 2;
            b->at = realloc(b->at, b->size);
            CHECK(b->at != NULL);
        }
        ssize_t got = read(fd, b->at + b->len, b->size - b->len);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got <= 0) {
            return got == 0 ? 0 : errno;
        }
        b->len += (size_t)got;
        if (b->len > limit_bytes) {
            return 0;
        }
    }
}

struct result file_read(struct arena *a, const char *path, size_t limit_bytes, char **out,
                        size_t *out_len)
{
    bool standard = strcmp(path, "-") == 0;
    int fd = standard ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    if (fd < 0) {
        return FAIL2(FILE_OPEN, "", path, strerror(errno));
    }
    struct bytes b = {0};
    int error = read_all(fd, limit_bytes, &b);
    if (!standard) {
        close(fd);
    }
    struct result r = RESULT_OK;
    if (error != 0) {
        r = FAIL2(FILE_READ, "", path, strerror(error));
    } else if (b.len > limit_bytes) {
        char limit[24];
        snprintf(limit, sizeof limit, "%zu", limit_bytes);
        r = FAIL1(INPUT_LARGE, path, limit);
    } else {
        *out = arena_copy_n(a, b.at, b.len);
        *out_len = b.len;
    }
    free(b.at);
    return r;
}

static int write_all(int fd, const char *bytes, size_t len)
{
    while (len > 0) {
        ssize_t put = write(fd, bytes, len);
        if (put < 0) {
            if (errno == EINTR) {
                continue;
            }
            return errno;
        }
        bytes += put;
        len -= (size_t)put;
    }
    return 0;
}

/* A rename is only safe on the disk when the folder is synced too. */
static int folder_sync(const char *path)
{
    char folder[4096];
    const char *slash = strrchr(path, '/');
    size_t len = slash == NULL ? 1 : slash == path ? 1 : (size_t)(slash - path);
    snprintf(folder, sizeof folder, "%.*s", (int)len, slash == NULL ? "." : path);
    int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd < 0) {
        return errno;
    }
    int error = fsync(fd) == 0 ? 0 : errno;
    close(fd);
    return error;
}

static int write_beside(int fd, const void *bytes, size_t len, unsigned mode)
{
    int error = write_all(fd, bytes, len);
    if (error == 0 && fchmod(fd, (mode_t)mode) != 0) {
        error = errno;
    }
    if (error == 0 && fsync(fd) != 0) {
        error = errno;
    }
    if (close(fd) != 0 && error == 0) {
        error = errno;
    }
    return error;
}

struct result file_settle(const char *path)
{
    int error = folder_sync(path);
    return error == 0 ? RESULT_OK : FAIL2(FILE_WRITE, "", path, strerror(error));
}

struct result file_write(const char *path, const void *bytes, size_t len, unsigned mode)
{
    char beside[4096];
    int need = snprintf(beside, sizeof beside, "%s.XXXXXX", path);
    if (need < 0 || (size_t)need >= sizeof beside) {
        return FAIL2(FILE_WRITE, "", path, strerror(ENAMETOOLONG));
    }
    int fd = mkostemp(beside, O_CLOEXEC);
    if (fd < 0) {
        return FAIL2(FILE_WRITE, "", path, strerror(errno));
    }
    int error = write_beside(fd, bytes, len, mode);
    if (error == 0 && rename(beside, path) != 0) {
        error = errno;
    }
    if (error != 0) {
        unlink(beside);
        return FAIL2(FILE_WRITE, "", path, strerror(error));
    }
    return file_settle(path);
}

bool file_exists(const char *path)
{
    return access(path, F_OK) == 0;
}

struct result folder_make(const char *path)
{
    char part[4096];
    size_t len = strlen(path);
    if (len == 0 || len >= sizeof part) {
        return FAIL2(FILE_WRITE, "", path, strerror(len == 0 ? ENOENT : ENAMETOOLONG));
    }
    for (size_t i = 1; i <= len; i++) {
        if (path[i] != '/' && path[i] != '\0') {
            continue;
        }
        memcpy(part, path, i);
        part[i] = '\0';
        if (mkdir(part, 0777) != 0 && errno != EEXIST) {
            return FAIL2(FILE_WRITE, "", part, strerror(errno));
        }
    }
    struct stat st;
    if (stat(path, &st) != 0 || !S_ISDIR(st.st_mode)) {
        return FAIL2(FILE_WRITE, "", path, strerror(ENOTDIR));
    }
    return RESULT_OK;
}
