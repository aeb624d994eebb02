"""The note that docs/first-book.md gives as an example is read as its writer would mean it."""

from pathlib import Path

from pipeline.intake.captions import parse_captions
from pipeline.reading.note_reader import NoteReader

GUIDE = Path(__file__).parents[2] / "docs" / "first-book.md"


def test_written_note_of_the_guide_is_read_as_it_is_meant(note_reader: NoteReader) -> None:
    block = GUIDE.read_text(encoding="utf-8").partition("    WEBVTT\n")[2].partition("\n## ")[0]
    note = "WEBVTT\n" + "".join(f"{line[4:]}\n" for line in block.splitlines())
    said = " ".join(cue.text for cue in parse_captions(note).cues)
    told = [(f.status, f.act or f.finding, f.item, f.side, f.count, f.of) for f in note_reader.read(said)]
    assert said
    assert [one[:4] for one in told] == [
        ("done", "remove", "cowling", "port"),
        ("done", "bag", "screw", "port"),
        ("seen", "wear", "pin", "port"),
    ]
    assert {one[4:] for one in told[:2]} == {(4, "screw")}
