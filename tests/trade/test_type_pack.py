"""A pack for another type stands on the common base without any edit there: an aircraft invented for this test."""

from pathlib import Path

import pytest

from pipeline.book import shipped_vocabulary
from pipeline.reading.reader import Reader
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.trade.check import check_vocabulary
from tests.trade.folders import PARTS, lists_in


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    pack = lists_in(
        tmp_path_factory.mktemp("four-engined-flying-boat"),
        parts=PARTS + "bow-turret-winch,bow turret winch,,armament,What pulls the front turret back.,,nose,25,no,\n",
        sets="part,number,of\nengine,4,aircraft\npropeller,4,aircraft\nsponson,2,aircraft\n",
        joints="part,joins,fasteners,count,about,services,held_up\n"
        "sponson,sponson|fuselage,bolt,12,,fuel-line|bonding-strip,sponson\n",
        stations="scheme,at,mm,from,note\n"
        "frame,1,635,datum,bow\nframe,20,8255,datum,main step\nrib,3,1270,centre-line,\n",
    )
    return [*shipped_vocabulary()[:1], pack]


@pytest.fixture(scope="module")
def flying_boat(folders: list[Path]) -> Vocabulary:
    return load_vocabulary(folders)


def test_pack_passes_the_check(folders: list[Path]) -> None:
    assert check_vocabulary(folders).faults == ()


def test_numbers_of_the_type_take_the_place_of_the_usual_ones(flying_boat: Vocabulary) -> None:
    engine, wheel = flying_boat.part("engine"), flying_boat.part("tail-wheel")
    assert engine is not None and wheel is not None
    assert (engine.per_aircraft, wheel.per_aircraft) == (4, 1)
    (sponson,) = [joint for joint in flying_boat.joints if joint.part == "sponson"]
    assert (sponson.count, sponson.fasteners, sponson.services) == (12, ("bolt",), ("fuel-line", "bonding-strip"))
    assert any(joint.part == "transport-joint" for joint in flying_boat.joints)


def test_millimetres_of_the_type_are_in_inches(flying_boat: Vocabulary) -> None:
    inches = {(point.scheme, point.at): point.inches for point in flying_boat.stations}
    assert inches == {("frame", "1"): 25.0, ("frame", "20"): 325.0, ("rib", "3"): 50.0}


def test_notes_on_the_type_are_read_with_the_base_and_the_pack(flying_boat: Vocabulary) -> None:
    reader = Reader(flying_boat)
    (off,) = reader.read("The port sponson is off.")
    assert (off.status, off.act, off.item, off.side) == ("done", "remove", "sponson", "port")
    (seen,) = reader.read("The chine is cracked on the starboard side.")
    assert (seen.finding, seen.item, seen.side) == ("crack", "chine", "starboard")
    (winch,) = reader.read("We took the bow turret winch out.")
    assert winch.item == "bow-turret-winch"
