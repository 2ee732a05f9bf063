/* How a sample stands after any sequence of results. */
#include "../support.h"

#include "ledger/finding.h"

/* Results by letter: p pending, u presumptive, n negative, P confirmed positive, N confirmed
 * negative, i invalid, 2 a second reading of the one before by another person, 1 by the same. */
static const char *state_of(char letter, const char *before)
{
    switch (letter) {
    case 'p':
        return "pending";
    case 'u':
        return "presumptive";
    case 'n':
        return "negative";
    case 'P':
        return "confirmed-positive";
    case 'N':
        return "confirmed-negative";
    case 'i':
        return "invalid";
    default:
        return before;
    }
}

static struct standing stand_after(const char *letters, const char *confirms)
{
    static struct evidence_finding findings[16];
    struct evidence e = {.findings = findings, .finding_count = 0};
    const char *state = "";
    for (const char *at = letters; *at != '\0'; at++) {
        state = state_of(*at, state);
        bool reading = *at == '1' || *at == '2';
        findings[e.finding_count++] =
            (struct evidence_finding){.sample = 3,
                                      .organism = "Salmonella spp.",
                                      .state = state,
                                      .method = "M1",
                                      .person = reading ? *at - '0' : 1,
                                      .second_person = reading ? *at - '0' : 0};
    }
    return finding_standing(&e, 3, "Salmonella spp.", confirms);
}

/* The state machine of the release predicate, US 21 CFR 112.147 (published (seen, in part)): what
 * is not a final negative is not negative, and a positive is for ever. */
static void every_sequence_of_up_to_four_results(void **state)
{
    static const char alphabet[] = "punPNi";
    char letters[5];
    int checked = 0;
    for (int length = 1; length <= 4; length++) {
        int total = 1;
        for (int i = 0; i < length; i++) {
            total *= 6;
        }
        for (int n = 0; n < total; n++) {
            int rest = n;
            for (int i = 0; i < length; i++, rest /= 6) {
                letters[i] = alphabet[rest % 6];
            }
            letters[length] = '\0';
            enum finding_stand unconfirmed = stand_after(letters, "").stand;
            enum finding_stand confirmed = stand_after(letters, "M1").stand;
            char last = letters[length - 1];
            if (strchr(letters, 'P') != NULL) {
                assert_int_equal(unconfirmed, STAND_POSITIVE);
                assert_int_equal(confirmed, STAND_POSITIVE);
                continue;
            }
            bool suspect = strpbrk(letters, "uN") != NULL;
            assert_int_equal(unconfirmed == STAND_NEGATIVE, last == 'n' && !suspect);
            /* with a method that confirms, a presumptive counts until it is confirmed away */
            const char *u = strrchr(letters, 'u'), *cleared = strrchr(letters, 'N');
            bool open = u != NULL && (cleared == NULL || cleared < u);
            assert_int_equal(confirmed == STAND_NEGATIVE, (last == 'n' || last == 'N') && !open);
            assert_int_equal(confirmed == STAND_PRESUMPTIVE, open);
            checked++;
        }
    }
    assert_int_equal(checked, 5 + 25 + 125 + 625); /* those without a positive: computed here */
}

static void what_counts_is_the_last_that_was_told(void **state)
{
    assert_int_equal(stand_after("", "").stand, STAND_MISSING);
    assert_null(stand_after("", "").row);
    assert_int_equal(stand_after("np", "").stand, STAND_PENDING);
    assert_int_equal(stand_after("ni", "").stand, STAND_INVALID);
    assert_int_equal(stand_after("pn", "").stand, STAND_NEGATIVE);
    assert_int_equal(stand_after("pun", "").stand, STAND_PRESUMPTIVE);
}

static void a_second_reading_is_by_another_person_of_the_same_state(void **state)
{
    assert_null(stand_after("n", "").second);
    assert_non_null(stand_after("n2", "").second);
    assert_null(stand_after("n1", "").second);
    assert_null(stand_after("n2n", "").second); /* told anew: read anew */
    assert_int_equal(stand_after("n2", "").stand, STAND_NEGATIVE);
}

static void a_state_that_nobody_knows_is_not_negative(void **state)
{
    struct evidence_finding f = {.organism = "x", .state = "fine", .method = ""};
    struct evidence e = {.findings = &f, .finding_count = 1};
    assert_int_equal(finding_standing(&e, 0, "x", "").stand, STAND_INVALID);
    assert_int_equal(finding_standing(&e, 0, "y", "").stand, STAND_MISSING);
    assert_int_equal(finding_standing(&e, 1, "x", "").stand, STAND_MISSING);
    assert_false(sample_positive(&e, 0));
    f.state = "confirmed-positive";
    assert_true(sample_positive(&e, 0));
    assert_false(sample_positive(&e, 1));
}

/* What is pending or invalid says nothing yet of how water is. */
static void water_is_settled_by_a_result_alone(void **state)
{
    (void)state;
    static const struct {
        const char *state;
        bool settled;
    } cases[] = {{"pending", false}, {"invalid", false},           {"presumptive", true},
                 {"negative", true}, {"confirmed-positive", true}, {"confirmed-negative", true}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct evidence_finding f = {
            .sample = 3, .organism = WATER_ORGANISM, .state = cases[i].state, .method = "M1"};
        struct evidence e = {.findings = &f, .finding_count = 1};
        assert_int_equal(water_settled(&e, 3), cases[i].settled);
        assert_false(water_settled(&e, 2));
        f.organism = "Salmonella spp.";
        assert_false(water_settled(&e, 3));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_sequence_of_up_to_four_results),
        cmocka_unit_test(what_counts_is_the_last_that_was_told),
        cmocka_unit_test(a_second_reading_is_by_another_person_of_the_same_state),
        cmocka_unit_test(a_state_that_nobody_knows_is_not_negative),
        cmocka_unit_test(water_is_settled_by_a_result_alone),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
