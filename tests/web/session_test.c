#include "../support.h"

#include "web/limits.h"
#include "web/session.h"

static struct world_fixed fixed;
static struct arena arena;
static struct sessions *sessions;

static int begin(void **state)
{
    (void)state;
    fixed = (struct world_fixed){.now_ms = 1000000, .state = 7};
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    sessions = sessions_new(world_fixed(&fixed));
    return 0;
}

static int end(void **state)
{
    (void)state;
    sessions_free(sessions);
    arena_release(&arena);
    return 0;
}

static const char *open_for(int64_t person, const char *station)
{
    struct sitting who = {.person = person, .how = "password", .idle_s = 60};
    snprintf(who.station, sizeof who.station, "%s", station);
    return session_open(sessions, &arena, &who);
}

static bool is_open(const char *token)
{
    struct sitting who;
    return session_find(sessions, token, false, &who);
}

static void a_session_is_known_by_its_token_alone(void **state)
{
    (void)state;
    struct sitting who;
    const char *one = open_for(1, ""), *two = open_for(2, "HALL");
    assert_string_not_equal(one, two);
    assert_int_equal(strlen(one), 43); /* 32 bytes in base64url without padding (computed here) */
    assert_true(session_find(sessions, two, false, &who));
    assert_int_equal(who.person, 2);
    assert_string_equal(who.station, "HALL");
    assert_false(is_open(NULL));
    assert_false(is_open(""));
    assert_false(is_open("none"));
    session_close(sessions, one);
    assert_false(is_open(one));
    session_close(sessions, NULL);
    assert_true(is_open(two));
}

static void it_ends_unused_and_at_the_latest_after_a_shift(void **state)
{
    (void)state;
    struct sitting who;
    const char *token = open_for(1, "");
    fixed.now_ms += 60000;
    assert_true(session_find(sessions, token, true, &who)); /* quiet: no use */
    fixed.now_ms += 1;
    assert_false(is_open(token));
    token = open_for(1, "");
    for (int64_t past = 0; past < WEB_SESSION_S; past += 60) {
        assert_true(is_open(token));
        fixed.now_ms += 60000;
    }
    fixed.now_ms += 1;
    assert_false(is_open(token));
}

static void all_of_a_person_or_station_end_together(void **state)
{
    (void)state;
    const char *a = open_for(1, ""), *b = open_for(1, "HALL"), *c = open_for(2, "HALL");
    session_close_all(sessions, 1, NULL);
    assert_false(is_open(a));
    assert_false(is_open(b));
    assert_true(is_open(c));
    session_close_all(sessions, 0, "OTHER");
    assert_true(is_open(c));
    session_close_all(sessions, 0, "HALL");
    assert_false(is_open(c));
}

static void the_one_unused_for_longest_makes_room(void **state)
{
    (void)state;
    const char *first = open_for(1, "");
    fixed.now_ms += 10;
    const char *second = open_for(2, "");
    fixed.now_ms += 10;
    for (int i = 2; i < WEB_SESSIONS_MAX; i++) {
        open_for(3, "");
    }
    assert_true(is_open(first)); /* used now: the second is the oldest */
    open_for(4, "");
    assert_true(is_open(first));
    assert_false(is_open(second));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_session_is_known_by_its_token_alone, begin, end),
        cmocka_unit_test_setup_teardown(it_ends_unused_and_at_the_latest_after_a_shift, begin, end),
        cmocka_unit_test_setup_teardown(all_of_a_person_or_station_end_together, begin, end),
        cmocka_unit_test_setup_teardown(the_one_unused_for_longest_makes_room, begin, end),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
