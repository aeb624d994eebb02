"""Nobody who has not agreed to be named is thanked in a way that points to them."""

from pipeline.settings import Person
from pipeline.writing.supporters.thanking import thanks

BEA = Person(name="Bea Linnet", role="strip leader", consent=True)
LONE = (Person(name="A", role="apprentice"), Person(name="B", role="hydraulics"), Person(name="C", role="engines"))


def test_a_role_that_only_one_of_those_without_consent_has_is_not_told() -> None:
    assert thanks([BEA, *LONE]) == "thank you to Bea Linnet (strip leader) and everyone else in the team"
    assert thanks(LONE) == "thank you to everyone in the team"
    assert thanks(LONE[:1]) == "thank you to everyone in the team"


def test_one_of_two_in_a_role_is_not_left_as_the_only_one_who_is_not_named() -> None:
    two = (Person(name="A", role="fitter", consent=True), Person(name="B", role="fitter"))
    assert thanks(two) == "thank you to A (fitter) and everyone else in the team"


def test_those_who_share_a_role_are_thanked_by_it_and_nobody_is_made_a_team() -> None:
    fitters = [Person(name=one, role="fitter") for one in "AB"]
    assert thanks([BEA, *fitters]) == "thank you to Bea Linnet (strip leader) and our two fitters"
    assert thanks([*fitters, *LONE]) == "thank you to our two fitters and everyone else in the team"
    assert "team" not in thanks([BEA])
    of_engines = [Person(name=one, role="engines") for one in "AB"]
    assert thanks(of_engines) == "thank you to everyone in the team"


def test_nobody_listed_is_nobody_thanked() -> None:
    assert thanks(()) == ""


def test_a_first_name_alone_is_told_where_no_more_was_agreed() -> None:
    assert "Bea (" in thanks([BEA.model_copy(update={"consent": "first name"})])


def test_what_everybody_is_is_not_said_of_each() -> None:
    two = [Person(name=one, consent=True) for one in ("Bea Linnet", "Odo Finch")]
    assert thanks(two) == "thank you to Bea Linnet and Odo Finch"
    with_a_role = Person(name="Ida Pell", role="strip leader", consent=True)
    assert thanks([*two[:1], with_a_role]) == "thank you to Bea Linnet and Ida Pell (strip leader)"


def test_those_who_are_not_named_are_no_other_kind_of_volunteer() -> None:
    two = [Person(name=one) for one in "AB"]
    named = Person(name="Bea Linnet", consent=True)
    assert thanks([named, *two]) == "thank you to Bea Linnet and two more volunteers"
    assert thanks(two) == "thank you to our two volunteers"
