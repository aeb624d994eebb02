"""How long a frame of MPEG sound is, by its own header. No engine."""

# Source: ISO/IEC 11172-3, 2.4.2.3 and 13818-3; rows: MPEG-1 layers III, II, I, MPEG-2 layers III and II, I; kbit/s.
_KBITS = {
    (True, 1): (32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320),
    (True, 2): (32, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320, 384),
    (True, 3): (32, 64, 96, 128, 160, 192, 224, 256, 288, 320, 352, 384, 416, 448),
    (False, 1): (8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160),
    (False, 2): (8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160),
    (False, 3): (32, 48, 56, 64, 80, 96, 112, 128, 144, 160, 176, 192, 224, 256),
}
_RATES_HZ = {3: (44_100, 48_000, 32_000), 2: (22_050, 24_000, 16_000), 0: (11_025, 12_000, 8_000)}


def mp3_frame_bytes(header: bytes) -> int:
    """Return the length of the MPEG audio frame that starts here, 0 where none does."""
    if len(header) < 4 or header[0] != 0xFF or header[1] & 0xE0 != 0xE0:
        return 0
    version, layer_bits = header[1] >> 3 & 3, header[1] >> 1 & 3
    kbits_index, rate_index, padding = header[2] >> 4, header[2] >> 2 & 3, header[2] >> 1 & 1
    if version == 1 or layer_bits == 0 or kbits_index in (0, 15) or rate_index == 3:
        return 0
    first = version == 3
    rate_hz = _RATES_HZ[version][rate_index]
    bits = _KBITS[first, layer_bits][kbits_index - 1] * 1000
    if layer_bits == 3:
        return (12 * bits // rate_hz + padding) * 4
    return (144 if first or layer_bits == 2 else 72) * bits // rate_hz + padding


def adts_frame_bytes(header: bytes) -> int:
    """Return the length of the ADTS frame that starts here, 0 where none does. Source: ISO/IEC 13818-7, 6.2."""
    if len(header) < 7 or header[0] != 0xFF or header[1] & 0xF6 != 0xF0 or header[2] >> 2 & 15 > 12:
        return 0
    length = (header[3] & 3) << 11 | header[4] << 3 | header[5] >> 5
    return length if length >= 7 else 0
