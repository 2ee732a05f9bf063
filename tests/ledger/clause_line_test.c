/* The surroundings alone unmet: open actions, and the water that was used. */
#include "clause_world.h"

#include "base/random.h"
#include "ledger/finding.h"

static struct clause_world w;

static int set_up(void **state)
{
    world_open(&w);
    return 0;
}

static int tear_down(void **state)
{
    world_close(&w);
    return 0;
}

static void action_covers(const char *place, int64_t from_ms)
{
    int64_t entry = world_entry(&w, "environment");
    struct evidence_environment *a = EVIDENCE_ADD(&w.arena, &w.e, environment);
    *a = (struct evidence_environment){.id = 1, .place = place, .from_ms = from_ms, .entry = entry};
}

static size_t water_sample(const char *code, int64_t taken_ms, const char *state)
{
    int64_t entry = world_entry(&w, "sample");
    struct evidence_sample *s = EVIDENCE_ADD(&w.arena, &w.e, sample);
    *s = (struct evidence_sample){.id = 800,
                                  .lot = EVIDENCE_NO_LOT,
                                  .place = "WATER",
                                  .code = code,
                                  .location = "tap",
                                  .what = "water",
                                  .taken_ms = taken_ms,
                                  .entry = entry};
    size_t at = w.e.sample_count - 1;
    world_finding(&w, at, WATER_ORGANISM, state);
    return at;
}

static void unmet_water(enum code code, size_t lines)
{
    world_judge(&w);
    size_t found = 0;
    for (size_t i = 0; i < w.list.line_count; i++) {
        const struct clause_line *line = &w.list.lines[i];
        if (line->state == CLAUSE_UNMET) {
            assert_string_equal(line->clause, "water");
            found += line->reason.code == code ? 1 : 0;
        }
    }
    assert_int_equal(found, lines);
    assert_int_equal(w.list.unmet, lines);
}

static void environment_holds_what_was_made_there_since(void **state)
{
    action_covers("SORT", PACK_MS - HOURS(2) + 1); /* SORTED-1 was through by then */
    world_judge(&w);
    assert_int_equal(w.list.unmet, 2);
    for (size_t i = 0; i < w.list.line_count; i++) {
        const struct clause_line *line = &w.list.lines[i];
        bool held =
            strcmp(line->clause, "environment") == 0 &&
            (strcmp(line->lot_code, "SORTED-2") == 0 || strcmp(line->lot_code, "SORTED-3") == 0);
        assert_int_equal(line->state, held ? CLAUSE_UNMET : CLAUSE_MET);
    }
}

static void environment_of_a_room_covers_what_stands_in_it(void **state)
{
    action_covers("HALL", PACK_MS + MINUTES(10));
    world_only_unmet(&w, "environment", "P-1", NULL, CODE_CLAUSE_ENVIRONMENT_HOLD);
}

static void environment_elsewhere_or_earlier_holds_nothing(void **state)
{
    action_covers("WATER", BEGIN_MS);
    action_covers("SORT", PACK_MS + HOURS(1));
    world_all_met(&w);
}

static void water_never_tested(void **state)
{
    w.e.samples[BATCHES * 5].place = "ELSEWHERE";
    unmet_water(CODE_CLAUSE_WATER_MISSING, 6); /* three batches and what was washed of each */
}

static void water_tested_too_long_before(void **state)
{
    w.e.samples[BATCHES * 5].taken_ms = PACK_MS - HOURS(31 * 24); /* in time for the watering */
    unmet_water(CODE_CLAUSE_WATER_OLD, 0);
    w.e.samples[BATCHES * 5].taken_ms = PACK_MS - HOURS(31 * 24 + 2); /* not for the last wash */
    unmet_water(CODE_CLAUSE_WATER_OLD, 1);
}

static void water_positive_before_the_last_good_result_is_over(void **state)
{
    water_sample("S-W0", BEGIN_MS - HOURS(48), "confirmed-positive");
    world_all_met(&w);
}

static void water_positive_since_the_last_good_result(void **state)
{
    water_sample("S-W2", BEGIN_MS + HOURS(8 * 24),
                 "confirmed-positive");          /* after the last watering */
    unmet_water(CODE_CLAUSE_RESULT_POSITIVE, 3); /* the three washed lots */
}

static void water_positive_while_it_was_used(void **state)
{
    water_sample("S-W2", BEGIN_MS + HOURS(3 * 24), "confirmed-positive");
    water_sample("S-W3", BEGIN_MS + HOURS(3 * 24 + 1), "negative"); /* does not cancel it */
    unmet_water(CODE_CLAUSE_WATER_POSITIVE, 3);                     /* the three batches */
}

static void water_presumptive_is_not_negative(void **state)
{
    size_t s = water_sample("S-W2", BEGIN_MS, "presumptive");
    unmet_water(CODE_CLAUSE_RESULT_OPEN, 6);
    world_finding(&w, s, WATER_ORGANISM, "negative");
    unmet_water(CODE_CLAUSE_RESULT_OPEN, 6);
}

static void water_result_pending_leaves_the_last_one(void **state)
{
    water_sample("S-W2", BEGIN_MS, "pending");
    world_all_met(&w);
    w.e.samples[BATCHES * 5].place = "ELSEWHERE";
    unmet_water(CODE_CLAUSE_WATER_MISSING, 6);
}

/* The first moment at which anything of the lot met water. */
static int64_t first_use(void)
{
    int64_t first_ms = INT64_MAX;
    for (size_t i = 0; i < w.e.watering_count; i++) {
        first_ms = w.e.waterings[i].at_ms < first_ms ? w.e.waterings[i].at_ms : first_ms;
    }
    for (size_t i = 0; i < w.e.contact_count; i++) {
        first_ms = w.e.contacts[i].start_ms < first_ms ? w.e.contacts[i].start_ms : first_ms;
    }
    return first_ms;
}

/* What evidence_lab.c leaves out: all before the newest settled sample at the first use. Its place
 * is taken by a system that nobody used. */
static size_t forget_older(void)
{
    int64_t first_ms = first_use();
    size_t newest = SIZE_MAX, forgotten = 0;
    for (size_t i = 0; i < w.e.sample_count; i++) {
        const struct evidence_sample *s = &w.e.samples[i];
        bool counts = s->place != NULL && strcmp(s->what, "water") == 0 &&
                      s->taken_ms <= first_ms && water_settled(&w.e, i);
        newest = counts && (newest == SIZE_MAX || s->taken_ms >= w.e.samples[newest].taken_ms)
                     ? i
                     : newest;
    }
    for (size_t i = 0; newest != SIZE_MAX && i < w.e.sample_count; i++) {
        struct evidence_sample *s = &w.e.samples[i];
        if (s->place != NULL && strcmp(s->what, "water") == 0 &&
            (s->taken_ms < w.e.samples[newest].taken_ms ||
             (s->taken_ms == w.e.samples[newest].taken_ms && i < newest))) {
            s->place = "ELSEWHERE";
            forgotten++;
        }
    }
    return forgotten;
}

static const char *judged_text(void)
{
    world_judge(&w);
    json_t *lines = clauses_json(&w.list);
    const char *text = json_canonical(&w.arena, lines);
    json_decref(lines);
    return text;
}

/* Whatever was found before it, the newest settled sample at the first use speaks for the water. */
static void older_water_samples_change_nothing(void **state)
{
    static const char *const states[] = {"negative",           "pending", "confirmed-positive",
                                         "confirmed-negative", "invalid", "presumptive"};
    static char codes[12][8];
    struct random chance;
    size_t forgotten = 0;
    random_seed(&chance, 7);
    for (int round = 0; round < 60; round++) {
        world_close(&w);
        world_open(&w);
        for (size_t i = 0; i < 12; i++) { /* from a month before to the end, hours may be equal */
            snprintf(codes[i], sizeof codes[i], "S-%zu", i);
            water_sample(codes[i], BEGIN_MS + HOURS(12) * ((int64_t)random_below(&chance, 80) - 64),
                         states[random_below(&chance, 6)]);
        }
        const char *all = judged_text();
        forgotten += forget_older();
        assert_string_equal(judged_text(), all);
    }
    assert_true(forgotten > 60);
}

static void water_of_an_unknown_source(void **state)
{
    for (size_t i = 0; i < w.e.watering_count; i++) {
        if (w.e.waterings[i].lot == world_lot(&w, "G-2")) {
            w.e.waterings[i].source = "WELL";
        }
    }
    world_only_unmet(&w, "water", "G-2", NULL, CODE_CLAUSE_WATER_SOURCE);
}

static void second_system(void)
{
    struct evidence_place *p = EVIDENCE_ADD(&w.arena, &w.e, place);
    *p = (struct evidence_place){.code = "WELL", .kind = "water-system", .class_ = ""};
}

static struct evidence_watering *washed_with(const char *lot, const char *source)
{
    const struct evidence_contact *k = world_contact(&w, lot, "WASH");
    struct evidence_watering *added = EVIDENCE_ADD(&w.arena, &w.e, watering);
    *added = (struct evidence_watering){.lot = world_lot(&w, lot),
                                        .source = source,
                                        .at_ms = k->from_ms,
                                        .to_ms = k->to_ms,
                                        .entry = k->entry};
    return added;
}

/* The well was never tested. What names none may have met it; what grows names its own. */
static void water_that_no_step_names_is_of_every_system(void **state)
{
    second_system();
    unmet_water(CODE_CLAUSE_WATER_MISSING, 3); /* what was washed of the three batches */
    washed_with("WASHED-1", "WATER");
    washed_with("WASHED-2", "WATER");
    unmet_water(CODE_CLAUSE_WATER_MISSING, 1);
    washed_with("WASHED-3", "WATER");
    world_all_met(&w);
}

static void water_that_one_of_its_steps_does_not_name_is_of_every_system(void **state)
{
    second_system();
    for (int n = 1; n <= 3; n++) {
        washed_with(arena_printf(&w.arena, "WASHED-%d", n), "WATER");
    }
    struct evidence_contact again = *world_contact(&w, "WASHED-2", "WASH");
    again.entry = world_entry(&w, "cool");
    again.act = "pass";
    again.made = false;
    struct evidence_contact *k = EVIDENCE_ADD(&w.arena, &w.e, contact);
    *k = again;
    unmet_water(CODE_CLAUSE_WATER_MISSING, 1);
    assert_string_equal(clauses_first_unmet(&w.list)->lot_code, "WASHED-2");
    assert_string_equal(clauses_first_unmet(&w.list)->place, "WELL");
    struct evidence_watering *named = washed_with("WASHED-2", "WATER");
    named->entry = again.entry;
    world_all_met(&w);
    named->source = "WELL"; /* then it is the well's that must be good */
    unmet_water(CODE_CLAUSE_WATER_MISSING, 1);
}

static void water_counts_for_all_of_the_step_that_names_it(void **state)
{
    second_system();
    for (int n = 1; n <= 3; n++) {
        washed_with(arena_printf(&w.arena, "WASHED-%d", n), "WATER");
    }
    const struct evidence_contact *k = world_contact(&w, "WASHED-3", "WASH");
    size_t s = water_sample("S-W2", k->to_ms, "negative");
    world_all_met(&w);
    world_first_finding(&w, s, WATER_ORGANISM)->state = "confirmed-positive";
    unmet_water(CODE_CLAUSE_WATER_POSITIVE, 1);
    w.e.samples[s].taken_ms = k->to_ms + 1;
    world_judge(&w);
    assert_null(clauses_first_unmet(&w.list));
}

static void water_typed_by_hand_is_read_twice(void **state)
{
    world_first_finding(&w, BATCHES * 5, WATER_ORGANISM)->by_hand = true;
    unmet_water(CODE_CLAUSE_RESULT_SECOND, 6);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(environment_holds_what_was_made_there_since),
        T(environment_of_a_room_covers_what_stands_in_it),
        T(environment_elsewhere_or_earlier_holds_nothing),
        T(water_never_tested),
        T(water_tested_too_long_before),
        T(water_positive_before_the_last_good_result_is_over),
        T(water_positive_since_the_last_good_result),
        T(water_positive_while_it_was_used),
        T(water_presumptive_is_not_negative),
        T(water_result_pending_leaves_the_last_one),
        T(older_water_samples_change_nothing),
        T(water_of_an_unknown_source),
        T(water_that_no_step_names_is_of_every_system),
        T(water_that_one_of_its_steps_does_not_name_is_of_every_system),
        T(water_counts_for_all_of_the_step_that_names_it),
        T(water_typed_by_hand_is_read_twice),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
