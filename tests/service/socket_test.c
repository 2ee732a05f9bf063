#include "fixture.h"

#include <pthread.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <time.h>

#include "base/file.h"

enum { THREADS = 8, EACH = 6 };

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

static void serve_start(struct site *s, struct served *served)
{
    *served = (struct served){.stop = false};
    assert_ok(plant_open_write(PLANT, s->world, &served->plant));
    assert_int_equal(pthread_create(&served->thread, NULL, serve, served), 0);
}

static void serve_stop(struct served *served)
{
    served->stop = true;
    pthread_join(served->thread, NULL);
    assert_ok(served->result);
    plant_close(served->plant);
}

/* A client that knows only the socket; waits until somebody listens there. */
static int connect_raw(void)
{
    struct sockaddr_un address = {.sun_family = AF_UNIX, .sun_path = PLANT "/plant.sock"};
    int fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    assert_true(fd >= 0);
    for (int i = 0; connect(fd, (struct sockaddr *)&address, sizeof address) != 0; i++) {
        assert_true(i < 1000);
        usleep(10000);
    }
    return fd;
}

static void send_raw(int fd, const char *text)
{
    size_t len = strlen(text);
    assert_int_equal(send(fd, text, len, MSG_NOSIGNAL), (ssize_t)len);
}

/* One line of answer, read byte by byte; the stream may end before it. */
static json_t *answer_raw(int fd)
{
    static char line[65536];
    size_t len = 0;
    while (len < sizeof line && read(fd, line + len, 1) == 1 && line[len] != '\n') {
        len++;
    }
    return json_loadb(line, len, 0, NULL);
}

static void assert_raw_refusal(int fd, const char *code)
{
    json_t *envelope = answer_raw(fd);
    assert_true(json_is_false(json_object_get(envelope, "ok")));
    assert_string_equal(text_in(json_object_get(envelope, "error"), "code"), code);
    json_decref(envelope);
}

static struct door *door_ok(struct site *s)
{
    struct door *door;
    assert_ok(door_open(PLANT, s->world, &door));
    return door;
}

static json_t *place(struct site *s, const char *code)
{
    return take_of(s, "{'kind':'place','code':'%s','place_kind':'store'}", code);
}

static void the_door_finds_who_serves(void **state)
{
    (void)state;
    struct site s;
    struct served served;
    json_t *answer;
    site_open(&s);
    site_bare(&s);
    struct door *direct = door_ok(&s);
    assert_true(door_is_direct(direct));
    assert_non_null(door_plant(direct));
    assert_ok(ask(direct, place(&s, "A"), &answer));
    assert_int_equal(number_in(answer, "entry"), 2);
    json_decref(answer);
    door_close(direct);
    serve_start(&s, &served);
    struct door *door = door_ok(&s);
    assert_false(door_is_direct(door));
    assert_null(door_plant(door));
    assert_ok(ask(door, place(&s, "B"), &answer));
    assert_int_equal(number_in(answer, "entry"), 3);
    json_decref(answer);
    struct result r = ask(door, take_of(&s, "{'kind':'moult'}"), &answer);
    assert_code(r, KIND_UNKNOWN);
    assert_string_equal(r.value[0], "moult");
    assert_null(answer);
    assert_int_equal(entries_of(&s, PLANT), 3); /* answered means on the disk */
    struct stat st;
    assert_int_equal(stat("p/plant.sock", &st), 0);
    assert_int_equal(st.st_mode & 0777, 0600);
    door_close(door);
    serve_stop(&served);
    assert_false(file_exists("p/plant.sock"));
    site_close(&s);
}

static void a_socket_that_a_crash_left_is_passed_over(void **state)
{
    (void)state;
    struct site s;
    struct served served;
    site_open(&s);
    site_bare(&s);
    struct sockaddr_un address = {.sun_family = AF_UNIX, .sun_path = PLANT "/plant.sock"};
    int fd = socket(AF_UNIX, SOCK_STREAM, 0);
    assert_int_equal(bind(fd, (struct sockaddr *)&address, sizeof address), 0);
    close(fd);
    assert_true(file_exists("p/plant.sock"));
    struct door *door = door_ok(&s);
    assert_true(door_is_direct(door));
    door_close(door);
    serve_start(&s, &served);
    close(connect_raw());
    serve_stop(&served);
    site_close(&s);
}

static void a_folder_too_deep_for_a_socket_says_so(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant;
    char deep[160] = "p";
    atomic_bool stop = true;
    site_open(&s);
    site_bare(&s);
    for (size_t i = 1; i < 120; i += 2) {
        memcpy(deep + i, "/d", 3);
    }
    assert_ok(folder_make(deep));
    assert_ok(plant_open_write(PLANT, s.world, &plant));
    plant->folder = deep;
    struct serving *serving;
    assert_ok(serving_start(plant, &serving));
    assert_code(socket_serve(serving, &stop), FILE_OPEN);
    serving_stop(serving);
    plant->folder = PLANT;
    plant_close(plant);
    site_close(&s);
}

static void a_session_lasts_as_long_as_its_connection(void **state)
{
    (void)state;
    struct site s;
    struct served served;
    site_open(&s);
    site_house(&s, NULL);
    serve_start(&s, &served);
    struct door *door = door_ok(&s), *other = door_ok(&s);
    json_t *person = take_of(&s, "{'kind':'person','number':2,'role':'quality'}");
    assert_code(ask(door, json_incref(person), &(json_t *){NULL}), PASSWORD_NEEDED);
    json_object_set_new(person, "password", json_string("radicle-and-root"));
    assert_code(post(door, json_incref(person)), PASSWORD_WRONG);
    json_object_set_new(person, "password", json_string(PASSWORD));
    assert_ok(post(door, person));
    assert_ok(post(door, take_of(&s, "{'kind':'person','number':3,'role':'line'}")));
    assert_code(post(other, take_of(&s, "{'kind':'person','number':4,'role':'line'}")),
                PASSWORD_NEEDED);
    door_close(door);
    door_close(other);
    serve_stop(&served);
    site_close(&s);
}

struct client {
    struct door *door;
    json_t *requests[EACH];
    int64_t entries[EACH];
};

static void *ask_each(void *argument)
{
    struct client *c = argument;
    for (size_t i = 0; i < EACH; i++) {
        json_t *answer = NULL;
        struct result r = door_ask(c->door, c->requests[i], &answer);
        c->entries[i] = r.code == CODE_OK ? number_in(answer, "entry") : -1;
        json_decref(answer);
    }
    return NULL;
}

static void clients_at_once_get_each_its_own_answer(void **state)
{
    (void)state;
    struct site s;
    struct served served;
    static struct client clients[THREADS];
    pthread_t threads[THREADS];
    bool seen[THREADS * EACH + 2] = {false};
    site_open(&s);
    site_bare(&s);
    serve_start(&s, &served);
    for (size_t t = 0; t < THREADS; t++) {
        clients[t].door = door_ok(&s);
        for (size_t i = 0; i < EACH; i++) {
            clients[t].requests[i] = place(&s, arena_printf(&s.arena, "T%zu-%zu", t, i));
        }
    }
    for (size_t t = 0; t < THREADS; t++) {
        assert_int_equal(pthread_create(&threads[t], NULL, ask_each, &clients[t]), 0);
    }
    for (size_t t = 0; t < THREADS; t++) {
        pthread_join(threads[t], NULL);
        for (size_t i = 0; i < EACH; i++) {
            int64_t entry = clients[t].entries[i];
            assert_true(entry >= 2 && entry < (int64_t)sizeof seen && !seen[entry]);
            seen[entry] = true;
            json_decref(clients[t].requests[i]);
        }
        door_close(clients[t].door);
    }
    serve_stop(&served);
    assert_int_equal(entries_of(&s, PLANT), 1 + THREADS * EACH);
    site_close(&s);
}

static void what_is_no_request_is_answered_and_the_next_served(void **state)
{
    (void)state;
    struct site s;
    struct served served;
    site_open(&s);
    site_bare(&s);
    serve_start(&s, &served);
    int fd = connect_raw();
    static const char *const odd[][2] = {
        {"moult\n", "json-bad"},
        {"\n", "json-bad"},
        {"[1]\n", "field-missing"},
        {"{\"do\":7}\n", "field-type"},
        {"{\"do\":\"take\"}\n", "field-missing"},
        {"{\"do\":\"take\",\"command\":[]}\n", "field-type"},
        {"{\"do\":\"take-all\",\"commands\":[7]}\n", "field-choice"},
        {"{\"do\":\"a\",\"do\":\"b\"}\n", "json-duplicate"}};
    for (size_t i = 0; i < sizeof odd / sizeof odd[0]; i++) {
        send_raw(fd, odd[i][0]);
        assert_raw_refusal(fd, odd[i][1]);
    }
    send_raw(fd, "{\"do\":\"sign\",\"why\":\"sh");
    usleep(20000);
    send_raw(fd, "ift\"}\n"); /* a line may come in pieces */
    json_t *envelope = answer_raw(fd);
    assert_true(json_is_true(json_object_get(envelope, "ok")));
    json_decref(envelope);
    close(fd);
    serve_stop(&served);
    assert_int_equal(entries_of(&s, PLANT), 1);
    site_close(&s);
}

static void a_client_that_goes_away_takes_nobody_with_it(void **state)
{
    (void)state;
    struct site s;
    struct served served;
    json_t *answer;
    site_open(&s);
    site_bare(&s);
    serve_start(&s, &served);
    json_t *half = place(&s, "HALF"), *whole = place(&s, "WHOLE");
    char *text = json_dumps(half, JSON_COMPACT), *line = json_dumps(whole, JSON_COMPACT);
    int fd = connect_raw();
    text[strlen(text) - 5] = '\0';
    send_raw(fd, text);
    close(fd); /* in the middle of its line */
    fd = connect_raw();
    send_raw(fd, line);
    send_raw(fd, "\n");
    close(fd); /* before its answer */
    struct door *door = door_ok(&s);
    struct result r = RESULT_OK;
    for (int i = 0; i < 500 && places_named(&s, PLANT, "WHOLE") == 0; i++) {
        usleep(10000);
    }
    r = ask(door, whole, &answer); /* sent again under its uuid */
    assert_ok(r);
    assert_true(json_is_true(json_object_get(answer, "repeated")));
    assert_int_equal(number_in(answer, "entry"), 2);
    json_decref(answer);
    assert_ok(post(door, place(&s, "NEXT")));
    door_close(door);
    serve_stop(&served);
    assert_int_equal(entries_of(&s, PLANT), 3);
    assert_int_equal(places_named(&s, PLANT, "HALF"), 0);
    free(text);
    free(line);
    json_decref(half);
    site_close(&s);
}

static void a_line_without_end_is_refused_at_the_cap(void **state)
{
    (void)state;
    struct site s;
    struct served served;
    site_open(&s);
    site_bare(&s);
    serve_start(&s, &served);
    size_t len = SOCKET_LINE_MAX + 100000;
    char *long_text = malloc(len + 1);
    memset(long_text, 'x', len);
    long_text[len] = '\0';
    struct door *door = door_ok(&s), *other = door_ok(&s);
    json_t *big = json_pack("{s:s,s:s}", "do", "contact", "name", long_text);
    struct result r = post(door, big);
    assert_code(r, INPUT_LARGE);
    assert_string_equal(r.value[0], "33554432");
    assert_code(post(door, place(&s, "A")), SOCKET_BAD); /* that connection is over */
    assert_ok(post(other, place(&s, "B")));
    door_close(door);
    door_close(other);
    serve_stop(&served);
    assert_int_equal(entries_of(&s, PLANT), 2);
    free(long_text);
    site_close(&s);
}

static void one_client_too_many_is_turned_away(void **state)
{
    (void)state;
    struct site s;
    struct served served;
    int fds[SOCKET_CLIENTS_MAX];
    site_open(&s);
    site_bare(&s);
    serve_start(&s, &served);
    for (size_t i = 0; i < SOCKET_CLIENTS_MAX; i++) {
        fds[i] = connect_raw();
        send_raw(fds[i], "{}\n");
        assert_raw_refusal(fds[i], "field-missing");
    }
    struct door *door = door_ok(&s);
    assert_code(post(door, place(&s, "A")), SOCKET_BAD);
    door_close(door);
    close(fds[0]);
    for (int i = 0; i < 200; i++) { /* a place is free as soon as the server has seen the end */
        door = door_ok(&s);
        struct result r = post(door, place(&s, "A"));
        door_close(door);
        if (r.code == CODE_OK) {
            break;
        }
        assert_code(r, SOCKET_BAD);
        usleep(10000);
    }
    assert_int_equal(places_named(&s, PLANT, "A"), 1);
    for (size_t i = 1; i < SOCKET_CLIENTS_MAX; i++) {
        close(fds[i]);
    }
    serve_stop(&served);
    site_close(&s);
}

/* Asks until the stream is full and reads no answer: closing the house must not wait for it. */
static void who_never_reads_does_not_hold_the_house(void **state)
{
    (void)state;
    struct site s;
    struct served served;
    struct timespec before, after;
    site_open(&s);
    site_bare(&s);
    serve_start(&s, &served);
    int fd = connect_raw();
    char line[4096];
    memset(line, 'x', sizeof line);
    for (size_t i = 63; i < sizeof line; i += 64) {
        line[i] = '\n';
    }
    ssize_t sent = 1;
    for (int i = 0; i < 100 && sent > 0; i++) {
        sent = send(fd, line, sizeof line, MSG_NOSIGNAL | MSG_DONTWAIT);
        usleep(2000);
    }
    assert_true(sent < 0); /* it is full in both directions */
    clock_gettime(CLOCK_MONOTONIC, &before);
    serve_stop(&served);
    clock_gettime(CLOCK_MONOTONIC, &after);
    assert_true(after.tv_sec - before.tv_sec < 30);
    close(fd);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_door_finds_who_serves, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_socket_that_a_crash_left_is_passed_over, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_folder_too_deep_for_a_socket_says_so, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_session_lasts_as_long_as_its_connection, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(clients_at_once_get_each_its_own_answer, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(what_is_no_request_is_answered_and_the_next_served,
                                        folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_client_that_goes_away_takes_nobody_with_it, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_line_without_end_is_refused_at_the_cap, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(one_client_too_many_is_turned_away, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(who_never_reads_does_not_hold_the_house, folder_enter,
                                        folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
