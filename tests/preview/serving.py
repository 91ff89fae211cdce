"""A server for tests, asked by hand so that any request can be made."""

from __future__ import annotations

import http.client
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from buildlog.preview.board import Board
from buildlog.preview.server import Server

PATIENCE = 20


@dataclass(frozen=True)
class Answer:
    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def text(self) -> str:
        return self.body.decode()


@contextmanager
def serving(site: Path, board: Board | None = None) -> Iterator[Server]:
    server = Server(0, site, board or Board())
    thread = threading.Thread(target=lambda: server.serve_forever(poll_interval=0.02), daemon=True)
    thread.start()
    try:
        yield server
    finally:
        server.end()
        thread.join(PATIENCE)
        assert not thread.is_alive()


def ask(server: Server, target: str, method: str = "GET", **headers: str | None) -> Answer:
    """One request as it is written; ``host=None`` leaves the Host header out."""
    said = {name.replace("_", "-"): value for name, value in headers.items()}
    with closing(http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=PATIENCE)) as line:
        line.putrequest(method, target, skip_host=True, skip_accept_encoding=True)
        host = said.pop("host", f"127.0.0.1:{server.server_port}")
        for name, value in ({"Host": host} | said).items():
            if value is not None:
                line.putheader(name, value)
        line.endheaders()
        with line.getresponse() as answer:
            return Answer(answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read())
