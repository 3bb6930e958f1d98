"""One base class for everything that can be wrong with what the owner gave us.

Each error has a slug, which is also its place in the docs page on messages, and says four
things: what was read, where, what would be right, and what to try.
"""

from __future__ import annotations


class AirfettleError(Exception):
    """Something the owner gave cannot be used; says what was read, where, and what would be right."""

    slug = "airfettle-error"
    title = "Something given cannot be used"

    def __init__(self, *, read: str, wanted: str, where: str = "", instead: str = "") -> None:
        self.read = read
        self.wanted = wanted
        self.where = where
        self.instead = instead
        super().__init__(str(self))

    def __str__(self) -> str:
        lines = [f"{self.where}: {self.title}" if self.where else self.title]
        lines.append(f"  read:   {self.read}")
        lines.append(f"  wanted: {self.wanted}")
        if self.instead:
            lines.append(f"  try:    {self.instead}")
        return "\n".join(lines)

    def placed(self, where: str) -> AirfettleError:
        """Return the same error, said to stand at another place (file, line, key)."""
        return type(self)(read=self.read, wanted=self.wanted, where=where, instead=self.instead)


class UnreadableQuantity(AirfettleError):
    """A quantity's text has a form the reader does not know."""

    slug = "unreadable-quantity"
    title = "This quantity cannot be read"


class MissingUnit(AirfettleError):
    """A number stands without its unit."""

    slug = "missing-unit"
    title = "A number without its unit"


class WrongUnit(AirfettleError):
    """The unit belongs to another kind of quantity, or is not known."""

    slug = "wrong-unit"
    title = "This unit does not fit here"


class AmbiguousUnit(AirfettleError):
    """The text has two readings in the trade, and they differ too much to pick one."""

    slug = "ambiguous-unit"
    title = "This has two meanings"


class BackwardRange(AirfettleError):
    """The low end of a range lies above its high end, or a likely value outside it."""

    slug = "backward-range"
    title = "The ends of this range are the wrong way round"


class OutOfBounds(AirfettleError):
    """A quantity lies outside what can physically be, such as a negative displacement."""

    slug = "out-of-bounds"
    title = "This cannot be"


class UnknownKey(AirfettleError):
    """The plant file has a key or section the program does not know."""

    slug = "unknown-key"
    title = "This key is not known here"


class WrongShape(AirfettleError):
    """A section, list or value stands where another one belongs."""

    slug = "wrong-shape"
    title = "Something else belongs here"


class UnknownChoice(AirfettleError):
    """A word is not among the choices for its key."""

    slug = "unknown-choice"
    title = "This word is not one of the choices"


class MissingEntry(AirfettleError):
    """An entry has to be given for the others to make sense."""

    slug = "missing-entry"
    title = "Something is missing"


class EntriesDisagree(AirfettleError):
    """Two entries of the plant file cannot both be right."""

    slug = "entries-disagree"
    title = "Two entries do not go together"


class NotAPlantFile(AirfettleError):
    """The file is not TOML, or is not text."""

    slug = "not-a-plant-file"
    title = "This file cannot be read as a plant file"


class FileTrouble(AirfettleError):
    """A file is missing, is a folder, or may not be read or written."""

    slug = "file-trouble"
    title = "This file cannot be used"


class BadRequest(AirfettleError):
    """A command was asked for something it cannot do, such as a negative frequency."""

    slug = "bad-request"
    title = "This cannot be asked for"


class UnknownTableEntry(AirfettleError):
    """A published table has no such row or column."""

    slug = "unknown-table-entry"
    title = "The table has no such entry"


class UnsuitableNumbers(AirfettleError):
    """A function of the library was called with numbers outside what it can work with."""

    slug = "unsuitable-numbers"
    title = "These numbers cannot be worked with"


class UnreadableHours(AirfettleError):
    """Days and hours have a form the reader does not know."""

    slug = "unreadable-hours"
    title = "These hours cannot be read"
