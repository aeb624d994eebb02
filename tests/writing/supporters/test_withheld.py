"""Planted secrets (``secrets.jsonl``) and harmless texts (``harmless.txt``), one sentence at a time."""

from collections.abc import Iterable
from datetime import date

import pytest

from pipeline.reading.parse import tag_words, tag_words_and_people
from pipeline.settings import Person, Released, Settings, TimeSettings
from pipeline.writing.supporters.privacy import keep_fact
from pipeline.writing.supporters.withheld import FINDING, Watch
from pipeline.writing.terms import term
from tests.writing.a_weekend import fact, records
from tests.writing.supporters.secret_book import HARMLESS, SECRETS, VOCABULARY, secret_settings, secret_watch

KINDS = sorted({one["kind"] for one in SECRETS})
_WATCH = secret_watch()


def _reasons(texts: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Ask of all texts together, which is far quicker; that the answers are the same is tested below."""
    asked = list(texts)
    _WATCH.look_ahead(asked)
    return {text: _WATCH.reasons(text) for text in asked}


def test_more_than_two_hundred_secrets_of_every_kind_are_planted() -> None:
    assert len(SECRETS) >= 250 and len(KINDS) >= 20
    assert all(one["secret"].lower() in one["sentence"].lower() for one in SECRETS)


@pytest.mark.parametrize("kind", KINDS)
def test_no_secret_passes(kind: str) -> None:
    found = _reasons(one["sentence"] for one in SECRETS if one["kind"] == kind)
    assert [text for text, reasons in found.items() if not reasons] == []


def test_no_secret_passes_inside_a_longer_sentence_of_plain_news() -> None:
    before, after = "On Saturday, with the wing on its trestles, ", " while the kettle was on"
    told = [f"{before}{one['sentence'].rstrip('.')}{after}." for one in SECRETS if one["kind"] != "a quotation"]
    assert [text for text, reasons in _reasons(told).items() if not reasons] == []


def test_harmless_texts_stay() -> None:
    lost = [told for told in _reasons(HARMLESS).items() if told[1]]
    assert len(HARMLESS) >= 100
    assert lost == []


def test_the_vocabularys_own_explanations_stay() -> None:
    told = [f"{term(VOCABULARY, one.notation)}: {one.gloss}" for one in VOCABULARY.parts if one.gloss]
    lost = [one for one in _reasons(told).items() if one[1]]
    assert len(told) > 400
    assert lost == []


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("Wilf took it off.", "the name of Wilf Harkaway, who has not agreed to be named"),
        ("Sue took it off.", "a name that is not in the team's list: Sue"),
        ("By the far wall.", "a place to be withheld"),
        ("Beside the tea urn.", "a word to be withheld"),
        ("There is a crack in it.", FINDING),
        ("It is airworthy.", "a claim about safety or airworthiness"),
        ("It cost more.", "money"),
        ("It is tagged P-0142.", "a tag, part or serial number"),
    ],
)
def test_the_editor_is_told_why(text: str, why: str) -> None:
    assert why in _WATCH.reasons(text)


def _team(*people: Person, released: tuple[Released, ...] = ()) -> Watch:
    told = Settings(time=TimeSettings(book_starts=date(2025, 10, 1)), people=people, released=released)
    return Watch(told, VOCABULARY, records())


def test_who_agreed_is_named_and_a_first_name_shared_with_one_who_did_not_is_not() -> None:
    watch = _team(Person(name="Ted Marrack", consent=True), Person(name="Ted Oakes"))
    assert not watch.reasons("Ted Marrack led the lift.") and not watch.reasons("Marrack led the lift.")
    assert watch.reasons("Ted led the lift.") and watch.reasons("Ted Oakes led the lift.")


def test_a_name_that_is_a_word_of_the_trade_counts_with_a_capital_only() -> None:
    watch = _team(Person(name="Jack Tray"))
    assert watch.reasons("With Jack on the rope, it came down.") and watch.reasons("The rope, says jack, was short.")
    assert not watch.reasons("The flap jack, two jacks and a tray were drained.")


_MONTHS = (
    Person(name="May Ellery"),
    Person(name="June Pask"),
    Person(name="Hunter Quill"),
    Person(name="Rose Baker"),
)


@pytest.mark.parametrize(
    "text",
    [
        "Progress report, 2 to 23 May 2026", "On 16 May we were at work on the tail.", "May 2026",
        "Photograph, the morning of 16 May: fitting the propeller.", "In April, May and June we rested.",
        "Days at work in each month: February 3, May 4", "The fin, which came off in May, is back.", "until May.",
        "The sun rose at seven.", "The tail rose when the engine came out.", "We have a bargain hunter in the team.",
    ],
)  # fmt: skip
def test_a_month_where_a_month_stands_names_nobody_though_somebody_is_called_so(text: str) -> None:
    assert _team(*_MONTHS).reasons(text) == ()


@pytest.mark.parametrize(
    "text",
    [
        "Hunter and May hold the propeller.", "May is waiting for the rib.", "Rose, lamp in hand, found it.",
        "Hunter and I fitted the rib.", "Rose wants the lamp back.", "Hunter always finds the spanner.",
        "rose fitted the rib while hunter held the lamp", "The rib was made by May.", "In May's drawer.",
        "Since May joined us, it goes well.", "May, June and Hunter held it.", "June held the lamp.",
    ],
)  # fmt: skip
def test_a_name_that_is_also_a_word_is_known_at_the_head_of_a_sentence_too(text: str) -> None:
    assert any(why.startswith("the name of ") for why in _team(*_MONTHS).reasons(text))


def test_an_organisation_may_be_thanked_and_nobody_in_its_name() -> None:
    watch = _team(Person(name="Ted Marrack", consent=True))
    assert watch.reasons("Thanks to the Holmeside Flying Club for the paint.") == ()
    assert watch.reasons("Thanks to the Martin Grabthorpe Society for the paint.")


_PEOPLE = (
    ("Edna", "Smith"), ("Clive", "Hughes"), ("Rhiannon", "Baker"), ("Gareth", "Wing"), ("Mabel", "Khan"),
    ("Hector", "Cowling"), ("Nadine", "Young"), ("Barney", "Hill"), ("Sybil", "Rivett"), ("Logan", "Fox"),
    ("Ida", "O'Neill"), ("Fergus", "Price"), ("Olive", "Panel"), ("Duncan", "Okafor"), ("Beryl", "Wheeler"),
    ("Kumar", "Tuttle"),
)  # fmt: skip


@pytest.mark.parametrize(("first", "last"), _PEOPLE)
def test_any_name_is_known_in_all_its_forms_and_takes_little_plain_news_with_it(first: str, last: str) -> None:
    watch = _team(Person(name=f"{first} {last}"))
    forms = (
        f"Then {last} came.", f"We asked {first}.", f"The {last}s came.", f"{first}'s lamp was lit.",
        f"{first} {last} came.", f"It was {first} {last}'s lamp.", f"The lamp is by {first[0]}. {last}.",
        f"It says {first[0]}.{last[0]}. on the lid.", f"{first}{last} came.", f"The rope, says {first}, was short.",
    )  # fmt: skip
    why = f"the name of {first} {last}, who has not agreed to be named"
    assert [text for text in forms if why not in watch.reasons(text)] == []
    assert sum(why in watch.names_somebody(text) for text in HARMLESS) <= 1


_CORROSION = Released(item="outer-wing", finding="corrosion", side="port", who="Ted Marrack")


def test_no_finding_goes_out_unless_a_person_let_it_out() -> None:
    text = "We saw corrosion on the port outer wing."
    assert FINDING in _team().reasons(text)
    watch = _team(released=(_CORROSION,))
    assert not watch.reasons(text)
    assert FINDING in watch.reasons("We saw corrosion on the starboard outer wing.")
    assert FINDING in watch.reasons("We saw a crack and corrosion on the port outer wing.")
    assert FINDING in watch.reasons("We saw corrosion on the port flap.")


def test_a_fact_is_told_only_where_its_own_finding_was_let_out() -> None:
    seen = fact("seen", finding="corrosion", item="outer-wing", side="port")
    assert keep_fact(seen) == FINDING
    assert keep_fact(seen, (_CORROSION,)) == ""
    assert keep_fact(fact("seen", finding="crack", item="outer-wing", side="port"), (_CORROSION,)) == FINDING
    assert keep_fact(fact("seen", finding="corrosion", item="outer-wing", side="starboard"), (_CORROSION,)) == FINDING


_SAID = "\u201cSo we've taken the port flap off and put it by.\u201d"


@pytest.mark.parametrize(
    ("text", "agreed", "passes"),
    [
        ("\u201cThe weight's on them.\u201d, says Ted Marrack.", True, False),
        ("\u201cDrained the hydraulic reservoir\u201d, says Ted Marrack.", True, True),
        ("\u201cDrained the hydraulic reservoir\u201d, says one of the team.", True, True),
        ("\u201cDrained the hydraulic reservoir\u201d, says one of the team.", False, False),
        ("\u201cDrained the hydraulic reservoirs\u201d, says Ted Marrack.", True, False),
        ("\u201cdrained the Hydraulic reservoir\u201d, says Ted Marrack.", True, False),
        ("\u201cfourteen nuts, and the same\u201d, says Ted Marrack.", True, False),
        ("\u201cnuts, and the same on\u201d, says Ted Marrack.", True, True),
        ("What we call a \u201cflap jack\u201d is a ram.", False, True),
    ],
)
def test_a_quotation_is_letter_for_letter_without_doubt_and_agreed_to(text: str, agreed: bool, passes: bool) -> None:
    others = () if agreed else (Person(name="Ned Oakes"),)
    watch = _team(Person(name="Ted Marrack", consent=True), *others)
    assert (not watch.reasons(text)) == passes, watch.reasons(text)


def test_the_same_text_gives_the_same_reasons() -> None:
    first, again = Watch(secret_settings(), VOCABULARY), Watch(secret_settings(), VOCABULARY)
    texts = [one["sentence"] for one in SECRETS[:40]]
    assert [first.reasons(one) for one in texts] == [again.reasons(one) for one in texts]


def test_texts_that_are_read_together_have_the_same_words_names_and_reasons_as_one_by_one() -> None:
    texts = [one["sentence"] for one in SECRETS]
    together = list(tag_words_and_people(texts))
    assert together == [next(tag_words_and_people([one])) for one in texts]
    assert [tokens for tokens, _ in together] == list(tag_words(texts))
    watch, alone = Watch(secret_settings(), VOCABULARY), Watch(secret_settings(), VOCABULARY)
    watch.look_ahead(texts)
    assert [watch.reasons(one) for one in texts] == [alone.reasons(one) for one in texts]


def test_people_are_seen_by_the_shape_of_a_name_too() -> None:
    text = "Thanks to Martin Grabthorpe for the hoist."
    ((_, people),) = tag_words_and_people([text])
    assert [text[first:last] for first, last in people] == ["Martin Grabthorpe"]


def test_a_thumb_put_through_a_hole_is_nobodys_health() -> None:
    told = "There's a hole in it that you could put your thumb through."
    assert _reasons([told])[told] == (FINDING,)
    assert "somebody's health" in _reasons(["I did my thumb in."])["I did my thumb in."]
