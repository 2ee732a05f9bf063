#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "store/driver.h"

static struct result busy(int fd)
{
    char pid[24] = "";
    ssize_t got = pread(fd, pid, sizeof pid - 1, 0);
    char who[64];
    int len = got > 0 ? (int)strspn(pid, "0123456789") : 0;
    if (len > 0) {
        snprintf(who, sizeof who, "process %.*s", len, pid);
    } else {
        snprintf(who, sizeof who, "process unknown");
    }
    return FAIL1(STORE_BUSY, "", who);
}

/* The number is only for the message; the lock is what counts. */
static void sign(int fd)
{
    char pid[24];
    int len = snprintf(pid, sizeof pid, "%ld\n", (long)getpid());
    if (ftruncate(fd, 0) != 0 || pwrite(fd, pid, (size_t)len, 0) != len) {
        return; /* a full disk must not keep the record shut: the holder stays unnamed */
    }
}

struct result lock_take(const char *record_path, int *out_fd)
{
    char path[4096];
    int need = snprintf(path, sizeof path, "%s.lock", record_path);
    if (need < 0 || (size_t)need >= sizeof path) {
        return FAIL2(FILE_OPEN, "", record_path, strerror(ENAMETOOLONG));
    }
    int fd = open(path, O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0600);
    if (fd < 0) {
        return FAIL2(FILE_OPEN, "", path, strerror(errno));
    }
    /* Bound to this open file, not to the process: a second opener in one process is kept out too,
     * and closing some other descriptor of the file does not drop it. The file itself stays, so
     * that nobody locks a deleted one. */
    struct flock lock = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
    if (fcntl(fd, F_OFD_SETLK, &lock) != 0) {
        struct result r = errno == EAGAIN || errno == EACCES
                              ? busy(fd)
                              : FAIL2(FILE_OPEN, "", path, strerror(errno));
        close(fd);
        return r;
    }
    sign(fd);
    *out_fd = fd;
    return RESULT_OK;
}

void lock_drop(int fd)
{
    if (fd >= 0) {
        close(fd);
    }
}
