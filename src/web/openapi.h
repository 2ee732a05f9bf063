/* The server's own description (OpenAPI 3.1), made from the routes and the schemas. */
#ifndef WEB_OPENAPI_H
#define WEB_OPENAPI_H

#include "base/json.h"

/* The document; the caller owns it. */
json_t *openapi_document(void);

#endif
