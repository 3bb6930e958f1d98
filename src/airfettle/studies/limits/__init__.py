"""Every limit of a plant as a signed margin, said once: window, findings, sheaves and what-to-measure read it."""
