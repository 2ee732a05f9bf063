/* Code 128 and GS1-128 as bar widths: vector output, no pixels. Only this file and
 * qr.c know the encoder.
 *
 * All data is checked here before the encoder sees it, and whatever the encoder only warns of
 * counts as a failure.
 *
 * Limits of GS1-128 (GS1, General Specifications, 2018, sections on GS1-128; published, seen): at
 * most 48 data characters, at most 165.10 mm with quiet zones of ten modules on each side. Width of
 * a module for general distribution: 0.495 to 1.016 mm; bar height 31.75 mm, and where space is
 * short no less than 5.8 mm (GS1, General Specifications 21.0.1, table 2 of section 5.12.3.2, as
 * cited in the encoder's own source; published, seen). */
#ifndef PAPER_BARCODE_H
#define PAPER_BARCODE_H

#include "base/result.h"
#include "paper/gs1.h"

enum {
    GS1_128_CHARACTERS_MAX = 48,
    CODE_128_CHARACTERS_MAX = 40,
    BARCODE_QUIET_MODULES = 10,
};
#define GS1_128_WIDTH_MAX_MM 165.10
#define GS1_128_MODULE_MIN_MM 0.495
#define GS1_128_MODULE_MAX_MM 1.016
#define GS1_128_HEIGHT_MM 31.75
#define GS1_128_HEIGHT_MIN_MM 5.8

/* widths[0] is a bar, widths[1] a space, and so on, in modules (1..4); the last is a bar.
 * modules  sum of the widths, without the quiet zones of BARCODE_QUIET_MODULES on each side
 * readable the line under the bars
 * scanned  what a scanner hands over after its symbology identifier */
struct barcode {
    bool gs1;
    const uint8_t *widths;
    size_t width_count;
    int modules;
    const char *readable;
    const char *scanned;
};

/* Printable ASCII, 1..40 characters. SYMBOL_CHARACTER, SYMBOL_LENGTH, SYMBOL_REFUSED. */
MUST_USE struct result barcode_code_128(struct arena *a, const char *text, const char *field,
                                        struct barcode *out);
/* SYMBOL_LONG past 48 characters, SYMBOL_REFUSED, and the errors of gs1_string_make. */
MUST_USE struct result barcode_gs1_128(struct arena *a, const struct gs1_element *elements,
                                       size_t count, struct barcode *out);

/* With both quiet zones. */
double barcode_width_mm(const struct barcode *symbol, double module_mm);
/* Printer dots a module takes: the smallest whole number at or above 0.495 mm. Where the symbol is
 * too wide for width_mm that way, plain Code 128 goes down to 0.25 mm (common practice for scanners
 * held in the hand); GS1-128 does not, nor past its own 165.10 mm. SYMBOL_WIDE when it does not
 * fit. printer_dpi 100..2400. */
MUST_USE struct result barcode_module_dots(const struct barcode *symbol, double width_mm,
                                           int printer_dpi, const char *field, int *out_dots);

#endif
