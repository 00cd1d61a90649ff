"""What the YAML scanner says, in a keeper's words."""

from __future__ import annotations

import re

from ruamel.yaml.error import MarkedYAMLError

from intake.science.problem import Problem

_PLAIN: tuple[tuple[str, str, str], ...] = (
    (
        r"mapping values are not allowed",
        "a ':' where none can stand",
        "one 'name: value' on a line; put words that hold ': ' between quotes",
    ),
    (
        r"found character '\\t'",
        "a tab was used to indent",
        "use spaces",
    ),
    (
        r"found character '(.)' that cannot start",
        "a value cannot begin with '{0}'",
        "put it between quotes",
    ),
    (
        r"unexpected end of stream",
        "a quote is opened and never closed",
        "close the quote",
    ),
    (
        r"expected ',' or '[\]}]'",
        "a list or block in brackets is not closed",
        "close the bracket, or write one item on each line",
    ),
    (
        r"expected <block end>, but found '<scalar>'",
        "words after the end of a value",
        "put the whole value between quotes, or line it up with the lines above",
    ),
    (
        r"expected <block end>, but found '<block mapping start>'",
        "this line is indented further than the lines above it",
        "line it up with them",
    ),
    (
        r"expected <block end>",
        "this line is not lined up with the lines above it",
        "line it up with them",
    ),
    (
        r"could not find expected ':'",
        "a name without its ':'",
        "write 'name: value'",
    ),
    (
        r"found unknown escape character|expected escape sequence",
        "a backslash code that means nothing",
        "write the words without backslashes",
    ),
    (
        r"block sequence entries are not allowed|sequence entries are not allowed",
        "a '-' where none can stand",
        "begin the list on a line of its own",
    ),
    (
        r"expected alphabetic or numeric|while scanning a(n anchor|n alias)",
        "'&' and '*' are not read",
        "put it between quotes",
    ),
)


def plain_words(error: MarkedYAMLError, path: str) -> Problem:
    """The scanner's complaint as a problem at its place."""
    said = str(error.problem or error.context or "this is not YAML")
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
    for pattern, text, hint in _PLAIN:
        match = re.search(pattern, said)
        if match:
            words = text.format(*match.groups())
            return Problem("not-yaml", words, hint, path, line, column)
    return Problem("not-yaml", said, "", path, line, column)
