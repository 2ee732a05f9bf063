/* Inside the SQLite driver. */
#ifndef STORE_SQLITE_CONNECTION_H
#define STORE_SQLITE_CONNECTION_H

#include <sqlite3.h>

#include "store/driver.h"

/* An SQLite result code other than OK, ROW and DONE as one of ours, with the connection's message.
 */
struct result sqlite_fail(sqlite3 *db, int rc);
/* Ends every statement that still stands on a row, so that no snapshot outlives its transaction. */
void statements_reset(struct store *s);
void statements_close(struct store *s);

#endif
