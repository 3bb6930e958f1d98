"""The air path drawn: from the intake to the tools, with what the air is at every station and what was found."""
