"""Commands that judge a plant: findings, window, sheaves, unknowns, explain, compare."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

if TYPE_CHECKING:
    from airfettle.app.judge import Judged

OK, DANGER, BAD_INPUT = 0, 1, 2
"""Exit codes: it worked; a danger holds; something given cannot be used."""

Flag = Annotated[bool, Parameter(negative="")]


def findings(
    file: str, *, all: Flag = False, strict: Flag = False, rows: int = 1024, seed: int = 1, json: Flag = False
) -> int:
    """Say what may hurt, what does not fit together, and what nobody told.

    Parameters
    ----------
    file
        The plant file.
    all
        Also each question that hides no danger, and what was looked at and is in order.
    strict
        Exit code 1 also where a danger may hold, or where a question behind one is not answered.
    rows
        Rows of the draw, a power of two.
    seed
        Seed of the draw; the same seed gives the same numbers.
    json
        Print JSON instead of notes.
    """
    from airfettle.app.judge import judge_file
    from airfettle.report.findings_json import findings_json
    from airfettle.report.findings_table import findings_table

    judged = judge_file(file, rows=rows, seed=seed, clear=all, through_days=True)
    show(
        json,
        data=lambda: findings_json(judged.findings, belief=judged.loaded.belief),
        table=lambda width: findings_table(judged.findings, belief=judged.loaded.belief, everything=all),
    )
    return DANGER if judged.danger(strict=strict) else OK


def window(file: str, *, certainty: float | None = None, rows: int = 1024, seed: int = 1, json: Flag = False) -> int:
    """Say how slow and how fast a plant may run, and which limit ends it.

    Parameters
    ----------
    file
        The plant file.
    certainty
        Share of the draw in which each limit must hold, such as 0.9; the plant's own where it is not given.
    rows
        Rows of the draw, a power of two.
    seed
        Seed of the draw; the same seed gives the same numbers.
    json
        Print JSON instead of the table.
    """
    from airfettle.app.judge import judge_file
    from airfettle.app.window import windows_of
    from airfettle.report.window_json import window_json
    from airfettle.report.window_table import window_table

    judged = judge_file(file, rows=rows, seed=seed)
    windows = windows_of(judged.loaded, certainty=certainty)
    draw = judged.loaded.draw
    show(
        json,
        data=lambda: window_json(windows, draw=draw),
        table=lambda width: window_table(windows, draw=draw, width=width),
    )
    return warned(judged, quiet=json)


def unknowns(
    file: str, *, answer: Annotated[str, Parameter(name="--for")] = "delivered_air", hz: str = "", rows: int = 1024,
    seed: int = 1, json: Flag = False,
) -> int:  # fmt: skip
    """Say which one reading with tape, tachometer, stopwatch, clamp meter or thermometer would settle the most.

    Parameters
    ----------
    file
        The plant file.
    answer
        The answer to narrow, by its id, such as --for motor_torque_share.
    hz
        Drive frequency at which readings would be taken; the highest that is used where it is not given.
    rows
        Rows of the draw, a power of two.
    seed
        Seed of the draw; the same seed gives the same numbers.
    json
        Print JSON instead of the list.
    """
    from airfettle.app.judge import judge_file
    from airfettle.app.rate import frequency_of
    from airfettle.findings.unknowns import unknowns_of
    from airfettle.report.unknowns_json import unknowns_json
    from airfettle.report.unknowns_table import unknowns_table

    judged = judge_file(file, rows=rows, seed=seed)
    draw = judged.loaded.draw
    found = unknowns_of(
        judged.reach, told=judged.loaded.told, findings=judged.findings, answer=answer,
        frequency=frequency_of(hz) if hz else None,
    )  # fmt: skip
    show(
        json,
        data=lambda: unknowns_json(found, draw=draw),
        table=lambda width: unknowns_table(found, units=draw.plant.about.units),
    )
    return warned(judged, quiet=json)


def sheaves(
    file: str, *, speed: str = "", certainty: float | None = None, rows: int = 1024, seed: int = 1, json: Flag = False
) -> int:
    """Say which stock motor sheave and how many belts turn the pump at the speed wanted, best first.

    Parameters
    ----------
    file
        The plant file.
    speed
        Pump speed wanted, such as --speed "850 rpm"; the pump's rated speed, within its highest, where none is given.
    certainty
        Share of the draw in which each limit must hold, such as 0.9; the plant's own where it is not given.
    rows
        Rows of the draw, a power of two.
    seed
        Seed of the draw; the same seed gives the same numbers.
    json
        Print JSON instead of the table.
    """
    from airfettle.app.judge import judge_file
    from airfettle.app.sheaves import sheaves_of
    from airfettle.report.sheaves_json import sheaves_json
    from airfettle.report.sheaves_table import sheaves_table

    judged = judge_file(file, rows=rows, seed=seed)
    search = sheaves_of(judged, speed=speed, certainty=certainty)
    show(json, data=lambda: sheaves_json(search), table=lambda width: sheaves_table(search))
    return warned(judged, quiet=json)


def explain(
    file: str, what: str, *, hz: str = "", pressure: str = "", train: str = "", deep: Flag = False, rows: int = 1024,
    seed: int = 1, json: Flag = False,
) -> int:  # fmt: skip
    """Say why a number, a limit or a finding is what it is, down to the owner's own entries.

    Parameters
    ----------
    file
        The plant file.
    what
        An answer id such as delivered_air, a limit such as pump_overspeed, or a finding such as receiver_plate.
    hz
        Drive frequency to look at; full frequency, or a finding's worst point, where none is given.
    pressure
        Receiver pressure to look at, such as --pressure "125 psi"; the cut-out where none is given.
    train
        Which train, in a plant of several.
    deep
        Every step down to the entries, not only the first few.
    rows
        Rows of the draw, a power of two.
    seed
        Seed of the draw; the same seed gives the same numbers.
    json
        Print JSON instead of text.
    """
    from airfettle.app.judge import judge_file
    from airfettle.app.rate import frequency_of, gauge_of
    from airfettle.findings.why import why
    from airfettle.report.why_json import why_json
    from airfettle.report.why_table import why_table

    judged = judge_file(file, rows=rows, seed=seed, clear=True)
    found = why(
        judged.reach, findings=judged.findings, asked=what, frequency=frequency_of(hz) if hz else None,
        gauge=gauge_of(pressure) if pressure else None, train=train, deep=deep,
    )  # fmt: skip
    draw = judged.loaded.draw
    show(
        json,
        data=lambda: why_json(found, draw=draw),
        table=lambda width: why_table(found, units=draw.plant.about.units),
    )
    return warned(judged, quiet=json)


def compare(file: str, other: str = "", *, rows: int = 1024, seed: int = 1, json: Flag = False) -> int:
    """Say what one change does: entries, answers beyond their spread, limits that broke or healed, findings.

    Parameters
    ----------
    file
        The plant file before the change; alone, a file that has based_on, compared with the plant it is based on.
    other
        The plant file after the change.
    rows
        Rows of the draw, a power of two.
    seed
        Seed of the draw; the same seed gives the same numbers.
    json
        Print JSON instead of tables.
    """
    from airfettle.app.compare import compare_files
    from airfettle.report.differences_json import differences_json
    from airfettle.report.differences_table import differences_table

    found = compare_files(file, other or None, rows=rows, seed=seed)
    show(json, data=lambda: differences_json(found), table=lambda width: differences_table(found))
    return DANGER if any(f.signal == "danger" for f in found.after.findings) else OK


def show(as_json: bool, *, data: Callable[[], Any], table: Callable[[int], Any]) -> None:
    """Print JSON, or a table made for the width of the terminal."""
    if as_json:
        import json

        sys.stdout.write(json.dumps(data(), indent=1, ensure_ascii=False, allow_nan=False) + "\n")
        return
    from rich.console import Console

    console = Console(highlight=False)
    console.print(table(console.width))


def warned(judged: Judged, *, quiet: bool) -> int:
    """Say which dangers hold, and return the exit code that goes with it."""
    if not judged.danger():
        return OK
    if not quiet:
        names = ", ".join(f.name for f in judged.findings if f.signal == "danger" and f.state == "holds")
        sys.stderr.write(f"DANGER: {names}. See: airfettle findings {judged.loaded.path}\n")
    return DANGER
