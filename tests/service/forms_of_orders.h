/* The forms of orders and of plans taken; included by view_forms_test.c, whose house and TRUE_FORM
 * they use. */
#ifndef TESTS_SERVICE_FORMS_OF_ORDERS_H
#define TESTS_SERVICE_FORMS_OF_ORDERS_H

static void orders_and_plans(void)
{
    TRUE_FORM("{'kind':'order','source':'book','lines':[{'key':'1','customer':'COTYLEDON','item':"
              "'MUNG250','day':'2026-03-09','pieces':40}]}");
    TRUE_FORM("{'kind':'standing-order','code':'S-1','customer':'COTYLEDON','item':'MUNG250',"
              "'weekdays':['mon','thu'],'pieces':40,'from':'2026-03-09'}");
    TRUE_FORM("{'kind':'delivery-agree','code':'D-1','supplier':'RADICLE','item':'MUNGSEED',"
              "'day':'2026-03-20','mass':'500 kg'}");
    TRUE_FORM("{'kind':'plan-take','starts':[{'day':'2026-03-04','place':'C1','item':'MUNG',"
              "'seed':'100 kg','grow_days':7}]}");
}

#endif
