/* QR codes as a field of dark and light modules. */
#ifndef PAPER_QR_H
#define PAPER_QR_H

#include "base/result.h"

/* Without the quiet zone, which is four modules wide on each side (ISO/IEC 18004, from memory). */
enum { QR_QUIET_MODULES = 4, QR_TEXT_MAX = 500 };

struct qr {
    int size;         /* modules on a side */
    const bool *dark; /* size * size, row by row from the top */
};

/* 1..500 bytes. FIELD_RANGE, SYMBOL_REFUSED. */
MUST_USE struct result qr_make(struct arena *a, const char *text, const char *field,
                               struct qr *out);
/* For a terminal: two modules a character, light on dark ground, quiet zone included. */
const char *qr_text(struct arena *a, const struct qr *qr);

#endif
