#include "service/witness.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/check.h"
#include "base/file.h"
#include "ledger/daybook.h"

enum { WITNESS_MAX = 64 << 20 };

static const char *witness_file(struct arena *a, const char *folder)
{
    return arena_printf(a, "%s/plant.heads", folder);
}

/* Whether the last line was cut off, by a full disk or a crash: then the next begins on a line of
 * its own. */
static bool ends_within_a_line(int fd)
{
    struct stat st;
    char last;
    return fstat(fd, &st) == 0 && st.st_size > 0 && pread(fd, &last, 1, st.st_size - 1) == 1 &&
           last != '\n';
}

struct result witness_put(const char *folder, const json_t *head)
{
    struct arena a;
    struct result r = RESULT_OK;
    arena_init(&a, 1 << 20);
    const char *path = witness_file(&a, folder);
    char *text = json_dumps(head, JSON_COMPACT | JSON_SORT_KEYS);
    CHECK(text != NULL);
    int fd = open(path, O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0644);
    const char *line =
        arena_printf(&a, "%s%s\n", fd >= 0 && ends_within_a_line(fd) ? "\n" : "", text);
    free(text);
    if (fd < 0 || write(fd, line, strlen(line)) != (ssize_t)strlen(line) || fsync(fd) != 0) {
        r = FAIL2(FILE_WRITE, "", path, strerror(errno));
    }
    if (fd >= 0) {
        close(fd);
    }
    arena_release(&a);
    return r;
}

struct result witness_all(const char *folder, struct arena *a, json_t **out)
{
    char *text = NULL;
    size_t len = 0;
    *out = json_array();
    const char *path = witness_file(a, folder);
    if (!file_exists(path)) {
        return RESULT_OK;
    }
    TRY(file_read(a, path, WITNESS_MAX, &text, &len));
    for (char *line = text; *line != '\0';) {
        char *end = strchr(line, '\n');
        if (end == NULL) {
            break;
        }
        json_t *head = NULL;
        struct result r = json_read(line, (size_t)(end - line), 1 << 16, &head);
        if (r.code == CODE_OK) {
            json_array_append_new(*out, head);
        }
        line = end + 1;
    }
    return RESULT_OK;
}

static struct result is_named(struct plant *plant, struct arena *a, int64_t size, bool *out)
{
    struct statement *q = store_prepare(plant->store, Q_DAYBOOK_OF_KIND);
    store_bind_text(q, 1, "restored");
    *out = false;
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct entry e;
        json_t *body;
        entry_read_row(q, a, &e);
        TRY(json_read_stored(e.body, &body));
        const json_t *head = json_object_get(json_object_get(body, "did"), "head");
        *out = *out || json_integer_value(json_object_get(head, "size")) >= size;
        json_decref(body);
    }
}

/* A line that was changed proves nothing and must not keep the house shut. */
static bool is_signed(const json_t *object)
{
    struct head h = {.size = json_integer_value(json_object_get(object, "size")),
                     .signed_ms = json_integer_value(json_object_get(object, "signed_ms"))};
    const struct {
        const char *name;
        void *out;
        size_t len;
    } fields[] = {
        {"root", h.root.b, 32}, {"public_key", h.public_key, 32}, {"signature", h.signature, 64}};
    for (size_t i = 0; i < 3; i++) {
        const char *text = json_string_value(json_object_get(object, fields[i].name));
        struct result r = text != NULL
                              ? hex_read(text, fields[i].name, fields[i].out, fields[i].len)
                              : FAIL0(FIELD_MISSING, "");
        if (r.code != CODE_OK) {
            return false;
        }
    }
    return head_holds(&h);
}

struct result witness_missing(struct plant *plant, struct arena *a, json_t **out_head)
{
    json_t *heads, *last = NULL, *head;
    int64_t size = (int64_t)plant->ledger->tree.size;
    bool named = false;
    size_t i;
    *out_head = NULL;
    TRY(witness_all(plant->folder, a, &heads));
    json_array_foreach(heads, i, head)
    {
        int64_t n = json_integer_value(json_object_get(head, "size"));
        if (n > size && is_signed(head)) {
            size = n;
            last = head;
        }
    }
    struct result r = last != NULL ? is_named(plant, a, size, &named) : RESULT_OK;
    if (r.code == CODE_OK && last != NULL && !named) {
        json_object_del(last, "why");
        *out_head = json_incref(last);
    }
    json_decref(heads);
    return r;
}
