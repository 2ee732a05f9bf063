/* Files that are part of the program (tools/embed_files.c). */
#ifndef WEB_EMBEDDED_H
#define WEB_EMBEDDED_H

#include "base/arena.h"

struct embedded_file {
    const char *name; /* without folders */
    const unsigned char *gzip;
    size_t gzip_len, len; /* len: of the file as it was */
};

/* The file as it was, a zero byte after it. */
const char *embedded_bytes(struct arena *a, const struct embedded_file *file);

/* The pages: index.html and what it needs. */
extern const struct embedded_file web_pages[];
extern const size_t web_pages_count;
/* Pages with places to fill in. */
extern const struct embedded_file web_texts[];
extern const size_t web_texts_count;
/* The shapes of the interface: JSON objects of name -> schema. */
extern const struct embedded_file web_schemas[];
extern const size_t web_schemas_count;

#endif
