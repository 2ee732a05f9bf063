/* Whole files. */
#ifndef BASE_FILE_H
#define BASE_FILE_H

#include "base/result.h"

/* Reads all of a file ("-": standard input) into the arena, a zero byte after it. INPUT_LARGE over
 * the limit; FILE_OPEN, FILE_READ. */
MUST_USE struct result file_read(struct arena *a, const char *path, size_t limit_bytes, char **out,
                                 size_t *out_len);
/* Writes beside, syncs, renames: the old file or the new one is there, never half. mode as in
 * chmod. */
MUST_USE struct result file_write(const char *path, const void *bytes, size_t len, unsigned mode);
/* After a file was made or renamed: syncs the folder that holds it, so that its name survives a
 * power cut. */
MUST_USE struct result file_settle(const char *path);
bool file_exists(const char *path);
/* mkdir -p */
MUST_USE struct result folder_make(const char *path);

#endif
