"""Cameras of one make and model."""

from pipeline.intake.twins import tell_apart
from pipeline.values import Kind, Probe


def _photo(device, serial=""):
    return Probe(kind=Kind.PHOTO, content_type="image/jpeg", device=device, serial=serial)


def test_two_cameras_of_one_model_are_told_apart_by_their_numbers():
    told = tell_apart(
        {"a": _photo("Ollerfen Two", "17"), "b": _photo("Ollerfen Two", "18"), "c": _photo("Ollerfen Two")}
    )
    assert [told[one].device for one in "abc"] == ["Ollerfen Two no. 17", "Ollerfen Two no. 18", "Ollerfen Two"]


def test_camera_that_is_alone_of_its_model_keeps_its_name():
    told = tell_apart({"a": _photo("Ollerfen Two", "17"), "b": _photo("Quillbeck", "18"), "c": _photo("")})
    assert [told[one].device for one in "abc"] == ["Ollerfen Two", "Quillbeck", ""]
