"""The words of the panel: the problems of the last build as HTML, every text of a file escaped."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from html import escape

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.basics.problems import Place, Problem, Severity
from buildlog.preview.board import State
from buildlog.preview.outcome import Outcome

MOST = 100
"""How many problems are told on the page; nobody repairs more at a time."""
_WEIGHTS = (Severity.ERROR, Severity.WARNING)
_WIDE = 160


@frozen
class Panel:
    """What a page tells of the last build: how bad it is ("" for nothing), in one sentence, and in full as HTML."""

    level: str = ""
    says: str = ""
    html: str = ""


def panel_of(outcome: Outcome | None, *, shown: bool = True) -> Panel:
    """The panel for an outcome; ``shown`` says whether a page of the last good build is under it."""
    if outcome is None:
        return Panel()
    if outcome.failure:
        return _failure(outcome.failure, shown=shown)
    told = [problem for weight in _WEIGHTS for problem in outcome.problems if problem.severity is weight]
    if not told:
        return Panel()
    level = "warning" if outcome.good else "error"
    counts = counted_problems(outcome)
    rest = outcome.count(Severity.NOTE)
    after = _last_good(shown=shown) if level == "error" else "The page is up to date."
    items = "".join(_item(problem, outcome.lines) for problem in told[:MOST])
    return Panel(level, f"{counts}. {after}", _folded(level, counts, after, f"<ol>{items}</ol>{_more(told, rest)}"))


def counted_problems(outcome: Outcome) -> str:
    """How many errors and warnings there are, in words."""
    counts = ((outcome.count(weight), weight) for weight in _WEIGHTS)
    return ", ".join(counted(count, str(weight)) for count, weight in counts if count) or "no problem"


def working_words(state: State) -> str:
    """What a page says of a build under way, "" where there is none."""
    done, whole = state.progress
    if not state.working:
        return ""
    return f"Building: photo {done} of {whole}" if whole else "Building\u2026"


def _last_good(*, shown: bool) -> str:
    return "The page is the last good one." if shown else "There is no page to show yet."


def _failure(words: str, *, shown: bool) -> Panel:
    says = f"The program failed. {_last_good(shown=shown)}"
    item = (
        f'<ol><li class="is-error"><p class="what">{escape(words)}</p><p>This is a fault in the program, not in your '
        'files.</p><p class="do">Undo the last change, or save it otherwise: the next save builds again. '
        "buildlog publish shows the whole of the fault.</p></li></ol>"
    )
    return Panel("error", says, _folded("error", "The program failed", _last_good(shown=shown), item))


def _folded(level: str, head: str, after: str, inner: str) -> str:
    return (
        f'<section class="told {level}" aria-label="Preview: problems"><details><summary><b>{escape(head)}</b> '
        f'<span>{escape(after)}</span><i aria-hidden="true"></i></summary>'
        f'<div class="list" tabindex="0" role="group" aria-label="Problems">{inner}</div></details></section>'
    )


def _more(told: list[Problem], notes: int) -> str:
    over = len(told) - MOST
    said = [f"{over} more"] if over > 0 else []
    said += [counted(notes, "note")] if notes else []
    return f'<p class="more">And {" and ".join(said)}: buildlog audit tells them.</p>' if said else ""


def _item(problem: Problem, lines: Mapping[str, list[str]]) -> str:
    return "".join(_parts(problem, lines.get(problem.place.file, [])))


def _parts(problem: Problem, source: list[str]) -> Iterator[str]:
    where = problem.place
    yield f'<li class="is-{problem.severity}"><p class="where"><b>{problem.severity}</b> {_said(str(where))}</p>'
    yield f'<p class="what">{_said(problem.message)}</p>'
    if 0 < where.line <= len(source):
        yield _quoted(source[where.line - 1], where)
    if problem.remedy:
        yield f'<p class="do">{_said(problem.remedy)}</p>'
    yield from (f'<p class="where">see also {_said(str(place))}</p>' for place in problem.also)
    yield "</li>"


def _quoted(line: str, where: Place) -> str:
    """The source line with what is meant marked, cut to a window round the mark if it is long."""
    start = min(max(where.column - 1, 0), len(line))
    stop = min(where.end - 1, len(line)) if where.end > where.column else len(line.rstrip())
    left = max(0, min(start - 40, len(line) - _WIDE))
    right = min(len(line), left + _WIDE)
    stop = max(min(stop, right), start)
    parts = (line[left:start], line[start:stop], line[stop:right].rstrip()) if where.column else (line[:_WIDE], "", "")
    before, meant, after = (_said(_on_one_line(part)) for part in parts)
    marked = f"<mark>{meant}</mark>" if meant else ""
    ends = ("\u2026" if left else "", "\u2026" if right < len(line.rstrip()) else "")
    return f'<pre tabindex="0"><span>{where.line} </span>{ends[0]}{before}{marked}{after}{ends[1]}</pre>'


def _on_one_line(text: str) -> str:
    return "".join(char if char.isprintable() else " " for char in text)


def _said(text: str) -> str:
    """A text for a page: escaped, and what cannot be shown made visible as a question mark."""
    return escape("".join(_shown(text)))


def _shown(text: Iterable[str]) -> Iterator[str]:
    return (char if char.isprintable() or char == "\n" else "?" for char in text)
