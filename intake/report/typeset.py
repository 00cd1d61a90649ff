"""A paper set by a template that takes its texts as data, so that none of them is ever read."""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib import import_module
from importlib.resources import files
from typing import Any

from intake.science.problem import Refused

INSTALL = "pip install 'fishroom-intake[pdf]', or ask for a .html and print that"


def typeset(template: str, values: Mapping[str, Any]) -> bytes:
    """A PDF made by one of the templates beside this file.

    Parameters
    ----------
    template
        The name of the file, without its end.
    values
        What the template shows; texts stay as they are, whatever stands in them.

    Raises
    ------
    Refused
        ``not-installed`` where the part of this program that sets a PDF is not there.
    """
    try:
        typst = import_module("typst")
    except ImportError as missing:
        raise Refused(
            "not-installed", "setting a PDF needs the extra pdf", way_out=INSTALL
        ) from missing
    source = files("intake.report").joinpath(f"{template}.typ").read_bytes()
    made = typst.compile(source, format="pdf", sys_inputs={"values": json.dumps(values)})
    assert isinstance(made, bytes)
    return made
