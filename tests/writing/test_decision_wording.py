"""What people decided and signed, in words."""

from zoneinfo import ZoneInfo

import pytest

from pipeline.records import DecisionRecord, NowRead, SignatureRecord
from pipeline.writing.decision_wording import NO_RELEASE, acts_on, decision_text, read_otherwise, signature_told
from tests.history.made_entries import NOON, made_entry, photo
from tests.writing.a_weekend import vocabulary

ZONE = ZoneInfo("Europe/Paris")


def signature(**more):
    return SignatureRecord.model_validate(
        {"number": 7, "at": NOON, "who": "Bea", "for": "checked the words", "version": "0" * 64, "stands": True,
         "proof": "typed", **more}
    )  # fmt: skip


def test_a_decision_tells_who_when_in_the_books_zone_what_and_why():
    made = DecisionRecord(number=3, at=NOON, who="Bea", act="amend", what=("facts", "photos"), why="I saw it")
    assert decision_text(made, ZONE) == (
        "Amended (what was done and seen and the photos) by Bea, 14 February 2026 at 13:00 (number 3): I saw it."
    )


@pytest.mark.parametrize("act", ["accept", "reject"])
def test_a_decision_without_a_reason_ends_in_a_full_stop(act):
    assert decision_text(DecisionRecord(number=3, at=NOON, who="Bea", act=act), ZONE).endswith("(number 3).")


@pytest.mark.parametrize(
    ("proof", "told"),
    [
        ("typed", "a typed name"),
        ("key", "with the key that the book lists"),
        ("not-valid", "do not rely on it"),
        ("key-not-listed", "do not rely on it"),
    ],
)
def test_a_signature_tells_what_it_is_worth(proof, told):
    assert told in signature_told(signature(proof=proof), ZONE).text


def test_a_signature_that_no_longer_stands_says_before_what_it_was_made():
    amended = signature_told(signature(stands=False, changed_by="amendment"), ZONE)
    assert amended.doubt.startswith("Signed before the amendment")
    assert "read this anew" in signature_told(signature(stands=False, changed_by="reading"), ZONE).doubt
    assert signature_told(signature(), ZONE).doubt == ""


def test_no_signature_reads_as_a_release():
    told = " ".join([NO_RELEASE, *(signature_told(signature(proof=one), ZONE).text for one in ("typed", "key"))])
    assert "certifies and releases nothing" in told
    assert not any(word in told.lower() for word in ("airworthy", "certified", "approved", "released", "fit for"))


def test_acts_stand_in_the_order_of_the_history():
    entry = made_entry().entry.model_copy(
        update={
            "decided": (DecisionRecord(number=9, at=NOON, who="Bea", act="accept"),),
            "signed": (signature(number=4),),
        }
    )
    assert [one.text.split(" ")[0] for one in acts_on(entry, ZONE)] == ["Name", "Accepted"]


def test_what_is_read_otherwise_by_now_is_told_as_differences():
    one, other = made_entry(item="bolt", photos=(1,)), made_entry(item="nut", photos=(2, 3), words="The port rug.")
    now = NowRead(
        facts=other.entry.facts,
        words=(("u-1", "The port rug."),),
        photos=tuple(link.media for link in other.entry.photos),
    )
    entry = one.entry.model_copy(update={"now_read": now})

    class Said:
        read = one.words[0].read

    told = read_otherwise(entry, {"u-1": Said}, vocabulary())
    assert told == (
        "The program now reads this otherwise: “Removed the port nuts” is new; “Removed the port bolts” is left out; "
        "the words “The port rug.” for “The port rudder's off.”; 2 photos more; 1 photo fewer."
    )
    gone = entry.model_copy(update={"now_read": NowRead(gone=True)})
    assert "no longer makes an entry" in read_otherwise(gone, {}, vocabulary())
    assert read_otherwise(one.entry, {}, vocabulary()) == ""
    assert photo(1) not in told
