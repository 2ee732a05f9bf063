#include "calc/microbe/sampling_plan.h"

#include <stddef.h>
#include <string.h>

#include "base/check.h"
#include "calc/range.h"

enum { LETTERS = 16, LOT_ROWS = 15, LEVELS = 7, LOT_MAX = 1000000000 };
enum { DOWN = -1, UP = -2 };

static const char letters[LETTERS + 1] = "ABCDEFGHJKLMNPQR";
static const int sizes[LETTERS] = {2,  3,   5,   8,   13,  20,  32,   50,
                                   80, 125, 200, 315, 500, 800, 1250, 2000};
/* Reduced inspection; none where they are not known. */
static const int reduced_sizes[LETTERS] = {2, 2, 2, 3, 5, 8, 13, 20, 32, 50, 80, 125};

/* Upper ends of the lot sizes. */
static const int64_t lot_ends[LOT_ROWS] = {8,    15,   25,    50,    90,     150,    280,    500,
                                           1200, 3200, 10000, 35000, 150000, 500000, LOT_MAX};

/* Levels S-1 to S-4, I, II, III. */
static const char lot_letters[LOT_ROWS][LEVELS + 1] = {
    "AAAAAAB", "AAAAABC", "AABBBCD", "ABBCCDE", "BBCCCEF", "BBCDDFG", "BCDEEGH", "BCDEFHJ",
    "CCEFGJK", "CDEGHKL", "CDFGJLM", "CDFHKMN", "DEGJLNP", "DEGJMPQ", "DEHKNQR",
};

static const int limits[SAMPLING_AQLS] = {65, 100, 150, 250, 400, 650};

/* Acceptance numbers, by letter and limit. */
static const signed char normal[LETTERS][SAMPLING_AQLS] = {
    {DOWN, DOWN, DOWN, DOWN, DOWN, 0}, /* A */
    {DOWN, DOWN, DOWN, DOWN, 0, UP},   /* B */
    {DOWN, DOWN, DOWN, 0, UP, DOWN},   /* C */
    {DOWN, DOWN, 0, UP, DOWN, 1},      /* D */
    {DOWN, 0, UP, DOWN, 1, 2},         /* E */
    {0, UP, DOWN, 1, 2, 3},            /* F */
    {UP, DOWN, 1, 2, 3, 5},            /* G */
    {DOWN, 1, 2, 3, 5, 7},             /* H */
    {1, 2, 3, 5, 7, 10},               /* J */
    {2, 3, 5, 7, 10, 14},              /* K */
    {3, 5, 7, 10, 14, 21},             /* L */
    {5, 7, 10, 14, 21, UP},            /* M */
    {7, 10, 14, 21, UP, UP},           /* N */
    {10, 14, 21, UP, UP, UP},          /* P */
    {14, 21, UP, UP, UP, UP},          /* Q */
    {21, UP, UP, UP, UP, UP},          /* R */
};

static const signed char tightened[LETTERS][SAMPLING_AQLS] = {
    {DOWN, DOWN, DOWN, DOWN, DOWN, DOWN}, /* A */
    {DOWN, DOWN, DOWN, DOWN, DOWN, 0},    /* B */
    {DOWN, DOWN, DOWN, DOWN, 0, DOWN},    /* C */
    {DOWN, DOWN, DOWN, 0, DOWN, DOWN},    /* D */
    {DOWN, DOWN, 0, DOWN, DOWN, 1},       /* E */
    {DOWN, 0, DOWN, DOWN, 1, 2},          /* F */
    {0, DOWN, DOWN, 1, 2, 3},             /* G */
    {DOWN, DOWN, 1, 2, 3, 5},             /* H */
    {DOWN, 1, 2, 3, 5, 8},                /* J */
    {1, 2, 3, 5, 8, 12},                  /* K */
    {2, 3, 5, 8, 12, 18},                 /* L */
    {3, 5, 8, 12, 18, UP},                /* M */
    {5, 8, 12, 18, UP, UP},               /* N */
    {8, 12, 18, UP, UP, UP},              /* P */
    {12, 18, UP, UP, UP, UP},             /* Q */
    {18, UP, UP, UP, UP, UP},             /* R */
};

/* Rows that were not seen in print. */
static const char normal_recalled[] = "R";
static const char tightened_recalled[] = "AMNPQR";

bool sampling_level_read(const char *text, enum sampling_level *out)
{
    static const char *const words[] = {"S-1", "S-2", "S-3", "S-4", "I", "II", "III"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(words[i], text) == 0) {
            *out = (enum sampling_level)i;
            return true;
        }
    }
    return false;
}

static size_t letter_row(char letter)
{
    const char *at = strchr(letters, letter);
    CHECK(letter != '\0' && at != NULL);
    return (size_t)(at - letters);
}

static char code_letter(int64_t lot_size, enum sampling_level level)
{
    size_t row = 0;
    while (lot_size > lot_ends[row]) {
        row++;
    }
    return lot_letters[row][level];
}

struct result sampling_plan(int64_t lot_size, enum sampling_level level, int64_t aql_hundredths,
                            bool is_tightened, struct sampling_plan *out)
{
    *out = (struct sampling_plan){0};
    TRY(range_check("lot_size", lot_size, 2, LOT_MAX));
    size_t column = 0;
    while (column < SAMPLING_AQLS && limits[column] != aql_hundredths) {
        column++;
    }
    if (column == SAMPLING_AQLS) {
        return FAIL2(FIELD_CHOICE, "aql", "another", "0.65, 1.0, 1.5, 2.5, 4.0, 6.5");
    }
    const signed char(*table)[SAMPLING_AQLS] = is_tightened ? tightened : normal;
    const char *recalled = is_tightened ? tightened_recalled : normal_recalled;
    out->code = code_letter(lot_size, level);
    size_t row = letter_row(out->code);
    out->reduced_samples = reduced_sizes[row];
    out->recalled = strchr(recalled, out->code) != NULL;
    while (table[row][column] < 0) {
        CHECK(table[row][column] == DOWN ? row + 1 < LETTERS : row > 0);
        row = table[row][column] == DOWN ? row + 1 : row - 1;
        out->recalled |= strchr(recalled, letters[row]) != NULL;
    }
    out->letter = letters[row];
    out->inspect_all = sizes[row] >= lot_size;
    out->plan = (struct attribute_plan){sizes[row], table[row][column]};
    return RESULT_OK;
}
