/* A serving plant is killed with SIGKILL at moments drawn at random, while clients write. Whatever
 * was answered is in the record once; what was not answered is there once or not at all.
 *
 * kill_test PLUMULE [SEED] */
#include "program.h"

#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <time.h>

#include "base/random.h"
#include "base/uuid.h"
#include "ledger/daybook.h"
#include "ledger/verify.h"
#include "service/socket.h"

enum { ROUNDS = 60, CLIENTS = 5, EACH_MAX = 60, BATCH = 3, KILL_AFTER_US = 60000 };

/* A request as sent: one command, or BATCH of them that stand or fall together. */
struct sent {
    uint64_t number; /* its uuids are number, number + 1 .. */
    int count;
    int64_t entry[BATCH]; /* 0: no answer came */
};

struct client {
    struct door *door;
    uint64_t number; /* of the next uuid */
    struct sent sent[EACH_MAX];
    size_t count;
    enum code ended; /* why it stopped before EACH_MAX */
    pthread_t thread;
};

static const char *program;
static uint64_t seed;
static struct arena arena;

static json_t *command_of(uint64_t number)
{
    char uuid[40], code[24];
    snprintf(uuid, sizeof uuid, "00000000-0000-4000-8000-%012llx", (unsigned long long)number);
    snprintf(code, sizeof code, "P-%llu", (unsigned long long)number);
    json_t *o = json_pack("{s:s,s:s,s:s,s:s,s:i}", "kind", "place", "code", code, "place_kind",
                          "store", "uuid", uuid, "person", 1);
    assert_non_null(o);
    return o;
}

static json_t *request_of(const struct sent *s)
{
    if (s->count == 1) {
        return json_pack("{s:s,s:o}", "do", "take", "command", command_of(s->number));
    }
    json_t *list = json_array();
    for (int i = 0; i < s->count; i++) {
        json_array_append_new(list, command_of(s->number + (uint64_t)i));
    }
    return json_pack("{s:s,s:o}", "do", "take-all", "commands", list);
}

/* Entries of an answer; *out_repeated: how many were answered as there already. */
static void entries_of(const struct sent *s, json_t *answer, int64_t *out, int *out_repeated)
{
    *out_repeated = 0;
    for (int i = 0; i < s->count; i++) {
        const json_t *one = s->count == 1 ? answer : json_array_get(answer, (size_t)i);
        out[i] = json_integer_value(json_object_get(one, "entry"));
        *out_repeated += json_is_true(json_object_get(one, "repeated"));
    }
}

/* Threads may not end the test themselves: they note what went wrong. */
static void *write_until_it_ends(void *argument)
{
    struct client *c = argument;
    while (c->count < EACH_MAX) {
        struct sent *s = &c->sent[c->count++];
        json_t *answer = NULL;
        int repeated;
        *s = (struct sent){.number = c->number, .count = c->count % 4 == 0 ? BATCH : 1};
        c->number += (uint64_t)s->count;
        json_t *request = request_of(s);
        struct result r = door_ask(c->door, request, &answer);
        json_decref(request);
        if (r.code == CODE_OK) {
            entries_of(s, answer, s->entry, &repeated);
        }
        json_decref(answer);
        if (r.code != CODE_OK || s->entry[0] == 0 || repeated != 0) {
            c->ended = r.code != CODE_OK ? r.code : CODE_STORE_DAMAGED;
            break;
        }
    }
    return NULL;
}

static pid_t serve(void)
{
    const char *const words[] = {"serve", "--plant", "p", NULL};
    struct sockaddr_un address = {.sun_family = AF_UNIX, .sun_path = "p/plant.sock"};
    pid_t child = program_start(program, words);
    for (int i = 0;; i++) {
        int fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
        int failed = connect(fd, (struct sockaddr *)&address, sizeof address);
        close(fd);
        if (failed == 0) {
            return child;
        }
        assert_int_equal(waitpid(child, NULL, WNOHANG), 0); /* it has not given up */
        assert_true(i < 3000);
        usleep(10000);
    }
}

static struct door *door_ok(void)
{
    struct door *door;
    assert_ok(door_open("p", world_real(), &door));
    assert_false(door_is_direct(door));
    return door;
}

/* What the record has of a request while nobody serves: all of it or nothing. */
static bool is_kept(struct store *store, const struct sent *s)
{
    int found = 0;
    for (int i = 0; i < s->count; i++) {
        uint8_t uuid[16];
        struct entry e;
        bool is;
        json_t *command = command_of(s->number + (uint64_t)i);
        assert_ok(uuid_read(json_string_value(json_object_get(command, "uuid")), "uuid", uuid));
        json_decref(command);
        assert_ok(entry_by_uuid(store, &arena, uuid, &e, &is));
        if (is && s->entry[0] != 0) {
            assert_int_equal(e.seq, s->entry[i]);
        }
        found += is;
    }
    assert_true(found == 0 || found == s->count);
    return found > 0;
}

/* -> acknowledged requests; *out_open: those without an answer. */
static int check_at_rest(const struct client *clients, int *out_open)
{
    struct store *store;
    int acknowledged = 0;
    *out_open = 0;
    assert_ok(store_open("p/plant.db", STORE_READ, &store));
    for (size_t c = 0; c < CLIENTS; c++) {
        for (size_t i = 0; i < clients[c].count; i++) {
            const struct sent *s = &clients[c].sent[i];
            bool kept = is_kept(store, s);
            assert_true(kept || s->entry[0] == 0); /* what was answered is there */
            acknowledged += s->entry[0] != 0;
            *out_open += s->entry[0] == 0;
        }
    }
    store_close(store);
    arena_clear(&arena);
    return acknowledged;
}

/* The same uuid again: what was answered is answered alike and as a repeat. */
static void send_again(const struct client *clients)
{
    struct door *door = door_ok();
    for (size_t c = 0; c < CLIENTS; c++) {
        for (size_t i = 0; i < clients[c].count; i++) {
            const struct sent *s = &clients[c].sent[i];
            int64_t entry[BATCH];
            int repeated;
            json_t *answer, *request = request_of(s);
            assert_ok(door_ask(door, request, &answer));
            entries_of(s, answer, entry, &repeated);
            assert_true(repeated == 0 || repeated == s->count);
            for (int k = 0; k < s->count && s->entry[0] != 0; k++) {
                assert_int_equal(entry[k], s->entry[k]);
                assert_int_equal(repeated, s->count);
            }
            json_decref(answer);
            json_decref(request);
        }
    }
    door_close(door);
}

/* The whole record against its daybook. */
static int64_t verify(void)
{
    struct store *store;
    struct verify_report report;
    assert_ok(store_open("p/plant.db", STORE_READ, &store));
    assert_ok(ledger_verify(store, NULL, &arena, &report));
    store_close(store);
    for (size_t i = 0; i < report.finding_count; i++) {
        print_error("%s %s: %s, not %s\n", report.findings[i].table, report.findings[i].key,
                    report.findings[i].is, report.findings[i].wanted);
    }
    assert_int_equal(report.found, 0);
    arena_clear(&arena);
    return report.entries;
}

static void one_round(struct client *clients, pid_t server, uint64_t wait_us, uint64_t *number)
{
    for (size_t c = 0; c < CLIENTS; c++) {
        clients[c] = (struct client){.door = door_ok(), .number = *number};
        *number += EACH_MAX * BATCH;
    }
    for (size_t c = 0; c < CLIENTS; c++) {
        struct client *each = &clients[c];
        assert_int_equal(pthread_create(&each->thread, NULL, write_until_it_ends, each), 0);
    }
    usleep((useconds_t)wait_us);
    int status = program_stop(server, SIGKILL);
    assert_true(WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL);
    for (size_t c = 0; c < CLIENTS; c++) {
        pthread_join(clients[c].thread, NULL);
        door_close(clients[c].door);
        if (clients[c].ended != CODE_OK) {
            assert_int_equal(clients[c].ended, CODE_SOCKET_BAD);
        }
    }
}

static void make_plant(void)
{
    struct door *door;
    json_t *answer;
    assert_ok(plant_create("p", world_real()));
    assert_ok(plant_zone_set("p", "UTC"));
    assert_ok(door_open("p", world_real(), &door));
    json_t *request = json_pack("{s:s,s:{s:s,s:i,s:s,s:s,s:i}}", "do", "take", "command", "kind",
                                "person", "number", 1, "role", "manager", "uuid",
                                "00000000-0000-4000-9000-000000000000", "person", 1);
    assert_ok(door_ask(door, request, &answer));
    json_decref(answer);
    json_decref(request);
    door_close(door);
}

static void what_was_answered_survives_a_kill(void **state)
{
    (void)state;
    static struct client clients[CLIENTS];
    struct random random;
    uint64_t number = 1;
    int in_flight = 0, acknowledged = 0, open_in_all = 0;
    random_seed(&random, seed);
    make_plant();
    for (int round = 0; round < ROUNDS; round++) {
        pid_t server = serve();
        if (round > 0) {
            send_again(clients);
        }
        int open;
        one_round(clients, server, random_below(&random, KILL_AFTER_US), &number);
        acknowledged += check_at_rest(clients, &open);
        in_flight += open > 0;
        open_in_all += open;
        if (round % 15 == 14) {
            verify();
        }
    }
    pid_t server = serve();
    send_again(clients);
    int status = program_stop(server, SIGTERM);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
    int64_t entries = verify();
    print_message("# %d kills, %d with a request in flight; %d requests answered, %d not; %lld "
                  "entries, verified\n",
                  ROUNDS, in_flight, acknowledged, open_in_all, (long long)entries);
    assert_true(in_flight * 2 >= ROUNDS);
    assert_true(acknowledged > ROUNDS);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(what_was_answered_survives_a_kill, folder_enter,
                                        folder_leave),
    };
    if (argc < 2) {
        return 2;
    }
    program = program_path(argv[1]);
    seed = argc > 2 ? strtoull(argv[2], NULL, 10) : (uint64_t)time(NULL);
    printf("# seed %llu\n", (unsigned long long)seed);
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    cmocka_set_message_output(CM_OUTPUT_TAP);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    arena_release(&arena);
    return failed;
}
