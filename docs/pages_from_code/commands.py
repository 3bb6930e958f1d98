"""reference/commands.md: every command, argument and option."""

import inspect
from dataclasses import is_dataclass
from typing import Literal, get_args, get_origin

from airfettle.cli import app
from airfettle.cli.judging import BAD_INPUT, DANGER, OK
from pages_from_code.words import cell, code, sentence, table

HEAD = """# Commands

`make demo` puts the program into `.venv`; it is then `.venv/bin/airfettle`. `airfettle --help` and
`airfettle COMMAND --help` print what stands here; `airfettle --version` prints the version.

Quote a value with a blank in it: `--pressure "125 psi"`. An option may be given several times where it says so.
"""

TAIL = f"""## Exit codes

| code | meaning |
|---|---|
| {OK} | it worked |
| {DANGER} | it worked, and a [danger](../findings/index.md) holds; with `findings --strict` also where one may |
| {BAD_INPUT} | something given cannot be used; [messages](messages.md) lists every case |

Every command that reads a plant says so, `demo` apart, whose exit code is {OK}. A plant that runs badly but endangers
nobody is not bad input: the exit code is {OK}.

Table and JSON go to the output stream. Messages, and the progress bar, which shows itself only on a screen and only
after a second, go to the error stream. So `airfettle rate FILE --json > rating.json` holds JSON and nothing else.
"""


def commands(tree=app, before=()):
    """Every command of the program, as (names, app of the command)."""
    for name in tree:
        if name.startswith("-"):
            continue
        inner = [n for n in tree[name] if not n.startswith("-")]
        if tree[name].default_command is not None:
            yield (*before, name), tree[name]
        if inner:
            yield from commands(tree[name], (*before, name))


def arguments(command):
    """Arguments and options of a command, those that several commands share one by one."""
    return [argument for argument in command.assemble_argument_collection() if not is_dataclass(argument.hint)]


def page():
    """Return the page."""
    parts = [HEAD]
    for names, command in commands():
        parts.append(_command(" ".join(names), command))
    return "\n".join([*parts, TAIL])


def _command(name, command):
    docstring = inspect.getdoc(command.default_command) or ""
    about, helps = _described(docstring)
    every = arguments(command)
    for group in (a.hint for a in command.assemble_argument_collection() if is_dataclass(a.hint)):
        helps |= _described(inspect.getdoc(group) or "")[1]
    places = [a for a in every if a.required]
    usage = " ".join(["airfettle", name, *(_place(a) for a in places), "[OPTIONS]" if len(every) > len(places) else ""])
    lines = [f"## {name}", "", about, "", "```text", usage.strip(), "```", ""]
    rows = [[_written(a), cell(_help(a, helps)), _default(a)] for a in every]
    return "\n".join([*lines, table(["argument or option", "meaning", "where not given"], rows), ""])


def _described(docstring):
    """Return what stands first in a numpydoc docstring, and the text for each parameter."""
    about, _, rest = docstring.partition("\nParameters\n")
    helps, name = {}, ""
    for line in rest.splitlines():
        if line and not line.startswith((" ", "-")):
            name = line.partition(":")[0].strip()
            helps[name] = ""
        elif name and line.strip():
            helps[name] += " " + line.strip()
    return about.strip(), helps


def _name(argument):
    return argument.names[0].lstrip("-").replace("-", "_")


def _place(argument):
    return _name(argument).upper()


def _written(argument):
    if argument.required:
        return code(_place(argument))
    hint = argument.hint
    if hint is bool:
        return code(argument.names[0])
    if get_origin(hint) is Literal:
        return code(f"{argument.names[0]} {' or '.join(map(str, get_args(hint)))}")
    number = hint in (int, float)
    return code(f"{argument.names[0]} {'NUMBER' if number else _place(argument)}")


def _help(argument, helps):
    text = sentence(argument.parameter.help or helps.get(_name(argument), ""))
    return f"{text} May be given several times." if get_origin(argument.hint) in (tuple, list) else text


def _default(argument):
    if argument.required:
        return "must be given"
    default = argument.field_info.default
    if argument.hint is bool:
        return "no"
    return code(str(default)) if default not in ((), "", None) else "-"
