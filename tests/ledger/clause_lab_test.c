/* Sampled and negative: number, places, volume and age by market, and what a negative takes. */
#include "clause_world.h"

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

/* Samples 0-4 are of G-1, 5-9 of G-2, 10-14 of G-3, drawn 49 h after the first wetting. */
static struct evidence_sample *sample(size_t n)
{
    return &w.e.samples[n];
}

static void drop_sample(size_t n)
{
    sample(n)->lot = EVIDENCE_NO_LOT;
    sample(n)->place = "ELSEWHERE";
}

/* Regulation (EC) 2073/2005, Annex I chapter 3: five samples of 200 mL (from memory). */
static void eu_wants_five_samples(void **state)
{
    drop_sample(7);
    world_only_unmet(&w, "sampled", "G-2", "EU", CODE_CLAUSE_SAMPLE_FEW);
    assert_string_equal(clauses_first_unmet(&w.list)->reason.value[1], "4 of 5");
    w.markets = "US";
    world_all_met(&w);
}

static void us_wants_a_litre(void **state)
{
    for (size_t i = 0; i < 5; i++) {
        sample(i)->volume_ml = 999;
    }
    world_only_unmet(&w, "sampled", "G-1", "US", CODE_CLAUSE_SAMPLE_FEW);
    w.markets = "EU"; /* 200 mL each */
    world_all_met(&w);
}

static void both_markets_have_to_be_met(void **state)
{
    for (size_t i = 0; i < 5; i++) {
        sample(i)->volume_ml = 199;
    }
    world_judge(&w);
    assert_int_equal(w.list.unmet, 2);
    sample(0)->volume_ml = 1000;
    world_only_unmet(&w, "sampled", "G-1", "EU", CODE_CLAUSE_SAMPLE_FEW);
}

static void every_planned_location_has_one(void **state)
{
    w.markets = "house"; /* drain and drain-2 */
    world_judge(&w);
    assert_int_equal(w.list.unmet, BATCHES);
    assert_int_equal(clauses_first_unmet(&w.list)->reason.code, CODE_CLAUSE_SAMPLE_LOCATION);
    for (size_t i = 0; i < 15; i += 5) {
        sample(i)->location = "drain-2";
    }
    world_all_met(&w);
}

static void another_kind_of_sample_does_not_count(void **state)
{
    sample(3)->what = "sprouts";
    world_only_unmet(&w, "sampled", "G-1", "EU", CODE_CLAUSE_SAMPLE_FEW);
}

/* At least 48 h after the start of sprouting: Regulation (EC) 2073/2005, Annex I chapter 3 (from
 * memory), and by an example plan in line with US guidance (published (seen)). */
static void samples_must_be_48_hours_old(void **state)
{
    int64_t wet_ms = w.e.lots[world_lot(&w, "G-3")].wet_ms;
    sample(12)->taken_ms = wet_ms + HOURS(48);
    world_all_met(&w);
    sample(12)->taken_ms = wet_ms + HOURS(48) - 1;
    world_only_unmet(&w, "sampled", "G-3", "EU", CODE_CLAUSE_SAMPLE_YOUNG);
    const struct result *r = &clauses_first_unmet(&w.list)->reason;
    assert_string_equal(r->value[0], "S-3-3");
    assert_string_equal(r->value[1], "47 h 59 min");
    /* the message names whose rule it is */
    assert_non_null(strstr(r->value[2], "48 h (EU, Regulation (EC) 2073/2005"));
}

static void an_early_sample_beside_enough_others_is_no_harm(void **state)
{
    sample(12)->taken_ms -= HOURS(10);
    w.markets = "US"; /* one of the five is enough */
    world_all_met(&w);
}

static void young(size_t batch)
{
    for (size_t i = batch * 5; i < batch * 5 + 5; i++) {
        sample(i)->taken_ms -= HOURS(10);
    }
}

static struct evidence_waiver *waive(size_t n, const char *market, const char *role)
{
    int64_t entry = world_entry(&w, "waive-age");
    struct evidence_waiver *waiver = EVIDENCE_ADD(&w.arena, &w.e, waiver);
    *waiver = (struct evidence_waiver){.lot = sample(n)->lot,
                                       .sample = sample(n)->id,
                                       .market = market,
                                       .role = role,
                                       .reason = "drawn before a power cut",
                                       .entry = entry};
    return waiver;
}

static void a_soft_age_can_be_waived_by_a_role(void **state)
{
    w.markets = "US";
    young(0);
    world_only_unmet(&w, "sampled", "G-1", "US", CODE_CLAUSE_SAMPLE_YOUNG);
    struct evidence_waiver *waiver = waive(2, "US", "quality");
    world_all_met(&w);
    waiver->role = "grower";
    world_only_unmet(&w, "sampled", "G-1", "US", CODE_CLAUSE_SAMPLE_YOUNG);
    waiver->role = "manager";
    waiver->reason = "";
    world_only_unmet(&w, "sampled", "G-1", "US", CODE_CLAUSE_SAMPLE_YOUNG);
    waiver->reason = "drawn before a power cut";
    waiver->market = "house";
    world_only_unmet(&w, "sampled", "G-1", "US", CODE_CLAUSE_SAMPLE_YOUNG);
}

static void a_hard_age_can_not(void **state)
{
    w.markets = "EU";
    young(0);
    for (size_t i = 0; i < 5; i++) {
        waive(i, "EU", "quality");
    }
    world_only_unmet(&w, "sampled", "G-1", "EU", CODE_CLAUSE_SAMPLE_YOUNG);
}

static void without_a_start_samples_have_no_age(void **state)
{
    w.markets = "US";
    w.e.lots[world_lot(&w, "G-1")].wet_ms = 0;
    world_only_unmet(&w, "sampled", "G-1", "US", CODE_CLAUSE_SAMPLE_CLOCK);
}

static void without_markets_nothing_is_met(void **state)
{
    w.markets = "";
    world_judge(&w);
    assert_false(clause_holds(&w.list, "sampled"));
    assert_int_equal(clauses_first_unmet(&w.list)->reason.code, CODE_CLAUSE_MARKET_NONE);
    w.markets = "US,MOON";
    world_judge(&w);
    assert_false(clause_holds(&w.list, "sampled"));
    assert_int_equal(clauses_first_unmet(&w.list)->reason.code, CODE_CLAUSE_MARKET_UNKNOWN);
}

static void a_market_without_a_plan_is_not_met(void **state)
{
    w.markets = "US";
    for (size_t i = 0; i < w.profile->market_count; i++) {
        w.profile->markets[i].locations = "";
    }
    world_judge(&w);
    assert_int_equal(w.list.unmet, BATCHES);
    assert_int_equal(clauses_first_unmet(&w.list)->reason.code, CODE_CLAUSE_PLAN);
}

static void what_is_not_final_is_not_negative(void **state)
{
    static const char *const open[] = {"pending", "presumptive", "invalid", "not received"};
    w.markets = "US";
    struct evidence_finding *f = world_first_finding(&w, 4, "E. coli O157:H7");
    for (size_t i = 0; i < sizeof open / sizeof open[0]; i++) {
        f->state = open[i];
        world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_OPEN);
    }
    f->organism = "E. coli";
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_MISSING);
}

static void every_sample_has_every_organism_of_every_market(void **state)
{
    world_first_finding(&w, 14, "STEC O104:H4")->state = "pending";
    world_only_unmet(&w, "negative", "G-3", "EU", CODE_CLAUSE_RESULT_OPEN);
    w.markets = "US"; /* which does not ask for it */
    world_all_met(&w);
}

/* 21 CFR 112.144(b) (published (seen)) asks spent water for two organisms; Listeria is looked for
 * in the environment. */
static void the_us_set_does_not_ask_spent_water_for_listeria(void **state)
{
    const struct market *us = profile_market(w.profile, "US");
    assert_int_equal(us->organism_count, 2);
    for (size_t i = 0; i < us->organism_count; i++) {
        assert_null(strstr(us->organisms[i].organism, "Listeria"));
    }
    w.markets = "US";
    world_all_met(&w); /* no sample of this world was ever tested for it */
}

static void a_later_negative_never_cancels_a_positive(void **state)
{
    w.markets = "US";
    world_first_finding(&w, 4, "Salmonella spp.")->state = "confirmed-positive";
    world_finding(&w, 4, "Salmonella spp.", "negative");
    world_finding(&w, 4, "Salmonella spp.", "confirmed-negative");
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_POSITIVE);
}

static void a_positive_that_nobody_asked_for_counts(void **state)
{
    w.markets = "US";
    world_finding(&w, 4, "Listeria monocytogenes", "confirmed-positive");
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_POSITIVE);
}

static void a_presumptive_is_cleared_by_a_confirming_method_only(void **state)
{
    w.markets = "US";
    struct evidence_finding *f = world_first_finding(&w, 4, "Salmonella spp.");
    f->state = "presumptive";
    size_t last = w.e.finding_count;
    world_finding(&w, 4, "Salmonella spp.", "negative");
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_OPEN);
    w.e.findings[last].state = "confirmed-negative";
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_OPEN);
    for (size_t i = 0; i < w.profile->market_count; i++) {
        for (size_t k = 0; k < w.profile->markets[i].organism_count; k++) {
            w.profile->markets[i].organisms[k].confirms = "FDA-SSIW-2015";
        }
    }
    world_all_met(&w);
    w.e.findings[last].method = "equivalent-validated";
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_OPEN);
}

static void the_method_must_be_approved(void **state)
{
    w.markets = "US";
    world_first_finding(&w, 4, "Salmonella spp.")->method = "a quick strip";
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_METHOD);
}

static void a_method_of_one_market_is_not_one_of_another(void **state)
{
    world_first_finding(&w, 4, "Salmonella spp.")->method = "ISO 6579-1";
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_METHOD);
    w.markets = "EU";
    world_all_met(&w);
}

static void the_report_is_attached(void **state)
{
    w.markets = "US";
    world_first_finding(&w, 4, "Salmonella spp.")->report = false;
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_REPORT);
}

static void what_was_typed_is_read_by_a_second_person(void **state)
{
    w.markets = "US";
    struct evidence_finding *f = world_first_finding(&w, 4, "Salmonella spp.");
    f->by_hand = true;
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_SECOND);
    size_t second = w.e.finding_count;
    world_finding(&w, 4, "Salmonella spp.", "negative")->second_person = DOER;
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_SECOND);
    w.e.findings[second].second_person = REVIEWER;
    world_all_met(&w);
    w.e.findings[second].state = "pending"; /* what was read is not what was typed */
    world_only_unmet(&w, "negative", "G-1", "US", CODE_CLAUSE_RESULT_SECOND);
}

static void a_batch_without_samples_is_not_negative(void **state)
{
    w.markets = "US";
    for (size_t i = 5; i < 10; i++) {
        drop_sample(i);
    }
    world_judge(&w);
    assert_int_equal(w.list.unmet, 2); /* sampled, and negative */
    assert_false(clause_holds(&w.list, "negative"));
    assert_false(clause_holds(&w.list, "sampled"));
}

static void what_was_begun_for_a_pack_must_end_negative(void **state)
{
    w.markets = "US";
    struct evidence_sample *s = EVIDENCE_ADD(&w.arena, &w.e, sample);
    *s = (struct evidence_sample){.id = 900,
                                  .lot = 0,
                                  .code = "S-PACK",
                                  .location = "case",
                                  .what = "sprouts",
                                  .taken_ms = PACK_MS,
                                  .entry = 0};
    size_t at = w.e.sample_count - 1;
    world_all_met(&w);
    world_finding(&w, at, "Listeria monocytogenes", "pending");
    world_only_unmet(&w, "negative", "P-1", NULL, CODE_CLAUSE_RESULT_OPEN);
    world_finding(&w, at, "Listeria monocytogenes", "negative");
    world_all_met(&w);
    world_finding(&w, at, "Listeria monocytogenes", "confirmed-positive");
    world_only_unmet(&w, "negative", "P-1", NULL, CODE_CLAUSE_RESULT_POSITIVE);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(eu_wants_five_samples),
        T(us_wants_a_litre),
        T(both_markets_have_to_be_met),
        T(every_planned_location_has_one),
        T(another_kind_of_sample_does_not_count),
        T(samples_must_be_48_hours_old),
        T(an_early_sample_beside_enough_others_is_no_harm),
        T(a_soft_age_can_be_waived_by_a_role),
        T(a_hard_age_can_not),
        T(without_a_start_samples_have_no_age),
        T(without_markets_nothing_is_met),
        T(a_market_without_a_plan_is_not_met),
        T(what_is_not_final_is_not_negative),
        T(every_sample_has_every_organism_of_every_market),
        T(the_us_set_does_not_ask_spent_water_for_listeria),
        T(a_later_negative_never_cancels_a_positive),
        T(a_positive_that_nobody_asked_for_counts),
        T(a_presumptive_is_cleared_by_a_confirming_method_only),
        T(the_method_must_be_approved),
        T(a_method_of_one_market_is_not_one_of_another),
        T(the_report_is_attached),
        T(what_was_typed_is_read_by_a_second_person),
        T(a_batch_without_samples_is_not_negative),
        T(what_was_begun_for_a_pack_must_end_negative),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
