/* At each shift's start, by itself: the record's head is signed, and the sheets of the shift
 * are written, so that work goes on by paper when the server is down. */
#ifndef SERVICE_SHIFT_FOLDER_H
#define SERVICE_SHIFT_FOLDER_H

#include "service/serving.h"

struct shift_folder;
/* Into PLANT/sheets, in the language; both outlive it. Before other threads run. */
MUST_USE struct result shift_folder_start(struct serving *serving, const char *lang,
                                          struct shift_folder **out);
void shift_folder_stop(struct shift_folder *s);

#endif
