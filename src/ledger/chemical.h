/* A lot of a chemical held against its use, and how strong it is. */
#ifndef LEDGER_CHEMICAL_H
#define LEDGER_CHEMICAL_H

#include "calc/water/dose_record.h"
#include "ledger/listed.h"

/* May the lot be used as that agent at a moment? agent NULL: as whatever it is. *out_why: NULL, or
 * why not, for the record. CHEMICAL_UNKNOWN. */
MUST_USE struct result chemical_good(struct draft *d, const char *code, const char *agent,
                                     int64_t at_ms, const char **out_why);

struct chemical_strength {
    bool known;    /* its certificate says form and strength */
    bool titrated; /* the strength is that of a titration since */
    struct dose_record_product product;
};

/* By its certificate, or by the newest titration told since that. A titration is in percent: of
 * mass, or of volume for a lot whose strength is in g/L (1 % is 10 g/L). */
MUST_USE struct result chemical_strength(struct store *s, const struct listed *chemical,
                                         struct chemical_strength *out);
/* The fields substance, form, strength, strength_of, density of a command into the data of a
 * chemical; either none of them or what its form takes. */
MUST_USE struct result chemical_read(const json_t *o, json_t *data);
/* A strength as its form has it: "65 %", "125 g/L". */
const char *chemical_strength_text(struct arena *a, const struct dose_record_product *product);

#endif
