#include "plan/improve.h"

#include <math.h>
#include <time.h>

#include "plan/prove.h"
#include "plan/realize.h"
#include "plan/strain.h"

/* Moves of a round for each option, and at least. The first rounds are short, so that there is a
 * good plan at once; each is twice as long as the last. */
enum {
    MOVES_AN_OPTION = 40,
    MOVES_LEAST = 10000,
    SHORT_ROUNDS = 5,
    TIED_LONGER = 3,
    ROUNDS_LONGER = 12,
    ROUNDS_MOST = 60 + SHORT_ROUNDS,
    ALIKE_MOST = 8 + SHORT_ROUNDS
};

/* Heats in shares of the cost of a chamber, computed here by trying some on the houses of
 * bench/plan_bench: hot ends from 0.1 to 1 differ by less than their runs do. */
static const double HOT[] = {0.05, 0.05, 0.3, 0.05, 1}, COLD = 0.002;

struct improving {
    struct arena *a;
    struct arena search_arena, scratch;
    const struct plan_frame *f;
    const struct improve_options *options;
    struct improvement *out;
    struct prover *prover; /* NULL: none */
    struct prover_news news;
    struct search_prices prices;
    struct search *search;
    struct realizer *realizer;
    struct arena judge_arena;
    bool is_tied; /* a limit or a dish ties crops together, or a swap is of another weight: the
                     search does not see all of a plan's cost */
    double begun_s, until_s;
    double moves_a_second;
    bool is_over;
    double given_cost;
    bool is_lied_to; /* by a bound above the cost of a plan that is there */
};

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static bool told_to_stop(const struct improving *m)
{
    return m->options->solver.stop && atomic_load(m->options->solver.stop);
}

/* Of what plans cost: solvers keep rows to a millionth or less (common practice), so a bound that
 * is further above a plan is none. */
static const double BOUND_ABOVE = 1e-4;

static void doubt(struct improving *m)
{
    struct improvement *out = m->out;
    double scale = fmax(1, fmax(fabs(out->cost), fabs(m->given_cost)));
    if (!out->has_bound || out->bound <= out->cost + BOUND_ABOVE * scale) return;
    m->is_lied_to = true;
    out->has_bound = false;
    out->solver = FAIL1(SOLVER_GARBLED, "", "its bound lies above the cost of a plan");
}

static void tell(struct improving *m)
{
    struct improvement *out = m->out;
    doubt(m);
    if (out->has_bound) out->gap = fmax(0, out->cost - out->bound) / fmax(1e-9, fabs(out->cost));
    if (!m->options->tell) return;
    struct improve_progress progress = {now_s() - m->begun_s, out->plan,  out->cost,
                                        out->has_bound,       out->bound, out->gap};
    m->options->tell(m->options->self, &progress);
}

/* -> whether it is the best so far */
static bool take(struct improving *m, const struct plan *plan, double cost)
{
    if (!(cost < m->out->cost - 1e-9 * fmax(1, fabs(m->out->cost)))) return false;
    struct plan *kept = plan_copy(m->a, plan);
    plan_flows_tidy(kept);
    m->out->plan = kept;
    m->out->cost = cost;
    m->out->is_improved = true;
    if (m->prover) prover_offer(m->prover, kept, m->is_tied);
    tell(m);
    return true;
}

static void hear(struct improving *m, const struct prover_news *news)
{
    bool better_bound =
        news->has_bound && !m->is_lied_to && (!m->out->has_bound || news->bound > m->out->bound);
    m->news = *news;
    if (!m->is_lied_to) m->out->solver = news->solver;
    if (better_bound) {
        m->out->has_bound = true;
        m->out->bound = news->bound;
    }
    if (news->plan && take(m, news->plan, plan_cost(&m->scratch, news->plan))) return;
    if (better_bound) tell(m);
}

static void listen(struct improving *m)
{
    if (!m->prover || m->news.is_over) return;
    struct prover_news news;
    prover_news(m->prover, &m->scratch, &news);
    hear(m, &news);
}

static bool is_good_enough(const struct improving *m)
{
    return m->out->has_bound && m->out->cost - m->out->bound <=
                                    fmax(1e-9, m->options->solver.gap * fabs(m->out->cost)) + 1e-7;
}

/* Looked at every few hundred moves. */
static bool is_over(void *self)
{
    struct improving *m = self;
    if (told_to_stop(m)) m->is_over = true;
    if (m->options->moves > 0 || m->is_over) return m->is_over;
    listen(m);
    m->is_over =
        (m->news.is_solved && !m->is_lied_to) || is_good_enough(m) || now_s() >= m->until_s;
    return m->is_over;
}

static void search_make(struct improving *m, const struct plan *plan, uint64_t seed)
{
    if (m->search) search_release(m->search);
    arena_clear(&m->search_arena);
    m->search = search_new(&m->search_arena, m->f, &m->prices, seed);
    search_start_from(m->search, plan->counts, plan->choices);
}

/* The search's best counts as a plan; where limits were in the way, new prices for them. */
static void settle(struct improving *m, int round)
{
    search_start_from(m->search, m->search->best_counts, m->search->best_choices);
    struct realized x = plan_realize(m->realizer, &m->scratch, m->search);
    m->is_tied |= x.is_cut;
    take(m, x.plan, x.cost);
    if (!m->is_tied) return;
    strain_price(&m->scratch, m->search, round, &m->prices);
}

/* The true cost of the search's counts, and the best of them kept. */
static double judge(void *self, const struct search *s)
{
    struct improving *m = self;
    arena_clear(&m->judge_arena);
    struct realized x = plan_realize(m->realizer, &m->judge_arena, s);
    take(m, x.plan, x.cost);
    return x.cost;
}

/* Moves of the next round: twice as many each time (where each takes long, up to a length), but a
 * last round cools down in time. */
static int64_t moves_of_round(const struct improving *m, int round)
{
    int64_t moves = (int64_t)MOVES_AN_OPTION * m->f->option_count;
    if (moves < MOVES_LEAST) moves = MOVES_LEAST;
    int longer = round - SHORT_ROUNDS, most = m->is_tied ? TIED_LONGER : ROUNDS_LONGER;
    moves = longer < 0 ? moves >> -longer : moves << (longer < most ? longer : most);
    int64_t left = INT64_MAX;
    if (m->options->moves > 0)
        left = m->options->moves - m->out->moves;
    else if (m->moves_a_second > 0)
        left = (int64_t)(m->moves_a_second * (m->until_s - now_s()));
    /* what would be left after it is not enough for another: take it all */
    return left < moves * 2 ? left : moves;
}

/* In a small house a few chambers are all there is: only hotter starts get one out of the way. */
static double heat_of_round(const struct improving *m, int round)
{
    double started = m->search->started_count > 0 ? m->search->started_count : 1;
    double more = 1 + 2000 / (started * started);
    size_t at = round < SHORT_ROUNDS ? 0 : (size_t)(round - SHORT_ROUNDS);
    return HOT[at % (sizeof HOT / sizeof *HOT)] * fmin(60, more);
}

static void rounds(struct improving *m)
{
    int alike = 0;
    for (int round = 0; round < ROUNDS_MOST && !m->is_over; round++) {
        int64_t moves = moves_of_round(m, round);
        if (moves <= 0) return;
        double cost = m->out->cost, begun_s = now_s();
        int64_t before = m->search->moves;
        struct search_watch watch = {is_over, m};
        search_anneal(m->search, heat_of_round(m, round), COLD, moves, &watch);
        int64_t made = m->search->moves - before;
        m->out->moves += made;
        m->moves_a_second = (double)made / fmax(1e-6, now_s() - begun_s);
        settle(m, round);
        if (m->options->moves == 0) listen(m);
        if (is_over(m)) return;
        alike = m->out->cost < cost ? 0 : alike + 1;
        if (alike >= ALIKE_MOST && m->options->moves == 0 && (!m->prover || m->news.is_over))
            return;
        if (m->is_tied) {
            search_make(m, m->out->plan, m->options->seed + (uint64_t)round + 1);
            struct search_judge how = {judge, m};
            search_anneal_judged(m->search, 0.1, COLD, moves / 2 + 1, &how, &watch);
        }
        arena_clear(&m->scratch);
    }
}

static void end_prover(struct improving *m)
{
    if (!m->prover) return;
    if (m->options->moves == 0 || told_to_stop(m)) prover_halt(m->prover);
    struct prover_news news;
    struct prover *p = m->prover;
    m->prover = NULL;
    prover_end(p, &m->scratch, &news);
    hear(m, &news);
}

void plan_improve(struct arena *a, const struct plan_frame *f, const struct plan *given,
                  const struct improve_options *options, struct improvement *out)
{
    *out = (struct improvement){.plan = given, .cost = plan_cost(a, given), .solver = RESULT_OK};
    struct improving m = {.a = a,
                          .f = f,
                          .options = options,
                          .out = out,
                          .is_tied = f->has_uneven_swap || f->dish_count > 0,
                          .given_cost = out->cost,
                          .begun_s = now_s()};
    if (told_to_stop(&m)) {
        out->solver = FAIL0(PLAN_STOPPED, "");
        return;
    }
    m.until_s = m.begun_s + options->solver.seconds;
    arena_init(&m.search_arena, ARENA_LIMIT_DEFAULT);
    arena_init(&m.scratch, ARENA_LIMIT_DEFAULT);
    if (options->solver.path) m.prover = prover_begin(f, &options->solver, given, m.until_s);
    if (f->option_count + f->choice_count > 0) {
        m.prices = search_prices_new(a, f);
        m.realizer = realizer_new(a, f);
        arena_init(&m.judge_arena, ARENA_LIMIT_DEFAULT);
        search_make(&m, given, options->seed);
        settle(&m, 0);
        rounds(&m);
        search_release(m.search);
        arena_release(&m.judge_arena);
    }
    end_prover(&m);
    if (told_to_stop(&m) && !out->is_improved) out->solver = FAIL0(PLAN_STOPPED, "");
    tell(&m);
    arena_release(&m.search_arena);
    arena_release(&m.scratch);
}
