/* The table of the forms against the ledger, each form by a valid command of it. */
#include "form_true.h"

#include "evidence.h"
#include "seed.h"
#include "service/view_forms.h"
#include "stock.h"

static struct house h;
static json_t *forms, *list;

#define TRUE_FORM(...) form_is_true(&h, list, json_of(&h, house_text(&h, __VA_ARGS__)))

static int set_up(void **state)
{
    (void)state;
    house_open(&h);
    struct view v = house_view(&h, "en");
    assert_ok(view_forms(&v, &forms));
    list = json_object_get(forms, "forms");
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    json_decref(forms);
    house_close(&h);
    return 0;
}

/* Each form of the group was tried: one that this file forgets is no proof. */
static void group_tried(const char *group)
{
    size_t i, count = 0;
    json_t *form;
    json_array_foreach(list, i, form)
    {
        bool of_it = strcmp(text_at(form, "group"), group) == 0;
        count += of_it;
        if (of_it && !json_is_true(json_object_get(form, "tried"))) {
            fail_msg("no example of %s", text_at(form, "kind"));
        }
    }
    assert_true(count > 0);
}

#include "forms_of_water.h"
static const char *attach(const char *kind)
{
    const char *paper = house_text(&h, "%%PDF-1.4 %s %lld", kind, (long long)h.sent);
    house_take(&h, "{'kind':'attach','name':'a.pdf','paper_kind':'%s','bytes_b64':'%s'}", kind,
               base64_text(&h.arena, paper, strlen(paper)));
    return house_answer(&h, "sha256");
}

static const json_t *head_json(const struct head *head)
{
    return json_pack("{s:s,s:s,s:{s:I,s:s,s:I,s:s,s:s}}", "kind", "restored", "reason", "the disk",
                     "head", "size", (json_int_t)head->size, "root",
                     hex_text(&h.arena, head->root.b, 32), "signed_ms", (json_int_t)head->signed_ms,
                     "public_key", hex_text(&h.arena, head->public_key, 32), "signature",
                     hex_text(&h.arena, head->signature, 64));
}

/* The record is put back to an older state than a head says that was signed. */
static void restored_is_true(void)
{
    const uint8_t seed[32] = {7};
    struct sign_key key;
    struct head head;
    struct store *older;
    sign_key_from_seed(seed, &key);
    assert_ok(store_begin(h.store));
    assert_ok(ledger_sign_head(h.lg, &key, "shift", &head));
    assert_ok(store_commit(h.store));
    assert_ok(known_on(h.store, h.lg->next_seq - 1, &older));
    house_take(&h, "{'kind':'mapping','source':'late','for':'orders','data':{'columns':{'pieces':'"
                   "P','customer':'C','item':'I','day':'D'}}}");
    assert_ok(store_begin(h.store));
    assert_ok(ledger_sign_head(h.lg, &key, "shift", &head));
    assert_ok(store_commit(h.store));
    ledger_close(h.lg);
    store_close(h.store);
    h.store = older;
    assert_ok(ledger_open(h.store, world_fixed(&h.fixed), &h.lg));
    form_is_true(&h, list, (json_t *)(uintptr_t)head_json(&head));
}

static int64_t task_of(const char *kind)
{
    struct statement *q = store_prepare(h.store, Q_TODAY_TASKS);
    int64_t task = 0;
    for (;;) {
        bool row;
        assert_ok(store_step(q, &row));
        if (!row) {
            assert_true(task > 0);
            return task;
        }
        task = strcmp(store_text(q, 1), kind) == 0 ? store_int(q, 0) : task;
    }
}

/* Schedule, people, suppliers, and what is counted, swabbed and kept. */
static void lists_of_the_house(void)
{
    TRUE_FORM("{'kind':'handover','text':'C1 runs warm','shift':'night'}");
    TRUE_FORM("{'kind':'duty','code':'PEST','title':'Bait stations','duty_kind':'pest','every':"
              "'30 d','role':'hygiene','source':'contract 4'}");
    TRUE_FORM("{'kind':'duty','code':'D-1','title':'Pack line','duty_kind':'clean','by':'clean',"
              "'place':'PACK','every':'1 d','role':'hygiene','blocks':true,'source':'plan'}");
    TRUE_FORM("{'kind':'duty','code':'D-2','title':'Scale','duty_kind':'check','by':"
              "'instrument-check','instrument':'SCALE','every':'1 d','role':'line','source':"
              "'plan'}");
    TRUE_FORM("{'kind':'duty','code':'D-3','title':'Cold room','duty_kind':'check','by':'check',"
              "'check':'cold-check','every':'1 d','role':'line','source':'plan'}");
    TRUE_FORM("{'kind':'duty','code':'D-4','title':'Outfeed','duty_kind':'swab','by':'swab','site':"
              "'Z1','every':'7 d','role':'quality','source':'plan'}");
    TRUE_FORM("{'kind':'duty','code':'D-5','title':'Knives','duty_kind':'blades','by':"
              "'register-count','register':'BLADES','every':'1 d','role':'line','source':'plan'}");
    TRUE_FORM("{'kind':'training','about':2,'training':'sampling','passed':true}");
    TRUE_FORM("{'kind':'supplier-approval','person':2,'supplier':'RADICLE','state':'approved',"
              "'until':'2027-01-01T00:00:00Z','reason':'audited'}");
    TRUE_FORM("{'kind':'supplier-approval','person':2,'supplier':'RADICLE','state':'suspended',"
              "'reason':'a letter'}");
    TRUE_FORM("{'kind':'certificate','person':2,'code':'CERT-1','certificate':'organic seed',"
              "'supplier':'RADICLE','until':'2027-01-01T00:00:00Z'}");
    TRUE_FORM("{'kind':'site','person':2,'code':'Z1-PACK','place':'PACK','zone':1,'surface':"
              "'outfeed belt'}");
    TRUE_FORM("{'kind':'chemical','person':2,'code':'CHEM-1','agent':'chlorine','best_before':"
              "'2027-01-01T00:00:00Z'}");
    lists_of_water();
    TRUE_FORM("{'kind':'register','person':2,'code':'BLADES','of':'blades','place':'TRIM',"
              "'expected':12}");
    house_take(&h, "{'kind':'health-check','about':2,'passed':false}");
    TRUE_FORM("{'kind':'task-done','task':%lld}", (long long)task_of("keep-from-product"));
}

static void the_house(void **state)
{
    (void)state;
    TRUE_FORM("{'kind':'person','number':12,'role':'grower'}");
    TRUE_FORM("{'kind':'place','code':'C9','place_kind':'chamber','capacity':'1.1 t'}");
    TRUE_FORM("{'kind':'instrument','code':'S-2','instrument_kind':'scale','division':1000,"
              "'uncertainty':1000,'due':'2027-01-01T00:00:00Z'}");
    TRUE_FORM("{'kind':'item','code':'URD','item_kind':'growing'}");
    TRUE_FORM("{'kind':'item','code':'URD250','item_kind':'packed','net':'250 g',"
              "'pieces_per_case':40,'life_days':8,'source_item':'MUNG'}");
    TRUE_FORM("{'kind':'partner','code':'TESTA','role':'supplier'}");
    TRUE_FORM("{'kind':'partner','code':'TESTA','role':'customer','market':'US'}");
    TRUE_FORM("{'kind':'mapping','source':'office','for':'orders','data':{'columns':{'pieces':'P','"
              "customer':'C','item':'I','day':'D'}}}");
    TRUE_FORM("{'kind':'limit','limit':'germination','low':'96','source':'contract 7','reason':"
              "'asked for'}");
    TRUE_FORM("{'kind':'order','source':'book','lines':[{'key':'1','customer':'COTYLEDON','item':"
              "'MUNG250','day':'2026-03-09','pieces':40}]}");
    TRUE_FORM("{'kind':'plan-take','starts':[{'day':'2026-03-04','place':'C1','item':'MUNG',"
              "'seed':'100 kg','grow_days':7}]}");
    assert_ok(house_send_json(
        &h, json_pack("{s:s,s:s,s:s}", "kind", "set-aside", "told",
                      "{\"kind\":\"harvest\",\"uuid\":\"11111111-2222-4333-8444-555555555555\"}",
                      "code", "field-missing")));
    TRUE_FORM("{'kind':'settle','aside':%lld,'outcome':'otherwise','now_in':5,'reason':'by hand'}",
              (long long)house_number(&h, "entry"));
    TRUE_FORM("{'kind':'heat-constants','person':2,'item':'MUNGSEED','authority':'Cotyledon 4',"
              "'reference_temp':'80 C','z':'10 C','d':'20 s','limit':'80 C','tested_max':'90 C',"
              "'target_milli':5000,'report':'%s'}",
              attach("validation"));
    form_is_true(&h, list, json_pack("{s:s,s:s}", "kind", "profile", "text", h.lg->profile->text));
    lists_of_the_house();
    restored_is_true();
    group_tried("house");
}

/* ---- seed, growing, harvest */

static void seed_and_growing(void **state)
{
    (void)state;
    TRUE_FORM("{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'50 kg','place':"
              "'STORE'}");
    TRUE_FORM("{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','gross':'51 kg','tare':"
              "'1 kg','place':'STORE'}");
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'50 kg',"
                   "'place':'STORE','sacks':20,'lot':'SEED-S'}");
    TRUE_FORM("{'kind':'delivery-check','lot':'SEED-S','inspected':3,'bad':0}");
    const char *lot = seed_receive(&h, "P-9", "300 kg");
    static const char *const tests[] = {
        "'test':'purity','pure':'99 g','other':'0.4 g','weed':'0.1 g','inert':'0.5 g'",
        "'test':'germination','replicates':[96,95,97,96]",
        "'test':'thousand-seed-mass','replicates_g':['5.52','5.50','5.49','5.51','5.53','5.50',"
        "'5.52','5.51']",
        "'test':'moisture','moisture':'10.2 %'",
        "'test':'look','seed':'good','sacks':'good'",
    };
    for (size_t i = 0; i < sizeof tests / sizeof tests[0]; i++) {
        const char *text = house_text(&h, "{'kind':'seed-test','lot':'%s',%s}", lot, tests[i]);
        form_is_true(&h, list, json_of(&h, text));
    }
    seed_passes(&h, lot);
    TRUE_FORM("{'kind':'approve','person':2,'lot':'%s','state':'approved'}", lot);
    seed_say(&h, lot, "approved");
    form_is_true(&h, list, json_of(&h, seed_treat_text(&h, lot, "100 kg", 86000)));
    const char *load = seed_treated(&h, lot, "100 kg");
    TRUE_FORM("{'kind':'cool','lot':'%s','place':'SOAK'}", load);
    TRUE_FORM("{'kind':'cool','lots':['%s'],'place':'SOAK'}", load);
    TRUE_FORM("{'kind':'soak','lot':'%s','place':'SOAK'}", load);
    TRUE_FORM("{'kind':'grow','mode':'tell','chamber':'C1','item':'MUNG','inputs':[{'lot':'%s'}]}",
              load);
    const char *growing = house_grow(&h, "C2", "100 kg");
    TRUE_FORM("{'kind':'plan-departure','place':'C2','day':'2026-03-02','departure':'seed-short'}");
    TRUE_FORM("{'kind':'water','chamber':'C2','source':'WATER','litres':'900 L','temp':'18 C'}");
    TRUE_FORM("{'kind':'water','lot':'%s','source':'WATER','litres':'900 L'}", growing);
    house_wait(&h, "6 d");
    TRUE_FORM("{'kind':'harvest','chamber':'C2','mass':'700 kg','place':'WASH','share':'50 %%'}");
    TRUE_FORM("{'kind':'harvest','lot':'%s','gross':'730 kg','tare':'30 kg','place':'WASH'}",
              growing);
    TRUE_FORM("{'kind':'empty','chamber':'C2','mass':'3 kg'}");
    group_tried("seed");
    group_tried("grow");
    group_tried("harvest");
}

/* ---- lines and checks */

static const char *harvested(const char *chamber)
{
    house_take(&h,
               "{'kind':'harvest','chamber':'%s','mass':'300 kg','place':'WASH','share':'30 %%'}",
               chamber);
    return house_answer(&h, "lot");
}

static void lines(void **state)
{
    (void)state;
    house_grow(&h, "C1", "100 kg");
    house_wait(&h, "7 d");
    const char *lot = harvested("C1");
    TRUE_FORM("{'kind':'wash','place':'WASH','inputs':[{'lot':'%s'}],'outputs':[{'role':'main',"
              "'mass':'270 kg'},{'role':'hulls','mass':'20 kg'}]}",
              lot);
    house_take(&h,
               "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s'}],'outputs':[{'role':'main',"
               "'mass':'270 kg'},{'role':'hulls','mass':'20 kg'}]}",
               lot);
    const char *washed = house_answer(&h, "lots.0.lot"), *hulls = house_answer(&h, "lots.1.lot");
    static const char *const steps[][2] = {{"trim", "TRIM"}, {"rinse", "WASH"}, {"sort", "SORT"}};
    for (size_t i = 0; i < 3; i++) {
        TRUE_FORM("{'kind':'%s','place':'%s','inputs':[{'lot':'%s','mass':'50 kg'}],'outputs':[{"
                  "'role':'main','mass':'49 kg'}]}",
                  steps[i][0], steps[i][1], washed);
    }
    house_take(&h, "{'kind':'place','code':'DRYER','place_kind':'dryer'}");
    TRUE_FORM("{'kind':'dry','place':'DRYER','inputs':[{'lot':'%s'}],'outputs':[{'role':'main',"
              "'mass':'4 kg'}]}",
              hulls);
    TRUE_FORM("{'kind':'run-start','place':'PACK','family':'mung','carry_over':'90 s'}");
    house_take(&h, "{'kind':'run-start','place':'PACK','family':'mung','carry_over':'90 s'}");
    TRUE_FORM("{'kind':'run-end','run':'%s'}", house_answer(&h, "run"));
    TRUE_FORM("{'kind':'pack','place':'PACK','inputs':[{'lot':'%s','mass':'10 kg'}],'item':"
              "'MUNG250','pieces':40,'mean_net':'250 g','cases':1,'markets':['US']}",
              washed);
    group_tried("line");
}

static void maintenance_and_chemicals(void)
{
    house_take(&h, "{'kind':'chemical','person':2,'code':'CHEM-1','agent':'chlorine','best_before':"
                   "'2027-01-01T00:00:00Z'}");
    TRUE_FORM("{'kind':'titration','person':2,'chemical':'CHEM-1','strength':'12 %%','low':'10 %%',"
              "'high':'14 %%'}");
    doses_and_stops();
    TRUE_FORM("{'kind':'work-order','place':'PACK','what':'new belt'}");
    house_take(&h, "{'kind':'work-order','place':'PACK','what':'new belt'}");
    TRUE_FORM("{'kind':'hand-back','person':2,'work_order':'%s','tools_counted':true,'cleaned':"
              "true}",
              house_answer(&h, "work_order"));
    house_take(&h,
               "{'kind':'duty','code':'PEST','title':'Bait stations','duty_kind':'pest','every':"
               "'30 d','role':'hygiene','source':'contract 4'}");
    TRUE_FORM("{'kind':'duty-done','duty':'PEST','ok':true}");
}

static void checks_and_cleans(void **state)
{
    (void)state;
    const char *packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    TRUE_FORM("{'kind':'metal-check','place':'METAL','fe':'rejected','non_fe':'rejected','steel':"
              "'rejected'}");
    TRUE_FORM("{'kind':'moisture-check','lot':'%s','moisture':'2 %%'}", packed);
    TRUE_FORM("{'kind':'seal-check','place':'PACK','ok':true}");
    TRUE_FORM("{'kind':'label-check','lot':'%s','item':'MUNG250','lot_code':'%s','best_before':"
              "'2026-03-20','net':'250 g','allergens':[]}",
              packed, packed);
    TRUE_FORM("{'kind':'cold-check','place':'COLD','temp':'3 C'}");
    TRUE_FORM("{'kind':'water-reading','place':'WATER','chlorine':'20 mg/L'}");
    TRUE_FORM("{'kind':'water-reading','place':'WATER','ph':'7.1','temp':'12 C'}");
    TRUE_FORM("{'kind':'inspect','place':'COLD','what':'door closes','ok':true}");
    TRUE_FORM("{'kind':'inspect','lot':'%s','what':'cases whole','ok':true}", packed);
    TRUE_FORM("{'kind':'instrument-check','instrument':'SCALE','reference':'20 kg','shown':"
              "'20 kg'}");
    house_take(&h, "{'kind':'register','code':'BLADES','of':'blades','place':'TRIM','expected':12,"
                   "'person':2}");
    TRUE_FORM("{'kind':'register-count','register':'BLADES','counted':12}");
    TRUE_FORM("{'kind':'health-check','about':2,'passed':true,'until':'2027-01-01T00:00:00Z'}");
    TRUE_FORM("{'kind':'metal-reject','place':'METAL','metal':'iron','what':'a shaving',"
              "'passes':3}");
    group_tried("check");
    TRUE_FORM("{'kind':'clean','place':'C2','start':'%s','end':'%s','agent':'chlorine','strength':"
              "'150 mg/L','contact':'120 s','rinsed':true,'inspected':'pass'}",
              house_time(&h, -20), house_time(&h, -5));
    TRUE_FORM("{'kind':'calibrate','instrument':'SCALE','as_found_error':100,'uncertainty':50000,"
              "'due':'2027-06-01T00:00:00Z','ok':true}");
    maintenance_and_chemicals();
    group_tried("clean");
}

/* ---- stock */

static void stock_and_shipping(void **state)
{
    (void)state;
    house_take(&h, "{'kind':'place','code':'COLD-2','place_kind':'cold-room'}");
    const char *growing = house_grow(&h, "C1", "100 kg"), *packed = house_pack(&h, growing);
    const char *seed = seed_receive(&h, "P-9", "300 kg");
    TRUE_FORM("{'kind':'store','lot':'%s','place':'COLD'}", packed);
    TRUE_FORM("{'kind':'move','units':['%s-0001'],'place':'COLD-2'}", packed);
    TRUE_FORM("{'kind':'destroy','units':['%s-0001'],'to':'waste','reason':'dropped'}", packed);
    TRUE_FORM("{'kind':'destroy','lot':'%s','mass':'2 kg','to':'feed','reason':'wet'}", seed);
    TRUE_FORM("{'kind':'count','lot':'%s','mass':'298 kg'}", seed);
    TRUE_FORM("{'kind':'split','units':['%s-0001','%s-0002']}", packed, packed);
    house_take(&h, "{'kind':'split','units':['%s-0003','%s-0004']}", packed, packed);
    const char *other = house_answer(&h, "lot");
    TRUE_FORM("{'kind':'join','mode':'tell','inputs':[{'lot':'%s'},{'lot':'%s'}]}", packed, other);
    TRUE_FORM("{'kind':'rework','mode':'tell','inputs':[{'units':['%s-0001']}],'item':'MUNG'}",
              packed);
    TRUE_FORM("{'kind':'retain','person':2,'units':['%s-0001'],'place':'COLD','until':"
              "'2027-01-01T00:00:00Z'}",
              packed);
    house_take(&h,
               "{'kind':'retain','person':2,'units':['%s-0005'],'place':'COLD','until':"
               "'2027-01-01T00:00:00Z'}",
               packed);
    TRUE_FORM("{'kind':'retain-end','person':2,'retained':'%s','what':'thrown away'}",
              house_answer(&h, "retained"));
    group_tried("store");
    TRUE_FORM("{'kind':'ship','mode':'tell','customer':'COTYLEDON','units':['%s-0001']}", packed);
    house_take(&h, "{'kind':'ship','mode':'tell','customer':'COTYLEDON','units':['%s-0001']}",
               packed);
    TRUE_FORM("{'kind':'return','customer':'COTYLEDON','units':['%s-0001'],'place':'COLD'}",
              packed);
    TRUE_FORM("{'kind':'complaint','person':2,'lot':'%s','complaint':'spoiled','what':'sour',"
              "'customer':'COTYLEDON','pieces':2}",
              packed);
    TRUE_FORM("{'kind':'complaint','person':2,'unit':'%s-0002','complaint':'label','what':'torn'}",
              packed);
    group_tried("ship");
}

/* ---- evidence and decisions */

static void samples(const char *growing)
{
    TRUE_FORM("{'kind':'sample','what':'spent-water','chamber':'C3','location':'drain','volume':"
              "'1000 mL'}");
    TRUE_FORM("{'kind':'sample','what':'sprouts','lot':'%s','location':'top','mass':'100 g'}",
              growing);
    TRUE_FORM("{'kind':'sample','what':'swab','place':'PACK'}");
    const char *sample = house_sample(&h, growing), *report = attach("report");
    TRUE_FORM("{'kind':'result','person':2,'sample':'%s','organism':'Salmonella spp.','state':"
              "'negative','method':'FDA-SSIW-2015','report':'%s'}",
              sample, report);
    TRUE_FORM("{'kind':'result','person':2,'sample':'%s','organism':'Salmonella spp.','state':"
              "'pending'}",
              sample);
    house_take(&h,
               "{'kind':'result','person':2,'sample':'%s','organism':'Salmonella spp.','state':"
               "'negative','method':'FDA-SSIW-2015','report':'%s','by_hand':true}",
               sample, report);
    TRUE_FORM("{'kind':'second-reading','person':3,'sample':'%s','organism':'Salmonella spp.'}",
              sample);
    TRUE_FORM("{'kind':'sample','what':'swab','place':'PACK','location':'Z1-PACK'}");
    TRUE_FORM(
        "{'kind':'lab-count','person':2,'sample':'%s','organism':'generic E. coli','volumes_ml':"
        "['10','1'],'tubes':[5,5],'positive':[3,0]}",
        sample);
    TRUE_FORM(
        "{'kind':'lab-count','person':2,'sample':'%s','organism':'aerobic count','volumes_ml':"
        "['0.01'],'colonies':[150]}",
        sample);
    TRUE_FORM("{'kind':'custody','person':2,'sample':'%s','to':'courier','temp':'3 C','seal':"
              "'whole'}",
              sample);
    TRUE_FORM("{'kind':'waive-age','person':2,'sample':'%s','market':'US','reason':'a warm crop'}",
              sample);
}

static void holds(const char *lot)
{
    TRUE_FORM("{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],'needs':'check',"
              "'reason':'smells'}",
              lot);
    TRUE_FORM("{'kind':'hold','hold_kind':'supplier','seed_lot':'%s','stops':['use','mix'],"
              "'needs':'paper','reason':'a letter'}",
              h.seed);
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],'needs':'check',"
               "'reason':'smells'}",
               lot);
    const char *hold = house_answer(&h, "hold");
    int64_t good = house_take(&h, "{'kind':'inspect','lot':'%s','what':'smell','ok':true}", lot);
    TRUE_FORM("{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold, (long long)good);
    TRUE_FORM("{'kind':'strike','person':2,'entry':%lld,'reason':'the wrong lot'}",
              (long long)good);
    TRUE_FORM("{'kind':'review','person':2,'entries':[%lld]}", (long long)good);
}

/* Two people close what broke a rule. */
static void deviation_closed(void)
{
    house_take(&h, "{'kind':'cold-check','place':'COLD','temp':'11 C'}");
    struct statement *q = store_prepare(h.store, Q_SAFETY_DEVIATIONS);
    bool row;
    assert_ok(store_step(q, &row));
    assert_true(row);
    int64_t id = store_int(q, 0);
    while (row) {
        assert_ok(store_step(q, &row));
    }
    const char *action = house_text(&h,
                                    "{'kind':'corrective-action','person':2,'deviation':%lld,"
                                    "'cause':'the door stood open','correction':'closed it',"
                                    "'disposition':'no-product'}",
                                    (long long)id);
    form_is_true(&h, list, json_of(&h, action));
    house_take(&h, "%s", action);
    TRUE_FORM("{'kind':'verification','person':3,'deviation':%lld,'ok':true}", (long long)id);
}

static void evidence(void **state)
{
    (void)state;
    const char *piece = house_piece(&h, h.fixed.now_ms - 3600000, 86000);
    TRUE_FORM("{'kind':'seal','series':'treater-9','bytes_b64':'%s'}", piece);
    house_take(&h, "{'kind':'seal','series':'treater-9','bytes_b64':'%s'}", piece);
    const char *sealed = house_answer(&h, "sha256");
    TRUE_FORM("{'kind':'attach','name':'a.pdf','paper_kind':'file','bytes_b64':'%s'}",
              base64_text(&h.arena, "%PDF-1.4 x", 10));
    struct house_batch b = house_batch(&h, "C2", true);
    TRUE_FORM("{'kind':'release','person':2,'lot':'%s','markets':['US']}", b.packed);
    holds(b.packed);
    deviation_closed();
    const char *growing = house_grow(&h, "C3", "100 kg");
    house_wait(&h, "49 h");
    samples(growing);
    TRUE_FORM("{'kind':'environment','place':'PACK','product_hold':true,'organism':'Listeria "
              "spp.'}");
    house_take(&h, "{'kind':'environment','place':'PACK','product_hold':false,'person':7}");
    int64_t action = house_number(&h, "environment");
    TRUE_FORM("{'kind':'environment','decide':%lld,'product_hold':true,'reason':'near product'}",
              (long long)action);
    TRUE_FORM("{'kind':'environment','close':%lld,'reason':'cleaned and dry'}", (long long)action);
    house_wait(&h, "800 d"); /* past the retention of series */
    TRUE_FORM("{'kind':'drop-piece','piece':'%s'}", sealed);
    group_tried("evidence");
}

/* ---- what a page gets beside the fields */

static const json_t *field_of(const char *kind, const char *name)
{
    const json_t *form = page_find(list, "kind", kind);
    assert_non_null(form);
    return page_find(json_object_get(form, "fields"), "name", name);
}

static void what_a_form_says(void **state)
{
    (void)state;
    const json_t *harvest = page_find(list, "kind", "harvest");
    assert_string_equal(page_text(harvest, "title"), "Harvest");
    assert_string_equal(page_text(harvest, "mode"), "tell");
    assert_true(json_is_true(json_object_get(harvest, "moves_mass")));
    assert_true(json_is_true(json_object_get(harvest, "confirm")));
    assert_true(json_is_false(json_object_get(harvest, "signs")));
    const json_t *roles = json_object_get(harvest, "roles");
    assert_string_equal(json_string_value(json_array_get(roles, 0)), "grower");
    assert_true(json_is_true(json_object_get(page_find(list, "kind", "release"), "signs")));
    assert_true(json_is_true(json_object_get(page_find(list, "kind", "lift"), "confirm")));
    assert_string_equal(page_text(page_find(list, "kind", "grow"), "mode"), "ask");
    const json_t *of = json_object_get(field_of("harvest", "lot"), "of");
    assert_string_equal(page_text(of, "lot_kind"), "growing");
    assert_string_equal(page_text(field_of("harvest", "chamber"), "label"), "Chamber");
    assert_true(page_null(field_of("harvest", "chamber"), "default")); /* there are three */
    /* the house has one treater, one water system, one scale */
    assert_string_equal(page_text(field_of("heat-treat", "place"), "default"), "TREAT");
    assert_string_equal(page_text(field_of("water", "source"), "default"), "WATER");
    assert_string_equal(page_text(field_of("harvest", "instrument"), "default"), "SCALE");
    const json_t *state_of = json_object_get(field_of("approve", "state"), "choices");
    assert_string_equal(page_text(json_array_get(state_of, 2), "label"), "blocked");
    const json_t *out = json_object_get(field_of("wash", "outputs"), "choices");
    assert_string_equal(page_text(json_array_get(out, 1), "value"), "hulls");
}

/* The scale that was used last at the place stands before the other one. */
static void last_instrument(void **state)
{
    (void)state;
    house_take(&h,
               "{'kind':'instrument','code':'SCALE-2','instrument_kind':'scale','division':1000,"
               "'uncertainty':1000,'due':'2027-01-01T00:00:00Z'}");
    struct view v = house_view(&h, "es");
    json_t *other = NULL;
    assert_ok(view_forms(&v, &other));
    const json_t *form = page_find(json_object_get(other, "forms"), "kind", "wash");
    assert_string_equal(page_text(form, "title"), "Lavar y quitar cáscaras");
    json_decref(other);
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'50 kg',"
                   "'instrument':'SCALE-2','place':'STORE'}");
    assert_ok(view_forms(&v, &other));
    const json_t *move = page_find(json_object_get(other, "forms"), "kind", "receive");
    const json_t *field = page_find(json_object_get(move, "fields"), "name", "instrument");
    assert_true(page_null(field, "default")); /* several places receive */
    json_decref(other);
}

static void has_words(const char *lang)
{
    struct view v = house_view(&h, lang);
    json_t *all, *form, *field;
    size_t i, k;
    assert_ok(view_forms(&v, &all));
    json_array_foreach(json_object_get(all, "forms"), i, form)
    {
        if (strcmp(text_at(form, "title"), text_at(form, "kind")) == 0) {
            fail_msg("no words for %s in %s", text_at(form, "kind"), lang);
        }
        json_array_foreach(json_object_get(form, "fields"), k, field)
        {
            if (strcmp(text_at(field, "label"), text_at(field, "name")) == 0) {
                fail_msg("no words for %s of %s in %s", text_at(field, "name"),
                         text_at(form, "kind"), lang);
            }
        }
    }
    json_decref(all);
}

static void titles_and_labels_are_words(void **state)
{
    (void)state;
    has_words("en");
    has_words("es");
}

/* What the house lists can be chosen, by its name where it has one. */
static void choices_of_the_house(void **state)
{
    (void)state;
    const json_t *training = json_object_get(field_of("training", "training"), "choices");
    const json_t *cleaning = page_find(training, "value", "cleaning");
    assert_string_equal(page_text(cleaning, "label"), "Cleaning and sanitising");
    const json_t *check = json_object_get(field_of("duty", "check"), "choices");
    assert_string_equal(page_text(page_find(check, "value", "cold-check"), "label"),
                        "Read a cold room");
    assert_string_equal(page_text(field_of("duty", "by"), "default"), "told");
    assert_int_equal(
        json_array_size(json_object_get(field_of("register-count", "register"), "choices")), 0);
    house_take(&h, "{'kind':'register','code':'BLADES','of':'blades','place':'TRIM','expected':12,"
                   "'person':2}");
    struct view v = house_view(&h, "en");
    json_t *again;
    assert_ok(view_forms(&v, &again));
    const json_t *count = page_find(json_object_get(again, "forms"), "kind", "register-count");
    const json_t *field = page_find(json_object_get(count, "fields"), "name", "register");
    const json_t *choices = json_object_get(field, "choices");
    assert_string_equal(page_text(json_array_get(choices, 0), "value"), "BLADES");
    json_decref(again);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(the_house),
        TEST(seed_and_growing),
        TEST(lines),
        TEST(checks_and_cleans),
        TEST(stock_and_shipping),
        TEST(evidence),
        TEST(what_a_form_says),
        TEST(last_instrument),
        TEST(titles_and_labels_are_words),
        TEST(choices_of_the_house),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
