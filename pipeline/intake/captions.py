"""Caption files: what was said, made or checked by a person, as WebVTT or SubRip.

Source: W3C WebVTT (cue times, NOTE, voice spans); SubRip is common practice, no source.
"""

import html
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from pipeline.errors import ItemFault
from pipeline.intake.written_time import why_no_time, written_time
from pipeline.values import TimeClue, Value

_MOST_BYTES = 10_000_000
_LONGEST_S = 24 * 3600.0
_MOST_LETTERS, _LETTERS_A_SECOND = 1000, 100  # a fast speaker says 25: common practice, no source
_CLOCK = r"(?:(\d{1,4}):)?(\d{1,2}):(\d{1,2})[.,](\d{1,3})"
_EXACT_TIMES = re.compile(rf"\s*{_CLOCK}\s*-+>\s*{_CLOCK}(?:\s.*)?")
# People write "10:00 --> 10:20" too: minutes and seconds, whatever stands behind them.
_HAND_CLOCK = _CLOCK.replace("[.,](\\d{1,3})", "(?:[.,](\\d{1,3}))?")
_TIMES = re.compile(rf"\s*{_HAND_CLOCK}\s*-+>\s*{_HAND_CLOCK}(?:\s.*)?")
_ARROW = re.compile(r"-+>")
_TAG = re.compile(r"</?(?:c|i|b|u|v|lang|ruby|rt|font)(?:[. ][^<>]*)?>|<[\d:.]+>|\{\\[^{}]*\}", re.IGNORECASE)
_VOICE = re.compile(r"<v(?:\.[^<>\s]*)*\s+([^<>]+)>", re.IGNORECASE)
_AND = " and "
_MARK = "\ufeff"
_NOTE = re.compile(r"NOTE(?::|\s|$)")
_TAKEN = re.compile(r"(?:NOTE:?\s+(?i:taken)\b|(?i:note:?\s+taken)(?=:?\s+\d)):?\s*(.*)")
_NO_WORDS = frozenset({"STYLE", "REGION"})  # Source: W3C WebVTT, 4.1: they stand before the first cue
_ENDS_A_SENTENCE = (".", "!", "?", '."', ".\u201d")
_LIKE = "00:00.000 --> 00:20.000"
UNREAD = "Not read: "
"""How a remark begins that tells of words, or of a date, that stand in the file and were not taken in."""


class Cue(Value):
    """One caption: seconds from the recording's start, and its text on one line without markup.

    ``speaker`` is whose voice it says it is, "" where it does not.
    """

    start_s: float
    end_s: float
    text: str
    speaker: str = ""


class Captions(Value):
    """A caption file's cues in order of time, none overlapping, and when it says it was taken."""

    cues: tuple[Cue, ...]
    taken: TimeClue | None = None
    remarks: tuple[str, ...] = ()


def read_captions(path: Path) -> Captions:
    """Read a caption file.

    Raises:
        ItemFault: it is far too long to be one, or holds no cue.
        OSError: it cannot be read.
    """
    if path.stat().st_size > _MOST_BYTES:
        raise ItemFault("It is far too long for a caption file. Cut it into shorter ones.")
    captions = parse_captions(caption_text(path.read_bytes()))
    if not captions.cues:
        raise ItemFault("There is no caption with a usable time in it. Check its times, or leave it out.")
    return captions


def caption_text(raw: bytes) -> str:
    """Decode a caption file: UTF-8, UTF-16 by its mark, else Windows-1252, with plain line feeds."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = raw.decode("utf-16", "replace")
    else:
        try:
            text = raw.decode("utf-8-sig")
        except UnicodeDecodeError:
            text = raw.decode("cp1252", "replace")
    text = text.lstrip(_MARK)  # files that were joined have a second one
    return text.replace("\r\n", "\n").replace("\r", "\n").replace("\x00", "\ufffd")


def looks_like_captions(text: str) -> str | None:
    """Return "text/vtt" or "application/x-subrip" where the text starts as such a file does, else None."""
    if re.match(r"WEBVTT(?:[ \t\n]|$)", text):
        return "text/vtt"
    lines = [line for line in text.split("\n")[:20] if line.strip()][:2]
    return "application/x-subrip" if any(_EXACT_TIMES.fullmatch(line) for line in lines) else None


def parse_captions(text: str) -> Captions:
    """Read the cues out of a caption file's text. Nothing is raised for bad content.

    Words without a time of their own, behind an empty line, go on with the cue before them; before any cue there is
    only a remark of them. Cues whose times are no times, or that end before they start, are dropped with a remark. A
    cue that runs into the next is ended where that starts, and cues of the same start are joined, so that no word is
    lost. One that holds far more than can be said in its time is left out with a remark.
    """
    cues: list[Cue] = []
    remarks: list[str] = []
    taken: TimeClue | None = None
    for block in _passages(text):
        at = _at_times(block)
        before = [line.strip() for line in (block if at is None else block[:at])]
        taken = taken or next((clue for line in before if (clue := _taken(line, remarks)) is not None), None)
        if at is not None:
            cue = _cue(block[at], block[at + 1 :], remarks)
            cues += [cue] if cue is not None else []
        elif not _is_heading(block[0]) and (words := _plain(" ".join(block))):
            remarks.append(f"{UNREAD}'{words[:60]}' stands before the first time like {_LIKE}.")
    return Captions(cues=_in_order(cues, remarks), taken=taken, remarks=tuple(remarks))


def _passages(text: str) -> Iterator[list[str]]:
    """Yield what belongs together: a heading or a note, or the lines of one cue with all words up to the next."""
    cue: list[str] = []
    for block in _blocks(text):
        at = _at_times(block)
        if at is None:
            if not cue or _is_heading(block[0]):
                yield block
            elif not all(line.strip().isdigit() for line in block):  # a number alone is that of the next cue
                cue += block
            continue
        before = block[:at]
        if cue and before and not _is_heading(before[0]):
            # One line may be what the cue is called; a sentence is said, and so is what stands above the last line.
            cue += before if before[-1].rstrip().endswith(_ENDS_A_SENTENCE) else before[:-1]
            before = []
        if cue:
            yield cue
        cue = [*before, *block[at:]]
    if cue:
        yield cue


def _is_heading(line: str) -> bool:
    """Tell whether what a block begins with makes it one without words: the head, a note, a style, a region."""
    line = line.strip()
    return line.startswith("WEBVTT") or line in _NO_WORDS or any(one.match(line) for one in (_NOTE, _TAKEN))


def _at_times(block: Sequence[str]) -> int | None:
    """Return which line of a block gives its times, or tries to; None where none does."""
    return next((index for index, line in enumerate(block) if _ARROW.search(line)), None)


def _blocks(text: str) -> Iterator[list[str]]:
    """Yield runs of lines; a line with cue times starts a new one, also where the empty line before it is missing."""
    block: list[str] = []
    for line in text.split("\n"):
        if not line.strip():
            if block:
                yield block
            block = []
            continue
        if _TIMES.fullmatch(line) and any(_TIMES.fullmatch(earlier) for earlier in block):
            number = [block.pop()] if block[-1].strip().isdigit() else []
            yield block
            block = number
        block.append(line)
    if block:
        yield block


def _taken(line: str, remarks: list[str]) -> TimeClue | None:
    """Read "NOTE taken 2026-02-14T10:15:00"; None where a line is no such note, or gives no day that can be read."""
    match = _TAKEN.fullmatch(line)
    if match is None:
        return None
    clue = written_time(match[1])
    if clue is None:
        why = why_no_time(match[1])
        remarks.append(
            f"{UNREAD}'{line[:60]}'. {why}{' ' if why else ''}Write the day and the time like "
            "NOTE taken 2026-02-14T10:15:00."
        )
    return clue


def _cue(times: str, lines: Sequence[str], remarks: list[str]) -> Cue | None:
    match = _TIMES.fullmatch(times)
    said = _plain(" ".join(lines))
    start_s, end_s = (_seconds(match.groups()[:4]), _seconds(match.groups()[4:])) if match else (0.0, 0.0)
    if match is None or not start_s < end_s <= _LONGEST_S:
        remarks.append(f"{UNREAD}'{said[:60]}' has no usable time ({times.strip()[:40]}). Write one like {_LIKE}.")
        return None
    return Cue(start_s=start_s, end_s=end_s, text=said, speaker=_speaker(lines)) if said else None


def _speaker(lines: Sequence[str]) -> str:
    """Return who speaks in a caption, by its voice spans; "" where it has none. Source: W3C WebVTT, 4.2.2."""
    names = (" ".join(html.unescape(found[1]).split()) for found in _VOICE.finditer(" ".join(lines)))
    return _AND.join(dict.fromkeys(filter(None, names)))


def _seconds(parts: Sequence[str | None]) -> float:
    hours, minutes, seconds, fraction = parts
    whole = int(hours or 0) * 3600 + int(minutes or 0) * 60 + int(seconds or 0)
    return round(whole + int((fraction or "0").ljust(3, "0")) / 1000, 3)


def _plain(text: str) -> str:
    return " ".join(html.unescape(_TAG.sub("", text)).split())


def _in_order(cues: Sequence[Cue], remarks: list[str]) -> tuple[Cue, ...]:
    ordered: list[Cue] = []
    overlaps = 0
    for cue in sorted(cues, key=lambda cue: (cue.start_s, cue.end_s)):
        if ordered and cue.start_s < ordered[-1].end_s:
            overlaps += 1
            before = ordered.pop()
            if cue.start_s > before.start_s:
                ordered.append(before.model_copy(update={"end_s": cue.start_s}))
                cue = cue.model_copy(update={"end_s": max(cue.end_s, before.end_s)})
            else:
                speaker = _AND.join(dict.fromkeys(filter(None, (before.speaker, cue.speaker))))
                text, end_s = f"{before.text} {cue.text}", max(cue.end_s, before.end_s)
                cue = cue.model_copy(update={"text": text, "end_s": end_s, "speaker": speaker})
        ordered.append(cue)
    if overlaps:
        remarks.append(f"{overlaps} of its captions ran into the next and were ended where that starts.")
    sayable = [
        cue for cue in ordered if len(cue.text) <= _MOST_LETTERS + _LETTERS_A_SECOND * (cue.end_s - cue.start_s)
    ]
    if len(sayable) < len(ordered):
        remarks.append(
            f"{UNREAD}{len(ordered) - len(sayable)} of its captions hold far more than anybody says in their time, "
            "and were left out. Check their times."
        )
    return tuple(sayable)
