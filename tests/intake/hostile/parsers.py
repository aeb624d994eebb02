"""The parsers that are our own, each as a function of any bytes that holds what it gives to its laws.

Only the errors that a parser documents are let pass; any other, or an ``AssertionError``, is a finding.
"""

import io
import os
from collections.abc import Callable, Mapping
from datetime import UTC, date, timedelta
from types import MappingProxyType
from zoneinfo import ZoneInfo

from pipeline.cards.clock_card import card_instant, card_text
from pipeline.dating.names import date_in_name
from pipeline.dating.sources import date_media
from pipeline.errors import ItemFault, WrongCommand
from pipeline.evidence.manifests import manifest_bytes, read_manifest, tags_bytes
from pipeline.evidence.manifests import read_tags as read_bag_tags
from pipeline.hardware.part_numbers import describe, find_part_numbers
from pipeline.history import chain
from pipeline.intake.bext import parse_bext, read_bext, wave_is_cut_short
from pipeline.intake.captions import caption_text, looks_like_captions, parse_captions
from pipeline.intake.codes import sorted_codes
from pipeline.intake.container_tags import read_tags
from pipeline.intake.content_type import content_type
from pipeline.intake.exif import offset_text, read_exif, wall_time
from pipeline.intake.mpeg_frames import adts_frame_bytes, mp3_frame_bytes
from pipeline.json_lines import Line, read_json_lines
from pipeline.reading.numbers import find_numbers
from pipeline.settings import read_settings
from pipeline.trade.lists import LISTS, read_lists
from pipeline.values import FileSeen, Kind, Media, Probe, TimeClue
from tests.intake.hostile.handed_in import bags, edits, labels, review_forms
from tests.intake.hostile.scratch import file_of, scratch, text_of

_LONDON = ZoneInfo("Europe/London")
_STARTS = date(2025, 9, 1)
_A_DAY_S = 24 * 3600.0


def _can_be_dated(clues: tuple[TimeClue, ...], duration_s: float | None = None) -> None:
    """Hold clues to this: whatever they say, the media gets an instant."""
    file = FileSeen(path="/m/a.wav", size=1, modified_ns=1_771_000_000_000_000_000)
    probe = Probe(kind=Kind.RECORDING, content_type="audio/wav", clues=clues, duration_s=duration_s)
    media = Media(id="sha256:" + "0" * 64, files=(file,), probe=probe)
    now = card_instant("2026-03-01T12:00:00Z")
    assert now is not None
    assert date_media(media, _LONDON, _STARTS, now).at.utcoffset() is not None


def bext(raw: bytes) -> None:
    """Read a broadcast chunk, and a wave file."""
    found = parse_bext(raw, int.from_bytes(raw[:4], "little") or None, len(raw) / 7 or None)
    _can_be_dated(found.clues)
    path = file_of("bext.wav", raw)
    in_file = read_bext(path)
    if in_file is not None:
        _can_be_dated(in_file.clues, in_file.length_s)
    wave_is_cut_short(path)


def captions(raw: bytes) -> None:
    """Read captions: cues in order, none overlapping, each with text on one line, within a day."""
    text = caption_text(raw)
    assert looks_like_captions(text) in (None, "text/vtt", "application/x-subrip")
    found = parse_captions(text)
    end_s = 0.0
    for cue in found.cues:
        assert end_s <= cue.start_s < cue.end_s <= _A_DAY_S
        assert cue.text
        assert "\n" not in cue.text
        assert cue.text == cue.text.strip()
        cue.model_dump_json().encode("utf-8")
        end_s = cue.end_s
    if found.taken is not None:
        _can_be_dated((found.taken,))


def numbers(raw: bytes) -> None:
    """Find numbers: in order, none overlapping, within the text, none below nought."""
    text, at = text_of(raw), 0
    for number in find_numbers(text):
        assert at <= number.start < number.end <= len(text)
        assert number.value >= 0
        at = number.end


def part_numbers(raw: bytes) -> None:
    """Find part numbers: in order, none overlapping, within the text, each describable."""
    text, at = text_of(raw), 0
    for part in find_part_numbers(text):
        assert at <= part.start < part.end <= len(text)
        assert part.number.startswith(part.series)
        assert describe(part)
        at = part.end


def settings(raw: bytes) -> None:
    """Read a ``book.toml``."""
    try:
        found = read_settings(file_of("book.toml", raw))
    except WrongCommand as fault:
        assert "\n" not in str(fault)
        return
    assert found.zone.key
    found.model_dump_json()


def vocabulary(raw: bytes) -> None:
    """Read one list of the vocabulary; which one, the first byte says."""
    folder = scratch() / f"{os.getpid()}-vocab"
    folder.mkdir(exist_ok=True)
    name = sorted(LISTS)[(raw[0] if raw else 0) % len(LISTS)]
    file = folder / f"{name}.csv"
    file.write_bytes(raw[1:])
    found = read_lists([folder])
    for row in found.rows[name].values():
        assert set(row.cells) == set(LISTS[name])
    assert all(str(file) in str(fault) for fault in found.faults)
    file.unlink()


def mpeg_frames(raw: bytes) -> None:
    """Read headers of MPEG sound at every place: a frame is at least as long as its header."""
    for at in range(min(len(raw), 64)):
        mp3, adts = mp3_frame_bytes(raw[at:]), adts_frame_bytes(raw[at:])
        assert mp3 == 0 or 4 <= mp3 < 1 << 16
        assert adts == 0 or 7 <= adts < 1 << 13


def container_tags(raw: bytes) -> None:
    """Read tags of a container, given as lines of name and value."""
    tags = dict(line.partition("=")[::2] for line in text_of(raw).splitlines())
    found = read_tags(tags)
    assert found.device.isprintable()
    if found.gps_deg is not None:
        assert abs(found.gps_deg[0]) <= 90
        assert abs(found.gps_deg[1]) <= 180
    _can_be_dated(found.clues, 60.0)


def clock_card(raw: bytes) -> None:
    """Read the text of a code: an instant in UTC that the card's own text gives again, a tag, or another text."""
    text = text_of(raw)
    at = card_instant(text)
    if at is not None:
        assert at.utcoffset() == timedelta(0)
        assert card_instant(card_text(at)) == at.replace(microsecond=0)
    codes = sorted_codes([text, text[::-1]])
    assert all(len(other) <= 80 for other in codes.others)
    codes.model_dump_json()


def exif(raw: bytes) -> None:
    """Read the texts of Exif, and Exif itself."""
    text = text_of(raw)
    wall_time(text)
    offset_text(text)
    found = read_exif(file_of("exif.tif", raw))
    _can_be_dated(found.clues)
    assert found.serial == found.serial.strip()


def file_names(raw: bytes) -> None:
    """Read a date in a file's name."""
    clue = date_in_name(text_of(raw))
    if clue is not None:
        _can_be_dated((clue,))


def history(raw: bytes) -> None:
    """Read a book's history: events that are JSON, in the order of the lines, and what is wrong with the rest."""
    path = file_of("history.jsonl", raw)
    found = chain.read(path)
    assert len(found.events) <= raw.count(b"\n")
    assert found.breaks or not raw or (found.events and not found.torn)


def manifests(raw: bytes) -> None:
    """Read a manifest and a tag file of a bag; what is read and written comes out the same, for payload paths."""
    payload = {path: digest for path, digest in read_manifest(raw).hashes.items() if path.startswith("data/")}
    assert read_manifest(manifest_bytes(payload)).hashes == payload
    tags = read_bag_tags(raw)
    again = read_bag_tags(tags_bytes(tags))
    assert [label for label, _ in again] == [label for label, _ in tags]


def file_types(raw: bytes) -> None:
    """Tell what a file is, as far as our own code tells: containers are left to their engine."""
    if raw[4:8] in (b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip", b"pnot"):
        from pipeline.intake.content_type import _check_index_is_whole as check

        try:
            check(file_of("type.mp4", raw))
        except ItemFault:
            return
    elif not raw.startswith((b"\x1aE\xdf\xa3", b"OggS", b"RIFF")):
        try:
            content_type(file_of("type.bin", raw))
        except ItemFault as fault:
            assert fault.why


def json_lines(raw: bytes) -> None:
    """Read lines of JSON."""
    try:
        for line in read_json_lines(io.StringIO(text_of(raw)), Line, "notes.jsonl"):
            assert isinstance(line.id, str)
    except WrongCommand as fault:
        assert "notes.jsonl, line" in str(fault)


PARSERS: Mapping[str, Callable[[bytes], None]] = MappingProxyType(
    {
        parser.__name__: parser
        for parser in (
            bext,
            captions,
            numbers,
            part_numbers,
            settings,
            edits,
            vocabulary,
            mpeg_frames,
            container_tags,
            clock_card,
            labels,
            exif,
            file_names,
            history,
            manifests,
            bags,
            review_forms,
            file_types,
            json_lines,
        )
    }
)
"""Each parser under its name."""

NOW = card_instant("2026-03-01T12:00:00Z")
assert NOW is not None
assert NOW.tzinfo is UTC
