/* How much a client may ask for. Each figure is a choice of ours (common practice) with its reason.
 */
#ifndef WEB_LIMITS_H
#define WEB_LIMITS_H

enum {
    /* A command is a few hundred bytes; a strike that tells a shift again some tens of thousands.
     */
    WEB_BODY_MAX = 1 << 20,
    /* A file of 16 MiB, the most that is attached, in base64 (4/3) with room for its command. */
    WEB_BODY_FILE_MAX = 23 << 20,
    /* All bodies being received together. */
    WEB_BODIES_MAX = 192 << 20,
    /* The longest way of ours is below 200 bytes; a query carries codes and short texts. */
    WEB_PATH_MAX = 2048,
    /* Request line and headers, of which browsers send one or two thousand bytes, and what is read
       of a body at a time. */
    WEB_MEMORY_PER_CONNECTION = 64 << 10,
    /* A browser keeps six connections; forty devices and their reloads. */
    WEB_CONNECTIONS_MAX = 512,
    /* All devices may come through one address of the house. */
    WEB_CONNECTIONS_PER_ADDRESS = 256,
    /* A quiet connection is let go ... */
    WEB_IDLE_S = 30,
    /* ... and so is one that has not brought a whole request in this time, byte by byte. */
    WEB_REQUEST_S = 60,
    /* Longest time for taking an answer: 16 MiB at 2 Mbit/s takes 67 s (computed here). */
    WEB_ANSWER_S = 120,
    /* Threads that read requests and answer what is quick; the machines have two to four cores. */
    WEB_THREADS = 4,
    /* Threads that wait for the writer or work long: as many commands share one commit. */
    WEB_WORKERS = 16,
    /* Requests that wait for a worker; more are told to come again. */
    WEB_QUEUE_MAX = 256,
    /* Read connections; each holds 8 MB of cache at most. */
    WEB_READERS = 8,
    /* Answers kept until something is told: forty devices with half a dozen pages each ... */
    WEB_KEPT_MAX = 256,
    /* ... of a few tens of thousands of bytes. */
    WEB_KEPT_BYTES_MAX = 16 << 20,
    /* A few hundred people and stations, some with several browsers. */
    WEB_SESSIONS_MAX = 1024,
    /* Pages that listen for news. */
    WEB_LISTENERS_MAX = 128,
    WEB_LISTENERS_PER_SESSION = 8,
    WEB_HEARTBEAT_S = 15,
    /* Answers from this size on are compressed: below it a packet is a packet. */
    WEB_GZIP_MIN = 1400,
    /* A desk is left for half an hour at most, a shared tablet for five minutes. */
    WEB_IDLE_PASSWORD_S = 30 * 60,
    WEB_IDLE_STATION_S = 5 * 60,
    /* Nobody works longer than a shift and its handing over. */
    WEB_SESSION_S = 12 * 3600,
    /* An enrolled browser stays enrolled. */
    WEB_STATION_S = 365 * 86400,
    /* Wrong tries from one address in a quarter of an hour; several people share one. */
    WEB_TRIES_PER_ADDRESS = 30,
    WEB_TRIES_S = 15 * 60,
    WEB_ADDRESSES_MAX = 4096
};

#endif
