"""What the plant is weighed against: ready-made units the owner considers, and costs that are no part of the plant."""

from __future__ import annotations

import re
from typing import Any, Generic, Literal

from pydantic import model_validator

from airfettle.errors import EntriesDisagree
from airfettle.plant.part import Model, Q, YesNo, choice, for_loader, quantity

Included = Literal[
    "receiver", "aftercooler", "water separator", "automatic drain", "dryer", "filters", "relief valve",
    "pressure switch", "starter", "drive", "belt guard", "emergency stop", "disconnect", "wiring", "pipe", "delivery",
    "installation", "warranty",
]  # fmt: skip
"""What the quote for a unit may include."""

_AT = re.compile(r"(?P<air>.*\S)\s+at\s+(?P<at>\S.*?)(?P<by>\s+by\s+[a-z ]+)?", re.IGNORECASE | re.DOTALL)
_REFERENCE = re.compile(r"\bscfm\b|\s*\(?\bANR\b\)?", re.IGNORECASE)

DELIVERED_SHARE = {
    "delivered": {"": "0.93..1.07"},
    "displacement": {"1": "0.58..0.72", "2": "0.70..0.82", "": "0.58..0.82"},
    "unknown": {"1": "0.58..1.0", "2": "0.70..1.0", "": "0.58..1.0"},
}
"""Air delivered over the maker's figure, by what that figure is and by stages. [-]
Source: iso-1217-tolerance for delivered air, practice for the filling of piston pumps at 100 to 125 psi."""


class ReadyMade(Model[Q], Generic[Q]):
    """A unit offered as a whole; price, power and so on as its quote or sheet has them."""

    title = "a ready-made unit considered in place of the plant"
    name: str = choice(
        "what you call it", default="", say="such as 'quiet unit, quote A'; each of several its own name"
    )
    price: Q | None = quantity("money", "price asked", say="a number in the plant's currency", in_time=True)
    air: Q | None = quantity(
        "intake_flow",
        "air its maker states",
        role="reading",
        low=1e-6,
        say="its pressure may stand behind it: '16 cfm at 125 psi'; a figure in scfm or L/min ANR counts as that "
        "volume at the intake, as a pump sweeps the same volume anywhere",
        example_us="16 cfm at 125 psi by maker",
        example_si="450 L/min at 8 bar by maker",
        measure="its sheet: the figure for delivered air at a pressure, not the one for displacement",
        in_time=True,
    )
    at: Q | None = quantity(
        "pressure",
        "pressure that this air is for",
        low=0.0,
        high=4e6,
        example_us="125 psi",
        example_si="8 bar",
        in_time=True,
    )
    figure_kind: Literal["delivered", "displacement", "unknown"] = choice(
        "what its maker's figure is: air delivered at that pressure, or what the pistons sweep", default="unknown",
        say="ask in writing; a figure without a pressure is mostly displacement",
    )  # fmt: skip
    stages: Literal[1, 2] | None = choice("stages of its pump")
    delivered_share: Q = quantity(
        "fraction",
        "air delivered over the maker's figure",
        by="figure_kind",
        default={kind: text[""] for kind, text in DELIVERED_SHARE.items()},
        low=0.2,
        high=1.2,
        say="stages, where told, narrow what is assumed for a figure of displacement",
        source="iso-1217-tolerance",
        in_time=True,
    )
    power: Q | None = quantity(
        "power",
        "power on its sheet",
        low=50.0,
        high=5e5,
        example_us="5 hp",
        example_si="4 kW",
        in_time=True,
    )
    power_kind: Literal["motor", "electrical"] = choice(
        "what that power is: the motor's plate, or what it takes from the supply", default="motor"
    )
    input_share: Q = quantity(
        "fraction",
        "power it takes from the supply at full load over that power",
        by="power_kind",
        default={"motor": "0.95..1.3", "electrical": "0.95..1.05"},
        low=0.5,
        high=2.0,
        in_time=True,
    )
    sound_level: Q | None = quantity(
        "sound_level",
        "sound at 1 m on its sheet",
        example_us="72 dBA by maker",
        example_si="72 dBA by maker",
        measure="its sheet; a figure for 7 m (23 ft) reads 17 dB lower than one for 1 m",
        in_time=True,
    )
    longest_duty: Q | None = quantity(
        "fraction",
        "largest share of an hour its maker lets it run",
        role="limit",
        low=0.01,
        high=1.0,
        example_us="60 % by maker",
        example_si="60 % by maker",
        in_time=True,
    )
    phases: Literal[1, 3] | None = choice("phases it is built for")
    includes: tuple[Included, ...] = choice(
        "what its price includes", default=(), say="such as ['receiver', 'starter', 'delivery']; read the quote"
    )
    note: str = choice("anything worth keeping", default="")

    def assumed_text(self, name: str) -> str | None:
        """Return what is assumed for an entry; the share delivered also goes by the pump's stages."""
        if name == "delivered_share":
            texts = DELIVERED_SHARE[self.figure_kind]
            return texts.get(str(self.stages), texts[""])
        return super().assumed_text(name)

    @model_validator(mode="before")
    @classmethod
    def _split(cls, data: Any) -> Any:
        """Take '16 cfm at 125 psi' apart into air and at, and reference volumes as volumes at the intake."""
        told = data.get("air") if isinstance(data, dict) else None
        text = told.get("is") if isinstance(told, dict) else told
        if not isinstance(text, str):
            return data
        found = _AT.fullmatch(text.strip())
        if found and data.get("at", "unknown") not in ("unknown", "?"):
            wanted = "the pressure once, behind the air or in a line of its own"
            raise for_loader(EntriesDisagree(read=f"air = {text!r} and also at = {data['at']!r}", wanted=wanted), "at")
        by = (found["by"] or "") if found else ""
        parts = {"air": _volume(found["air"] + by if found else text)} | ({"at": found["at"] + by} if found else {})
        return data | {key: told | {"is": part} if isinstance(told, dict) else part for key, part in parts.items()}


def _volume(text: str) -> str:
    """Return a stated air with units of reference air as the same volume at the intake."""
    return _REFERENCE.sub(lambda unit: "cfm" if unit[0].lower() == "scfm" else "", text)


class OtherCost(Model[Q], Generic[Q]):
    """Something paid for that is no part of the plant."""

    title = "another cost: work, a permit, freight"
    name: str = choice("what it is for", default="")
    price: Q | None = quantity("money", "what it costs", say="a number in the plant's currency", in_time=True)
    kind: Literal["material", "labour", "permit", "freight"] = choice("what sort of cost", default="material")
    paid: YesNo = choice("is it paid already", default="unknown")
    either_way: Literal["yes", "no"] = choice(
        "would it be paid with a ready-made unit too, as an electrician's day would", default="no"
    )
    note: str = choice("anything worth keeping", default="")
