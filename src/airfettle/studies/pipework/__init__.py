"""The pipe round the shop as a network: flows, pressures at the tools, what is to blame, and sizes that work."""
