/* A hall that receives limes, told to the invented house of the ledger's tests. */
#ifndef TESTS_SERVICE_HALL_H
#define TESTS_SERVICE_HALL_H

#include "fixture.h"

#include "base/file.h"
#include "service/planning_received.h"

enum { HALL_DAY_MS = 86400000 };

static inline const char *hall_day(struct house *h, int days)
{
    return day_text(&h->arena, (int32_t)(h->fixed.now_ms / HALL_DAY_MS) + days);
}

/* path: of the record's file; NULL: in memory. service: the share that its profile asks for; NULL:
 * none. */
static inline void hall_open_asking(struct house *h, const char *path, const char *service)
{
    static const char plain[] = "\"horizon_days\":";
    static const char *const things[] = {
        "{'kind':'place','code':'COLD','place_kind':'cold-room','in_service':false}",
        "{'kind':'place','code':'COLD-1','place_kind':'cold-room','capacity':'9 t'}",
        "{'kind':'place','code':'COLD-2','place_kind':'cold-room','capacity':'6 t'}",
        "{'kind':'place','code':'COLD-3','place_kind':'cold-room','capacity':'6 t',"
        "'in_service':false}",
        "{'kind':'place','code':'TANK-1','place_kind':'tank','capacity':'1500 kg'}",
        "{'kind':'place','code':'TANK-2','place_kind':'tank','capacity':'1000 kg'}",
        "{'kind':'item','code':'LIME','item_kind':'ingredient'}",
        "{'kind':'item','code':'LIME-1','item_kind':'by-product'}",
        "{'kind':'item','code':'LIME-BOX','item_kind':'packed','net':'4 kg','pieces_per_case':1,"
        "'life_days':30,'source_item':'LIME-1'}",
        "{'kind':'item','code':'LIME-BOTTLE','item_kind':'packed','net':'515 g',"
        "'pieces_per_case':6,'life_days':180,'source_item':'LIME-1'}",
        "{'kind':'partner','code':'HESPERIDIUM-1','role':'supplier'}",
        "{'kind':'partner','code':'ALBEDO-2','role':'supplier'}",
        "{'kind':'partner','code':'FLAVEDO-1','role':'customer','group':'retail','market':'house',"
        "'life_days':14,'priority':2}",
    };
    char *text;
    size_t len;
    if (path == NULL) {
        house_open(h);
    } else {
        house_open_at(h, path);
    }
    assert_ok(file_read(&h->arena, HALL_FILE, 1 << 22, &text, &len));
    const char *at = strstr(text, plain);
    assert_non_null(at);
    if (service != NULL) {
        text = arena_printf(&h->arena, "%.*s\"service\": \"%s\", %s", (int)(at - text), text,
                            service, at);
    }
    assert_ok(house_send_json(h, json_pack("{s:s,s:s}", "kind", "profile", "text", text)));
    assert_ok(ledger_reload(h->lg));
    for (size_t i = 0; i < sizeof things / sizeof things[0]; i++) {
        house_take(h, "%s", things[i]);
    }
    house_take(h, "{'kind':'supplier-approval','supplier':'HESPERIDIUM-1','state':'approved',"
                  "'until':'2028-01-01T00:00:00Z','reason':'audited'}");
}

static inline void hall_open_at(struct house *h, const char *path)
{
    hall_open_asking(h, path, NULL);
}

static inline void hall_open(struct house *h)
{
    hall_open_at(h, NULL);
}

static inline void hall_receive(struct house *h, const char *supplier, const char *mass)
{
    house_take(h,
               "{'kind':'receive','supplier':'%s','item':'LIME','mass':'%s','instrument':'SCALE',"
               "'place':'COLD-1','supplier_lot':'L-1'}",
               supplier, mass);
}

static inline void hall_order(struct house *h, const char *key, const char *item, int days,
                              int pieces)
{
    house_take(h,
               "{'kind':'order','source':'shop','lines':[{'key':'%s','customer':'FLAVEDO-1',"
               "'item':'%s','day':'%s','pieces':%d}]}",
               key, item, hall_day(h, days), pieces);
}

/* Sorts all of a lot, or a mass of it: firsts, seconds, juicing fruit and feed as they were
 * weighed.
 * -> the lot of firsts */
static inline const char *hall_sort(struct house *h, const char *lot, const char *mass, int first,
                                    int second, int juicing, int feed)
{
    const char *of = mass == NULL ? "" : arena_printf(&h->arena, ",'mass':'%s'", mass);
    house_take(h,
               "{'kind':'grade','place':'SORTER-1','inputs':[{'lot':'%s'%s}],'outputs':[{'role':"
               "'first','mass':'%d kg'},{'role':'second','mass':'%d kg'},{'role':'juicing','mass':"
               "'%d kg'},{'role':'feed','mass':'%d kg'}]}",
               lot, of, first, second, juicing, feed);
    return house_answer(h, "lots.0.lot");
}

static inline void hall_sorts(struct house *h)
{
    static const char *const things[] = {
        "{'kind':'place','code':'SORTER-1','place_kind':'sorter'}",
        "{'kind':'item','code':'LIME-2','item_kind':'by-product'}",
        "{'kind':'item','code':'LIME-J','item_kind':'by-product'}",
        "{'kind':'item','code':'LIME-FEED','item_kind':'by-product'}",
    };
    for (size_t i = 0; i < sizeof things / sizeof things[0]; i++) {
        house_take(h, "%s", things[i]);
    }
}

static inline void hall_read(struct house *h, struct planning_received *out)
{
    assert_ok(planning_received_read(h->store, h->lg->profile, h->fixed.now_ms, &h->arena, out));
}

#endif
