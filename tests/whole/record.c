#include "record.h"

#include "evidence.h"

#include "base/file.h"
#include "service/plant.h"

/* One review of all that others have told. */
static void review_all(struct house *h)
{
    json_t *entries = json_array();
    for (int64_t seq = 1; seq < h->lg->next_seq; seq++) {
        struct entry entry;
        bool found;
        assert_ok(entry_by_seq(h->store, &h->arena, seq, &entry, &found));
        if (entry.person != 3) {
            json_array_append_new(entries, json_integer(seq));
        }
    }
    json_t *review = json_pack("{s:s,s:o,s:i}", "kind", "review", "entries", entries, "person", 3);
    assert_ok(house_send_json(h, review));
}

void record_make(const char *folder, record_more *more, struct record_codes *out)
{
    static const uint8_t seed[32] = {7};
    struct house h;
    struct sign_key key;
    struct head head;
    struct arena a;
    arena_init(&a, 1 << 20);
    assert_ok(folder_make(folder));
    house_open_at(&h, plant_file(&a, folder));
    struct house_batch batch = house_batch(&h, "C1", false);
    review_all(&h);
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", batch.packed);
    house_take(&h, "{'kind':'ship','customer':'COTYLEDON','units':['%s-0001..%s-0004']}",
               batch.packed, batch.packed);
    snprintf(out->packed, sizeof out->packed, "%s", batch.packed);
    snprintf(out->shipment, sizeof out->shipment, "%s", house_answer(&h, "shipment"));
    snprintf(out->seed, sizeof out->seed, "%s", batch.seed);
    if (more != NULL) {
        more(&h, batch.packed);
    }
    out->entries = h.lg->next_seq - 1;
    sign_key_from_seed(seed, &key);
    assert_ok(store_begin(h.store));
    assert_ok(ledger_sign_head(h.lg, &key, "shift", &head));
    assert_ok(store_commit(h.store));
    house_close(&h);
    assert_ok(file_write(plant_key(&a, folder), seed, sizeof seed, 0600));
    assert_ok(plant_zone_set(folder, "UTC"));
    arena_release(&a);
}
