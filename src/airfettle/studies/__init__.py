"""Questions asked of a whole plant."""
