"""The pages as they are served: the site's own with the preview's script put in, and those that only a preview has."""

from __future__ import annotations

import json
import re
from functools import cached_property
from html import escape
from pathlib import Path
from urllib.parse import quote

from buildlog.basics.frozen import frozen
from buildlog.preview.board import Board, State
from buildlog.preview.panel import panel_of, working_words

EVENTS = "/.preview/events"
"""Where the stream of events is; no file of a site can have this address."""
_HERE = Path(__file__).parent
_BASE = re.compile(rb"<base\b[^>]*>", re.IGNORECASE)
_LOOK = "look/hangar.css"
_LAMP = (
    '<script>try{var t=localStorage.getItem("theme");'
    'if(t==="light"||t==="dark")document.documentElement.dataset.theme=t}catch(e){}</script>'
)


@frozen
class Pages:
    """The pages of one preview. ``site`` is the folder in which the site is."""

    site: Path
    board: Board

    def state_json(self, state: State) -> str:
        """What a page is told when something happens."""
        panel = panel_of(state.outcome, shown=self.has_site)
        told = {
            "run": self.board.run,
            "number": state.number,
            "working": working_words(state),
            "changed": state.changed,
            "level": panel.level,
            "says": panel.says,
            "panel": panel.html,
        }
        return _for_script(told)

    @property
    def has_site(self) -> bool:
        """Whether there is a page of a good build, this time's or one before."""
        return (self.site / "index.html").is_file()

    def injected(self, page: bytes, name: str, state: State, *, whole: bool = False) -> bytes:
        """A page with the script before the end of its body; ``state`` must be from before the page was read.

        ``whole`` says that this is a page of the site itself, whose words can be renewed in place.
        """
        ours = {"changed": [], "name": name, "whole": whole, "events": EVENTS, "style": self._style}
        told = json.loads(self.state_json(state)) | ours
        script = (
            f'<script type="application/json">{_for_script(told)}</script><script>{self._script}</script>'
        ).encode()
        at = page.lower().rfind(b"</body")
        return page + script if at < 0 else page[:at] + script + page[at:]

    def missing(self, name: str, state: State) -> bytes:
        """What is shown for an address that leads nowhere: why, where that is known, else the site's own page."""
        if not self.has_site:
            return self._none_yet(name, state)
        if (heirs := self.board.heirs(name)) is not None:
            return self._gone(name, heirs, state)
        try:
            page = (self.site / "404.html").read_bytes()
        except OSError:
            return self.injected(_page("Nothing here", "<p>The site has no page at this address.</p>"), name, state)
        return self.injected(_BASE.sub(b'<base href="/">', page, count=1), name, state)

    def refused(self, title: str, words: str) -> bytes:
        """A page that says why nothing is given."""
        return _page(title, f"<p>{escape(words)}</p>")

    def _none_yet(self, name: str, state: State) -> bytes:
        """There never was a good build: the problems stand on a page of their own."""
        place = '<div id="buildlog-preview" data-here></div>'
        if state.outcome is None:
            page = _page("The site is being built", "<p>It appears here as soon as it is done.</p>" + place)
        else:
            words = "<p>The site appears here when what is told below is put right and saved.</p>"
            page = _page("There is no page to show yet", words + place)
        return self.injected(page, name, state)

    def _gone(self, name: str, heirs: tuple[str, ...], state: State) -> bytes:
        title = "This page is gone"
        words = "<p>Its file was renamed, kept back from this audience, or taken away.</p>"
        if heirs:
            links = ", ".join(f'<a href="/{escape(quote(heir))}">{escape(heir)}</a>' for heir in heirs[:5])
            words += f"<p>New since then: {links}.</p>"
        words += '<p>Go on with <a href="/">the front page</a>.</p>'
        look = f'<link rel="stylesheet" href="/{_LOOK}">' if (self.site / _LOOK).is_file() else ""
        return self.injected(_page(title, words, look), name, state)

    @cached_property
    def _script(self) -> str:
        return (_HERE / "swap.js").read_text("utf-8") + (_HERE / "panel.js").read_text("utf-8")

    @cached_property
    def _style(self) -> str:
        return (_HERE / "panel.css").read_text("utf-8")


def _page(title: str, inner: str, look: str = "") -> bytes:
    style = (_HERE / "page.css").read_text("utf-8")
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
        f'content="width=device-width, initial-scale=1"><title>{escape(title)}</title>{_LAMP}{look}'
        f"<style>{style}</style></head>\n<body><main><h1>{escape(title)}</h1>{inner}</main></body></html>\n"
    ).encode()


def _for_script(value: object) -> str:
    """JSON that can stand in a script of a page: no text in it can end that."""
    return json.dumps(value).replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
