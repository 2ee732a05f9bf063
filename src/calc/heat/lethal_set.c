#include "calc/heat/lethal_set.h"

#include <string.h>

#include "base/check.h"
#include "calc/constants.gen.h"

#define SET(name, title, KEY, key)                                                            \
    {                                                                                         \
        name, title, CONSTANT_LETHALITY_##KEY##_REFERENCE_C, CONSTANT_LETHALITY_##KEY##_Z_C,  \
            CONSTANT_LETHALITY_##KEY##_D_S, false, 0, false, 0,                               \
        {                                                                                     \
            "lethality_" key "_reference_c", "lethality_" key "_z_c", "lethality_" key "_d_s" \
        }                                                                                     \
    }

static const struct lethal_set sets[] = {
    {"seed-salmonella",
     "Salmonella Senftenberg on radish seed in water, standing in for sprouting beans",
     CONSTANT_LETHALITY_SEED_REFERENCE_C,
     CONSTANT_LETHALITY_SEED_Z_C,
     CONSTANT_LETHALITY_SEED_D_S,
     true,
     CONSTANT_LETHALITY_SEED_TESTED_MAX_C,
     false,
     0,
     {"lethality_seed_reference_c", "lethality_seed_z_c", "lethality_seed_d_s"}},
    SET("f0", "Clostridium botulinum, low-acid canned food", F0, "f0"),
    /* z is 9 C below 90 C and 10 C above it: above it nothing more is credited */
    {"botulinum-cold",
     "Clostridium botulinum that grows in the cold, non-proteolytic",
     CONSTANT_LETHALITY_BOTULINUM_COLD_REFERENCE_C,
     CONSTANT_LETHALITY_BOTULINUM_COLD_Z_C,
     CONSTANT_LETHALITY_BOTULINUM_COLD_D_S,
     false,
     0,
     true,
     CONSTANT_LETHALITY_BOTULINUM_COLD_REFERENCE_C,
     {"lethality_botulinum_cold_reference_c", "lethality_botulinum_cold_z_c",
      "lethality_botulinum_cold_d_s"}},
    SET("listeria-70", "Listeria, six decimals in 2 min at 70 C", LISTERIA, "listeria"),
    SET("salmonella-beef", "Salmonella in cooked beef", SALMONELLA_BEEF, "salmonella_beef"),
    SET("juice", "vegetative pathogens in juice to pH 3.9", JUICE, "juice"),
    SET("cryptosporidium", "Cryptosporidium in apple juice to pH 4.0", CRYPTOSPORIDIUM,
        "cryptosporidium"),
    SET("alicyclobacillus", "Alicyclobacillus spores in orange juice, pH 3.5", ALICYCLOBACILLUS,
        "alicyclobacillus"),
    SET("juice-yeast", "yeasts, moulds and lactobacilli in juice below pH 4.0", YEAST, "yeast"),
};

size_t lethal_set_count(void)
{
    return sizeof sets / sizeof sets[0];
}

const struct lethal_set *lethal_set_at(size_t index)
{
    CHECK(index < lethal_set_count());
    return &sets[index];
}

const struct lethal_set *lethal_set_find(const char *name)
{
    for (size_t i = 0; i < lethal_set_count(); i++) {
        if (strcmp(sets[i].name, name) == 0) {
            return &sets[i];
        }
    }
    return NULL;
}
