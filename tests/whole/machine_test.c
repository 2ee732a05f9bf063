/* A machine that stops, is full, or holds the record twice. machine_test PLUMULE */
#include "plants.h"

#include <fcntl.h>
#include <signal.h>
#include <sqlite3.h>
#include <sys/mount.h>
#include <sys/stat.h>
#include <time.h>

#include "base/digest.h"
#include "base/file.h"
#include "base/random.h"
#include "service/plant.h"

#define AS(plant, person) \
    "--plant", (plant), "--json", "--password-file", "password", "--as", (person)

enum { KILLS = 8, ROWS = 2500, PAPER_BYTES = 600000 };

/* A book of orders large enough that a kill can fall into it. */
static void orders_write(const char *path, int round)
{
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    fprintf(f, "Von;01.04.2027\r\nBis;30.04.2027\r\nKunde;Bestellung;Pos;Artikel;Liefertag;"
               "St\xfc"
               "ck\r\n");
    for (int i = 0; i < ROWS; i++) {
        fprintf(f, "RADICLE-1;%d%05d;1;M250;%02d.04.2027;%d\r\n", round + 1, i, i % 30 + 1,
                20 + i % 7);
    }
    assert_int_equal(fclose(f), 0);
}

static void a_killed_import_is_booked_whole_or_not_at_all(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    struct random random;
    int cut = 0;
    uint64_t seed = (uint64_t)time(NULL), longest_us = 0;
    random_seed(&random, seed);
    plant_copy("k");
    for (int round = 0; round < KILLS; round++) {
        struct timespec from, to;
        const char *const words[] = {AS("k", "8"), "import", "orders", "book.csv",
                                     "--source",   "shop",   NULL};
        int64_t before = plant_entries("k");
        orders_write("book.csv", round);
        if (round > 0) {
            pid_t child = program_start(r->program, words);
            usleep((useconds_t)random_below(&random, longest_us));
            program_stop(child, SIGKILL);
            int64_t after = plant_entries("k");
            assert_true(after == before || after == before + 2); /* the file, and its orders */
            cut += after == before;
        }
        clock_gettime(CLOCK_MONOTONIC, &from);
        RUN_OK(r, AS("k", "8"), "import", "orders", "book.csv", "--source", "shop");
        clock_gettime(CLOCK_MONOTONIC, &to);
        assert_int_equal(plant_entries("k"), before + 2);
        longest_us = (uint64_t)(to.tv_sec - from.tv_sec) * 1000000 +
                     (uint64_t)(to.tv_nsec / 1000 - from.tv_nsec / 1000);
    }
    print_message("# seed %llu: %d of %d imports were cut off\n", (unsigned long long)seed, cut,
                  KILLS - 1);
    assert_true(cut > 0);
    RUN_OK(r, "--plant", "k", "verify");
}

/* {"kind":"attach"} with so many bytes of text. */
static const char *paper_line(struct launch *r, char letter)
{
    char *text = arena_alloc(&r->arena, PAPER_BYTES);
    memset(text, letter, PAPER_BYTES);
    return arena_printf(&r->arena,
                        "{\"kind\":\"attach\",\"name\":\"paper-%c.txt\",\"paper_kind\":\"file\","
                        "\"bytes_b64\":\"%s\"}\n",
                        letter, base64_text(&r->arena, text, PAPER_BYTES));
}

static bool mounted;

/* A disk of 12 MB at ./full where this user may have one. */
static bool disk_make(void)
{
    assert_ok(folder_make("full"));
    mounted = mount("tmpfs", "full", "tmpfs", 0, "size=12m") == 0;
    return mounted;
}

static int disk_drop(void **state)
{
    (void)state;
    return mounted ? umount("full") : 0;
}

static void disk_fill(size_t leave)
{
    int fd = open("full/filler", O_WRONLY | O_CREAT | O_CLOEXEC, 0600);
    static const char page[4096] = {1};
    off_t size = 0;
    assert_true(fd >= 0);
    while (write(fd, page, sizeof page) == (ssize_t)sizeof page) {
        size += (off_t)sizeof page;
    }
    assert_int_equal(ftruncate(fd, size > (off_t)leave ? size - (off_t)leave : 0), 0);
    close(fd);
}

/* Without a disk of our own: no file of the program may grow beyond so many bytes. */
static void size_limit(rlim_t most)
{
    struct rlimit limit;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &limit), 0);
    limit.rlim_cur = most < limit.rlim_max ? most : limit.rlim_max;
    signal(SIGXFSZ, SIG_IGN); /* the program inherits that, and its writes fail */
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
}

static void a_full_disk_loses_nothing(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    bool own = disk_make();
    plant_copy("full/p");
    int64_t before = plant_entries("full/p");
    if (own) {
        disk_fill(200000);
    } else {
        size_limit(200000);
    }
    const char *line = paper_line(r, 'a');
    r->input = line;
    RUN_CODE(r, 8, AS("full/p", "2"), "record", "-");
    RUN_SAYS(r, "store-full");
    RUN_SAYS(r, "Make room, then send it again.");
    size_limit(RLIM_INFINITY);
    if (own) {
        assert_int_equal(unlink("full/filler"), 0);
    }
    assert_int_equal(plant_entries("full/p"), before);
    RUN_OK(r, "--plant", "full/p", "verify");
    r->input = line;
    RUN_OK(r, AS("full/p", "2"), "record", "-");
    assert_int_equal(plant_entries("full/p"), before + 1);
    if (own) {
        disk_fill(0); /* not a byte left: no log can be begun */
        r->input = paper_line(r, 'b');
        RUN_CODE(r, 8, AS("full/p", "2"), "record", "-");
        assert_int_equal(unlink("full/filler"), 0);
        assert_int_equal(plant_entries("full/p"), before + 1);
    }
    RUN_OK(r, "--plant", "full/p", "verify");
    print_message("# on %s\n", own ? "a disk of 12 MB" : "a limit of 200 kB a file");
}

static void a_second_process_is_kept_out(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    struct plant *plant;
    plant_copy("s");
    int64_t before = plant_entries("s");
    assert_ok(plant_open_write("s", world_real(), &plant));
    RUN_CODE(r, 6, AS("s", "6"), "serve");
    assert_string_equal(refusal_of(r), "store-busy");
    RUN_SAYS(r, arena_printf(&r->arena, "process %d", (int)getpid()));
    RUN_CODE(r, 6, AS("s", "6"), "record", "cold-check", "place=CR-1", "temp=3 C");
    RUN_CODE(r, 6, AS("s", "1"), "restore", "demo", "--replace");
    RUN_OK(r, "--plant", "s", "verify"); /* reading is free */
    RUN_OK(r, "--plant", "s", "backup", "--to", "copies");
    plant_close(plant);
    assert_int_equal(plant_entries("s"), before);
    RUN_OK(r, AS("s", "6"), "record", "cold-check", "place=CR-1", "temp=3 C");
}

static void who_serves_says_so_and_takes_commands(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    int ends[2];
    char line[256] = "";
    plant_copy("t");
    int64_t before = plant_entries("t");
    assert_int_equal(pipe(ends), 0);
    const char *const words[] = {"--plant", "t", "--json", "serve", NULL};
    pid_t child = program_start_to(r->program, words, ends[1]);
    close(ends[1]);
    for (size_t i = 0; i + 1 < sizeof line && read(ends[0], line + i, 1) == 1; i++) {
        if (line[i] == '\n') {
            break;
        }
    }
    close(ends[0]);
    json_t *said = json_loads(line, 0, NULL);
    assert_string_equal(json_string_value(json_object_get(said, "serving")), "t");
    json_decref(said);
    RUN_OK(r, AS("t", "6"), "record", "cold-check", "place=CR-1", "temp=3 C");
    assert_int_equal(plant_entries("t"), before + 1);
    RUN_CODE(r, 2, AS("t", "1"), "restore", "--tell", "--reason", "none");
    RUN_CODE(r, 6, AS("t", "6"), "serve");
    int status = program_stop(child, SIGTERM);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
    assert_false(file_exists("t/plant.sock"));
    RUN_OK(r, "--plant", "t", "verify");
}

/* The schema number of a record; set anew unless it is -1. -> what it was. */
static int number_of(const char *plant, int set)
{
    sqlite3 *db;
    sqlite3_stmt *q;
    char path[64], sql[64];
    snprintf(path, sizeof path, "%s/plant.db", plant);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db, "pragma user_version;", -1, &q, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(q), SQLITE_ROW);
    int was = sqlite3_column_int(q, 0);
    sqlite3_finalize(q);
    if (set >= 0) {
        snprintf(sql, sizeof sql, "pragma user_version = %d;", set);
        assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    }
    sqlite3_close(db);
    return was;
}

static void a_record_of_a_newer_program_is_left_alone(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    plant_copy("n");
    int own = number_of("n", -1);
    number_of("n", 9999);
    static const char *const asked[][3] = {
        {"lots", NULL, NULL}, {"verify", NULL, NULL}, {"backup", "--to", "copies"}};
    for (size_t i = 0; i < 3; i++) {
        RUN_CODE(r, 7, "--plant", "n", "--json", asked[i][0], asked[i][1], asked[i][2]);
        assert_string_equal(refusal_of(r), "store-newer");
    }
    RUN_CODE(r, 7, AS("n", "6"), "record", "cold-check", "place=CR-1", "temp=3 C");
    RUN_SAYS(r, "Use the newer program.");
    number_of("n", own);
    RUN_OK(r, "--plant", "n", "verify"); /* as it was */
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_killed_import_is_booked_whole_or_not_at_all),
        cmocka_unit_test_teardown(a_full_disk_loses_nothing, disk_drop),
        cmocka_unit_test(a_second_process_is_kept_out),
        cmocka_unit_test(who_serves_says_so_and_takes_commands),
        cmocka_unit_test(a_record_of_a_newer_program_is_left_alone),
    };
    if (argc < 2) {
        return 2;
    }
    plants_program(program_path(argv[1]));
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, plants_open, plants_close);
}
