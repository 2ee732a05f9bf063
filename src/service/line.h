/* Lines over a file descriptor, with a cap. */
#ifndef SERVICE_LINE_H
#define SERVICE_LINE_H

#include "base/result.h"

struct line_reader {
    int fd;
    char *buffer;
    size_t used, start, room, limit;
};

void line_reader_init(struct line_reader *r, int fd, size_t limit);
void line_reader_release(struct line_reader *r);
/* The next line without its end, a zero after it, valid until the next call. *out_end at the end of
 * the stream (an unfinished last line counts as a line). INPUT_LARGE over the limit: nothing can be
 * read behind it. FILE_READ. */
MUST_USE struct result line_read(struct line_reader *r, char **out, size_t *out_len, bool *out_end);
/* Writes text and a line end whole. FILE_WRITE. */
MUST_USE struct result line_write(int fd, const char *text, size_t len);

#endif
