/* A record of every schema there ever was is kept as it was written then: today's program opens it,
 * after a backup where it is older, brings it up to date and finds it whole.
 *
 * kept_test           checks all of KEPT_FOLDER
 * kept_test FILE      writes a record of today's schema there, for the one who makes the next */
#include "record.h"

#include <zlib.h>

#include "../support.h"
#include "base/file.h"
#include "ledger/listed.h"
#include "ledger/verify.h"
#include "service/plant.h"
#include "store/embedded.h"

enum { RECORD_MAX = 8 << 20, LISTS_SINCE = 3 };

static struct arena arena;

static void unpack(int number, const char *to)
{
    const char *from = arena_printf(&arena, "%s/schema-%d.db.gz", KEPT_FOLDER, number);
    char *bytes = arena_alloc(&arena, RECORD_MAX);
    gzFile in = gzopen(from, "rb");
    if (in == NULL) {
        print_error("%s is missing: no record of schema %d is kept\n", from, number);
    }
    assert_non_null(in);
    int len = gzread(in, bytes, RECORD_MAX);
    assert_true(len > 0 && len < RECORD_MAX);
    assert_int_equal(gzclose(in), Z_OK);
    assert_ok(file_write(to, bytes, (size_t)len, 0600));
}

static void pack(const char *from, const char *to)
{
    char *bytes;
    size_t len;
    assert_ok(file_read(&arena, from, RECORD_MAX, &bytes, &len));
    gzFile out = gzopen(to, "wb9");
    assert_non_null(out);
    assert_int_equal(gzwrite(out, bytes, (unsigned)len), (int)len);
    assert_int_equal(gzclose(out), Z_OK);
}

static int64_t verified(struct store *store)
{
    struct verify_report report;
    assert_ok(ledger_verify(store, NULL, &arena, &report));
    for (size_t i = 0; i < report.finding_count; i++) {
        const struct verify_finding *f = &report.findings[i];
        print_error("%s %s: %s, not %s\n", f->table, f->key, f->is, f->wanted);
    }
    assert_int_equal(report.found, 0);
    assert_true(report.heads > 0 && report.files > 0);
    return report.entries;
}

static int64_t last_note(struct store *store, const char *kind, const char *code)
{
    struct statement *q = store_prepare(store, Q_NOTED_LAST);
    store_bind_text(q, 1, kind);
    store_bind_text(q, 2, code);
    bool row;
    assert_ok(store_step(q, &row));
    int64_t entry = row ? store_int(q, 0) : 0;
    while (row) {
        assert_ok(store_step(q, &row));
    }
    return entry;
}

/* Of every kind of list something stands, and every kind of note was told. */
static void lists_and_notes_are_there(struct store *store)
{
    static const char *const lists[][2] = {{"duty", "CL-PACK"},     {"site", "Z1-PACK"},
                                           {"supplier", "RADICLE"}, {"certificate", "CERT-1"},
                                           {"chemical", "CHEM-1"},  {"register", "GLASS"},
                                           {"retained", "K2"},      {"work-order", "W2"}};
    static const char *const notes[][2] = {
        {"duty", "PEST"},        {"training", "cleaning"},
        {"health", "fitness"},   {"complaint", "spoiled"},
        {"register", "GLASS"},   {"reject", "steel"},
        {"titration", "CHEM-1"}, {"delivery", "RADICLE/MUNGSEED"},
        {"duty", "CK-COLD"},     {"delivery-check", "RADICLE/MUNGSEED"}};
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        struct listed l;
        bool found;
        assert_ok(listed_one(store, &arena, lists[i][0], lists[i][1], &l, &found));
        assert_true(found);
        listed_free(&l, 1);
    }
    for (size_t i = 0; i < sizeof notes / sizeof notes[0]; i++) {
        if (last_note(store, notes[i][0], notes[i][1]) == 0) {
            print_error("no %s of %s is noted\n", notes[i][0], notes[i][1]);
            fail();
        }
    }
}

static void a_record_of_every_schema_opens_and_is_whole(void **state)
{
    (void)state;
    for (int number = 1; number <= embedded_schema_count; number++) {
        const char *folder = arena_printf(&arena, "schema-%d", number);
        const char *file = plant_file(&arena, folder);
        struct plant *plant;
        assert_ok(folder_make(folder));
        unpack(number, file);
        assert_ok(
            file_write(plant_key(&arena, folder), "the key of this house, 32 bytes..", 32, 0600));
        assert_ok(plant_zone_set(folder, "UTC"));
        assert_ok(plant_open_write(folder, world_real(), &plant));
        int64_t entries = verified(plant->store);
        if (number >= LISTS_SINCE) {
            lists_and_notes_are_there(plant->store);
        }
        assert_int_equal(entries, plant->ledger->next_seq - 1);
        assert_true(entries > 50);
        plant_close(plant);
        const char *backup = arena_printf(&arena, "%s.schema-%d.1.backup", file, number);
        assert_int_equal(file_exists(backup), number < embedded_schema_count);
    }
}

static int write_kept(const char *to)
{
    void *folder = NULL;
    struct record_codes codes;
    char *path = realpath(to, NULL);
    if (path == NULL || folder_enter(&folder) != 0) {
        fprintf(stderr, "%s must exist; it is written over.\n", to);
        return 1;
    }
    record_make("p", record_stand, &codes);
    pack("p/plant.db", path);
    free(path);
    return folder_leave(&folder);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_record_of_every_schema_opens_and_is_whole, folder_enter,
                                        folder_leave),
    };
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    int failed;
    if (argc > 1) {
        failed = write_kept(argv[1]);
    } else {
        cmocka_set_message_output(CM_OUTPUT_TAP);
        failed = cmocka_run_group_tests(tests, NULL, NULL);
    }
    arena_release(&arena);
    return failed;
}
