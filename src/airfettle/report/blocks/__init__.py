"""Parts of the build sheet as blocks, and the ways they are given out: terminal, Markdown, CSV, PDF, SVG, PNG."""

from airfettle.report.blocks.kinds import Block, Checks, Column, Heading, Leaf, Picture, Signed, Table, Words

__all__ = ["Block", "Checks", "Column", "Heading", "Leaf", "Picture", "Signed", "Table", "Words"]
