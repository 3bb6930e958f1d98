"""How a plant is wired and set: sizes of wires and devices, circuits as nets, terminals, drive settings."""
