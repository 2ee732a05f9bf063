#include "head.h"

static void somebody_else_hands_the_place_back(void **state)
{
    house_take(&h, "{'kind':'work-order','place':'PACK','what':'new belt','person':10}");
    const char *code = house_answer(&h, "work_order");
    const char *format = "{'kind':'hand-back','work_order':'%s','tools_counted':%s,'cleaned':%s,"
                         "'person':%d}";
    house_refused(&h, HAND_BACK_NOT_CLEAR, house_text(&h, format, code, "false", "true", 7));
    house_refused(&h, HAND_BACK_NOT_CLEAR, house_text(&h, format, code, "true", "false", 7));
    house_refused(&h, ROLE_MISSING, house_text(&h, format, code, "true", "true", 10));
    house_take(&h, format, code, "true", "true", 7);
    house_refused(&h, WORK_ORDER_UNKNOWN, house_text(&h, format, code, "true", "true", 7));
}

static void nobody_clears_their_own_work(void **state)
{
    house_take(&h, "{'kind':'work-order','code':'W-9','place':'PACK','what':'belt','person':5}");
    house_refused(&h, SECOND_PERSON,
                  "{'kind':'hand-back','work_order':'W-9','tools_counted':true,'cleaned':true,"
                  "'person':5}");
    house_refused(&h, LOT_EXISTS,
                  "{'kind':'work-order','code':'W-9','place':'WASH','what':'again','person':5}");
    house_refused(&h, PLACE_UNKNOWN,
                  "{'kind':'work-order','code':'W-8','place':'NONE','what':'x','person':5}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(somebody_else_hands_the_place_back),
        T(nobody_clears_their_own_work),
    };
    RUN(tests);
}
