"""Every refusal xref can make, each with a stable code and an exit status.

A message is a sentence for the person at the bench: what was read, where,
why it was refused, what to do next. `code` never changes once published;
`exit_status` follows the command-line contract.

Findings about data (a row set aside, a doubtful check, a contradiction) are
values, not exceptions.
"""

from __future__ import annotations


class XrefError(Exception):
    """Base of all refusals; `str(error)` is the sentence shown to the user."""

    code = "error"
    exit_status = 2

    def __init__(self, message: str, *, at: str | None = None, code: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.at = at
        if code is not None:
            self.code = code


class NothingFound(XrefError):
    """Raised when a number, list, want or record asked for does not exist."""

    code = "nothing-found"
    exit_status = 1


class Impossible(XrefError):
    """Raised for a value that cannot be: negative size, quantity zero, a past closing date."""

    code = "impossible-value"
    exit_status = 2


class NeedsAnswer(XrefError):
    """Raised when a text has more than one reading and only the user can say which.

    `readings` holds the possible readings (for sizes: `Size` objects), `question`
    the sentence to put to the user.
    """

    code = "needs-answer"
    exit_status = 3

    def __init__(
        self,
        question: str,
        *,
        readings: tuple[object, ...] = (),
        at: str | None = None,
        code: str | None = None,
    ) -> None:
        super().__init__(question, at=at, code=code)
        self.question = question
        self.readings = readings


class Refused(XrefError):
    """Raised when input cannot be read as what it is said to be (a size, a table, a file)."""

    code = "refused"
    exit_status = 4


class StoreUnavailable(XrefError):
    """Raised when the store is busy, damaged, or written by a newer xref."""

    code = "store-unavailable"
    exit_status = 5


class DamageFound(XrefError):
    """Raised when a check of the store finds contradictions or damage."""

    code = "damage-found"
    exit_status = 6
