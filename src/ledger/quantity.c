#include "ledger/quantity.h"

#include <string.h>

#include "base/decimal.h"

struct result quantity_read(const char *text, const char *unit, const char *field,
                            int64_t *out_milli)
{
    char number[40];
    size_t len = strspn(text, "+-.0123456789");
    if (strcmp(text + len + strspn(text + len, " "), unit) != 0) {
        return FAIL2(UNIT_BAD, field, text + len + strspn(text + len, " "),
                     unit[0] != '\0' ? unit : "none");
    }
    if (len >= sizeof number) {
        return FAIL1(DECIMAL_LARGE, field, text);
    }
    memcpy(number, text, len);
    number[len] = '\0';
    return decimal_read(number, 3, field, out_milli);
}
