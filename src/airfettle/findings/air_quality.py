"""Rules about dry, clean air and the pipe it goes through."""
