from pipeline.writing.supporters.illustrating import Shown
from pipeline.writing.supporters.placing import with_pictures
from pipeline.writing.supporters.story import Picture
from pipeline.writing.supporters.told import Told
from tests.writing.a_weekend import vocabulary


def _told(text: str, entry: str) -> Told:
    return Told(text, (entry,))


def _shown(name: str, entry: str, item: str = "") -> Shown:
    return Shown(Picture(name, f"{name}.jpg", name, name), entry, item)


_TEXT = (
    _told("The wing came off.", "e-1"),
    _told("It was let down.", "e-2"),
    _told("The flap came off.", "e-3"),
    _told("We cleaned the spigot.", "e-4"),
)


def test_a_picture_stands_after_the_sentence_that_tells_what_it_shows() -> None:
    shown = [_shown("flap", "e-3", "flap"), _shown("wing", "e-1", "outer-wing")]
    placed = with_pictures([_TEXT], shown, vocabulary())
    assert [(one.text.split(".")[0], [each.media for each in one.pictures]) for one in placed] == [
        ("The wing came off", ["wing"]),
        ("The flap came off", ["flap"]),
    ]


def test_no_more_than_two_stand_together_where_there_is_room_elsewhere() -> None:
    placed = with_pictures([_TEXT], [_shown(f"p{index}", "e-1") for index in range(6)], vocabulary())
    assert [len(one.pictures) for one in placed] == [2, 2]


def test_a_reason_is_not_parted_from_what_it_is_the_reason_of() -> None:
    text = (*_TEXT[:2], Told("Paint keeps the weather out.", ("reason: paint",)), _TEXT[3])
    placed = with_pictures([text], [_shown("a", "e-1"), _shown("b", "e-4")], vocabulary())
    assert [len(one.sentences) for one in placed] == [3, 1]


def test_text_without_pictures_stays_whole() -> None:
    assert [len(one.sentences) for one in with_pictures([_TEXT], [], vocabulary())] == [4]


def test_a_picture_goes_with_the_sentence_of_its_own_entry_before_one_that_tells_of_all() -> None:
    text = (Told("We were at work on the engine.", ("e-1", "e-2", "e-3", "e-4")), *_TEXT)
    placed = with_pictures([text], [_shown("spigot", "e-4")], vocabulary())
    assert [one.pictures[0].media for one in placed if "spigot" in one.sentences[-1].text] == ["spigot"]
