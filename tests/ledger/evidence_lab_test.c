/* Evidence of seed, treatment and laboratory as rows become it. */
#include "fixture/evidence.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static struct evidence collect(const char *lot)
{
    struct evidence e;
    assert_ok(evidence_collect(h.store, &h.arena, house_lot(&h, lot), &e));
    return e;
}

static void seed_states_of_the_delivery_and_of_its_supplier_lot(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    struct evidence e = collect(b.growing);
    assert_int_equal(e.seed_state_count, 2);
    assert_string_equal(e.seed_states[0].state, "received");
    assert_string_equal(e.seed_states[1].state, "approved");
    assert_string_equal(e.seed_states[1].markets, "EU,US,house");
    house_result(&h, b.sample, "Salmonella spp.", "confirmed-positive");
    e = collect(b.growing);
    size_t own = 0, of_supplier = 0;
    for (size_t i = 0; i < e.seed_state_count; i++) {
        const struct evidence_seed_state *s = &e.seed_states[i];
        own += strcmp(s->state, "blocked") == 0 && !s->of_supplier_lot &&
                       strcmp(e.lots[s->lot].kind, "seed") == 0
                   ? 1
                   : 0;
        of_supplier += strcmp(s->state, "blocked") == 0 && s->of_supplier_lot ? 1 : 0;
    }
    assert_int_equal(own, 1);
    assert_int_equal(of_supplier, 1);
}

static void a_treatment_with_the_papers_it_named(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    struct evidence e = collect(growing);
    assert_int_equal(e.treatment_count, 1);
    const struct evidence_treatment *t = &e.treatments[0];
    assert_string_equal(t->way, "recipe");
    assert_string_equal(t->recipe, "hot-water-85");
    assert_true(t->met);
    assert_string_equal(t->papers, "validation");
    assert_false(t->constants_signed);
    assert_string_equal(e.lots[t->lot].kind, "load");
}

static void samples_with_their_findings(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    struct evidence e = collect(b.growing);
    assert_int_equal(e.sample_count, 2); /* of the batch, and of the water */
    assert_string_equal(e.samples[0].code, b.sample);
    assert_string_equal(e.lots[e.samples[0].lot].code, b.growing);
    assert_int_equal(e.samples[0].volume_ml, 1000);
    assert_null(e.samples[0].place);
    assert_string_equal(e.samples[1].place, "WATER");
    assert_int_equal(e.samples[1].lot, EVIDENCE_NO_LOT);
    assert_int_equal(e.finding_count, 3);
    for (size_t i = 0; i < 3; i++) {
        assert_string_equal(e.findings[i].state, "negative");
        assert_true(e.findings[i].report);
        assert_false(e.findings[i].by_hand);
        assert_int_equal(e.findings[i].person, 2);
    }
}

static void water_sample(const char *state)
{
    house_take(&h, "{'kind':'sample','what':'water','place':'WATER','volume':'100 mL'}");
    if (state != NULL) {
        house_result(&h, house_answer(&h, "sample"), "generic E. coli", state);
    }
    house_wait(&h, "1 h");
}

/* Of the water what the first use found, and all that came later: each in ledger order, with its
 * own findings. */
static void water_samples_from_the_state_at_the_first_use_on(void **state)
{
    static const char *const stood[] = {"negative", "", "invalid", "presumptive"};
    water_sample("confirmed-positive");
    water_sample("negative"); /* the state at the first use */
    water_sample(NULL);       /* what has no result hides nothing */
    water_sample("invalid");
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "1 h");
    water_sample("presumptive");
    struct evidence e = collect(growing);
    size_t water = 0;
    int64_t last_ms = 0;
    for (size_t i = 0; i < e.sample_count; i++) {
        const struct evidence_sample *s = &e.samples[i];
        const char *found = "";
        assert_string_equal(s->place, "WATER");
        assert_true(s->taken_ms > last_ms);
        last_ms = s->taken_ms;
        for (size_t k = 0; k < e.finding_count; k++) {
            found = e.findings[k].sample == i ? e.findings[k].state : found;
        }
        assert_true(water < 4);
        assert_string_equal(found, stood[water++]);
    }
    assert_int_equal(water, 4);
    assert_int_equal(e.finding_count, 3);
}

static void one_sample_by_itself(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    struct evidence all = collect(b.growing), e;
    assert_ok(evidence_of_sample(h.store, &h.arena, all.samples[0].id, b.sample, &e));
    assert_int_equal(e.sample_count, 1);
    assert_int_equal(e.finding_count, 2);
    assert_memory_equal(e.findings[0].report_sha256.b, all.findings[0].report_sha256.b, 32);
}

static void waterings_and_waivers(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(&h,
               "{'kind':'waive-age','sample':'%s','market':'US','person':2,'reason':'power cut'}",
               b.sample);
    struct evidence e = collect(b.growing);
    assert_int_equal(e.watering_count, 1);
    assert_string_equal(e.waterings[0].source, "WATER");
    assert_int_equal(e.waiver_count, 1);
    assert_int_equal(e.waivers[0].sample, e.samples[0].id);
    assert_string_equal(e.waivers[0].market, "US");
    assert_string_equal(e.waivers[0].role, "quality");
    assert_string_equal(e.waivers[0].reason, "power cut");
}

/* Of two water systems one was never tested: what was washed is released with the other named. */
static void a_wash_that_names_its_water_needs_no_other(void **state)
{
    house_take(&h, "{'kind':'place','code':'WELL','place_kind':'water-system'}");
    struct house_batch b = house_batch(&h, "C1", true);
    const struct clause_line *line = house_unmet(&h, b.packed, "US");
    assert_non_null(line);
    assert_string_equal(line->clause, "water");
    assert_string_equal(line->place, "WELL");
    struct entry wash = house_entry(&h, "wash");
    const char *harvested = house_in_body(&h, &wash, "\"inputs\"", "lot"),
               *washed = house_in_body(&h, &wash, "\"lots\"", "lot");
    house_take(
        &h,
        "{'kind':'strike','person':2,'entry':%lld,'reason':'its water was not told','replace'"
        ":{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','at':'%s','reason':'told anew',"
        "'water':'WATER','outputs':[{'role':'main','lot':'%s','mass':'750 kg'},{'role':"
        "'hulls','mass':'50 kg'}]}}",
        (long long)wash.seq, harvested, civil_text(&h.arena, wash.happened_ms, 0), washed);
    struct evidence e = collect(washed);
    const struct evidence_watering *last = &e.waterings[e.watering_count - 1];
    for (size_t i = 0; i < e.watering_count; i++) {
        last = e.lots[e.waterings[i].lot].id == house_lot(&h, washed) ? &e.waterings[i] : last;
    }
    assert_string_equal(last->source, "WATER");
    assert_int_equal(last->at_ms, wash.happened_ms);
    assert_int_equal(last->to_ms, wash.happened_ms);
    house_review_all(&h);
    assert_null(house_unmet(&h, b.packed, "US"));
}

static void only_positive_swabs_come_in(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    static const char *const states[] = {"negative", "presumptive", "confirmed-positive"};
    for (size_t i = 0; i < 3; i++) {
        house_take(&h, "{'kind':'sample','what':'swab','place':'PACK'}");
        house_result(&h, house_answer(&h, "sample"), "Listeria spp.", states[i]);
    }
    struct evidence e = collect(growing);
    assert_int_equal(e.sample_count, 1);
    assert_string_equal(e.samples[0].what, "swab");
    assert_string_equal(e.samples[0].place, "PACK");
    assert_string_equal(e.findings[0].state, "confirmed-positive");
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(seed_states_of_the_delivery_and_of_its_supplier_lot),
        T(a_treatment_with_the_papers_it_named),
        T(samples_with_their_findings),
        T(one_sample_by_itself),
        T(water_samples_from_the_state_at_the_first_use_on),
        T(waterings_and_waivers),
        T(a_wash_that_names_its_water_needs_no_other),
        T(only_positive_swabs_come_in),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
