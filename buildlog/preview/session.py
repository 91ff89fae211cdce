"""One preview from its beginning to its end: the server, the watch over the folder and the builds, side by side."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from buildlog.preview.board import Board
from buildlog.preview.outcome import Build, Glimpse
from buildlog.preview.rounds import Rounds, Told
from buildlog.preview.server import Server
from buildlog.preview.watching import Watch

PREFERRED_PORT = 8417
PORTS = 40
"""How many ports are tried from the preferred one on."""
_PATIENCE_SECONDS = 3.0


class NoPortError(Exception):
    """There is no port to serve at: the words say why."""


def server_at(port: int | None, site: Path, board: Board) -> Server:
    """A server at that port; without one, at the preferred port or the next free one."""
    if port is not None:
        try:
            return Server(port, site, board)
        except OSError as error:
            raise NoPortError(f"port {port} cannot be used ({error.strerror})") from error
    for each in range(PREFERRED_PORT, PREFERRED_PORT + PORTS):
        try:
            return Server(each, site, board)
        except OSError:
            continue
    raise NoPortError(f"no port from {PREFERRED_PORT} to {PREFERRED_PORT + PORTS - 1} is free")


@contextmanager
def previewing(
    root: Path, server: Server, build: Build, told: Told, glimpse: Glimpse | None = None, *, polling: bool = False
) -> Iterator[None]:
    """Serves, watches and builds while the block runs. Ends in order; a build that takes long is left to its end."""
    stop = threading.Event()
    rounds = Rounds(root, build, server.board, told, glimpse)
    watch = Watch(root, stop)
    _ = watch.begun  # before the first build reads anything, so that no save falls between the two

    def watching() -> None:
        for names in watch.looked_for() if polling else watch.changes():
            rounds.changed(names)

    def serving() -> None:
        server.serve_forever(poll_interval=0.1)

    threads = [
        threading.Thread(target=work, name=f"preview-{name}", daemon=True)
        for name, work in (("serve", serving), ("watch", watching), ("build", rounds.run))
    ]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        stop.set()
        rounds.stop()
        server.end()
        for thread in threads:
            thread.join(_PATIENCE_SECONDS)
