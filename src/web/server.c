#include "web/server.h"

#include <arpa/inet.h>
#include <errno.h>
#include <microhttpd.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/check.h"
#include "web/dispatch.h"
#include "web/events.h"
#include "web/guard.h"
#include "web/limits.h"
#include "web/links.h"
#include "web/squeeze.h"
#include "web/web_inner.h"
#include "web/workers.h"

enum { STREAM_BLOCK = 1024 }; /* a piece of news is a hundred bytes or two */

struct server {
    struct web *web;
    struct MHD_Daemon *daemon;
    struct workers *workers;
    struct links *links;
    bool secure;
    int port;
    atomic_llong body_bytes; /* of all requests being received or answered */
};

enum request_state { REQUEST_NEW, REQUEST_COMING, REQUEST_WAITING, REQUEST_READY };

struct request {
    struct job job; /* first */
    struct server *server;
    struct MHD_Connection *connection;
    struct link *link;
    struct arena arena;
    struct call call;
    const char *uri;
    enum request_state state;
    char *body;
    size_t body_len, body_size;
    char *text; /* the answer's JSON */
};

static void *on_uri(void *self, const char *uri, struct MHD_Connection *connection)
{
    struct request *r = calloc(1, sizeof *r);
    CHECK(r != NULL);
    r->server = self;
    r->connection = connection;
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    r->link = info->socket_context;
    arena_init(&r->arena, ARENA_LIMIT_DEFAULT);
    r->call = (struct call){.web = r->server->web, .arena = &r->arena, .socket = -1, .lang = "en"};
    r->uri = strlen(uri) <= WEB_PATH_MAX ? arena_copy(&r->arena, uri) : NULL;
    return r;
}

static void on_completed(void *self, struct MHD_Connection *connection, void **context,
                         enum MHD_RequestTerminationCode how)
{
    struct server *s = self;
    struct request *r = *context;
    (void)connection;
    (void)how;
    if (r == NULL) {
        return;
    }
    link_set(s->links, r->link, LINK_ASKING);
    s->body_bytes -= (long long)r->body_size;
    if (r->call.kept != NULL) {
        kept_let_go(s->web->kept, r->call.kept);
    }
    if (r->call.listener != NULL) {
        listener_close(r->call.listener);
    }
    json_decref(r->call.json);
    json_decref(r->call.out);
    free(r->body);
    free(r->text);
    arena_release(&r->arena);
    free(r);
    *context = NULL;
}

static void on_connection(void *self, struct MHD_Connection *connection, void **context,
                          enum MHD_ConnectionNotificationCode what)
{
    struct server *s = self;
    if (what == MHD_CONNECTION_NOTIFY_STARTED) {
        const union MHD_ConnectionInfo *info =
            MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
        *context = link_add(s->links, info->connect_fd);
    } else {
        link_remove(s->links, *context);
        *context = NULL;
    }
}

static const char *header_of(struct request *r, const char *name)
{
    return MHD_lookup_connection_value(r->connection, MHD_HEADER_KIND, name);
}

static const char *peer_of(struct request *r)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(r->connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    char text[INET6_ADDRSTRLEN] = "";
    const struct sockaddr *address = info->client_addr;
    if (address->sa_family == AF_INET) {
        inet_ntop(AF_INET, &((const struct sockaddr_in *)(const void *)address)->sin_addr, text,
                  sizeof text);
    } else if (address->sa_family == AF_INET6) {
        inet_ntop(AF_INET6, &((const struct sockaddr_in6 *)(const void *)address)->sin6_addr, text,
                  sizeof text);
    }
    return arena_copy(&r->arena, text);
}

static enum method method_of(const char *text)
{
    return strcmp(text, "GET") == 0 || strcmp(text, "HEAD") == 0 ? METHOD_GET
           : strcmp(text, "POST") == 0                           ? METHOD_POST
           : strcmp(text, "DELETE") == 0                         ? METHOD_DELETE
                                                                 : METHOD_OTHER;
}

static void read_head(struct request *r, const char *method)
{
    struct call *c = &r->call;
    c->method = method_of(method);
    c->secure = r->server->secure;
    c->peer = peer_of(r);
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(r->connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    c->socket = info->connect_fd;
    c->asked = (struct asked){.host = header_of(r, "Host"),
                              .origin = header_of(r, "Origin"),
                              .fetch_site = header_of(r, "Sec-Fetch-Site"),
                              .fetch_mode = header_of(r, "Sec-Fetch-Mode"),
                              .content_type = header_of(r, "Content-Type"),
                              .cookie = header_of(r, "Cookie"),
                              .accept_language = header_of(r, "Accept-Language"),
                              .accept_encoding = header_of(r, "Accept-Encoding"),
                              .if_none_match = header_of(r, "If-None-Match"),
                              .plumule = header_of(r, "X-Plumule"),
                              .queue = header_of(r, "X-Plumule-Queue"),
                              .last_event_id = header_of(r, "Last-Event-ID")};
}

/* The body's length; LENGTH_MISSING when only its end would tell. */
static struct result length_of(struct request *r, int64_t *out)
{
    const char *length = header_of(r, "Content-Length");
    *out = 0;
    if (header_of(r, "Transfer-Encoding") != NULL ||
        (length == NULL && r->call.method == METHOD_POST)) {
        return FAIL0(LENGTH_MISSING, "");
    }
    return length != NULL ? call_number(length, "Content-Length", 0, INT64_C(1) << 40, out)
                          : RESULT_OK;
}

static struct result begin(struct request *r, const char *method)
{
    struct call *c = &r->call;
    int64_t len;
    read_head(r, method);
    if (r->uri == NULL) {
        return FAIL1(TARGET_BAD, "", "it is too long");
    }
    TRY(target_read(&r->arena, r->uri, &c->target));
    TRY(length_of(r, &len));
    if (!dispatch_head(c, len)) {
        return RESULT_OK;
    }
    if (atomic_fetch_add(&r->server->body_bytes, (long long)len) + len > WEB_BODIES_MAX) {
        r->server->body_bytes -= (long long)len;
        call_retry_after(c, 2);
        return FAIL0(SERVER_BUSY, "");
    }
    r->body_size = (size_t)len;
    if (len > 0) {
        r->body = malloc((size_t)len);
        CHECK(r->body != NULL);
    }
    return RESULT_OK;
}

/* The answer's bytes, ready to be sent by whatever thread. */
static void finish(struct request *r)
{
    struct call *c = &r->call;
    if (c->out != NULL && c->status != 304) {
        r->text = json_text(c->out, &c->bytes_len);
        c->bytes = r->text;
        if (takes_gzip(c->asked.accept_encoding)) {
            size_t len;
            const char *squeezed = squeeze(&r->arena, c->bytes, c->bytes_len, &len);
            if (squeezed != NULL) {
                c->bytes = squeezed;
                c->bytes_len = len;
                c->gzipped = true;
            }
        }
        dispatch_keep(c);
    }
    if (c->status == 304) {
        c->bytes = NULL;
        c->bytes_len = 0;
    }
}

static void put_header(void *self, const char *name, const char *value)
{
    enum MHD_Result put = MHD_add_response_header(self, name, value);
    CHECK(put == MHD_YES);
}

static void sleep_stream(void *connection)
{
    MHD_suspend_connection(connection);
}

static void wake_stream(void *connection)
{
    MHD_resume_connection(connection);
}

static ssize_t read_stream(void *self, uint64_t at, char *out, size_t size)
{
    (void)at;
    long len = listener_read(self, out, size);
    return len < 0 ? MHD_CONTENT_READER_END_OF_STREAM : (ssize_t)len;
}

static struct MHD_Response *response_of(struct request *r)
{
    struct call *c = &r->call;
    if (c->listener != NULL) {
        listener_carry(c->listener, sleep_stream, wake_stream, r->connection);
        return MHD_create_response_from_callback(MHD_SIZE_UNKNOWN, STREAM_BLOCK, read_stream,
                                                 c->listener, NULL);
    }
    return MHD_create_response_from_buffer(c->bytes_len, (void *)(uintptr_t)c->bytes,
                                           MHD_RESPMEM_PERSISTENT);
}

static enum MHD_Result answer(struct request *r)
{
    struct call *c = &r->call;
    struct MHD_Response *response = response_of(r);
    CHECK(response != NULL);
    guard_headers(c, put_header, response);
    if (c->content_type != NULL && c->status != 304) {
        put_header(response, "Content-Type", c->content_type);
    }
    if (c->gzipped && c->status != 304) {
        put_header(response, "Content-Encoding", "gzip");
    }
    if (c->etag != NULL) {
        put_header(response, "ETag", c->etag);
    }
    put_header(response, "Vary", "Accept-Encoding, Accept-Language, Cookie");
    for (size_t i = 0; i < c->header_count; i++) {
        put_header(response, c->headers[i].name, c->headers[i].value);
    }
    link_set(r->server->links, r->link, c->listener != NULL ? LINK_STREAMING : LINK_ANSWERING);
    enum MHD_Result queued = MHD_queue_response(r->connection, (unsigned)c->status, response);
    MHD_destroy_response(response);
    return queued;
}

static enum MHD_Result refuse(struct request *r, struct result why)
{
    dispatch_fail(&r->call, &why);
    finish(r);
    return answer(r);
}

static void run_waiting(struct job *job)
{
    struct request *r = (struct request *)job;
    dispatch_run(&r->call);
    finish(r);
    r->state = REQUEST_READY;
    MHD_resume_connection(r->connection); /* r may be gone now */
}

static void let_wait(struct job *job)
{
    struct request *r = (struct request *)job;
    r->state = REQUEST_WAITING;
    MHD_suspend_connection(r->connection);
}

static enum MHD_Result run(struct request *r)
{
    r->call.body = r->body;
    r->call.body_len = r->body_len;
    link_set(r->server->links, r->link, LINK_WORKING);
    if (dispatch_again(&r->call)) {
        finish(r);
        return answer(r);
    }
    if (dispatch_waits(&r->call)) {
        r->job.run = run_waiting;
        if (!workers_offer(r->server->workers, &r->job, let_wait)) {
            call_retry_after(&r->call, 2);
            return refuse(r, FAIL0(SERVER_BUSY, ""));
        }
        return MHD_YES;
    }
    dispatch_run(&r->call);
    finish(r);
    return answer(r);
}

static enum MHD_Result on_request(void *self, struct MHD_Connection *connection, const char *url,
                                  const char *method, const char *version, const char *bytes,
                                  size_t *len, void **context)
{
    struct request *r = *context;
    (void)self;
    (void)connection;
    (void)url;
    (void)version;
    if (r->state == REQUEST_NEW) {
        r->state = REQUEST_COMING;
        struct result why = begin(r, method);
        if (why.code != CODE_OK) {
            return refuse(r, why);
        }
        if (r->call.status != 0) { /* refused by its head */
            finish(r);
            return answer(r);
        }
        return MHD_YES;
    }
    if (*len > 0) {
        CHECK(*len <= r->body_size - r->body_len); /* the library counts by Content-Length */
        memcpy(r->body + r->body_len, bytes, *len);
        r->body_len += *len;
        *len = 0;
        return MHD_YES;
    }
    return r->state == REQUEST_READY ? answer(r) : run(r);
}

/* Addresses stay as they came: we decode them ourselves, part by part. */
static size_t leave_escaped(void *self, struct MHD_Connection *connection, char *text)
{
    (void)self;
    (void)connection;
    return strlen(text);
}

static void stay_silent(void *self, const char *format, va_list args)
{
    (void)self;
    (void)format;
    (void)args;
}

static bool read_address(const struct listen_at *at, struct sockaddr_storage *out)
{
    struct sockaddr_in *v4 = (struct sockaddr_in *)(void *)out;
    struct sockaddr_in6 *v6 = (struct sockaddr_in6 *)(void *)out;
    memset(out, 0, sizeof *out);
    if (inet_pton(AF_INET, at->address, &v4->sin_addr) == 1) {
        v4->sin_family = AF_INET;
        v4->sin_port = htons((uint16_t)at->port);
        return true;
    }
    if (inet_pton(AF_INET6, at->address, &v6->sin6_addr) == 1) {
        v6->sin6_family = AF_INET6;
        v6->sin6_port = htons((uint16_t)at->port);
        return true;
    }
    return false;
}

static struct MHD_Daemon *start_daemon(struct server *s, const struct listen_at *at,
                                       const struct sockaddr_storage *address)
{
    unsigned flags = MHD_USE_EPOLL_INTERNAL_THREAD | MHD_ALLOW_SUSPEND_RESUME | MHD_USE_ERROR_LOG;
    flags |= address->ss_family == AF_INET6 ? MHD_USE_IPv6 : 0;
    flags |= s->secure ? MHD_USE_TLS : 0;
    struct MHD_OptionItem tls[] = {
        {MHD_OPTION_HTTPS_MEM_CERT, 0, (void *)(uintptr_t)at->certificate},
        {MHD_OPTION_HTTPS_MEM_KEY, 0, (void *)(uintptr_t)at->key},
        {MHD_OPTION_END, 0, NULL}};
    struct MHD_OptionItem none[] = {{MHD_OPTION_END, 0, NULL}};
    return MHD_start_daemon(
        flags, 0, NULL, NULL, on_request, s, MHD_OPTION_EXTERNAL_LOGGER, stay_silent, NULL,
        MHD_OPTION_SOCK_ADDR, address, MHD_OPTION_THREAD_POOL_SIZE, (unsigned)WEB_THREADS,
        MHD_OPTION_CONNECTION_LIMIT, (unsigned)WEB_CONNECTIONS_MAX,
        MHD_OPTION_PER_IP_CONNECTION_LIMIT, (unsigned)WEB_CONNECTIONS_PER_ADDRESS,
        MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)WEB_IDLE_S, MHD_OPTION_CONNECTION_MEMORY_LIMIT,
        (size_t)WEB_MEMORY_PER_CONNECTION, MHD_OPTION_NOTIFY_COMPLETED, on_completed, s,
        MHD_OPTION_NOTIFY_CONNECTION, on_connection, s, MHD_OPTION_URI_LOG_CALLBACK, on_uri, s,
        MHD_OPTION_UNESCAPE_CALLBACK, leave_escaped, NULL, MHD_OPTION_STRICT_FOR_CLIENT, 1,
        MHD_OPTION_ARRAY, s->secure ? tls : none, MHD_OPTION_END);
}

struct result server_start(struct web *web, const struct listen_at *at, struct server **out)
{
    struct sockaddr_storage address;
    if (!read_address(at, &address)) {
        return FAIL2(FIELD_RANGE, "bind", at->address, "an address of this machine as numbers");
    }
    struct server *s = calloc(1, sizeof *s);
    CHECK(s != NULL);
    s->web = web;
    s->secure = at->certificate != NULL;
    s->links = links_start(WEB_REQUEST_S, WEB_ANSWER_S);
    s->workers = workers_start(WEB_WORKERS, WEB_QUEUE_MAX);
    errno = 0;
    s->daemon = start_daemon(s, at, &address);
    if (s->daemon == NULL) {
        const char *why = errno != 0 ? strerror(errno) : "it cannot be listened on";
        workers_stop(s->workers);
        links_stop(s->links);
        free(s);
        return FAIL2(FILE_OPEN, "", at->address, why);
    }
    s->port = MHD_get_daemon_info(s->daemon, MHD_DAEMON_INFO_BIND_PORT)->port;
    *out = s;
    return RESULT_OK;
}

int server_port(const struct server *s)
{
    return s->port;
}

void server_stop(struct server *s)
{
    MHD_socket listener = MHD_quiesce_daemon(s->daemon);
    workers_stop(s->workers);
    MHD_stop_daemon(s->daemon);
    if (listener != MHD_INVALID_SOCKET) {
        close(listener);
    }
    links_stop(s->links);
    free(s);
}
