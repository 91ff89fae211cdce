"""Questions about the time before the log: where each stands, and which nobody has answered yet."""

from __future__ import annotations

from buildlog.pages.known import WHOLE, anchor
from buildlog.pages.sheet import Addresses
from buildlog.records.logbook import Logbook
from buildlog.records.registers import Question


def question_path(question: Question, book: Logbook, at: Addresses) -> str:
    """Where a question stands: on its component's page, or with what is known of the aircraft."""
    if question.about in book.components:
        return f"{at.component(question.about)}#{anchor(question.key)}"
    return f"systems.html#{anchor(question.key)}" if question.about in WHOLE else ""


def unanswered(book: Logbook) -> list[Question]:
    """The questions that no entry answers, in the order they are written."""
    answered = {key for entry in book.entries for key in entry.facts.answers}
    return [question for question in book.history.questions if question.key not in answered]
