"""Plants for drawings and sheet: every example and test plant, and odd ones: hostile names, 200 uses, three facts."""

from pathlib import Path

import tomlkit

ROOT = Path(__file__).parents[1]
FILES = sorted({*ROOT.glob("examples/*.toml"), *ROOT.glob("tests/plants/**/*.toml")})
HOSTILE = (
    '</text><script>alert(1)</script> #panic("x") *b* $y$ & \u05d0\u05d1\u05d2\u202e \u0645\u0639 \U0001fa81 \u65e5 `c`'
)
"""Markup of SVG, HTML and the typesetter, other directions, an override of direction, a picture, an ideograph."""
LONG = "the very long name of a thing that nobody would ever write down in full on a plate or a drawing " * 3


def _canoe():
    return tomlkit.parse((ROOT / "examples/canoe_works.toml").read_text(encoding="utf-8"))


def named(words):
    """The canoe works with every name it can carry replaced."""
    plant = _canoe()
    plant["plant"]["name"] = words
    plant["plant"]["revision"] = words
    plant["plant"]["date"] = words
    for key in ("drive", "motor", "pump", "cooler"):
        plant[key]["note"] = plant[key]["source"] = words
    for n, valve in enumerate(plant["relief_valve"]):
        valve["name"] = f"{words} {n}"
    renamed = {str(use["name"]): f"{words} {n}" for n, use in enumerate(plant["use"])}
    for use in plant["use"]:
        use["name"] = renamed[str(use["name"])]
    plant["filter"][0]["name"] = f"{words} f"
    for n, drop in enumerate(plant["shop_pipe"]["drops"]):
        drop["name"] = f"{words} d{n}"
        drop["tools"] = [renamed[str(name)] for name in drop["tools"]]
        if "through" in drop:
            drop["through"] = [f"{words} f"]
    return tomlkit.dumps(plant)


def many_uses(count=200):
    """The canoe works with many uses on a pipe that is not told."""
    plant = _canoe()
    del plant["shop_pipe"]
    del plant["filter"]
    del plant["use"]
    text = tomlkit.dumps(plant)
    uses = "".join(
        f'\n[[use]]\nname = "bench {n}"\ntool = "sander"\nair = "4 cfm at 90 psi"\nwhen = "Mon-Fri 08:00-16:00"\n'
        'on = "1 min"\noff = "20 min"\n'
        for n in range(count)
    )
    return text + uses


ODD = {
    "hostile": lambda: named(HOSTILE),
    "long": lambda: named(LONG),
    "200 uses": many_uses,
    "no uses": lambda: many_uses(0),
    "three facts": lambda: (
        '[pump]\nmaximum_speed = "900 rpm"\n[motor]\npower = "5 hp"\n[receiver]\nvolume = "60 gal"\n'
    ),
    "nothing": lambda: "",
    "no drive, single-phase": lambda: (
        'drive = "none"\n[plant]\nname = "Glass studio"\nunits = "US"\n'
        '[supply]\nkind = "single-phase 120/240"\n[motor]\npower = "5 hp"\nphases = 1\nvoltage = "230 V"\n'
    ),
}  # fmt: skip
"""Odd plants by name, as file text."""
