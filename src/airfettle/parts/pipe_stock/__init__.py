"""Stock pipe and hose: what an owner can buy, by the name the trade gives it, and what it bears."""

from airfettle.parts.pipe_stock.material import materials, sizes
from airfettle.parts.pipe_stock.rating import rated_pressure, support_spacing, tube_pressure
from airfettle.parts.pipe_stock.reading import read_pipe
from airfettle.parts.pipe_stock.stock import Stock, larger, smaller

__all__ = [
    "Stock",
    "larger",
    "materials",
    "rated_pressure",
    "read_pipe",
    "sizes",
    "smaller",
    "support_spacing",
    "tube_pressure",
]
