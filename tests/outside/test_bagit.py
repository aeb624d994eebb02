"""Our bags and our check, held to what others wrote.

Sources: RFC 8493, "The BagIt File Packaging Format (V1.0)", October 2018, by section (numbers from memory); the
Library of Congress's ``bagit`` package (1.9); the Python ``rocrate`` package (0.16) and RO-Crate 1.1, appendix
"Implementation notes" (the crate is the bag's data/); ``sha256sum`` of GNU coreutils.
"""

import json
import shutil
import subprocess

import bagit
import pytest
from rocrate.rocrate import ROCrate

from pipeline.evidence.bag_reading import Bag
from pipeline.evidence.check import check
from pipeline.evidence.manifests import manifest_bytes, read_manifest, read_tags
from pipeline.evidence.sealing import SealChoices, seal_book
from tests.evidence.small_book import NOW, small_book

# Section 2.2.2: the example of bag-info.txt, with its long values on two lines
BAG_INFO = b"""Source-Organization: FOO University
Organization-Address: 1 Main St., Cupertino, California, 11111
Contact-Name: Jane Doe
Contact-Phone: +1 111-111-1111
Contact-Email: example@example.com
External-Description: Uncompressed greyscale TIFF images from the
     FOO papers colle...
Bagging-Date: 2008-01-15
External-Identifier: university_foo_001
Payload-Oxum: 279164409832.1198
Bag-Group-Identifier: university_foo
Bag-Count: 1 of 15
Internal-Sender-Identifier: /storage/images/foo
Internal-Sender-Description: Uncompressed greyscale TIFFs created
        from microfilm and are...
"""
# Section 4.1: the basic bag's manifest
BASIC = b"""49afbd86a1ca9f34b677a3f09655eae9 data/27613-h/images/q172.png
408ad21d50cef31da4df6d9ed81b01a7 data/27613-h/images/q172.txt
"""


@pytest.fixture(scope="module")
def bag(tmp_path_factory):
    home = tmp_path_factory.mktemp("bag")
    media = {"camera/IMG 1.jpg": b"a photo", "phone/é 🔧 'x'.m4a": b"sound", "phone/new\nline.vtt": b"WEBVTT\n"}
    return seal_book(small_book(home, media), home / "bags", NOW).bag


def a_bag(folder, payload, *, version="1.0", algorithm="md5"):
    """Make a bag as somebody else might, by RFC 8493 alone."""
    import hashlib

    for path, content in payload.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(content)
    (folder / "bagit.txt").write_text(f"BagIt-Version: {version}\nTag-File-Character-Encoding: UTF-8\n")
    sums = {path: hashlib.new(algorithm, content).hexdigest() for path, content in payload.items()}
    (folder / f"manifest-{algorithm}.txt").write_bytes(manifest_bytes(sums))
    return folder


# The bagit package -----------------------------------------------------------------------------------------------


def test_the_bagit_package_finds_our_bag_valid(bag):
    theirs = bagit.Bag(str(bag))
    theirs.validate()
    assert theirs.version_info == (1, 0)
    assert sorted(theirs.algorithms) == ["sha256", "sha512"]
    assert theirs.info["Bagging-Date"] == "2026-03-01"
    assert theirs.info["Payload-Oxum"] == Bag(bag).info["Payload-Oxum"]


def test_our_check_finds_the_bagit_packages_bag_whole_and_its_changes(tmp_path):
    (tmp_path / "theirs").mkdir()
    (tmp_path / "theirs/a.txt").write_text("a")
    bagit.make_bag(str(tmp_path / "theirs"), {"Contact-Name": "Jane Doe"}, checksums=["sha256", "sha512"])
    assert not check(tmp_path / "theirs").differences
    (tmp_path / "theirs/data/a.txt").write_text("b")
    assert {one.kind for one in check(tmp_path / "theirs").differences} == {"changed"}


@pytest.mark.parametrize("left_out", ["tagmanifest-sha512.txt", "tagmanifest-sha256.txt"])
def test_we_find_what_the_bagit_package_misses(bag, tmp_path, left_out):
    mine = tmp_path / "bag"
    shutil.copytree(bag, mine)
    (mine / left_out).unlink()
    (mine / "more.txt").write_text("added")
    bagit.Bag(str(mine)).validate()
    found = {(one.path, one.kind) for one in check(mine).differences}
    assert {(left_out, "missing"), ("more.txt", "not-listed")} <= found


# RFC 8493 by section ---------------------------------------------------------------------------------------------


def test_2_1_1_the_declaration_is_two_lines_of_utf8_without_a_mark(bag, tmp_path):
    assert (bag / "bagit.txt").read_bytes() == b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    theirs = a_bag(tmp_path / "b", {"data/x": b"x"})
    (theirs / "bagit.txt").write_bytes(b"\xef\xbb\xbfBagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n")
    assert {one.path for one in check(theirs).differences} == {"bagit.txt"}


def test_2_1_3_only_percent_signs_and_line_ends_are_encoded_in_a_path():
    paths = {"data/100%.jpg": "a", "data/a\nb": "b", "data/a\r\nb": "c", "data/é b'\"🔧": "d", "data/%0A": "e"}
    written = manifest_bytes(paths).decode().splitlines()
    assert sorted(line.split("  ", 1)[1] for line in written) == sorted(
        ["data/100%25.jpg", "data/a%0Ab", "data/a%0D%0Ab", "data/é b'\"🔧", "data/%250A"]
    )
    assert set(read_manifest(manifest_bytes(paths)).hashes) == set(paths)


def test_2_1_3_white_space_between_hash_and_path_is_any_and_hashes_are_in_either_case():
    read = read_manifest(b"ABCDEF12 \t data/a  b.txt\r\nabcdef12  data/c\n")
    assert read.hashes == {"data/a  b.txt": "abcdef12", "data/c": "abcdef12"}


def test_2_1_3_a_path_is_listed_once_only():
    assert read_manifest(b"aa  data/x\naa  data/x\n").faults


def test_2_2_1_a_tag_manifest_lists_every_payload_manifest_and_all_tag_files_but_no_tag_manifest(bag):
    for manifest in Bag(bag).tag_manifests.values():
        assert set(manifest.hashes) == {
            "bagit.txt", "bag-info.txt", "README.txt",
            "carried-over.json", "manifest-sha256.txt", "manifest-sha512.txt",
        }  # fmt: skip


def test_2_2_2_the_example_of_bag_info_is_read():
    tags = dict(read_tags(BAG_INFO))
    assert tags["External-Description"] == "Uncompressed greyscale TIFF images from the FOO papers colle..."
    assert tags["Contact-Phone"] == "+1 111-111-1111"
    assert len(tags) == 13


def test_2_2_2_payload_oxum_is_octets_and_streams_and_labels_are_those_reserved(bag):
    payload = [path for path in (bag / "data").rglob("*") if path.is_file()]
    tags = read_tags((bag / "bag-info.txt").read_bytes())
    assert ("Payload-Oxum", f"{sum(path.stat().st_size for path in payload)}.{len(payload)}") in tags
    assert len({label for label, _ in tags}) == len(tags)
    reserved = {"Bagging-Date", "External-Identifier", "External-Description", "Bag-Size", "Bag-Group-Identifier",
                "Bag-Count", "Payload-Oxum"}  # fmt: skip
    assert reserved <= {label for label, _ in tags}


def test_2_2_3_a_file_still_to_be_fetched_is_not_here_rather_than_lost(tmp_path):
    theirs = a_bag(tmp_path / "b", {"data/x": b"x", "data/big": b"y"})
    (theirs / "data/big").unlink()
    (theirs / "fetch.txt").write_text("http://example.com/big 1 data/big\n")
    checked = check(theirs)
    assert not checked.failed
    assert [(one.path, one.kind) for one in checked.differences] == [("data/big", "away")]


def test_2_4_sha512_is_among_the_manifests(bag):
    assert (bag / "manifest-sha512.txt").is_file()


@pytest.mark.parametrize("algorithm", ["md5", "sha1", "sha256", "sha512"])
def test_2_4_bags_with_any_of_the_named_hashes_are_checked(tmp_path, algorithm):
    theirs = a_bag(tmp_path / "b", {"data/x": b"x"}, algorithm=algorithm)
    assert not check(theirs).differences
    (theirs / "data/x").write_bytes(b"y")
    assert check(theirs).failed


def test_3_every_payload_file_is_in_every_manifest_and_every_listed_file_is_there(tmp_path):
    theirs = a_bag(tmp_path / "b", {"data/x": b"x", "data/y": b"y"})
    (theirs / "data/z").write_bytes(b"z")
    (theirs / "data/x").unlink()
    assert {(one.path, one.kind) for one in check(theirs).differences} == {
        ("data/x", "missing"), ("data/z", "not-listed"),
    }  # fmt: skip


def test_4_1_the_basic_bags_manifest_is_read_with_one_blank():
    assert read_manifest(BASIC).hashes["data/27613-h/images/q172.txt"] == "408ad21d50cef31da4df6d9ed81b01a7"
    assert not read_manifest(BASIC).faults


@pytest.mark.parametrize("path", ["data/../../secret", "../secret", "/etc/hosts", "~/secret", "data/./../../secret"])
def test_5_1_a_path_that_leads_out_of_the_bag_is_told_and_not_followed(tmp_path, path):
    theirs = a_bag(tmp_path / "b", {"data/x": b"x"})
    with (theirs / "manifest-md5.txt").open("a") as manifest:
        manifest.write(f"{'0' * 32}  {path}\n")
    (found,) = check(theirs).differences
    assert found.kind == "unsafe"


# RO-Crate --------------------------------------------------------------------------------------------------------


def test_the_crate_is_read_by_the_rocrate_package_and_every_file_in_it_is_there(bag):
    crate = ROCrate(bag / "data")
    assert crate.metadata["conformsTo"] in ("https://w3id.org/ro/crate/1.1", {"@id": "https://w3id.org/ro/crate/1.1"})
    assert crate.name.startswith("Crew Trainer: record of work")
    listed = {entity.id for entity in crate.data_entities}
    payload = [path for path in (bag / "data").rglob("*") if path.is_file()]
    assert len(listed) == len(payload) - 1  # the crate does not list itself
    held = [str(entity.source) for entity in crate.data_entities]
    assert all(bag.joinpath("data") in path.parents for path in payload)
    assert {path for path in held} == {str(path) for path in payload if path.name != "ro-crate-metadata.json"}


def test_the_crate_tells_hashes_and_names_only_people_who_agreed(bag):
    crate = ROCrate(bag / "data")
    manifest = Bag(bag).manifests["sha256"].hashes
    by_hash = {entity["sha256"] for entity in crate.data_entities}
    assert by_hash == {digest for path, digest in manifest.items() if not path.endswith("ro-crate-metadata.json")}
    people = {entity["name"] for entity in crate.contextual_entities if entity.type == "Person"}
    assert people == {"Alex Example", "airframe fitter"}
    assert "Sam Quiet" not in (bag / "data/ro-crate-metadata.json").read_text()
    assert json.loads((bag / "data/ro-crate-metadata.json").read_text())["@context"].endswith("/1.1/context")


# Without any program of ours ---------------------------------------------------------------------------------------


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="there is no sha256sum here")
def test_sha256sum_checks_a_bag_without_this_program(tmp_path):
    home = tmp_path
    sealed = seal_book(small_book(home), home / "bags", NOW, SealChoices(plain_names=True))
    told = subprocess.run(["sha256sum", "tagmanifest-sha256.txt"], cwd=sealed.bag, capture_output=True, text=True)
    assert told.stdout.split()[0] == sealed.seal
    for manifest in ("tagmanifest-sha256.txt", "manifest-sha256.txt"):
        done = subprocess.run(["sha256sum", "--check", "--quiet", manifest], cwd=sealed.bag, capture_output=True)
        assert done.returncode == 0, done.stderr
    (sealed.bag / "data/book.toml").write_text("x")
    done = subprocess.run(
        ["sha256sum", "--check", "--quiet", "manifest-sha256.txt"], cwd=sealed.bag, capture_output=True
    )
    assert b"data/book.toml: FAILED" in done.stdout
