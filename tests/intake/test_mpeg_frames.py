from hypothesis import given
from hypothesis import strategies as st

from pipeline.intake.mpeg_frames import adts_frame_bytes, mp3_frame_bytes


def test_a_frames_length_follows_from_its_header():
    # 128 kbit/s at 44.1 kHz, MPEG-1 layer III: 144 * 128000 / 44100 = 417 whole bytes, 418 with padding.
    assert mp3_frame_bytes(bytes.fromhex("fffb9000")) == 417
    assert mp3_frame_bytes(bytes.fromhex("fffb9200")) == 418
    # 64 kbit/s at 22.05 kHz, MPEG-2 layer III: 72 * 64000 / 22050 = 208.
    assert mp3_frame_bytes(bytes.fromhex("fff38000")) == 208
    # An ADTS header that says 299 bytes.
    assert adts_frame_bytes(bytes.fromhex("fff15040257ffc")) == 299


def test_reserved_values_are_no_header():
    for header in ("fffbf000", "fffb0000", "fffb9c00", "ffeb9000", "fff99000"):
        assert mp3_frame_bytes(bytes.fromhex(header)) == 0, header
    assert adts_frame_bytes(bytes.fromhex("fff17440257ffc")) == 0


@given(st.binary(max_size=10))
def test_no_bytes_are_a_crash_and_no_length_is_absurd(header):
    assert 0 <= mp3_frame_bytes(header) < 8000
    assert 0 <= adts_frame_bytes(header) < 8192
