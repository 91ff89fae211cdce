"""The server of the preview: this machine only, reading only, one folder only."""

from __future__ import annotations

import os
import socket
import socketserver
import threading
from collections.abc import Mapping
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, BinaryIO
from urllib.parse import parse_qs, quote, urlsplit

from buildlog.preview.board import Board
from buildlog.preview.finding import INDEX, file_of, name_of, slice_of, type_of
from buildlog.preview.pages import EVENTS, Pages

ADDRESS = "127.0.0.1"
MOST_LISTENERS = 48
"""More open streams than any browser has pages in sight."""
HEARTBEAT_SECONDS = 5.0
_CHUNK = 1 << 18
_HTML = "text/html; charset=utf-8"


class Server(ThreadingHTTPServer):
    """Serves the site in a folder, at a port of this machine (0: any that is free)."""

    daemon_threads = True
    allow_reuse_address = os.name == "posix"  # elsewhere it would take a port from another program
    allow_reuse_port = False
    request_queue_size = 64

    def __init__(self, port: int, site: Path, board: Board) -> None:
        self.site = site
        self.board = board
        self.pages = Pages(site, board)
        self.listeners = threading.BoundedSemaphore(MOST_LISTENERS)
        self._open: set[socket.socket] = set()
        super().__init__((ADDRESS, port), _Handler)

    def server_bind(self) -> None:
        """Binds without asking the network what this machine is called."""
        socketserver.TCPServer.server_bind(self)
        self.server_name, self.server_port = ADDRESS, self.socket.getsockname()[1]

    @property
    def url(self) -> str:
        """The address of the front page."""
        return f"http://{ADDRESS}:{self.server_port}/"

    def is_ours(self, hosts: list[str]) -> bool:
        """Whether a request's Host headers name this server: else a page of the web may have led here by its name."""
        names = {f"{name}{port}" for name in (ADDRESS, "localhost") for port in self._ports()}
        return len(hosts) == 1 and hosts[0].strip().lower() in names

    def _ports(self) -> tuple[str, ...]:
        return (f":{self.server_port}", "") if self.server_port == 80 else (f":{self.server_port}",)  # noqa: PLR2004

    def process_request(self, request: Any, client_address: Any) -> None:
        """Notes the connection, so that the end of the preview ends it."""
        self._open.add(request)
        super().process_request(request, client_address)

    def shutdown_request(self, request: Any) -> None:
        """Closes a connection that is done."""
        self._open.discard(request)
        super().shutdown_request(request)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A connection that broke off is no news."""

    def end(self) -> None:
        """Ends every connection and the server."""
        self.board.close()
        self.shutdown()
        for each in list(self._open):
            try:
                each.shutdown(socket.SHUT_RDWR)
            except OSError:
                continue
        self.server_close()


class _Handler(BaseHTTPRequestHandler):
    """One connection."""

    server: Server
    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True
    timeout = 60
    server_version = "buildlog"
    sys_version = ""

    _begun = False

    def do_GET(self) -> None:
        self._begun = False
        try:
            self._answer()
        except (ConnectionError, TimeoutError):
            self.close_connection = True
        except Exception as error:  # noqa: BLE001 - a fault of the program is told, and ends nothing
            self.close_connection = True
            if self._begun:
                return
            words = f"{type(error).__name__}: {error}. This is a fault in the program, not in your files."
            self._say(HTTPStatus.INTERNAL_SERVER_ERROR, "The program failed", words)

    do_HEAD = do_GET  # noqa: N815

    def _refuse_method(self) -> None:
        self.close_connection = True  # what was sent along is not read
        self._say(
            HTTPStatus.METHOD_NOT_ALLOWED, "Only for reading", "This preview can only be read.", Allow="GET, HEAD"
        )

    do_POST = do_PUT = do_DELETE = do_PATCH = do_OPTIONS = _refuse_method  # noqa: N815

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002 - its name there
        """Requests are not told."""

    def _answer(self) -> None:
        if not self.server.is_ours(self.headers.get_all("Host") or []):
            words = f"This preview answers only to {self.server.url} and to localhost, asked from this machine."
            self._say(HTTPStatus.FORBIDDEN, "Not from here", words)
        elif self.path.partition("?")[0] == EVENTS:
            self._events()
        else:
            self._page_or_file()

    def _page_or_file(self) -> None:
        state = self.server.board.state()  # before anything is read: what changes later counts as news
        name = name_of(self.path)
        if name is None:
            self._html(HTTPStatus.NOT_FOUND, self.server.pages.missing("", state))
            return
        if name.endswith("/"):
            name += INDEX
        elif (self.server.site / name).is_dir():
            self._send(HTTPStatus.FOUND, _HTML, b"", {"Location": f"/{quote(name)}/"})
            return
        path = file_of(self.server.site, name)
        try:
            if path is None:
                self._html(HTTPStatus.NOT_FOUND, self.server.pages.missing(name, state))
            elif type_of(path) == _HTML:
                page = path.read_bytes()
                plain = urlsplit(self.path).query == "plain"
                self._html(HTTPStatus.OK, page if plain else self.server.pages.injected(page, name, state, whole=True))
            else:
                with path.open("rb") as file:
                    self._file(file, type_of(path))
        except (FileNotFoundError, PermissionError):
            self._html(HTTPStatus.NOT_FOUND, self.server.pages.missing(name, state))

    def _file(self, file: BinaryIO, kind: str) -> None:
        size = os.fstat(file.fileno()).st_size
        asked = self.headers.get("Range") if self.command == "GET" else None
        try:
            part = slice_of(asked, size)
        except ValueError:
            self._send(HTTPStatus.REQUESTED_RANGE_NOT_SATISFIABLE, kind, b"", {"Content-Range": f"bytes */{size}"})
            return
        headers = {"Accept-Ranges": "bytes"}
        if part is None:
            self._head(HTTPStatus.OK, kind, size, headers)
            self._copy(file, size)
            return
        headers["Content-Range"] = f"bytes {part.first}-{part.last}/{size}"
        self._head(HTTPStatus.PARTIAL_CONTENT, kind, part.length, headers)
        file.seek(part.first)
        self._copy(file, part.length)

    def _copy(self, file: BinaryIO, length: int) -> None:
        left = length if self.command == "GET" else 0
        while left:
            chunk = file.read(min(left, _CHUNK))
            if not chunk:  # cut off while it was sent: the browser sees that something is missing
                self.close_connection = True
                return
            self.wfile.write(chunk)
            left -= len(chunk)

    def _events(self) -> None:
        """What happens, as it happens, until the page is left or the preview ends."""
        if self.headers.get("Sec-Fetch-Site", "same-origin") not in {"same-origin", "none"}:
            self._say(HTTPStatus.FORBIDDEN, "Not from here", "Another site's page may not listen to this preview.")
            return
        if not self.server.listeners.acquire(blocking=False):
            self._say(HTTPStatus.SERVICE_UNAVAILABLE, "Too many pages", "Close some of the pages that are open.")
            return
        try:
            self.close_connection = True
            self._start(HTTPStatus.OK, "text/event-stream", {"Connection": "close"})
            if self.command == "GET":
                with self.server.board.looking(self._page()):
                    self._stream(self._since())
        finally:
            self.server.listeners.release()

    def _since(self) -> int:
        """The moment of the page that asks; the beginning, where it is a page of an earlier preview."""
        asked = parse_qs(urlsplit(self.path).query)
        since = asked.get("since", [""])[0]
        ours = asked.get("run", [""])[0] == self.server.board.run
        return int(since) if ours and since.isascii() and since.isdigit() and len(since) < 10 else 0  # noqa: PLR2004

    def _page(self) -> str:
        """The name of the page that asks."""
        return parse_qs(urlsplit(self.path).query).get("page", [""])[0]

    def _stream(self, since: int) -> None:
        state = self.server.board.state(since)
        while not self.server.board.closed:
            self.wfile.write(f"data: {self.server.pages.state_json(state)}\n\n".encode())
            while (news := self.server.board.wait(state.number, HEARTBEAT_SECONDS)) is None:
                if self.server.board.closed:
                    return
                self.wfile.write(b":\n\n")
            state = news

    def _say(self, status: HTTPStatus, title: str, words: str, **headers: str) -> None:
        self._send(status, _HTML, self.server.pages.refused(title, words), headers)

    def _html(self, status: HTTPStatus, page: bytes) -> None:
        self._send(status, _HTML, page, {})

    def _send(self, status: HTTPStatus, kind: str, body: bytes, headers: Mapping[str, str]) -> None:
        self._head(status, kind, len(body), headers)
        if self.command != "HEAD":
            self.wfile.write(body)

    def _head(self, status: HTTPStatus, kind: str, length: int, headers: Mapping[str, str]) -> None:
        self._start(status, kind, {"Content-Length": str(length), **headers})

    def _start(self, status: HTTPStatus, kind: str, headers: Mapping[str, str]) -> None:
        self._begun = True
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        self.send_header("X-Frame-Options", "SAMEORIGIN")
        for name, value in headers.items():
            self.send_header(name, value)
        self.end_headers()
