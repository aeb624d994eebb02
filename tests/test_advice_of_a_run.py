"""Supports and advice through a whole run: notes in, records and pages out, an answer given in the settings."""

from datetime import UTC, datetime

from pipeline.book import new_book
from pipeline.runner import Choices, run

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)


def note(folder, hour, text):
    folder.mkdir(exist_ok=True)
    (folder / f"note-{hour}.vtt").write_text(
        f"WEBVTT\n\nNOTE taken 2026-02-14T{hour}:00:00+00:00\n\n00:00.000 --> 00:06.000\n{text}\n", encoding="utf-8"
    )


def advice(records, rule):
    return [one for one in records.cautions if one.rule == rule]


def test_advice_comes_with_its_entry_takes_an_answer_and_goes_when_an_earlier_note_is_found(tmp_path):
    book = new_book(tmp_path / "book", NOW.date(), aircraft="Crew Trainer", type_pack="crew-trainer")
    media = tmp_path / "media"
    note(media, "11", "We undid the transport joint bolts.")
    first = run(book, [media], NOW, Choices()).records
    (one,) = advice(first, "support-before-undo")
    assert one.entries == tuple(entry.id for entry in first.entries)
    assert one.answer is None

    settings = book.settings_file.read_text(encoding="utf-8")
    answer = "[[answers]]\nrule = 'support-before-undo'\nreason = 'It stood in its cradle.'\nwho = 'Alex Example'\n"
    book.settings_file.write_text(f"{settings}\n{answer}", encoding="utf-8")
    again = run(book, [media], NOW, Choices()).records
    (one,) = advice(again, "support-before-undo")
    assert one.answer is not None and one.answer.who == "Alex Example"
    assert again.book.vocabulary == first.book.vocabulary
    for name in ("index.html", "2026-02-14.html"):
        page = (book.out / "logbook" / name).read_text(encoding="utf-8")
        assert "Answered by Alex Example:" in page and "It stood in its cradle." in page

    note(media, "09", "There's a trestle under the rear fuselage at frame 21, and one under the centre fuselage.")
    found = run(book, [media], NOW, Choices()).records
    assert [line.item for line in found.lists.holding_up][:1] == ["rear-fuselage"]
    assert found.lists.holding_up[0].by == ("trestle",)
    assert b"rear fuselage" in (book.out / "registers" / "holding-up.csv").read_bytes()
    missing = advice(found, "support-before-undo")
    assert all("under the rear fuselage" not in one.text for one in missing)
