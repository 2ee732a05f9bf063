#include "naive.h"

#include <sqlite3.h>

#include "base/civil.h"

const char *const way_names[WAYS] = {"batch", "seed", "same-seed", "surface", "water"};

/* Kinds of places whose surface touches product: `surfaces` of profiles/sprout-house.json. */
static const char *const surface_kinds[] = {"chamber", "soak-tank", "treater",  "wash-line",
                                            "trimmer", "sorter",    "pack-line"};
static const char *const steps[] = {"heat-treat", "wash", "trim", "rinse",
                                    "sort",       "dry",  "grow", "pack"};
enum { STEPS = sizeof steps / sizeof steps[0], AT_ONCE = 64 };

/* One line of the daybook. */
struct line {
    int64_t seq, at_ms;
    const char *kind;
    const json_t *did, *answer;
};

/* ---- lists */

static const char *text(const json_t *object, const char *key)
{
    return json_string_value(json_object_get(object, key));
}

static bool same(const char *a, const char *b)
{
    return a != NULL && b != NULL && strcmp(a, b) == 0;
}

static const char *keep(struct naive *n, const char *is)
{
    return is != NULL ? arena_copy(&n->arena, is) : NULL;
}

static size_t lot_of(struct naive *n, const char *code, const char *kind)
{
    assert_non_null(code);
    for (size_t i = 0; i < n->lot_count; i++) {
        if (same(n->lots[i].code, code)) {
            return i;
        }
    }
    assert_true(n->lot_count < LOTS_MAX);
    n->lots[n->lot_count] = (struct naive_lot){.code = keep(n, code), .kind = kind};
    return n->lot_count++;
}

static void name(struct naive *n, struct naive_list *list, struct naive_named row)
{
    assert_non_null(row.code);
    assert_true(list->count < NAMED_MAX);
    row.code = keep(n, row.code);
    row.text = keep(n, row.text);
    list->row[list->count++] = row;
}

/* The newest of that name; NULL: none. */
static const struct naive_named *named(const struct naive_list *list, const char *code)
{
    for (size_t i = list->count; i > 0; i--) {
        if (same(list->row[i - 1].code, code)) {
            return &list->row[i - 1];
        }
    }
    return NULL;
}

static struct naive_use *use(struct naive *n, struct naive_use u)
{
    assert_non_null(u.place);
    assert_true(n->use_count < USES_MAX);
    u.place = keep(n, u.place);
    u.run = keep(n, u.run);
    n->uses[n->use_count] = u;
    return &n->uses[n->use_count++];
}

static void link_lots(struct naive *n, size_t parent, size_t child)
{
    assert_true(n->link_count < LINKS_MAX);
    n->links[n->link_count++] = (struct naive_link){parent, child};
}

static int64_t time_of(const struct line *l, const char *key)
{
    const char *is = text(l->did, key);
    int64_t ms = l->at_ms;
    if (is != NULL) {
        assert_ok(civil_read(is, key, &ms));
    }
    return ms;
}

/* ---- what was told */

static void tell_receive(struct naive *n, const struct line *l)
{
    const char *of =
        arena_printf(&n->arena, "%s/%s", text(l->did, "supplier"), text(l->answer, "supplier_lot"));
    size_t seed = lot_of(n, text(l->answer, "lot"), "seed");
    size_t supplier_lot = lot_of(n, of, "supplier");
    n->lots[seed].supplier_lot = of;
    n->lots[supplier_lot].supplier_lot = of;
    link_lots(n, supplier_lot, seed);
}

/* The batch that a chamber holds; the test is over when it is empty. */
static struct naive_use *in_chamber(struct naive *n, const char *chamber, const char *batch)
{
    for (size_t i = n->use_count; i > 0; i--) {
        struct naive_use *u = &n->uses[i - 1];
        if (u->to_ms == INT64_MAX &&
            (same(u->place, chamber) || same(n->lots[u->lot].code, batch))) {
            return u;
        }
    }
    print_error("nothing grows in %s or is %s\n", chamber != NULL ? chamber : "-",
                batch != NULL ? batch : "-");
    fail();
    return NULL;
}

static struct naive_use *batch_told(struct naive *n, const struct line *l)
{
    return in_chamber(n, text(l->did, "chamber"), text(l->did, "lot"));
}

/* What lies in a soak tank lies there until the chamber is filled with it. */
static void leave_tank(struct naive *n, size_t load, int64_t at_ms)
{
    for (size_t i = 0; i < n->use_count; i++) {
        struct naive_use *u = &n->uses[i];
        const struct naive_named *kind = named(&n->kinds, u->place);
        if (u->lot == load && kind != NULL && same(kind->text, "soak-tank")) {
            u->to_ms = at_ms;
        }
    }
}

static size_t lots_in(struct naive *n, const struct line *l, size_t *out)
{
    size_t count = 0, i;
    json_t *input;
    json_array_foreach(json_object_get(l->did, "inputs"), i, input)
    {
        assert_true(count < AT_ONCE);
        out[count++] = lot_of(n, text(input, "lot"), "unknown");
    }
    assert_true(count > 0);
    return count;
}

static size_t lots_out(struct naive *n, const struct line *l, size_t *out)
{
    size_t count = 0, i;
    json_t *lot;
    json_array_foreach(json_object_get(l->answer, "lots"), i, lot)
    {
        assert_true(count < AT_ONCE);
        out[count++] = lot_of(n, text(lot, "lot"), "made");
    }
    if (count == 0) {
        const char *kind = same(l->kind, "grow")         ? "growing"
                           : same(l->kind, "heat-treat") ? "load"
                                                         : "made";
        out[count++] = lot_of(n, text(l->answer, "lot"), kind);
    }
    return count;
}

/* Lots in, lots out, on a place: of a harvest the chamber is what it was on, where it is put it
 * stands in bins. */
static void tell_step(struct naive *n, const struct line *l)
{
    size_t in[AT_ONCE], out[AT_ONCE], ins = lots_in(n, l, in), outs = lots_out(n, l, out);
    bool grows = same(l->kind, "grow");
    struct naive_use u = {.place = text(l->did, grows ? "chamber" : "place"),
                          .run = text(l->did, "run"),
                          .from_ms = time_of(l, "start"),
                          .to_ms = time_of(l, "end")};
    for (size_t i = 0; i < ins; i++) {
        u.lot = in[i];
        use(n, u);
        if (grows) {
            leave_tank(n, in[i], u.to_ms);
        }
        for (size_t k = 0; k < outs; k++) {
            link_lots(n, in[i], out[k]);
        }
    }
    for (size_t k = 0; k < outs; k++) {
        u.lot = out[k];
        u.out = true;
        u.to_ms = grows ? INT64_MAX : u.to_ms;
        use(n, u);
    }
}

static void tell_harvest(struct naive *n, const struct line *l)
{
    struct naive_use *batch = batch_told(n, l);
    link_lots(n, batch->lot, lot_of(n, text(l->answer, "lot"), "made"));
    if (json_is_true(json_object_get(l->answer, "emptied"))) {
        batch->to_ms = l->at_ms;
    }
}

static void tell_pass(struct naive *n, const struct line *l)
{
    use(n, (struct naive_use){.lot = lot_of(n, text(l->did, "lot"), "unknown"),
                              .place = text(l->did, "place"),
                              .from_ms = time_of(l, "start"),
                              .to_ms = time_of(l, "end"),
                              .out = true});
}

static void tell_water(struct naive *n, const struct line *l)
{
    assert_true(n->watering_count < WATERINGS_MAX);
    n->waterings[n->watering_count++] = (struct naive_watering){
        .lot = batch_told(n, l)->lot, .source = keep(n, text(l->did, "source")), .at_ms = l->at_ms};
}

static void tell_clean(struct naive *n, const struct line *l)
{
    if (!json_is_true(json_object_get(l->answer, "valid"))) {
        return;
    }
    assert_true(n->clean_count < CLEANS_MAX);
    n->cleans[n->clean_count++] = (struct naive_clean){.place = keep(n, text(l->did, "place")),
                                                       .from_ms = time_of(l, "start"),
                                                       .to_ms = time_of(l, "end")};
}

static void tell_run(struct naive *n, const struct line *l)
{
    const char *carry = text(l->did, "carry_over");
    int64_t ms = -1; /* unknown */
    if (carry != NULL && !same(carry, "unknown")) {
        char unit[8];
        long long seconds;
        assert_int_equal(sscanf(carry, "%lld %7s", &seconds, unit), 2);
        assert_string_equal(unit, "s");
        ms = seconds * 1000;
    }
    name(n, &n->runs, (struct naive_named){.code = text(l->answer, "run"), .ms = ms});
}

static void tell(struct naive *n, const struct line *l)
{
    const char *code = text(l->did, "code");
    for (size_t i = 0; i < STEPS; i++) {
        if (same(l->kind, steps[i])) {
            tell_step(n, l);
        }
    }
    if (same(l->kind, "place")) {
        name(n, &n->kinds, (struct naive_named){.code = code, .text = text(l->did, "place_kind")});
        name(n, &n->classes, (struct naive_named){.code = code, .text = text(l->did, "class")});
    } else if (same(l->kind, "receive")) {
        tell_receive(n, l);
    } else if (same(l->kind, "soak") || same(l->kind, "cool")) {
        tell_pass(n, l);
    } else if (same(l->kind, "harvest")) {
        tell_harvest(n, l);
    } else if (same(l->kind, "water")) {
        tell_water(n, l);
    } else if (same(l->kind, "clean")) {
        tell_clean(n, l);
    } else if (same(l->kind, "run-start")) {
        tell_run(n, l);
    } else if (same(l->kind, "empty")) {
        batch_told(n, l)->to_ms = l->at_ms;
    } else if (same(l->kind, "sample") && text(l->did, "lot") != NULL) {
        size_t lot = lot_of(n, text(l->did, "lot"), "unknown");
        name(n, &n->samples, (struct naive_named){.code = text(l->answer, "sample"), .lot = lot});
    }
}

/* ---- reading */

static sqlite3_stmt *ask(sqlite3 *db, const char *sql)
{
    sqlite3_stmt *q;
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &q, NULL), SQLITE_OK);
    return q;
}

/* What makes lots in a way that is not told here must not stand in the record. */
static void refuse_others(sqlite3 *db)
{
    sqlite3_stmt *q = ask(db, "select count(*) from daybook where kind in ('split', 'join', "
                              "'rework', 'return')");
    assert_int_equal(sqlite3_step(q), SQLITE_ROW);
    assert_int_equal(sqlite3_column_int64(q, 0), 0);
    sqlite3_finalize(q);
}

/* Lines that were struck, by number. */
static bool *struck_lines(sqlite3 *db, int64_t last_entry)
{
    bool *struck = calloc((size_t)last_entry + 1, sizeof *struck);
    sqlite3_stmt *q = ask(db, "select body from daybook where kind = 'strike' and seq <= ?");
    assert_non_null(struck);
    assert_int_equal(sqlite3_bind_int64(q, 1, last_entry), SQLITE_OK);
    while (sqlite3_step(q) == SQLITE_ROW) {
        json_t *body = json_loads((const char *)sqlite3_column_text(q, 0), 0, NULL), *one;
        const json_t *did = json_object_get(body, "did");
        int64_t entry = json_integer_value(json_object_get(did, "entry"));
        size_t i;
        assert_in_range(entry, 1, last_entry);
        struck[entry] = true;
        json_array_foreach(json_object_get(did, "also"), i, one)
        {
            assert_in_range(json_integer_value(one), 1, last_entry);
            struck[json_integer_value(one)] = true;
        }
        json_decref(body);
    }
    sqlite3_finalize(q);
    return struck;
}

static bool is_free(const struct naive *n, const struct naive_clean *c)
{
    for (size_t i = 0; i < n->use_count; i++) {
        const struct naive_use *u = &n->uses[i];
        if (same(u->place, c->place) && u->from_ms < c->to_ms && u->to_ms > c->from_ms) {
            return false;
        }
    }
    return true;
}

/* A clean with something on the place is none. */
static void drop_cleans(struct naive *n)
{
    size_t left = 0;
    for (size_t i = 0; i < n->clean_count; i++) {
        if (is_free(n, &n->cleans[i])) {
            n->cleans[left++] = n->cleans[i];
        }
    }
    n->clean_count = left;
}

/* When a place was last clean before a moment. */
static int64_t clean_before(const struct naive *n, const char *place, int64_t at_ms)
{
    int64_t last = INT64_MIN;
    for (size_t i = 0; i < n->clean_count; i++) {
        const struct naive_clean *c = &n->cleans[i];
        if (same(c->place, place) && c->to_ms <= at_ms && c->to_ms > last) {
            last = c->to_ms;
        }
    }
    return last;
}

/* When one began to clean it, of all times from a moment on. */
static int64_t clean_after(const struct naive *n, const char *place, int64_t at_ms)
{
    int64_t first = INT64_MAX;
    for (size_t i = 0; i < n->clean_count; i++) {
        const struct naive_clean *c = &n->cleans[i];
        if (same(c->place, place) && c->from_ms >= at_ms && c->from_ms < first) {
            first = c->from_ms;
        }
    }
    return first;
}

/* What comes off a line at a moment may hold what went on it so long before; nobody knows how long:
 * since it was last clean. */
static void carry_over(struct naive *n)
{
    for (size_t i = 0; i < n->use_count; i++) {
        const struct naive_use *o = &n->uses[i];
        const struct naive_named *run = o->out ? named(&n->runs, o->run) : NULL;
        if (run == NULL) {
            continue;
        }
        int64_t since = run->ms >= 0 ? o->from_ms - run->ms : clean_before(n, o->place, o->from_ms);
        for (size_t k = 0; k < n->use_count; k++) {
            const struct naive_use *u = &n->uses[k];
            if (!u->out && u->run != NULL && same(u->place, o->place) && u->from_ms <= o->to_ms &&
                u->to_ms >= since && u->lot != o->lot) {
                link_lots(n, u->lot, o->lot);
            }
        }
    }
}

void naive_read(struct naive *n, const char *path, int64_t last_entry)
{
    sqlite3 *db;
    memset(n, 0, sizeof *n);
    arena_init(&n->arena, ARENA_LIMIT_DEFAULT);
    assert_int_equal(sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    refuse_others(db);
    bool *struck = struck_lines(db, last_entry);
    sqlite3_stmt *q = ask(
        db, "select seq, happened_ms, kind, body from daybook where seq <= ? and kind in "
            "('place','receive','heat-treat','soak','cool','grow','water','harvest','empty',"
            "'wash','trim','rinse','sort','dry','pack','clean','run-start','sample') order by seq");
    assert_int_equal(sqlite3_bind_int64(q, 1, last_entry), SQLITE_OK);
    while (sqlite3_step(q) == SQLITE_ROW) {
        json_t *body = json_loads((const char *)sqlite3_column_text(q, 3), 0, NULL);
        assert_non_null(body);
        struct line l = {.seq = sqlite3_column_int64(q, 0),
                         .at_ms = sqlite3_column_int64(q, 1),
                         .kind = (const char *)sqlite3_column_text(q, 2),
                         .did = json_object_get(body, "did"),
                         .answer = json_object_get(body, "answer")};
        if (!struck[l.seq]) {
            tell(n, &l);
        }
        json_decref(body);
    }
    sqlite3_finalize(q);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    free(struck);
    drop_cleans(n);
    carry_over(n);
}

void naive_close(struct naive *n)
{
    arena_release(&n->arena);
}

/* ---- the scope */

/* Adds what is made of a set, and of that, until nothing is added; or what it is made of. */
static void spread(const struct naive *n, bool *set, bool forward)
{
    for (bool more = true; more;) {
        more = false;
        for (size_t i = 0; i < n->link_count; i++) {
            size_t from = forward ? n->links[i].parent : n->links[i].child;
            size_t to = forward ? n->links[i].child : n->links[i].parent;
            if (set[from] && !set[to]) {
                set[to] = more = true;
            }
        }
    }
}

static bool is_surface(const struct naive *n, const char *place)
{
    const struct naive_named *kind = named(&n->kinds, place);
    for (size_t i = 0; i < sizeof surface_kinds / sizeof surface_kinds[0]; i++) {
        if (kind != NULL && same(kind->text, surface_kinds[i])) {
            return true;
        }
    }
    return false;
}

static void by_surface(const struct naive *n, const bool *left_it, bool *out)
{
    for (size_t i = 0; i < n->use_count; i++) {
        const struct naive_use *of = &n->uses[i];
        if (!of->out || !left_it[of->lot] || !is_surface(n, of->place)) {
            continue;
        }
        int64_t clean_ms = clean_after(n, of->place, of->to_ms);
        for (size_t k = 0; k < n->use_count; k++) {
            const struct naive_use *u = &n->uses[k];
            if (u->out && same(u->place, of->place) && u->to_ms >= of->from_ms &&
                u->from_ms < clean_ms && !left_it[u->lot]) {
                out[u->lot] = true;
            }
        }
    }
    spread(n, out, true);
}

static void by_water(const struct naive *n, const bool *batch, bool *out)
{
    for (size_t i = 0; i < n->watering_count; i++) {
        const struct naive_watering *of = &n->waterings[i];
        const struct naive_named *class = named(&n->classes, of->source);
        if (!batch[of->lot] || class == NULL || !same(class->text, "recirculated")) {
            continue;
        }
        int64_t clean_ms = clean_after(n, of->source, of->at_ms);
        for (size_t k = 0; k < n->watering_count; k++) {
            const struct naive_watering *w = &n->waterings[k];
            if (same(w->source, of->source) && w->at_ms > of->at_ms && w->at_ms < clean_ms) {
                out[w->lot] = true;
            }
        }
    }
    spread(n, out, true);
}

static void by_seed(const struct naive *n, const bool *behind, struct naive_scope *out)
{
    bool *seed = out->in[WAY_SEED], *same_seed = out->in[WAY_SAME_SEED];
    for (size_t i = 0; i < n->lot_count; i++) {
        for (size_t k = 0; behind[i] && k < n->lot_count; k++) {
            seed[k] = seed[k] || same(n->lots[k].supplier_lot, n->lots[i].supplier_lot);
        }
    }
    memcpy(same_seed, seed, LOTS_MAX * sizeof *seed);
    spread(n, same_seed, true);
}

static void take_out(bool *set, const bool *other)
{
    for (size_t i = 0; i < LOTS_MAX; i++) {
        set[i] = set[i] && !other[i];
    }
}

bool naive_scope_of(const struct naive *n, const char *sample, struct naive_scope *out)
{
    const struct naive_named *drawn = named(&n->samples, sample);
    bool behind[LOTS_MAX] = {false}, left_it[LOTS_MAX];
    bool *batch = out->in[WAY_BATCH];
    memset(out, 0, sizeof *out);
    if (drawn == NULL) {
        return false;
    }
    behind[drawn->lot] = batch[drawn->lot] = true;
    spread(n, behind, false);
    for (size_t i = 0; i < n->lot_count; i++) {
        batch[i] = batch[i] || (behind[i] && same(n->lots[i].kind, "growing"));
    }
    spread(n, batch, true);
    by_seed(n, behind, out);
    take_out(out->in[WAY_SAME_SEED], out->in[WAY_SEED]);
    memcpy(left_it, batch, sizeof left_it);
    for (size_t i = 0; i < n->lot_count; i++) {
        left_it[i] = left_it[i] || (behind[i] && same(n->lots[i].kind, "load"));
    }
    by_surface(n, left_it, out->in[WAY_SURFACE]);
    by_water(n, batch, out->in[WAY_WATER]);
    for (enum way w = WAY_SEED; w < WAYS; w++) {
        take_out(out->in[w], batch);
    }
    return true;
}

bool naive_found(const struct naive_scope *s, size_t lot)
{
    return naive_first(s, lot) < WAYS;
}

enum way naive_first(const struct naive_scope *s, size_t lot)
{
    enum way w = WAY_BATCH;
    while (w < WAYS && !s->in[w][lot]) {
        w++;
    }
    return w;
}
