"""What was said, as WebVTT captions: one file for each recording.

Source: W3C WebVTT, 4.1 (file body), 4.2.1 (cue text escapes), 4.2.2 (voice spans) and 4.3 (cue timings).
"""

from pathlib import PurePath

from pipeline.plain_text import visible
from pipeline.records import MediaRecord, Records, UtteranceRecord
from pipeline.values import Kind

_SHORTEST_S = 0.2


def caption_files(records: Records) -> dict[str, str]:
    """Return the caption files by their place in ``out/``: "captions/<name>-<8 of the hash>.vtt"."""
    said: dict[str, list[UtteranceRecord]] = {}
    for utterance in records.utterances:
        said.setdefault(utterance.media, []).append(utterance)
    return {caption_name(media): captions(media, said.get(media.id, [])) for media in captioned(records)}


def captioned(records: Records) -> tuple[MediaRecord, ...]:
    """Return the media that get captions, by time: every recording and film, and caption files that stand alone."""
    spoken = {utterance.media for utterance in records.utterances}
    found = (
        media
        for media in records.media
        if media.kind in (Kind.RECORDING, Kind.FILM) or (media.kind == Kind.CAPTIONS and media.id in spoken)
    )
    return tuple(sorted(found, key=lambda media: (media.taken_at, media.id)))


def caption_name(media: MediaRecord) -> str:
    """Return where a recording's captions lie in ``out/``."""
    stem = "".join(letter if letter.isalnum() or letter in "-_" else "-" for letter in _stem(media.path))
    return f"captions/{stem.strip('-')[:60] or 'recording'}-{media.id.removeprefix('sha256:')[:8]}.vtt"


def captions(media: MediaRecord, utterances: list[UtteranceRecord]) -> str:
    """Return one recording's captions from what was read, with a note of what it was made from."""
    blocks = [
        "WEBVTT",
        f"NOTE {_note(f'{PurePath(media.path).name}, starts {media.taken_at.isoformat()}')}",
        f"NOTE {media.id}",
    ]
    for utterance in sorted(utterances, key=lambda one: (one.start_s, one.id)):
        text = _cue_text(utterance.read)
        if text:
            end_s = max(utterance.end_s, utterance.start_s + _SHORTEST_S)
            voice = f"<v {_cue_text(utterance.speaker)}>" if utterance.speaker else ""
            blocks.append(f"{utterance.id}\n{timestamp(utterance.start_s)} --> {timestamp(end_s)}\n{voice}{text}")
    return "\n\n".join(blocks) + "\n"


def timestamp(seconds: float) -> str:
    """Return "00:01:23.200" for seconds from the start."""
    whole = round(seconds * 1000)
    minutes, milliseconds = divmod(whole, 60_000)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{milliseconds // 1000:02d}.{milliseconds % 1000:03d}"


def _cue_text(text: str) -> str:
    plain = visible(" ".join(text.split()))
    return plain.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _note(text: str) -> str:
    # a note may not hold an arrow: it would end the note
    return visible(" ".join(text.split())).replace("-->", "->")


def _stem(path: str) -> str:
    return PurePath(path.replace("\\", "/")).stem
