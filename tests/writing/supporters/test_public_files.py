"""The last look at a report's files, by files that no planner made."""

import base64
import io
from urllib.parse import quote

import pytest
from PIL import Image

from pipeline.writing.supporters.public_files import let_out
from tests.writing.supporters.secret_book import HARMLESS, SECRETS, secret_watch

_WATCH = secret_watch()
_NAME = "Norris Yelland"
_BASE64 = base64.b64encode(b"<p>Norris Yelland swept the floor.</p>").decode()


def _page(body: str, head: str = "") -> bytes:
    start = f'<!DOCTYPE html>\n<html lang="en-GB">\n<head><title>News from the hangar</title>{head}</head>\n'
    return f"{start}<body><h1>Off comes the wing</h1>{body}</body></html>\n".encode()


def test_harmless_files_stay_byte_for_byte() -> None:
    paragraphs = "".join(f"<p>{text}</p>" for text in HARMLESS)
    lines = "\n\n".join(["# Off comes the wing", *(text for text in HARMLESS), "- **Flap**: a part of the wing."])
    files = {"report.html": _page(paragraphs), "report.md": f"{lines}\n".encode()}
    done = let_out(files, _WATCH)
    assert not done.fault and not done.withheld
    assert dict(done.files) == files


def test_a_sentence_goes_and_its_neighbours_stay() -> None:
    done = let_out(
        {
            "report.html": _page("<p>The wing came away. Wilf held the lamp. Tea was at eleven.</p><p>Wilf did.</p>"),
            "report.md": b"The wing came away. Wilf held the lamp. Tea was at eleven.\n\n*Wilf did.*\n",
        },
        _WATCH,
    )
    assert not done.fault
    assert b"<p>The wing came away. Tea was at eleven.</p></body>" in done.files["report.html"]
    assert done.files["report.md"] == b"The wing came away. Tea was at eleven.\n"
    assert {(one.what, one.where) for one in done.withheld} >= {
        ("Wilf held the lamp.", "report.html"),
        ("Wilf held the lamp.", "report.md"),
    }


@pytest.mark.parametrize(
    "body",
    [
        "<p>Nor<b>ris</b> swept the floor.</p>",
        "<p>N&#111;rris swept the floor.</p>",
        "<p>N&#x6f;rris <i>Yel</i>land swept the floor.</p>",
        "<p>Nor&shy;ris swept the floor.</p>",
        '<figure><img alt="Norris Yelland at work." src="a.jpg"><figcaption>Norris at work.</figcaption></figure>',
        '<p title="Norris swept">Tea was at eleven.</p>',
        "<h2>Norris sweeps</h2><p>Tea was at eleven.</p>",
        "<!-- Norris Yelland --><p>Tea was at eleven.</p>",
        '<svg><title>Norris Yelland</title><text>Nor<tspan dx="1">ris</tspan></text></svg>',
        "<ul><li>Norris Yelland</li><li>Tea</li></ul>",
        "<dl><div><dt>Floor</dt><dd>What Norris sweeps.</dd></div></dl>",
        "<table><tr><td>Norris</td></tr></table>",
    ],
)
def test_a_name_is_taken_out_of_every_corner_of_a_page(body: str) -> None:
    done = let_out({"report.html": _page(body)}, _WATCH)
    assert not done.fault
    page = done.files["report.html"].decode()
    assert "orris" not in page and "elland" not in page and "land swept" not in page
    assert "<p></p>" not in page and "<h2></h2>" not in page
    assert done.withheld or body.startswith("<!--")


@pytest.mark.parametrize(
    ("place", "content"),
    [
        ("norris-yelland.html", _page("<p>Tea was at eleven.</p>")),
        ("pictures/01-wilf-harkaway.html", _page("")),
        ("report.html", _page('<img alt="" src="pictures/norris.jpg">')),
        ("report.html", _page(f'<img alt="" src="pictures/{quote("Norris Yelland")}.jpg">')),
        ("report.html", _page('<img alt="" src="pictures/%4Eorris.jpg">')),
        ("report.html", _page('<img alt="" src="../../media/IMG_20260214_1015.jpg">')),
        ("report.html", _page("", "<style>p::after { content: 'Norris Yelland' }</style>")),
        ("report.html", _page("", "<style>/* by Norris Yelland */</style>")),
        ("report.html", _page("", "<script>var who = 'Norris Yelland'</script>")),
        ("report.html", _page(f'<a href="data:text/html;base64,{_BASE64}">Tea</a>')),
        ("report.html", _page(f'<a href="data:text/html,{quote(_NAME)}">Tea</a>')),
        ("report.html", _page(f"<p>Tea</p><i id='{_NAME}'></i>")),
        ("report.html", _page("<p>Tea <![CDATA[ Norris Yelland ]]></p>")),
        ("report.md", b"![The wing.](pictures/norris-yelland.jpg)\n"),
        ("notes.docx", b"anything"),
    ],
)
def test_what_cannot_be_taken_out_stops_the_report(place: str, content: bytes) -> None:
    done = let_out({place: content, "other.md": b"Tea was at eleven.\n"}, _WATCH)
    assert done.fault and not done.files
    assert "was not written" in done.fault and place in done.fault


def _jpeg(**options: object) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (32, 24), (90, 90, 90)).save(out, "JPEG", **options)
    return out.getvalue()


def test_a_picture_with_anything_but_the_picture_stops_the_report_in_a_file_and_in_the_page() -> None:
    for picture in (_jpeg(comment=b"by the far wall"), _jpeg() + b"by the far wall"):
        assert let_out({"pictures/01-wing.jpg": picture}, _WATCH).fault
        inside = base64.b64encode(picture).decode()
        assert let_out({"report.html": _page(f'<img alt="" src="data:image/jpeg;base64,{inside}">')}, _WATCH).fault
    bare = base64.b64encode(_jpeg()).decode()
    done = let_out(
        {"pictures/01-wing.jpg": _jpeg(), "report.html": _page(f'<img alt="" src="data:image/jpeg;base64,{bare}">')},
        _WATCH,
    )
    assert not done.fault


@pytest.mark.parametrize("form", ["<p>{}</p>", "<li>{} Tea was at eleven.</li>", '<img alt="{}" src="a.jpg">'])
def test_no_planted_secret_is_left_in_a_page(form: str) -> None:
    kept = [one for one in SECRETS if not set('<&"') & set(one["sentence"]) and one["kind"] != "a quotation"]
    for one in kept:
        done = let_out({"report.html": _page(form.format(one["sentence"]))}, _WATCH)
        page = b"".join(done.files.values()).decode()
        assert one["sentence"] not in page and (done.fault or done.withheld), one


def test_no_planted_secret_is_left_in_a_text() -> None:
    for form in ("{}\n", "- **Flap**: {}\n", "![{}](pictures/01-wing.jpg)\n", "> {}\n", "# {}\n"):
        text = "\n".join(form.format(one["sentence"]) for one in SECRETS if one["kind"] != "a quotation")
        done = let_out({"report.md": text.encode()}, _WATCH)
        left = b"".join(done.files.values()).decode()
        assert not [one for one in SECRETS if one["sentence"] in left]


def test_a_quotation_stays_where_its_speaker_is_named_beside_it_and_goes_where_nobody_is() -> None:
    quoted = "\u201cDrained the hydraulic reservoir\u201d"
    done = let_out(
        {
            "a.html": _page(f"<blockquote>{quoted}. So says Tamsin Orrell.</blockquote>"),
            "b.html": _page(f"<blockquote>{quoted}. So say all.</blockquote>"),
            "a.md": f"{quoted}. So says Tamsin Orrell.\n".encode(),
        },
        _WATCH,
    )
    assert not done.fault
    assert "reservoir" in done.files["a.html"].decode() and "reservoir" in done.files["a.md"].decode()
    assert "reservoir" not in done.files["b.html"].decode()


def test_looking_twice_changes_nothing() -> None:
    page = _page("".join(f"<p>{one['sentence']} {text}</p>" for one, text in zip(SECRETS, HARMLESS, strict=False)))
    once = let_out({"report.html": page}, _WATCH)
    twice = let_out(once.files, _WATCH)
    assert not once.fault and dict(twice.files) == dict(once.files) and not twice.withheld
