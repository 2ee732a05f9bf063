/* Sixteen clients at one serving plant, each over a connection of its own, all let go at once. */
#include "evidence.h"

#include <pthread.h>

#include "base/file.h"
#include "service/socket.h"

enum { CLIENTS = 16 };

/* A plant in ./p with a released lot of 20 cases, of which 19 have left. -> its code */
static const char *last_case_left(struct house *h)
{
    uint8_t seed[32] = {7};
    assert_ok(folder_make("p"));
    house_open_at(h, "p/plant.db");
    struct house_batch batch = house_batch(h, "C1", true);
    house_take(h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", batch.packed);
    house_take(h, "{'kind':'ship','customer':'COTYLEDON','units':['%s-0001..%s-0019']}",
               batch.packed, batch.packed);
    assert_ok(file_write("p/plant.key", seed, sizeof seed, 0600));
    assert_ok(plant_zone_set("p", "UTC"));
    return batch.packed;
}

struct served {
    struct plant *plant;
    atomic_bool stop;
    struct result result;
    pthread_t thread;
};

static void *serve(void *argument)
{
    struct served *served = argument;
    struct serving *serving;
    served->result = serving_start(served->plant, &serving);
    if (served->result.code == CODE_OK) {
        served->result = socket_serve(serving, &served->stop);
        serving_stop(serving);
    }
    return NULL;
}

struct client {
    pthread_barrier_t *start;
    struct door *door;
    json_t *request, *answer;
    struct result result;
    pthread_t thread;
};

static void *ask_once(void *argument)
{
    struct client *c = argument;
    pthread_barrier_wait(c->start);
    c->result = door_ask(c->door, c->request, &c->answer);
    return NULL;
}

/* Closes the record in h, serves it, asks each client's request; the answers are the caller's. */
static void race(struct house *h, struct client *clients)
{
    struct served served = {.stop = false};
    pthread_barrier_t start;
    struct world world = world_fixed(&h->fixed);
    ledger_close(h->lg);
    store_close(h->store);
    h->lg = NULL;
    h->store = NULL;
    assert_ok(plant_open_write("p", world, &served.plant));
    assert_int_equal(pthread_create(&served.thread, NULL, serve, &served), 0);
    assert_int_equal(pthread_barrier_init(&start, NULL, CLIENTS), 0);
    for (size_t i = 0; i < CLIENTS; i++) {
        clients[i].start = &start;
        assert_ok(door_open("p", world, &clients[i].door));
        assert_false(door_is_direct(clients[i].door));
    }
    for (size_t i = 0; i < CLIENTS; i++) {
        assert_int_equal(pthread_create(&clients[i].thread, NULL, ask_once, &clients[i]), 0);
    }
    for (size_t i = 0; i < CLIENTS; i++) {
        pthread_join(clients[i].thread, NULL);
        door_close(clients[i].door);
        json_decref(clients[i].request);
    }
    pthread_barrier_destroy(&start);
    served.stop = true;
    pthread_join(served.thread, NULL);
    assert_ok(served.result);
    plant_close(served.plant);
    assert_ok(store_open("p/plant.db", STORE_READ, &h->store));
}

static json_t *ship_last(struct house *h, const char *lot, size_t uuid)
{
    const char *number = arena_printf(&h->arena, "00000000-0000-4000-8000-0000000ff%03zu", uuid);
    json_t *request =
        json_pack("{s:s,s:{s:s,s:s,s:s,s:s,s:i,s:[o]}}", "do", "take", "command", "kind", "ship",
                  "mode", "ask", "uuid", number, "customer", "COTYLEDON", "person", 1, "units",
                  json_string(arena_printf(&h->arena, "%s-0020", lot)));
    assert_non_null(request);
    return request;
}

static int64_t entries_in(struct house *h)
{
    struct statement *q = store_prepare(h->store, Q_DAYBOOK_LAST);
    bool row;
    assert_ok(store_step(q, &row));
    assert_true(row);
    int64_t last = store_int(q, 0);
    assert_ok(store_step(q, &row));
    return last;
}

static void one_of_sixteen_gets_the_last_case(void **state)
{
    (void)state;
    static struct client clients[CLIENTS];
    struct house h;
    const char *lot = last_case_left(&h);
    int64_t before = entries_in(&h);
    for (size_t i = 0; i < CLIENTS; i++) {
        clients[i].request = ship_last(&h, lot, i);
    }
    race(&h, clients);
    int served = 0;
    for (size_t i = 0; i < CLIENTS; i++) {
        if (clients[i].result.code == CODE_OK) {
            served++;
            assert_int_equal(json_integer_value(json_object_get(clients[i].answer, "entry")),
                             before + 1);
            assert_int_equal(json_integer_value(json_object_get(clients[i].answer, "pieces")), 40);
        } else {
            assert_code(clients[i].result, UNIT_GONE);
        }
        json_decref(clients[i].answer);
    }
    assert_int_equal(served, 1);
    assert_int_equal(entries_in(&h), before + 1);
    assert_int_equal(house_balance(&h, lot, UNIT_PIECES), 0);
    house_close(&h);
}

static void one_command_sent_sixteen_times_is_one_entry(void **state)
{
    (void)state;
    static struct client clients[CLIENTS];
    struct house h;
    const char *lot = last_case_left(&h);
    int64_t before = entries_in(&h);
    for (size_t i = 0; i < CLIENTS; i++) {
        clients[i].request = ship_last(&h, lot, 7);
    }
    race(&h, clients);
    int first = 0;
    for (size_t i = 0; i < CLIENTS; i++) {
        assert_ok(clients[i].result);
        first += !json_is_true(json_object_get(clients[i].answer, "repeated"));
        json_object_del(clients[i].answer, "repeated");
        assert_true(json_equal(clients[i].answer, clients[0].answer));
    }
    assert_int_equal(first, 1);
    assert_int_equal(json_integer_value(json_object_get(clients[0].answer, "entry")), before + 1);
    assert_int_equal(entries_in(&h), before + 1);
    assert_int_equal(house_balance(&h, lot, UNIT_PIECES), 0);
    for (size_t i = 0; i < CLIENTS; i++) {
        json_decref(clients[i].answer);
    }
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(one_of_sixteen_gets_the_last_case, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(one_command_sent_sixteen_times_is_one_entry, folder_enter,
                                        folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
