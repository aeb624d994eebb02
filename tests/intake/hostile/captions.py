"""Caption files with times that overlap, run backwards or never end, and text that is no text."""

import random
from collections.abc import Iterator

from tests.intake.hostile.case import Case

_ARABIC = "\u0660\u0660:\u0660{}.\u0660\u0660\u0660"
_TIMES = {
    "overlapping": [("00:00.000", "00:09.000"), ("00:01.000", "00:10.000"), ("00:01.000", "00:02.000")],
    "all-the-same": [("00:01.000", "00:02.000")] * 300,
    "inside-out": [(f"00:{n:02d}.000", f"00:{59 - n:02d}.999") for n in range(29)],
    "negative": [("-00:01.000", "00:02.000"), ("00:05.000", "00:03.000"), ("00:04.000", "-00:06.000")],
    "endless": [("00:00.000", "9999:59:59.999"), ("00:01.000", "23:59:59.999")],
    "a-day": [("00:00.000", "24:00:00.000")],
    "more-than-a-day": [("25:00:00.000", "26:00:00.000")],
    "no-length": [("00:01.000", "00:01.000")],
    "no-such-time": [("00:99.000", "01:99:99.000"), ("1:2.3", "1:2.4"), ("00:00", "00:01")],
    "backwards": [(f"00:{59 - n:02d}.000", f"00:{59 - n:02d}.500") for n in range(59)],
    "digits": [("0" * 5000 + "1:00.000", "9" * 5000 + ":00.000")],
    "other-digits": [(_ARABIC.format(1), _ARABIC.format(2)), ("00:0\u00b2:01.000", "00:00:02.000")],
    "arrows": [("00:01.000 --> 00:02.000", "00:03.000 --> 00:04.000")],
}
_TEXTS = {
    "open-tags": "<c" * 20_000,
    "nested-tags": "<b>" * 10_000 + "x",
    "angles": "<" * 100_000,
    "braces": "{\\" * 50_000,
    "entities": "&amp;" * 30_000 + "&#x110000;&#0;&#xd800;&nosuch;",
    "blanks": " \t" * 100_000,
    "one-line": "x" * 2_000_000,
    "arrows": "--> " * 50_000,
    "dashes": "-" * 200_000,
    "colons": "00:" * 60_000,
    "right-to-left": "\u202e\u2066abc" * 500,
    "controls": "".join(map(chr, range(1, 32))) * 50,
    "marks": "e" + "\u0301" * 50_000,
    "emoji": "\U0001f6e9\ufe0f\u200d" * 3_000,
    "surrogates": "\ud800\udfff".encode("utf-8", "surrogatepass").decode("latin-1"),
    "formula": '=HYPERLINK("x")\n@SUM(1)',
    "markup": "<script>alert(1)</script><img src=x onerror=y>",
    "json": '"},{"id":"x',
    "private": "\ue000\uffff\ufffe",
    "numbers": "nine hundred million trillion over zero point " * 400,
    "digits": "9" * 4_000,
    "fractions": "1/0 0/0 " * 500,
}


def captions() -> Iterator[Case]:
    """Yield them as WebVTT, SubRip, and in odd encodings."""
    for name, times in _TIMES.items():
        body = "".join(f"{start} --> {end}\nthe port rudder, {n}\n\n" for n, (start, end) in enumerate(times))
        yield Case("captions", f"times-{name}.vtt", f"WEBVTT\n\n{body}".encode())
        yield Case("captions", f"times-{name}.srt", body.replace(".", ",").encode())
        yield Case("captions", f"good-and-{name}.vtt", f"WEBVTT\n\n00:00.500 --> 00:00.900\ngood\n\n{body}".encode())
    for name, text in _TEXTS.items():
        cue = f"WEBVTT\n\n00:01.000 --> 00:02.000\n{text}\n\n00:03.000 --> 00:04.000\nafter\n"
        yield Case("captions", f"text-{name}.vtt", cue.encode("utf-8", "surrogatepass"))
    good = "WEBVTT\n\nNOTE taken {}\n\n00:01.000 --> 00:02.000\nthe hinge, \u00e9\n"
    for at in (
        "0000-00-00T00:00:00",
        "9999-12-31T23:59:59+23:59",
        "2026-02-30 10:00",
        "2026-02-14T99:99:99Z",
        "1969-12-31T23:59:59Z",
        "2026-02-14T10:15:00-99:99",
        "0001-01-01T00:00:00+14:00",
    ):
        yield Case("captions", f"taken-{at.replace(':', '')}.vtt", good.format(at).encode())
    for encoding in ("utf-16", "utf-16-le", "utf-32", "utf-8-sig", "cp1252", "utf-7", "cp037"):
        yield Case("captions", f"in-{encoding}.vtt", good.format(encoding).encode(encoding, "replace"))
    yield Case("captions", "half-a-letter.vtt", b"\xff\xfe" + good.format(2).encode("utf-16-le") + b"x")
    yield Case("captions", "nuls.vtt", good.format(3).encode().replace(b"the", b"\x00\x00\x00"))
    yield Case("captions", "no-end-of-line.vtt", b"WEBVTT\r\r00:01.000 --> 00:02.000\rold line ends\r")
    yield Case("captions", "cues-2000.vtt", _many(2_000))
    yield Case("captions", "blocks-without-end.vtt", b"WEBVTT\n\n" + b"00:01.000 --> 00:02.000\n" * 60_000)
    yield Case("captions", "one-block-of-notes.vtt", b"WEBVTT\n\n" + b"NOTE x\n" * 100_000)
    yield Case("captions", "eleven-million.vtt", b"WEBVTT\n\n00:01.000 --> 00:02.000\n" + b"word\n" * 2_200_000)
    dice = random.Random("captions")
    letters = [
        "00:01.000",
        " --> ",
        "00:02.000",
        "\n",
        "\n\n",
        "NOTE taken ",
        "2026-02-14",
        "<v A>",
        "1",
        "word",
        ",",
        "\ufeff",
    ]
    for number in range(60):
        text = "WEBVTT\n\n" + "".join(dice.choice(letters) for _ in range(400))
        yield Case("captions", f"shuffled-{number}.vtt", text.encode())


def _many(cues: int) -> bytes:
    lines = []
    for n in range(cues):
        minute, second = divmod(n, 60)
        hour, minute = divmod(minute, 60)
        lines.append(f"{hour:02d}:{minute:02d}:{second:02d}.000 --> {hour:02d}:{minute:02d}:{second:02d}.900\n-\n\n")
    return ("WEBVTT\n\n" + "".join(lines)).encode()
