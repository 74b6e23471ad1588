#include "acquire_link.h"

#define VERSION 0x10
#define MASK 0xA5
#define HEADER_BYTES 18
#define TRAILER_BYTES 6
#define SCANS_HEAD_BYTES 2

enum { DESCRIPTION = 1, SCANS16 = 2, SCANS12 = 3, WORD = 4, OVERRUN = 5, TEXT = 6, END = 7 };

/* CRC-32C, reflected polynomial 82F63B78. Four bits at a time; with the large table, 960 bytes more, eight. */
#ifdef ACQLINK_LARGE_TABLE
static const uint32_t crc_table[256] = {
    0x00000000u, 0xF26B8303u, 0xE13B70F7u, 0x1350F3F4u, 0xC79A971Fu, 0x35F1141Cu, 0x26A1E7E8u, 0xD4CA64EBu,
    0x8AD958CFu, 0x78B2DBCCu, 0x6BE22838u, 0x9989AB3Bu, 0x4D43CFD0u, 0xBF284CD3u, 0xAC78BF27u, 0x5E133C24u,
    0x105EC76Fu, 0xE235446Cu, 0xF165B798u, 0x030E349Bu, 0xD7C45070u, 0x25AFD373u, 0x36FF2087u, 0xC494A384u,
    0x9A879FA0u, 0x68EC1CA3u, 0x7BBCEF57u, 0x89D76C54u, 0x5D1D08BFu, 0xAF768BBCu, 0xBC267848u, 0x4E4DFB4Bu,
    0x20BD8EDEu, 0xD2D60DDDu, 0xC186FE29u, 0x33ED7D2Au, 0xE72719C1u, 0x154C9AC2u, 0x061C6936u, 0xF477EA35u,
    0xAA64D611u, 0x580F5512u, 0x4B5FA6E6u, 0xB93425E5u, 0x6DFE410Eu, 0x9F95C20Du, 0x8CC531F9u, 0x7EAEB2FAu,
    0x30E349B1u, 0xC288CAB2u, 0xD1D83946u, 0x23B3BA45u, 0xF779DEAEu, 0x05125DADu, 0x1642AE59u, 0xE4292D5Au,
    0xBA3A117Eu, 0x4851927Du, 0x5B016189u, 0xA96AE28Au, 0x7DA08661u, 0x8FCB0562u, 0x9C9BF696u, 0x6EF07595u,
    0x417B1DBCu, 0xB3109EBFu, 0xA0406D4Bu, 0x522BEE48u, 0x86E18AA3u, 0x748A09A0u, 0x67DAFA54u, 0x95B17957u,
    0xCBA24573u, 0x39C9C670u, 0x2A993584u, 0xD8F2B687u, 0x0C38D26Cu, 0xFE53516Fu, 0xED03A29Bu, 0x1F682198u,
    0x5125DAD3u, 0xA34E59D0u, 0xB01EAA24u, 0x42752927u, 0x96BF4DCCu, 0x64D4CECFu, 0x77843D3Bu, 0x85EFBE38u,
    0xDBFC821Cu, 0x2997011Fu, 0x3AC7F2EBu, 0xC8AC71E8u, 0x1C661503u, 0xEE0D9600u, 0xFD5D65F4u, 0x0F36E6F7u,
    0x61C69362u, 0x93AD1061u, 0x80FDE395u, 0x72966096u, 0xA65C047Du, 0x5437877Eu, 0x4767748Au, 0xB50CF789u,
    0xEB1FCBADu, 0x197448AEu, 0x0A24BB5Au, 0xF84F3859u, 0x2C855CB2u, 0xDEEEDFB1u, 0xCDBE2C45u, 0x3FD5AF46u,
    0x7198540Du, 0x83F3D70Eu, 0x90A324FAu, 0x62C8A7F9u, 0xB602C312u, 0x44694011u, 0x5739B3E5u, 0xA55230E6u,
    0xFB410CC2u, 0x092A8FC1u, 0x1A7A7C35u, 0xE811FF36u, 0x3CDB9BDDu, 0xCEB018DEu, 0xDDE0EB2Au, 0x2F8B6829u,
    0x82F63B78u, 0x709DB87Bu, 0x63CD4B8Fu, 0x91A6C88Cu, 0x456CAC67u, 0xB7072F64u, 0xA457DC90u, 0x563C5F93u,
    0x082F63B7u, 0xFA44E0B4u, 0xE9141340u, 0x1B7F9043u, 0xCFB5F4A8u, 0x3DDE77ABu, 0x2E8E845Fu, 0xDCE5075Cu,
    0x92A8FC17u, 0x60C37F14u, 0x73938CE0u, 0x81F80FE3u, 0x55326B08u, 0xA759E80Bu, 0xB4091BFFu, 0x466298FCu,
    0x1871A4D8u, 0xEA1A27DBu, 0xF94AD42Fu, 0x0B21572Cu, 0xDFEB33C7u, 0x2D80B0C4u, 0x3ED04330u, 0xCCBBC033u,
    0xA24BB5A6u, 0x502036A5u, 0x4370C551u, 0xB11B4652u, 0x65D122B9u, 0x97BAA1BAu, 0x84EA524Eu, 0x7681D14Du,
    0x2892ED69u, 0xDAF96E6Au, 0xC9A99D9Eu, 0x3BC21E9Du, 0xEF087A76u, 0x1D63F975u, 0x0E330A81u, 0xFC588982u,
    0xB21572C9u, 0x407EF1CAu, 0x532E023Eu, 0xA145813Du, 0x758FE5D6u, 0x87E466D5u, 0x94B49521u, 0x66DF1622u,
    0x38CC2A06u, 0xCAA7A905u, 0xD9F75AF1u, 0x2B9CD9F2u, 0xFF56BD19u, 0x0D3D3E1Au, 0x1E6DCDEEu, 0xEC064EEDu,
    0xC38D26C4u, 0x31E6A5C7u, 0x22B65633u, 0xD0DDD530u, 0x0417B1DBu, 0xF67C32D8u, 0xE52CC12Cu, 0x1747422Fu,
    0x49547E0Bu, 0xBB3FFD08u, 0xA86F0EFCu, 0x5A048DFFu, 0x8ECEE914u, 0x7CA56A17u, 0x6FF599E3u, 0x9D9E1AE0u,
    0xD3D3E1ABu, 0x21B862A8u, 0x32E8915Cu, 0xC083125Fu, 0x144976B4u, 0xE622F5B7u, 0xF5720643u, 0x07198540u,
    0x590AB964u, 0xAB613A67u, 0xB831C993u, 0x4A5A4A90u, 0x9E902E7Bu, 0x6CFBAD78u, 0x7FAB5E8Cu, 0x8DC0DD8Fu,
    0xE330A81Au, 0x115B2B19u, 0x020BD8EDu, 0xF0605BEEu, 0x24AA3F05u, 0xD6C1BC06u, 0xC5914FF2u, 0x37FACCF1u,
    0x69E9F0D5u, 0x9B8273D6u, 0x88D28022u, 0x7AB90321u, 0xAE7367CAu, 0x5C18E4C9u, 0x4F48173Du, 0xBD23943Eu,
    0xF36E6F75u, 0x0105EC76u, 0x12551F82u, 0xE03E9C81u, 0x34F4F86Au, 0xC69F7B69u, 0xD5CF889Du, 0x27A40B9Eu,
    0x79B737BAu, 0x8BDCB4B9u, 0x988C474Du, 0x6AE7C44Eu, 0xBE2DA0A5u, 0x4C4623A6u, 0x5F16D052u, 0xAD7D5351u
};
#else
static const uint32_t crc_table[16] = {
    0x00000000u, 0x105EC76Fu, 0x20BD8EDEu, 0x30E349B1u, 0x417B1DBCu, 0x5125DAD3u, 0x61C69362u, 0x7198540Du,
    0x82F63B78u, 0x92A8FC17u, 0xA24BB5A6u, 0xB21572C9u, 0xC38D26C4u, 0xD3D3E1ABu, 0xE330A81Au, 0xF36E6F75u
};
#endif

/*
 * Most bytes of a payload whose frame fits into the room, whatever they are: stuffing adds one byte and one more for each 254, then comes
 * the delimiter. A small core has no division.
 */
static uint32_t most_payload(uint32_t room_bytes)
{
    uint32_t left = room_bytes - 2;
    uint32_t bytes = 0;
    while (left >= 255) {
        left -= 255;
        bytes += 254;
    }
    return bytes + (left < 254 ? left : 253) - HEADER_BYTES - TRAILER_BYTES;
}

/* Codes of 12 bits share bytes, those of 16 do not. */
static uint32_t code_bytes(const acqlink_t *link, uint32_t codes)
{
    return (codes * link->code_bits + 7) / 8;
}

/*
 * Checks and stuffs one byte. The length in front of a block is written when the block ends: at a zero, which it stands for, or when it is full.
 */
static void put8(acqlink_t *link, unsigned value)
{
    uint32_t byte = value & 255;
    uint32_t crc = link->crc ^ byte;
#ifdef ACQLINK_LARGE_TABLE
    link->crc = (crc >> 8) ^ crc_table[crc & 255];
#else
    crc = (crc >> 4) ^ crc_table[crc & 15];
    link->crc = (crc >> 4) ^ crc_table[crc & 15];
#endif
    link->sum += byte << link->shift;
    link->shift ^= 8;

    uint8_t *room = link->room;
    uint32_t at = link->at;
    if (at - link->block == 255) {
        room[link->block] = 255;
        link->block = at++;
    }
    if (byte == 0) {
        room[link->block] = (uint8_t)(at - link->block);
        link->block = at;
    }
    room[at++] = (uint8_t)byte;
    link->at = at;
}

static void put16(acqlink_t *link, unsigned value)
{
    put8(link, value);
    put8(link, value >> 8);
}

static void put32(acqlink_t *link, uint32_t value)
{
    for (unsigned i = 0; i < 4; i++) {
        put8(link, (unsigned)value);
        value >>= 8;
    }
}

static void put64(acqlink_t *link, uint64_t value)
{
    put32(link, (uint32_t)value);
    put32(link, (uint32_t)(value >> 32));
}

static void put_bytes(acqlink_t *link, const char *bytes, size_t count)
{
    while (count-- > 0) {
        put8(link, (uint8_t)*bytes++);
    }
}

static void open_frame(acqlink_t *link, unsigned kind, uint32_t payload_bytes)
{
    link->crc = 0xFFFFFFFFu;
    link->sum = 0;
    link->shift = 0;
    link->block = 0;
    link->at = 1;
    put8(link, VERSION);
    put8(link, kind);
    put16(link, (unsigned)payload_bytes);
    put32(link, link->sequence);
    put64(link, link->position);
    put16(link, link->run);
}

static void close_frame(acqlink_t *link)
{
    put16(link, link->sum);
    put32(link, ~link->crc);
    link->room[link->block] = (uint8_t)(link->at - link->block);
    link->room[link->at++] = 0;
    link->sequence++;
    link->put(link->user, link->room, link->at);
}

static void begin_run(acqlink_t *link, uint16_t run)
{
    link->run = run;
    link->sequence = 0;
    link->position = 0;
    link->sent = 0;
}

int acqlink_begin(acqlink_t *link, const acqlink_description_t *description, uint16_t run, unsigned code_bits,
                  uint8_t *room, size_t room_bytes, acqlink_put_t put, void *user)
{
    if (room_bytes < ACQLINK_FEWEST_ROOM || room_bytes > ACQLINK_MOST_ROOM
        || description->channel_count < 2 || description->channel_count > ACQLINK_MOST_CHANNELS
        || description->bits < 1 || (code_bits != 12 && code_bits != 16) || description->bits > code_bits) {
        return 0;
    }

    link->put = put;
    link->user = user;
    link->room = room;
    link->most_payload = most_payload((uint32_t)room_bytes);
    link->description = description;
    link->code_bits = code_bits;
    link->scans_per_frame = 0;
    for (uint32_t codes = description->channel_count;
         SCANS_HEAD_BYTES + code_bytes(link, codes) <= link->most_payload;
         codes += description->channel_count) {
        link->scans_per_frame++;
    }

    begin_run(link, run);
    room[0] = 0;
    put(user, room, 1);
    return 1;
}

void acqlink_room(acqlink_t *link, uint8_t *room)
{
    link->room = room;
}

int acqlink_describe(acqlink_t *link)
{
    const acqlink_description_t *d = link->description;
    uint32_t bytes = 14u + 9u * d->channel_count + 1u + d->device_bytes;
    if (bytes > link->most_payload) {
        return 0;
    }

    open_frame(link, DESCRIPTION, bytes);
    put8(link, d->channel_count);
    put8(link, d->bits);
    put32(link, d->scans_per_half);
    put32(link, d->rate_numerator);
    put32(link, d->rate_denominator);
    for (unsigned c = 0; c < d->channel_count; c++) {
        put8(link, d->channels[c].role);
        put32(link, (uint32_t)d->channels[c].microvolts_at_zero);
        put32(link, (uint32_t)d->channels[c].microvolts_at_full);
    }
    put8(link, d->device_bytes);
    put_bytes(link, d->device, d->device_bytes);
    close_frame(link);
    return 1;
}

/* Low bits first, as bytes fill up; every byte is masked, so that codes near zero are not zero bytes. */
static void put_codes(acqlink_t *link, const uint16_t *codes, uint32_t count)
{
    unsigned bits = link->code_bits;
    uint32_t mask = ((uint32_t)1 << bits) - 1;
    uint32_t waiting = 0;
    unsigned have = 0;
    while (count-- > 0) {
        waiting |= (*codes++ & mask) << have;
        have += bits;
        while (have >= 8) {
            put8(link, waiting ^ MASK);
            waiting >>= 8;
            have -= 8;
        }
    }
    if (have > 0) {
        put8(link, waiting ^ MASK);
    }
}

void acqlink_half(acqlink_t *link, const uint16_t *codes, size_t scans)
{
    unsigned channels = link->description->channel_count;
    while (scans > 0) {
        uint32_t now = scans < link->scans_per_frame ? (uint32_t)scans : link->scans_per_frame;
        uint32_t count = now * channels;
        open_frame(link, link->code_bits == 12 ? SCANS12 : SCANS16, SCANS_HEAD_BYTES + code_bytes(link, count));
        put8(link, channels);
        put8(link, link->description->bits);
        put_codes(link, codes, count);
        close_frame(link);
        link->position += now;
        link->sent += now;
        codes += count;
        scans -= now;
    }
}

static void overrun(acqlink_t *link, uint64_t scans, unsigned at_least)
{
    open_frame(link, OVERRUN, 9);
    put64(link, scans);
    put8(link, at_least);
    close_frame(link);
    link->position += scans;
}

void acqlink_lost(acqlink_t *link, uint64_t scans)
{
    if (scans > 0) {
        overrun(link, scans, 0);
    }
}

void acqlink_lost_count(acqlink_t *link, uint64_t at_least, uint16_t run)
{
    overrun(link, at_least, 1);
    begin_run(link, run);
}

void acqlink_word(acqlink_t *link, uint64_t position, uint16_t word)
{
    open_frame(link, WORD, 10);
    put64(link, position);
    put16(link, word);
    close_frame(link);
}

void acqlink_text(acqlink_t *link, const char *text, size_t bytes)
{
    while (bytes > link->most_payload) {
        bytes--;
        /* Not inside a character. */
        while (bytes > 0 && ((uint8_t)text[bytes] & 0xC0) == 0x80) {
            bytes--;
        }
    }
    open_frame(link, TEXT, (uint32_t)bytes);
    put_bytes(link, text, bytes);
    close_frame(link);
}

void acqlink_end(acqlink_t *link)
{
    open_frame(link, END, 8);
    put64(link, link->sent);
    close_frame(link);
}
