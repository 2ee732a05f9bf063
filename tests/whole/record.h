/* A small record that holds something of everything: a batch from seed to customer with its
 * evidence, released and partly shipped, and a signed head. */
#ifndef TESTS_WHOLE_RECORD_H
#define TESTS_WHOLE_RECORD_H

#include <stdint.h>

struct record_codes {
    char seed[64], packed[64], shipment[64];
    int64_t entries;
};

/* A whole plant in the folder, which is made: record, key and zone. The same each time. */
void record_make(const char *folder, struct record_codes *out);

#endif
