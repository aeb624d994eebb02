"""What the shipped lists hold, beyond passing the check."""

import pytest

from pipeline.book import shipped_vocabulary
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary


@pytest.fixture(scope="module")
def base() -> Vocabulary:
    return load_vocabulary(shipped_vocabulary()[:1])


@pytest.fixture(scope="module")
def trainer() -> Vocabulary:
    return load_vocabulary([folder for folder in shipped_vocabulary() if folder.name in ("base", "crew-trainer")])


def test_base_names_over_four_hundred_parts_each_with_a_gloss_of_one_sentence(base: Vocabulary) -> None:
    assert len(base.parts) >= 400
    assert [part.notation for part in base.parts if not part.gloss.endswith(".") or ". " in part.gloss] == []


@pytest.mark.parametrize(
    "notations",
    [
        "interplane-strut cabane-strut flying-wire turnbuckle king-post wing-fabric upper-wing lower-wing",
        "planing-bottom chine main-step rear-step keel-member bilge sponson float spray-strip mooring-bollard",
        "galley cross-feed-valve jettison-valve bogie auxiliary-power-unit air-stair loading-ramp outflow-valve",
        "crankshaft cam-ring master-rod cylinder nose-case camshaft cylinder-block connecting-rod supercharger",
        "propeller propeller-sheath constant-speed-unit pitch-change-mechanism feathering-pump counterweight",
        "plywood glue-joint scarf-joint corner-block lamination dope fabric-tape",
    ],
    ids=["biplane", "flying boat", "four-engined transport", "engines", "propellers", "wood and fabric"],
)
def test_base_suits_other_aircraft(base: Vocabulary, notations: str) -> None:
    assert [notation for notation in notations.split() if base.part(notation) is None] == []


def test_base_says_nothing_about_numbers_that_only_the_type_knows(base: Vocabulary) -> None:
    assert [joint.part for joint in base.joints if joint.count is not None] == []
    numbers = {one.part: one.number for one in base.sets}
    assert numbers["engine"] is None
    assert numbers["magneto"] == 2


def test_type_pack_says_how_many(trainer: Vocabulary) -> None:
    numbers = {one.part: (one.number, one.of) for one in trainer.sets}
    assert numbers["engine"] == (2, "aircraft")
    assert numbers["propeller-blade"] == (3, "propeller")
    assert numbers["spark-plug"] == (2, "cylinder")  # from the base


def test_services_of_a_joint_are_not_fasteners_or_lifting_gear(trainer: Vocabulary) -> None:
    for joint in trainer.joints:
        for notation in joint.services:
            part = trainer.part(notation)
            assert part is not None
            assert part.kind not in ("fastener", "support-equipment", "material"), (joint.part, notation)


def test_parts_that_join_something_are_among_what_meets_there(trainer: Vocabulary) -> None:
    for joint in trainer.joints:
        if not joint.part.endswith("-joint") and joint.part not in (
            "interplane-strut",
            "cabane-strut",
            "lift-strut",
            "flying-wire",
        ):
            assert joint.part in joint.joins, joint.part


def test_stations_run_aft_and_outboard(trainer: Vocabulary) -> None:
    for scheme, measured_from in (("frame", "datum"), ("rib", "centre-line")):
        points = [point for point in trainer.stations if point.scheme == scheme]
        assert len(points) > 10
        assert {point.measured_from for point in points} == {measured_from}
        inches = [point.inches for point in sorted(points, key=lambda point: int(point.at))]
        assert inches == sorted(inches)


def test_millimetres_are_read_as_exact_inches(tmp_path) -> None:
    (tmp_path / "stations.csv").write_text("scheme,at,mm,note\nframe,3,2540,\n")
    (point,) = load_vocabulary([tmp_path]).stations
    assert (point.inches, point.measured_from) == (100.0, "datum")


def test_a_release_cable_belongs_to_its_hook_and_is_no_flight_control(base: Vocabulary) -> None:
    cable, hook = base.part("release-cable"), base.part("release-hook")
    assert cable is not None and hook is not None
    assert cable.chapter == hook.chapter


def test_a_bonding_strip_is_parted_at_a_wing_joint(base: Vocabulary) -> None:
    (joint,) = [joint for joint in base.joints if joint.part == "wing-joint"]
    assert "bonding-strip" in joint.services
