#include "calc/sweep.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "calc/registry.h"

struct sweep {
    const struct calc_row *row;
    const struct calc_field *field;
    double low, high;
    json_t *x, *answers; /* answers: of each point, null where it refused */
};

static const struct calc_field *field_of(const struct calc_row *row, const char *name)
{
    for (size_t i = 0; i < row->in_count; i++) {
        const struct calc_field *f = &row->in[i];
        if (strcmp(f->name, name) == 0 && (f->type == CALC_NUMBER || f->type == CALC_INTEGER)) {
            return f;
        }
    }
    return NULL;
}

static struct result set_range(struct sweep *s, const json_t *in, double low, double high)
{
    const struct calc_field *f = s->field;
    double value = json_number_value(json_object_get(in, f->name));
    if (low == 0 && high == 0) {
        low = value != 0 ? fmin(value / 2, value * 1.5) : f->low;
        high = value != 0 ? fmax(value / 2, value * 1.5) : f->high;
    }
    s->low = fmax(low, f->low);
    s->high = fmin(high, f->high);
    return s->low < s->high ? RESULT_OK
                            : FAIL2(FIELD_RANGE, "over", f->name, "given with low below high");
}

static json_t *point_of(const struct sweep *s, int i)
{
    double x = s->low + (s->high - s->low) * i / (SWEEP_POINTS - 1);
    return s->field->type == CALC_INTEGER ? json_integer((json_int_t)llround(x)) : json_real(x);
}

/* Integers of a short range come only once. */
static bool is_new(const struct sweep *s, const json_t *x)
{
    size_t n = json_array_size(s->x);
    return n == 0 || json_number_value(json_array_get(s->x, n - 1)) != json_number_value(x);
}

static struct result run(struct sweep *s, const json_t *in, struct arena *a)
{
    struct result last = RESULT_OK;
    bool any = false;
    for (int i = 0; i < SWEEP_POINTS; i++) {
        json_t *x = point_of(s, i), *answer = NULL;
        if (is_new(s, x)) {
            json_t *fields = json_copy((json_t *)(uintptr_t)in); /* flat: the members are shared */
            CHECK(fields != NULL && json_object_set(fields, s->field->name, x) == 0);
            struct result r = registry_call(s->row->name, fields, a, &answer);
            last = r.code != CODE_OK ? r : last;
            any = any || r.code == CODE_OK;
            json_array_append(s->x, x);
            json_array_append_new(s->answers, r.code == CODE_OK ? answer : json_null());
            json_decref(fields);
        }
        json_decref(x);
    }
    return any ? RESULT_OK : last;
}

static json_t *curve_of(const struct sweep *s, const struct calc_output *o)
{
    json_t *y = json_array(), *answer;
    size_t i;
    bool any = false;
    json_array_foreach(s->answers, i, answer)
    {
        const json_t *rough = json_object_get(json_object_get(answer, "unrounded"), o->name);
        const json_t *fine = json_object_get(json_object_get(answer, "results"), o->name);
        const json_t *value = json_is_number(rough) ? rough : fine;
        bool known = json_is_number(value) && isfinite(json_number_value(value));
        any = any || known;
        json_array_append_new(y, known ? json_real(json_number_value(value)) : json_null());
    }
    if (!any) {
        json_decref(y);
        return NULL;
    }
    return json_pack("{s:s,s:s,s:s,s:o}", "name", o->name, "what", o->what, "unit", o->unit, "y",
                     y);
}

static json_t *sweep_json(const struct sweep *s, const json_t *in)
{
    json_t *curves = json_array();
    const json_t *at = json_object_get(in, s->field->name);
    for (size_t i = 0; i < s->row->out_count; i++) {
        json_t *curve = curve_of(s, &s->row->out[i]);
        if (curve != NULL) {
            json_array_append_new(curves, curve);
        }
    }
    json_t *o = json_pack("{s:s,s:s,s:s,s:s,s:o,s:O,s:o}", "calculation", s->row->name, "over",
                          s->field->name, "what", s->field->what, "unit", s->field->unit, "at",
                          json_is_number(at) ? json_real(json_number_value(at)) : json_null(), "x",
                          s->x, "curves", curves);
    CHECK(o != NULL);
    return o;
}

struct result calc_sweep(const char *name, const json_t *in, const char *over, double low,
                         double high, struct arena *a, json_t **out)
{
    struct sweep s = {.row = registry_find(name)};
    if (s.row == NULL) {
        return FAIL1(CALC_UNKNOWN, "name", name);
    }
    s.field = field_of(s.row, over);
    if (s.field == NULL) {
        return FAIL1(FIELD_UNKNOWN, over, name);
    }
    TRY(set_range(&s, in, low, high));
    s.x = json_array();
    s.answers = json_array();
    struct result r = run(&s, in, a);
    if (r.code == CODE_OK) {
        *out = sweep_json(&s, in);
    }
    json_decref(s.x);
    json_decref(s.answers);
    return r;
}
