/* Durable entries a second: commands through the writer, alone and from 16 clients at once, against
 * bare SQLite commits of one row with synchronous=FULL. In turns, five rounds, median ratios. */
#include <pthread.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/check.h"
#include "base/uuid.h"
#include "folder.h"
#include "service/house.h"
#include "timing.h"

enum { ROUNDS = 5, ALONE = 1500, CLIENTS = 16, EACH = 500 };

static double bare(const char *folder)
{
    char path[256];
    sqlite3 *db;
    sqlite3_stmt *q;
    snprintf(path, sizeof path, "%s/bare.db", folder);
    CHECK(sqlite3_open(path, &db) == SQLITE_OK);
    CHECK(sqlite3_exec(
              db,
              "pragma journal_mode=wal; pragma synchronous=full; create table if not exists t "
              "(a integer primary key, b blob)",
              NULL, NULL, NULL) == SQLITE_OK);
    CHECK(sqlite3_prepare_v2(db, "insert into t (b) values (zeroblob(200))", -1, &q, NULL) ==
          SQLITE_OK);
    double start = now_s();
    for (int i = 0; i < ALONE; i++) {
        CHECK(sqlite3_step(q) == SQLITE_DONE);
        sqlite3_reset(q);
    }
    double rate = ALONE / (now_s() - start);
    sqlite3_finalize(q);
    sqlite3_close(db);
    return rate;
}

/* A moisture check: read, judged against its limit, booked as a reading. */
static json_t *request_new(struct world world, struct arena *a)
{
    json_t *r = json_pack("{s:s,s:{s:s,s:s,s:i,s:s,s:s,s:s}}", "do", "take", "command", "kind",
                          "cold-check", "uuid", uuid_new(a, world), "person", 1, "place", "CR-1",
                          "temp", "2.8 C", "instrument", "TH-9");
    CHECK(r != NULL);
    arena_clear(a);
    return r;
}

struct client {
    struct writer *writer;
    struct world world;
    int count;
};

static void *client_work(void *arg)
{
    struct client *c = arg;
    struct arena a;
    arena_init(&a, 1 << 16);
    for (int i = 0; i < c->count; i++) {
        json_t *answer = NULL, *request = request_new(c->world, &a);
        struct result r = writer_ask(c->writer, request, &answer);
        CHECK(r.code == CODE_OK);
        json_decref(answer);
        json_decref(request);
    }
    arena_release(&a);
    return NULL;
}

static double clients(struct writer *writer, struct world world, int count, int each)
{
    pthread_t threads[CLIENTS];
    struct client c = {.writer = writer, .world = world, .count = each};
    double start = now_s();
    for (int i = 0; i < count; i++) {
        CHECK(pthread_create(&threads[i], NULL, client_work, &c) == 0);
    }
    for (int i = 0; i < count; i++) {
        pthread_join(threads[i], NULL);
    }
    return count * each / (now_s() - start);
}

static void make_plant(const char *folder, const char *profile, struct arena *a)
{
    static const char house[] =
        "{\"kind\":\"place\",\"code\":\"CR-1\",\"place_kind\":\"cold-room\"}\n"
        "{\"kind\":\"instrument\",\"code\":\"TH-9\",\"instrument_kind\":\"thermometer\","
        "\"division\":100,"
        "\"uncertainty\":500,\"due\":\"2099-01-01T00:00:00Z\"}\n";
    struct house_made made;
    char *path = arena_printf(a, "%s-house.jsonl", folder);
    FILE *f = fopen(path, "w");
    CHECK(f != NULL && fputs(house, f) >= 0 && fclose(f) == 0);
    struct house_start start = {.profile = profile,
                                .house = path,
                                .zone = "Europe/Vienna",
                                .manager = 1,
                                .name = "Hilum 1",
                                .password = "bench-bench"};
    struct result r = house_start(folder, world_real(), &start, a, &made);
    if (r.code != CODE_OK) {
        fprintf(stderr, "%s\n", result_sentence(a, &r));
    }
    CHECK(r.code == CODE_OK);
}

int main(int argc, char **argv)
{
    char folder[] = "entries-bench-XXXXXX";
    struct arena a;
    struct plant *plant;
    struct writer *writer;
    double base[ROUNDS], alone[ROUNDS], many[ROUNDS], ratio_alone[ROUNDS], ratio_many[ROUNDS];
    CHECK(mkdtemp(folder) != NULL);
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    const char *plant_folder = arena_printf(&a, "%s/plant", folder);
    make_plant(plant_folder, argc == 2 ? argv[1] : "profiles/sprout-house.json", &a);
    struct result r = plant_open_write(plant_folder, world_real(), &plant);
    CHECK(r.code == CODE_OK);
    r = writer_start(plant, &writer);
    CHECK(r.code == CODE_OK);
    for (int i = 0; i < ROUNDS; i++) {
        base[i] = bare(folder);
        alone[i] = clients(writer, world_real(), 1, ALONE);
        many[i] = clients(writer, world_real(), CLIENTS, EACH);
        ratio_alone[i] = alone[i] / base[i];
        ratio_many[i] = many[i] / base[i];
    }
    writer_stop(writer);
    plant_close(plant);
    printf("entries: bare SQLite FULL commits %.0f/s; ours alone %.0f/s, ratio %.2f (want 0.70 or "
           "more); 16 clients %.0f/s, "
           "ratio %.2f (want 5.00 or more)\n",
           median(base, ROUNDS), median(alone, ROUNDS), median(ratio_alone, ROUNDS),
           median(many, ROUNDS), median(ratio_many, ROUNDS));
    return folder_drop(folder) ? 0 : 1;
}
