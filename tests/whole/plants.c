#include "plants.h"

#include "store/store.h"

static struct launch run;
static const char *program;

void plants_program(const char *path)
{
    program = path;
}

struct launch *plants_run(void)
{
    return &run;
}

int plants_open(void **state)
{
    int failed = folder_enter(state);
    run_open(&run, program);
    if (failed != 0) {
        return failed;
    }
    text_write("password", "radicle-and-plumule\n");
    RUN(&run, "demo", "--folder", "demo", "--profile", PROFILE_FILE, "--chambers", "6", "--weeks",
        "4", "--seed", "3", "--last-day", "2026-03-29", "--json");
    if (run.code != 0) {
        print_error("the demo ended with %d: %s%s\n", run.code, run.out, run.err);
    }
    return run.code;
}

int plants_close(void **state)
{
    run_close(&run);
    return folder_leave(state);
}

void plant_copy(const char *folder)
{
    struct launch copy;
    run_open(&copy, "cp");
    RUN_OK(&copy, "-r", "demo", folder);
    run_close(&copy);
}

int64_t plant_entries(const char *folder)
{
    struct store *store;
    char path[256];
    bool row;
    snprintf(path, sizeof path, "%s/plant.db", folder);
    assert_ok(store_open(path, STORE_READ, &store));
    struct statement *q = store_prepare(store, Q_DAYBOOK_LAST);
    assert_ok(store_step(q, &row));
    int64_t last = row ? store_int(q, 0) : 0;
    store_close(store);
    return last;
}

const char *listed(struct launch *r, const char *field, const char *name, const char *value)
{
    for (size_t n = 0;; n++) {
        json_t *line = run_json(r, n);
        assert_non_null(line);
        const char *is = name != NULL ? json_string_value(json_object_get(line, name)) : NULL;
        const char *text = json_string_value(json_object_get(line, field));
        bool fits = text != NULL && (name == NULL || (is != NULL && strcmp(is, value) == 0));
        const char *found = fits ? arena_copy(&r->arena, text) : NULL;
        json_decref(line);
        if (found != NULL) {
            return found;
        }
    }
}

bool deviates(const struct launch *r, const char *code)
{
    json_t *answer = run_json(r, 0), *deviation;
    size_t i;
    bool found = false;
    assert_non_null(answer);
    json_array_foreach(json_object_get(answer, "deviations"), i, deviation)
    {
        const char *is = json_string_value(json_object_get(deviation, "code"));
        found = found || (is != NULL && strcmp(is, code) == 0);
    }
    json_decref(answer);
    return found;
}

json_t *consequence_of(const struct launch *r, const char *kind)
{
    json_t *answer = run_json(r, 0), *one, *found = NULL;
    size_t i;
    assert_non_null(answer);
    json_array_foreach(json_object_get(answer, "consequences"), i, one)
    {
        const char *is = json_string_value(json_object_get(one, "kind"));
        if (found == NULL && is != NULL && strcmp(is, kind) == 0) {
            found = json_incref(one);
        }
    }
    json_decref(answer);
    return found;
}

const char *refusal_of(struct launch *r)
{
    json_t *envelope = run_json(r, 0);
    const json_t *error = json_object_get(envelope, "error");
    const char *code = json_string_value(json_object_get(error, "code"));
    code = arena_copy(&r->arena, code != NULL ? code : "");
    json_decref(envelope);
    return code;
}
