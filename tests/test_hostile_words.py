"""A whole book of hostile words: said, in file names, settings, vocabulary and decisions. Nothing that is written or
printed holds them as anything but text.

Sources: OWASP, "CSV Injection"; Unicode Standard Annex #9 (directional formatting characters); ECMA-48 (control
sequences). From memory. Pages are read by html5lib, Markdown by markdown-it: neither was made for this program.
"""

import csv
import json
import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.parse import quote
from xml.etree import ElementTree

import html5lib
import pikepdf
import pytest
from markdown_it import MarkdownIt
from starlette.testclient import TestClient

from pipeline.book import Book
from pipeline.history.acts import Change, amend, decide
from pipeline.history.seen import Seen
from pipeline.records import Records
from pipeline.review.open_book import OpenBook
from pipeline.review.server import review_app
from tests.small_media import make_captions, make_photo
from tests.test_command_line import command
from tests.writing.reading_pdf import text_of

TEN = datetime(2026, 2, 14, 10, tzinfo=UTC)
NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
_TAGS = "\"'></title></style></text></svg><x-pwned data-pwned=1 onload=pwned()><script>pwned()</script>"
_TAGS += "<img src=x onerror=pwned()>"
_TYPST = '#panic("pwned") $x$ *bold* _it_ `raw` @pwned <pwned> \\ #read("/etc/passwd")'
_MARKDOWN = "[pwned](javascript:pwned()) ![x](http://pwned.example/x.png) <x-pwned> **pwned**"
_FORMULA = '=HYPERLINK("http://pwned.example";"x")'
_TEMPLATE = "{{ 7*7 }} {% include 'pwned' %} ${7*7} %s"
_TURNED = "\u202egnp.exe\u202c\u2066x"
_ANSI = "\x1b[31mred\x1b[0m\x1b]0;pwned\x07\x9b31m"
EVERY = " ".join((_TAGS, _TYPST, _MARKDOWN, _FORMULA, _TEMPLATE, _TURNED, _ANSI, "cafe\u0301 caf\u00e9"))
_IN_FILE_NAMES = EVERY.replace("/", "\u2215")
_NO_TERMINAL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")
_STRING = re.compile(r'"(?:[^"\\\n]|\\.)*"')
_OURS = frozenset({"script", "style"})
BEA = f"Bea {_TAGS[:60]} {_TURNED}"

WORDS = """WEBVTT

NOTE taken {taken}

00:00.000 --> 00:04.000
The port rudder's off, three bolts, tagged P-0142.

00:05.000 --> 00:08.000
There's a crack in the port rudder, 12 mm long. {hostile}

00:09.000 --> 00:12.000
=cmd|calc the gizmo plate is off. It's on rack 3.
"""


def toml(text: str) -> str:
    return json.dumps(text)


@pytest.fixture(scope="module")
def book(tmp_path_factory) -> Book:
    """A book that was run, decided on, and run again."""
    home = tmp_path_factory.mktemp("hostile")
    media = home / "media"
    said = WORDS.replace("{hostile}", EVERY.replace("\n", " ").replace("{", "{{").replace("}", "}}"))
    names = [
        name.encode()[:200].decode("utf-8", "ignore") for name in (_IN_FILE_NAMES, _IN_FILE_NAMES[150:], _FORMULA)
    ]
    make_captions(media / f"{names[0]}.vtt".replace("/", "\u2215"), TEN, said)
    for number, name in enumerate((*names, "x" * 251, "cafe\u0301", "caf\u00e9", "-rf", "\u202egpj")):
        make_photo(
            media / f"{name.replace('/', chr(0x2215))}.jpg", TEN + timedelta(seconds=2 + number), seed=number + 1
        )
    (media / f"damaged{names[2].replace('/', chr(0x2215))}.jpg").write_bytes(b"\xff\xd8\xff\xe0 no picture")
    made = Book(home / "book")
    assert command("new", made.folder, "--aircraft", "Crew Trainer").exit_code == 0
    settings = made.settings_file.read_text().replace('name = "Crew Trainer"', f"name = {toml(EVERY)}")
    settings = settings.replace("words = []", f"words = [{toml('unspoken ' + EVERY)}]")
    settings = settings.replace('closing = ""', f"closing = {toml('Come and see us. ' + _MARKDOWN)}")
    settings += (
        f"\n[[people]]\nname = {toml(BEA)}\nrole = {toml('fitter ' + EVERY)}\nconsent = true\nmay_release = true\n"
    )
    settings += f"may_sign = [{toml('read ' + EVERY)}]\n"
    made.settings_file.write_text(settings, encoding="utf-8")
    row = ["gizmo-plate", f"gizmo plate {_TAGS}", "gizmo plate", "structure", f"{_FORMULA} {_MARKDOWN} {_TAGS}"]
    with (made.vocabulary_folder / "parts.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([["notation", "preferred", "alternatives", "kind", "gloss"], row])
    with (made.vocabulary_folder / "taught.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([["heard", "means", "part"], ["gizmo hatch", f"gizmo {_TAGS}", "gizmo-plate"]])
    assert command("run", made.folder, media, "--quiet").exit_code in (0, 3)
    _decide(made)
    assert command("run", made.folder, "--quiet").exit_code in (0, 3)
    return made


def _decide(book: Book) -> None:
    records = records_of(book)
    entry = next(one for one in records.entries if len(one.utterances) > 1)
    facts = [fact.model_dump(mode="json", exclude_defaults=True) for fact in entry.facts]
    for fact in facts:
        fact.pop("rule", None), fact.pop("confidence", None), fact.pop("check", None), fact.pop("inferred", None)
    facts[0] |= {"tag": EVERY, "stowage": {"rack": EVERY, "bag": _FORMULA}}
    change = Change(facts=facts, words={entry.utterances[0]: f"{EVERY} The port rudder's off."})
    made = amend(book, Seen.of(entry), change, BEA, NOW, EVERY)
    decide(book, Seen.of(entry), "accept", BEA, NOW, why=EVERY)
    assert made.why == EVERY


def records_of(book: Book) -> Records:
    return Records.model_validate_json((book.out / "records.json").read_bytes())


# Pages and drawings


def elements(text: str) -> Iterator[ElementTree.Element]:
    return (one for one in html5lib.parse(text, namespaceHTMLElements=False).iter() if isinstance(one.tag, str))


def assert_inert(text: str, where: object) -> None:
    for one in elements(text):
        name = one.tag.rpartition("}")[2]
        assert "pwned" not in name, where
        if name in _OURS:
            assert "pwned" not in _STRING.sub("", one.text or ""), where
        for attribute, value in one.attrib.items():
            key = str(attribute[-1] if isinstance(attribute, tuple) else attribute)
            assert not key.startswith("on") and "pwned" not in key, (where, key)
            if key in ("href", "src", "action", "srcset", "xlink:href"):
                assert not re.match(r"\s*(?:javascript|data:text|https?):", value), (where, value)
            if key == "style":
                assert "pwned" not in value, (where, value)


def test_pages_hold_them_as_text_alone(book):
    pages = sorted(book.out.rglob("*.html"))
    assert len(pages) > 8
    whole = ""
    for page in pages:
        text = page.read_text(encoding="utf-8")
        assert_inert(text, page)
        assert not _NO_TERMINAL.search(text), page
        assert "49 {%" not in text
        whole += text
    for shown in ("&lt;x-pwned", "#panic(", "[pwned](javascript:", "HYPERLINK", "{{ 7*7 }}", "⟨U+202E⟩", "⟨U+001B⟩"):
        assert shown in whole, shown


def test_drawings_are_whole_and_hold_no_script(book):
    for drawing in book.out.rglob("*.svg"):
        tree = ElementTree.fromstring(drawing.read_text(encoding="utf-8"))
        for one in tree.iter():
            assert one.tag.rpartition("}")[2] not in ("script", "foreignObject", "x-pwned"), drawing
            assert not any(key.rpartition("}")[2].startswith("on") for key in one.attrib), drawing


# Data


def test_cells_begin_no_formula_and_rows_are_whole(book):
    sheets = sorted(book.out.rglob("*.csv"))
    assert len(sheets) > 4
    whole = ""
    for sheet in sheets:
        rows = list(csv.reader(sheet.read_text(encoding="utf-8-sig").splitlines()))
        for row in rows:
            assert len(row) == len(rows[0]), sheet
            for one in row:
                assert not re.match(r"\s*[=+\-@\t\r]", one) or re.fullmatch(r"-?\d+(?:\.\d+)?", one), (sheet, one)
                assert not _NO_TERMINAL.search(one), (sheet, one)
        whole += sheet.read_text(encoding="utf-8-sig")
    assert "HYPERLINK" in whole and "x-pwned" in whole


def test_records_say_just_what_was_said(book):
    records = records_of(book)
    entry = next(one for one in records.entries if one.review == "amended")
    assert entry.decided[0].why == EVERY and entry.facts[0].tag == EVERY
    assert EVERY in {one.read for one in records.utterances if one.id in entry.utterances}.pop() or any(
        EVERY in one.read for one in records.utterances
    )


def test_captions_hold_no_cue_and_no_tag_of_theirs(book):
    (file,) = [one for one in (book.out / "captions").iterdir() if "gizmo" in one.read_text(encoding="utf-8")]
    text = file.read_text(encoding="utf-8")
    assert text.count("-->") == len([one for one in records_of(book).utterances if one.read.strip()])
    cues = [block for block in text.split("\n\n") if not block.startswith("NOTE")]  # a note is no cue
    assert not any("<" in block for block in cues) and not _NO_TERMINAL.search(text)


def test_names_of_written_files_are_plain(book):
    for one in book.out.rglob("*"):
        assert re.fullmatch(r"[\w.-]+", one.name), one


# Print


def test_logbook_prints_them_letter_for_letter_and_links_nowhere(book):
    pdf = (book.out / "logbook" / "logbook.pdf").read_bytes()
    text = text_of(pdf)
    for shown in ('#panic("pwned")', "$x$ *bold* _it_", '#read("/etc/passwd")', "[pwned](javascript:"):
        assert shown in text, shown
    assert "root:" not in text and not _NO_TERMINAL.search(text.replace("\x02", ""))  # a hyphen, as pdfium tells it
    with pikepdf.open(book.out / "logbook" / "logbook.pdf") as document:
        assert "/OpenAction" not in document.Root and "/JavaScript" not in document.Root.get("/Names", {})
        for page in document.pages:
            for note in page.get("/Annots", []):
                assert "pwned" not in str(note.get("/A", {}).get("/URI", ""))
                assert note.get("/A", {}).get("/S", "") not in ("/JavaScript", "/Launch")


def test_report_as_markdown_is_inert(book):
    reports = sorted((book.out / "supporters").rglob("*.md"))
    assert reports
    for report in reports:
        text = report.read_text(encoding="utf-8")
        made = MarkdownIt("commonmark", {"html": True}).render(text)
        for one in elements(made):
            assert "pwned" not in one.tag and one.tag != "script"
            assert not any("pwned" in value or key.startswith("on") for key, value in one.attrib.items()), one.attrib
        assert not _NO_TERMINAL.search(text)


# Terminal


def test_no_command_sends_a_control_or_turns_the_line(book):
    entry = records_of(book).entries[0].id
    wanted = (
        ("run", book.folder),
        ("history", book.folder),
        ("history", book.folder, "--on", "2026-03-01"),
        ("history", book.folder, "--first-made"),
        ("trace", book.folder, entry),
        ("find", book.folder, "pwned"),
        ("find", book.folder, EVERY),
        ("where", book.folder, "port rudder"),
        ("where", book.folder, EVERY),
        ("check", book.folder),
        ("report-check", book.folder),
        ("report", book.folder),
        ("vocab", "check", book.folder),
        ("vocab", "teach", book.folder, EVERY, EVERY, "--who", BEA),
        ("vocab", "add", book.folder, EVERY),
        ("decide", book.folder, EVERY, "--accept", "--who", EVERY),
        ("decide", book.folder, entry, "--accept", "--who", EVERY),
        ("sign", book.folder, entry, "--who", BEA, "--for", EVERY),
        ("run", book.folder.parent / EVERY.replace("\x00", "")[:80].replace("/", "")),
    )
    whole = ""
    for words in wanted:
        done = command(*words)
        assert done.exit_code in (0, 2, 3, 4), (words[:1], done.output, done.exception)
        for text in (done.stdout, done.stderr):
            assert not _NO_TERMINAL.search(text), (words[0], _NO_TERMINAL.search(text), text[:300])
        whole += done.stdout
    assert "x-pwned" in whole


# The page for checking


def test_review_pages_hold_them_as_text_alone(book):
    opened = OpenBook(book, lambda: NOW)
    client = TestClient(review_app(opened, 8123, "secret", BEA), base_url="http://127.0.0.1:8123")
    client.get("/?token=secret")
    days = {one.at.date().isoformat() for one in opened.records().entries}
    where = ["/", "/who", "/teach", "/release", f"/teach?heard={quote(_TAGS)}&means={quote(_TYPST)}"]
    where += [f"/{kind}/{day}" for kind in ("day", "release") for day in days]
    where += [f"/entry/{one.id}" for one in opened.records().entries]
    whole = ""
    for one in where:
        answer = client.get(one)
        assert answer.status_code == 200, one
        assert_inert(answer.text, one)
        whole += answer.text
    assert "&lt;x-pwned" in whole and "{{ 7*7 }}" in whole
    form = {"csrf": re.search(r'name="csrf" value="([^"]*)"', whole)[1], "heard": EVERY, "means": EVERY}
    told = client.post("/teach/look", data=form, headers={"Origin": "http://127.0.0.1:8123"})
    assert_inert(told.text, "/teach/look")


def test_what_was_decided_is_kept_byte_for_byte_in_the_history_one_event_a_line(book):
    lines = book.history_file.read_bytes().split(b"\n")
    events = [json.loads(one) for one in lines if one]
    assert [one["n"] for one in events] == list(range(1, len(events) + 1))
    assert any(one["why"] == EVERY for one in events)
    assert Path(book.folder / "history.head").read_text().split()[0] == str(len(events))
