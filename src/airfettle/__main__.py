"""``python -m airfettle`` is the ``airfettle`` command."""

from airfettle.cli import main

main()
