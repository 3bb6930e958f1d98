"""Finds the project's own modules, functions and docstrings for the house tests."""

import ast
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "airfettle"
ARITHMETIC = ("quantity", "tables", "air", "parts", "plant", "studies")


def modules(*folders):
    """All Python files below the folders of the package, as (path relative to it, syntax tree)."""
    for folder in folders or ("",):
        for path in sorted((PACKAGE / folder).rglob("*.py")):
            yield str(path.relative_to(PACKAGE)), ast.parse(path.read_text(encoding="utf-8"))


def public_functions(tree):
    """Public functions at the top of a module."""
    return [n for n in tree.body if isinstance(n, ast.FunctionDef) and not n.name.startswith("_")]


def public_classes(tree):
    """Public classes at the top of a module."""
    return [n for n in tree.body if isinstance(n, ast.ClassDef) and not n.name.startswith("_")]


def sections(docstring):
    """Split a numpydoc docstring into {section: text}; what stands first is under ''."""
    found, name, lines = {}, "", docstring.splitlines()
    for i, line in enumerate(lines):
        following = lines[i + 1].strip() if i + 1 < len(lines) else ""
        if following and set(following) == {"-"} and len(following) >= 3:
            name = line.strip()
            continue
        if line.strip() and set(line.strip()) == {"-"} and name:
            continue
        found[name] = found.get(name, "") + line + "\n"
    return found
