"""Consent to the first name alone: it goes out, and nothing else of the name does, in no form."""

import pytest

from pipeline.evidence.crate import _people
from pipeline.history.past import past_of
from pipeline.review.release_page import Releases
from pipeline.settings import FIRST_NAME, Person, Settings
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.withheld import Watch
from tests.writing.a_weekend import SATURDAY, SUNDAY, records, settings, vocabulary

WILF = Person(name="Wilf Harkaway", also=("Wilfie", "Harky"), role="fitter", consent=FIRST_NAME)


def _settings(*people: Person) -> Settings:
    return settings().model_copy(update={"people": people})


@pytest.fixture(scope="module")
def watch() -> Watch:
    return Watch(_settings(WILF), vocabulary(), records())


@pytest.mark.parametrize("text", ["Wilf held the lamp.", "That was Wilf's idea.", "Thanks to Wilf and the others."])
def test_the_first_name_may_go_out(watch: Watch, text: str) -> None:
    assert watch.reasons(text) == ()


@pytest.mark.parametrize(
    "text",
    [
        "Wilf Harkaway held the lamp.",
        "Mr Harkaway held the lamp.",
        "Harky held the lamp.",
        "Thanks to wilfharkaway for it.",
        "Thanks to W. H. for it.",
        "Wilf Harkaway's idea.",
    ],
)
def test_no_other_form_of_the_name_goes_out(watch: Watch, text: str) -> None:
    assert any("Wilf Harkaway, who has not agreed" in why for why in watch.reasons(text))


def test_a_first_name_of_two_parts_may_go_out() -> None:
    own = _settings(Person(name="Anne-Marie Harkaway", consent=FIRST_NAME))
    watch = Watch(own, vocabulary(), records())
    assert watch.reasons("Anne-Marie held the lamp.") == ()
    assert watch.reasons("Anne-Marie Harkaway held the lamp.")


def test_without_consent_the_first_name_stays_in() -> None:
    watch = Watch(_settings(WILF.model_copy(update={"consent": False})), vocabulary(), records())
    assert watch.reasons("Wilf held the lamp.")


def test_the_report_thanks_by_the_first_name_and_holds_no_other() -> None:
    story = plan(Asked(records(), _settings(WILF), vocabulary(), SATURDAY.date(), SUNDAY.date()))
    told = " ".join(one.text for one in story.thanks)
    assert "Wilf (fitter)" in told
    assert "Harkaway" not in f"{story}"


def test_a_bag_names_the_person_by_the_first_name() -> None:
    assert [one["name"] for one in _people([WILF])] == ["Wilf"]


def test_the_page_for_letting_out_says_to_what_was_agreed_and_quotes_nobody_by_the_whole_name() -> None:
    releases = Releases(records(), past_of(()), vocabulary(), _settings(WILF))
    (name,) = releases.names
    assert (name.out, name.said) == (False, "the whole name; the first name goes out, agreed, as book.toml has it")
    assert releases.speakers == ()
