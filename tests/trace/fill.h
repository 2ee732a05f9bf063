/* Rows put straight into a scratch record, as folding an entry would. Texts that a trace does not
 * read are left empty. */
#ifndef TESTS_TRACE_FILL_H
#define TESTS_TRACE_FILL_H

#include "trace/graph.h"

/* A statement with parameters in order: i int64_t, t const char *, n null. Fails the test on error.
 */
void fill(struct store *s, enum query query, const char *format, ...);

struct store *fill_open(void);
void fill_lot(struct store *s, int64_t id, const char *code, const char *kind,
              int64_t supplier_lot);
void fill_edge(struct store *s, const struct graph_edge *e);
/* One leg and the balance it moves; lot 0: the account. */
void fill_leg(struct store *s, int64_t entry, int64_t leg, int64_t lot, const char *account,
              const char *unit, int64_t amount);

#endif
