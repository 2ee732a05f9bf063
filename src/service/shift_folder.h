/* At each shift's start, by itself: the record's head is signed, and the sheets of the house day
 * are written, so that work goes on by paper when the server is down. */
#ifndef SERVICE_SHIFT_FOLDER_H
#define SERVICE_SHIFT_FOLDER_H

#include "ledger/profile.h"
#include "service/serving.h"

/* When the shift under way began. The first begins with the house day; the last of a day that the
 * clock change made longer or shorter ends with it. */
int64_t shift_began_ms(const struct profile *p, int64_t now_ms);

struct shift_folder;
/* Into PLANT/sheets, in the language; both outlive it. Before other threads run. */
MUST_USE struct result shift_folder_start(struct serving *serving, const char *lang,
                                          struct shift_folder **out);
void shift_folder_stop(struct shift_folder *s);

#endif
