"""reference/pipe_answers.md: what the shop's pipe comes to, with equations and what each rests on."""

from airfettle.studies.meaning import meanings
from airfettle.studies.pipework.answers import LineAnswers, PlaceAnswers, ShopAnswers
from airfettle.studies.pipework.lies import RunLies
from pages_from_code.day_answers import _answers, _between

HEAD = """# Answers of the pipe

What `airfettle pipes` says of the pipe round the shop, as [pipe the shop](../howto/pipe_the_shop.md) shows. The id is
the name in its [JSON](pipes_json.md) and in Python. Each answer is a band over the draw: the middle, and what 9 of 10
plants that fit the file lie between. Tools run that can at once, or those asked for; the receiver stands at cut-in, or
at the pressure asked for.
"""

BETWEEN = """## Numbers in between

They stand in the equations above, or beside the answers.
"""

PARTS = {
    "The pipe as a whole": ShopAnswers, "Each tool": PlaceAnswers, "Each length of pipe": LineAnswers,
    "How each run lies": RunLies,
}  # fmt: skip


def page():
    """Return the page."""
    parts = [HEAD]
    for title, result in PARTS.items():
        parts += [f"## {title}", *_answers(result)]
    parts.append(BETWEEN)
    for title, result in PARTS.items():
        if any(not meaning.is_answer for meaning in meanings(result).values()):
            parts += [f"{title}:", _between(result)]
    return "\n\n".join(part.strip() for part in parts)
