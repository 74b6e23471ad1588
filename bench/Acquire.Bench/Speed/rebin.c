// What the same columns cost as a plain loop over scans: no tracker, no retrace, nothing published.
#include <stdint.h>

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
