#include "client.h"

#include <sys/socket.h>

#include "web/limits.h"

static struct client client;

static int begin(void **state)
{
    if (folder_enter(state) != 0) {
        return 1;
    }
    client_open(&client);
    return 0;
}

static int end(void **state)
{
    client_close(&client);
    return folder_leave(state);
}

static int listen_to(const char *last)
{
    const char *ask = arena_printf(&client.site.arena,
                                   "GET /api/v1/events HTTP/1.1\r\nHost: 127.0.0.1\r\nCookie: "
                                   "plumule_session=%s\r\n%s%s%s\r\n",
                                   client.session, last != NULL ? "Last-Event-ID: " : "",
                                   last != NULL ? last : "", last != NULL ? "\r\n" : "");
    int fd = connect_to(client.port);
    assert_int_equal(send(fd, ask, strlen(ask), MSG_NOSIGNAL), (ssize_t)strlen(ask));
    return fd;
}

/* Reads until the text came; what came. */
static const char *hear(int fd, const char *wanted)
{
    char text[8192];
    size_t len = 0;
    ssize_t n;
    text[0] = '\0';
    while (strstr(text, wanted) == NULL && len < sizeof text - 1 &&
           (n = recv(fd, text + len, sizeof text - 1 - len, 0)) > 0) {
        len += (size_t)n;
        text[len] = '\0';
    }
    if (strstr(text, wanted) == NULL) {
        print_error("never heard %s in %s\n", wanted, text);
        fail();
    }
    return arena_copy(&client.site.arena, text);
}

static void tell_place(const char *code, const char *uuid)
{
    struct reply r =
        post_to(&client, "/api/v1/entries",
                arena_printf(&client.site.arena,
                             "{'kind':'place','uuid':'00000000-0000-4000-8000-0000000000%s',"
                             "'person':1,'code':'%s','place_kind':'store'}",
                             uuid, code));
    assert_status(r, 200);
}

static void a_page_hears_of_what_is_told(void **state)
{
    (void)state;
    sign_in(&client, 1);
    int fd = listen_to(NULL);
    const char *head = hear(fd, "\"size\":4}");
    assert_non_null(strstr(head, "Content-Type: text/event-stream"));
    assert_non_null(strstr(head, "event: size"));
    tell_place("A", "a1");
    hear(fd, "data: {\"kinds\":[\"place\"],\"size\":5}");
    close(fd);
}

static void who_fell_behind_hears_what_was_missed(void **state)
{
    (void)state;
    sign_in(&client, 1);
    tell_place("A", "a1");
    int fd = listen_to("2");
    hear(fd, "data: {\"kinds\":[\"person\",\"place\"],\"size\":5}");
    close(fd);
}

static void one_session_has_so_many_ears(void **state)
{
    (void)state;
    int fds[WEB_LISTENERS_PER_SESSION + 1];
    sign_in(&client, 1);
    for (int i = 0; i <= WEB_LISTENERS_PER_SESSION; i++) {
        fds[i] = listen_to(NULL);
        hear(fds[i], "\"size\":4}");
    }
    hear(fds[0], "0\r\n\r\n"); /* the oldest ends: the last chunk */
    tell_place("A", "a1");
    for (int i = 1; i <= WEB_LISTENERS_PER_SESSION; i++) {
        hear(fds[i], "\"size\":5}");
    }
    for (int i = 0; i <= WEB_LISTENERS_PER_SESSION; i++) {
        close(fds[i]);
    }
}

static void streams_end_with_the_server(void **state)
{
    (void)state;
    char byte;
    ssize_t n;
    sign_in(&client, 1);
    int fd = listen_to(NULL);
    hear(fd, "\"size\":4}");
    web_stop(client.web);
    while ((n = recv(fd, &byte, 1, 0)) > 0) {
    }
    assert_int_equal(n, 0);
    close(fd);
    assert_ok(web_start(client.serving, &(struct web_options){.port = 0}, &client.web));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_page_hears_of_what_is_told, begin, end),
        cmocka_unit_test_setup_teardown(who_fell_behind_hears_what_was_missed, begin, end),
        cmocka_unit_test_setup_teardown(one_session_has_so_many_ears, begin, end),
        cmocka_unit_test_setup_teardown(streams_end_with_the_server, begin, end),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
