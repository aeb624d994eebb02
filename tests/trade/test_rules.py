"""The rules of advice as data: read, checked, replaced by a type pack, and never a reason to read notes again."""

from pathlib import Path

import pytest

from pipeline.book import shipped_vocabulary
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.trade.check import check_vocabulary
from tests.trade.folders import lists_in

HEAD = "notation,kind,acts,items,kinds,findings,words,answers,by,text,reason,source\n"


@pytest.fixture(scope="module")
def base() -> Vocabulary:
    return load_vocabulary(shipped_vocabulary()[:1])


def with_rules(folder: Path, rows: str) -> list[Path]:
    return [*shipped_vocabulary()[:1], lists_in(folder, rules=HEAD + rows)]


def test_every_shipped_rule_says_why_and_on_what_authority(base: Vocabulary) -> None:
    assert [rule.notation for rule in base.rules if not (rule.text and rule.reason and rule.source)] == []
    assert {"held-up", "strong-place", "services", "before", "after", "hazard"} <= {rule.kind for rule in base.rules}


def test_type_pack_replaces_a_rule_adds_one_and_switches_one_off(tmp_path: Path, base: Vocabulary) -> None:
    rows = (
        "asbestos,off,,,,,,,,,,\n"
        "tyre-before-splitting,before,separate,wheel|tail-wheel,,,,drain,,Let down before {work}?,It bursts.,Ours.\n"
        "mercury,hazard,open,rheostat,,,mercury,,,Keep it off gold.,It creeps.,Ours.\n"
    )
    rules = {rule.notation: rule for rule in load_vocabulary(with_rules(tmp_path, rows)).rules}
    assert len(rules) == len(base.rules) + 1
    assert rules["asbestos"].kind == "off"
    assert rules["tyre-before-splitting"].items == ("wheel", "tail-wheel")
    assert rules["mercury"].words == ("mercury",)


def test_change_of_rules_or_strong_points_reads_nothing_again(tmp_path: Path, base: Vocabulary) -> None:
    text = "There's a trestle under frame 12."
    more = load_vocabulary(
        with_rules(tmp_path, "mercury,hazard,open,rheostat,,,,,,Keep it off gold.,It creeps.,Ours.\n")
    )
    assert (more.fingerprint, more.seen_from(text)) == (base.fingerprint, base.seen_from(text))
    stations = "scheme,at,inches,from,strong,note\nframe,12,178,datum,{},\n"
    one, other = (
        load_vocabulary([lists_in(tmp_path / (mark or "none"), stations=stations.format(mark))])
        for mark in ("yes", "")
    )
    assert [point.strong for point in (*one.stations, *other.stations)] == [True, False]
    assert (one.fingerprint, one.seen_from(text)) == (other.fingerprint, other.seen_from(text))


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("a,maybe,,,,,,,,T.,R.,S.", "'maybe' in the column 'kind' is not one of"),
        ("a,before,undo,nothing,,,,drain,,T.,R.,S.", "'nothing' in the column 'items' is in no parts.csv"),
        ("a,before,fly,engine,,,,drain,,T.,R.,S.", "'fly' in the column 'acts' is in no acts.csv"),
        ("a,before,,engine,,,,drain,,T.,R.,S.", "the column 'acts' is empty"),
        ("a,before,undo,engine,,,,drain,,,R.,S.", "the column 'text' is empty"),
        ("a,before,undo,engine,,,,drain,,T.,R.,", "the column 'source' is empty"),
        (
            "a,before,undo,engine,,,,drain,,Before {worrk}.,R.,S.",
            "'{worrk}' in the column 'text' cannot be filled in",
        ),
        ("a,hazard,,engine,,,,,,T.,R.,S.", "has nothing that sets it off"),
        ("A b,off,,,,,,,,,,", "the notation 'A b' may have small letters"),
    ],
)
def test_rule_that_cannot_work_is_told_with_its_line(tmp_path: Path, row: str, told: str) -> None:
    faults = "\n".join(check_vocabulary(with_rules(tmp_path, row + "\n")).faults)
    assert f"rules.csv, line 2: {told}" in faults


def test_only_the_type_marks_places_that_take_a_support(base: Vocabulary) -> None:
    assert base.stations == ()
    trainer = load_vocabulary([folder for folder in shipped_vocabulary() if folder.name in ("base", "crew-trainer")])
    assert {(point.scheme, point.at) for point in trainer.stations if point.strong} == {
        ("frame", "12"),
        ("frame", "21"),
    }
