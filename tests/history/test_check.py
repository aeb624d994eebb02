"""A history held against its signatures and the records."""

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from pipeline.history.applied import entry_record, utterances_as_decided
from pipeline.history.chain import append
from pipeline.history.check import check_history
from pipeline.history.decisions import as_decided
from pipeline.history.events import Act
from pipeline.history.signing import public_half, signature_of, signed_text
from pipeline.history.versions import as_json, version_of
from pipeline.records import BookRecord, Records, UtteranceRecord
from pipeline.settings import Person
from tests.history.made_entries import NOON, SOUND, by_id, chained, decision, made_entry, photo

READ = made_entry("e-1")
FIRST_READ = Act("saidseen", "read", "e-1", None, as_json(READ))
KEY = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))
AILSA = Person(name="Ailsa Thornby", may_sign=("checked the words",), key=public_half(KEY))


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "history.jsonl"
    after = {"entry": "e-1", "version": version_of(READ), "for": "checked the words"}
    text = signed_text("e-1", version_of(READ), "checked the words", AILSA.name, NOON)
    after |= {"key": AILSA.key, "signature": signature_of(KEY, text)}
    append(
        path, [Act("saidseen", "read", "e-1", None, as_json(READ)), Act(AILSA.name, "sign", "e-1", None, after)], NOON
    )
    return path


def records(*acts):
    stands = as_decided(by_id(READ), chained(FIRST_READ, *acts))
    said = UtteranceRecord(
        id="u-1", media=SOUND, start_s=0, end_s=4, start_at=NOON, end_at=NOON, heard="x", read=READ.words[0].read
    )
    book = BookRecord(title="", aircraft="", zone="Europe/London", program="saidseen", model="", vocabulary="")
    there = {SOUND, photo(1)}
    return Records(
        book=book,
        entries=tuple(entry_record(one, [AILSA], there) for one in stands.values()),
        utterances=tuple(utterances_as_decided([said], stands.values(), lambda text: ())),
    )


def test_a_book_as_it_was_written_has_no_difference(path):
    assert check_history(path, records(), [AILSA]) == []


def test_an_edit_of_the_history_is_a_difference(path):
    path.write_bytes(path.read_bytes().replace(b"rudder", b"ruddle", 1))
    assert check_history(path)[0].where == "line 1"


def test_records_that_were_edited_are_a_difference(path):
    said = records()
    fact = said.entries[0].facts[0].model_copy(update={"item": "fin"})
    entry = said.entries[0].model_copy(update={"facts": (fact,)})
    (found,) = check_history(path, said.model_copy(update={"entries": (entry,)}), [AILSA])
    assert (found.where, found.what, found.expected) == (
        "entry e-1",
        "it says something else than its version",
        version_of(READ),
    )


def test_words_that_were_edited_in_the_records_are_a_difference(path):
    said = records()
    words = said.utterances[0].model_copy(update={"read": "Hello."})
    assert check_history(path, said.model_copy(update={"utterances": (words,)}), [AILSA])


def test_records_and_version_edited_together_differ_from_the_history(path):
    said = records()
    fact = said.entries[0].facts[0].model_copy(update={"item": "fin"})
    entry = said.entries[0].model_copy(update={"facts": (fact,)})
    entry = entry.model_copy(update={"version": version_of(READ.model_copy(update={"entry": entry}))})
    (found,) = check_history(path, said.model_copy(update={"entries": (entry,)}), [AILSA])
    assert found.what == "the history says something else"


def test_what_a_person_decided_since_the_records_were_written_is_no_difference(path):
    append(path, [decision("amend", "e-1", by_id(READ), after={"photos": []})], NOON)
    assert check_history(path, records(), [AILSA]) == []


def test_a_signature_that_does_not_fit_and_a_key_that_is_not_listed_are_differences(path):
    (found,) = check_history(path, records(), [AILSA.model_copy(update={"key": ""})])
    assert "does not list" in found.what and found.expected == "no key" and found.found == AILSA.key
    after = {"entry": "e-1", "version": "0" * 64, "for": "did the work", "key": AILSA.key, "signature": "AAAA"}
    append(path, [Act(AILSA.name, "sign", "e-1", None, after)], NOON)
    (found,) = check_history(path, None, [AILSA])
    assert "is not made by this key" in found.what


def test_the_records_tell_what_a_signature_is_worth_and_whether_it_still_stands():
    sign = Act(
        AILSA.name, "sign", "e-1", None, {"entry": "e-1", "version": version_of(READ), "for": "checked the words"}
    )
    (signed,) = records(sign).entries[0].signed
    assert (signed.stands, signed.changed_by, signed.proof, signed.reason) == (True, "", "typed", "checked the words")
    amend = decision("amend", "e-1", by_id(READ), after={"photos": []})
    (signed,) = records(sign, amend).entries[0].signed
    assert (signed.stands, signed.changed_by) == (False, "amendment")
