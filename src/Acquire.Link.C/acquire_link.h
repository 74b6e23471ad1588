/*
 * Sender of the Acquire link protocol, version 1.0 (docs/link-protocol.md), for microcontrollers; docs/firmware.md shows how to call it.
 *
 * C99 and two freestanding headers; no allocation, no library call, no division, no floating point. Everything it needs is one acqlink_t and
 * room for one frame, both the caller's. One context at a time may be inside of it: call it from the loop or from one interrupt, not from both.
 */
#ifndef ACQUIRE_LINK_H
#define ACQUIRE_LINK_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Most channels of a scan. */
#define ACQLINK_MOST_CHANNELS 8

/* Fewest and most bytes of room for a frame. A description needs ACQLINK_DESCRIPTION_ROOM for its channels and the bytes of its text. */
#define ACQLINK_FEWEST_ROOM 48
#define ACQLINK_MOST_ROOM 8192
#define ACQLINK_DESCRIPTION_ROOM(channels, text_bytes) (24 + 15 + 9 * (channels) + (text_bytes) + 4)

/* What a channel carries. */
enum { ACQLINK_RAMP = 0, ACQLINK_VERTICAL = 1, ACQLINK_BLANKING = 2, ACQLINK_AUXILIARY = 3 };

/*
 * Takes one whole frame, delimiter included. The bytes stand in the room given to acqlink_begin and are good until put returns,
 * so it copies them, or waits until they are on their way. A driver with two buffers changes the room between frames: acqlink_room.
 */
typedef void (*acqlink_put_t)(void *user, const uint8_t *bytes, size_t count);

/* One channel. Microvolts at code 0 and at the full code; equal where they are not known. */
typedef struct {
    uint8_t role;
    int32_t microvolts_at_zero;
    int32_t microvolts_at_full;
} acqlink_channel_t;

/* What the scans are. Everything but channel_count, bits and channel roles may be 0: not said. */
typedef struct {
    uint8_t channel_count;              /* 2 to ACQLINK_MOST_CHANNELS */
    uint8_t bits;                       /* of a code, 1 to 16 */
    uint32_t scans_per_half;
    uint32_t rate_numerator;            /* scans a second: timer clock in hertz */
    uint32_t rate_denominator;          /* and what divides it */
    const acqlink_channel_t *channels;  /* channel_count of them, in the order of a scan; must outlive the sender */
    const char *device;                 /* UTF-8 */
    uint8_t device_bytes;
} acqlink_description_t;

/* The sender. Members are its own; read position and sequence if they help. The first ones are those that every byte needs. */
typedef struct {
    uint8_t *room;
    uint32_t at;
    uint32_t block;
    uint32_t crc;
    uint32_t sum;
    uint32_t shift;
    uint32_t sequence;
    uint32_t run;
    uint32_t code_bits;
    uint32_t scans_per_frame;
    uint32_t most_payload;
    const acqlink_description_t *description;
    acqlink_put_t put;
    void *user;
    uint64_t position;
    uint64_t sent;
} acqlink_t;

/*
 * Begins. run: another number than after the last start (a boot counter, a random number, noise of an open input).
 * code_bits: 12 or 16, at least the bits of a code; 12 saves a quarter of the bytes.
 * Sends a delimiter, so that what stood on the line before spoils nothing. Returns 0 and does nothing if a value is out of range.
 */
int acqlink_begin(acqlink_t *link, const acqlink_description_t *description, uint16_t run, unsigned code_bits,
                  uint8_t *room, size_t room_bytes, acqlink_put_t put, void *user);

/* Gives another room of the same size; for drivers that send from one while the next frame is made in the other. */
void acqlink_room(acqlink_t *link, uint8_t *room);

/* Says what the scans are: after acqlink_begin, and about once a second. Returns 0 if it does not fit into the room. */
int acqlink_describe(acqlink_t *link);

/* A half is ready: codes are scans x channel_count words, interleaved. Sends as many frames as they need. */
void acqlink_half(acqlink_t *link, const uint16_t *codes, size_t scans);

/* Scans were lost in front of the next half: exactly so many (at least 1). The next half's position is that much further on. */
void acqlink_lost(acqlink_t *link, uint64_t scans);

/* Scans were lost, at least so many; how many, nobody knows. A new run begins: give a number not used lately. */
void acqlink_lost_count(acqlink_t *link, uint64_t at_least, uint16_t run);

/* An auxiliary word that holds from a scan on; position is at most that of the next scan. */
void acqlink_word(acqlink_t *link, uint64_t position, uint16_t word);

/* Words for people, UTF-8; as many bytes as the room allows. */
void acqlink_text(acqlink_t *link, const char *text, size_t bytes);

/* The device stops. */
void acqlink_end(acqlink_t *link);

#ifdef __cplusplus
}
#endif

#endif
