/* The local socket: requests and answers as JSON lines, so that commands can write while a program
 * serves. Only the user who owns the plant's folder may connect (mode 0600). */
#ifndef SERVICE_SOCKET_H
#define SERVICE_SOCKET_H

#include <stdatomic.h>

#include "service/serving.h"

enum { SOCKET_LINE_MAX = 32 << 20, SOCKET_CLIENTS_MAX = 64 };

/* Serves until *stop becomes true (checked a few times a second). FILE_OPEN. */
MUST_USE struct result socket_serve(struct serving *serving, const atomic_bool *stop);

/* A way to the record's writer: through the socket of a serving program, else by opening the record
 * itself. */
struct door;
MUST_USE struct result door_open(const char *folder, struct world world, struct door **out);
/* The same on a plant that is already open for writing (not closed by door_close). */
struct door *door_of_plant(struct plant *plant);
MUST_USE struct result door_ask(struct door *door, const json_t *request, json_t **out_answer);
/* True when the record is open in this process. */
bool door_is_direct(const struct door *door);
struct plant *door_plant(struct door *door);
void door_close(struct door *door);

#endif
