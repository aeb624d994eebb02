import re
import threading
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta, timezone
from http.client import HTTPConnection
from zoneinfo import ZoneInfo

import pytest

from pipeline.cards.clock_page import ClockServer, card_values, zone_called
from pipeline.errors import WrongCommand

AT = datetime(2026, 7, 14, 9, 20, 37, 250_000, tzinfo=UTC)
SUMMER = timezone(timedelta(hours=1))


@contextmanager
def served(zone=SUMMER):
    with ClockServer(lambda: AT, zone) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
        thread.start()
        try:
            yield server
        finally:
            server.shutdown()
            thread.join()


@pytest.fixture(scope="module")
def server():
    with served() as running:
        yield running


def ask(server, path, method="GET", **headers):
    connection = HTTPConnection("127.0.0.1", server.server_address[1], timeout=10)
    try:
        connection.request(method, path, headers=headers)
        answer = connection.getresponse()
        return answer, answer.read().decode()
    finally:
        connection.close()


def test_page_shows_code_time_date_offset_and_words(server):
    answer, page = ask(server, "/")
    assert answer.status == 200
    for shown in (
        'aria-label="QR code: CLOCK 2026-07-14T09:20:37Z"',
        "10:20:37",
        "Tuesday 14 July 2026",
        "+01:00",
        "The time is ten hours, twenty minutes and thirty seconds, on Tuesday the fourteenth of July",
        "Photograph this with every camera",
        "read the words aloud",
        "the network sets its clock",
    ):
        assert shown in page


def test_card_alone_is_what_the_page_puts_in_its_place_each_second(server):
    answer, card = ask(server, "/card")
    assert answer.status == 200
    assert card in ask(server, "/")[1]
    assert 'fetch("/card"' in ask(server, "/")[1]


def test_code_alone_comes_as_svg_whatever_follows_the_question_mark(server):
    answer, drawing = ask(server, "/card.svg?1771064431")
    assert answer.getheader("Content-Type").startswith("image/svg+xml")
    assert drawing.startswith("<svg ") and drawing in ask(server, "/card")[1]


def test_without_script_the_page_comes_again_each_second(server):
    assert '<noscript><meta http-equiv="refresh" content="1"></noscript>' in ask(server, "/")[1]


def test_page_takes_nothing_from_outside(server):
    _, page = ask(server, "/")
    assert not re.findall(r"""(?:src|href|url)\s*[=(]""", page)
    assert set(re.findall(r"https?://[^\s\"'<]+", page)) == {"http://www.w3.org/2000/svg"}


def test_nothing_is_kept_and_nothing_may_be_loaded_framed_or_run_but_the_pages_own(server):
    answer, page = ask(server, "/")
    assert answer.getheader("Cache-Control") == "no-store"
    policy = answer.getheader("Content-Security-Policy")
    assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy and "unsafe" not in policy
    (nonce,) = set(re.findall(r"nonce-([\w-]+)", policy))
    assert page.count(f'nonce="{nonce}"') == len(re.findall(r"<(?:script|style)\b", page)) == 2
    assert nonce not in ask(server, "/")[1]


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "[::1]", "192.0.2.7:80", ""])
def test_browser_sent_here_under_another_name_is_refused(server, host):
    answer, text = ask(server, "/card", Host=host)
    assert answer.status == 403
    assert "QR code" not in text


@pytest.mark.parametrize("host", ["localhost", "LOCALHOST:8000", "127.0.0.1", "127.0.0.1:1"])
def test_browser_that_calls_this_machine_by_its_own_name_is_answered(server, host):
    assert ask(server, "/card", Host=host)[0].status == 200


@pytest.mark.parametrize("path", ["/book.toml", "/../book.toml", "/card/", "/card.html", "*"])
def test_no_other_path_is_answered(server, path):
    assert ask(server, path)[0].status == 404


@pytest.mark.parametrize("method", ["POST", "PUT", "HEAD", "OPTIONS", "DELETE"])
def test_nothing_but_get_is_answered(server, method):
    assert ask(server, "/", method)[0].status == 501


def test_page_is_for_this_machine_only(server):
    assert server.server_address[0] == "127.0.0.1"
    assert server.address == f"http://127.0.0.1:{server.server_address[1]}/"


def test_port_that_another_program_has_is_told_with_what_to_do(server):
    with pytest.raises(WrongCommand, match=r"Leave --port out"):
        ClockServer(lambda: AT, port=server.server_address[1])


def test_zone_is_the_machines_own_unless_named():
    assert zone_called("") is None
    assert zone_called("Europe/London") == ZoneInfo("Europe/London")
    with pytest.raises(WrongCommand, match="'Mars/Base' is not a time zone name"):
        zone_called("Mars/Base")
    with ClockServer(lambda: AT) as server:
        assert server.local_now() == AT
        assert server.local_now().utcoffset() == AT.astimezone().utcoffset()


def test_words_stand_for_ten_seconds_and_give_the_instant_at_which_they_came():
    start = datetime(2026, 2, 14, 10, 20, 50, tzinfo=UTC)
    shown = [card_values(start + timedelta(seconds=second)) for second in range(11)]
    assert len({str(one["words"]) for one in shown[:10]}) == 1
    assert "twenty minutes and fifty seconds" in str(shown[9]["words"])
    assert "twenty-one minutes and zero seconds" in str(shown[10]["words"])
    assert [one["left_s"] for one in shown] == [10, 9, 8, 7, 6, 5, 4, 3, 2, 1, 10]
    assert len({str(one["code"]) for one in shown}) == 11
