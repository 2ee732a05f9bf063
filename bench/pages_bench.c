/* What a page costs. Today, a lot and a trace as JSON over HTTP from a plant of one year, against
 * the smallest libmicrohttpd program, which sends as many fixed bytes: same threads, eight
 * connections that stay open, in turns, median ratios. What was asked before may be answered from
 * memory until something is told; the ratio of lots of which each is asked for anew stands beside.
 * Then how long a reader waits while others record, counted from the moment when each question was
 * due; and how big the pages are. */
#include <fcntl.h>
#include <microhttpd.h>
#include <poll.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <sys/wait.h>

#include "base/file.h"
#include "base/uuid.h"
#include "talk.h"
#include "timing.h"
#include "web/limits.h"
#include "web/squeeze.h"
#include "year.h"

enum {
    ROUNDS = 7,
    CONNECTIONS = 8,
    LOTS = 400,   /* more than are kept */
    READERS = 32, /* connections of those who read while others record */
    READS_A_SECOND = 200,
    TELLS_A_SECOND = 10,
    STEADY_S = 10,
    SEEN = 16 /* lots that are looked at meanwhile */
};

static const double TURN_S = 0.5, LEAST_RATIO = 0.40, MOST_MS = 20, MOST_PAGES = 150e3;

/* What is asked on every connection in turn, and what stands in every answer. */
struct question {
    const char *name;
    const char **requests;
    const char **words;
    size_t count;
};

struct bench {
    struct year year;
    struct arena arena;
    pid_t server;
    int port;
    char cookie[128];
    bool missed;
};

/* ---- the rival */

static enum MHD_Result rival_answer(void *self, struct MHD_Connection *connection, const char *url,
                                    const char *method, const char *version, const char *upload,
                                    size_t *upload_size, void **context)
{
    (void)url, (void)method, (void)version, (void)upload, (void)upload_size;
    if (*context == NULL) { /* the head only */
        *context = self;
        return MHD_YES;
    }
    return MHD_queue_response(connection, 200, self);
}

static void rival_serve(size_t size, int tell)
{
    char *body = malloc(size + 1);
    CHECK(body != NULL && size >= 2);
    memset(body, 'x', size);
    body[0] = body[size - 1] = '"'; /* a JSON text */
    struct MHD_Response *answer =
        MHD_create_response_from_buffer(size, body, MHD_RESPMEM_PERSISTENT);
    CHECK(MHD_add_response_header(answer, "Content-Type", "application/json") == MHD_YES);
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    struct MHD_Daemon *d = MHD_start_daemon(
        MHD_USE_EPOLL_INTERNAL_THREAD, 0, NULL, NULL, rival_answer, answer, MHD_OPTION_SOCK_ADDR,
        &address, MHD_OPTION_THREAD_POOL_SIZE, (unsigned)WEB_THREADS, MHD_OPTION_END);
    CHECK(d != NULL);
    int port = MHD_get_daemon_info(d, MHD_DAEMON_INFO_BIND_PORT)->port;
    CHECK(write(tell, &port, sizeof port) == sizeof port);
    for (;;) {
        pause();
    }
}

static pid_t rival_start(size_t size, int *out_port)
{
    int ends[2];
    CHECK(pipe(ends) == 0);
    pid_t child = fork();
    CHECK(child >= 0);
    if (child == 0) {
        rival_serve(size, ends[1]);
    }
    CHECK(read(ends[0], out_port, sizeof *out_port) == sizeof *out_port);
    close(ends[0]);
    close(ends[1]);
    return child;
}

static void stop(pid_t child)
{
    int status;
    kill(child, SIGTERM);
    CHECK(waitpid(child, &status, 0) == child);
}

/* ---- ours */

static void serve(struct bench *b)
{
    int ends[2];
    char line[1024];
    CHECK(pipe(ends) == 0);
    b->server = fork();
    CHECK(b->server >= 0);
    if (b->server == 0) {
        dup2(ends[1], STDOUT_FILENO);
        close(ends[0]);
        execl(b->year.program, b->year.program, "--plant", b->year.plant, "serve", "--port", "0",
              "--json", (char *)NULL);
        _exit(127);
    }
    close(ends[1]);
    FILE *said = fdopen(ends[0], "r");
    CHECK(said != NULL);
    const char *at = NULL;
    while (at == NULL && fgets(line, sizeof line, said) != NULL) {
        at = strstr(line, "\"port\":");
    }
    CHECK(at != NULL && sscanf(at, "\"port\":%d", &b->port) == 1);
    fclose(said);
}

static const char *request_new(struct bench *b, const char *way, const char *body)
{
    const char *head = body == NULL
                           ? "\r\n"
                           : arena_printf(&b->arena,
                                          "X-Plumule: 1\r\nContent-Type: application/json\r\n"
                                          "Content-Length: %zu\r\n\r\n%s",
                                          strlen(body), body);
    return arena_printf(&b->arena, "%s HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n%s%s", way, b->port,
                        b->cookie, head);
}

static void sign_in(struct bench *b)
{
    struct talk t;
    char token[80];
    talk_open(&t, b->port);
    talk_ask(&t, request_new(b, "POST /api/v1/session",
                             arena_printf(&b->arena, "{\"person\":%d,\"password\":\"%s\"}",
                                          DEMO_MANAGER, DEMO_PASSWORD)));
    while (!talk_take(&t)) {
    }
    CHECK(talk_status(&t) == 200);
    const char *at = strstr(t.answer, "plumule_session=");
    CHECK(at != NULL && sscanf(at, "plumule_session=%63[^;]", token) == 1);
    snprintf(b->cookie, sizeof b->cookie, "Cookie: plumule_session=%s\r\n", token);
    talk_close(&t);
}

/* -> bytes of the answers, on average. */
static size_t compare(const struct bench *b, const struct question *q)
{
    struct talk t;
    size_t all = 0;
    talk_open(&t, b->port);
    for (size_t i = 0; i < q->count; i++) {
        talk_ask(&t, q->requests[i]);
        while (!talk_take(&t)) {
        }
        if (talk_status(&t) != 200 || strstr(t.answer + t.head, q->words[i]) == NULL) {
            fprintf(stderr, "pages: %s answers %.200s\n", q->requests[i], t.answer);
            exit(1);
        }
        all += t.whole - t.head;
    }
    talk_close(&t);
    return all / q->count;
}

/* ---- answers a second */

static double rate(int port, const struct question *q, size_t *at)
{
    struct talk t[CONNECTIONS];
    struct pollfd p[CONNECTIONS];
    size_t done = 0;
    for (size_t i = 0; i < CONNECTIONS; i++) {
        talk_open(&t[i], port);
        p[i] = (struct pollfd){.fd = t[i].fd, .events = POLLIN};
        talk_ask(&t[i], q->requests[(*at)++ % q->count]);
    }
    double start = now_s(), end = start + TURN_S, now = start;
    while (now < end) {
        CHECK(poll(p, CONNECTIONS, -1) > 0);
        for (size_t i = 0; i < CONNECTIONS; i++) {
            if (p[i].revents != 0 && talk_take(&t[i])) {
                done++;
                talk_ask(&t[i], q->requests[(*at)++ % q->count]);
            }
        }
        now = now_s();
    }
    for (size_t i = 0; i < CONNECTIONS; i++) {
        talk_close(&t[i]);
    }
    return (double)done / (now - start);
}

/* -> the median of ours over theirs. */
static double race(struct bench *b, const struct question *q)
{
    double theirs[ROUNDS], ours[ROUNDS], ratios[ROUNDS];
    size_t size = compare(b, q), at = 0;
    int port;
    pid_t rival = rival_start(size, &port);
    for (int i = 0; i < ROUNDS; i++) {
        theirs[i] = rate(port, q, &at);
        ours[i] = rate(b->port, q, &at);
        ratios[i] = ours[i] / theirs[i];
    }
    stop(rival);
    double ratio = median(ratios, ROUNDS);
    printf("pages: %s, %zu bytes: the smallest server %.0f/s, ours %.0f/s, ratio %.2f\n", q->name,
           size, median(theirs, ROUNDS), median(ours, ROUNDS), ratio);
    return ratio;
}

/* ---- waiting while others record */

struct recorder {
    struct bench *b;
    atomic_bool stop;
    size_t told;
};

static void *record(void *self)
{
    struct recorder *r = self;
    struct talk t;
    double due = now_s();
    talk_open(&t, r->b->port);
    for (; !r->stop; r->told++) {
        struct arena a;
        struct bench own = *r->b;
        arena_init(&a, 1 << 16);
        own.arena = a;
        const char *body =
            arena_printf(&own.arena,
                         "{\"kind\":\"cold-check\",\"uuid\":\"%s\",\"person\":%d,\"place\":"
                         "\"CR-1\",\"temp\":\"2.8 C\",\"instrument\":\"TH-9\"}",
                         uuid_new(&own.arena, world_real()), DEMO_MANAGER);
        talk_ask(&t, request_new(&own, "POST /api/v1/entries", body));
        while (!talk_take(&t)) {
        }
        if (talk_status(&t) != 200) {
            fprintf(stderr, "pages: recording answers %.600s\n", t.answer);
            exit(1);
        }
        arena_release(&own.arena);
        due += 1.0 / TELLS_A_SECOND;
        double left = due - now_s();
        if (left > 0) {
            usleep((useconds_t)(left * 1e6));
        }
    }
    talk_close(&t);
    return NULL;
}

struct reader {
    struct talk talk;
    bool busy;
    double due;
};

static void wait_until(struct pollfd *p, double due)
{
    double left = due - now_s();
    struct timespec t = {.tv_sec = (time_t)left,
                         .tv_nsec = (long)((left - (double)(time_t)left) * 1e9)};
    if (left < 0) {
        t = (struct timespec){0};
    }
    CHECK(ppoll(p, READERS, &t, NULL) >= 0);
}

/* Asks at steady times, whatever is answered. -> milliseconds from when each was due. */
static size_t read_steadily(const struct bench *b, const struct question *q, double *out_ms)
{
    struct reader r[READERS] = {0};
    struct pollfd p[READERS];
    size_t asked = 0, answered = 0, count = READS_A_SECOND * STEADY_S;
    for (size_t i = 0; i < READERS; i++) {
        talk_open(&r[i].talk, b->port);
        p[i] = (struct pollfd){.fd = r[i].talk.fd, .events = POLLIN};
    }
    double start = now_s();
    while (answered < count) {
        double due = start + (double)asked / READS_A_SECOND;
        bool any = asked < count && now_s() >= due;
        for (size_t i = 0; any && i < READERS; i++) {
            if (!r[i].busy) {
                talk_ask(&r[i].talk, q->requests[asked++ % q->count]);
                r[i].busy = true;
                r[i].due = due;
                break;
            }
        }
        due = start + (double)asked / READS_A_SECOND;
        wait_until(p, asked < count ? due : now_s() + 1);
        for (size_t i = 0; i < READERS; i++) {
            if (p[i].revents != 0 && talk_take(&r[i].talk)) {
                CHECK(talk_status(&r[i].talk) == 200);
                out_ms[answered++] = (now_s() - r[i].due) * 1e3;
                r[i].busy = false;
            }
        }
    }
    for (size_t i = 0; i < READERS; i++) {
        talk_close(&r[i].talk);
    }
    return count;
}

static void measure_wait(struct bench *b, const struct question *q)
{
    static double ms[READS_A_SECOND * STEADY_S];
    struct recorder recorder = {.b = b};
    pthread_t thread;
    CHECK(pthread_create(&thread, NULL, record, &recorder) == 0);
    size_t count = read_steadily(b, q, ms);
    recorder.stop = true;
    pthread_join(thread, NULL);
    qsort(ms, count, sizeof *ms, by_size);
    double p99 = ms[count * 99 / 100];
    printf("pages: %d answers a second while %zu entries are told: p50 %.1f ms, p99 %.1f ms (want "
           "%.0f or less), the longest %.1f ms\n",
           READS_A_SECOND, recorder.told, ms[count / 2], p99, MOST_MS, ms[count - 1]);
    b->missed = b->missed || p99 > MOST_MS;
}

/* ---- what is asked */

static struct question question_new(struct bench *b, const char *name, size_t room)
{
    return (struct question){.name = name,
                             .requests = ARENA_ARRAY(&b->arena, const char *, room),
                             .words = ARENA_ARRAY(&b->arena, const char *, room)};
}

static void ask_for(struct bench *b, struct question *q, const char *way, const char *word)
{
    q->requests[q->count] = request_new(b, arena_printf(&b->arena, "GET /api/v1/%s", way), NULL);
    q->words[q->count++] = arena_copy(&b->arena, word);
}

static void ask_lot(struct bench *b, struct question *q, const char *lot)
{
    ask_for(b, q, arena_printf(&b->arena, "lots/%s", lot), lot);
}

static void ask_today(struct bench *b, struct question *q)
{
    ask_for(b, q, "today", "\"lines\"");
}

static void ask_trace(struct bench *b, struct question *q, const char *code, const char *word)
{
    ask_for(b, q, arena_printf(&b->arena, "trace?code=%s&direction=back", code), word);
}

/* The newest packed lots. */
static void ask_many(struct bench *b, struct question *lots, struct question *mixed)
{
    static const char sql[] = "select code from lot where kind = 'packed' and struck is null "
                              "order by id desc limit ?1";
    sqlite3 *db = year_open(&b->year);
    sqlite3_stmt *q;
    CHECK(sqlite3_prepare_v2(db, sql, -1, &q, NULL) == SQLITE_OK);
    sqlite3_bind_int(q, 1, LOTS);
    while (sqlite3_step(q) == SQLITE_ROW) {
        const char *code = arena_copy(&b->arena, (const char *)sqlite3_column_text(q, 0));
        ask_lot(b, lots, code);
        if (lots->count <= SEEN) {
            ask_lot(b, mixed, code);
            ask_today(b, mixed);
            ask_trace(b, mixed, code, code);
        }
    }
    sqlite3_finalize(q);
    sqlite3_close(db);
    CHECK(lots->count > WEB_KEPT_MAX);
}

static void measure_rates(struct bench *b)
{
    struct question lot = question_new(b, "a lot", 1), today = question_new(b, "today", 1),
                    trace = question_new(b, "a trace", 1),
                    lots = question_new(b, "a lot not asked for before", LOTS),
                    mixed = question_new(b, "", SEEN * 3);
    ask_lot(b, &lot, b->year.lot);
    ask_today(b, &today);
    ask_trace(b, &trace, b->year.gone_case, b->year.lot);
    ask_many(b, &lots, &mixed);
    b->missed = race(b, &lot) < LEAST_RATIO;
    printf("pages: (want %.2f or more for a lot)\n", LEAST_RATIO);
    race(b, &today);
    race(b, &trace);
    race(b, &lots);
    measure_wait(b, &mixed);
}

/* ---- the pages */

static void measure_pages(struct bench *b)
{
    static const char *const names[] = {
        "index.html",           "app.js",  "rest.js", "chunk.js", "app.css", "sw.js",
        "manifest.webmanifest", "icon.svg"};
    const char *folder = "build/ui"; /* from where ./dev stands */
    size_t all = 0;
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        char *bytes;
        size_t len, squeezed;
        const char *path = arena_printf(&b->arena, "%s/%s", folder, names[i]);
        struct result r = file_read(&b->arena, path, 16 << 20, &bytes, &len);
        if (r.code != CODE_OK) {
            fprintf(stderr, "pages: %s\n", result_sentence(&b->arena, &r));
            exit(1);
        }
        all += squeeze(&b->arena, bytes, len, &squeezed) != NULL ? squeezed : len;
    }
    printf("pages: %.1f kB as they are sent (want %.0f or less)\n", (double)all / 1e3,
           MOST_PAGES / 1e3);
    b->missed = b->missed || (double)all > MOST_PAGES;
}

int main(int argc, char **argv)
{
    struct bench b = {0};
    if (!year_begin(&b.year, argc == 2 ? (int)strtol(argv[1], NULL, 10) : 52)) {
        return 1;
    }
    arena_init(&b.arena, ARENA_LIMIT_DEFAULT);
    serve(&b);
    sign_in(&b);
    measure_rates(&b);
    stop(b.server);
    measure_pages(&b);
    arena_release(&b.arena);
    return year_end(&b.year) && !b.missed ? 0 : 1;
}
