"""The control circuit of a train: what runs it, what stops it, what unloads it, and what keeps its fan going."""

from __future__ import annotations

from airfettle.studies.wiring.circuit import Circuit, Panel
from airfettle.studies.wiring.control_remarks import control_remarks
from airfettle.studies.wiring.drive_inputs import drive_panel
from airfettle.studies.wiring.joints import Joints
from airfettle.studies.wiring.line_fed import line_columns
from airfettle.studies.wiring.remarks import with_remarks
from airfettle.studies.wiring.starter_control import coil_columns, transducer_panel
from airfettle.studies.wiring.wired import Wired


def control_circuit(wired: Wired) -> Circuit | None:
    """Return the control circuit of a train, or None where nothing but the motor's own wires controls it.

    Parameters
    ----------
    wired : Wired
        The train.

    Returns
    -------
    Circuit or None
        [text]
    """
    joints = Joints()
    panels = [_line_panel(joints, wired), drive_panel(joints, wired) if wired.on_drive else
              transducer_panel(joints, wired)]  # fmt: skip
    there = tuple(panel for panel in panels if panel is not None)
    if not there:
        return None
    circuit = Circuit(
        "control", "Control circuit" + (", corrected" if wired.corrected else ", as it is"), wired.name,
        wired.corrected, tuple(joints.devices.values()), joints.nets(wired.number(3), sort="control"), there,
        outside=outside(wired),
    )  # fmt: skip
    more, louder = control_remarks(wired, circuit)
    return with_remarks(circuit, more, louder=louder)


def _line_panel(joints: Joints, wired: Wired) -> Panel | None:
    """What is fed from the line behind the disconnect: coils, valve, fan."""
    above, below = f"{wired.tag('X', 1)}:1", f"{wired.tag('X', 1)}:2"
    top, bottom = (above, "1"), (below, "2")
    joints.put(above, "box", ("1",), "from the line, behind the disconnect")
    joints.put(below, "box", ("2",))
    joints.join(top, number=str(wired.number(1)), sort="line")
    joints.join(bottom, number=rail_below(wired), sort="line")
    coils = () if wired.on_drive else coil_columns(joints, wired, top=top, bottom=bottom)
    columns = (*coils, *line_columns(joints, wired, top=top, bottom=bottom))
    if not columns:
        joints.drop(above, below)
        return None
    return Panel("fed from the line, behind the disconnect", (above,), (below,), columns)


def rail_below(wired: Wired) -> str:
    """Return the number of the lower rail: neutral where the supply has one for it, else a wire of its own."""
    shape = wired.shape
    own = "N" not in wired.feed and shape.control[1] == "N"
    return "N" if own and not shape.transformer else str(wired.number(2))


def outside(wired: Wired) -> tuple[tuple[str, str], ...]:
    """Return what no wire shows and yet decides what a stop does."""
    lost = wired.fact("drive", "lost_speed") if wired.on_drive else "unknown"
    return (
        ("unloader", wired.fact("pump", "unloader")),
        ("restarts", wired.fact("control", "restarts_by_itself")),
        ("lost signal", lost),
    )
