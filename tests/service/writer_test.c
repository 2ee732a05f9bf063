#include "fixture.h"

#include <pthread.h>
#include <signal.h>
#include <sys/stat.h>

#include "base/file.h"
#include "service/witness.h"

enum { THREADS = 16, EACH = 12, GROUP_MAX = 8 };

struct group {
    json_t *requests[GROUP_MAX];
    struct result results[GROUP_MAX];
    json_t *answers[GROUP_MAX];
    size_t count;
};

static void group_run(struct plant *plant, struct group *g)
{
    group_take(plant, (const json_t *const *)g->requests, g->count, g->results, g->answers);
}

static void group_release(struct group *g)
{
    for (size_t i = 0; i < g->count; i++) {
        json_decref(g->requests[i]);
        json_decref(g->answers[i]);
    }
}

static struct plant *open_bare(struct site *s)
{
    struct plant *plant;
    site_open(s);
    site_bare(s);
    assert_ok(plant_open_write(PLANT, s->world, &plant));
    return plant;
}

static json_t *place(struct site *s, const char *code)
{
    return take_of(s, "{'kind':'place','code':'%s','place_kind':'store'}", code);
}

static void a_group_is_taken_in_order(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant = open_bare(&s);
    struct group g = {.requests = {place(&s, "A"), place(&s, "B"), place(&s, "C")}, .count = 3};
    group_run(plant, &g);
    for (size_t i = 0; i < 3; i++) {
        assert_ok(g.results[i]);
        assert_int_equal(number_in(g.answers[i], "entry"), (int64_t)i + 2);
    }
    plant_close(plant);
    assert_int_equal(entries_of(&s, PLANT), 4);
    group_release(&g);
    site_close(&s);
}

static void a_refused_one_does_not_disturb_its_group(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant = open_bare(&s);
    struct group g = {.requests = {place(&s, "A"), take_of(&s, "{'kind':'moult'}"),
                                   take_of(&s, "{'kind':'place','code':'B','place_kind':'moon'}"),
                                   json_of(&s, "{'do':'dance'}"), json_of(&s, "{}"),
                                   take_of(&s, "{'kind':'place','code':'B','person':9,"
                                               "'place_kind':'store'}"),
                                   place(&s, "C")},
                      .count = 7};
    group_run(plant, &g);
    assert_ok(g.results[0]);
    assert_code(g.results[1], KIND_UNKNOWN);
    assert_code(g.results[2], FIELD_CHOICE);
    assert_code(g.results[3], FIELD_CHOICE);
    assert_code(g.results[4], FIELD_MISSING);
    assert_code(g.results[5], PERSON_UNKNOWN);
    assert_ok(g.results[6]);
    for (size_t i = 1; i < 6; i++) {
        assert_null(g.answers[i]);
    }
    assert_int_equal(number_in(g.answers[6], "entry"), 3); /* a refusal uses up no number */
    plant_close(plant);
    assert_int_equal(entries_of(&s, PLANT), 3);
    assert_int_equal(places_named(&s, PLANT, "B"), 0);
    group_release(&g);
    site_close(&s);
}

/* The first command of the middle request is written before its second is refused. */
static void one_that_fails_half_way_is_left_out_alone(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant = open_bare(&s);
    json_t *half = json_of(&s, "{'do':'take-all','commands':[]}");
    json_t *good = place(&s, "B"), *bad = take_of(&s, "{'kind':'moult'}");
    json_array_append(json_object_get(half, "commands"), json_object_get(good, "command"));
    json_array_append(json_object_get(half, "commands"), json_object_get(bad, "command"));
    struct group g = {
        .requests = {place(&s, "A"), half, place(&s, "C"), json_incref(half), place(&s, "D")},
        .count = 5};
    group_run(plant, &g);
    assert_ok(g.results[0]);
    assert_code(g.results[1], KIND_UNKNOWN);
    assert_ok(g.results[2]);
    assert_code(g.results[3], KIND_UNKNOWN);
    assert_ok(g.results[4]);
    assert_null(g.answers[1]);
    assert_null(g.answers[3]);
    assert_int_equal(number_in(g.answers[0], "entry"), 2);
    assert_int_equal(number_in(g.answers[2], "entry"), 3);
    assert_int_equal(number_in(g.answers[4], "entry"), 4);
    plant_close(plant);
    assert_int_equal(entries_of(&s, PLANT), 4);
    assert_int_equal(places_named(&s, PLANT, "B"), 0);
    assert_int_equal(places_named(&s, PLANT, "D"), 1);
    json_decref(good);
    json_decref(bad);
    group_release(&g);
    site_close(&s);
}

static void take_all_is_all_in_order(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant = open_bare(&s);
    json_t *a = place(&s, "A"), *b = place(&s, "B");
    struct group g = {
        .requests = {json_pack("{s:s,s:[O,O,O]}", "do", "take-all", "commands",
                               json_object_get(a, "command"), json_object_get(b, "command"),
                               json_object_get(a, "command"))},
        .count = 1};
    group_run(plant, &g);
    assert_ok(g.results[0]);
    assert_int_equal(json_array_size(g.answers[0]), 3);
    assert_int_equal(number_in(json_array_get(g.answers[0], 0), "entry"), 2);
    assert_int_equal(number_in(json_array_get(g.answers[0], 1), "entry"), 3);
    assert_int_equal(number_in(json_array_get(g.answers[0], 2), "entry"), 2); /* the first again */
    plant_close(plant);
    assert_int_equal(entries_of(&s, PLANT), 3);
    json_decref(a);
    json_decref(b);
    group_release(&g);
    site_close(&s);
}

static void a_uuid_counts_once_within_a_group_too(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant = open_bare(&s);
    json_t *a = place(&s, "A");
    struct group g = {.requests = {a, json_incref(a), json_deep_copy(a)}, .count = 3};
    json_object_set_new(json_object_get(g.requests[2], "command"), "code", json_string("Z"));
    group_run(plant, &g);
    assert_ok(g.results[0]);
    assert_null(json_object_get(g.answers[0], "repeated"));
    assert_ok(g.results[1]);
    assert_true(json_is_true(json_object_get(g.answers[1], "repeated")));
    assert_int_equal(number_in(g.answers[1], "entry"), 2);
    assert_code(g.results[2], UUID_REUSED);
    plant_close(plant);
    assert_int_equal(entries_of(&s, PLANT), 2);
    group_release(&g);
    site_close(&s);
}

struct asker {
    struct writer *writer;
    json_t *requests[EACH];
    struct result results[EACH];
    json_t *answers[EACH];
};

static void *ask_each(void *argument)
{
    struct asker *a = argument;
    for (size_t i = 0; i < EACH; i++) {
        a->results[i] = writer_ask(a->writer, a->requests[i], &a->answers[i]);
    }
    return NULL;
}

/* Every third is refused, every fourth fails half way. */
static json_t *request_no(struct site *s, size_t thread, size_t i)
{
    const char *code = arena_printf(&s->arena, "T%zu-%zu", thread, i);
    if (i % 3 == 2) {
        return take_of(s, "{'kind':'moult'}");
    }
    if (i % 4 == 3) {
        json_t *half = json_of(s, "{'do':'take-all','commands':[]}");
        json_t *good = place(s, code), *list = json_object_get(half, "commands");
        json_array_append(list, json_object_get(good, "command"));
        json_array_append_new(list, json_of(s, "{'kind':'moult'}"));
        json_decref(good);
        return half;
    }
    return place(s, code);
}

static bool kept(size_t i)
{
    return i % 3 != 2 && i % 4 != 3;
}

static void check_answers(struct site *s, struct asker *askers, int64_t *out_kept)
{
    static bool seen[THREADS * EACH + 2];
    memset(seen, 0, sizeof seen);
    for (size_t t = 0; t < THREADS; t++) {
        int64_t last = 0;
        for (size_t i = 0; i < EACH; i++) {
            if (!kept(i)) {
                enum code wanted = i % 3 == 2 ? CODE_KIND_UNKNOWN : CODE_FIELD_MISSING;
                assert_int_equal(askers[t].results[i].code, wanted);
                continue;
            }
            assert_ok(askers[t].results[i]);
            int64_t entry = number_in(askers[t].answers[i], "entry");
            assert_true(entry > last && entry < (int64_t)sizeof seen);
            assert_false(seen[entry]);
            seen[entry] = true;
            last = entry;
            ++*out_kept;
            const char *code = arena_printf(&s->arena, "T%zu-%zu", t, i);
            assert_int_equal(places_named(s, PLANT, code), 1);
        }
    }
}

/* Those who were served last do not come back; who asks now is answered all the same. */
static void ask_alone(struct site *s, struct writer *writer, const char *code, int64_t entry)
{
    json_t *answer, *request = place(s, code);
    assert_ok(writer_ask(writer, request, &answer));
    assert_int_equal(number_in(answer, "entry"), entry);
    json_decref(answer);
    json_decref(request);
}

static void ask_all(struct asker *askers, struct writer *writer)
{
    pthread_t threads[THREADS];
    for (size_t t = 0; t < THREADS; t++) {
        askers[t].writer = writer;
        assert_int_equal(pthread_create(&threads[t], NULL, ask_each, &askers[t]), 0);
    }
    for (size_t t = 0; t < THREADS; t++) {
        pthread_join(threads[t], NULL);
    }
}

static void release_answers(struct asker *askers)
{
    for (size_t t = 0; t < THREADS; t++) {
        for (size_t i = 0; i < EACH; i++) {
            json_decref(askers[t].answers[i]);
            askers[t].answers[i] = NULL;
        }
    }
}

static void release_askers(struct asker *askers)
{
    release_answers(askers);
    for (size_t t = 0; t < THREADS; t++) {
        for (size_t i = 0; i < EACH; i++) {
            json_decref(askers[t].requests[i]);
        }
    }
}

static void many_threads_get_each_its_own_answer(void **state)
{
    (void)state;
    static struct asker askers[THREADS];
    struct site s;
    struct writer *writer;
    struct plant *plant = open_bare(&s);
    assert_ok(writer_start(plant, &writer));
    for (size_t t = 0; t < THREADS; t++) {
        for (size_t i = 0; i < EACH; i++) {
            askers[t].requests[i] = request_no(&s, t, i);
        }
    }
    ask_all(askers, writer);
    int64_t count = 0;
    check_answers(&s, askers, &count); /* while the writer still has it: answered means durable */
    assert_int_equal(entries_of(&s, PLANT), 1 + count);
    ask_alone(&s, writer, "X", count + 2);
    ask_alone(&s, writer, "Y", count + 3);
    writer_stop(writer);
    plant_close(plant);
    release_askers(askers);
    site_close(&s);
}

/* It stops as soon as the last of a crowd is answered, and the next writer finds all of them. */
static void a_writer_stops_right_behind_its_crowd(void **state)
{
    (void)state;
    enum { TIMES = 10 };
    static struct asker askers[THREADS];
    static int64_t entries[THREADS][EACH];
    struct site s;
    struct plant *plant = open_bare(&s);
    for (size_t t = 0; t < THREADS; t++) {
        for (size_t i = 0; i < EACH; i++) {
            askers[t].requests[i] = place(&s, arena_printf(&s.arena, "T%zu-%zu", t, i));
        }
    }
    for (int time = 0; time < TIMES; time++) {
        struct writer *writer;
        assert_ok(writer_start(plant, &writer));
        ask_all(askers, writer);
        writer_stop(writer);
        for (size_t t = 0; t < THREADS; t++) {
            for (size_t i = 0; i < EACH; i++) {
                assert_ok(askers[t].results[i]);
                int64_t entry = number_in(askers[t].answers[i], "entry");
                assert_true(time == 0 ? entry > 1 : entry == entries[t][i]);
                entries[t][i] = entry;
            }
        }
        release_answers(askers);
    }
    plant_close(plant);
    assert_int_equal(entries_of(&s, PLANT), 1 + THREADS * EACH);
    release_askers(askers);
    site_close(&s);
}

/* No more bytes in any file of this process than path has now, and a few pages. */
static void fill_the_disk(const char *path, rlim_t more)
{
    struct stat st;
    struct rlimit limit;
    assert_int_equal(stat(path, &st), 0);
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &limit), 0);
    limit.rlim_cur = (rlim_t)st.st_size + more;
    signal(SIGXFSZ, SIG_IGN); /* then a write fails with EFBIG */
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
}

static void make_room(void)
{
    struct rlimit limit;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &limit), 0);
    limit.rlim_cur = limit.rlim_max;
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
}

static void a_full_disk_keeps_nothing_of_the_group(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant = open_bare(&s);
    struct group g = {.requests = {place(&s, "A"), take_of(&s, "{'kind':'moult'}"), place(&s, "B"),
                                   json_of(&s, "{'do':'sign','why':'shift'}")},
                      .count = 4};
    struct group warm = {.requests = {place(&s, "W")}, .count = 1};
    group_run(plant, &warm);
    assert_ok(warm.results[0]);
    fill_the_disk("p/plant.db-wal", 0);
    group_run(plant, &g);
    assert_code(g.results[0], STORE_FULL);
    assert_code(g.results[2], STORE_FULL);
    assert_code(g.results[3], STORE_FULL);
    assert_code(g.results[1], KIND_UNKNOWN); /* a refusal stays what it was */
    for (size_t i = 0; i < 4; i++) {
        assert_null(g.answers[i]);
    }
    assert_int_equal(entries_of(&s, PLANT), 2);
    assert_false(file_exists("p/plant.heads")); /* nor was a head given out */
    group_run(plant, &g);
    assert_code(g.results[0], STORE_FULL); /* still full, still alive */
    make_room();
    group_run(plant, &g);
    assert_ok(g.results[0]);
    assert_null(json_object_get(g.answers[0], "repeated"));
    assert_int_equal(number_in(g.answers[0], "entry"), 3);
    assert_ok(g.results[2]);
    assert_ok(g.results[3]);
    assert_int_equal(number_in(g.answers[3], "size"), 4);
    plant_close(plant);
    assert_int_equal(entries_of(&s, PLANT), 4);
    group_release(&g);
    group_release(&warm);
    site_close(&s);
}

static void a_signed_head_is_kept_outside(void **state)
{
    (void)state;
    struct site s;
    json_t *heads;
    struct plant *plant = open_bare(&s);
    struct group g = {
        .requests = {place(&s, "A"), json_of(&s, "{'do':'sign','why':'shift'}"), place(&s, "B")},
        .count = 3};
    group_run(plant, &g);
    assert_ok(g.results[1]);
    assert_int_equal(number_in(g.answers[1], "size"), 2); /* the tree as it stood in its turn */
    assert_ok(witness_all(PLANT, &s.arena, &heads));
    assert_int_equal(json_array_size(heads), 1);
    assert_true(json_equal(json_array_get(heads, 0), g.answers[1]));
    json_decref(heads);
    plant_close(plant);
    group_release(&g);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_group_is_taken_in_order, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_refused_one_does_not_disturb_its_group, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(one_that_fails_half_way_is_left_out_alone, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(take_all_is_all_in_order, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_uuid_counts_once_within_a_group_too, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(many_threads_get_each_its_own_answer, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_writer_stops_right_behind_its_crowd, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_full_disk_keeps_nothing_of_the_group, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_signed_head_is_kept_outside, folder_enter, folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
