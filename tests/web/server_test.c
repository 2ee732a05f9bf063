#include "client.h"

#include <sys/socket.h>

#include "base/random.h"
#include "web/limits.h"
#include "web/route.h"

static struct client client;

static int begin(void **state)
{
    if (folder_enter(state) != 0) {
        return 1;
    }
    client_open(&client);
    return 0;
}

/* client_close also looks whether the record is whole. */
static int end(void **state)
{
    assert_status(get(&client, "/api/v1/me"), 200); /* still alive */
    client_close(&client);
    return folder_leave(state);
}

static void too_much_is_refused_before_it_is_sent(void **state)
{
    (void)state;
    struct reply r =
        send_to(&client, "POST", "/api/v1/session", "{}", "Content-Length: 1048577\r\n");
    assert_problem(r, 413, "input-large");
    r = send_to(&client, "POST", "/api/v1/session", "{}", "Content-Length: 99999999999999\r\n");
    assert_true(r.status >= 400);
    r = send_to(&client, "POST", "/api/v1/session", "0\r\n\r\n", "Transfer-Encoding: chunked\r\n");
    assert_true(r.status == 411 || r.status == 400);
    r = send_to(&client, "POST", "/api/v1/session", NULL, "Content-Type: application/json\r\n");
    assert_problem(r, 411, "length-missing");
    char *path = arena_alloc(&client.site.arena, WEB_PATH_MAX + 10);
    memset(path, 'a', WEB_PATH_MAX + 8);
    path[0] = '/';
    assert_problem(get(&client, path), 400, "target-bad");
    char *header = arena_alloc(&client.site.arena, WEB_MEMORY_PER_CONNECTION + 100);
    memcpy(header, "X-Long: ", 8);
    memset(header + 8, 'a', WEB_MEMORY_PER_CONNECTION);
    memcpy(header + 8 + WEB_MEMORY_PER_CONNECTION, "\r\n", 3);
    r = send_to(&client, "GET", "/", NULL, header);
    assert_true(r.status == 0 || r.status >= 400);
}

static void half_a_request_harms_nobody(void **state)
{
    (void)state;
    static const char whole[] =
        "POST /api/v1/session HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Plumule: 1\r\n"
        "Content-Type: application/json\r\nContent-Length: 20\r\n\r\n"
        "{\"person\":1,\"passwo";
    for (size_t len = 0; len < sizeof whole; len += 7) {
        send_cut(&client, whole, len);
    }
    static const char *const odd[] = {
        "\r\n\r\n",
        "GET\r\n\r\n",
        "GET / HTTP/9.9\r\n\r\n",
        "GET / HTTP/1.1\r\nHost\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
        "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
        "POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: -1\r\n\r\n",
        "POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\nab"};
    for (size_t i = 0; i < sizeof odd / sizeof odd[0]; i++) {
        struct reply r = send_cut(&client, odd[i], strlen(odd[i]));
        assert_true(r.status != 200);
    }
}

/* Many that send half a request and then nothing leave room for those who ask. */
static void slow_ones_do_not_keep_others_waiting(void **state)
{
    (void)state;
    int fds[100];
    static const char half[] = "GET /api/v1/me HTTP/1.1\r\nHost: 127";
    for (size_t i = 0; i < 100; i++) {
        fds[i] = connect_to(client.port);
        assert_int_equal(send(fds[i], half, sizeof half - 1, MSG_NOSIGNAL),
                         (ssize_t)sizeof half - 1);
    }
    for (int i = 0; i < 20; i++) {
        assert_status(get(&client, "/api/v1/me"), 200);
    }
    for (size_t i = 0; i < 100; i++) {
        close(fds[i]);
    }
}

static const char *body_made_up(struct random *r)
{
    static const char *const bodies[] = {"{}",
                                         "[]",
                                         "null",
                                         "1",
                                         "'x'",
                                         "{'person':'1','password':1}",
                                         "{'person':1e99}",
                                         "{'command':{}}",
                                         "{'command':{'kind':1}}",
                                         "{'commands':[null,{},[]]}",
                                         "{'kind':'harvest','uuid':'x','person':1}",
                                         "{'code':{},'place':[]}",
                                         "{'number':-1,'role':null}",
                                         "{'pin':12345}",
                                         "{'badge':''}",
                                         "{'seconds':'many'}",
                                         "{'seed_kg':'\\u0000'}",
                                         "{'a':[[[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]]]}",
                                         "{\"\\ud800\":1}",
                                         ""};
    return bodies[random_below(r, sizeof bodies / sizeof bodies[0])];
}

static const char *path_made_up(struct random *r, const struct route *route)
{
    static const char *const words[] = {
        "1",        "0", "-1", "M250-20900-01", "%F0%9F%8C%B1", "a%20b", "99999999999999999999",
        "%27%3B--", "x"};
    static const char *const queries[] = {"",
                                          "?lang=es",
                                          "?cursor=%25%25",
                                          "?limit=0&limit=1",
                                          "?day=2026-02-30",
                                          "?q=%00",
                                          "?code=&direction=up",
                                          "?as_known_on=1",
                                          "?from=2026-03-01&to=2025-01-01"};
    const char *path = "";
    for (const char *at = route->path; *at != '\0';) {
        size_t len = strcspn(at, "{");
        path = arena_printf(&client.site.arena, "%s%.*s", path, (int)len, at);
        at += len;
        if (*at == '{') {
            path = arena_printf(&client.site.arena, "%s%s", path,
                                words[random_below(r, sizeof words / sizeof words[0])]);
            at += strcspn(at, "}") + 1;
        }
    }
    return arena_printf(&client.site.arena, "%s%s", path,
                        queries[random_below(r, sizeof queries / sizeof queries[0])]);
}

/* Whoever asks, whatever is sent: an answer, and never that the machine failed. */
static void every_route_bears_nonsense(void **state)
{
    (void)state;
    struct random r;
    random_seed(&r, 20514);
    for (int round = 0; round < 2; round++) {
        for (size_t i = 0; i < route_count(); i++) {
            const struct route *route = route_at(i);
            if (strcmp(route->name, "events") == 0 || strcmp(route->name, "sign_out") == 0) {
                continue;
            }
            for (int k = 0; k < 6; k++) {
                bool post = route->method == METHOD_POST;
                const char *path = path_made_up(&r, route);
                struct reply reply = send_to(&client, method_text(route->method), path,
                                             post ? body_made_up(&r) : NULL, NULL);
                if (reply.status == 0 || reply.status >= 500) {
                    print_error("%s %s: %d %s\n", method_text(route->method), path, reply.status,
                                reply.body != NULL ? reply.body : "");
                    fail();
                }
            }
        }
        if (round == 0) {
            client.site.fixed.now_ms += INT64_C(1000) * WEB_TRIES_S + 1;
            sign_in(&client, 1);
        }
    }
    client.session = NULL;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(too_much_is_refused_before_it_is_sent, begin, end),
        cmocka_unit_test_setup_teardown(half_a_request_harms_nobody, begin, end),
        cmocka_unit_test_setup_teardown(slow_ones_do_not_keep_others_waiting, begin, end),
        cmocka_unit_test_setup_teardown(every_route_bears_nonsense, begin, end),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
