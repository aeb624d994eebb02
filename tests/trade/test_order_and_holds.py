"""The lists of what comes before what, and of where putting together stops."""

from pathlib import Path

import pytest

from pipeline.book import shipped_vocabulary
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.trade.check import check_vocabulary
from tests.trade.folders import lists_in

ORDER = "rule,act,part,before_act,before_part,why,source\n"
HOLDS = "hold,name,after,kinds,parts,place,why,source\n"


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("a-rule,remove,ruder,remove,fin,Why.,mine\n", "'ruder' in the column 'part' is in no parts.csv"),
        ("a-rule,take,rudder,remove,fin,Why.,mine\n", "'take' in the column 'act' is not one of"),
        ("a-rule,remove,rudder,remove,fin,,mine\n", "the column 'why' is empty"),
        ("a-rule,remove,rudder,remove,,Why.,mine\n", "the column 'before_part' is empty"),
        ("a-rule,remove,rudder,remove,fin,Why.,\n", "the column 'source' is empty"),
    ],
)
def test_rule_of_order_that_says_nothing_is_refused(tmp_path: Path, row: str, told: str) -> None:
    own = lists_in(tmp_path, order=ORDER + row)
    (fault,) = check_vocabulary([*shipped_vocabulary(), own]).faults
    assert f"{own / 'order.csv'}, line 2: " in fault and told in fault


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("a-hold,A look,remove,,,after,Why.,mine\n", "'remove' in the column 'after' is not one of"),
        ("a-hold,A look,fit,control,,after,Why.,mine\n", "'control' in the column 'kinds' is not one of"),
        ("a-hold,A look,fit,,,later,Why.,mine\n", "'later' in the column 'place' is not one of"),
    ],
)
def test_hold_point_that_stops_nothing_is_refused(tmp_path: Path, row: str, told: str) -> None:
    own = lists_in(tmp_path, holds=HOLDS + row)
    (fault,) = check_vocabulary([*shipped_vocabulary(), own]).faults
    assert told in fault


def test_books_own_line_takes_the_place_of_the_common_one(tmp_path: Path) -> None:
    own = lists_in(tmp_path, order=ORDER + "rudder-before-fin,remove,rudder,remove,fin,On ours too.,our manual\n")
    rules = {one.rule: one for one in load_vocabulary([*shipped_vocabulary(), own]).order}
    assert rules["rudder-before-fin"].source == "our manual"
    assert "fin-before-tailplane" in rules
