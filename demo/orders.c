#include <string.h>

#include "base/civil.h"
#include "demo/story.h"

/* The same customer, item and day always give the same order: a book imported again finds what it
 * knows. */
int order_cases(const struct story *st, int customer, int item, int32_t day)
{
    static const double weekday[] = {0.9, 0.95, 0.95, 1.0, 1.25, 1.3, 0.0};
    const struct play *p = st->p;
    const struct demo_item *it = &demo_items[item];
    struct random r;
    bool abroad = strcmp(demo_customers[customer].market, "EU") == 0;
    if (abroad && it->crop[0] != 'S') {
        return 0;
    }
    double sizes = 0;
    for (int c = 0; c < DEMO_CUSTOMERS; c++) {
        if (strcmp(demo_customers[c].market, "EU") != 0 || it->crop[0] == 'S') {
            sizes += demo_customers[c].size;
        }
    }
    random_seed(&r, p->s->seed * 1000003 + (uint64_t)day * 977 + (uint64_t)customer * 31 +
                        (uint64_t)item);
    double kg_a_batch = it->crop[0] == 'S' ? 560 : 690;
    double cases =
        p->s->chambers / 10.5 * it->weekly_share * kg_a_batch / it->net_kg / it->per_case;
    double share = demo_customers[customer].size / sizes;
    double trend = 1 + 0.001 * (day - p->first_day);
    double x = random_normal(&r);
    x = x > 2 ? 2 : x < -2 ? -2 : x;
    int out = (int)(cases * share * weekday[day_weekday(day)] * trend * (1 + 0.12 * x) + 0.5);
    if (day == st->short_day && customer == 0 && item == 0) {
        out += (int)(cases * 3); /* a promotion nobody spoke of */
    }
    return out > 0 ? out : 0;
}

static void add_day(struct story *st, struct sheet *file, int32_t day)
{
    int year, month, of_month;
    day_to_ymd(day, &year, &month, &of_month);
    for (int c = 0; c < DEMO_CUSTOMERS; c++) {
        for (int i = 0; i < DEMO_ITEMS; i++) {
            int cases = order_cases(st, c, i, day);
            if (cases > 0) {
                sheet_add(file, "%s;%02d%03d;%d;%s;%02d.%02d.%04d;%d\r\n", demo_customers[c].code,
                          year % 100, day_of_year(day), i + 1, demo_items[i].item, of_month, month,
                          year, cases * demo_items[i].per_case);
            }
        }
        if (day > st->p->s->last_day + 5 && c < 3) { /* the new dish, in cases of 12 */
            sheet_add(file, "%s;%02d%03d;%d;D250;%02d.%02d.%04d;%d\r\n", demo_customers[c].code,
                      year % 100, day_of_year(day), DEMO_ITEMS + 1, of_month, month, year,
                      12 * (2 + (int)(day + c) % 3));
        }
    }
}

struct result story_orders(struct story *st)
{
    enum { BOOK_DAYS = 10 };
    struct play *p = st->p;
    int weekday = day_weekday(p->day);
    if (p->day != p->first_day && weekday != 0 && weekday != 3) {
        return RESULT_OK;
    }
    int y1, m1, d1, y2, m2, d2;
    day_to_ymd(p->day, &y1, &m1, &d1);
    day_to_ymd(p->day + BOOK_DAYS, &y2, &m2, &d2);
    struct sheet file = {0};
    /* as the shop's program writes it: Windows-1252, semicolons, day first, the dates of the book
     * on top */
    sheet_add(&file, "Von;%02d.%02d.%04d\r\nBis;%02d.%02d.%04d\r\n", d1, m1, y1, d2, m2, y2);
    sheet_add(&file, "Kunde;Bestellung;Pos;Artikel;Liefertag;St\xfc"
                     "ck\r\n");
    for (int32_t day = p->day; day <= p->day + BOOK_DAYS; day++) {
        add_day(st, &file, day);
    }
    const char *name = arena_printf(&p->scratch, "orders-%s.csv", day_text(&p->scratch, p->day));
    struct result r =
        file_in(p, at(p, 5, 0), DEMO_PLANNER, "orders", "shop", name, file.at, file.len, NULL);
    sheet_release(&file);
    return r;
}
