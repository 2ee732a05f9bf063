/* A thousand single bits turned over in copies of a small record: each is found by verify, or when
 * the record is opened, or changes no answer.
 *
 * flips_test [SEED] */
#include "program.h"
#include "record.h"

#include <fcntl.h>

#include "base/random.h"
#include "ledger/clause.h"
#include "ledger/verify.h"
#include "ledger/view.h"
#include "service/reading.h"
#include "service/view_holds.h"
#include "service/view_lots.h"
#include "trace/trace.h"

enum { FLIPS = 1000 };

enum outcome {
    AT_OPEN = 'o',
    BY_VERIFY = 'v',
    SAME_ANSWERS = 's',
    OTHER_ANSWERS = 'x',
    FELL_OVER = '!'
};

static uint64_t seed = 1;
static char code_back[64], code_forward[64], code_lot[64]; /* what the answers are asked about */

/* A list of the record as text: its rows, columns by letter, i and t. */
struct listing {
    enum query query;
    const char *columns;
};
static const struct listing listings[] = {
    {Q_BALANCE_ACCOUNTS, "tti"},
    {Q_PERSON_ALL, "itii"},
    {Q_BALANCE_STEPS, "tiii"},
};

static void add(struct arena *a, const char **text, const char *more)
{
    *text = arena_printf(a, "%s%s\n", *text, more != NULL ? more : "-");
}

static struct result list(struct store *s, const struct listing *l, struct arena *a,
                          const char **text)
{
    struct statement *q = store_prepare(s, l->query);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        for (int i = 0; l->columns[i] != '\0'; i++) {
            add(a, text,
                l->columns[i] == 't' ? store_text(q, i)
                                     : arena_printf(a, "%lld", (long long)store_int(q, i)));
        }
    }
}

static struct result trace(struct store *s, const char *code, enum direction direction,
                           struct arena *a, const char **text)
{
    struct graph *graph = NULL;
    struct trace_question question = {
        .direction = direction, .bases = BASES_ALL, .depth = TRACE_RECORD};
    struct trace_answer t = {0};
    struct result r = graph_load(s, &graph);
    if (r.code == CODE_OK) {
        r = starts_find(s, "code", &code, 1, direction, a, &question.starts);
    }
    if (r.code == CODE_OK) {
        r = trace_run(graph, s, &question, a, &t);
    }
    for (size_t i = 0; r.code == CODE_OK && i < t.lot_count; i++) {
        add(a, text,
            arena_printf(a, "%s %.9f %lld %lld", t.facts[i].code, t.share[i],
                         (long long)t.facts[i].here_mg, (long long)t.facts[i].here_pieces));
    }
    for (size_t i = 0; r.code == CODE_OK && i < t.customer_count; i++) {
        add(a, text,
            arena_printf(a, "%s %lld %lld", t.customers[i].code, (long long)t.customers[i].pieces,
                         (long long)t.customers[i].mg));
    }
    trace_answer_release(&t);
    graph_free(graph);
    return r;
}

static struct result clauses(struct plant *plant, struct arena *a, const char **text)
{
    struct profile *profile;
    struct clause_list found;
    struct lot lot;
    bool is;
    TRY(lot_by_code(plant->store, a, code_lot, &lot, &is));
    add(a, text, is ? lot.code : "no lot");
    TRY(profile_now(plant, &profile));
    struct result r = clauses_of_lot(plant->store, profile, lot.id, "US,EU", a, &found);
    if (r.code == CODE_OK) {
        json_t *lines = clauses_json(&found);
        add(a, text, json_canonical(a, lines));
        json_decref(lines);
    }
    profile_free(profile);
    return r;
}

static void add_json(struct arena *a, const char **text, json_t *answer)
{
    add(a, text, json_canonical(a, answer));
    json_decref(answer);
}

/* What is here and what is held, as commands and pages list it. */
static struct result lists(struct store *s, struct arena *a, const char **text)
{
    struct view v = {.store = s, .arena = a, .lang = "en"};
    struct view_lots_asked all = {.limit = VIEW_PAGE_MAX};
    json_t *answer;
    TRY(view_lots(&v, &all, &answer));
    add_json(a, text, answer);
    TRY(view_holds(&v, true, &answer));
    add_json(a, text, answer);
    return RESULT_OK;
}

/* Stock, accounts, holds, people, the state of a release, a trace each way. */
static struct result answers(struct plant *plant, struct arena *a, const char **out)
{
    *out = "";
    for (size_t i = 0; i < sizeof listings / sizeof listings[0]; i++) {
        TRY(list(plant->store, &listings[i], a, out));
    }
    TRY(lists(plant->store, a, out));
    TRY(clauses(plant, a, out));
    TRY(trace(plant->store, code_forward, TRACE_FORWARD, a, out));
    return trace(plant->store, code_back, TRACE_BACK, a, out);
}

static enum outcome look(const char *folder, struct arena *a, const char *wanted)
{
    struct plant *plant;
    struct verify_report report;
    const char *is;
    if (plant_open_read(folder, &plant).code != CODE_OK) {
        return AT_OPEN;
    }
    struct result r = ledger_verify(plant->store, NULL, a, &report);
    bool found = r.code != CODE_OK || report.found > 0;
    enum outcome outcome = BY_VERIFY;
    if (!found) {
        r = answers(plant, a, &is);
        outcome = r.code == CODE_OK && strcmp(is, wanted) == 0 ? SAME_ANSWERS : OTHER_ANSWERS;
    }
    plant_close(plant);
    return outcome;
}

static void turn_over(int fd, uint64_t bit)
{
    uint8_t byte;
    assert_int_equal(pread(fd, &byte, 1, (off_t)(bit / 8)), 1);
    byte ^= (uint8_t)(1U << bit % 8);
    assert_int_equal(pwrite(fd, &byte, 1, (off_t)(bit / 8)), 1);
}

/* A half of the bits, looked at by a process of its own on a copy of its own, so that one that
 * falls over is seen and counted. It writes a letter for each bit. */
struct half {
    const char *folder;
    const uint64_t *bits;
    char *letters;
    const char *wanted; /* answers of the whole record */
    size_t count, done;
    pid_t child;
    int in;
};

static int open_record(const struct half *half)
{
    char path[64];
    snprintf(path, sizeof path, "%s/plant.db", half->folder);
    int fd = open(path, O_RDWR | O_CLOEXEC);
    assert_true(fd >= 0);
    return fd;
}

static void look_at_each(const struct half *half, int out)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    int fd = open_record(half);
    for (size_t i = half->done; i < half->count; i++) {
        turn_over(fd, half->bits[i]);
        char letter = (char)look(half->folder, &a, half->wanted);
        turn_over(fd, half->bits[i]);
        assert_int_equal(write(out, &letter, 1), 1);
        arena_clear(&a);
    }
    close(fd);
    arena_release(&a);
}

static void half_start(struct half *half)
{
    int ends[2];
    assert_int_equal(pipe2(ends, O_CLOEXEC), 0);
    fflush(NULL);
    half->child = fork();
    assert_true(half->child >= 0);
    if (half->child == 0) {
        look_at_each(half, ends[1]);
        _exit(0);
    }
    close(ends[1]);
    half->in = ends[0];
}

/* Reads what the process found; where it fell over, another goes on behind that bit. */
static void half_finish(struct half *half)
{
    for (;;) {
        int status;
        ssize_t n = 1;
        while (n > 0 && half->done < half->count) {
            n = read(half->in, half->letters + half->done, half->count - half->done);
            half->done += (size_t)(n > 0 ? n : 0);
        }
        close(half->in);
        assert_int_equal(waitpid(half->child, &status, 0), half->child);
        if (half->done == half->count) {
            return;
        }
        int fd = open_record(half);
        turn_over(fd, half->bits[half->done]); /* back */
        close(fd);
        print_error("bit %llu fells the program\n", (unsigned long long)half->bits[half->done]);
        half->letters[half->done++] = FELL_OVER;
        half_start(half);
    }
}

static void make_record(struct arena *a, const char **out_answers, uint64_t *out_bits)
{
    struct record_codes codes;
    struct plant *plant;
    record_make("p", NULL, &codes);
    snprintf(code_lot, sizeof code_lot, "%s", codes.packed);
    snprintf(code_back, sizeof code_back, "%s", codes.shipment);
    snprintf(code_forward, sizeof code_forward, "%s", codes.seed);
    assert_ok(plant_open_read("p", &plant));
    assert_ok(answers(plant, a, out_answers));
    plant_close(plant);
    int fd = open("p/plant.db", O_RDONLY | O_CLOEXEC);
    *out_bits = (uint64_t)lseek(fd, 0, SEEK_END) * 8;
    close(fd);
}

static void copy_record(const char *to)
{
    struct launch copy;
    run_open(&copy, "cp");
    RUN_OK(&copy, "-r", "p", to);
    run_close(&copy);
}

static void no_bit_changes_an_answer_unseen(void **state)
{
    (void)state;
    static uint64_t bits[FLIPS];
    static char letters[FLIPS];
    struct arena a;
    struct random random;
    const char *wanted;
    uint64_t size;
    size_t count[256] = {0};
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    make_record(&a, &wanted, &size);
    assert_int_equal(look("p", &a, wanted), SAME_ANSWERS); /* as it stands it is whole */
    copy_record("q");
    random_seed(&random, seed);
    for (size_t i = 0; i < FLIPS; i++) {
        bits[i] = random_below(&random, size);
    }
    struct half halves[2] = {{.folder = "p", .count = FLIPS / 2},
                             {.folder = "q", .count = FLIPS - FLIPS / 2}};
    for (size_t i = 0; i < 2; i++) {
        halves[i].bits = bits + i * (FLIPS / 2);
        halves[i].letters = letters + i * (FLIPS / 2);
        halves[i].wanted = wanted;
        half_start(&halves[i]);
    }
    half_finish(&halves[0]);
    half_finish(&halves[1]);
    for (size_t i = 0; i < FLIPS; i++) {
        count[(uint8_t)letters[i]]++;
        if (letters[i] == OTHER_ANSWERS) {
            print_error("bit %llu changes an answer\n", (unsigned long long)bits[i]);
        }
    }
    print_message("# %d bits of %llu: %zu found by verify, %zu on opening, %zu change no answer, "
                  "%zu change one unseen, %zu fell the program\n",
                  FLIPS, (unsigned long long)size, count[BY_VERIFY], count[AT_OPEN],
                  count[SAME_ANSWERS], count[OTHER_ANSWERS], count[FELL_OVER]);
    assert_int_equal(count[OTHER_ANSWERS], 0);
    assert_int_equal(count[FELL_OVER], 0);
    assert_true(count[BY_VERIFY] > FLIPS / 10); /* the rest lies in the free part of pages */
    arena_release(&a);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(no_bit_changes_an_answer_unseen, folder_enter,
                                        folder_leave),
    };
    seed = argc > 1 ? strtoull(argv[1], NULL, 10) : seed;
    printf("# seed %llu\n", (unsigned long long)seed);
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
