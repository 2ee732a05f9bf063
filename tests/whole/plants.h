/* Plants for the tests of the whole binary: the invented one is made once for all tests of a
 * program, each test works on a copy of its own. */
#ifndef TESTS_WHOLE_PLANTS_H
#define TESTS_WHOLE_PLANTS_H

#include "program.h"

/* People of the invented plant by role; all have the demo's password, in ./password. */
enum { MANAGER = 1, QUALITY = 2, GROWER = 4, LINE = 6, PLANNER = 8, DISPATCH = 11 };

/* Group set-up: a folder to stand in, ./demo with six chambers and four weeks, ./password. The
 * program's path is what main was given. */
void plants_program(const char *program);
int plants_open(void **state);
int plants_close(void **state);
/* The run that all tests of the program share. */
struct launch *plants_run(void);

/* ./demo copied to ./folder. */
void plant_copy(const char *folder);
/* Entries in the record of a folder, asked of the file itself. */
int64_t plant_entries(const char *folder);
/* Text of a field in the first line of JSON that lists it under the condition name = value (NULL:
 * any); the test is over when there is none. In the run's arena. */
const char *listed(struct launch *r, const char *field, const char *name, const char *value);
/* True when the answer last printed has a deviation with that code. */
bool deviates(const struct launch *r, const char *code);
/* The consequence of that kind in the answer last printed; the caller owns it, NULL: none. */
json_t *consequence_of(const struct launch *r, const char *kind);
/* The code of the refusal last printed as JSON, "" when there is none. In the run's arena. */
const char *refusal_of(struct launch *r);

#endif
