#include "trace/follow.h"

#include <string.h>

#include "trace/memory.h"

struct gathered {
    struct graph_edge *edge;
    size_t edge_count;
    struct shipped_line *line;
    size_t line_count;
};

static struct result damaged(const char *effect)
{
    return FAIL1(STORE_DAMAGED, "", effect);
}

/* An effect is its name and then its fields; letters: i integer, t text, - anything. */
static bool has_shape(const json_t *effect, const char *letters)
{
    if (json_array_size(effect) != strlen(letters) + 1) {
        return false;
    }
    for (size_t i = 0; letters[i] != '\0'; i++) {
        const json_t *field = json_array_get(effect, i + 1);
        if ((letters[i] == 'i' && !json_is_integer(field)) ||
            (letters[i] == 't' && !json_is_string(field))) {
            return false;
        }
    }
    return true;
}

static int64_t number(const json_t *effect, size_t field)
{
    return json_integer_value(json_array_get(effect, field));
}

static const char *text(const json_t *effect, size_t field)
{
    return json_string_value(json_array_get(effect, field));
}

static bool read_basis(const char *name, enum basis *out)
{
    static const char *const names[BASIS_COUNT] = {"measured", "possible", "unknown"};
    for (int i = 0; i < BASIS_COUNT; i++) {
        if (strcmp(names[i], name) == 0) {
            *out = (enum basis)i;
            return true;
        }
    }
    return false;
}

static bool take_edge(struct gathered *all, int64_t seq, const json_t *e)
{
    struct graph_edge *edge = &all->edge[all->edge_count];
    if (!has_shape(e, "iiit") || !read_basis(text(e, 4), &edge->basis)) {
        return false;
    }
    edge->parent = number(e, 1);
    edge->child = number(e, 2);
    edge->mg = number(e, 3);
    edge->entry = seq;
    all->edge_count++;
    return true;
}

static bool take_line(struct gathered *all, int64_t seq, const json_t *e)
{
    if (!has_shape(e, "iii-ii")) {
        return false;
    }
    all->line[all->line_count++] = (struct shipped_line){.shipment = number(e, 1),
                                                         .lot = number(e, 2),
                                                         .pieces = number(e, 5),
                                                         .mg = number(e, 6),
                                                         .entry = seq};
    return true;
}

/* Strikes and shipments at once; edges and lines are gathered, to go in whole. */
static bool take_effect(struct graph *g, struct gathered *all, int64_t seq, const json_t *e)
{
    const char *name = text(e, 0);
    if (name == NULL) {
        return false;
    }
    if (strcmp(name, "edge") == 0) {
        return take_edge(all, seq, e);
    }
    if (strcmp(name, "shipped") == 0) {
        return take_line(all, seq, e);
    }
    if (strcmp(name, "shipment") == 0) {
        bool good = has_shape(e, "itti");
        if (good) {
            graph_add_shipment(g, number(e, 1), text(e, 2), text(e, 3));
        }
        return good;
    }
    if (strcmp(name, "strike") == 0) {
        bool good = has_shape(e, "i");
        if (good) {
            graph_strike(g, number(e, 1));
        }
        return good;
    }
    return true; /* nothing a graph knows of */
}

struct result graph_follow(struct graph *g, int64_t seq, const json_t *effects)
{
    if (!json_is_array(effects)) {
        return damaged("effects");
    }
    size_t count = json_array_size(effects);
    struct gathered all = {.edge = MEMORY_TAKE(struct graph_edge, count),
                           .line = MEMORY_TAKE(struct shipped_line, count)};
    struct result r = RESULT_OK;
    for (size_t i = 0; i < count && r.code == CODE_OK; i++) {
        const json_t *e = json_array_get(effects, i);
        if (!take_effect(g, &all, seq, e)) {
            r = damaged(text(e, 0) != NULL ? text(e, 0) : "effect");
        }
    }
    if (r.code == CODE_OK) {
        r = graph_add(g, all.edge, all.edge_count);
    }
    if (r.code == CODE_OK) {
        r = graph_add_shipped(g, all.line, all.line_count);
    }
    free(all.edge);
    free(all.line);
    return r;
}
