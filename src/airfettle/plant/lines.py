"""The hot line from pump to cooler or receiver, and the pipe round the shop."""

from __future__ import annotations

from typing import Generic

from airfettle.plant.part import Part, Q


class HotLine(Part[Q], Generic[Q]):
    """Everything between the pump's outlet and the cooler, or the receiver where there is no cooler."""

    title = "the hot line from the pump to the cooler or receiver"


class ShopPipe(Part[Q], Generic[Q]):
    """The pipe from the receiver round the shop, with its drops, hoses and blow guns."""

    title = "the pipe round the shop, with drops, hoses and blow guns"
