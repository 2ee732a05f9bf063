/* Files, the order book and the profile over HTTP. The first argument is the program that reads
 * files. Nobody serves the local socket here, so that files are only tried; taking one is a matter
 * of tests/service/import_run_test.c and of the browser tests. */
#include "client.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/socket.h>
#include <time.h>

#include "base/digest.h"

static struct client client;
static const char *program;

static int begin(void **state)
{
    if (folder_enter(state) != 0) {
        return 1;
    }
    client_open_with(&client, &(struct web_options){.program = program});
    return 0;
}

static int end(void **state)
{
    client_close(&client);
    return folder_leave(state);
}

static struct reply file_in(const char *kind, const char *source, const char *file)
{
    struct arena *a = &client.site.arena;
    return post_to(&client, arena_printf(a, "/api/v1/files/%s", kind),
                   arena_printf(a, "{'source':'%s','name':'a.csv','try':true,'bytes_b64':'%s'}",
                                source, base64_text(a, file, strlen(file))));
}

static void map_the_shop(void)
{
    sign_in(&client, 1);
    assert_status(
        post_to(&client, "/api/v1/entries",
                "{'kind':'mapping','uuid':'8a3c2f10-5f0e-4f62-9d0a-1f2b3c4d5e6f','person':1,"
                "'source':'shop','for':'orders','data':{'columns':{'customer':'Who','item':'What',"
                "'day':'Day','pieces':'Packs'},'delimiter':';'}}"),
        200);
}

static void a_file_is_tried_and_its_faults_have_a_place(void **state)
{
    (void)state;
    map_the_shop();
    struct reply r = file_in("orders", "shop", "Who;What;Day;Packs\nHILUM-7;M250;2026-03-09;400\n");
    assert_status(r, 200);
    assert_int_equal(number_in(r.json, "new"), 1);
    assert_true(json_is_false(json_object_get(r.json, "booked")));
    r = file_in("orders", "shop", "Who;What;Day;Packs\nHILUM-7;M250;2026-02-30;400\n");
    assert_problem(r, 422, "feed-date");
    assert_int_equal(number_in(r.json, "line"), 2);
    assert_int_equal(number_in(r.json, "column"), 14);
    assert_problem(file_in("orders", "nobody", "Who\n"), 404, "mapping-missing");
    assert_problem(file_in("moult", "shop", "Who\n"), 422, "field-choice");
    assert_problem(post_to(&client, "/api/v1/files/orders", "{'source':'shop','name':'a'}"), 422,
                   "field-missing");
    client.session = NULL;
    assert_problem(file_in("orders", "shop", "Who\n"), 401, "sign-in-needed");
}

/* A program that never ends, and says its number before. */
static int begin_slow(void **state)
{
    static const char slow[] =
        "#!/bin/sh\necho $$ > number.new && mv number.new number\nexec sleep 90\n";
    if (folder_enter(state) != 0) {
        return 1;
    }
    int fd = open("slow", O_WRONLY | O_CREAT, 0700);
    if (fd < 0 || write(fd, slow, sizeof slow - 1) != (ssize_t)sizeof slow - 1 || close(fd) != 0) {
        return 1;
    }
    client_open_with(&client, &(struct web_options){.program = "./slow"});
    return 0;
}

static bool comes_true(bool (*is)(pid_t), pid_t pid)
{
    const struct timespec tenth = {.tv_nsec = 100000000};
    for (int i = 0; i < 300 && !is(pid); i++) {
        nanosleep(&tenth, NULL);
    }
    return is(pid);
}

static bool has_begun(pid_t pid)
{
    (void)pid;
    return access("number", F_OK) == 0;
}

static bool has_ended(pid_t pid)
{
    return kill(pid, 0) != 0 && errno == ESRCH;
}

/* Far below the time that reading a file may take. */
static void who_goes_away_stops_the_reading(void **state)
{
    (void)state;
    struct arena *a = &client.site.arena;
    sign_in(&client, 1);
    const char *body = arena_printf(
        a, "{\"source\":\"shop\",\"name\":\"a.csv\",\"try\":true,\"bytes_b64\":\"%s\"}",
        base64_text(a, "Who\n", 4));
    const char *ask = arena_printf(a,
                                   "POST /api/v1/files/orders HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n"
                                   "Cookie: plumule_session=%s\r\nX-Plumule: 1\r\nContent-Type: "
                                   "application/json\r\nContent-Length: %zu\r\n\r\n%s",
                                   client.port, client.session, strlen(body), body);
    int fd = connect_to(client.port);
    assert_int_equal(send(fd, ask, strlen(ask), MSG_NOSIGNAL), strlen(ask));
    assert_true(comes_true(has_begun, 0));
    FILE *file = fopen("number", "r");
    int pid = 0;
    assert_non_null(file);
    assert_int_equal(fscanf(file, "%d", &pid), 1);
    fclose(file);
    assert_false(has_ended(pid));
    close(fd);
    assert_true(comes_true(has_ended, pid));
}

static void mappings_and_orders_are_listed(void **state)
{
    (void)state;
    map_the_shop();
    struct reply r = get(&client, "/api/v1/mappings");
    assert_status(r, 200);
    assert_string_equal(text_in(json_array_get(json_object_get(r.json, "mappings"), 0), "source"),
                        "shop");
    r = get(&client, "/api/v1/orders?from=2026-03-02&to=2026-03-09");
    assert_status(r, 200);
    assert_int_equal(json_array_size(json_object_get(r.json, "days")), 0);
    assert_problem(get(&client, "/api/v1/orders?from=2026-03-09&to=2026-03-02"), 422,
                   "field-range");
    assert_problem(get(&client, "/api/v1/orders/line?key=C1%2F4711"), 404, "order-unknown");
    assert_problem(get(&client, "/api/v1/orders/line"), 422, "field-missing");
}

static void the_profile_can_be_fetched_by_its_digest(void **state)
{
    (void)state;
    sign_in(&client, 2);
    struct reply limits = get(&client, "/api/v1/limits");
    struct reply r = get(&client, "/api/v1/profile.json");
    assert_status(r, 200);
    assert_non_null(strstr(header_in(&client, &r, "Content-Disposition"), "sprout-house.json"));
    struct hash digest = digest_sha256(r.body, r.body_len);
    assert_string_equal(hex_text(&client.site.arena, digest.b, sizeof digest.b),
                        text_in(json_object_get(limits.json, "profile"), "digest"));
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_file_is_tried_and_its_faults_have_a_place, begin, end),
        cmocka_unit_test_setup_teardown(who_goes_away_stops_the_reading, begin_slow, end),
        cmocka_unit_test_setup_teardown(mappings_and_orders_are_listed, begin, end),
        cmocka_unit_test_setup_teardown(the_profile_can_be_fetched_by_its_digest, begin, end),
    };
    assert_int_equal(argc, 2);
    program = argv[1];
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
