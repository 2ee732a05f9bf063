/* Paper: PDF made on the spot. */
#include "base/check.h"
#include "base/civil.h"
#include "service/dossier.h"
#include "service/labels.h"
#include "service/sheets.h"
#include "web/web_inner.h"

static struct result answer_pdf(struct call *c, const uint8_t *pdf, size_t len, const char *name)
{
    c->bytes = (const char *)pdf;
    c->bytes_len = len;
    c->content_type = "application/pdf";
    call_header(c, "Content-Disposition",
                arena_printf(c->arena, "inline; filename=\"%s.pdf\"", name));
    return RESULT_OK;
}

struct result hand_labels(struct call *c)
{
    const char *first_text = target_query(&c->target, "first"),
               *last_text = target_query(&c->target, "last");
    int64_t first = 0, last = 0;
    struct reading reading;
    const uint8_t *pdf = NULL;
    size_t len = 0, pages;
    if (first_text != NULL && last_text != NULL) {
        TRY(call_number(first_text, "first", 1, 999999, &first));
        TRY(call_number(last_text, "last", first, 999999, &last));
    }
    struct result r = reading_begin(c->web->readers, false, &reading);
    if (r.code == CODE_OK) {
        r = labels_of_lot(reading.plant, c->part[0], first, last, reading.now_ms, c->arena, &pdf,
                          &len, &pages);
    }
    reading_end(&reading);
    TRY(r);
    return answer_pdf(c, pdf, len, "labels");
}

/* A dossier proves by a signed head; one that is behind is signed first. */
static struct result sign_when_behind(struct call *c)
{
    bool behind = false;
    struct reading reading;
    json_t *answer = NULL;
    struct result r = reading_begin(c->web->readers, false, &reading);
    if (r.code == CODE_OK) {
        r = dossier_head_behind(reading.plant, &behind);
    }
    reading_end(&reading);
    TRY(r);
    if (!behind) {
        return RESULT_OK;
    }
    json_t *request = json_pack("{s:s,s:s}", "do", "sign", "why", "dossier");
    r = serving_ask(c->web->serving, request, &answer);
    json_decref(request);
    json_decref(answer);
    return r;
}

struct result hand_dossier(struct call *c)
{
    struct reading reading;
    const uint8_t *pdf = NULL;
    size_t len = 0;
    TRY(sign_when_behind(c));
    struct result r = reading_take(c->web->readers, &reading);
    if (r.code == CODE_OK) {
        r = dossier_of_lot(reading.plant, c->part[0], c->lang, reading.now_ms, c->arena, &pdf,
                           &len);
    }
    reading_end(&reading);
    TRY(r);
    return answer_pdf(c, pdf, len, "dossier");
}

/* The sheet is for the day asked, today when none is; for one shift of it where one is named. */
struct result hand_sheet(struct call *c)
{
    const char *text = target_query(&c->target, "day"), *name = target_query(&c->target, "shift");
    struct shift shift;
    enum sheets_kind kind = sheets_named(c->part[0]);
    const struct view *v = c->view;
    int32_t day = day_of_house(v->now_ms, civil_offset_min(v->now_ms), v->profile->day_starts_min);
    const uint8_t *pdf = NULL;
    size_t len = 0;
    if (kind == SHEETS_COUNT) {
        return FAIL2(FIELD_CHOICE, "kind", c->part[0],
                     "soak, harvest, checks, weights, day, doses");
    }
    if (text != NULL) {
        TRY(day_read(text, "day", &day));
    }
    struct sheets_span span = {.day = day, .shift = name != NULL ? &shift : NULL};
    if (name != NULL) {
        TRY(shift_named(v->profile, c->arena, day, name, &shift));
    }
    TRY(sheets_make(c->view, kind, span, &pdf, &len));
    return answer_pdf(c, pdf, len, sheets_file(c->arena, span, kind));
}
