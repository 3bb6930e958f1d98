"""Airfettle works out a workshop air plant built from separately bought parts."""

__version__ = "0.1.0"
