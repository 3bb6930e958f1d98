"""Pages of the reference written from the program itself, one module for each page."""
