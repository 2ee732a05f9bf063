/* What contact with its disinfectant was worth to a water in a period, against what the profile
 * asks of it.
 *
 * A period is a house day; a restart after a stop begins a new one. It is judged by its worst:
 * lowest residual, highest pH, lowest temperature, and in each tank the highest flow, the one on
 * the tank's own row or one that was read (calc/water/ct_record.h). What was not read in the period
 * makes it unknown, never good; so does a value of which no reading was good. */
#ifndef LEDGER_WATER_CREDIT_H
#define LEDGER_WATER_CREDIT_H

#include "calc/water/ct_record.h"
#include "ledger/water_book.h"

struct water_credit_tank {
    const char *code;
    struct ct_record_tank tank; /* with the flow that counted */
    struct ct_record worth;
};

struct water_credit {
    bool asked;                    /* a loop whose rule asks for decimals */
    bool known;                    /* all was read that it takes, and there is a tank */
    bool low;                      /* below what is asked, by what was read */
    const struct water_rule *rule; /* NULL unless asked */
    struct ct_record worth;        /* 0 where a value is missing altogether */
    bool has[METERS];              /* read at all in the period */
    int64_t worst[METERS]; /* chlorine lowest, pH highest, temperature lowest, flow highest */
    int64_t entry[METERS]; /* of the reading that is the worst */
    size_t tank_count;
    struct water_credit_tank tanks[CT_RECORD_TANKS_MAX];
};

/* The period that holds a moment, end excluded. */
void water_period_at(const struct water_book *b, const struct profile *p, int64_t at_ms,
                     int64_t *out_from_ms, int64_t *out_to_ms);
/* Of the readings in [from, to), but for those of an entry (0: all count). Whether it is asked
 * follows from the loop as it was at a moment. */
void water_credit(const struct water_book *b, const struct profile *p, int64_t at_ms,
                  int64_t from_ms, int64_t to_ms, int64_t without_entry, struct water_credit *out);
/* "Giardia 0.07 (0.5), virus 4 (2)": what it was worth and what is asked. asked must be true. */
const char *water_credit_text(struct arena *a, const struct water_credit *c);

#endif
