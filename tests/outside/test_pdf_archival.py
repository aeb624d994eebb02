"""The printed logbook against what archives and reading programs ask of a PDF.

Sources: ISO 19005-3:2012 (PDF/A-3), ISO 14289-1:2014 (PDF/UA-1) and the Matterhorn Protocol 1.02 of the PDF
Association, from memory; each check names its clause.
"""

import itertools
import json
from functools import cache
from pathlib import Path

import pikepdf
import pytest

from pipeline.records import Records
from pipeline.writing.captions import caption_files
from pipeline.writing.logbook_pdf import LogbookSetter
from pipeline.writing.logbook_pdf_period import volumes
from tests.writing.a_weekend import MAKERS, records, settings, vocabulary
from tests.writing.reading_pdf import attached, elements, metadata, opened

PDFA = "{http://www.aiim.org/pdfa/ns/id/}"
PDFUA = "{http://www.aiim.org/pdfua/ns/id/}"
DC = "{http://purl.org/dc/elements/1.1/}"


@cache
def _logbook() -> bytes:
    setter = LogbookSetter(records(), settings(), vocabulary(), Path("/no/such/out"), MAKERS)
    (volume,) = volumes(records(), settings().zone)
    return setter.set(setter.filled(volume, "a4"))


@pytest.fixture
def document() -> pikepdf.Pdf:
    return opened(_logbook())


def test_it_says_that_it_is_pdf_a_3a_and_pdf_ua_1(document: pikepdf.Pdf) -> None:
    # ISO 19005-3, 6.6.4 (version and conformance level identification); ISO 14289-1, 5 (identification)
    told = metadata(document)
    assert (told[f"{PDFA}part"], told[f"{PDFA}conformance"], told[f"{PDFUA}part"]) == ("3", "A", "1")


def test_colours_have_an_output_intent_with_a_profile(document: pikepdf.Pdf) -> None:
    # ISO 19005-3, 6.2.3 (output intent): GTS_PDFA1 with an embedded ICC profile
    (intent,) = [one for one in document.Root.OutputIntents if one.S == "/GTS_PDFA1"]
    assert intent.DestOutputProfile.read_bytes()[36:40] == b"acsp"  # ICC.1, 7.2.2: the profile file signature


def test_title_is_shown_language_is_given_and_content_is_marked(document: pikepdf.Pdf) -> None:
    # ISO 14289-1, 7.1: dc:title, DisplayDocTitle, MarkInfo; 7.2: Lang. Matterhorn 06-003, 07-001, 11-006
    told = metadata(document)
    assert told[f"{DC}title"] == "Crew Trainer: logbook, 14 to 15 February 2026"
    assert told[f"{DC}creator"] == f"{records().book.aircraft}: working record"
    assert bool(document.Root.ViewerPreferences.DisplayDocTitle)
    assert str(document.Root.Lang) == "en-GB"
    assert bool(document.Root.MarkInfo.Marked)


def test_every_font_is_embedded_and_says_which_letters_it_draws(document: pikepdf.Pdf) -> None:
    # ISO 19005-3, 6.2.11.4 (embedding) and 6.2.11.7 (Unicode character maps)
    fonts = [one for one in document.objects if isinstance(one, pikepdf.Dictionary) and one.get("/Type") == "/Font"]
    described = [one for one in fonts if "/FontDescriptor" in one]
    assert described
    for font in described:
        assert any(name in font.FontDescriptor for name in ("/FontFile", "/FontFile2", "/FontFile3"))
    assert all("/ToUnicode" in one for one in fonts if one.Subtype == "/Type0")


def test_every_picture_has_words_in_its_place_and_a_caption(document: pikepdf.Pdf) -> None:
    # ISO 14289-1, 7.3 (graphics); Matterhorn 13-004
    figures = [one for one in elements(document) if one.S == "/Figure"]
    shown = {link.media for entry in records().entries for link in entry.photos}
    shown |= {one.media for one in records().unplaced_photos}
    assert len(figures) >= len(shown)
    assert all(str(one.get("/Alt", "")).strip() for one in figures)


def test_headings_begin_at_one_and_skip_no_level(document: pikepdf.Pdf) -> None:
    # ISO 14289-1, 7.4.2; Matterhorn 14-002, 14-003
    levels = [int(str(one.S)[2]) for one in elements(document) if str(one.S) in ("/H1", "/H2", "/H3", "/H4")]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


def test_every_table_has_header_cells(document: pikepdf.Pdf) -> None:
    # ISO 14289-1, 7.5 (tables); Matterhorn 15-003
    for table in (one for one in elements(document) if one.S == "/Table"):
        inside = pikepdf.Dictionary(K=table.K)
        waiting, heads = [inside.K], []
        while waiting:
            one = waiting.pop()
            if isinstance(one, pikepdf.Array):
                waiting += list(one)
            elif isinstance(one, pikepdf.Dictionary):
                if one.get("/S") == "/TH":
                    heads.append(one)
                waiting += [one.K] if "/K" in one else []
        assert heads


def test_links_have_a_description_and_pages_follow_the_structure(document: pikepdf.Pdf) -> None:
    # ISO 14289-1, 7.18.5 (links: Contents) and 7.18.3 (tab order); Matterhorn 28-012, 28-008
    for page in document.pages:
        notes = list(page.get("/Annots", []))
        assert all(str(one.get("/Contents", "")) for one in notes if one.Subtype == "/Link")
        assert not notes or page.get("/Tabs") == "/S"


def test_records_and_captions_are_inside_with_what_they_are(document: pikepdf.Pdf) -> None:
    # ISO 19005-3, 6.8 (embedded files): F, UF, AFRelationship, Subtype; Desc is recommended
    files = attached(document)
    captions = {Path(place).name: text for place, text in caption_files(records()).items()}
    assert set(files) == {"records.json", *captions}
    for name, one in files.items():
        assert str(one.AFRelationship) == ("/Data" if name == "records.json" else "/Supplement")
        assert str(one.EF.F.Subtype) == ("/application/json" if name == "records.json" else "/text/vtt")
        assert str(one.Desc)
    inside = json.loads(files["records.json"].EF.F.read_bytes())
    assert Records.model_validate(inside) == records()
    assert files[next(iter(captions))].EF.F.read_bytes().decode() == captions[next(iter(captions))]
