/* What a test of a seed lot says, held against the limits in force. */
#ifndef LEDGER_SEED_TESTS_H
#define LEDGER_SEED_TESTS_H

#include "ledger/view.h"

struct seed_outcome {
    int64_t value; /* 1/1000: percent for purity, germination, moisture; g for thousand-seed mass;
                      1000 or 0 for a look */
    bool ok;
    const char *verdict; /* a stable word: ok, low, high, retest, bad */
    const char *wanted;  /* the limit in words */
    const char *data;    /* canonical JSON of what was read and computed */
};

/* test: purity, germination, thousand-seed-mass, moisture, look. FIELD errors. */
MUST_USE struct result seed_test_judge(struct draft *d, const struct lot *lot, const char *test,
                                       struct seed_outcome *out);

#endif
