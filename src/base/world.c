#include "base/world.h"

#include <sodium.h>
#include <string.h>
#include <time.h>

#include "base/check.h"
#include "base/random.h"

static int64_t real_now_ms(void *self)
{
    (void)self;
    struct timespec now;
    CHECK(clock_gettime(CLOCK_REALTIME, &now) == 0);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static void real_random(void *self, void *out, size_t len)
{
    (void)self;
    randombytes_buf(out, len);
}

struct world world_real(void)
{
    CHECK(sodium_init() >= 0);
    return (struct world){.now_ms = real_now_ms, .random = real_random, .self = NULL};
}

static int64_t fixed_now_ms(void *self)
{
    return ((struct world_fixed *)self)->now_ms;
}

static void fixed_random(void *self, void *out, size_t len)
{
    struct world_fixed *fixed = self;
    struct random r;
    random_seed(&r, fixed->state);
    for (size_t done = 0; done < len;) {
        uint64_t word = random_u64(&r);
        size_t part = len - done < sizeof word ? len - done : sizeof word;
        memcpy((unsigned char *)out + done, &word, part);
        done += part;
    }
    fixed->state = random_u64(&r);
}

struct world world_fixed(struct world_fixed *self)
{
    return (struct world){.now_ms = fixed_now_ms, .random = fixed_random, .self = self};
}
