#include "store/store.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/check.h"
#include "base/file.h"
#include "store/driver.h"

static struct store *store_new(const char *path, enum store_mode mode)
{
    struct store *s = calloc(1, sizeof *s);
    CHECK(s != NULL);
    *s = (struct store){.magic = STORE_MAGIC, .mode = mode, .lock_fd = -1};
    s->path = strdup(path != NULL ? path : "");
    CHECK(s->path != NULL);
    for (int i = 0; i < QUERY_COUNT; i++) {
        s->statements[i].store = s;
    }
    return s;
}

static struct result schemas_apply(struct store *s, int from)
{
    TRY(store_begin(s));
    for (int number = from + 1; number <= embedded_schema_count; number++) {
        struct result r = driver_schema_apply(s, number);
        if (r.code != CODE_OK) {
            store_rollback(s);
            return r;
        }
    }
    return store_commit(s);
}

/* The record is made under another name and renamed when it is whole: a crash leaves none or a good
 * one. */
static struct result create(struct store *s)
{
    char log[4096], making[4096];
    int need = snprintf(log, sizeof log, "%s-wal", s->path);
    CHECK(need > 0);
    if ((size_t)need >= sizeof log - 4) {
        return FAIL2(FILE_OPEN, "", s->path, strerror(ENAMETOOLONG));
    }
    if (file_exists(s->path)) {
        return FAIL1(STORE_EXISTS, "", s->path);
    }
    if (file_exists(
            log)) { /* left by a record that was taken away; it would be played into the new one */
        return FAIL1(STORE_EXISTS, "", log);
    }
    snprintf(making, sizeof making, "%s.making", s->path);
    unlink(making); /* what a crash left; and the lock is ours */
    int fd = open(making, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600); /* it holds names */
    if (fd < 0) {
        return FAIL2(FILE_OPEN, "", making, strerror(errno));
    }
    close(fd);
    struct result r = driver_create(s, making);
    if (r.code == CODE_OK) {
        r = schemas_apply(s, 0);
    }
    driver_close(s);
    if (r.code == CODE_OK && rename(making, s->path) != 0) {
        r = FAIL2(FILE_WRITE, "", s->path, strerror(errno));
    }
    if (r.code != CODE_OK) {
        unlink(making);
        return r;
    }
    TRY(file_settle(s->path));
    return driver_open(s, s->path);
}

/* Beside the record, under the first free name. */
static struct result backup_before_upgrade(struct store *s, int number)
{
    for (int n = 1; n <= 999; n++) {
        char path[4096];
        int need = snprintf(path, sizeof path, "%s.schema-%d.%d.backup", s->path, number, n);
        CHECK(need > 0 && (size_t)need < sizeof path);
        struct result r = store_backup(s, path);
        if (r.code != CODE_STORE_EXISTS) {
            return r;
        }
    }
    return FAIL1(STORE_EXISTS, "", s->path);
}

static struct result gate(struct store *s)
{
    int number;
    TRY(driver_schema_number(s, &number));
    char have[16], know[16];
    snprintf(have, sizeof have, "%d", number);
    snprintf(know, sizeof know, "%d", embedded_schema_count);
    if (number > embedded_schema_count) {
        return FAIL3(STORE_NEWER, "", s->path, have, know);
    }
    if (number == embedded_schema_count || s->mode == STORE_COPY) {
        return RESULT_OK;
    }
    if (s->mode == STORE_READ) {
        return FAIL3(STORE_OLDER, "", s->path, have, know);
    }
    TRY(backup_before_upgrade(s, number));
    return schemas_apply(s, number);
}

static struct result open_by_mode(struct store *s)
{
    if (s->mode == STORE_MEMORY) {
        TRY(driver_open(s, NULL));
        return schemas_apply(s, 0);
    }
    if (s->mode != STORE_CREATE && !file_exists(s->path)) {
        return FAIL1(STORE_MISSING, "", s->path);
    }
    if (!store_is_reader(s)) {
        TRY(lock_take(s->path, &s->lock_fd));
    }
    if (s->mode == STORE_CREATE) {
        return create(s);
    }
    TRY(driver_open(s, s->path));
    return gate(s);
}

struct result store_open(const char *path, enum store_mode mode, struct store **out)
{
    CHECK(path != NULL || mode == STORE_MEMORY);
    *out = NULL;
    struct store *s = store_new(path, mode);
    struct result r = open_by_mode(s);
    if (r.code != CODE_OK) {
        store_close(s);
        return r;
    }
    *out = s;
    return RESULT_OK;
}

void store_close(struct store *s)
{
    if (s == NULL) {
        return;
    }
    CHECK(s->magic == STORE_MAGIC);
    store_rollback(s);
    driver_close(s);
    lock_drop(s->lock_fd);
    s->magic = 0;
    free(s->path);
    free(s);
}

struct result store_begin(struct store *s)
{
    CHECK(s->magic == STORE_MAGIC && !s->in_transaction);
    TRY(driver_begin(s));
    s->in_transaction = true;
    return RESULT_OK;
}

void store_before_commit(struct store *s, struct result (*before_commit)(void *self), void *self)
{
    CHECK(s->magic == STORE_MAGIC);
    s->before_commit = before_commit;
    s->before_commit_self = self;
}

struct result store_commit(struct store *s)
{
    CHECK(s->magic == STORE_MAGIC && s->in_transaction);
    if (s->before_commit != NULL) {
        struct result r = s->before_commit(s->before_commit_self);
        if (r.code != CODE_OK) {
            store_rollback(s);
            return r;
        }
    }
    s->in_transaction = false;
    return driver_commit(s);
}

void store_rollback(struct store *s)
{
    CHECK(s->magic == STORE_MAGIC);
    if (s->in_transaction) {
        s->in_transaction = false;
        driver_rollback(s);
    }
}

struct result store_mark(struct store *s)
{
    CHECK(s->magic == STORE_MAGIC && s->in_transaction);
    return driver_mark(s);
}

struct result store_back(struct store *s)
{
    CHECK(s->magic == STORE_MAGIC && s->in_transaction);
    return driver_back(s);
}

struct result store_backup(struct store *s, const char *path)
{
    CHECK(s->magic == STORE_MAGIC && !s->in_transaction);
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC,
                  0600); /* takes the name, never another's file */
    if (fd < 0) {
        return errno == EEXIST ? FAIL1(STORE_EXISTS, "", path)
                               : FAIL2(FILE_OPEN, "", path, strerror(errno));
    }
    struct result r = driver_copy(s, path);
    if (r.code == CODE_OK && fsync(fd) != 0) {
        r = FAIL2(FILE_WRITE, "", path, strerror(errno));
    }
    close(fd);
    if (r.code != CODE_OK) {
        unlink(path);
        return r;
    }
    return file_settle(path);
}
