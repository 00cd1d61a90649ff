"""The paper of a release, made for a screen."""

from __future__ import annotations

from intake.flows import release_paper
from intake.flows.desk import Desk
from intake.flows.jobs.refusals import as_unreadable


def paper(desk: Desk, subject: str, end: str) -> str:
    """The release of a water or a fish, or what is still open, as a file; and where it is."""
    with as_unreadable():
        out = release_paper.file_name(desk, subject, end)
        answer = release_paper.write(desk, subject, out)
    return f"the release of {answer['subject']} is in {answer['file']}"
