// Tells the fuzzer where C code has been: GCC calls a function at every branch, and the fuzzer looks at counters. Its own
// function of that name only says so and ends; the linker puts this one in its place.

#include <stddef.h>
#include <stdint.h>

// A power of two, with room for every branch of both scanners, a parser and the runtime.
#define PLACES 65536u

static uint8_t passed[PLACES];

void __sanitizer_cov_8bit_counters_init(uint8_t *start, uint8_t *stop);

__attribute__((constructor, no_sanitize_coverage)) static void begin(void) {
    __sanitizer_cov_8bit_counters_init(passed, passed + PLACES);
}

__attribute__((no_sanitize_coverage, no_sanitize("address", "undefined"))) void __wrap___sanitizer_cov_trace_pc(void) {
    uintptr_t place = (uintptr_t)__builtin_return_address(0);
    // Multiplied as in Knuth's hash, so that branches of near addresses fall apart.
    passed[(uint32_t)(place * 2654435761u) >> 16]++;
}
