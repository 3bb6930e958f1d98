"""The bill of materials: one file for each thing that is bought, as pure functions of arrays."""
