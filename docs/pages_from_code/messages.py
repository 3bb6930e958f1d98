"""reference/messages.md: every error, with an example that was really provoked."""

import inspect
import os
import tempfile
from contextlib import contextmanager
from pathlib import Path

import airfettle.errors
from airfettle import tables
from airfettle.app.new import new_file
from airfettle.app.rate import rate_file
from airfettle.errors import AirfettleError
from airfettle.parts.vessel import required_wall
from airfettle.store.plant_file import read_plant
from pages_from_code.words import sentence

HEAD = """# Messages

When something given cannot be used, the program stops with one message and exit code 2. It says where, what was read,
what is wanted, and often what to try. It names the first thing wrong, in the order of the file, and how many more there
are. Nothing is written or changed.

Each kind of message has a name, which is the heading below. The examples are true output.
"""

FILE = "my_plant.toml"


def _plant(text):
    return lambda: (Path(FILE).write_text(text, encoding="utf-8"), read_plant(FILE))


def _request(**wanted):
    return lambda: (Path(FILE).write_text("", encoding="utf-8"), rate_file(FILE, **wanted))


def _overwrite():
    Path(FILE).write_text("", encoding="utf-8")
    new_file(FILE, units="US")


PROVOKED = {
    "unreadable-quantity": (
        _plant('[motor]\npower = "five horse"\n'),
        "Write a number and a unit, in one of the [forms that can be read](quantities.md#forms-that-can-be-read). "
        'Decimals take a point, not a comma. Write `"unknown"` rather than a word of your own.',
    ),
    "missing-unit": (
        _plant("[pump]\nmaximum_speed = 900\n"),
        "Put the number in quotes with its unit. The program never guesses one: 900 could be rpm or turns in a second.",
    ),
    "wrong-unit": (
        _plant('[receiver]\nvolume = "80 psi"\n'),
        "Use one of the units in the message. If the number is right, it may stand on the wrong line.",
    ),
    "ambiguous-unit": (
        _plant('[pump]\nrated = [{ air = "18 scfm", at = "100 psi" }]\n'),
        "The message says what the two meanings are. Find out which one plate or maker meant, and write that one. "
        "More in [air: intake volume or reference air](quantities.md#air-intake-volume-or-reference-air).",
    ),
    "backward-range": (
        _plant('[pump]\nmaximum_speed = "950..850 rpm"\n'),
        "Put the lower number first, and a likely value between the two.",
    ),
    "out-of-bounds": (
        _plant('[belt]\nmotor_sheave = "70 in by tape"\n'),
        "Look for a slipped decimal point or a wrong unit. The bounds are wide: what lies outside is no part of a "
        "workshop plant.",
    ),
    "unknown-key": (
        _plant('[motor]\nhorsepower = "5 hp"\n'),
        "Check the spelling against the list in the message, or the [plant file](plant_file.md). A key is refused "
        "rather than skipped, so that a slip of the pen never leaves a value out without your knowing.",
    ),
    "wrong-shape": (
        _plant('cooler = "yes"\n'),
        "A section is a line `[cooler]` with its keys below. Quantities stand in quotes.",
    ),
    "unknown-choice": (
        _plant('[cooler]\nfan = "electric"\n'),
        'Take one of the words in the message, spelt as it stands there; most keys have `"unknown"` among them.',
    ),
    "missing-entry": (
        _plant('[pump]\nrated = [{ at = "100 psi" }]\n'),
        "Add the line the message names, or take the section out: without it the rest of the section says nothing.",
    ),
    "entries-disagree": (
        _plant('[control]\ncut_in = "150 psi"\ncut_out = "120 psi"\n'),
        "Both cannot be right. Read both again in the shop; if you know only one, leave the other out.",
    ),
    "not-a-plant-file": (
        _plant("[motor]\nspeed = 1745 rpm\n"),
        "Look at the line the message names: most often a quote is missing. The file has to be plain text saved as "
        "UTF-8; a file of a word processor or a spreadsheet will not do.",
    ),
    "file-trouble": (
        _overwrite,
        "Check name and folder. `airfettle new` never touches a file that is there already: give it a new name.",
    ),
    "bad-request": (
        _request(pressures=["2000 psi"]),
        "The plant is fine; what was asked of it is not. The message says what can be asked.",
    ),
    "unknown-table-entry": (
        lambda: tables.load("nec_430_250").numbers("231 V"),
        "Only from Python: ask for one of the names in the message. [Published tables](tables.md) lists them all.",
    ),
    "unsuitable-numbers": (
        lambda: required_wall(gauge_pressure=8e7, inside_radius=0.25, allowable_stress=1e8, joint_efficiency=0.7),
        "Only from Python: a function was called with numbers it cannot work with. Its docstring says what range it "
        "takes.",
    ),
    "unreadable-hours": (
        _plant('[use]\nwhen = "Mon-Fri 8 to 5"\n'),
        "Write days, then from when to when on the 24-hour clock, with a colon: `Mon-Fri 08:00-12:00 12:30-16:30`. A "
        "comma before the next days, `daily` for every day, `always` for day and night.",
    ),
}
"""Slug -> how to provoke it, and what to do about it."""


def classes():
    """Every error class with a slug of its own."""
    found = [c for _, c in inspect.getmembers(airfettle.errors, inspect.isclass) if issubclass(c, AirfettleError)]
    return sorted((c for c in found if c is not AirfettleError), key=lambda c: inspect.getsourcelines(c)[1])


@contextmanager
def _elsewhere():
    before = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        try:
            yield
        finally:
            os.chdir(before)


def provoked(error_class):
    """Return the message of an error, by making it happen."""
    with _elsewhere():
        try:
            PROVOKED[error_class.slug][0]()
        except AirfettleError as error:
            if type(error) is not error_class:
                raise AssertionError(f"{error_class.slug}: provoked {type(error).__name__}") from error
            return str(error)
    raise AssertionError(f"{error_class.slug} was not provoked")


def page():
    """Return the page."""
    return "\n\n".join([HEAD.strip(), _base(), *(_one(c) for c in classes())])


def _base():
    return (
        f"All of them are kinds of `{AirfettleError.slug}`: {inspect.getdoc(AirfettleError)[:1].lower()}"
        + (inspect.getdoc(AirfettleError)[1:])
    )


def _one(error_class):
    lines = [
        f"## {error_class.slug}", "",
        f"**{error_class.title}.** {sentence(inspect.getdoc(error_class))}", "",
        "```text", provoked(error_class), "```", "",
        f"What to do: {PROVOKED[error_class.slug][1][0].lower()}{PROVOKED[error_class.slug][1][1:]}", "",
        f"In Python: `airfettle.errors.{error_class.__name__}`.",
    ]  # fmt: skip
    return "\n".join(lines)
