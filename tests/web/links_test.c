#include "../support.h"

#include <poll.h>
#include <sys/socket.h>

#include "web/links.h"

/* Whether the other end sees the stream end within so many ms. */
static bool ends(int fd, int wait_ms)
{
    struct pollfd p = {.fd = fd, .events = POLLIN};
    char byte;
    return poll(&p, 1, wait_ms) > 0 && recv(fd, &byte, 1, 0) == 0;
}

static void who_brings_or_takes_bytes_drop_by_drop_is_let_go(void **state)
{
    (void)state;
    struct links *l = links_start(1, 1);
    struct link *link[4];
    int pair[4][2];
    for (int i = 0; i < 4; i++) {
        assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, pair[i]), 0);
        link[i] = link_add(l, pair[i][0]);
    }
    link_set(l, link[1], LINK_ANSWERING);
    link_set(l, link[2], LINK_WORKING);
    link_set(l, link[3], LINK_STREAMING);
    assert_true(ends(pair[0][1], 5000));
    assert_true(ends(pair[1][1], 5000));
    assert_false(ends(pair[2][1], 1200));
    assert_false(ends(pair[3][1], 100));
    link_remove(l, link[1]); /* from the middle, the head and the tail */
    link_remove(l, link[3]);
    link_remove(l, link[0]);
    link_remove(l, link[2]);
    for (int i = 0; i < 4; i++) {
        close(pair[i][0]);
        close(pair[i][1]);
    }
    links_stop(l);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(who_brings_or_takes_bytes_drop_by_drop_is_let_go),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
