from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from pipeline.book import shipped_vocabulary
from pipeline.hearing.corrected import leaning_of
from pipeline.hearing.leaning import MOST_NAMES, Leaning
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.settings import Aircraft, Person, Settings, TimeSettings

NAMES = [
    "seat",
    "aileron",
    "aileron hinge",
    "longeron",
    "rudder hinge",
    "rudder",
    "Pitot head",
    "intercostal",
    "turnbuckle",
]


def test_a_name_that_sounds_like_several_words_heard_is_leaned_towards() -> None:
    assert Leaning(NAMES).near("We found a crack in the hinder costal there.")[0] == "intercostal"
    assert "rudder" in Leaning(NAMES).near("The rotter is off.")


def test_the_most_alike_comes_first() -> None:
    near = Leaning(NAMES).near("the long run and a rudder")
    assert near[0] == "rudder" and "longeron" in near


def test_a_name_of_everyday_words_is_heard_without_help() -> None:
    assert Leaning(["seat", "door"]).near("The seat is off its rails by the door.") == ()


def test_names_of_the_team_and_of_the_aircraft_are_leaned_towards() -> None:
    settings = Settings(
        aircraft=Aircraft(name="Ferrowby Moonraker"),
        time=TimeSettings(book_starts=date(2026, 1, 1)),
        people=(Person(name="Ottilie Marchbanks", also=("Ottie",)),),
    )
    leaning = leaning_of(load_vocabulary(shipped_vocabulary()), settings.names_said)
    told = leaning.hotwords("Odley March banks here, and we're making a start on the moon raker.").split(", ")
    assert told[:-MOST_NAMES] == ["Marchbanks", "Moonraker", "Ottilie Marchbanks"]
    assert len(leaning.hotwords("The port aileron is off, with a crack at the hinge.").split(", ")) == MOST_NAMES


def test_where_nothing_was_heard_nothing_is_leaned_towards() -> None:
    assert Leaning(NAMES).hotwords("") == ""
    assert Leaning(NAMES).hotwords("16, 17.") == ""
    assert Leaning([]).hotwords("the rudder") == ""


def test_a_word_tells_more_of_the_trade_the_less_everyday_english_has_it() -> None:
    leaning = Leaning(NAMES)
    assert leaning.trade_in("the longeron here") > leaning.trade_in("a head") > leaning.trade_in("a kettle") == 0


def test_no_more_are_chosen_than_the_decoder_can_bear() -> None:
    many = [f"{first}{last}eron" for first in "bcdfghjklmnprst" for last in ("al", "el", "il", "ol")]
    assert len(Leaning(many).near("the longeron and the aileron", most=MOST_NAMES)) <= MOST_NAMES


@given(st.permutations(NAMES))
def test_the_order_of_the_names_does_not_matter(names: list[str]) -> None:
    assert Leaning(names).hotwords("a rotter and a hinder costal") == Leaning(NAMES).hotwords(
        "a rotter and a hinder costal"
    )
