"""Views and a theme to pages: every link relative, so that the folder opens from a disk as from any web host."""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol
from urllib.parse import quote

from jinja2 import Environment, TemplateError, TemplateNotFound
from markupsafe import Markup

from buildlog.site.faults import Fault
from buildlog.site.pictures import Picture, Size
from buildlog.site.prose import Hands, to_html
from buildlog.site.theme import LOOK


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


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class Renderer:
    """Turns pages into HTML: the theme's templates, what all pages share, the pictures made, and where links lead.

    ``resolve`` gives the path in the site of what a text links to: a file of the project, or None if it may not be
    seen or has no page.
    """

    environment: Environment
    frame: Any
    pictures: Mapping[str, Picture]
    resolve: Callable[[str], str | None]
    cards: Mapping[str, Size] = field(default_factory=dict)
    """The JPEGs for share cards, by their originals' paths; their names count from the site's folder."""

    def html(self, page: Page) -> tuple[bytes, Fault | None]:
        """The page's bytes, or what is wrong in the template."""
        try:
            template = self.environment.get_template(page.template)
            text = template.render(sheet=page, frame=self.frame, view=page.view, **self._hands(page))
        except TemplateNotFound as error:
            return b"", Fault(
                f"themes/{page.template}", f"the theme has no template {error.message}", "put the file there"
            )
        except TemplateError as error:
            return b"", _template_fault(error, page)
        return text.encode(), None

    def _hands(self, page: Page) -> dict[str, Any]:
        """The functions a template may call, for one page."""

        def href(path: str) -> str:
            return relative(page.path, path) if path else ""

        def picture(file: str) -> Shown | None:
            made = self.pictures.get(file)
            return _shown(made, href) if made else None

        def link(target: str) -> str | None:
            if target.startswith("#") or ":" in target.split("/", 1)[0]:
                return target
            path, hash_, anchor = target.partition("#")
            found = self.resolve(path)
            return href(found) + hash_ + anchor if found else None

        met: list[str] = []

        def figures(photos: list[tuple[str, str, str]]) -> str:
            macros = self.environment.get_template("photos.html").make_module({"href": href, "picture": picture})
            shown = [(Words(file, caption, alt), picture(file)) for file, alt, caption in photos]
            pairs = [pair for pair in shown if pair[1] is not None]
            first = not met
            met.extend(words.file for words, _ in pairs)
            return str(macros.figures(pairs, first))  # type: ignore[attr-defined]

        def prose(text: Any) -> Markup:
            return Markup(to_html(text.tokens, Hands(link, figures)))  # noqa: S704 - escaped by the Markdown renderer

        return {
            "href": href,
            "picture": picture,
            "card": self.cards.get,
            "prose": prose,
            "asset": lambda name: href(f"{LOOK}/{name}"),
        }


@dataclass(frozen=True)
class Words:
    """A photo's words, as the theme's macros take them."""

    file: str
    caption: str
    alt: str


def relative(origin: str, path: str) -> str:
    """The address of ``path`` as seen from the page ``origin``, both from the site's folder."""
    name, hash_, anchor = path.partition("#")
    if not name:
        return path
    found = posixpath.relpath(name, posixpath.dirname(origin) or ".")
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
