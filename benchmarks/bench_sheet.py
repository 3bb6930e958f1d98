"""The build sheet: each drawing within 50 ms, the whole sheet within 3 s warm, held against the judging it rests on."""

import time

import pytest

from airfettle.app.build_sheet import Workings, sheet_of, workings_of
from airfettle.app.judge import judge_file
from airfettle.drawings.air_path.drawing import air_path_drawing
from airfettle.drawings.pipes.plan import pipe_drawing
from airfettle.drawings.speed_card import CardHead, speed_card
from airfettle.drawings.wiring import wiring_drawing
from airfettle.report.typeset import typeset
from airfettle.studies.pipework.shop import shop_run
from airfettle.studies.stations import stations

CANOE = "examples/canoe_works.toml"


def best(function, repeats=5):
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return min(times)


@pytest.fixture(scope="module")
def worked():
    """The canoe works, worked out once so that everything is loaded and compiled."""
    found = workings_of(CANOE)
    sheet_of(found)
    return found


def test_drawings(worked):
    reach, found = worked.judged.reach, worked.judged.findings
    at, run, card = stations(reach.draw, reach.numbers), shop_run(reach.draw), worked.cards[0]
    drawings = {
        "air path": lambda: air_path_drawing(at, found),
        "pipe": lambda: pipe_drawing(run),
        "card": lambda: speed_card(card, CardHead("Canoe works", "US", "", "")),
    } | {f"{c.title}": (lambda c=c: wiring_drawing(c, draw=reach.draw)) for c in worked.circuits}
    took = {name: best(draw) for name, draw in drawings.items()}
    print("\n" + ", ".join(f"{name} {seconds * 1e3:.0f} ms" for name, seconds in took.items()) + "; goal 50 ms each")
    judging = best(lambda: judge_file(CANOE), repeats=3)
    assert max(took.values()) < 0.5 * judging  # a drawing costs little against what it draws


def test_whole_sheet(worked):
    def printed():
        again = workings_of(CANOE)
        return typeset(sheet_of(again), cover=again.cover("Build sheet"), paper="Letter")

    whole = best(printed, repeats=3)
    judging = best(lambda: judge_file(CANOE), repeats=3)

    leaves = sheet_of(worked)

    def set_in_type():
        return typeset(leaves, cover=worked.cover("Build sheet"), paper="Letter")

    print(f"\nsheet {whole:.2f} s (goal 3 s), of which setting in type {best(set_in_type, repeats=3):.2f} s; judging "
          f"{judging:.2f} s")  # fmt: skip
    assert whole < 20.0 * judging


def test_parts_share_what_they_rest_on():
    first = Workings(judge_file(CANOE))
    assert first.rating is first.rating
    assert first.circuits is first.circuits
