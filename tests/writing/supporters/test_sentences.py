from pipeline.writing.supporters.sentences import Forms, finished, parts_listed
from pipeline.writing.supporters.told import Told


def _finished(*clauses: str | tuple[str, str]) -> list[str]:
    told = [Told(one, ("e",)) if isinstance(one, str) else Told(one[0], ("e",), one[1]) for one in clauses]
    return [one.text for one in finished(told)]


def test_a_second_sentence_that_begins_alike_takes_its_other_form() -> None:
    assert _finished("we cleaned the fin", ("we painted the rudder", "the rudder got a coat of paint")) == [
        "We cleaned the fin.",
        "The rudder got a coat of paint.",
    ]


def test_without_another_form_nothing_is_said_of_the_order() -> None:
    assert _finished("we cleaned the fin", "we made a bracket")[1] == "As well as that, we made a bracket."


def test_the_part_that_a_sentence_ended_with_is_it_in_the_next() -> None:
    assert _finished("we took off the seat", "the seat was cleaned") == ["We took off the seat.", "It was cleaned."]
    assert _finished("off came the seat", "we cleaned the seat") == ["Off came the seat.", "We cleaned it."]
    assert _finished("we took off the door and the seat", "the seat was cleaned")[1] == "The seat was cleaned."


def test_no_sentence_begins_with_a_figure() -> None:
    assert _finished("38 screws came out of the fillet panel") == [
        "Thirty-eight screws came out of the fillet panel."
    ]


def test_what_is_behind_a_clause_stays_with_its_sentence() -> None:
    assert finished([Told("we cleaned the fin", ("e-1", "e-2"))])[0].behind == ("e-1", "e-2")


def test_of_a_long_list_the_rest_is_counted() -> None:
    assert parts_listed(["the door", "the seat", "the fin", "the flap"], 3) == "the door, the seat and two more"
    assert parts_listed(["the port flap", "the port aileron"]) == "the port flap and aileron"


def test_a_series_begins_its_turns_at_another_form() -> None:
    assert [Forms(start).next("kind", "a", "b", "c") for start in range(4)] == ["a", "b", "c", "a"]
