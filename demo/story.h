/* The state of the invented plant while it is played. */
#ifndef DEMO_STORY_H
#define DEMO_STORY_H

#include "demo/house.h"

enum { GROW_DAYS = 9, SAMPLE_AGE_DAYS = 3, RESULT_AGE_DAYS = 6 };

enum batch_state { BATCH_TREATED, BATCH_GROWING, BATCH_GONE };

struct seed_lot {
    const char *code, *item;
    double left_kg;
    int32_t day;
    bool usable;
    size_t supplier; /* of house_suppliers */
};

struct batch {
    int item; /* of demo_items */
    enum batch_state state;
    const char *lot, *load;
    int chamber; /* 1.. */
    int32_t grow_day, harvest_day;
    double seed_kg;
    size_t seed; /* of seeds */
    int samples;
    bool sampled, resulted, late, positive;
    bool cut;          /* a part of it, the rest stands */
    int32_t again_day; /* that its second test comes; 0: none is waited for */
    int64_t wet_ms;
};

struct stock {
    const char *lot;
    int item;
    size_t batch;
    int cases, next; /* next: first case that is still here */
    int32_t best_before;
    bool released, lost;
    int32_t day;    /* it was packed */
    bool kept;      /* a case of it is kept back */
    bool water_low; /* washed while the water was below its limit */
    int64_t pack_entry;
    json_t *pack; /* the packing as told, for putting it right */
};

struct story {
    struct play *p;
    const char *validation;
    struct seed_lot *seeds;
    size_t seed_count;
    struct batch *batches;
    size_t batch_count;
    struct stock *stocks;
    size_t stock_count;
    size_t *chamber_batch; /* batch + 1 growing in chamber, 0 empty */
    bool *chamber_clean;
    /* once each */
    int32_t fail_day, late_day, positive_day, warm_day, short_day, told_late_day, wrong_day;
    int32_t low_day, scale_day, sick_day, niche_day, complaint_day;
    int32_t stuck_day, contact_day, dose_day;
    int32_t part_day;  /* the first on which a chamber may be cut in parts; 0: none is */
    int32_t again_day; /* as late_day: of a batch whose first result says nothing; 0: no such */
    bool again_done, again_open;
    int lots_today;
    int64_t weigher_no;
    struct random hygiene; /* of its own: what is read and counted changes nothing that is made */
    bool low_done, stuck_done;
    int suspended; /* of house_suppliers; -1: none */
    int32_t approve_day;
    const char *complained;
    int chemical;            /* the lot in use, from 1 */
    int64_t entry_before;    /* last entry of the day before yesterday */
    int64_t entry_yesterday; /* last entry of yesterday */
    int64_t read_ms;         /* when the wash water was read last */
    int64_t new_water_ms;    /* when the water of W-2 was last new */
};

/* One file a part of the plant; each plays its part of the day st->p->day. */
MUST_USE struct result story_seed(struct story *st);   /* deliveries, tests, approval */
MUST_USE struct result story_orders(struct story *st); /* the order book as a file */
MUST_USE struct result story_start(struct story *st);  /* chambers started from yesterday's loads */
MUST_USE struct result story_treat(struct story *st);  /* today's treatments, soaked over night */
MUST_USE struct result story_care(struct story *st, int hour); /* watering, samples, cold room */
MUST_USE struct result story_lab(struct story *st);     /* results as files, water and swabs */
MUST_USE struct result story_lines(struct story *st);   /* harvest to pack */
MUST_USE struct result story_release(struct story *st); /* review, release, corrections */
MUST_USE struct result story_ship(struct story *st);
MUST_USE struct result story_loggers(struct story *st); /* chamber logger and weigher, as files */
/* Before the first truck: who may work, with what; the schedule on the first day. */
MUST_USE struct result story_standing(struct story *st);
MUST_USE struct result story_hygiene(struct story *st); /* instruments, chemicals, counts, work */
MUST_USE struct result story_swabs(struct story *st);   /* drawn, and as results of a file */
/* Complaints, kept samples, what is put right by two people. */
MUST_USE struct result story_aftercare(struct story *st);

/* The water of both wash lines, before a run, in it and after it. */
MUST_USE struct result wash_read(struct story *st, int64_t at_ms);
/* Of one line, so much chlorine. */
MUST_USE struct result wash_read_one(struct story *st, int64_t at_ms, const char *place,
                                     double chlorine_mg_l);
/* The water of W-2 goes round: told on the first day. */
MUST_USE struct result wash_stands(struct story *st, int64_t at_ms);
/* Before the lines start; once it is stopped for too little contact. */
MUST_USE struct result wash_morning(struct story *st);
/* A stop is heard, and ended after a good reading. */
MUST_USE struct result wash_stop_heard(struct story *st, int64_t at_ms, const char *place);
MUST_USE struct result wash_runs_again(struct story *st, int64_t at_ms, const char *place);
/* Sanitiser made up by the lot in use. */
MUST_USE struct result wash_dose(struct story *st, int64_t at_ms);
/* The supplier of what was positive is asked for an explanation and delivers nothing meanwhile. */
MUST_USE struct result supplier_suspend(struct story *st, size_t supplier);
/* A file of the laboratory. */
MUST_USE struct result import_results(struct story *st, const struct sheet *file, const char *what);
extern const char results_header[];

/* cases that a customer orders of an item for a day */
int order_cases(const struct story *st, int customer, int item, int32_t day);
/* A clean of a place, valid. */
MUST_USE struct result clean_place(struct story *st, int64_t end_ms, const char *place);
const char *chamber_code(struct story *st, int chamber);
const char *keep_text(struct story *st, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#endif
