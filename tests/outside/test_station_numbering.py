"""The drawing of the airframe against published conventions of where things are on an aircraft.

Source: FAA-H-8083-31, Aviation Maintenance Technician Handbook, Airframe, "Location Numbering Systems" (from memory):
fuselage stations are numbered in inches aft of a reference or zero point, the datum, an imaginary upright plane at or
near the nose; butt lines are measured left or right of the centre line; water lines are measured up or down from a
horizontal plane; wing stations outboard of the centre line of the fuselage.
"""

import pytest

from pipeline.book import vocabulary_folders
from pipeline.lists.airframe_spots import Spots
from pipeline.reading.fact import Place
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary


@pytest.fixture(scope="module")
def trainer() -> Vocabulary:
    return load_vocabulary(vocabulary_folders("crew-trainer"))


def test_fuselage_station_is_its_distance_aft_of_the_datum(trainer: Vocabulary) -> None:
    spot = Spots(trainer).spot("skin", None, (Place(scheme="station", at="178"),))
    assert spot is not None
    assert (spot.view, spot.aft) == ("side", 178.0)


@pytest.mark.parametrize(("side", "sign"), [("port", -1), ("starboard", 1)])
def test_wing_station_is_its_distance_outboard_of_the_centre_line(trainer: Vocabulary, side, sign) -> None:
    spot = Spots(trainer).spot("outer-wing", side, (Place(scheme="station", at="200"),))
    assert spot is not None
    assert (spot.view, spot.across) == ("plan", sign * 200.0)


def test_outlines_agree_with_the_stations_of_the_same_type(trainer: Vocabulary) -> None:
    inches = {(one.scheme, one.at): one.inches for one in trainer.stations}
    points = {one.shape: one.points for one in trainer.outline}
    assert {aft for aft, _ in points["side-transport-joint"]} == {inches["frame", "15"]}
    assert {out for _, out in points["plan-wing-joint"]} == {inches["rib", "1"]}
    assert min(out for _, out in points["plan-wing-tip"]) == inches["rib", "14"]
    assert [out for _, out in points["plan-aileron"]][:1] == [inches["rib", "4"]]
    assert max(out for _, out in points["plan-aileron"]) == inches["rib", "12"]
    assert min(aft for one in trainer.outline for aft, _ in one.points) == 0.0  # the datum is at the nose
    assert max(aft for aft, _ in points["plan-front"]) == inches["spar", "front"]
