#include <math.h>
#include <string.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/microbe/attribute_plan.h"
#include "calc/microbe/hazard_case.h"
#include "calc/microbe/rows.h"

enum { CURVE_POINTS = 21 };

#define CONFIDENCE_FIELD                                                                     \
    CALC_MAY_NUMBER("confidence", "1", "How sure a lot is to be rejected, as a share.", 0.5, \
                    0.9999, CALC_FALLBACK(CONSTANT_DETECTION_CONFIDENCE))

#define PLAN_FIELDS                                                                   \
    CALC_NEED_INTEGER("samples", "1", "Samples taken, n.", 1, ATTRIBUTE_SAMPLES_MAX), \
        CALC_NEED_INTEGER("accept", "1", "Most that may be bad, c; fewer than n.", 0, \
                          ATTRIBUTE_SAMPLES_MAX - 1)

static const char *const no_constants[] = {NULL};
static const char *const confidence_constants[] = {"detection_confidence", NULL};

static struct result plan_read(const json_t *in, struct attribute_plan *out)
{
    *out = (struct attribute_plan){calc_integer(in, "samples"), calc_integer(in, "accept")};
    return attribute_plan_check(out);
}

/* Two classes */

static const struct calc_field two_in[] = {
    PLAN_FIELDS,
    CALC_MAY_NUMBER("share", "1", "Share of the lot that is bad.", 0, 1, NULL),
    MICROBE_MAY_INTEGER("lot_size", "Pieces in the lot, where it is small beside the sample.", 1,
                        ATTRIBUTE_LOT_MAX, NULL),
    MICROBE_MAY_INTEGER("bad", "Bad pieces in it; give it with lot_size in place of the share.", 0,
                        ATTRIBUTE_LOT_MAX, NULL),
};

static const struct calc_output two_out[] = {
    CALC_OUT_UP("accepted", "1", "Chance that such a lot is accepted.", 0.0001),
    CALC_OUT_UP("accepted_of_lot", "1", "The same drawn from the lot, without putting back.",
                0.0001),
    CALC_OUT("accepted_poisson", "1", "Poisson approximation."),
    CALC_OUT("share_95", "1", "Share bad that is accepted 95 times in a hundred."),
    CALC_OUT("share_50", "1", "Share that is accepted half the time."),
    CALC_OUT("share_10", "1", "Share that is accepted one time in ten."),
    CALC_OUT("curve_share", "1", "Operating characteristic: shares bad."),
    CALC_OUT("curve_accepted", "1", "Chances of acceptance at them."),
};

static const struct calc_source two_sources[] = {
    {"Binomial, hypergeometric and Poisson chance of at most c", "derived"},
};

static const char *const two_cautions[] = {
    "A lot that is accepted may hold bad pieces: read the curve before choosing a plan.",
    "Use the chance of the lot where the sample is more than a tenth of it.",
    "Holds for samples drawn at random.", NULL};

static struct result two_share(const json_t *in, const struct attribute_plan *plan, double *share,
                               struct calc_answer *out)
{
    bool of_lot = calc_has(in, "lot_size") || calc_has(in, "bad");
    if (of_lot == calc_has(in, "share")) {
        return FAIL1(FIELD_MISSING, "share", "Give it, or lot_size and bad, but not both.");
    }
    if (!of_lot) {
        *share = calc_number(in, "share");
        return RESULT_OK;
    }
    if (!calc_has(in, "lot_size") || !calc_has(in, "bad")) {
        return FAIL1(FIELD_MISSING, calc_has(in, "bad") ? "lot_size" : "bad",
                     "Give both, or neither.");
    }
    double chance;
    int64_t lot_size = calc_integer(in, "lot_size"), bad = calc_integer(in, "bad");
    TRY(accept_of_lot(plan, lot_size, bad, &chance));
    calc_put_number(out, "accepted_of_lot", chance);
    *share = (double)bad / (double)lot_size;
    return RESULT_OK;
}

static struct result two_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct attribute_plan plan;
    double share, shares[CURVE_POINTS], chances[CURVE_POINTS];
    TRY(plan_read(in, &plan));
    TRY(two_share(in, &plan, &share, out));
    calc_put_number(out, "accepted", accept_two_class(&plan, share));
    calc_put_number(out, "accepted_poisson", accept_poisson(&plan, share));
    calc_put_number(out, "share_95", share_accepted(&plan, 0.95));
    calc_put_number(out, "share_50", share_accepted(&plan, 0.5));
    calc_put_number(out, "share_10", share_accepted(&plan, 0.1));
    double last = share_accepted(&plan, 0.001);
    for (int i = 0; i < CURVE_POINTS; i++) {
        shares[i] = last * i / (CURVE_POINTS - 1);
        chances[i] = accept_two_class(&plan, shares[i]);
    }
    calc_put_numbers(out, "curve_share", shares, CURVE_POINTS);
    calc_put_numbers(out, "curve_accepted", chances, CURVE_POINTS);
    return RESULT_OK;
}

/* Three classes */

static const struct calc_field three_in[] = {
    PLAN_FIELDS,
    CALC_NEED_NUMBER("marginal", "1", "Share between m and M.", 0, 1),
    CALC_NEED_NUMBER("defective", "1", "Share over M; no sample may be.", 0, 1),
};

static const struct calc_output three_out[] = {
    CALC_OUT_UP("accepted", "1", "Chance that such a lot is accepted.", 0.0001),
    CALC_OUT("curve_marginal", "1", "Operating characteristic: shares between m and M."),
    CALC_OUT("curve_accepted", "1", "Chances of acceptance at them, with the same share over M."),
};

static const struct calc_source three_sources[] = {
    {"ICMSF 1986, Microorganisms in Foods 2: sum over i <= c of C(n,i) p_m^i (1-p_m-p_d)^(n-i)",
     "from memory"},
    {"Czech decree 294/1997, table 4: chances of n 5, c 1", "published (seen)"},
};

static const char *const three_cautions[] = {
    "m and M are limits of the product; no plan sets them.",
    "A lot that is accepted may hold bad pieces: read the curve before choosing a plan.", NULL};

static struct result three_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct attribute_plan plan;
    double shares[CURVE_POINTS], chances[CURVE_POINTS];
    TRY(plan_read(in, &plan));
    double marginal = calc_number(in, "marginal"), defective = calc_number(in, "defective");
    if (marginal + defective > 1 + 1e-12) {
        return FAIL2(FIELD_RANGE, "marginal", "more than what is left",
                     "at most 1 less the share over M");
    }
    calc_put_number(out, "accepted", accept_three_class(&plan, marginal, defective));
    for (int i = 0; i < CURVE_POINTS; i++) {
        shares[i] = (1 - defective) * i / (CURVE_POINTS - 1);
        chances[i] = accept_three_class(&plan, shares[i], defective);
    }
    calc_put_numbers(out, "curve_marginal", shares, CURVE_POINTS);
    calc_put_numbers(out, "curve_accepted", chances, CURVE_POINTS);
    return RESULT_OK;
}

/* Log-normal counts */

static const struct calc_field counts_in[] = {
    PLAN_FIELDS,
    CALC_NEED_NUMBER("mean_log10", "log10/g", "Mean of log10 of the level.", -30, 30),
    CALC_NEED_NUMBER("sd_log10", "log10", "Standard deviation of it.", 0.001, 10),
    CALC_NEED_NUMBER("m_log10", "log10/g", "m, the lower limit, in log10.", -30, 30),
    CALC_MAY_NUMBER("most_log10", "log10/g", "M in log10; leave it out for two classes.", -30, 30,
                    NULL),
    CONFIDENCE_FIELD,
};

static const struct calc_output counts_out[] = {
    CALC_OUT("marginal", "1", "Share between m and M; with two classes all over m."),
    CALC_OUT("defective", "1", "Share over M."),
    CALC_OUT_UP("accepted", "1", "Chance that such a lot is accepted.", 0.0001),
    CALC_OUT_UP("rejected_mean_log10", "log10/g",
                "Mean of log10 from which lots are rejected with the confidence asked for.",
                0.0001),
    CALC_OUT("rejected_mean_per_g", "1/g", "The same as a geometric mean."),
};

static const struct calc_source counts_sources[] = {
    {"Log-normal levels and attribute plans: ICMSF 2002, Microorganisms in Foods 7, and Codex "
     "CAC/GL 61",
     "from memory"},
};

static const char *const counts_cautions[] = {
    "The standard deviation decides much: take it from the product's own counts.",
    "m and M are limits of the product; no plan sets them.", NULL};

static struct result counts_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct attribute_plan plan;
    struct lognormal_plan_report r;
    TRY(plan_read(in, &plan));
    struct lognormal_limits limits = {.mean_log10 = calc_number(in, "mean_log10"),
                                      .sd_log10 = calc_number(in, "sd_log10"),
                                      .m_log10 = calc_number(in, "m_log10"),
                                      .has_most = calc_has(in, "most_log10"),
                                      .confidence = calc_number(in, "confidence")};
    limits.most_log10 = limits.has_most ? calc_number(in, "most_log10") : 0;
    TRY(lognormal_plan(&plan, &limits, &r));
    calc_put_number(out, "marginal", r.marginal);
    calc_put_number(out, "defective", r.defective);
    calc_put_number(out, "accepted", r.chance);
    calc_put_number(out, "rejected_mean_log10", r.rejected_mean_log10);
    calc_put_number(out, "rejected_mean_per_g", pow(10, r.rejected_mean_log10));
    return RESULT_OK;
}

/* Cases */

static const struct calc_field case_in[] = {
    {.name = "concern",
     .unit = "",
     .what = "How bad the hazard is.",
     .type = CALC_TEXT,
     .choices = "utility|indicator|moderate|serious|severe",
     .needed = true},
    {.name = "handling",
     .unit = "",
     .what = "What happens to the hazard until the food is eaten.",
     .type = CALC_TEXT,
     .choices = "reduced|unchanged|increased",
     .needed = true},
};

static const struct calc_output case_out[] = {
    CALC_OUT("case", "1", "Number of the case, 1 to 15."),
    CALC_OUT("classes", "1", "Classes of the plan."),
    CALC_OUT("samples", "1", "Samples, n."),
    CALC_OUT("accept", "1", "Most that may be over m, c."),
};

static const struct calc_source case_sources[] = {
    {"ICMSF 1986, Microorganisms in Foods 2, table of cases and plans as reproduced",
     "published (seen)"},
};

static const char *const case_cautions[] = {"Growth before eating counts as an increase: sprouts "
                                            "eaten raw belong there. Where a law sets a "
                                            "plan, the law holds.",
                                            NULL};

/* Place of a text among choices that the input check has seen to. */
static int choice_number(const char *choices, const char *text)
{
    int number = 0;
    const char *at = strstr(choices, text);
    for (const char *c = choices; c < at; c++) {
        number += *c == '|';
    }
    return number;
}

static struct result case_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    int concern = choice_number(case_in[0].choices, calc_text(in, "concern"));
    int handling = choice_number(case_in[1].choices, calc_text(in, "handling"));
    struct hazard_case c =
        hazard_case((enum hazard_concern)concern, (enum hazard_handling)handling);
    calc_put_integer(out, "case", c.number);
    calc_put_integer(out, "classes", c.classes);
    calc_put_integer(out, "samples", c.plan.samples);
    calc_put_integer(out, "accept", c.plan.accept);
    return RESULT_OK;
}

/* Limiting quality */

static const struct calc_field quality_in[] = {
    CALC_NEED_NUMBER("quality", "1", "Limiting quality: share bad that must hardly ever pass.",
                     0.0001, 0.5),
    CALC_MAY_NUMBER("risk", "1", "Chance with which it may pass.", 0.001, 0.5,
                    CALC_FALLBACK(CONSTANT_LIMITING_QUALITY_RISK)),
    CALC_NEED_INTEGER("accept", "1", "Most that may be bad, c.", 0, 50),
};

static const struct calc_output quality_out[] = {
    CALC_OUT("samples", "1", "Samples needed, the next whole number up."),
    CALC_OUT_UP("accepted", "1", "Chance with which the limiting quality passes then.", 0.0001),
};

static const struct calc_source quality_sources[] = {
    {"ISO 2859-2: plans for isolated lots", "from memory"},
    {"Binomial chance of at most c", "derived"},
};

static const char *const quality_constants[] = {"limiting_quality_risk", NULL};

static const char *const quality_cautions[] = {
    "For a lot that stands alone; a series of lots takes sampling-plan with switching.",
    "Holds for samples drawn at random from a lot that is large beside them.", NULL};

static struct result quality_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct attribute_plan plan = {.accept = calc_integer(in, "accept")};
    double quality = calc_number(in, "quality");
    TRY(limiting_quality_samples(quality, calc_number(in, "risk"), plan.accept, &plan.samples));
    calc_put_integer(out, "samples", plan.samples);
    calc_put_number(out, "accepted", accept_two_class(&plan, quality));
    return RESULT_OK;
}

const struct calc_row microbe_plan_rows[] = {
    {
        .name = "two-class-plan",
        .purpose = "How often a plan with c of n accepts a lot, and its curve.",
        .formula = "Pa = sum over i <= c of C(n,i) * p^i * (1-p)^(n-i); of a lot C(D,i) * "
                   "C(N-D,n-i)/C(N,n)",
        .constants = no_constants,
        .example = "{\"samples\": 5, \"accept\": 0, \"share\": 0.1}",
        MICROBE_ROW(two),
    },
    {
        .name = "three-class-plan",
        .purpose = "How often a plan with m and M accepts a lot, and its curve.",
        .formula = "Pa = sum over i <= c of C(n,i) * p_m^i * (1-p_m-p_d)^(n-i)",
        .constants = no_constants,
        .example = "{\"samples\": 5, \"accept\": 1, \"marginal\": 0.2, \"defective\": 0.05}",
        MICROBE_ROW(three),
    },
    {
        .name = "lognormal-plan",
        .purpose = "How often a plan accepts a lot with log-normal counts.",
        .formula = "p_d = 1 - Phi((M - mu)/sigma); p_m = Phi((M - mu)/sigma) - Phi((m - mu)/sigma)",
        .constants = confidence_constants,
        .example = "{\"samples\": 5, \"accept\": 2, \"mean_log10\": 2, \"sd_log10\": 0.8, "
                   "\"m_log10\": 2, \"most_log10\": 3}",
        MICROBE_ROW(counts),
    },
    {
        .name = "hazard-case",
        .purpose = "The plan that a hazard and its handling call for.",
        .formula = "case = 3 * (concern - 1) + handling; n and c from the table",
        .constants = no_constants,
        .example = "{\"concern\": \"serious\", \"handling\": \"increased\"}",
        MICROBE_ROW(case),
    },
    {
        .name = "limiting-quality",
        .purpose = "How many samples an isolated lot takes.",
        .formula = "smallest n with Pa(LQ; n, c) <= risk",
        .constants = quality_constants,
        .example = "{\"quality\": 0.05, \"accept\": 1}",
        MICROBE_ROW(quality),
    },
};

const size_t microbe_plan_row_count = CALC_COUNT(microbe_plan_rows);
