import pytest

from pipeline.errors import WrongCommand
from pipeline.history.team import person_called, person_named
from pipeline.settings import Person

TEAM = (
    Person(name="Wenna Trosk", also=("Wen",)),
    Person(name="Col Bramwith", also=("Bram",)),
    Person(name="Perrin Haskett", also=("Perry",)),
    Person(name="Perrin Oakshaw", also=("Bram Oakshaw",)),
    Person(name="Perry", also=("wenna",)),
)


@pytest.mark.parametrize(
    ("given", "name"),
    [
        ("Col Bramwith", "Col Bramwith"),
        ("  col bramwith ", "Col Bramwith"),
        ("BRAM", "Col Bramwith"),
        ("col", "Col Bramwith"),
        ("Wen", "Wenna Trosk"),
        ("Perry", "Perry"),  # a whole name before a nickname
    ],
)
def test_a_person_is_found_by_whole_name_nickname_or_first_name(given: str, name: str) -> None:
    assert person_called(TEAM, given).name == name


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ("Perrin", "'Perrin' may be Perrin Haskett or Perrin Oakshaw: give the whole name."),
        ("Wenna", "'Wenna' may be Wenna Trosk or Perry: give the whole name."),
        ("Wenno", "lists nobody called 'Wenno'. Did you mean Wenna Trosk?"),
        ("Haskett", "lists nobody called 'Haskett'"),
        ("", "lists nobody called ''"),
    ],
)
def test_a_name_of_nobody_or_of_several_is_refused(given: str, told: str) -> None:
    with pytest.raises(WrongCommand) as refused:
        person_called(TEAM, given)
    assert told in str(refused.value)


def test_the_history_knows_people_by_their_whole_names_only() -> None:
    with pytest.raises(WrongCommand, match="Did you mean Wenna Trosk"):
        person_named(TEAM, "Wen")
    with pytest.raises(WrongCommand, match="nobody called 'Wenna'"):
        person_named(TEAM[:1], "Wenna")
