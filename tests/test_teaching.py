"""What a person teaches: what it would change is told first, is what the next run does, and can be taken back."""

import pytest

from pipeline.book import Book, new_book
from pipeline.errors import WrongCommand
from pipeline.history.acts import Change, amend, withdraw
from pipeline.history.chain import read
from pipeline.history.seen import Seen
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.records import Records
from pipeline.teaching import changes_of, teach
from pipeline.trade.check import check_vocabulary
from pipeline.trade.lessons import lesson_of, with_lesson
from tests.made_once import MadeOnce
from tests.small_media import make_sound
from tests.test_command_line import command
from tests.test_runner import NOW, ToldWhatToHear, go, note_and_photos

BEA = "Bea Linnet"
_PEOPLE = f'\n[[people]]\nname = "{BEA}"\n'
_WORDS = "The port grommit ladle's off, three bolts. The fin's off too."


@pytest.fixture(scope="module")
def _run_once(tmp_path_factory):
    home = tmp_path_factory.mktemp("teaching")
    made = new_book(home / "book", NOW.date(), aircraft="Crew Trainer")
    made.settings_file.write_text(made.settings_file.read_text() + _PEOPLE)
    make_sound(note_and_photos(home / "media") / "20260214_151500.wav")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ToldWhatToHear, "words", _WORDS)
        go(made, home / "media")
    return MadeOnce.of(home)


@pytest.fixture
def book(_run_once, originals, monkeypatch):
    """A book in which a word was heard wrong, that no repair finds."""
    monkeypatch.setattr(ToldWhatToHear, "words", _WORDS)
    return Book(_run_once.again(originals) / "book")


@pytest.fixture
def run(book):
    """The records of that book."""
    return Records.model_validate_json((book.out / "records.json").read_bytes())


def said(records):
    return next(one for one in records.utterances if "grommit" in one.heard)


def lesson(book, *words):
    return lesson_of(book.vocabulary(book.settings()), *words)


def test_what_is_told_to_change_is_what_the_next_run_changes(book, run):
    assert said(run).read == said(run).heard
    taught = lesson(book, "grommit ladle", "rudder")
    told = changes_of(book, run, taught)
    (place,) = told.places
    assert (place.before, place.after) == (said(run).read, "The port rudder's off, three bolts.")
    assert any("rudder" in text for one in told.facts for text in one.new)
    assert not (book.vocabulary_folder / "taught.csv").exists()
    teach(book, taught, BEA, NOW, "as I hear it")
    again = go(book)
    assert again.made["hear"] == 0
    assert {one.id: one.read for one in again.records.utterances if one.read != one.heard} == {
        place.utterance: place.after
    }
    (made,) = [one for one in again.records.utterances if one.id == place.utterance]
    assert (made.heard, made.corrections[0].read) == (said(run).heard, "rudder's")
    assert "taught" in made.corrections[0].why
    assert any(
        fact.item == "rudder" and place.utterance in fact.utterances
        for e in again.records.entries
        for fact in e.facts
    )


def test_a_name_of_the_teams_own_is_taught_for_a_part(book, run):
    taught = lesson(book, "grommit ladle", "grommet ladle", "rudder")
    told = changes_of(book, run, taught)
    assert [one.after for one in told.places] == ["The port grommet ladle's off, three bolts."]
    assert any("rudder" in text for one in told.facts for text in one.new)
    teach(book, taught, BEA, NOW, "we call it so")
    assert "grommet ladle" in book.vocabulary(book.settings()).part("rudder").alternatives
    assert check_vocabulary(book.vocabulary_folders(book.settings())).faults == ()
    with_it, of_files = with_lesson(book.vocabulary(book.settings()), taught), book.vocabulary(book.settings())
    assert [one.alternatives for one in with_it.parts] == [one.alternatives for one in of_files.parts]


def test_what_a_person_has_decided_is_asked_again_and_not_changed(book, run):
    entry = next(one for one in run.entries if said(run).id in one.utterances)
    amend(book, Seen.of(entry), Change(words={said(run).id: "Another thing."}), BEA, NOW, "so it is")
    records = go(book).records
    taught = lesson(book, "grommit ladle", "rudder")
    assert [one.decided for one in changes_of(book, records, taught).places] == [True]
    teach(book, taught, BEA, NOW, "as I hear it")
    again = next(one for one in go(book).records.entries if one.id == entry.id)
    assert again.now_read is not None and again.facts == entry.facts


def test_a_lesson_is_taken_back_with_its_line_and_stays_in_the_history(book, run):
    before = book.vocabulary(book.settings())
    made = teach(book, lesson(book, "grommit ladle", "rudder"), BEA, NOW, "as I hear it")
    teach(book, lesson(book, "wing nut hinge", "aileron"), BEA, NOW, "as I hear it")
    withdraw(book, made.on, made.n, BEA, NOW, "no")
    assert [one.heard for one in book.vocabulary(book.settings()).taught] == ["wing nut hinge"]
    assert [one.act for one in read(book.history_file).events[-3:]] == ["teach", "teach", "withdraw"]
    assert before.taught == ()


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("rudder", "fin"), "is a name of"),
        (("the", "fin"), "said too often"),
        (("two", "fin"), "said too often"),
        (("gizmo", "gizmo"), "nothing to teach"),
        (("gizmo", "rudder", "fin"), "is a name of"),
        (("gizmo", "gadget", "no-such-part"), "no part 'no-such-part'"),
        (("gizmo", "=HYPERLINK(1)"), "plain words"),
        (("<b>gizmo", "rudder"), "plain words"),
        (("giz\u202emo", "rudder"), "plain words"),
        (("giz\x1b[31mmo", "rudder"), "plain words"),
        (("", "rudder"), "plain words"),
        (("a b c d e f g", "rudder"), "more than"),
    ],
)
def test_what_cannot_be_taught_is_refused_with_the_reason(book, words, why):
    with pytest.raises(WrongCommand, match=why):
        lesson(book, *words)


def test_only_people_of_the_book_teach_and_nothing_twice(book, run):
    with pytest.raises(WrongCommand, match="lists nobody"):
        teach(book, lesson(book, "gizmo", "rudder"), "Nobody", NOW, "x")
    with pytest.raises(WrongCommand, match="needs a reason"):
        teach(book, lesson(book, "gizmo", "rudder"), BEA, NOW, " ")
    assert not (book.vocabulary_folder / "taught.csv").exists()
    teach(book, lesson(book, "gizmo", "rudder"), BEA, NOW, "so")
    with pytest.raises(WrongCommand, match="taught already"):
        lesson(book, "Gizmo", "fin")


def test_command_tells_first_and_teaches_only_when_told_to(book, run):
    told = command("vocab", "teach", book.folder, "grommit ladle", "rudder", "--who", BEA, "--yes")
    assert told.exit_code == 2 and told.stdout == "" and "needs a reason" in told.stderr
    told = command("vocab", "teach", book.folder, "grommit ladle", "rudder", "--who", BEA)
    assert told.exit_code == 0, told.stderr
    assert "grommit ladle's off" in told.stdout and "→  “The port rudder's off" in told.stdout
    assert "Nothing is changed yet" in told.stderr
    assert not (book.vocabulary_folder / "taught.csv").exists()
    done = command(
        "vocab", "teach", book.folder, "grommit ladle", "rudder", "--who", BEA, "--yes", "--why", "I hear it"
    )
    assert "Noted in the history as number" in done.stdout
    assert load_vocabulary(book.vocabulary_folders(book.settings())).taught[0].means == "rudder"
    line = command("history", book.folder).stdout.splitlines()[-1]
    assert "Bea Linnet taught that “grommit ladle” is “rudder”: I hear it" in line
