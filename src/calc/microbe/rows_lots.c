#include <stdlib.h>

#include "base/check.h"
#include "calc/answer.h"
#include "calc/microbe/rows.h"
#include "calc/microbe/sampling_plan.h"
#include "calc/microbe/switching.h"

enum { LOTS_MAX = 1000 };

static const char *const no_constants[] = {NULL};

/* Sampling plan */

static const struct calc_field plan_in[] = {
    CALC_NEED_INTEGER("lot_size", "1", "Pieces in the lot.", 2, 1e9),
    CALC_CHOICE("level", "Inspection level.", "S-1|S-2|S-3|S-4|I|II|III", "\"II\""),
    {.name = "aql",
     .unit = "",
     .what = "Acceptance quality limit, percent bad.",
     .type = CALC_TEXT,
     .choices = "0.65|1.0|1.5|2.5|4.0|6.5",
     .needed = true},
    CALC_CHOICE("inspection", "As switching says.", "normal|tightened", "\"normal\""),
};

static const struct calc_output plan_out[] = {
    CALC_OUT("code", "", "Code letter of the lot size."),
    CALC_OUT("letter", "", "Letter of the plan, after any arrow."),
    CALC_OUT("samples", "1", "Pieces to inspect."),
    CALC_OUT("accept", "1", "Accept with at most so many bad."),
    CALC_OUT("reject", "1", "Reject from so many on."),
    CALC_OUT("inspect_all", "",
             "yes where the sample is as large as the lot: inspect every piece."),
    CALC_OUT("reduced_samples", "1",
             "Size on reduced inspection; its acceptance number stands in the standard."),
    CALC_OUT("share_95", "1", "Share bad that is accepted 95 times in a hundred."),
    CALC_OUT("share_50", "1", "Share that is accepted half the time."),
    CALC_OUT("share_10", "1", "Share that is accepted one time in ten."),
    CALC_OUT("word", "", "How the plan is known."),
};

static const struct calc_source plan_sources[] = {
    {"ISO 2859-1: code letters, single plans for normal A to Q and tightened B to L, as copied",
     "published (seen)"},
    {"ISO 2859-1: the other rows, and sizes of reduced inspection", "from memory"},
};

static const char *const plan_cautions[] = {
    "For a series of lots, with the switching rules; a lot that stands alone takes "
    "limiting-quality.",
    "Not for hazards to health: those take a plan of the hazard's case.", NULL};

static struct result plan_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct sampling_plan p;
    int64_t aql_hundredths = calc_scaled_near(strtod(calc_text(in, "aql"), NULL), 100);
    enum sampling_level level;
    CHECK(sampling_level_read(calc_text(in, "level"), &level));
    TRY(sampling_plan(calc_integer(in, "lot_size"), level, aql_hundredths,
                      calc_text(in, "inspection")[0] == 't', &p));
    calc_put_text(out, "code", (char[]){p.code, '\0'});
    calc_put_text(out, "letter", (char[]){p.letter, '\0'});
    calc_put_integer(out, "samples", p.plan.samples);
    calc_put_integer(out, "accept", p.plan.accept);
    calc_put_integer(out, "reject", p.plan.accept + 1);
    calc_put_text(out, "inspect_all", p.inspect_all ? "yes" : "no");
    if (p.reduced_samples > 0) {
        calc_put_integer(out, "reduced_samples", p.reduced_samples);
    }
    calc_put_number(out, "share_95", share_accepted(&p.plan, 0.95));
    calc_put_number(out, "share_50", share_accepted(&p.plan, 0.5));
    calc_put_number(out, "share_10", share_accepted(&p.plan, 0.1));
    calc_put_text(out, "word", p.recalled ? "from memory" : "published (seen)");
    if (p.recalled) {
        calc_caution(out,
                     "This row of the table is from memory: verify it with the standard before "
                     "a lot is judged by it.");
    }
    return RESULT_OK;
}

/* Switching */

static const struct calc_field switching_in[] = {
    CALC_NEED_LIST("lots", "1",
                   "In order of inspection: 1 accepted, 0 not accepted, 2 the supplier has acted. "
                   "Leave out lots given in again.",
                   0, 2, 1, LOTS_MAX),
    MICROBE_MAY_INTEGER("accept", "Acceptance number of the plan.", 0, 1000, "0"),
    CALC_MAY_LIST("passes_tighter", "1",
                  "For each lot 1 where it would also have passed one limit tighter; counts where "
                  "the acceptance number is two or more.",
                  0, 1, 0, LOTS_MAX, NULL),
    CALC_CHOICE("steady", "Is production steady?", "yes|no", "\"no\""),
    CALC_CHOICE("reduced_agreed", "Is reduced inspection agreed to?", "yes|no", "\"no\""),
};

static const struct calc_output switching_out[] = {
    CALC_OUT("inspection", "", "For the next lot: normal, tightened, reduced or discontinued."),
    CALC_OUT("after", "1",
             "The same after each lot: 1 normal, 2 tightened, 3 reduced, 4 discontinued."),
    CALC_OUT("score", "1", "Switching score."),
    CALC_OUT("refused_tightened", "1", "Lots not accepted on tightened inspection so far."),
};

static const struct calc_source switching_sources[] = {
    {"ISO 2859-1, switching rules as reported", "published (seen)"},
    {"ISO 2859-1, details of the switching score", "from memory"},
};

static const char *const switching_cautions[] = {
    "Reduced inspection also needs steady production and the agreement of whoever is responsible.",
    "A plan without its switching rules does not protect.", NULL};

/* The numbers of a list that must be whole. */
static struct result digits_read(const json_t *in, const char *name, struct arena *a, double **out,
                                 size_t *out_count)
{
    *out = calc_numbers(in, name, a, out_count);
    for (size_t i = 0; i < *out_count; i++) {
        int64_t whole;
        TRY(calc_whole(a, name, i, SIZE_MAX, (*out)[i], &whole));
    }
    return RESULT_OK;
}

static struct result switching_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double *lots, *tighter = NULL, after[LOTS_MAX];
    size_t count, tighter_count = 0;
    TRY(digits_read(in, "lots", a, &lots, &count));
    if (calc_has(in, "passes_tighter")) {
        TRY(digits_read(in, "passes_tighter", a, &tighter, &tighter_count));
        if (tighter_count != count) {
            return FAIL2(FIELD_RANGE, "passes_tighter", "of another length", "as long as lots");
        }
    }
    struct switching s = {0};
    for (size_t i = 0; i < count; i++) {
        struct switching_lot lot = {.accepted = lots[i] > 0,
                                    .accept = calc_integer(in, "accept"),
                                    .passes_tighter = tighter_count > 0 && tighter[i] > 0,
                                    .steady = calc_yes(in, "steady"),
                                    .reduced_agreed = calc_yes(in, "reduced_agreed")};
        if (lots[i] > 1) {
            switching_resume(&s);
        } else {
            switching_take(&s, &lot);
        }
        after[i] = (double)s.inspection + 1;
    }
    calc_put_text(out, "inspection", inspection_word(s.inspection));
    calc_put_numbers(out, "after", after, count);
    calc_put_integer(out, "score", s.score);
    calc_put_integer(out, "refused_tightened", s.refused_tightened);
    if (s.inspection == INSPECTION_NONE) {
        calc_caution(out,
                     "Accept no lot of this supplier by sampling until the supplier has acted.");
    }
    return RESULT_OK;
}

const struct calc_row microbe_lot_rows[] = {
    {
        .name = "sampling-plan",
        .purpose = "Sample size and acceptance number for a lot in a series.",
        .formula = "letter from lot size and level; n and Ac from letter and AQL, arrows followed",
        .constants = no_constants,
        .example = "{\"lot_size\": 1000, \"aql\": \"1.0\"}",
        MICROBE_ROW(plan),
    },
    {
        .name = "switching",
        .purpose = "Which inspection the next lot gets.",
        .formula = "2 of 5 not accepted: tightened; 5 accepted: normal; 5 not accepted on "
                   "tightened: stop; score of 30: reduced",
        .constants = no_constants,
        .example = "{\"lots\": [1, 1, 0, 1, 0, 1, 1, 1, 1, 1]}",
        MICROBE_ROW(switching),
    },
};

const size_t microbe_lot_row_count = CALC_COUNT(microbe_lot_rows);
