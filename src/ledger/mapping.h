/* How the files of one source are read. A mapping is data of the house: it comes with the command
 * {"kind":"mapping","source":"shop-1","for":"orders","data":{...}} and is kept in the daybook. The
 * members of data, all optional unless said:
 *
 *   columns     needed: {"field":"text of the header", ...}; the fields are named below
 *
 *   fixed       {"field":"text"}: the same for every row, in place of a column
 *
 *   codes       {"field":{"their word":"ours"}}: a word of that column that is not listed refuses
 *               the file
 *
 *   delimiter   ";" "," or a tab; else taken from the header line
 *
 *   decimal     "." (default) or ","
 *
 *   thousands   ".", ",", "'" or a blank; default: none may stand
 *
 *   dates       "iso" (default) or "day-first"
 *
 *   zone        the clock of the file, such as Europe/Vienna: needed for logger and checkweigher;
 *               else the zone of the house
 *
 *   encoding    "auto" (default), "utf-8" or "windows-1252"
 *
 *   missing     texts of a cell that has no value; default "", "---", "NaN"
 *
 *   preamble    {"label":"text"}: lines before the header that must be there as given
 *               (device, unit, zone of the file)
 *
 *   trailer     text with which the last line begins; a file without it is cut off
 *
 *   end         "line": a last line without line end is refused, as it always is of a whole book
 *               without trailer; "open": the source writes none
 *
 * orders:
 *
 *   whole_book  {"from":D,"to":D}: the file is all there is between two days. D is
 *               {"date":"2026-03-01"}, {"column":"header"}, {"row":"label before the header"}
 *               or, for from and to, {"of":"rows"}: the first and last day found in it
 *
 * seed:
 *
 *   unit        of masses without one: "kg" (default), "g", "mg" or "t"
 *
 * logger, checkweigher:
 *
 *   series      needed: the name of the series the readings go to
 *
 *   unit        needed: Cel % [ppm] g kg L/min bar mS/cm [pH] NTU
 *
 *   scale       decimals kept, 0 to 6: default 3 (checkweigher 1)
 *
 *   device      what column "device" must say
 *
 *   interval_s  needed for logger: seconds between readings, such as "10"; twice as long
 *               without one is a gap
 *
 *   jump        largest step between two readings, such as "5"; a reading further off is a gap
 *
 *   range       {"low":"-20","high":"130"}: a reading outside is a gap
 *
 * Errors: FIELD_MISSING, FIELD_UNKNOWN, FIELD_TYPE, FIELD_CHOICE, FIELD_RANGE, DECIMAL_*, DATE_BAD,
 * with the path below data. */
#ifndef LEDGER_MAPPING_H
#define LEDGER_MAPPING_H

#include "base/csv.h"
#include "base/json.h"
#include "base/result.h"
#include "ledger/series.h"

enum feed_kind { FEED_ORDERS, FEED_SEED, FEED_RESULTS, FEED_LOGGER, FEED_CHECKWEIGHER, FEED_KINDS };

/* The fields of each kind, by the names in columns, fixed and codes. (n) needed. */
enum orders_field {
    ORDERS_CUSTOMER, /* customer (n) */
    ORDERS_ORDER,    /* order, line: both or none; without them customer + item + day is the key */
    ORDERS_LINE,
    ORDERS_ITEM,   /* item (n) */
    ORDERS_DAY,    /* day (n) */
    ORDERS_PIECES, /* pieces (n) */
    ORDERS_STATE   /* state: open or cancelled */
};
enum seed_field {
    SEED_SUPPLIER, /* supplier (n) */
    SEED_SUPPLIER_LOT,
    SEED_ITEM,  /* item (n) */
    SEED_MASS,  /* mass (n) */
    SEED_PLACE, /* place (n) */
    SEED_LOT,   /* lot: our code; needed where tests are in the file */
    SEED_SACKS,
    SEED_BEST_BEFORE,
    SEED_AT, /* at: day, or day and time, of the delivery */
    SEED_INSTRUMENT,
    SEED_GROSS,
    SEED_TARE,
    SEED_MOISTURE, /* moisture: per cent */
    SEED_PURE,     /* pure, other, weed, inert: grams of the purity test, all or none */
    SEED_OTHER,
    SEED_WEED,
    SEED_INERT,
    SEED_GERMINATION,                    /* germination-1 .. -8: seeds of 100 */
    SEED_THOUSAND = SEED_GERMINATION + 8 /* thousand-1 .. -8: grams of the replicates */
};
enum results_field {
    RESULTS_SAMPLE,   /* sample (n) */
    RESULTS_ORGANISM, /* organism (n) */
    RESULTS_STATE,    /* state (n): pending, presumptive, negative, confirmed-positive,
                         confirmed-negative, invalid */
    RESULTS_METHOD,
    RESULTS_AT /* at: when the laboratory reported it */
};
enum readings_field {
    READINGS_TIME, /* time (n), or date and clock */
    READINGS_DATE,
    READINGS_CLOCK,
    READINGS_N, /* n: the device's own number; needed for checkweigher */
    READINGS_DEVICE,
    READINGS_UNIT,
    READINGS_ZONE,
    READINGS_VERDICT, /* verdict (checkweigher): accepted or rejected; weights of rejected packs go
                         to channel 2 */
    READINGS_CHANNEL  /* channel-1 (n) .. channel-16; of a checkweigher weight (n) */
};

enum {
    SEED_REPLICATES_MAX = 8,
    MAPPING_FIELDS_MAX = SEED_THOUSAND + SEED_REPLICATES_MAX,
    MAPPING_NO_FIELD = -1
};

/* Text by name; lists are sorted as they stood. */
struct mapping_pair {
    const char *name;
    const char *text;
};
struct mapping_pairs {
    struct mapping_pair *at;
    size_t count;
};

struct mapping_code {
    int field;
    const char *theirs;
    const char *ours;
};

enum mapping_day_from { DAY_NONE, DAY_DATE, DAY_COLUMN, DAY_ROW, DAY_OF_ROWS };
struct mapping_day {
    enum mapping_day_from from;
    int32_t day;
    const char *name; /* of the column or row */
};

struct mapping {
    enum feed_kind kind;
    const char *source;
    /* by field number of the kind; NULL where not mapped */
    const char *column[MAPPING_FIELDS_MAX];
    const char *fixed[MAPPING_FIELDS_MAX];
    struct mapping_code *codes;
    size_t code_count;
    struct mapping_pairs preamble;
    const char **missing;
    size_t missing_count;
    char delimiter; /* 0: detect */
    char decimal;
    char thousands; /* 0: none */
    bool day_first;
    bool needs_line_end;
    bool open_end; /* it is known that the last line has no end */
    enum csv_encoding encoding;
    const char *zone;    /* NULL: the house's */
    const char *trailer; /* NULL: none */
    struct mapping_day whole_from, whole_to;
    const char *unit;
    /* series */
    const char *series;
    const char *device; /* NULL: not checked */
    int channels;
    int scale;
    int64_t interval_ms;
    int64_t jump;      /* in 10^-scale units; 0: not looked at */
    int64_t low, high; /* INT32_MIN, INT32_MAX: not looked at */
};

/* kind: "orders" ... as in the command's "for". Texts are copied into the arena. */
MUST_USE struct result mapping_read(struct arena *a, const char *source, const char *kind,
                                    const json_t *data, struct mapping *out);
const char *feed_kind_text(enum feed_kind kind);
/* Number of a field of a kind, MAPPING_NO_FIELD when the name is none. */
int mapping_field(enum feed_kind kind, const char *name);
const char *mapping_field_name(enum feed_kind kind, int field);
/* The field is given by a column or fixed. */
bool mapping_has(const struct mapping *m, int field);

#endif
