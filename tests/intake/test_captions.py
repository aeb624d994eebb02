from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import ItemFault
from pipeline.intake.captions import UNREAD, caption_text, looks_like_captions, parse_captions, read_captions
from pipeline.values import TimeSource

VTT = """WEBVTT

NOTE taken 2026-02-14T10:15:00+00:00

STYLE
::cue { color: white }

opening
00:01.000 --> 00:03.500 align:start
<v Ines>Port rudder is <b>off</b> &amp; bagged.</v>

01:00:04.000 --> 01:00:06.000
two
lines
"""


def test_a_webvtt_file_gives_cues_and_when_it_was_taken():
    found = parse_captions(VTT)
    assert [(cue.start_s, cue.end_s, cue.text) for cue in found.cues] == [
        (1.0, 3.5, "Port rudder is off & bagged."),
        (3604.0, 3606.0, "two lines"),
    ]
    assert (found.taken.source, found.taken.wall, found.taken.offset) == (
        TimeSource.NOTE,
        "2026-02-14T10:15:00",
        "+00:00",
    )
    assert found.remarks == ()


def test_a_subrip_file_with_a_mark_returns_and_missing_blank_lines_is_read():
    raw = "\ufeff1\r\n00:00:01,000 --> 00:00:02,000\r\n<i>one</i>\r\n2\r\n"
    raw += "00:00:02,000 --> 00:00:03,250\r\n{\\an8}two\r\n"
    found = parse_captions(caption_text(raw.encode()))
    assert [(cue.start_s, cue.end_s, cue.text) for cue in found.cues] == [(1.0, 2.0, "one"), (2.0, 3.25, "two")]


def test_a_file_in_windows_1252_or_utf_16_is_read():
    text = "1\n00:00:01,000 --> 00:00:02,000\n40 °C · café\n"
    for encoding in ("cp1252", "utf-16", "utf-8"):
        assert parse_captions(caption_text(text.encode(encoding))).cues[0].text == "40 °C · café"


def test_a_measure_in_pointed_brackets_is_not_taken_for_markup():
    (cue,) = parse_captions("WEBVTT\n\n00:01.000 --> 00:02.000\ngap <5 mm and > 3 mm\n").cues
    assert cue.text == "gap <5 mm and > 3 mm"


@pytest.mark.parametrize("times", ["00:05.000 --> 00:04.000", "00:05.000 --> 00:05.000", "00:05.000 --> ", "x --> y"])
def test_a_cue_without_a_usable_time_is_left_out_with_its_words_in_a_remark(times):
    found = parse_captions(f"WEBVTT\n\n{times}\nthe oleo is out\n\n00:06.000 --> 00:07.000\nnext\n")
    assert [cue.text for cue in found.cues] == ["next"]
    assert "the oleo is out" in found.remarks[0]


def test_overlapping_cues_lose_no_word():
    text = (
        "WEBVTT\n\n00:01.000 --> 00:04.000\none\n\n00:03.000 --> 00:05.000\ntwo\n\n00:03.000 --> 00:05.000\nthree\n"
    )
    found = parse_captions(text)
    assert [(cue.start_s, cue.end_s, cue.text) for cue in found.cues] == [(1.0, 3.0, "one"), (3.0, 5.0, "two three")]
    assert "2 of its captions" in found.remarks[0]


def test_a_note_whose_time_is_none_is_told():
    found = parse_captions("WEBVTT\n\nNOTE taken on Saturday\n\n00:01.000 --> 00:02.000\nx\n")
    assert found.taken is None
    assert "Saturday" in found.remarks[0]


def test_a_caption_file_without_a_cue_is_set_aside(tmp_path):
    path = tmp_path / "a.vtt"
    path.write_text("WEBVTT\n\nNOTE nothing yet\n")
    with pytest.raises(ItemFault, match="no caption"):
        read_captions(path)


def test_a_text_is_only_taken_for_captions_when_it_starts_like_them():
    assert looks_like_captions("WEBVTT") == "text/vtt"
    assert looks_like_captions("Notes on the tail\n\n\n00:00:01,000 --> 00:00:02,000\n") == "application/x-subrip"
    assert looks_like_captions("One\nTwo\nThree\n00:00:01,000 --> 00:00:02,000\n") is None


def test_every_paragraph_of_a_written_passage_is_in_its_cue():
    found = parse_captions(
        "WEBVTT\n\nNOTE taken 2026-02-14T10:15:00\n\n00:00.000 --> 00:20.000\nThe elevator is off.\n\n"
        "The tailplane came off too, eight bolts.\n\nSTYLE\n\nAll of it is on rack two.\n"
        "00:30.000 --> 00:40.000\nLunch.\n"
    )
    assert [cue.text for cue in found.cues] == [
        "The elevator is off. The tailplane came off too, eight bolts. All of it is on rack two.",
        "Lunch.",
    ]
    assert found.remarks == ()


def test_what_a_cue_is_called_and_its_number_are_no_words_of_the_cue_before():
    text = (
        "1\n\n00:00:01,000 --> 00:00:02,000\none\n\n2\n\n00:00:02,000 --> 00:00:03,000\ntwo\n\n"
        "the end\n00:00:03,000 --> 00:00:04,000\nthree\n"
    )
    assert [cue.text for cue in parse_captions(text).cues] == ["one", "two", "three"]


def test_words_above_the_first_time_are_told():
    found = parse_captions("WEBVTT\n\nThe fin is off.\n\n00:01.000 --> 00:02.000\nSix bolts.\n")
    assert [cue.text for cue in found.cues] == ["Six bolts."]
    assert len(found.remarks) == 1 and found.remarks[0].startswith(UNREAD) and "The fin is off." in found.remarks[0]


@pytest.mark.parametrize("head", ["WEBVTT\n", "WEBVTT\n\n"])
@pytest.mark.parametrize("gap", ["\n", "\n\n"])
def test_note_taken_counts_with_or_without_the_empty_lines_about_it_and_its_cue_too(head, gap):
    found = parse_captions(f"{head}NOTE taken 2026-02-14T10:15:00{gap}00:00.000 --> 00:20.000\nThe cowling is off.\n")
    assert found.taken is not None and found.taken.wall == "2026-02-14T10:15:00"
    assert [cue.text for cue in found.cues] == ["The cowling is off."]


def test_times_without_thousandths_are_minutes_and_seconds():
    found = parse_captions("WEBVTT\n\n10:00 --> 10:20\nThe spinner is off.\n\n1:02:03 --> 1:02:04.5\nLunch.\n")
    assert [(cue.start_s, cue.end_s) for cue in found.cues] == [(600.0, 620.0), (3723.0, 3724.5)]


def test_two_byte_order_marks_are_none():
    assert looks_like_captions(caption_text(b"\xef\xbb\xbf\xef\xbb\xbfWEBVTT\n\n")) == "text/vtt"


_line = st.one_of(
    st.sampled_from(
        [
            "",
            "WEBVTT",
            "NOTE taken 2026-02-14T10:15:00Z",
            "1",
            "00:01.000 --> 00:02.000",
            "--> 00:01.000",
            "00:00:03,5 --> 00:00:09,000",
            "9999:59:59.999 --> 99:99:99,999",
            "<v A>words</v>",
        ]
    ),
    st.text(max_size=30),
)


@given(st.lists(_line, max_size=40))
def test_whatever_is_in_the_text_the_cues_are_in_order_and_do_not_overlap(lines):
    cues = parse_captions("\n".join(lines)).cues
    assert all(0 <= cue.start_s < cue.end_s for cue in cues)
    assert all(before.end_s <= after.start_s for before, after in pairwise(cues))
    assert all(cue.text == " ".join(cue.text.split()) != "" for cue in cues)


@given(st.binary(max_size=300))
def test_no_bytes_are_a_crash(raw):
    parse_captions(caption_text(raw))


_word = st.text(st.characters(whitelist_categories=["Ll", "Lu", "Nd"]), min_size=1, max_size=8)


@given(st.lists(st.tuples(st.integers(1, 5000), st.integers(1, 5000), _word), min_size=1, max_size=15))
def test_cues_that_are_written_in_order_come_back_as_they_were(steps):
    at, written = 0, []
    for gap, length, word in steps:
        written.append((at + gap, at + gap + length, word))
        at += gap + length
    text = "WEBVTT\n\n" + "\n".join(f"{_stamp(a)} --> {_stamp(b)}\n{word}\n" for a, b, word in written)
    found = parse_captions(text)
    assert [(round(c.start_s * 1000), round(c.end_s * 1000), c.text) for c in found.cues] == written


def _stamp(ms: int) -> str:
    return f"{ms // 3_600_000:02d}:{ms // 60_000 % 60:02d}:{ms // 1000 % 60:02d}.{ms % 1000:03d}"


def test_caption_of_far_more_than_anybody_says_in_its_time_is_left_out_and_told():
    text = f"WEBVTT\n\n00:01.000 --> 00:02.000\n{'word ' * 500}\n\n00:03.000 --> 00:04.000\nthe hinge\n"
    captions = parse_captions(text)
    assert [cue.text for cue in captions.cues] == ["the hinge"]
    assert "1 of its captions hold far more than anybody says in their time" in captions.remarks[0]


def test_caption_that_lasts_long_enough_for_its_words_is_kept_whole():
    said = "the port rudder is off and on rack three " * 100
    (cue,) = parse_captions(f"WEBVTT\n\n00:01.000 --> 05:01.000\n{said}\n").cues
    assert cue.text == said.strip()


def test_whose_voice_a_caption_says_it_is_is_kept_beside_its_words():
    found = parse_captions(
        "WEBVTT\n\n00:01.000 --> 00:03.000\n<v Mila Orrell>The fin is off.</v>\n\n"
        "00:04.000 --> 00:06.000\n<v.loud Ted &amp; son>Six bolts.</v>\n<v Mila Orrell>Eight.\n\n"
        "00:07.000 --> 00:09.000\nBagged.\n"
    )
    assert [(one.text, one.speaker) for one in found.cues] == [
        ("The fin is off.", "Mila Orrell"),
        ("Six bolts. Eight.", "Ted & son and Mila Orrell"),
        ("Bagged.", ""),
    ]
    assert found.remarks == ()
