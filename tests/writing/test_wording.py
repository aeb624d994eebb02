import pytest
from hypothesis import given

from pipeline.book import vocabulary_folders
from pipeline.reading.fact import Measure, Place, Stowage
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.records import FactRecord
from pipeline.writing.wording import fact_text, part_text, place_text, stowage_text
from tests.writing.a_weekend import fact, vocabulary
from tests.writing.any_fact import FACTS


def _at(scheme: str, at: str) -> tuple[Place, ...]:
    return (Place.model_validate({"scheme": scheme, "at": at}),)


@pytest.mark.parametrize(
    ("keys", "text"),
    [
        (dict(status="done", act="remove", item="aileron", side="port"), "Removed the port aileron"),
        (
            dict(status="done", act="undo", item="wing-joint", side="port", place=_at("spar", "front"),
                 count=14, of="nut"),
            "Undid 14 nuts at the port wing joint, front spar",
        ),
        (dict(status="done", act="undo", item="drag-strut", side="both", count=4, of="nut"),
         "Undid 4 nuts at the drag strut, both sides"),
        (dict(status="done", act="undo", item="flap"), "Undid the fastenings of the flap"),
        (dict(status="done", act="undo", count=1, of="bolt"), "Undid 1 bolt"),
        (dict(status="done", act="drill-out", item="skin", count=240, of="rivet", about=True),
         "Drilled out about 240 rivets at the skin"),
        (dict(status="done", act="remove", item="main-undercarriage", side="port", count=5, of="person"),
         "Removed the port main undercarriage, with 5 people"),
        (dict(status="done", act="remove", item="flap", count=4, of="bolt"), "Removed the flap (4 bolts)"),
        (dict(status="done", act="remove", item="bracket", count=3, of="bracket"), "Removed 3 brackets"),
        (dict(status="done", act="remove", item="aileron", side="both"), "Removed the port and starboard ailerons"),
        (dict(status="done", act="bag", item="nut", side="port", stowage=Stowage(bag="14")),
         "Bagged the port nuts: bag 14"),
        (dict(status="done", act="store", item="aileron", stowage=Stowage(rack="3", shelf="top")),
         "Stored the aileron on rack 3, top shelf"),
        (dict(status="done", act="store", item="aileron", stowage=Stowage(room="paint store")),
         "Stored the aileron in the paint store"),
        (dict(status="done", act="tag", item="aileron", tag="P-0142"), "Tagged the aileron: P-0142"),
        (dict(status="done", act="tighten", item="fuel-line", measure=(Measure(value=15, unit="lbf·ft"),)),
         "Tightened the fuel line to 15 lbf·ft (20 N·m)"),
        (dict(status="done", act="strip-finish", item="stringer", place=_at("stringer", "5")),
         "Stripped the finish from stringer 5"),
        (dict(status="done", act="disconnect"), "Disconnected (part not named)"),
        (dict(status="planned", act="remove", item="outer-wing", side="port"), "To do: remove the port outer wing"),
        (dict(status="not-done", act="remove", item="flap"), "Not done: remove the flap"),
        (dict(status="explained", act="held-by", item="flap", count=6, of="bolt"),
         "How: the flap is held by 6 bolts"),
        (dict(status="explained", act="undo", item="aileron-hinge", count=3, of="bolt"),
         "How: undo 3 bolts at the aileron hinge"),
        (
            dict(status="seen", finding="crack", item="stringer", side="port", place=_at("frame", "15"),
                 measure=(Measure(value=1.25, unit="in"),)),
            "Crack, port stringer at frame 15, 1.25 in (32 mm)",
        ),
        (dict(status="seen", finding="corrosion", item="stringer", grade="heavy",
              place=(*_at("stringer", "5"), *_at("frame", "11-12"))),
         "Heavy corrosion, stringer 5 between frames 11 and 12"),
        (dict(status="seen", finding="corrosion", absent=True, item="skin", side="starboard"),
         "No corrosion on starboard skin"),
        (dict(status="seen", finding="elongated-hole", item="skin", count=11, of="hole"),
         "Elongated holes (11), skin"),
        (dict(status="seen", finding="missing", item="nut", count=1, of="nut", place=_at("frame", "22")),
         "Missing: 1 nut at frame 22"),
        (dict(status="seen", finding="sound", item="bracket", place=_at("bay", "2")),
         "Looked at and good: bracket in bay 2"),
        (dict(status="seen", finding="leak", item="main-oleo", tag="P-0216"), "Leak, main oleo, tag P-0216"),
        (dict(status="seen", finding="crack"), "Crack"),
        (dict(status="seen", finding="crack", item="bracket", count=2), "Cracks (2), bracket"),
        (dict(status="seen", finding="broken", item="nut", side="port", count=3, of="nut"), "Broken: 3 port nuts"),
        (dict(status="done", act="store", item="flap", stowage=Stowage(shelf="top", box="5")),
         "Stored the flap on the top shelf, in box 5"),
        (dict(status="done", act="move", item="outer-wing", stowage=Stowage(room="paint room")),
         "Moved the outer wing to the paint room"),
        (dict(status="done", act="lower", item="flap", stowage=Stowage(pallet="3")),
         "Lowered the flap onto pallet 3"),
        (dict(status="done", act="clean", item="skin", place=(*_at("station", "201"), *_at("station", "214"))),
         "Cleaned the skin at stations 201 and 214"),
        (dict(status="explained", act="held-by", item="outer-wing",
              place=(*_at("spar", "front"), *_at("spar", "rear")), count=8, of="bolt"),
         "How: the outer wing is held by 8 bolts, front and rear spars"),
    ],
)  # fmt: skip
def test_facts_read_as_the_trade_writes_them(keys: dict[str, object], text: str) -> None:
    assert fact_text(fact(**keys), vocabulary()) == text  # type: ignore[arg-type]


def test_a_numbered_part_is_named_once() -> None:
    assert part_text("stringer", None, _at("stringer", "4-9"), vocabulary()) == "stringers 4 to 9"
    assert part_text("stringer", "port", _at("stringer", "top"), vocabulary()) == "the port top stringer"


def test_a_stretch_of_places_is_named_from_its_first_to_its_last() -> None:
    places = (*_at("rib", "1-7"), *_at("rib", "8"), *_at("spar", "front"), *_at("bay", "upper-mid"))
    assert place_text(places) == "ribs 1 to 7, rib 8, front spar, upper-mid bay"


def test_a_part_that_the_vocabulary_has_lost_is_still_written() -> None:
    assert fact_text(fact("done", act="remove", item="tea-urn"), vocabulary()) == "Removed the tea urn"


@given(FACTS)
def test_any_fact_makes_one_clean_line(any_fact: FactRecord) -> None:
    text = fact_text(any_fact, vocabulary())
    assert text[0].isupper()
    assert text == " ".join(text.split())
    assert "None" not in text and "{" not in text
    assert not text.endswith((",", ":", ";", "."))
    assert " ," not in text and ",," not in text and ": :" not in text


@pytest.mark.parametrize(
    ("room", "told"),
    [
        ("paint store", "in the paint store"),
        ("bay 3", "in bay 3"),
        ("locker 2", "in locker 2"),
        ("container B", "in container B"),
        ("3", "in room 3"),
        ("B", "in room B"),
        ("loft", "in the loft"),
    ],
)
def test_a_room_with_a_number_is_called_by_it(room: str, told: str) -> None:
    assert stowage_text(Stowage(room=room)) == told


def test_new_stands_before_the_side() -> None:
    told = part_text("aileron", "port", None, vocabulary(), position="outer", called="new aileron")
    assert told == "the new port outer aileron"


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        (dict(item="control-cable", said="slackened"), "Slackened the control cable"),
        (
            dict(item="engine-mount", count=8, of="bolt", said="slackened off"),
            "Slackened 8 bolts at the engine mount",
        ),
        (dict(item="engine-mount", said="slackened"), "Slackened the fastenings of the engine mount"),
        (dict(item="flying-wire", said="undid the slack"), "Undid the fastenings of the flying wire"),
    ],
)
def test_what_was_only_slackened_is_not_called_undone(keys: dict[str, object], told: str) -> None:
    terms = load_vocabulary(vocabulary_folders(""))
    assert fact_text(fact("done", act="undo", **keys), terms) == told
    order = told.removeprefix("Slackened ")
    if order != told:
        assert fact_text(fact("not-done", act="undo", **keys), terms) == f"Not done: slacken {order}"


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("Starboard brake bled", "Bled the starboard brake unit"),
        ("bled the brakes", "Bled the starboard brake unit"),
        ("bled the accumulator down", "Drained the starboard brake unit"),
        ("opened the bleed screw and let it run", "Drained the starboard brake unit"),
        ("drained", "Drained the starboard brake unit"),
    ],
)
def test_what_was_bled_is_full_and_not_called_drained(said: str, told: str) -> None:
    terms = load_vocabulary(vocabulary_folders(""))
    keys = dict(act="drain", item="brake-unit", side="starboard", said=said)
    assert fact_text(fact("done", **keys), terms) == told
