"""Readings predicted for a first start, before anybody has tried it."""

from airfettle.studies.commissioning.belt import BeltSetting, belt_setting
from airfettle.studies.commissioning.trials import Commissioning, Expected, TankTrial, TrainTrial, commissioning

__all__ = [
    "BeltSetting", "Commissioning", "Expected", "TankTrial", "TrainTrial", "belt_setting", "commissioning",
]  # fmt: skip
