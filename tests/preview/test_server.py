"""The server gives the site to this machine and nobody else, puts its script in on the way, and tells what happens."""

from __future__ import annotations

import http.client
import json
import re
import socket
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from buildlog.basics.problems import Place, Problem, Severity
from buildlog.preview import server as serving_module
from buildlog.preview.board import Board
from buildlog.preview.outcome import Outcome
from buildlog.preview.pages import EVENTS
from buildlog.preview.server import Server
from buildlog.preview.session import PREFERRED_PORT, NoPortError, server_at
from tests.preview.serving import PATIENCE, ask, serving

BROKEN = Problem(Place("log/x.md", 1, 3, 5), "no-unit", "<b>24.3</b> has no unit", "write  lb</script>")


@pytest.fixture
def site(tmp_path: Path) -> Path:
    folder = tmp_path / "site"
    (folder / "log").mkdir(parents=True)
    (folder / "index.html").write_text("<!doctype html><body><p>Front</p></BODY></html>")
    (folder / "404.html").write_text('<head><base href="https://dunlin.example/"></head><body>No such sheet</body>')
    (folder / "log" / "index.html").write_text("<body>Log</body>")
    (folder / "film.mp4").write_bytes(bytes(range(256)) * 40)
    (folder / ".buildlog-site").write_text("index.html\n")
    (tmp_path / "secret.txt").write_text("secret")
    return folder


@pytest.fixture
def server(site: Path) -> Iterator[Server]:
    with serving(site) as running:
        yield running


def test_only_this_machine_is_listened_to(server: Server) -> None:
    assert server.socket.getsockname()[0] == "127.0.0.1"


def test_other_names_for_this_machine_are_refused_in_words(server: Server) -> None:
    port = server.server_port
    for host in (
        "evil.example",
        f"evil.example:{port}",
        "127.0.0.1",
        f"127.0.0.1:{port + 1}",
        f"127.0.0.1:{port}.evil.example",
        f"[::1]:{port}",
        "",
        None,
    ):
        for target in ("/", EVENTS, "/film.mp4"):
            answer = ask(server, target, host=host)
            assert answer.status == 403, (host, target)
            assert "asked from this machine" in answer.text and "Front" not in answer.text
    assert ask(server, "/", host=f"LOCALHOST:{port}").status == 200


def test_a_second_host_does_not_help(server: Server) -> None:
    with closing(socket.create_connection(("127.0.0.1", server.server_port), PATIENCE)) as line:
        line.sendall(f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{server.server_port}\r\nHost: evil.example\r\n\r\n".encode())
        assert b" 403 " in line.recv(100)


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "BREW"])
def test_nothing_but_reading_is_done(server: Server, method: str) -> None:
    answer = ask(server, "/", method)
    assert answer.status in {405, 501} and "Front" not in answer.text


def test_a_page_gets_the_script_and_the_file_stays_as_it_is(server: Server, site: Path) -> None:
    before = (site / "index.html").read_bytes()
    answer = ask(server, "/")
    assert answer.status == 200 and answer.headers["cache-control"] == "no-store"
    assert answer.headers["content-type"] == "text/html; charset=utf-8"
    assert re.search(r"<p>Front</p><script type=.*EventSource.*</script></BODY></html>$", answer.text, re.DOTALL)
    assert (site / "index.html").read_bytes() == before
    head = ask(server, "/", "HEAD")
    assert head.status == 200 and head.body == b"" and int(head.headers["content-length"]) == len(answer.body)


def test_folders_show_their_index_and_never_a_listing(server: Server, site: Path) -> None:
    assert ask(server, "/log").headers["location"] == "/log/"
    assert "Log" in ask(server, "/log/").text
    (site / "photos").mkdir()
    answer = ask(server, "/photos/")
    assert answer.status == 404 and "No such sheet" in answer.text


@pytest.mark.parametrize(
    "target",
    [
        "/../secret.txt",
        "/%2e%2e/secret.txt",
        "/..%5csecret.txt",
        "/.buildlog-site",
        "/x%00",
        "/log/..%2f..%2fsecret.txt",
    ],
)
def test_nothing_outside_the_site_is_given(server: Server, target: str) -> None:
    answer = ask(server, target)
    assert answer.status == 404 and "secret" not in answer.text


def test_the_page_for_nothing_leads_to_the_preview_and_not_to_the_published_site(server: Server) -> None:
    answer = ask(server, "/deep/down/none.html")
    assert answer.status == 404 and '<base href="/">' in answer.text and "dunlin.example" not in answer.text


def test_films_can_be_read_in_parts(server: Server, site: Path) -> None:
    whole = (site / "film.mp4").read_bytes()
    full = ask(server, "/film.mp4")
    assert (
        full.body == whole and full.headers["accept-ranges"] == "bytes" and full.headers["content-type"] == "video/mp4"
    )
    part = ask(server, "/film.mp4", Range="bytes=300-309")
    assert part.status == 206 and part.body == whole[300:310]
    assert part.headers["content-range"] == f"bytes 300-309/{len(whole)}"
    beyond = ask(server, "/film.mp4", Range="bytes=99999999-")
    assert beyond.status == 416 and beyond.headers["content-range"] == f"bytes */{len(whole)}"
    head = ask(server, "/film.mp4", "HEAD", Range="bytes=0-1")
    assert head.status == 200 and int(head.headers["content-length"]) == len(whole) and not head.body


def test_one_connection_serves_many_requests(server: Server) -> None:
    with closing(http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=PATIENCE)) as line:
        for target in ("/", "/film.mp4", "/none", "/log/"):
            line.request("GET", target)
            with line.getresponse() as answer:
                answer.read()
                assert not answer.will_close, target


@contextmanager
def events(server: Server, query: str = "") -> Iterator[http.client.HTTPResponse]:
    with closing(http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=PATIENCE)) as line:
        line.request("GET", EVENTS + query)
        with line.getresponse() as answer:
            yield answer


def heard(answer: http.client.HTTPResponse) -> dict[str, object]:
    while (said := answer.readline()) and not said.startswith(b"data: "):
        pass
    told: dict[str, object] = json.loads(said[6:])
    return told


def test_a_page_hears_what_changed_since_it_was_served(server: Server) -> None:
    board = server.board
    board.tell(Outcome(written=("index.html",)))
    since = board.state().number
    with events(server, f"?run={board.run}&since={since}") as answer:
        assert answer.headers["Content-Type"] == "text/event-stream"
        assert heard(answer)["changed"] == []
        board.begin()
        assert heard(answer)["working"] == "Building\u2026"
        board.tell(Outcome(written=("log/index.html",), removed=("x.html",)))
        told = heard(answer)
        assert told["changed"] == ["log/index.html", "x.html"] and told["working"] == "" and told["level"] == ""
        board.tell(Outcome((BROKEN,), {"log/x.md": ["a 24.3"]}, made=False))
        told = heard(answer)
        assert told["level"] == "error" and "last good one" in str(told["says"])
        board.close()
        assert answer.read().strip(b":\n") == b""


def test_a_page_of_an_earlier_preview_hears_all(server: Server) -> None:
    server.board.tell(Outcome(written=("index.html",)))
    with events(server, "?run=another&since=99") as answer:
        told = heard(answer)
    assert told["run"] == server.board.run and told["changed"] == ["index.html"]


def test_streams_end_when_the_page_is_left_and_do_not_pile_up(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving_module, "HEARTBEAT_SECONDS", 0.02)
    server.listeners = threading.BoundedSemaphore(2)
    for _ in range(6):
        for _ in range(400):
            with events(server) as answer:
                if answer.status == 200:
                    heard(answer)
                    break
                assert answer.status == 503
                answer.read()
        else:
            pytest.fail("a stream that was left never ended")


def test_another_sites_page_may_not_listen(server: Server) -> None:
    assert ask(server, EVENTS, Sec_Fetch_Site="cross-site").status == 403


def test_problems_are_told_as_text_whatever_they_hold(site: Path) -> None:
    board = Board()
    board.tell(Outcome((BROKEN,), {"log/x.md": ["a 24 <i>&"]}, made=False))
    with serving(site, board) as server:
        page = ask(server, "/").text
    told = re.search(r'<script type="application/json">(.*?)</script>', page, re.DOTALL)
    assert told is not None
    panel = json.loads(told[1])["panel"]
    assert "&lt;b&gt;24.3&lt;/b&gt; has no unit" in panel and "write  lb&lt;/script&gt;" in panel
    assert "log/x.md:1:3" in panel and "a <mark>24</mark> &lt;i&gt;&amp;" in panel
    assert page.count("</script>") == 2


def test_warnings_are_told_over_a_page_that_is_new_and_notes_only_counted(server: Server) -> None:
    warning = Problem(Place("log/x.md"), "odd", "odd", severity=Severity.WARNING)
    note = Problem(Place("log/y.md"), "sees", "only a note", severity=Severity.NOTE)
    server.board.tell(Outcome((note,)))
    assert json.loads(server.pages.state_json(server.board.state()))["panel"] == ""
    server.board.tell(Outcome((warning, note)))
    told = json.loads(server.pages.state_json(server.board.state()))
    assert told["level"] == "warning" and "1 warning" in told["says"] and "only a note" not in told["panel"]
    assert "And 1 note" in told["panel"]


def test_without_a_good_build_the_problems_have_a_page_of_their_own(tmp_path: Path) -> None:
    board = Board()
    with serving(tmp_path / "none", board) as server:
        assert "being built" in ask(server, "/").text
        board.tell(Outcome((BROKEN,), made=False))
        answer = ask(server, "/log/any.html")
        assert answer.status == 404 and "There is no page to show yet" in answer.text and "has no unit" in answer.text
        board.tell(Outcome(made=False, failure="KeyError: '<spar>'"))
        assert "The program failed" in ask(server, "/").text and "<spar>" not in ask(server, "/").text


def test_a_page_that_went_says_so_and_leads_on(server: Server, site: Path) -> None:
    server.board.tell(Outcome(written=("index.html", "log/old.html")))
    server.board.tell(Outcome(written=("log/new name.html",), unchanged=("index.html",), removed=("log/old.html",)))
    gone = ask(server, "/log/old.html")
    assert gone.status == 404 and "This page is gone" in gone.text
    assert 'href="/log/new%20name.html"' in gone.text and 'href="/"' in gone.text
    (site / "log" / "old.html").write_text("<body>Back</body>")
    assert "Back" in ask(server, "/log/old.html").text


def test_a_port_that_is_taken_is_said_or_stepped_over(site: Path) -> None:
    with serving(site) as server, pytest.raises(NoPortError, match=f"port {server.server_port} cannot be used"):
        server_at(server.server_port, site, Board())
    first, second = server_at(None, site, Board()), server_at(None, site, Board())
    try:
        assert PREFERRED_PORT <= first.server_port < second.server_port
    finally:
        first.server_close()
        second.server_close()
