// What the same columns cost as a plain loop over scans: no tracker, no retrace, nothing published.
#include <stdint.h>
#include <string.h>
#ifdef __AVX2__
#include <immintrin.h>
#endif

struct column { int64_t count, sum; uint16_t highest, lowest; };

void rebin_plain(const uint16_t *words, int64_t scans, const int32_t *column_of_code, struct column *columns)
{
    for (int64_t i = 0; i < scans; i++) {
        int32_t c = column_of_code[words[2 * i]];
        if (c < 0) continue;
        uint16_t v = words[2 * i + 1];
        struct column *into = &columns[c];
        into->count++;
        into->sum += v;
        if (v > into->highest) into->highest = v;
        if (v < into->lowest) into->lowest = v;
    }
}

void rebin_branch_free(const uint16_t *words, int64_t scans, const int32_t *column_of_code, struct column *columns)
{
    for (int64_t i = 0; i < scans; i++) {
        int32_t c = column_of_code[words[2 * i]];
        uint16_t v = words[2 * i + 1];
        struct column *into = &columns[c + 2]; // overscan goes to two columns of its own
        uint16_t highest = into->highest, lowest = into->lowest;
        into->count++;
        into->sum += v;
        into->highest = v > highest ? v : highest;
        into->lowest = v < lowest ? v : lowest;
    }
}

// What is left when the sweeps are told: no edge is learnt, no end looked for, no scan in doubt, nothing kept to be withdrawn. The scans of
// each column are known; their ramp is only held against the line that it should follow, and all native detectors are taken from their vertical.
// At each sweep's end its columns are copied twice: into the picture and into a row of the history. Squares of 12-bit codes hold for 256 scans a column.
struct known_column { int64_t sum, squares; int32_t count; uint16_t highest, lowest, last; };

#ifdef __AVX2__
static int32_t highest_of(__m256i eight)
{
    __m128i some = _mm_max_epi32(_mm256_castsi256_si128(eight), _mm256_extracti128_si256(eight, 1));
    some = _mm_max_epi32(some, _mm_shuffle_epi32(some, 0x4e));
    return _mm_cvtsi128_si32(_mm_max_epi32(some, _mm_shuffle_epi32(some, 0xb1)));
}

static int32_t sum_of(__m256i eight)
{
    __m128i some = _mm_add_epi32(_mm256_castsi256_si128(eight), _mm256_extracti128_si256(eight, 1));
    some = _mm_add_epi32(some, _mm_shuffle_epi32(some, 0x4e));
    return _mm_cvtsi128_si32(_mm_add_epi32(some, _mm_shuffle_epi32(some, 0xb1)));
}
#endif

static inline int take(const uint16_t *words, int from, int to, int32_t line, int32_t step, struct known_column *into)
{
    int32_t furthest = 0;
    int64_t sum = 0, squares = 0;
    uint16_t highest = 0, lowest = 65535;
    int i = from;
#ifdef __AVX2__
    if (to - from > 4) {
        const __m256i lanes = _mm256_setr_epi32(0, 1, 2, 3, 4, 5, 6, 7), low = _mm256_set1_epi32(0xffff);
        __m256i high8 = _mm256_setzero_si256(), low8 = low, sum8 = high8, squares8 = high8, off8 = high8;
        __m256i line8 = _mm256_add_epi32(_mm256_set1_epi32(line), _mm256_mullo_epi32(lanes, _mm256_set1_epi32(step))), step8 = _mm256_set1_epi32(8 * step);
        for (; i < to; i += 8, line8 = _mm256_add_epi32(line8, step8)) {
            // The last vector reaches beyond the column; what does so counts as nothing, and the words end in scans of a retrace.
            __m256i own = _mm256_cmpgt_epi32(_mm256_set1_epi32(to - i), lanes), both = _mm256_loadu_si256((const void *)(words + 2 * i));
            __m256i vertical = _mm256_and_si256(own, _mm256_srli_epi32(both, 16)), ramp = _mm256_and_si256(both, low);
            high8 = _mm256_max_epi32(high8, vertical);
            low8 = _mm256_min_epi32(low8, _mm256_blendv_epi8(low, vertical, own));
            sum8 = _mm256_add_epi32(sum8, vertical);
            squares8 = _mm256_add_epi32(squares8, _mm256_madd_epi16(vertical, vertical));
            off8 = _mm256_max_epi32(off8, _mm256_and_si256(own, _mm256_abs_epi32(_mm256_sub_epi32(ramp, _mm256_srli_epi32(line8, 16)))));
        }

        highest = highest_of(high8);
        lowest = 65535 - highest_of(_mm256_sub_epi32(low, low8));
        sum = sum_of(sum8);
        squares = (uint32_t)sum_of(squares8);
        furthest = highest_of(off8);
        i = to;
    }
#endif
    for (; i < to; i++, line += step) {
        int32_t off = words[2 * i] - (line >> 16), v = words[2 * i + 1];
        off = off < 0 ? -off : off;
        furthest = off > furthest ? off : furthest;
        highest = v > highest ? v : highest;
        lowest = v < lowest ? v : lowest;
        sum += v;
        squares += (int64_t)v * v;
    }

    *into = (struct known_column){ sum, squares, to - from, highest, lowest, words[2 * to - 1] };
    return furthest;
}

int64_t rebin_known(const uint16_t *words, int64_t sweeps, int64_t period, const int32_t *begins, int32_t columns, int32_t line, int32_t step, int32_t most_off,
                    struct known_column *sweep, struct known_column *picture, struct known_column *rows, int32_t row_count)
{
    int64_t off = 0;
    for (int64_t s = 0; s < sweeps; s++, words += 2 * period) {
        for (int32_t c = 0; c < columns; c++)
            off += take(words, begins[c], begins[c + 1], line + begins[c] * step, step, &sweep[c]) > most_off;
        memcpy(picture, sweep, columns * sizeof *sweep);
        memcpy(rows + (s % row_count) * columns, sweep, columns * sizeof *sweep);
    }

    return off;
}
