/* What a file is, told from its bytes and never from what somebody says it is. */
#ifndef LEDGER_FILE_TYPE_H
#define LEDGER_FILE_TYPE_H

#include <stddef.h>
#include <stdint.h>

/* "pdf", "png", "jpeg", "json", "csv", "txt", or NULL for anything else. name only parts csv from
 * txt ("x.csv", "x.tsv"). */
const char *file_type(const uint8_t *bytes, size_t len, const char *name);

#endif
