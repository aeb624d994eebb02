"""A tenth of the corpus of broken and hostile files, of every family, through a whole run."""

import pytest

from measuring.hostile import run_corpus
from pipeline.errors import ExitCode
from tests.intake.hostile.corpus import FAMILIES, cases

EVERY = 12


@pytest.fixture(scope="module")
def done(tmp_path_factory):
    return run_corpus(tmp_path_factory.mktemp("hostile"), EVERY)


def test_every_hostile_file_is_in_the_records_or_set_aside_and_the_program_fails_on_none(done):
    outcome, result, _, _ = done
    assert result.faults == []
    assert outcome.program_faults == 0
    assert outcome.exit_code is ExitCode.SOME_SET_ASIDE


def test_every_family_is_in_it_and_some_of_it_is_of_use(done):
    _, result, _, _ = done
    assert set(result.made) == set(FAMILIES)
    assert all(result.made.values())
    assert result.taken.total() > 50
    assert result.aside.total() > 50


def test_no_decoder_holds_more_memory_than_it_may(done):
    _, _, _, watch = done
    assert watch.child_mb < 1000


def test_corpus_comes_out_the_same_each_time():
    for family in ("cut", "flipped", "rearranged", "lying-sizes", "captions"):
        first, second = (list(cases(family, 40)) for _ in range(2))
        assert [(one.name, one.content) for one in first] == [(one.name, one.content) for one in second]
