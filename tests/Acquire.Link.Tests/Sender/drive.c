/*
 * Drives the sender for a test. `drive calls` reads calls from standard input and writes what the sender sends to standard output.
 * `drive again` reads frames, takes them apart by a decoder of its own, calls the sender with what was in them, and writes what it sends.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "acquire_link.h"

static void fail(const char *why)
{
    fprintf(stderr, "%s\n", why);
    exit(1);
}

static void write_out(void *user, const uint8_t *bytes, size_t count)
{
    (void)user;
    fwrite(bytes, 1, count, stdout);
}

static uint8_t *get(size_t count)
{
    uint8_t *bytes = malloc(count + 1);
    if (bytes == NULL || fread(bytes, 1, count, stdin) != count) {
        fail("the calls end too early");
    }
    return bytes;
}

static uint64_t value(const uint8_t *bytes, int count)
{
    uint64_t v = 0;
    for (int i = count - 1; i >= 0; i--) {
        v = v << 8 | bytes[i];
    }
    return v;
}

static uint64_t number(int count)
{
    uint8_t *bytes = get((size_t)count);
    uint64_t v = value(bytes, count);
    free(bytes);
    return v;
}

static acqlink_t sender;
static acqlink_description_t description;
static acqlink_channel_t channels[ACQLINK_MOST_CHANNELS];
static char device[256];

/* The payload of a description frame, as it stands in the protocol. */
static void read_description(const uint8_t *p)
{
    description.channel_count = p[0];
    description.bits = p[1];
    description.scans_per_half = (uint32_t)value(p + 2, 4);
    description.rate_numerator = (uint32_t)value(p + 6, 4);
    description.rate_denominator = (uint32_t)value(p + 10, 4);
    p += 14;
    for (unsigned c = 0; c < description.channel_count; c++, p += 9) {
        channels[c].role = p[0];
        channels[c].microvolts_at_zero = (int32_t)(uint32_t)value(p + 1, 4);
        channels[c].microvolts_at_full = (int32_t)(uint32_t)value(p + 5, 4);
    }
    description.channels = channels;
    description.device_bytes = p[0];
    memcpy(device, p + 1, p[0]);
    description.device = device;
}

static uint8_t *begin(uint16_t run, unsigned code_bits, size_t room_bytes)
{
    uint8_t *room = malloc(room_bytes);
    if (!acqlink_begin(&sender, &description, run, code_bits, room, room_bytes, write_out, NULL)) {
        fail("acqlink_begin refused");
    }
    return room;
}

static void calls(void)
{
    uint8_t *room = NULL;
    for (int call = getchar(); call != EOF; call = getchar()) {
        if (call == 'B') {
            uint16_t run = (uint16_t)number(2);
            unsigned code_bits = (unsigned)number(1);
            size_t room_bytes = (size_t)number(2);
            size_t count = (size_t)number(2);
            uint8_t *payload = get(count);
            read_description(payload);
            free(payload);
            free(room);
            room = begin(run, code_bits, room_bytes);
        } else if (call == 'D') {
            if (!acqlink_describe(&sender)) {
                fail("acqlink_describe refused");
            }
        } else if (call == 'S') {
            size_t scans = (size_t)number(2);
            size_t count = scans * description.channel_count;
            uint8_t *bytes = get(2 * count);
            uint16_t *codes = malloc(2 * count + 1);
            for (size_t i = 0; i < count; i++) {
                codes[i] = (uint16_t)value(bytes + 2 * i, 2);
            }
            acqlink_half(&sender, codes, scans);
            free(codes);
            free(bytes);
        } else if (call == 'L') {
            acqlink_lost(&sender, number(8));
        } else if (call == 'C') {
            uint64_t at_least = number(8);
            acqlink_lost_count(&sender, at_least, (uint16_t)number(2));
        } else if (call == 'W') {
            uint64_t position = number(8);
            acqlink_word(&sender, position, (uint16_t)number(2));
        } else if (call == 'T') {
            size_t count = (size_t)number(2);
            char *text = (char *)get(count);
            acqlink_text(&sender, text, count);
            free(text);
        } else if (call == 'E') {
            acqlink_end(&sender);
        } else {
            fail("no such call");
        }
    }
    free(room);
}

static size_t unstuff(const uint8_t *in, size_t count, uint8_t *out)
{
    size_t written = 0;
    for (size_t at = 0; at < count;) {
        unsigned length = in[at++];
        for (unsigned i = 1; i < length; i++) {
            if (at >= count) {
                fail("the stuffing leads beyond the end");
            }
            out[written++] = in[at++];
        }
        if (length < 255 && at < count) {
            out[written++] = 0;
        }
    }
    return written;
}

static void send_scans(const uint8_t *payload, size_t bytes, unsigned bits)
{
    static uint16_t codes[8192];
    size_t count = 8 * bytes / bits;
    for (size_t i = 0; i < count; i++) {
        codes[i] = 0;
        for (size_t bit = i * bits; bit < (i + 1) * bits; bit++) {
            codes[i] |= (uint16_t)(((payload[bit / 8] ^ 0xA5) >> bit % 8 & 1) << (bit - i * bits));
        }
    }
    acqlink_half(&sender, codes, count / description.channel_count);
}

static void again(size_t room_bytes, unsigned code_bits)
{
    static uint8_t wire[8400];
    static uint8_t frame[8400];
    uint8_t *room = NULL;
    size_t have = 0;
    for (int byte = getchar(); byte != EOF; byte = getchar()) {
        if (byte != 0) {
            if (have == sizeof wire) {
                fail("a frame is too long");
            }
            wire[have++] = (uint8_t)byte;
            continue;
        }
        if (have == 0) {
            continue;
        }
        size_t count = unstuff(wire, have, frame);
        size_t bytes = count - 24;
        const uint8_t *payload = frame + 18;
        uint16_t run = (uint16_t)value(frame + 16, 2);
        have = 0;
        if (frame[1] == 1 && room == NULL) {
            read_description(payload);
            room = begin(run, code_bits, room_bytes);
        }
        if (room == NULL) {
            fail("the first frame is no description");
        }
        switch (frame[1]) {
        case 1: acqlink_describe(&sender); break;
        case 2: send_scans(payload + 2, bytes - 2, 16); break;
        case 3: send_scans(payload + 2, bytes - 2, 12); break;
        case 4: acqlink_word(&sender, value(payload, 8), (uint16_t)value(payload + 8, 2)); break;
        case 5: acqlink_lost(&sender, value(payload, 8)); break;
        case 6: acqlink_text(&sender, (const char *)payload, bytes); break;
        case 7: acqlink_end(&sender); break;
        default: fail("no such kind");
        }
    }
    free(room);
}

int main(int argc, char **argv)
{
    if (argc == 2 && strcmp(argv[1], "calls") == 0) {
        calls();
    } else if (argc == 4 && strcmp(argv[1], "again") == 0) {
        again((size_t)atoi(argv[2]), (unsigned)atoi(argv[3]));
    } else {
        fail("usage: drive calls | drive again ROOM BITS");
    }
    return ferror(stdout) ? 1 : 0;
}
