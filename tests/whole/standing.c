#include "record.h"

#include "evidence.h"
#include "stock.h"

/* Lists, in an order in which each finds what it speaks of. */
static const char *const listed[] = {
    "{'kind':'site','code':'Z1-PACK','place':'PACK','zone':1,'surface':'outfeed belt','person':2}",
    "{'kind':'site','code':'Z3-TRIM','place':'TRIM','zone':3,'surface':'drain','person':2}",
    "{'kind':'duty','code':'CL-PACK','title':'Clean the pack line','duty_kind':'clean','by':'clean'"
    ",'place':'PACK','every':'1 d','role':'hygiene','blocks':true,'source':'plan 1','person':7}",
    "{'kind':'duty','code':'SW-PACK','title':'Swab the belt','duty_kind':'swab','by':'swab','site':"
    "'Z1-PACK','place':'PACK','every':'7 d','role':'quality','source':'plan 2','person':7}",
    "{'kind':'duty','code':'CK-SC','title':'Check the scale','duty_kind':'check','by':"
    "'instrument-check','instrument':'SCALE','every':'1 d','role':'line','source':'plan 3',"
    "'person':7}",
    "{'kind':'duty','code':'CA-SC','title':'Calibrate the scale','duty_kind':'calibrate','by':"
    "'calibrate','instrument':'SCALE','every':'365 d','role':'maintenance','source':'plan 3',"
    "'person':7}",
    "{'kind':'duty','code':'CK-COLD','title':'Read the cold room','duty_kind':'check','by':'check',"
    "'check':'cold-check','place':'COLD','every':'1 d','role':'line','source':'plan 3','person':7}",
    "{'kind':'duty','code':'PEST','title':'Bait stations','duty_kind':'pest','every':'28 d','role':"
    "'hygiene','source':'plan 4','person':7}",
    "{'kind':'certificate','code':'CERT-1','certificate':'organic seed','supplier':'RADICLE',"
    "'until':'2027-01-01T00:00:00Z','person':2}",
    "{'kind':'certificate','code':'CERT-2','certificate':'calibration','instrument':'SCALE',"
    "'until':'2027-01-01T00:00:00Z','person':2}",
    "{'kind':'chemical','code':'CHEM-1','agent':'chlorine','best_before':'2027-01-01T00:00:00Z',"
    "'person':7}",
    "{'kind':'register','code':'BLADES','of':'blades','place':'TRIM','expected':12,'person':2}",
    "{'kind':'register','code':'GLASS','of':'glass','place':'PACK','expected':9,'person':2}",
    "{'kind':'register','code':'GLASS','of':'glass','place':'PACK','expected':8,'person':2}",
};

static const char *const noted[] = {
    "{'kind':'health-check','about':5,'passed':true,'until':'2027-01-01T00:00:00Z','person':7}",
    "{'kind':'health-check','about':4,'passed':false,'person':7}",
    "{'kind':'health-check','about':4,'passed':true,'person':7}",
    "{'kind':'handover','text':'C1 is done','shift':'early','person':5}",
    "{'kind':'duty-done','duty':'PEST','ok':true,'what':'no bait taken','person':7}",
    "{'kind':'duty-done','duty':'PEST','ok':false,'what':'droppings by the dock','person':7}",
    "{'kind':'titration','chemical':'CHEM-1','strength':'12 %','low':'10 %','high':'14 %','person':"
    "7}",
    "{'kind':'register-count','register':'BLADES','counted':12,'person':5}",
    "{'kind':'register-count','register':'GLASS','counted':8,'person':5}",
    "{'kind':'instrument-check','instrument':'SCALE','reference':'20 kg','shown':'20.01 kg',"
    "'person':5}",
    "{'kind':'calibrate','instrument':'SCALE','as_found_error':0,'uncertainty':50000,'ok':true,"
    "'due':'2027-02-01T00:00:00Z','person':10}",
    "{'kind':'cold-check','place':'COLD','temp':'3 C','person':5}",
    "{'kind':'metal-reject','place':'METAL','metal':'steel','what':'a shaving','passes':3,"
    "'person':5}",
    "{'kind':'work-order','code':'W1','place':'TRIM','what':'new belt','person':10}",
    "{'kind':'hand-back','work_order':'W1','tools_counted':true,'cleaned':true,'what':'2 spanners',"
    "'person':7}",
    "{'kind':'work-order','code':'W2','place':'SORT','what':'a bearing','person':10}",
    "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'500 kg','place':'STORE',"
    "'sacks':20,'lot':'SEED-2','person':6}",
    "{'kind':'delivery-check','lot':'SEED-2','inspected':3,'bad':0,'person':6}",
    "{'kind':'seal-check','place':'PACK','ok':false,'what':'open corner','person':5}",
};

static void say_all(struct house *h, const char *const *commands, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        house_wait(h, "1 min");
        house_take(h, "%s", commands[i]);
    }
}

/* A swab that is found positive and opens its action, with its count and its way. */
static void positive_swab(struct house *h)
{
    house_take(h, "{'kind':'sample','what':'swab','place':'TRIM','location':'Z3-TRIM','person':2}");
    const char *sample = arena_copy(&h->arena, house_answer(h, "sample"));
    house_take(h,
               "{'kind':'custody','sample':'%s','to':'courier','temp':'3 C','seal':'whole',"
               "'person':2}",
               sample);
    house_take(h,
               "{'kind':'lab-count','sample':'%s','organism':'aerobic count','volumes_ml':['1',"
               "'0.1'],'tubes':[5,5],'positive':[5,1],'person':2}",
               sample);
    house_result(h, sample, "Listeria spp.", "confirmed-positive");
}

static void put_right(struct house *h)
{
    struct statement *q = store_prepare(h->store, Q_SAFETY_DEVIATIONS);
    int64_t id = 0;
    for (bool row = true; row;) {
        assert_ok(store_step(q, &row));
        id = row && strcmp(store_text(q, 2), "check-failed") == 0 ? store_int(q, 0) : id;
    }
    assert_true(id > 0);
    house_take(h,
               "{'kind':'corrective-action','deviation':%lld,'cause':'cold jaw','correction':"
               "'heater changed','disposition':'rework','restart':'20 seals','person':2}",
               (long long)id);
    house_take(h, "{'kind':'verification','deviation':%lld,'ok':true,'what':'20 seals','person':3}",
               (long long)id);
}

static void aftercare(struct house *h, const char *packed)
{
    const char *until = house_time(h, 20 * 1440);
    for (int n = 0; n < 3; n++) {
        house_take(h,
                   "{'kind':'complaint','lot':'%s','complaint':'spoiled','what':'sour','customer':"
                   "'COTYLEDON','pieces':2,'person':8}",
                   packed);
    }
    for (int n = 1; n <= 2; n++) {
        house_take(h,
                   "{'kind':'retain','units':['%s'],'place':'COLD','until':'%s','code':'K%d',"
                   "'person':2}",
                   house_case(h, packed, 10 + n).code, until, n);
    }
    house_take(h, "{'kind':'retain-end','retained':'K1','what':'thrown away','person':2}");
}

void record_stand(struct house *h, const char *packed)
{
    say_all(h, listed, sizeof listed / sizeof listed[0]);
    say_all(h, noted, sizeof noted / sizeof noted[0]);
    positive_swab(h);
    put_right(h);
    aftercare(h, packed);
    house_take(h, "{'kind':'supplier-approval','supplier':'RADICLE','state':'suspended','reason':"
                  "'a letter','person':2}");
}
