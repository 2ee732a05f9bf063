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

/* Entries that a "restored" entry told to be gone: those from its own number on, up to the size of
 * the head that it names. */
struct loss {
    int64_t from, to;
    int64_t signed_ms; /* of that head: what was signed later is of the record as it went on */
    struct loss *next;
};

static struct result read_losses(struct plant *plant, struct arena *a, struct loss **out)
{
    struct statement *q = store_prepare(plant->store, Q_DAYBOOK_OF_KIND);
    store_bind_text(q, 1, "restored");
    *out = NULL;
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
        struct loss *loss = ARENA_NEW(a, struct loss);
        *loss = (struct loss){.from = e.seq,
                              .to = json_integer_value(json_object_get(head, "size")),
                              .signed_ms = json_integer_value(json_object_get(head, "signed_ms")),
                              .next = *out};
        *out = loss;
        json_decref(body);
    }
}

static struct result is_named(struct plant *plant, struct arena *a, int64_t size, bool *out)
{
    struct loss *losses;
    *out = false;
    TRY(read_losses(plant, a, &losses));
    for (const struct loss *l = losses; l != NULL; l = l->next) {
        *out = *out || l->to >= size;
    }
    return RESULT_OK;
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

static struct result read_leaves(struct plant *plant, int64_t entries, struct hash *leaves,
                                 int64_t *out_count)
{
    struct statement *q = store_prepare(plant->store, Q_DAYBOOK_LEAVES);
    bool row;
    *out_count = 0;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        size_t len;
        const void *leaf = store_bytes(q, 0, &len);
        if (*out_count < entries && len == sizeof leaves[0].b) {
            memcpy(leaves[(*out_count)++].b, leaf, len);
        }
    }
}

/* Whether what the head was signed over is told to be gone. */
static bool is_lost(const struct loss *losses, const json_t *head)
{
    int64_t size = json_integer_value(json_object_get(head, "size"));
    int64_t signed_ms = json_integer_value(json_object_get(head, "signed_ms"));
    for (const struct loss *l = losses; l != NULL; l = l->next) {
        if (size >= l->from && size <= l->to && signed_ms <= l->signed_ms) {
            return is_signed(head);
        }
    }
    return false;
}

struct result witness_compare(struct plant *plant, int64_t entries, struct arena *a,
                              struct witness_report *out)
{
    json_t *heads, *head;
    struct loss *losses;
    size_t i;
    int64_t n;
    struct hash *leaves = ARENA_ARRAY(a, struct hash, (size_t)entries + 1);
    *out = (struct witness_report){0};
    TRY(read_leaves(plant, entries, leaves, &n));
    TRY(read_losses(plant, a, &losses));
    TRY(witness_all(plant->folder, a, &heads));
    json_array_foreach(heads, i, head)
    {
        int64_t size = json_integer_value(json_object_get(head, "size"));
        const char *root = json_string_value(json_object_get(head, "root"));
        if (size < 1 || size > n || root == NULL) {
            continue; /* a longer one is answered by "restored" */
        }
        struct hash is = merkle_root(leaves, (uint64_t)size);
        bool fits = strcmp(root, hex_text(a, is.b, sizeof is.b)) == 0;
        bool lost = !fits && is_lost(losses, head);
        out->kept++;
        out->gone += lost;
        out->wrong += !fits && !lost;
    }
    json_decref(heads);
    return RESULT_OK;
}
