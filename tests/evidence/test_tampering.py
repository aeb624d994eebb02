"""No single change to a bag goes unnoticed: a thousand of them, of every kind, with fixed seeds."""

import shutil
from datetime import timedelta
from random import Random

import pytest

from pipeline.evidence.check import check
from pipeline.evidence.hashing import ALGORITHMS, hash_path
from pipeline.evidence.manifests import manifest_bytes
from pipeline.evidence.sealing import seal_book
from pipeline.history.chain import append
from pipeline.history.events import Act
from tests.evidence.changes import CHANGES, files_of, put_back, snapshot
from tests.evidence.small_book import NOW, small_book

ROUNDS, SEEDS = 250, (8493, 9, 14, 2026)


@pytest.fixture(scope="module")
def sealed(tmp_path_factory):
    home = tmp_path_factory.mktemp("sealed")
    return seal_book(small_book(home), home / "bags", NOW).bag


@pytest.mark.parametrize("seed", SEEDS)
def test_none_of_a_thousand_single_changes_goes_unnoticed(sealed, tmp_path, seed):
    random, bag = Random(seed), shutil.copytree(sealed, tmp_path / "bag")
    whole, done = snapshot(sealed), 0
    while done < ROUNDS:
        what = random.choice(CHANGES)(bag, random)
        changed = snapshot(bag)
        if changed == whole:
            continue
        done += 1
        checked = check(bag)
        assert checked.failed, what
        assert all(one.path for one in checked.differences), what
        put_back(bag, changed, whole)
    assert not check(bag).differences


def test_the_whole_bag_passes(sealed):
    checked = check(sealed)
    assert not checked.differences
    assert checked.seals[0][0] == sealed.name


def test_a_changed_byte_is_told_by_path_algorithm_and_both_hashes(sealed, tmp_path):
    bag = tmp_path / "bag"
    shutil.copytree(sealed, bag)
    page = bag / "data/out/logbook/index.html"
    page.write_bytes(page.read_bytes()[:-1] + b"!")
    found = {one.algorithm: one for one in check(bag).differences}
    assert set(found) == {"sha256", "sha512"}
    assert found["sha256"].path == "data/out/logbook/index.html"
    assert len(found["sha256"].expected) == len(found["sha256"].found) == 64
    assert found["sha256"].expected != found["sha256"].found


def test_a_bag_hashed_again_after_a_change_agrees_with_itself_and_shows_against_the_seal(sealed, tmp_path):
    bag = tmp_path / "bag"
    shutil.copytree(sealed, bag)
    said = bag / "data/out/captions/note-1.vtt"
    said.write_bytes(said.read_bytes().replace(b"rudder", b"dudder"))
    for prefix in ("manifest", "tagmanifest"):
        for name in ALGORITHMS:
            listed = [path for path in files_of(bag) if path.is_relative_to(bag / "data") == (prefix == "manifest")]
            listed = [path for path in listed if not path.name.startswith("tagmanifest")]
            hashes = {str(path.relative_to(bag)): hash_path(path, (name,))[name] for path in listed}
            (bag / f"{prefix}-{name}.txt").write_bytes(manifest_bytes(hashes))
    assert not check(bag).failed
    against = check(bag, check(sealed).seals[0][1])
    assert against.failed
    (seal,) = against.differences
    assert (seal.kind, seal.path) == ("seal", "tagmanifest-sha256.txt")


def test_no_single_change_to_bags_that_go_on_from_each_other_goes_unnoticed(tmp_path):
    random, whole = Random(8), tmp_path / "whole"
    book = small_book(tmp_path)
    for day in range(3):
        append(book.history_file, [Act("Alex Example", "answer", f"rule-{day}")], NOW)
        seal_book(book, whole, NOW + timedelta(days=day))
    as_sealed = snapshot(whole)
    assert check(whole).differences == ()
    bags, done = shutil.copytree(whole, tmp_path / "bags"), 0
    while done < 60:
        what = random.choice(CHANGES)(random.choice(sorted(bags.iterdir())), random)
        changed = snapshot(bags)
        if changed == as_sealed:
            continue
        done += 1
        assert check(bags).failed, what
        put_back(bags, changed, as_sealed)
    assert check(bags).differences == ()
