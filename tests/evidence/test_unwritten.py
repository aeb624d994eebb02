"""Acts that the pages do not hold yet are found, and no other."""

from pipeline.evidence.unwritten import unwritten
from pipeline.history.applied import entry_record
from pipeline.history.events import Act
from pipeline.history.past import past_of
from pipeline.history.versions import as_json, version_of
from pipeline.records import AnswerRecord, BookRecord, Caution, MediaRecord, Records
from tests.history.made_entries import NOON, SOUND, by_id, chained, decision, made_entry

MACHINE = by_id(made_entry("e-1"), made_entry("e-2", photos=(2,), start_s=9))
READ = [Act("saidseen", "read", name, None, as_json(one)) for name, one in MACHINE.items()]


def pages(*acts, cautions=(), vocabulary="v"):
    """The records as they are written when only these acts have happened."""
    stands = past_of(chained(*READ, *acts)).stands()
    media = MediaRecord(
        id=SOUND, path="a.wav", kind="recording", content_type="audio/wav", taken_at=NOON, time_source="gps",
        time_error_s=1.0, shown_at=NOON, moved_s=0.0, device="",
    )  # fmt: skip
    book = BookRecord(title="", aircraft="", zone="UTC", program="", model="", vocabulary=vocabulary)
    entries = tuple(entry_record(one, (), {SOUND}) for one in stands.values())
    return Records(book=book, media=(media,), entries=entries, cautions=cautions)


def missing(records, *acts, vocabulary="v"):
    past = past_of(chained(*READ, *acts))
    return [one.n - len(READ) for one in unwritten(past, records, (), vocabulary)]


ACCEPT = decision("accept", "e-1", MACHINE)
SIGN = Act("Bea Linnet", "sign", "e-2", None, {"entry": "e-2", "version": version_of(MACHINE["e-2"]), "for": "words"})
BACK = Act("Bea Linnet", "withdraw", "e-1", None, {"withdrawn": len(READ) + 1}, "wrong one")


def test_acts_since_the_pages_were_written_are_missing_and_those_on_them_are_not():
    assert missing(pages(), ACCEPT, SIGN) == [1, 2]
    assert missing(pages(ACCEPT), ACCEPT, SIGN) == [2]
    assert missing(pages(ACCEPT, SIGN), ACCEPT, SIGN) == []


def test_taking_back_is_missing_only_while_the_pages_show_what_was_taken_back():
    assert missing(pages(ACCEPT), ACCEPT, BACK) == [2]
    assert missing(pages(ACCEPT, BACK), ACCEPT, BACK) == []


def test_answer_to_advice_is_missing_until_the_caution_shows_it():
    answer = Act("Bea Linnet", "answer", "jacks", None, {"rule": "jacks"}, "The sling was on.")
    caution = Caution(rule="jacks", text="Nothing holds it up.")
    assert missing(pages(cautions=(caution,)), answer) == [1]
    told = Caution(rule="jacks", text="", answer=AnswerRecord(reason="The sling was on.", who="Bea Linnet"))
    assert missing(pages(cautions=(told,)), answer) == []


def test_lesson_is_missing_until_a_run_has_read_with_it():
    lesson = Act(
        "Bea Linnet", "teach", "sheard", None, {"heard": "sheard", "means": "sheared", "part": ""}, "heard wrong"
    )
    assert missing(pages(vocabulary="before"), lesson, vocabulary="after") == [1]
    assert missing(pages(vocabulary="after"), lesson, vocabulary="after") == []
    read = Act("saidseen", "read", "e-1", None, as_json(MACHINE["e-1"]))
    assert missing(pages(vocabulary="before"), lesson, read, vocabulary="by hand") == []
