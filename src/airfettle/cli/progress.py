"""A progress bar that shows itself only where someone watches and the work takes over a second."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

PATIENCE = 1.0
"""Seconds before the bar shows. [s]"""


@contextmanager
def progress_bar(what: str) -> Iterator[Callable[[int, int], None]]:
    """Yield a function to call with (done, in all)."""
    if not sys.stderr.isatty():
        yield lambda done, total: None
        return
    from rich.console import Console
    from rich.progress import Progress

    bar = Progress(console=Console(stderr=True), transient=True)
    task = bar.add_task(what, total=None)
    began, shown = time.monotonic(), False

    def tick(done: int, total: int) -> None:
        nonlocal shown
        if not shown and done < total and time.monotonic() - began > PATIENCE:
            bar.start()
            shown = True
        bar.update(task, completed=done, total=total)

    try:
        yield tick
    finally:
        if shown:
            bar.stop()
