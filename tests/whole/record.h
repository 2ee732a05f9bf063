/* A small record that holds something of everything: a batch from seed to customer with its
 * evidence, released and partly shipped, and a signed head. */
#ifndef TESTS_WHOLE_RECORD_H
#define TESTS_WHOLE_RECORD_H

#include <stdint.h>

struct record_codes {
    char seed[64], packed[64], shipment[64];
    int64_t entries;
};

struct house;

/* What is told beside it, of a lot with more than ten cases. */
typedef void record_more(struct house *h, const char *packed);
/* A whole plant in the folder, which is made: record, key and zone. The same each time. more: NULL
 * for nothing. */
void record_make(const char *folder, record_more *more, struct record_codes *out);
/* What the house keeps lists of and notes, one of each at least. */
void record_stand(struct house *h, const char *packed);

#endif
