"""Charts and drawings, as SVG."""
