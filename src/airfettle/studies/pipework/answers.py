"""What the shop's pipe comes to: pressure at every tool, what each part of the way loses, speed, cost."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.meaning import answer, value

Array = NDArray[np.float64]
_PIPES = ("airfettle-pipes",)


@dataclass(frozen=True)
class ShopAnswers:
    """The pipe as a whole, each of shape (rows,). [SI]"""

    receiver_gauge: Array = value("receiver pressure", "pressure", "p_r", note="cut-in unless another is asked for")
    worst_pressure: Array = answer("pressure at the tool worst off", "pressure", "p_t", sources=_PIPES,
                                   solved="the network's flows, all that can run at once running")  # fmt: skip
    total_drop: Array = answer("lost from receiver to that tool", "pressure_difference", "dp", sources=_PIPES,
                               equation="receiver_gauge - worst_pressure")  # fmt: skip
    drop_share: Array = answer("lost, of the receiver's pressure", "fraction", "dp/p", sources=("cac-drop",),
                               equation="total_drop / receiver_gauge",
                               note="a tenth is the most by common practice")  # fmt: skip
    flow: Array = answer("air through the pipe then", "reference_flow", "m", sources=_PIPES, solved="sum of the tools")
    delivered: Array = value("what the plant delivers at full speed and cut-in", "reference_flow", "m_p")
    header_speed: Array = answer("fastest air in a run", "linear_speed", "v_h", sources=_PIPES,
                                 solved="flow over density and area", note="6 m/s is the rule for a main")  # fmt: skip
    drop_speed: Array = answer("fastest air in a drop", "linear_speed", "v_d", sources=_PIPES,
                               solved="flow over density and area", note="9 m/s is the rule for a branch")  # fmt: skip
    line_volume: Array = answer("what the pipe holds", "volume", "V_l", equation="line_area_length",
                                note="adds to the receiver")  # fmt: skip
    line_area_length: Array = value("area times length of all pipe", "volume", "A L")
    line_share: Array | None = answer("what the pipe adds to the receiver", "fraction", "V_l/V",
                                      equation="line_volume / receiver_volume")  # fmt: skip
    receiver_volume: Array | None = value("volume of receivers", "volume", "V")
    leak: Array | None = answer("leaks", "reference_flow", "m_l", sources=_PIPES,
                                solved="as told, or from the pressure's fall in the test",
                                note="at the middle of the control's band")  # fmt: skip
    loss_power: Array | None = answer("electricity that the losses cost", "power", "P_l", sources=_PIPES,
                                      solved="flow times ln(p1/p2) of every part, over all sets of tools",
                                      note="mean while the shop is at work; running at a pressure lower by as much "
                                           "would save it")  # fmt: skip
    loss_energy: Array | None = answer("the same in a year", "energy", "E_l", sources=_PIPES,
                                       equation="loss_power * open_time")  # fmt: skip
    open_time: Array | None = value("time the shop is at work in a year", "hours", "t_o")
    loss_cost: Array | None = answer("cost of that", "money", "c_l", sources=("physics",),
                                     equation="loss_energy * energy_price")  # fmt: skip
    energy_price: Array | None = value("price of electricity", "energy_price", "c_e")


@dataclass(frozen=True)
class PlaceAnswers:
    """One tool at one drop, each of shape (rows,). [SI]"""

    name: str
    drop: str
    runs: bool = True
    gauge: Array = answer("pressure at its inlet", "pressure", "p_i", sources=_PIPES,
                          solved="the network's flows")  # fmt: skip
    lost: Array = answer("lost from receiver to its inlet", "pressure_difference", "dp", sources=_PIPES,
                         solved="receiver less inlet")  # fmt: skip
    needed: Array = value("lowest pressure with which it works well", "pressure", "p_n")
    margin: Array = answer("left over what it needs", "pressure_difference", "p_i - p_n", sources=_PIPES,
                           equation="gauge - needed")  # fmt: skip
    alone: Array = answer("pressure at its inlet when it runs alone", "pressure", "p_a", sources=_PIPES,
                          solved="the network's flows")  # fmt: skip
    flow: Array = answer("air it takes", "reference_flow", "m_t", sources=_PIPES, solved="by its inlet pressure")
    enough_share: Array | None = answer("of its running time with enough pressure, receiver at cut-in", "fraction", "s",
                                        sources=_PIPES, solved="over every set of tools that can run",
                                        note="of the first rows of the draw")  # fmt: skip
    lowest: Array | None = answer("lowest pressure over every set of tools", "pressure", "p_l", sources=_PIPES,
                                  solved="the lowest", note="of the first rows of the draw")  # fmt: skip


@dataclass(frozen=True)
class LineAnswers:
    """One pipe, each of shape (rows,). [SI]"""

    name: str
    run: str
    pipe: str
    start: str
    end: str
    on_worst_way: bool
    fittings: str = ""
    length: Array = value("length", "length", "L")
    bore: Array = value("bore", "length", "D")
    flow: Array = answer("air through it, from its start to its end", "reference_flow", "m", sources=_PIPES,
                         solved="the network's flows")  # fmt: skip
    gauge_start: Array = value("pressure at its start", "pressure", "p_1")
    gauge_end: Array = value("pressure at its end", "pressure", "p_2")
    lost: Array = answer("lost in it", "pressure_difference", "dp", sources=_PIPES,
                         solved="the higher of its ends less the lower")  # fmt: skip
    speed: Array = answer("speed of its air", "linear_speed", "v", sources=_PIPES,
                          solved="flow over density and area")  # fmt: skip
    loss_power: Array | None = answer("electricity that its loss costs", "power", "P_l", sources=_PIPES,
                                      solved="flow times ln(p1/p2), over all sets of tools",
                                      note="mean while the shop is at work")  # fmt: skip


@dataclass(frozen=True)
class Step:
    """One part of the way from the receiver to the tool worst off.

    Attributes
    ----------
    name : str
        In words. [text]
    sort : str
        ``treatment``, ``run``, ``drop``, ``coupler``, ``regulator`` or ``hose``.
    lost : ndarray
        Shape (rows,). [Pa]
    """

    name: str
    sort: str
    lost: Array = field(repr=False)
