"""The rule that says where a receiver falls under a law about pressure vessels, to be looked up."""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np

from airfettle import tables
from airfettle.findings.case import Case, Part, Verdict
from airfettle.findings.rule import rule
from airfettle.parts.vessel import BAR_LITRE, pressure_volume_class

EU = (
    "eu austria belgium bulgaria croatia cyprus czechia denmark estonia finland france germany greece hungary ireland "
    "italy latvia lithuania luxembourg malta netherlands poland portugal romania slovakia slovenia spain sweden"
)
UK = "uk gb britain england scotland wales"
US = "us usa"
"""Words in site.place by which a place is known; others by the phrases in `law_of`."""


@rule(
    "inspection_law", signal="notice", group="pressure boundary", title="A receiver that the law may want inspected",
    why="Most places want larger receivers registered, or looked at by an inspector every few years; insurers ask for "
        "it too. Which ones depends on pressure times volume.",
    threshold="site.place is in the United Kingdom with a receiver above 250 bar L (a written scheme of "
              "examination), in the European Union above 50 bar L (simple vessels; inspection in use is each country's "
              "own law), in Australia (hazard level by AS 4343), or in the United States (each state has its own "
              "exemptions by volume and pressure)",
    do="Look it up with the authority for boilers and pressure vessels, and write down what it says.",
    sources=("vessel-law",),
)  # fmt: skip
def inspection_law(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every receiver."""
    site = case.plant.site
    law = law_of(site.place if site is not None else "")
    for part in case.parts("receiver"):
        words = _says(case, part, law) if law else ""
        decided = ("site.place", part.at("volume"))
        yield Verdict("holds" if words else "clear", words, (part.path,), decided_by=decided)


def law_of(place: str) -> str:
    """Return under whose law a place is: EU, UK, US, Australia, or "" where it is not known. [text]

    Places named after other places come first: New South Wales is not in the United Kingdom.
    """
    plain = place.lower().replace(".", "")
    words = set(re.findall(r"[a-z]+", plain))
    if "australia" in words:
        return "Australia"
    if words & set(US.split()) or "united states" in plain:
        return "US"
    if words & set(UK.split()) or "united kingdom" in plain or "northern ireland" in plain:
        return "UK"
    return "EU" if words & set(EU.split()) or "european union" in plain or "czech republic" in plain else ""


def _says(case: Case, part: Part, law: str) -> str:
    """Words about a receiver, or "" where the law asks for nothing that pressure times volume would tell."""
    plate, volume = part.rows("plate_pressure"), part.rows("volume")
    assert volume is not None
    pressure = (case.reach.numbers.cut_out if plate is None else plate) - case.reach.draw.barometer
    holds, highest = float(np.median(volume)), max(float(np.median(pressure)), 0.0)
    if law in ("US", "Australia"):
        whose = "each state has its own exemptions" if law == "US" else "the hazard level of AS 4343 decides"
        at = part.shown("plate_pressure") if part.told("plate_pressure") else case.show(pressure, kind="pressure")
        return f"The receiver holds {part.shown('volume')} at {at}; {whose}."
    product = f"{holds * highest / BAR_LITRE:.0f} bar L"
    place = "EU" if law == "EU" else "UK in service"
    table = tables.load("vessel_classes")
    row = int(pressure_volume_class(volume=holds, gauge_pressure=highest, place=place))
    first = table.words("place").index(place)
    return "" if row == first else f"The receiver holds {product}, in {law} law: {table.words('meaning')[row]}."
