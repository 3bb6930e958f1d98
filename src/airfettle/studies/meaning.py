"""What a result's field means, said once where it is defined.

Terminal table, JSON, page, sheet and the explanation of a number all read this. An equation is
written in the names of other fields of the same result, so that it can be evaluated on row 0.
"""

from __future__ import annotations

import ast
import dataclasses
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import CP_DRY_AIR, CP_VAPOUR, R_DRY_AIR
from airfettle.air.moist import dew_point, saturation_humidity_ratio, vapour_pressure


@dataclass(frozen=True)
class Meaning:
    """One field of a result.

    Attributes
    ----------
    label, kind, symbol : str
        The trade's words, the kind of quantity, and the symbol in formulas.
    equation : str
        In names of other fields of the same result; empty where it is given or solved.
    solved : str
        What is solved for it, where no closed equation gives it.
    sources : tuple of str
        Keys of the bibliography.
    is_answer : bool
        Shown to the owner; other fields stand in equations and balances.
    total : bool
        In a plant of several trains it is their sum; otherwise the highest of them.
    note : str
        What to know when reading it.
    """

    label: str
    kind: str
    symbol: str = ""
    equation: str = ""
    solved: str = ""
    sources: tuple[str, ...] = ("physics",)
    is_answer: bool = True
    total: bool = False
    note: str = ""

    @property
    def uses(self) -> tuple[str, ...]:
        """Names of the fields the equation needs."""
        return names_in(self.equation)


def answer(label: str, kind: str, symbol: str = "", **more: Any) -> Any:
    """Declare a field that is shown to the owner."""
    return dataclasses.field(default=None, metadata={"meaning": Meaning(label, kind, symbol, **more)})


def value(label: str, kind: str, symbol: str = "", **more: Any) -> Any:
    """Declare a field that stands in equations and balances."""
    return dataclasses.field(default=None, metadata={"meaning": Meaning(label, kind, symbol, is_answer=False, **more)})


def meanings(result: Any) -> dict[str, Meaning]:
    """Return the meaning of every field of a result or of its class, by name, in order."""
    return {f.name: f.metadata["meaning"] for f in dataclasses.fields(result) if "meaning" in f.metadata}


FUNCTIONS: dict[str, Any] = {
    "sqrt": np.sqrt, "log10": np.log10, "exp": np.exp, "minimum": np.minimum, "maximum": np.maximum,
    "dew_point": lambda ratio, pressure: dew_point(ratio, pressure=pressure),
    "saturation_humidity_ratio": lambda t, pressure: saturation_humidity_ratio(t, pressure=pressure),
    "vapour_pressure": lambda ratio, pressure: vapour_pressure(ratio, pressure=pressure),
    "where": np.where,
}  # fmt: skip
"""Functions an equation may call."""

CONSTANTS: dict[str, float] = {
    "pi": np.pi, "R_DRY_AIR": R_DRY_AIR, "CP_DRY_AIR": CP_DRY_AIR, "CP_VAPOUR": CP_VAPOUR,
}  # fmt: skip
"""Constants an equation may name."""


def names_in(equation: str) -> tuple[str, ...]:
    """Return the fields an equation names, in order, without functions and constants."""
    if not equation:
        return ()
    names = [node.id for node in ast.walk(ast.parse(equation, mode="eval")) if isinstance(node, ast.Name)]
    return tuple(dict.fromkeys(name for name in names if name not in FUNCTIONS and name not in CONSTANTS))


def evaluated(equation: str, numbers: dict[str, Any]) -> NDArray[np.float64]:
    """Return an equation's value for the numbers of its fields; it may add, multiply, compare and call FUNCTIONS."""
    scope = FUNCTIONS | CONSTANTS | numbers
    return np.asarray(_value(ast.parse(equation, mode="eval").body, scope), dtype=np.float64)


_OPERATORS: dict[type[ast.operator], Any] = {
    ast.Add: np.add, ast.Sub: np.subtract, ast.Mult: np.multiply, ast.Div: np.divide, ast.Pow: np.power,
}  # fmt: skip


def _value(node: ast.expr, scope: dict[str, Any]) -> Any:
    if isinstance(node, ast.Constant):
        return node.value
    if isinstance(node, ast.Name):
        return scope[node.id]
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return np.negative(_value(node.operand, scope))
    if isinstance(node, ast.BinOp):
        return _OPERATORS[type(node.op)](_value(node.left, scope), _value(node.right, scope))
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        return scope[node.func.id](*(_value(argument, scope) for argument in node.args))
    raise TypeError(f"an equation may not contain {ast.dump(node)}")
