"""Quantities at the edge: kinds and units, the strict reader, spans, and the streams they are drawn from."""

from airfettle.quantity.kinds import KINDS, Kind
from airfettle.quantity.reader import read_span
from airfettle.quantity.shown import Units, in_unit, plain, shown_unit, span_text, toleranced
from airfettle.quantity.span import Known, Span, exactly
from airfettle.quantity.streams import drawn, stratified_stream
from airfettle.quantity.tolerance import known_by

__all__ = [
    "KINDS", "Kind", "Known", "Span", "Units", "drawn", "exactly", "in_unit", "known_by", "plain", "read_span",
    "shown_unit", "span_text", "stratified_stream", "toleranced",
]  # fmt: skip
