"""Charts of a day of running, as Vega-Lite specifications with no data but their own."""

from airfettle.drawings.charts.day import day_chart
from airfettle.drawings.charts.hours import hours_chart
from airfettle.drawings.charts.resize import resize_charts
from airfettle.drawings.charts.style import themed
from airfettle.drawings.charts.water import water_chart

__all__ = ["day_chart", "hours_chart", "resize_charts", "themed", "water_chart"]
