"""Copies that a messenger made of recordings, told by their words and pauses."""

from datetime import UTC, datetime
from pathlib import Path

from pipeline.book import Book
from pipeline.hearing.heard_twice import _Talk, told_of_copies
from pipeline.records import EntryRecord, FactRecord, MediaRecord, Records, UtteranceRecord
from pipeline.values import Kind, TimeSource

AT = datetime(2026, 2, 14, 10, tzinfo=UTC)
COWLING = (
    (0.0, 2.7, "We took the port cowling off."),
    (3.1, 5.5, "Six screws, they are in bag 12."),
    (6.0, 7.3, "The cowling is on rack 2."),
)
AS_A_MESSENGER_SENT_IT = (
    (0.0, 2.6, "We took the port cowling off."),
    (3.1, 5.5, "Six screws eight in bag 12."),
    (5.9, 7.3, "The cowling is on rack 2."),
)


def _book(*recordings, rejected=(), kinds=()):
    media, utterances, entries = [], [], []
    for number, (name, said) in enumerate(recordings):
        one = f"sha256:{number:064x}"
        media.append(
            MediaRecord(
                id=one, path=f"../Hangar photos/{name}", kind=dict(kinds).get(name, Kind.RECORDING),
                content_type="x/y", taken_at=AT, time_source=TimeSource.CONTAINER, time_error_s=number + 1,
                shown_at=AT, moved_s=0, device="",
            )
        )  # fmt: skip
        ids = tuple(f"u-{number}-{at}" for at in range(len(said)))
        utterances += [
            UtteranceRecord(id=u, media=one, start_s=start, end_s=end, start_at=AT, end_at=AT, heard=text, read=text)
            for u, (start, end, text) in zip(ids, said, strict=True)
        ]
        fact = FactRecord(act="remove", item="cowling", status="done", said="off", utterances=ids[:1])
        review = "rejected" if name in rejected else "unread"
        entries.append(
            EntryRecord(
                id=f"e-{number}", at=AT, media=one, start_s=0, end_s=9, utterances=ids, facts=(fact,), review=review
            )
        )
    return Records.model_construct(media=tuple(media), utterances=tuple(utterances), entries=tuple(entries))


def _told(*recordings, **more):
    return told_of_copies(Book(Path("winter")), _book(*recordings, **more))


def test_a_messengers_copy_is_told_with_the_better_dated_one_as_what_it_is_a_copy_of():
    (line,) = _told(("Memo 4.m4a", COWLING), ("PTT-20260214-WA0005.opus", AS_A_MESSENGER_SENT_IT))
    assert line == (
        "PTT-20260214-WA0005.opus seems to be a copy of Memo 4.m4a (the same words at the same seconds): all that is "
        "said there counts more than once. Listen, and reject a copy as a whole: saidseen decide winter "
        'PTT-20260214-WA0005.opus --reject --who NAME --why "a copy"; or on the page of saidseen review, under Reject'
    )


def test_a_copy_of_the_same_name_is_told_with_its_folder():
    (line,) = _told(("phone/Memo 4.m4a", COWLING), ("old phone/Memo 4.m4a", AS_A_MESSENGER_SENT_IT))
    assert 'saidseen decide winter "../Hangar photos/old phone/Memo 4.m4a" --reject' in line


def test_a_copy_whose_entries_were_rejected_is_told_no_more():
    talks = ("Memo 4.m4a", COWLING), ("PTT.opus", AS_A_MESSENGER_SENT_IT)
    assert _told(*talks, rejected=["PTT.opus"]) == ()


def test_the_same_words_with_other_pauses_were_said_twice():
    slower = tuple((start * 1.3, end * 1.3, text) for start, end, text in COWLING)
    assert _told(("Memo 4.m4a", COWLING), ("Memo 5.m4a", slower)) == ()


def test_other_words_with_the_same_pauses_are_no_copy():
    others = ("The battery is on the bench.", "Both leads are capped with tape.", "Nothing else was done today.")
    said = tuple((start, end, text) for (start, end, _), text in zip(COWLING, others, strict=True))
    assert _told(("Memo 4.m4a", COWLING), ("Memo 5.m4a", said)) == ()


def test_a_few_words_are_not_enough_and_a_written_note_is_no_recording():
    assert _told(("a.m4a", COWLING[:1]), ("b.m4a", COWLING[:1])) == ()
    assert _told(("a.m4a", COWLING), ("a.vtt", COWLING), kinds={"a.vtt": Kind.CAPTIONS}) == ()


def test_a_copy_among_many_is_found_by_a_sketch_of_at_most_eight_numbers():
    def of_number(number):
        slower = number / 10  # nobody says the same twice with the same pauses
        return tuple((at * slower, end * slower, f"{text} That was {number}.") for at, end, text in COWLING)

    many = [(f"{number}.m4a", of_number(number)) for number in range(100, 160)]
    (line,) = _told(*many, ("PTT.opus", of_number(131)))
    assert line.startswith("PTT.opus seems to be a copy of 131.m4a (")
    long = tuple(
        (5.0 * at, 5.0 * at + 4, f"Screw {at} of {at + 1} is out, and in bag {at + 2}.") for at in range(200)
    )
    assert len(_Talk.of(_book(("a.m4a", long)).utterances).sketch()) == 8


def test_several_copies_of_one_are_one_line_and_what_many_have_is_counted():
    def other(number):
        return tuple((at, end, f"{text} Number {number} {number + 1} {number + 2}.") for at, end, text in COWLING)

    (line,) = _told(("a.m4a", COWLING), ("b.m4a", COWLING), ("c.mp4", COWLING))
    assert line.startswith("b.m4a and c.mp4 seem to be copies of a.m4a (")
    shifted = [
        (
            f"{letter}{number}.m4a",
            tuple((at + number, end + number * 2, text) for at, end, text in other(10 * number)),
        )
        for number in range(5)
        for letter in "ab"
    ]
    *_, last = told = _told(*shifted)
    assert len(told) == 4
    assert last == "Of 2 other recordings there seem to be copies too."
