/* Actions on the environment: opened by a person or by a positive swab, closed by evidence. */
#ifndef LEDGER_ENVIRONMENT_H
#define LEDGER_ENVIRONMENT_H

#include "ledger/view.h"

struct environment_opening {
    const char *place;
    bool product_hold;
    int64_t from_ms;      /* product made from then on is covered */
    const char *organism; /* NULL: another reason */
    const char *sample;   /* code of the swab; NULL: none */
    const char *site;     /* on the house's list; NULL: none */
    int64_t zone;         /* 0: not known */
    int64_t clear;        /* negatives in a row that close it; 0: three */
    bool repeated;        /* not the first at the site within 90 days */
};
/* Adds the action, and for Listeria the tasks of 21 CFR 112.146(a)-(f) with the times by which they
 * are due; the answer gets "environment". */
int64_t environment_open(struct draft *d, const struct environment_opening *opening);

#endif
