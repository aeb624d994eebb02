from datetime import date

import pytest

from pipeline.settings import Aircraft, Person, Settings, TimeSettings, Withhold
from pipeline.writing.supporters.privacy import Gate, keep_fact
from tests.writing.a_weekend import fact


def _gate() -> Gate:
    return Gate(
        Settings(
            aircraft=Aircraft(name="Trainer AB-123"),
            time=TimeSettings(book_starts=date(2025, 10, 1)),
            people=(
                Person(name="Wilf Harkaway", also=("Wilfie", "the Boss")),
                Person(name="Jack Penrose"),
                Person(name="Tamsin Orrell", consent=True),
                Person(name="Anne-Marie O'Dell"),
                Person(name="Cora Bracket"),
                Person(name="Ned Racks"),
            ),
            withhold=Withhold(places=("Netherby Lock", "Hangar 4"), words=("tea urn",)),
        ),
        frozenset({"bracket", "rack", "flap", "jack"}),
    )


@pytest.mark.parametrize(
    "text",
    [
        "Wilf took it off.",
        "WILF took it off.",
        "It was Harkaway's idea.",
        "It was Wilf\u2019s idea.",
        "The Harkaways were in.",
        "wilf harkaway",
        "Wilfie did.",
        "Ask the boss.",
        "Jack did it.",
        "Anne Marie came.",
        "AnneMarie came.",
        "Mrs O\u2019Dell came.",
        "Thanks to Hark away.",
        "Thanks to hark-away\u2019s mate.",
        "Pen rose did it.",
        "Miss Bracket\u2019s idea.",
        "Cora\u2019s idea.",
        "At Netherby  Lock, on Sunday.",
        "At netherby-lock.",
        "In hangar 4.",
        "By the tea urn.",
        "It is tagged P-0142.",
        "Part number AN470AD4.",
        "Serial number 7.",
        "It is on rack 3.",
        "In Bag 14.",
        "At 53.2307, -0.5406.",
        "It is airworthy now.",
        "It is safe to fly.",
        "Safely on its stand.",
        "Cleared for flight.",
        "It passed its check.",
        "It cost £40.",
        "Write to me@example.org.",
    ],
)
def test_what_may_not_go_out_is_kept_back_and_listed(text: str) -> None:
    gate = _gate()
    assert gate.text(text, "here") == ""
    assert gate.withheld and gate.withheld[0].what == text and gate.withheld[0].where == "here"


@pytest.mark.parametrize(
    "text",
    [
        "The flap jack was drained.",
        "Once 28 nuts were undone, the wing came off.",
        "About 240 rivets were drilled out.",
        "Among them is Tamsin Orrell, rigger.",
        "Trainer AB-123 lost a wing.",
        "The wilful wind blew.",
        "The bracket and two more brackets came off.",
        "Bracketed by two ribs, the tray racked itself loose.",
        "The boxer sat on a standing bag.",
        "A rack of lamb, a box of sweets and a shelf of books.",
        "We took off the port aileron and put it in store.",
    ],
)
def test_plain_news_passes(text: str) -> None:
    gate = _gate()
    assert gate.text(text, "here") == text
    assert not gate.withheld


def test_findings_and_work_on_them_are_not_told() -> None:
    assert keep_fact(fact("seen", finding="crack", item="skin"))
    assert keep_fact(fact("seen", finding="sound", item="skin"))
    assert keep_fact(fact("done", act="inspect", item="skin"))
    assert keep_fact(fact("planned", act="repair", item="skin"))
    assert keep_fact(fact("done", act="remove", item="skin")) == ""
