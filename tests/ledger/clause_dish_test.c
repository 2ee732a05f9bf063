/* The clauses of a packed dish of two crops, each alone unmet for one of its two inputs: batches 1
 * and 3 of the world are mung, batch 2 is black gram, washed and sorted on a line of its own.
 * Whatever one crop lacks keeps the dish back, and the line names that crop's lot. */
#include "clause_world.h"

static struct clause_world w;

/* The lots, contacts and uses of batch 2 become those of another crop. */
static void make_urd(void)
{
    static const char *const lots[] = {"SORTED-2", "WASHED-2", "HARVESTED-2",
                                       "G-2",      "LOAD-2",   "SEED-2"};
    for (size_t i = 0; i < sizeof lots / sizeof lots[0]; i++) {
        struct evidence_lot *lot = &w.e.lots[world_lot(&w, lots[i])];
        lot->item = i < 4 ? "URD" : "URDSEED";
        lot->family = "urd";
        for (size_t k = 0; k < w.e.contact_count; k++) {
            struct evidence_contact *c = &w.e.contacts[k];
            c->family = c->lot == world_lot(&w, lots[i]) ? "urd" : c->family;
        }
        for (size_t k = 0; k < w.e.use_count; k++) {
            struct evidence_use *u = &w.e.uses[k];
            u->family = u->lot == lot->id ? "urd" : u->family;
        }
    }
}

/* Its own line, clean and read as the other is. */
static void move_to(const char *lot, const char *from, const char *place, int64_t run)
{
    struct evidence_contact *c = world_contact(&w, lot, from);
    for (size_t k = 0; k < w.e.use_count; k++) {
        struct evidence_use *u = &w.e.uses[k];
        if (u->lot == w.e.lots[c->lot].id && strcmp(u->place, from) == 0) {
            u->place = place;
            u->run = run;
        }
    }
    c->place = place;
    c->run = run;
    struct evidence_place *p = EVIDENCE_ADD(&w.arena, &w.e, place);
    *p = (struct evidence_place){.code = place,
                                 .kind = strcmp(from, "WASH") == 0 ? "wash-line" : "sorter",
                                 .class_ = "",
                                 .parent = "HALL"};
    world_clean(&w, place, PACK_MS - HOURS(4) - MINUTES(10));
    struct evidence_run *r = EVIDENCE_ADD(&w.arena, &w.e, run);
    *r = (struct evidence_run){.id = run,
                               .place = place,
                               .code = place,
                               .family = "urd",
                               .allergens = "",
                               .start_ms = PACK_MS - HOURS(4),
                               .end_ms = PACK_MS + HOURS(2)};
}

static int set_up(void **state)
{
    world_open(&w);
    make_urd();
    move_to("WASHED-2", "WASH", "WASH-2", 11);
    move_to("SORTED-2", "SORT", "SORT-2", 12);
    world_water_reading(&w, PACK_MS - HOURS(3) - MINUTES(5), true)->place = "WASH-2";
    world_water_reading(&w, PACK_MS - MINUTES(5), true)->place = "WASH-2";
    return 0;
}

static int tear_down(void **state)
{
    world_close(&w);
    return 0;
}

/* One input of the dish, its lots by code, and the places that it alone was on. */
struct input {
    const char *seed, *load, *growing, *washed, *sorted, *chamber, *washer, *sorter;
    int64_t in_wash_ms; /* while no other lot was in that water */
    size_t first_sample;
};
static const struct input inputs[] = {
    {.seed = "SEED-3",
     .load = "LOAD-3",
     .growing = "G-3",
     .washed = "WASHED-3",
     .sorted = "SORTED-3",
     .chamber = "C-3",
     .washer = "WASH",
     .sorter = "SORT",
     .in_wash_ms = PACK_MS - HOURS(1) + MINUTES(1),
     .first_sample = 10},
    {.seed = "SEED-2",
     .load = "LOAD-2",
     .growing = "G-2",
     .washed = "WASHED-2",
     .sorted = "SORTED-2",
     .chamber = "C-2",
     .washer = "WASH-2",
     .sorter = "SORT-2",
     .in_wash_ms = PACK_MS - HOURS(2) + MINUTES(1),
     .first_sample = 5},
};
#define EACH_INPUT(x) \
    for (const struct input *x = inputs; x < inputs + sizeof inputs / sizeof inputs[0]; x++)

static void a_dish_with_everything_is_met(void **state)
{
    world_all_met(&w);
}

static void the_seed_of_either_is_approved(void **state)
{
    EACH_INPUT(x)
    {
        struct evidence_seed_state *approved = NULL;
        for (size_t i = 0; i < w.e.seed_state_count; i++) {
            bool is_its = w.e.seed_states[i].lot == world_lot(&w, x->seed) &&
                          strcmp(w.e.seed_states[i].state, "approved") == 0;
            approved = is_its ? &w.e.seed_states[i] : approved;
        }
        assert_non_null(approved);
        approved->state = "received";
        world_only_unmet(&w, "seed-approved", x->seed, NULL, CODE_CLAUSE_SEED_STATE);
        approved->state = "approved";
        world_all_met(&w);
    }
}

static void the_seed_of_either_is_treated(void **state)
{
    EACH_INPUT(x)
    {
        struct evidence_treatment *t = NULL;
        for (size_t i = 0; i < w.e.treatment_count; i++) {
            t = w.e.treatments[i].lot == world_lot(&w, x->load) ? &w.e.treatments[i] : t;
        }
        assert_non_null(t);
        const char *reason = t->reason;
        t->met = false;
        t->reason = "gap";
        world_only_unmet(&w, "seed-treated", x->load, NULL, CODE_CLAUSE_TREATMENT_FAILED);
        t->met = true;
        t->reason = reason;
        world_all_met(&w);
    }
}

static void the_chamber_of_either_is_clean(void **state)
{
    EACH_INPUT(x)
    {
        struct evidence_clean *clean = NULL;
        for (size_t i = 0; i < w.e.clean_count; i++) {
            clean = strcmp(w.e.cleans[i].place, x->chamber) == 0 ? &w.e.cleans[i] : clean;
        }
        assert_non_null(clean);
        clean->valid = false;
        world_only_unmet(&w, "clean", x->growing, x->chamber, CODE_CLAUSE_CLEAN_MISSING);
        clean->valid = true;
        world_all_met(&w);
    }
}

/* Five of 200 mL for the EU (Regulation (EC) 2073/2005, Annex I chapter 3: from memory). */
static void either_is_sampled(void **state)
{
    EACH_INPUT(x)
    {
        struct evidence_sample *s = &w.e.samples[x->first_sample];
        s->volume_ml = 199;
        world_only_unmet(&w, "sampled", x->growing, "EU", CODE_CLAUSE_SAMPLE_FEW);
        s->volume_ml = 1000;
        world_all_met(&w);
    }
}

static void either_is_found_negative(void **state)
{
    EACH_INPUT(x)
    {
        struct evidence_finding *f = world_first_finding(&w, x->first_sample, "STEC O26");
        f->state = "pending";
        world_only_unmet(&w, "negative", x->growing, "EU", CODE_CLAUSE_RESULT_OPEN);
        f->state = "negative";
        world_all_met(&w);
    }
}

static void nothing_is_open_where_either_was_sorted(void **state)
{
    EACH_INPUT(x)
    {
        int64_t entry = world_entry(&w, "environment");
        struct evidence_environment *a = EVIDENCE_ADD(&w.arena, &w.e, environment);
        *a = (struct evidence_environment){
            .id = 1, .place = x->sorter, .from_ms = PACK_MS - HOURS(2) + 1, .entry = entry};
        world_only_unmet(&w, "environment", x->sorted, NULL, CODE_CLAUSE_ENVIRONMENT_HOLD);
        w.e.environment_count--;
        world_all_met(&w);
    }
}

/* Its line's last reading comes while it is still washed, so that none follows it. */
static void the_water_of_either_is_read_to_the_end(void **state)
{
    EACH_INPUT(x)
    {
        struct evidence_check *last = NULL;
        for (size_t i = 0; i < w.e.check_count; i++) {
            struct evidence_check *c = &w.e.checks[i];
            last = strcmp(c->kind, "water-reading") == 0 && strcmp(c->place, x->washer) == 0 ? c
                                                                                             : last;
        }
        assert_non_null(last);
        int64_t read_ms = last->at_ms;
        last->at_ms = x->in_wash_ms;
        world_only_unmet(&w, "water", x->washed, x->washer, CODE_CLAUSE_WASH_AFTER);
        last->at_ms = read_ms;
        world_all_met(&w);
    }
}

static void the_results_of_either_are_reviewed(void **state)
{
    EACH_INPUT(x)
    {
        int64_t entry = world_first_finding(&w, x->first_sample, "STEC O26")->entry;
        struct evidence_review *review = NULL;
        for (size_t i = 0; i < w.e.review_count; i++) {
            review = w.e.reviews[i].of_entry == entry ? &w.e.reviews[i] : review;
        }
        assert_non_null(review);
        review->person = DOER;
        world_only_unmet(&w, "reviewed", x->growing, NULL, CODE_CLAUSE_REVIEW_MISSING);
        review->person = REVIEWER;
        world_all_met(&w);
    }
}

/* These two are the pack's own, whatever went into it. */
static void the_pack_itself_is_checked(void **state)
{
    struct evidence_check *label = &w.e.checks[0];
    for (size_t i = 0; i < w.e.check_count; i++) {
        label = strcmp(w.e.checks[i].kind, "label-check") == 0 ? &w.e.checks[i] : label;
    }
    label->ok = false;
    world_only_unmet(&w, "label", "P-1", NULL, CODE_CLAUSE_LABEL_FAILED);
    label->ok = true;
    world_all_met(&w);
    world_metal_check(&w, PACK_MS + MINUTES(30), false);
    world_only_unmet(&w, "foreign-body", "P-1", "PACK", CODE_CLAUSE_METAL_FAILED);
}

int main(void)
{
#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        T(a_dish_with_everything_is_met),
        T(the_seed_of_either_is_approved),
        T(the_seed_of_either_is_treated),
        T(the_chamber_of_either_is_clean),
        T(either_is_sampled),
        T(either_is_found_negative),
        T(nothing_is_open_where_either_was_sorted),
        T(the_water_of_either_is_read_to_the_end),
        T(the_results_of_either_are_reviewed),
        T(the_pack_itself_is_checked),
    };
#undef T
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
