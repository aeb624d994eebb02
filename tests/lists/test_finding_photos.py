"""Which photos a finding has."""

from datetime import UTC, datetime

from pipeline.lists.finding_photos import FindingPhotos, words_told_in
from pipeline.records import EntryRecord, FactRecord, FindingLine, MediaRecord, PhotoLink

TEN = datetime(2026, 2, 14, 10, tzinfo=UTC)
SOUND = "sha256:" + "a" * 64


def photo(number):
    return "sha256:" + f"{number:064x}"


def fact(item, *utterances):
    return FactRecord(status="seen", finding="crack", item=item, said="…", utterances=utterances)


def link(number, utterance, label=None):
    return PhotoLink(media=photo(number), p=0.9, why=(), utterance=utterance, label=label)


ENTRY = EntryRecord(
    id="e-1",
    at=TEN,
    media=SOUND,
    start_s=0,
    end_s=60,
    utterances=("u-1", "u-2", "u-3", "u-4"),
    facts=(fact("keel-member", "u-2"), fact("bolt", "u-4")),
    photos=(link(1, "u-1"), link(2, "u-2"), link(3, "u-3"), link(4, "u-4"), link(5, "u-4", "M-0202"), link(6, None)),
)


def of(line_of, entry=ENTRY, labelled=()):
    media = [
        MediaRecord(
            id=photo(one), path="x.jpg", kind="photo", content_type="image/jpeg", taken_at=TEN, time_source="gps",
            time_error_s=1.0, shown_at=TEN, moved_s=0.0, device="", labels=("M-0202",) if one in labelled else (),
        )
        for one in range(1, 8)
    ]  # fmt: skip
    line = FindingLine(on=TEN.date(), item="x", finding="crack", entry="e-1", photos=line_of)
    return [int(one.removeprefix("sha256:"), 16) for one in FindingPhotos([entry], media).of(line)]


def test_finding_has_the_photos_of_its_words_and_of_those_after_them_that_tell_nothing():
    assert of(words_told_in("e-1", ("u-2",))) == [1, 2, 3, 6]
    assert of(words_told_in("e-1", ("u-4",))) == [4, 5, 6]


def test_photo_of_a_mere_label_shows_no_finding_and_one_that_was_read_out_with_it_does():
    entry = ENTRY.model_copy(update={"photos": (link(4, "u-4"), link(5, "u-4", "M-0202"), link(7, "u-4"))})
    assert of(words_told_in("e-1", ("u-4",)), entry, labelled=(5, 7)) == [4, 5]


def test_photo_of_which_it_is_not_clear_with_which_words_it_goes_shows_a_finding_only_where_one_thing_is_told():
    entry = ENTRY.model_copy(update={"photos": (link(1, "u-2"), link(2, ""))})
    assert of(words_told_in("e-1", ("u-2",)), entry) == [1]
    alone = entry.model_copy(update={"facts": ENTRY.facts[:1]})
    assert of(words_told_in("e-1", ("u-2",)), alone) == [1, 2]


def test_fact_without_words_has_all_photos_of_its_entry():
    assert of(words_told_in("e-1", ())) == [1, 2, 3, 4, 5, 6]
