"""The small good files from which the broken ones are made."""

import tempfile
from functools import cache
from pathlib import Path

from tests.small_media import FILMS, SOUNDS, bext_block, exif_of, film_file, photo, sound_file, wave_bytes

_WORDS = ("the port rudder is off", "three bolts", "here you can see the hinge", "it is on rack 3, tagged P-0142")


@cache
def whole_files() -> dict[str, bytes]:
    """Return the content of one good file of every kind that is read, by name."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        exif = {"exif": exif_of("2026:02:14 10:15:00", "+00:00", "25", "2026:02:14", (10, 15, 0), (51.5, -0.1))}
        for name in ("p.jpg", "p.png", "p.webp", "p.heic"):
            photo(folder / name, **exif)
        photo(folder / "p.tif", **exif)
        photo(folder / "progressive.jpg", progressive=True, **exif)
        for name in SOUNDS:
            sound_file(folder, name, seconds=0.6)
        for name in FILMS:
            film_file(folder, name, seconds=0.6)
        (folder / "bext.wav").write_bytes(wave_bytes(bext_block(), seconds=0.6))
        (folder / "long.wav").write_bytes(wave_bytes(bext_block(), seconds=0.6, form=b"RF64"))
        cues = [
            (f"00:00:{n:02d}.000", f"00:00:{n:02d}.900", _WORDS[n % len(_WORDS)] + f", number {n}") for n in range(20)
        ]
        vtt = "".join(f"{start} --> {end}\n{text}\n\n" for start, end, text in cues)
        (folder / "c.vtt").write_text("WEBVTT\n\nNOTE taken 2026-02-14T10:15:00+00:00\n\n" + vtt)
        srt = "".join(f"{n}\n{cue[0]} --> {cue[1]}\n{cue[2]}\n\n".replace(".", ",") for n, cue in enumerate(cues, 1))
        (folder / "c.srt").write_text(srt)
        return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}
