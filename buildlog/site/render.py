"""Views and a theme to pages: every link relative, so that the folder opens from a disk as from any web host."""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Hashable, MutableMapping
from dataclasses import dataclass, field
from functools import lru_cache, partial
from typing import Any, Protocol
from urllib.parse import quote

from jinja2 import Environment, TemplateError, TemplateNotFound
from markupsafe import Markup

from buildlog.basics.frozen import frozen
from buildlog.site.faults import Fault
from buildlog.site.kept_pages import Answers, KeptPages, Made, Packed
from buildlog.site.pages_before import PagesBefore, Sayings
from buildlog.site.pictures import Picture, Size
from buildlog.site.prose import Hands, laid_out, to_html
from buildlog.site.theme import LOOK

_HANDS = "hands at work"


class Page(Protocol):
    """What the renderer needs of a page; the rest is between its view and its template."""

    @property
    def path(self) -> str:
        """From the site's folder."""

    @property
    def template(self) -> str:
        """The theme's template."""

    @property
    def view(self) -> Any:
        """What the template is given."""


class Pictures(Protocol):
    """The pictures made, by the paths of their originals."""

    def get(self, file: str, /) -> Picture | None:
        """A picture, if it was made."""


@frozen
class Shown:
    """A picture on a page: relative addresses, the size of the largest, and a set for the browser to choose from.

    Of a film it is a frame; where none could be had, ``src`` and ``small`` are "". A size that is not known is 0.
    """

    src: str
    srcset: str
    width: int
    height: int
    small: str
    small_width: int
    small_height: int
    opens: str
    """What a link to it opens: the largest copy, or the film."""
    film: bool = False


@frozen
class Renderer:
    """Turns pages into HTML: the theme's templates, what all pages share, the pictures made, and where links lead.

    ``resolve`` gives the path in the site of what a text links to: a file of the project, or None if it may not be
    seen or has no page.
    """

    environment: Environment
    frame: Any
    pictures: Pictures
    resolve: Callable[[str], str | None]
    card: Callable[[str], Size | None] = lambda _: None
    """The JPEG for the share card of a picture, by its original's path; its name counts from the site's folder."""

    kept: KeptPages | None = None
    """What the last run in this process made; a renderer without it makes every page."""

    pack: Callable[[Any], Packed] | None = None
    """Makes bytes of a page as it is before its template."""

    before: PagesBefore | None = None
    """What the last publication made, maybe in another process."""

    said: Sayings = field(default_factory=Sayings)
    parts: dict[Hashable, Markup] = field(default_factory=dict)
    """What many pages share, as `part` made it."""

    def html(self, page: Page) -> tuple[Made, Fault | None]:
        """The page as it was made, or what is wrong in the template; one of which nothing changed is not made again."""
        hands = _Hands(self, posixpath.dirname(page.path))
        known = self.kept.recall(page, self.frame, hands.answer) if self.kept else None
        packed = None
        if known is None and self.before and self.pack:
            packed = self.pack(page)
            known = self.before.recall(page.path, packed, hands.answer, self.said)
        if known is not None:
            return known, None
        at_hand(self.environment).hands = hands
        try:
            template = self.environment.get_template(page.template)
            text = template.render(sheet=page, frame=self.frame, view=page.view)
        except TemplateNotFound as error:
            return Made(b""), Fault(
                f"themes/{page.template}", f"the theme has no template {error.message}", "put the file there"
            )
        except TemplateError as error:
            return Made(b""), _template_fault(error, page)
        if packed is None and hands.shows_text and self.pack:
            packed = self.pack(page)
        made = Made(text.encode(), hands.answers, packed)
        if self.kept:
            self.kept.keep(page, self.frame, made)
        return made, None


@dataclass
class _Hands:
    """The functions a template may call, for one page, and what they were asked."""

    renderer: Renderer
    folder: str
    """Where the page is, from the site's folder."""
    answers: Answers = field(default_factory=dict)
    shows_text: bool = False
    _met: list[str] = field(default_factory=list)

    def answer(self, sort: str, name: str) -> Hashable:
        """What is known of a picture or share card, or where a link leads."""
        if sort == "picture":
            return self.renderer.pictures.get(name)
        return self.renderer.card(name) if sort == "card" else self.renderer.resolve(name)

    def _asked(self, sort: str, name: str) -> Any:
        found = self.answers[sort, name] = self.answer(sort, name)
        return found

    def href(self, path: str) -> str:
        """The address of a page or file of the site from this page."""
        return relative(self.folder, path) if path else ""

    def asset(self, name: str) -> str:
        """The address of a file of the theme."""
        return self.href(f"{LOOK}/{name}")

    def part(self, name: str, *given: str) -> Markup:
        """A template that is made of the frame and of what is given alone, once for all pages of a folder.

        It may ask for addresses, and for nothing else.
        """
        key = (self.folder, name, given)
        if key not in self.renderer.parts:
            template = self.renderer.environment.get_template(name)
            made = template.render(frame=self.renderer.frame, given=given)
            self.renderer.parts[key] = Markup(made)  # noqa: S704 - escaped by the template
        return self.renderer.parts[key]

    def picture(self, file: str) -> Shown | None:
        """A picture of the project as it is shown here."""
        made = self._asked("picture", file)
        return _shown(made, self.href) if made else None

    def card(self, file: str) -> Size | None:
        """The JPEG for a share card."""
        found: Size | None = self._asked("card", file)
        return found

    def prose(self, text: Any) -> Markup:
        """A text as HTML."""
        self.shows_text = True
        pieces = text.laid if text.laid is not None else laid_out(text.tokens)
        return Markup(to_html(pieces, Hands(self._link, self._figures)))  # noqa: S704 - escaped by the renderer

    def _link(self, target: str) -> str | None:
        if target.startswith("#") or ":" in target.split("/", 1)[0]:
            return target
        path, hash_, anchor = target.partition("#")
        found = self._asked("link", path)
        return self.href(found) + hash_ + anchor if found else None

    def _figures(self, photos: list[tuple[str, str, str]]) -> str:
        macros = self.renderer.environment.get_template("photos.html").module
        shown = [(Words(file, caption, alt), self.picture(file)) for file, alt, caption in photos]
        pairs = [pair for pair in shown if pair[1] is not None]
        first = not self._met
        self._met.extend(words.file for words, _ in pairs)
        return str(macros.figures(pairs, first))  # type: ignore[attr-defined]


class _AtHand:
    """The hands of the page that is being made: templates are compiled, and macros imported, once for all pages."""

    hands: _Hands

    def put_into(self, names: MutableMapping[str, Any]) -> None:
        """Gives templates and macros the functions by their names."""
        for name in ("href", "asset", "part", "picture", "card", "prose"):
            names[name] = partial(self._call, name)

    def _call(self, name: str, *given: Any) -> Any:
        return getattr(self.hands, name)(*given)


def at_hand(environment: Environment) -> _AtHand:
    """What hands an environment's templates reach for."""
    found = environment.globals.get(_HANDS)
    if not isinstance(found, _AtHand):
        found = _AtHand()
        environment.globals[_HANDS] = found
        found.put_into(environment.globals)
    return found


@frozen
class Words:
    """A photo's words, as the theme's macros take them."""

    file: str
    caption: str
    alt: str


@lru_cache(maxsize=1 << 12)
def relative(folder: str, path: str) -> str:
    """The address of ``path`` as seen from a page in ``folder``, both from the site's folder."""
    name, hash_, anchor = path.partition("#")
    if not name:
        return path
    found = posixpath.relpath(f"/{name}", f"/{folder}")
    return quote(found, safe="/.-_~") + hash_ + anchor


def _shown(made: Picture, href: Callable[[str], str]) -> Shown:
    opens = href(made.files[0].name)
    if not made.sizes:
        return Shown("", "", made.width, made.height, "", 0, 0, opens, film=True)
    srcset = ", ".join(f"{href(size.name)} {size.width}w" for size in made.sizes)
    large, small = made.sizes[0], made.sizes[-1]
    return Shown(
        href(large.name),
        srcset if len(made.sizes) > 1 else "",
        large.width,
        large.height,
        href(small.name),
        small.width,
        small.height,
        opens,
        film=made.film is not None,
    )


def _template_fault(error: TemplateError, page: Page) -> Fault:
    line = getattr(error, "lineno", None)
    name = getattr(error, "name", None) or page.template
    where = f"themes/{name}" + (f":{line}" if line else "")
    return Fault(where, f"the template fails on {page.path}: {error.message or error}", "mend the template")
