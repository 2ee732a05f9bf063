/* The forms of water and of what is dosed into it; included by view_forms_test.c, whose house and
 * TRUE_FORM they use. */
#ifndef TESTS_SERVICE_FORMS_OF_WATER_H
#define TESTS_SERVICE_FORMS_OF_WATER_H

static void lists_of_water(void)
{
    TRUE_FORM("{'kind':'chemical','person':2,'code':'CHEM-2','agent':'chlorine','best_before':"
              "'2027-01-01T00:00:00Z','form':'solid','substance':'calcium-hypochlorite',"
              "'strength':'65 %%','strength_of':'available-chlorine'}");
    TRUE_FORM("{'kind':'chemical','person':2,'code':'CHEM-3','agent':'chlorine','best_before':"
              "'2027-01-01T00:00:00Z','form':'mass-percent','substance':'sodium-hypochlorite',"
              "'strength':'12 %%','strength_of':'available-chlorine','density':'1.17 kg/L'}");
    TRUE_FORM("{'kind':'chemical','person':2,'code':'CHEM-4','agent':'acid','best_before':"
              "'2027-01-01T00:00:00Z','form':'grams-litre','substance':'other','strength':"
              "'150 g/L','strength_of':'substance'}");
    TRUE_FORM("{'kind':'water-loop','person':2,'place':'WASH','rule':'recycled','volume':"
              "'2000 L','measure':'turbidity','fresh':'1 NTU','change_every':'1 d'}");
    TRUE_FORM("{'kind':'water-segment','person':2,'code':'T-1','place':'WASH','volume':'500 L',"
              "'flow':'50 L/min','baffling':'0.3'}");
}

static void doses_and_stops(void)
{
    house_take(&h, "{'kind':'chemical','person':2,'code':'CHEM-2','agent':'chlorine','best_before':"
                   "'2027-01-01T00:00:00Z','form':'volume-percent','substance':"
                   "'sodium-hypochlorite','strength':'12 %%','strength_of':'available-chlorine',"
                   "'density':'1.17 kg/L'}");
    TRUE_FORM("{'kind':'dose','chemical':'CHEM-2','counts':'available-chlorine','target':'100 "
              "mg/L','volume':'100 L','weighed':'97.5 g'}");
    TRUE_FORM("{'kind':'dose','chemical':'CHEM-2','counts':'available-chlorine','target':'100 "
              "mg/L','volume':'100 L','now':'20 mg/L','measured':'67 mL'}");
    TRUE_FORM("{'kind':'water-change','place':'WASH'}");
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'1 mg/L'}");
    TRUE_FORM("{'kind':'stop-heard','place':'WASH'}");
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'20 mg/L'}");
    TRUE_FORM("{'kind':'water-restart','place':'WASH'}");
}

#endif
