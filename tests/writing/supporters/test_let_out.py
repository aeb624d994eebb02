"""What people let out on the page for checking reaches the supporters' report, and no more than that."""

from collections.abc import Iterable
from datetime import UTC, datetime

import pytest

from pipeline.history.events import BEFORE_THE_FIRST, Event
from pipeline.history.releases import FindingOut, NameOut, QuotationOut, Thing, is_release, with_releases
from pipeline.records import Records
from pipeline.settings import Person, Released, Settings
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.public_files import let_out
from pipeline.writing.supporters.report import report_markdown
from pipeline.writing.supporters.story import Story
from pipeline.writing.supporters.withheld import FINDING, Watch
from tests.writing.a_weekend import SATURDAY, SUNDAY, fact, records, settings, vocabulary

NOW = datetime(2026, 3, 1, tzinfo=UTC)
TEAM = (Person(name="Bea Linnet", may_release=True), Person(name="Ted Marrack", role="rigger"))
BOOK = records()
BARE: Settings = settings().model_copy(update={"people": TEAM, "released": (), "quoted": ()})


def acts(*said: tuple[str, Thing], back: Iterable[int] = ()) -> list[Event]:
    made = [
        Event(
            n=n, at=NOW, who="Bea Linnet", act=act, on=thing.name, after=thing.model_dump(), previous=BEFORE_THE_FIRST
        )
        for n, (act, thing) in enumerate(said, start=1)
    ]
    gone = [
        Event(
            n=100 + n,
            at=NOW,
            who="Bea Linnet",
            act="withdraw",
            on="",
            after={"withdrawn": n},
            previous=BEFORE_THE_FIRST,
        )
        for n in back
    ]
    return [*made, *gone]


def story(*events: Event, book: Settings = BARE) -> Story:
    return plan(Asked(BOOK, with_releases(book, events), vocabulary(), SATURDAY.date(), SUNDAY.date()))


def quotes(told: Story) -> list[tuple[str, str]]:
    return [(one.text, one.by) for part in told.sections for one in part.quotes]


def sayable() -> tuple[str, str]:
    """An utterance of the weekend that nothing but the rule about speakers holds back."""
    watch = Watch(BARE, vocabulary(), BOOK)
    for one in BOOK.utterances:
        reasons = watch.reasons(f"“{one.read}”")
        if len(one.read.split()) >= 5 and reasons and all("speaker" in why for why in reasons):
            return one.id, one.read
    raise AssertionError("the weekend holds no such saying")


def test_by_default_no_finding_no_name_and_no_quotation_goes_out() -> None:
    told = story()
    text = report_markdown(told)
    assert not quotes(told)
    assert "Linnet" not in text and "Marrack" not in text and "among them" not in text
    assert any(one.why == FINDING for one in told.withheld)


def test_a_quotation_that_was_let_out_is_quoted_letter_for_letter() -> None:
    utterance, words = sayable()
    out = ("release", QuotationOut(utterance=utterance, words=words))
    assert quotes(story(*acts(out))) == [(words, "one of the team, at the aircraft")]
    assert not quotes(story(*acts(out, ("keep-in", out[1]))))
    assert not quotes(story(*acts(out, back=[1])))


def _saying(text: str, **keys: object) -> tuple[Records, tuple[str, Thing]]:
    """The weekend with one more thing said in its first entry, with a fact of it, and the act that lets it out."""
    entry, first = BOOK.entries[0], BOOK.utterances[0]
    own = first.model_copy(
        update={
            "id": "u-more",
            "read": text,
            "heard": text,
            "start_at": first.end_at,
            "corrections": (),
            "unsure": (),
        }
    )
    facts = tuple(fact(**keys).model_copy(update={"utterances": (own.id,)}) for _ in keys and [1])  # type: ignore[arg-type]
    more = entry.model_copy(update={"utterances": (*entry.utterances, own.id), "facts": (*entry.facts, *facts)})
    book = BOOK.model_copy(update={"utterances": (*BOOK.utterances, own), "entries": (more, *BOOK.entries[1:])})
    return book, ("release", QuotationOut(utterance=own.id, words=text))


def test_every_quotation_that_was_let_out_is_quoted_in_the_order_of_the_work() -> None:
    utterance, words = sayable()
    book, more = _saying("I have never seen a wing so clean in all my days.")
    events = acts(("release", QuotationOut(utterance=utterance, words=words)), more)
    told = plan(Asked(book, with_releases(BARE, events), vocabulary(), SATURDAY.date(), SUNDAY.date()))
    assert {text for text, _ in quotes(told)} == {words, more[1].words}  # type: ignore[union-attr]
    assert all(f"“{text}”" in report_markdown(told) for text, _ in quotes(told))


def test_words_that_are_in_no_entry_can_be_let_out_too_and_those_of_a_rejected_one_cannot() -> None:
    book, out = _saying("I have never seen a wing so clean in all my days.")
    loose = book.model_copy(update={"entries": BOOK.entries})
    assert quotes(plan(Asked(loose, with_releases(BARE, acts(out)), vocabulary(), SATURDAY.date(), SUNDAY.date())))
    gone = book.entries[0].model_copy(update={"review": "rejected"})
    rejected = book.model_copy(update={"entries": (gone, *book.entries[1:])})
    assert not quotes(
        plan(Asked(rejected, with_releases(BARE, acts(out)), vocabulary(), SATURDAY.date(), SUNDAY.date()))
    )


@pytest.mark.parametrize(
    "text",
    ["It went where the others went, with the rest.", "It's on the engine stand under the mezzanine.",
     "The propeller's gone on the trestles by the far wall.", "It's hung up in the paint shop, well away."],
)  # fmt: skip
def test_words_of_a_place_of_storage_are_not_quoted_though_they_were_let_out(text: str) -> None:
    book, out = _saying(text, status="done", act="store", item="flap")
    told = plan(Asked(book, with_releases(BARE, acts(out)), vocabulary(), SATURDAY.date(), SUNDAY.date()))
    assert not quotes(told)
    assert any(one.what == text and one.why == "a storage place" for one in told.withheld)


def test_a_finding_that_was_let_out_is_told_with_its_photos_and_what_was_done_since() -> None:
    photo = BOOK.entries[2].photos[0].media
    assert not any("crack" in one.text for one in story().sentences)
    assert photo not in {one.media for one in story().pictures}
    out = ("release", FindingOut(item="aileron-hinge", finding="crack", side="port"))
    told = story(*acts(out))
    (section,) = (one for one in told.sections if one.heading == "What we found")
    assert [one.text for part in section.paragraphs for one in part.sentences] == [
        "We found a crack in the port aileron hinge."
    ]
    shown = {one.media: one.caption for part in section.paragraphs for one in part.pictures}
    assert shown[photo] == "A crack in the port aileron hinge."
    public = let_out(
        {"report.md": report_markdown(told).encode()}, Watch(with_releases(BARE, acts(out)), vocabulary(), BOOK)
    )
    assert b"We found a crack in the port aileron hinge." in public.files["report.md"]
    made = _made_since("make")
    since = plan(Asked(made, with_releases(BARE, acts(out)), vocabulary(), SATURDAY.date(), SUNDAY.date()))
    assert any(
        one.text == "We found a crack in the port aileron hinge, and have made a new one." for one in since.sentences
    )


def _made_since(act: str) -> Records:
    last = BOOK.entries[-1]
    done = fact("done", act=act, item="aileron-hinge")
    return BOOK.model_copy(
        update={"entries": (*BOOK.entries[:-1], last.model_copy(update={"facts": (*last.facts, done)}))}
    )


def test_a_quotation_whose_words_were_put_right_since_stays_in() -> None:
    utterance, words = sayable()
    assert not quotes(story(*acts(("release", QuotationOut(utterance=utterance, words=f"{words} And more.")))))


def test_a_speaker_is_named_only_where_the_name_is_out_too() -> None:
    utterance, words = sayable()
    said = ("release", QuotationOut(utterance=utterance, words=words, by="Ted Marrack"))
    assert not quotes(story(*acts(said)))
    assert quotes(story(*acts(said, ("release", NameOut(person="Ted Marrack"))))) == [(words, "Ted Marrack")]


def test_a_quotation_that_gives_something_else_away_stays_in_and_the_editor_is_told() -> None:
    watch = Watch(BARE, vocabulary(), BOOK)
    one = next(one for one in BOOK.utterances if FINDING in watch.reasons(one.read))
    told = story(*acts(("release", QuotationOut(utterance=one.id, words=one.read))))
    assert not quotes(told)
    assert any(kept.what == one.read and kept.where == "a quotation that was let out" for kept in told.withheld)


def test_a_name_is_told_once_it_is_out_and_no_longer_once_it_is_kept_in() -> None:
    out = ("release", NameOut(person="Ted Marrack"))
    assert "Ted Marrack (rigger)" in str(story(*acts(out)).thanks)
    assert "Ted" not in str(story(*acts(out, ("keep-in", out[1]))).thanks)
    agreed = BARE.model_copy(update={"people": (TEAM[0], TEAM[1].model_copy(update={"consent": True}))})
    assert "Ted" in str(story(book=agreed).thanks)
    assert "Ted" not in str(story(*acts(("keep-in", out[1])), book=agreed).thanks)


def test_what_is_kept_in_also_takes_back_what_the_settings_let_out_more_widely() -> None:
    thing = FindingOut(item="outer-wing", finding="corrosion", side="port")
    wide = (Released(item="outer-wing", who="Bea Linnet"), Released(item="rudder", who="Bea Linnet"))
    book = BARE.model_copy(update={"released": wide})
    assert [one.item for one in with_releases(book, acts(("keep-in", thing))).released] == ["rudder"]
    (made, last) = with_releases(book, acts(("release", thing))).released
    assert (made.item, last.item, last.finding, last.side, last.on) == (
        "rudder", "outer-wing", "corrosion", "port", NOW.date(),
    )  # fmt: skip


@pytest.mark.parametrize(
    "after",
    [None, {}, {"kind": "finding", "item": "x"}, {"kind": "name", "person": "Other"}, {"kind": "nonsense", "x": 1}],
)
def test_an_event_that_does_not_hold_what_it_names_lets_nothing_out(after: object) -> None:
    event = Event(n=1, at=NOW, who="x", act="release", on="name: Ted Marrack", after=after, previous=BEFORE_THE_FIRST)
    assert not is_release(event)
