"""What to set on drive, starter and pressure switch: to what, how far off, and why."""

from airfettle.studies.settings.setting import Preset, Setting, State, TrainSettings
from airfettle.studies.settings.whole import drive_settings

__all__ = ["Preset", "Setting", "State", "TrainSettings", "drive_settings"]
