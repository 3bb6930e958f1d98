"""Every function that computes says units and where its equation comes from."""

import ast
import re

import pytest
from source_tree import modules, public_functions, sections

from airfettle.sources import all_sources

COMPUTE = [(file, function) for file, tree in modules("air", "parts") for function in public_functions(tree)]
IDS = [f"{file}:{function.name}" for file, function in COMPUTE]


def entries(text):
    """The blocks of a Parameters or Returns section: (names, body)."""
    blocks = re.split(r"\n(?=\S)", "\n" + text.strip("\n"))
    for block in blocks:
        head, _, body = block.strip("\n").partition("\n")
        if head:
            yield head, body


@pytest.mark.parametrize(("file", "function"), COMPUTE, ids=IDS)
def test_units_and_sources(file, function):
    doc = sections(ast.get_docstring(function) or "")
    arguments = [a.arg for a in function.args.posonlyargs + function.args.args + function.args.kwonlyargs]
    described = []
    for head, body in entries(doc.get("Parameters", "")):
        described += [name.strip() for name in head.partition(":")[0].split(",")]
        assert re.search(r"\[[^\]]+\]", body), f"{file}: {function.name}: {head} has no [unit]"
    assert described == arguments, f"{file}: {function.name}: docstring has {described}, signature {arguments}"
    if function.returns is not None and ast.unparse(function.returns) != "None":
        assert re.search(r"\[[^\]]+\]", doc["Returns"]), f"{file}: {function.name}: no unit in Returns"
    keys = re.findall(r"\[([a-z0-9-]+)\]", doc.get("References", ""))
    assert keys, f"{file}: {function.name} names no source"
    unknown = [key for key in keys if key not in all_sources()]
    assert not unknown, f"{file}: {function.name}: not in the bibliography: {unknown}"


@pytest.mark.parametrize(("file", "function"), COMPUTE, ids=IDS)
def test_keyword_only_from_the_second(file, function):
    assert len(function.args.args) <= 1, f"{file}: {function.name}: keyword-only from the second number"
